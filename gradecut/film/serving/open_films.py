"""The films a server has open, and which decoder stands best for a frame."""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Callable, Sequence
from threading import Condition
from typing import TYPE_CHECKING

from gradecut.film.serving.open_film import (
    MOST_UNUSED_BYTES,
    KnownFilm,
    OpenFilm,
    PictureStore,
    SharedCache,
)

if TYPE_CHECKING:
    from gradecut.film.serving.memory import Freed
    from gradecut.film.serving.watched import Watched
    from gradecut.records.fingerprint import Fingerprint

__all__ = ["OpenFilms"]

_MOST_KNOWN = 16
_MOST_OPEN = 4
_MOST_FRONT = 2
_NEARLY = 2
_FORWARD = 60
_MOST_DECODER_BYTES = 256 * 1024 * 1024


class OpenFilms:
    """Opens films, and lends each decoder to one thread at a time.

    A film may have two decoders, so that one stays where the playhead is while the other
    works elsewhere; whoever asks gets the one that stands best for the frame.

    Parameters
    ----------
    change : Condition
        Guards what is lent to whom; told of every change.
    store : PictureStore
        Where all decoded pictures go.
    forget : callable
        Told of a path that holds another film than before.
    watched : callable
        Tells what is looked at just now.
    freed : Freed
        Told what decoders that are closed let go of.
    """

    def __init__(
        self,
        change: Condition,
        store: PictureStore,
        forget: Callable[[str], None],
        watched: Callable[[], Watched],
        freed: Freed,
    ) -> None:
        self._change = change
        self._store = store
        self._forget = forget
        self._watched = watched
        self._freed = freed
        self._known: OrderedDict[str, KnownFilm] = OrderedDict()
        self._held: dict[str, Fingerprint] = {}
        self._being_read: set[str] = set()
        self._open: list[OpenFilm] = []

    def known(self, path: str) -> KnownFilm | None:
        """Return what is known of a film without looking at the file."""
        return self._known.get(path)

    def know(self, path: str, *, again: bool = False) -> KnownFilm:
        """Return what there is to know of a film, reading it when it is new.

        Parameters
        ----------
        again : bool
            See whether the file is still the one that was read.

        Raises
        ------
        FilmError
            When it can't be opened.
        """
        from gradecut.film.indexing.index_store import index_of
        from gradecut.film.opening import check_file

        known = self._known.get(path)
        if known is not None and not again:
            return known
        with self._change:
            self._change.wait_for(lambda: path not in self._being_read)
            self._being_read.add(path)
        try:
            found = check_file(path)
            state = (found.st_size, found.st_mtime_ns)
            known = self._known.get(path)
            if known is None or known.state != state:
                fingerprint, index = index_of(path)
                # Of a film that is no longer known pictures may be kept still.
                replaced = self._held.get(path, fingerprint) != fingerprint
                known = KnownFilm(state=state, fingerprint=fingerprint, index=index)
                self._remember(path, known, replaced=replaced)
            return known
        finally:
            with self._change:
                self._being_read.discard(path)
                self._change.notify_all()

    def _remember(self, path: str, known: KnownFilm, *, replaced: bool) -> None:
        closing: list[OpenFilm] = []
        with self._change:
            self._known[path] = known
            self._held[path] = known.fingerprint
            self._known.move_to_end(path)
            if replaced:
                closing += self._let_go(self._of(path))
            for old in self._known_too_long():
                del self._known[old]
                closing += self._let_go(self._of(old))
        if replaced:
            self._forget(path)
        self.close_these(closing)

    def _known_too_long(self) -> list[str]:
        """Return the films read first, where there are too many; those needed now stay."""
        needed = self._watched().paths
        idle = [path for path in self._known if path not in needed]
        return idle[: max(len(self._known) - _MOST_KNOWN, 0)]

    def take(
        self, path: str, number: int, *, front: bool, wanted: Callable[[], bool] = lambda: True
    ) -> OpenFilm | None:
        """Lend the decoder that stands best for a frame, opening one when there is none.

        The foreground waits until the background gives back one that stands well: for a packet
        at most, or until it has decoded just that frame, where it is at it already. The
        background gets None where the foreground has it.

        Parameters
        ----------
        wanted : callable
            Whether the foreground still wants the frame; it gets None when it does not.

        Raises
        ------
        FilmError
            When the film can't be opened.
        """
        with self._change:
            if front and not self._awaited(path, number, wanted):
                return None
            while (best := self._best(path, number, front=front)) is not None:
                if not best.used:
                    best.used, best.claimed = True, False
                    self._open.remove(best)
                    self._open.append(best)
                    return best
                if not front:
                    return None
                best.claimed = True
                self._change.notify_all()
                self._change.wait()
        return self._opened(path)

    def _awaited(self, path: str, number: int, wanted: Callable[[], bool]) -> bool:
        """Wait while the background decodes just a frame; tell whether it is wanted still."""
        while (busy := self._bound_for(path, number)) is not None:
            busy.awaited = wanted()
            if not busy.awaited:
                return False
            self._change.notify_all()
            self._change.wait()
        return True

    def _bound_for(self, path: str, number: int) -> OpenFilm | None:
        return next((one for one in self._of(path) if one.used and one.goal == number), None)

    def nearly_at(self, path: str, number: int) -> bool:
        """Whether some decoder gets to a frame with a packet or two."""
        with self._change:
            return any(
                one.path == path and 0 < number - one.cache.newest <= _NEARLY and one.helps(number)
                for one in self._open
            )

    def _stands_ahead(self, path: str, of_film: list[OpenFilm]) -> OpenFilm | None:
        """Return the decoder that the next steps forward need; the nearest ahead."""
        ahead = [
            (one.cache.newest - at, one.front, place)
            for place, one in enumerate(of_film)
            for at in self._watched().playheads(path)
            if 0 <= one.cache.newest - at <= _FORWARD
        ]
        return of_film[min(ahead)[2]] if ahead else None

    def _best(self, path: str, number: int, *, front: bool) -> OpenFilm | None:
        of_film = self._of(path)
        helping = [one for one in of_film if one.helps(number)]
        if helping:
            return max(helping, key=lambda one: (one.cache.newest, not one.used))
        idle = [one for one in of_film if not one.used]
        if not front:
            ahead = self._stands_ahead(path, of_film)
            idle = [one for one in idle if one is not ahead]
        if idle:
            return max(idle, key=lambda one: one.front)
        return of_film[0] if len(of_film) > 1 else None

    def _opened(self, path: str) -> OpenFilm:
        from gradecut.film.decoding.picture import PictureMaker
        from gradecut.film.film import Film

        known = self.know(path, again=True)
        cache = SharedCache(self._store, path)
        film = Film(path, known.index, known.fingerprint, cache)
        opened = OpenFilm(
            path=path, known=known, film=film, cache=cache, maker=PictureMaker(known.index.facts)
        )
        with self._change:
            self._open.append(opened)
            closing = self._surplus()
        self.close_these(closing)
        return opened

    def give(self, opened: OpenFilm, *, front: bool) -> None:
        """Take a decoder back."""
        opened.film.should_stop = None
        opened.cache.on_picture = None
        with self._change:
            if front:
                for one in self._open:
                    one.front = one.front and one.path != opened.path
            opened.front = front
            opened.used = opened.awaited = False
            opened.goal = -1
            closing = [opened] if opened not in self._open else []
            # Not the one just given: a held key will want it again.
            closing += self._let_go(
                [one for one in self._open if one.is_empty_hoard and one is not opened]
            )
            self._change.notify_all()
        self.close_these(closing)

    def take_overgrown(self, *, at_rest: bool) -> OpenFilm | None:
        """Take away the idle decoder that holds most unused memory; None while it is little.

        Its pictures are to be kept elsewhere, then it is to be closed.

        Parameters
        ----------
        at_rest : bool
            Nothing was asked for in a while: also the one the next step would go on with.
        """
        with self._change:
            idle = [one for one in self._open if not one.used and (at_rest or not one.front)]
            if not idle or sum(one.unused_bytes for one in self._open) <= MOST_UNUSED_BYTES:
                return None
            most = max(idle, key=lambda one: one.unused_bytes)
            if most.unused_bytes < MOST_UNUSED_BYTES // 4:
                return None
            most.used = True
            self._let_go([most])
            return most

    def _surplus(self) -> list[OpenFilm]:
        """Let go of the decoders unused for longest while there are too many.

        The last two the foreground had stay: one for each film side by side.
        """
        closing: list[OpenFilm] = []
        staying = [one for one in self._open if one.front][-_MOST_FRONT:]
        for one in [one for one in self._open if not one.used and one not in staying]:
            taken = sum(other.known.decoder_bytes for other in self._open)
            if len(self._open) > _MOST_OPEN or taken > _MOST_DECODER_BYTES:
                closing += self._let_go([one])
        self._store.set_aside_bytes = sum(other.known.decoder_bytes for other in self._open)
        return closing

    def _of(self, path: str) -> list[OpenFilm]:
        return [one for one in self._open if one.path == path]

    def _let_go(self, gone: list[OpenFilm]) -> list[OpenFilm]:
        """Take decoders off the list; one in use is closed when it is given back."""
        self._open = [one for one in self._open if one not in gone]
        return [one for one in gone if not one.used]

    def close(self) -> None:
        """Close every film; none may be lent any more."""
        with self._change:
            closing = self._let_go(self._open)
        self.close_these(closing)

    def close_these(self, films: Sequence[OpenFilm]) -> None:
        """Close decoders that were taken off the list."""
        for one in films:
            one.film.close()
            self._freed.count(one.known.decoder_bytes + max(one.unused_bytes, 0))
