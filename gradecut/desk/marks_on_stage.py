"""The marks of the angle on stage: which are seen, which is chosen, what is being drawn."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from fractions import Fraction

from psygnal import Signal

from gradecut.book import Book
from gradecut.desk.clip_state import ClipState, Man
from gradecut.desk.film_place import FilmPlace
from gradecut.desk.mark_shape import ONE_POINT, Point, handles, outline
from gradecut.desk.marks_seen import MarksSeen, MarkStretch
from gradecut.desk.playhead import Playhead
from gradecut.desk.saying import says
from gradecut.drawing import Shape, mark_at
from gradecut.records import Mark, MarkKind, Meaning
from gradecut.timebase import Frame, Pts
from gradecut.workflows.carried_men import rep_in
from gradecut.workflows.marking import a_mark, add_mark

__all__ = ["MarksOnStage"]

_USUAL: dict[MarkKind, Meaning] = {"ring": "owed", "arrow": "did", "path": "did", "lane": "owed"}
_OF_A_MAN = ("bracket", "ring", "arrow", "path")
_HALF_S = Fraction(1, 2)


class MarksOnStage:
    """The marks of the angle on stage, and the one drawn or chosen now; a hand builds on it.

    Points are film pixels as displayed, y down.

    Attributes
    ----------
    tool : MarkKind or None
        None: a touch chooses a mark.
    meaning : Meaning or None
        What the next mark means; None for what is usual with the tool.
    colour : str
        Of the next mark; empty for the hue of its meaning.
    chosen : str
        Id of the chosen mark; empty for none.
    handle : int or None
        The point of it that is moved; None: all of it.
    pointer : Point or None
        Where on the film the pointer is.
    pending : Mark or None
        The chosen mark as it is changed just now, not yet stored.
    draft : list of Point
        What is being drawn.
    words_there : str
        What is written where words are asked for.
    on_film : MarksSeen
        The marks as they stand in the book.

    Signals
    -------
    changed
        Tool, draft, choice or meaning have changed.
    text_wanted : tuple of float
        Words are to be asked for, to stand here.
    """

    changed = Signal()
    text_wanted = Signal(object)

    def __init__(
        self,
        book: Book,
        playhead: Playhead,
        say: Callable[[str], None],
    ) -> None:
        self.book = book
        self.playhead = playhead
        self.say = say
        self.tool: MarkKind | None = None
        self.meaning: Meaning | None = None
        self.colour = ""
        self.chosen = ""
        self.handle: int | None = None
        self.pointer: Point | None = None
        self.pending: Mark | None = None
        self.draft: list[Point] = []
        self.words_there = ""
        self.on_film = MarksSeen(playhead)

    def renew(self, state: ClipState | None, man: Man | None) -> None:
        """Take over the clip as it stands now."""
        self.on_film.renew(state, man)
        if self.chosen and self.on_film.mark(self.chosen) is None:
            self.chosen, self.handle, self.pending = "", None, None
        self.changed.emit()

    @property
    def means(self) -> Meaning:
        """What the next mark will mean, or the chosen one does."""
        mark = self.held
        if mark is not None:
            return mark.meaning
        if self.meaning is not None:
            return self.meaning
        return _USUAL.get(self.tool, "plain") if self.tool else "plain"

    @property
    def held(self) -> Mark | None:
        """The chosen mark with its keys, as it is changed just now; None without one."""
        return self.pending or self.on_film.mark(self.chosen)

    def choose(self, mark: Mark | None, handle: int | None = None) -> None:
        """Take a mark in hand, or none; nothing is changed of it yet."""
        self.chosen, self.handle = mark.id if mark else "", handle
        self.pending = None

    @says
    def store(self, mark: Mark, *, doing: str = "") -> Mark | None:
        """Store a mark, as one act; what is refused is said, and None returned."""
        self.pending = None
        return add_mark(self.book, mark, doing=doing)

    @says
    def store_drawn(self, mark: Mark) -> Mark | None:
        """Store a mark just drawn, as one act; a man who only stays in gets his rep with it."""
        man = self.on_film.man
        if man is None or man.staying is None or mark.kind not in _OF_A_MAN:
            return add_mark(self.book, mark)
        with self.book.act(f"draw {a_mark(mark.kind)}"):
            his = rep_in(self.book, man.asked.clip, man.position)
            return add_mark(self.book, replace(mark, rep_id=his.id))

    def made(self, tool: MarkKind, points: tuple[Point, ...], text: str = "") -> Mark | None:
        """Make a mark that stands from half a second before this frame to half a second after."""
        head = self.playhead
        if head.angle is None or head.film is None:
            return None
        now_s = head.time_of(head.seen)
        start = max(head.film.pts_of(now_s - _HALF_S), head.angle.start_pts)
        stop = min(head.film.pts_of(now_s + _HALF_S), head.angle.stop_pts)
        rep = self.on_film.man.rep if self.on_film.man and tool in _OF_A_MAN else None
        return Mark(
            angle_id=head.angle.id, kind=tool, points=points, from_pts=start, to_pts=stop,
            rep_id=rep.id if rep else None, meaning=self.means, text=text, colour=self.colour,
        )  # fmt: skip

    # ------------------------------------------------------------------ what is seen

    @property
    def pts(self) -> Pts:
        """The timestamp of the frame that is seen."""
        return self.playhead.pts(self.playhead.seen)

    @property
    def height_px(self) -> float:
        """How high the film is."""
        return float(self.playhead.film.height) if self.playhead.film else 720.0

    def seen(self) -> tuple[Mark, ...]:
        """Return the marks of the frame on stage, each where it is there and as changed now."""
        head = self.playhead
        if head.angle is None:
            return ()
        return self.on_film.at(head.angle, head.pts(head.shown), self.pending)

    def drawn(self) -> tuple[Mark, ...]:
        """Return what is being drawn, while it can be shown."""
        if not self.draft or self.tool is None:
            return ()
        points = tuple(self.draft)
        if self.tool in ONE_POINT or len(points) > 1:
            points = outline(self.tool, self.draft, self.height_px) or points
        mark = self.made(self.tool, points)
        return (mark,) if mark is not None else ()

    def shapes(self, size: float = 1.0) -> tuple[Shape, ...]:
        """Return all that is painted on the frame on stage, in film pixels.

        Parameters
        ----------
        size : float
            How large lines and type are for the film; 1 as in a reel.
        """
        film = self.playhead.film
        if film is None:
            return ()
        shown, away = self.seen(), self.away
        faded = () if away is None else (away,)
        return self.on_film.shapes((*shown, *self.drawn()), film, size, faded=faded)

    def shapes_beside(
        self, place: FilmPlace | None, frame: Frame | None, size: float = 1.0
    ) -> tuple[Shape, ...]:
        """Return what is painted on a frame of the film beside the stage, in its pixels."""
        if place is None or frame is None:
            return ()
        shown = self.on_film.at(place.angle, place.pts(frame))
        return self.on_film.shapes(shown, place.film, size)

    @property
    def away(self) -> Mark | None:
        """The chosen mark where it would be, on a frame it is not seen on; None where it is."""
        mark, head = self.held, self.playhead
        if mark is None or head.angle is None or mark.angle_id != head.angle.id:
            return None
        pts = head.pts(head.shown)
        return None if mark.from_pts <= pts <= mark.to_pts else mark_at(mark, pts)

    @property
    def there(self) -> Mark | None:
        """The chosen mark where it is on the frame on stage; None when it is on another angle."""
        return self.away or next((one for one in self.seen() if one.id == self.chosen), None)

    def goes_along(self, mark_id: str) -> bool:
        """Tell whether a mark goes along with a man by keys."""
        mark = self.on_film.mark(mark_id)
        return mark is not None and bool(mark.keys)

    def chosen_points(self) -> tuple[Point, ...]:
        """Return the points the chosen mark is reshaped by, where it is on stage."""
        mark = self.there
        return () if mark is None else handles(mark, self.height_px)

    def stretches(self) -> tuple[MarkStretch, ...]:
        """Return where on the ticks the marks of the angle on stage are seen."""
        found = self.on_film.of_angle(self.playhead.angle, self.pending)
        return tuple(self.on_film.stretch(one, chosen=one.id == self.chosen) for one in found)
