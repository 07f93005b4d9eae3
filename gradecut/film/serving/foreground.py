"""The thread that answers requests, the newest of each lane."""

from __future__ import annotations

import time
from collections import OrderedDict
from typing import TYPE_CHECKING

from gradecut.errors import Cancelled, FilmError
from gradecut.film.decoding.refusals import damaged_frame, unshowable_frame
from gradecut.film.serving.served import Picture, Request, Served
from gradecut.film.serving.small_copies import enlarge

if TYPE_CHECKING:
    import av

    from gradecut.film.decoding.picture import PictureMaker
    from gradecut.film.serving.open_film import KnownFilm

__all__ = ["Foreground"]

_MOST_MAKERS = 8
_LONG_S = 0.2
"""After an answer that took so long nobody minds that memory is given back."""

_STEP_BACK = 90
"""So many frames back is a held key that will ask for more; farther is a jump."""


class Foreground:
    """Answers requests one after another; ``run`` is the whole of its thread."""

    def __init__(self, served: Served) -> None:
        self._served = served
        self._places: dict[str, tuple[str, int]] = {}
        self._makers: OrderedDict[str, tuple[KnownFilm, PictureMaker]] = OrderedDict()

    def run(self) -> None:
        """Answer until the server closes."""
        lane = ""
        while (asked := self._served.next_request(lane)) is not None:
            lane = asked.lane
            began = time.monotonic()
            self._answer(asked)
            if time.monotonic() - began > _LONG_S:
                self._served.freed.give_back(at_rest=False)

    def _answer(self, asked: Request) -> None:
        served = self._served
        try:
            picture, rough = self._picture(asked)
        except Cancelled:
            return  # Something newer was asked; nobody waits for this any more.
        except FilmError as error:
            said = error
            served.hand_over(asked, lambda: asked.on_error(said))
        else:
            served.hand_over(asked, lambda: asked.on_ready(asked.frame, picture, rough))

    def _picture(self, asked: Request) -> tuple[Picture, bool]:
        """Return a frame as displayed, and whether it was enlarged from its small copy."""
        served, path, number = self._served, asked.path, int(asked.frame)
        before, at = self._places.get(asked.lane, ("", 0))
        known = served.films.know(path, again=before != path)
        self._places[asked.lane] = (path, number)
        if served.is_lost(path, number):
            raise damaged_frame(path, number)
        kept = served.pictures.get(path, number)
        decoded = None if kept is None else kept.picture
        if decoded is None and asked.rough and not served.films.nearly_at(path, number):
            packed = served.copies.get(path, number)
            if packed is not None:
                facts = known.index.facts
                return enlarge(packed, facts.width_px, facts.height_px), True
        if decoded is None:
            stepping_back = before == path and 0 < at - number <= _STEP_BACK
            decoded = self._decode(asked, whole=stepping_back)
        return self._converted(known, asked, decoded), False

    def _decode(self, asked: Request, *, whole: bool) -> av.VideoFrame:
        served = self._served
        opened = served.films.take(
            asked.path, int(asked.frame), front=True, wanted=lambda: served.is_newest(asked)
        )
        if opened is None:
            raise Cancelled("Decoding")
        try:
            opened.film.should_stop = lambda: not served.is_newest(asked)
            return opened.film.native(asked.frame, whole=whole)
        finally:
            served.note_lost(opened)
            served.films.give(opened, front=True)

    def _converted(self, known: KnownFilm, asked: Request, decoded: av.VideoFrame) -> Picture:
        import av

        try:
            return self._maker(known, asked.path).rgb(decoded)
        except (av.FFmpegError, ValueError) as error:
            raise unshowable_frame(asked.path, asked.frame) from error

    def _maker(self, known: KnownFilm, path: str) -> PictureMaker:
        from gradecut.film.decoding.picture import PictureMaker

        kept = self._makers.get(path)
        if kept is None or kept[0] is not known:
            kept = self._makers[path] = (known, PictureMaker(known.index.facts))
            while len(self._makers) > _MOST_MAKERS:
                self._makers.popitem(last=False)
        return kept[1]
