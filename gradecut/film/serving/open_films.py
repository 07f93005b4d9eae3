"""The films a server has open, and which decoder stands best for a frame."""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from threading import Condition, Lock
from typing import TYPE_CHECKING, TypeAlias

from gradecut.film.decoding.frame_cache import Store, size_of

if TYPE_CHECKING:
    import av

    from gradecut.film.decoding.picture import PictureMaker
    from gradecut.film.film import Film
    from gradecut.film.indexing.frame_index import FrameIndex
    from gradecut.film.serving.memory import Freed
    from gradecut.records.fingerprint import Fingerprint

__all__ = ["KeptPicture", "KnownFilm", "OpenFilm", "OpenFilms", "PictureStore"]

_MOST_KNOWN = 16
_MOST_OPEN = 4
_MOST_FRONT = 2
_NEARLY = 2
_FORWARD = 60
_MOST_DECODER_BYTES = 256 * 1024 * 1024
_MOST_UNUSED_BYTES = 64 * 1024 * 1024
_PICTURES_IN_DECODER = 7
"""About how many pictures a decoder holds on to beside those it gave away."""

OnPicture = Callable[[int, "av.VideoFrame", bool], None]


@dataclass(frozen=True, slots=True, kw_only=True)
class KnownFilm:
    """A film that was opened before.

    Attributes
    ----------
    state : tuple of int
        Size in bytes and time of change of the file: another state is another film.
    """

    state: tuple[int, int]
    fingerprint: Fingerprint
    index: FrameIndex

    @property
    def picture_bytes(self) -> int:
        """About how much memory a decoded picture of it takes."""
        facts = self.index.facts
        a_picture = facts.coded_width_px * facts.coded_height_px * 3 // 2
        return a_picture * (2 if "10" in facts.pixel_format else 1)

    @property
    def decoder_bytes(self) -> int:
        """About how much memory a decoder of it takes."""
        return _PICTURES_IN_DECODER * self.picture_bytes


class SharedCache:
    """A film's part of the pictures kept for all, as one of its decoders sees it.

    Attributes
    ----------
    newest : int
        The frame the decoder handed out last, -1 before the first.
    kept, most_kept : int
        How many of its pictures are kept, and how many were at most. A decoder uses the
        memory of a picture again and gives none of it back before it is closed.
    on_picture : callable or None
        Told of every picture decoded: number, picture, whether it was kept.
    """

    def __init__(self, store: PictureStore, path: str) -> None:
        self._pictures = store
        self._path = path
        self.newest = -1
        self.kept = self.most_kept = 0
        self._counting = Lock()
        self.on_picture: OnPicture | None = None

    def __contains__(self, number: int) -> bool:
        return self._pictures.holds(self._path, number)

    def get(self, number: int) -> av.VideoFrame | None:
        """Return a frame's picture when it is kept."""
        found = self._pictures.get(self._path, number)
        return None if found is None else found.picture

    def put(self, number: int, picture: av.VideoFrame, playhead: int) -> None:  # noqa: ARG002  # its own are asked
        """Keep a picture when it is near enough to what is looked at."""
        self.newest = number
        kept = self._pictures.holds(self._path, number)
        if not kept:
            self.count(1)
            one = KeptPicture(picture=picture, cache=self)
            kept = self._pictures.put(self._path, number, one, size_of(picture))
        if self.on_picture is not None:
            self.on_picture(number, picture, kept)

    def count(self, more: int) -> None:
        """Count pictures kept, or let go of; any thread may let go of one."""
        with self._counting:
            self.kept += more
            self.most_kept = max(self.most_kept, self.kept)

    def clear(self) -> None:
        """Keep what there is: other decoders of the film go on using it."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class KeptPicture:
    """A decoded picture, and the decoder whose memory it is in; None for its own."""

    picture: av.VideoFrame
    cache: SharedCache | None

    def let_go(self) -> None:
        """Tell the decoder that it may use the memory again."""
        if self.cache is not None:
            self.cache.count(-1)


PictureStore: TypeAlias = Store[KeptPicture]


@dataclass(slots=True, kw_only=True, eq=False)
class OpenFilm:
    """A film with a decoder of its own; used by one thread at a time.

    Attributes
    ----------
    used : bool
        Whether a thread has it in hand.
    claimed : bool
        Whether the foreground waits for it: whoever has it is to give it back.
    front : bool
        Whether the foreground had it last.
    """

    path: str
    known: KnownFilm
    film: Film
    cache: SharedCache
    maker: PictureMaker
    used: bool = True
    claimed: bool = False
    front: bool = False

    @property
    def unused_bytes(self) -> int:
        """How much memory its decoder holds of pictures that were let go of."""
        return (self.cache.most_kept - self.cache.kept) * self.known.picture_bytes

    @property
    def is_empty_hoard(self) -> bool:
        """Whether it lies idle and holds much memory, but no picture that is kept."""
        much = self.unused_bytes > _MOST_UNUSED_BYTES
        return not self.used and self.cache.kept == 0 and much

    def helps(self, number: int) -> bool:
        """Whether decoding on from where it stands leads to a frame without going back."""
        index = self.known.index
        if self.cache.newest < 0 or not 0 <= number < len(index):
            return False
        first = int(index.first_of_key[index.key_of[number]])
        return first <= self.cache.newest + 1 <= number


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
    playheads : callable
        Given a path, where its film stands on stage.
    freed : Freed
        Told what decoders that are closed let go of.
    """

    def __init__(
        self,
        change: Condition,
        store: PictureStore,
        forget: Callable[[str], None],
        playheads: Callable[[str], list[int]],
        freed: Freed,
    ) -> None:
        self._change = change
        self._store = store
        self._forget = forget
        self._playheads = playheads
        self._freed = freed
        self._known: OrderedDict[str, KnownFilm] = OrderedDict()
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
                replaced = known is not None and known.fingerprint != fingerprint
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
            self._known.move_to_end(path)
            if replaced:
                closing += self._let_go(self._of(path))
            while len(self._known) > _MOST_KNOWN:
                oldest, _ = self._known.popitem(last=False)
                closing += self._let_go(self._of(oldest))
        if replaced:
            self._forget(path)
        self.close_these(closing)

    def take(self, path: str, number: int, *, front: bool) -> OpenFilm | None:
        """Lend the decoder that stands best for a frame, opening one when there is none.

        The foreground waits, for a packet at most, until the background gives back one
        that stands well; the background gets None where the foreground has it.

        Raises
        ------
        FilmError
            When the film can't be opened.
        """
        with self._change:
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
            for at in self._playheads(path)
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
            opened.used = False
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
            if not idle or sum(one.unused_bytes for one in self._open) <= _MOST_UNUSED_BYTES:
                return None
            most = max(idle, key=lambda one: one.unused_bytes)
            if most.unused_bytes < _MOST_UNUSED_BYTES // 4:
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
