"""Drawing on film: the tool in hand, what is being drawn, the mark that is chosen."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from fractions import Fraction
from itertools import pairwise
from math import hypot

from psygnal import Signal

from gradecut.book import Book
from gradecut.desk.clip_state import ClipState, Man
from gradecut.desk.film_place import FilmPlace
from gradecut.desk.playhead import Playhead
from gradecut.desk.saying import says
from gradecut.drawing import Shape, marks_shapes
from gradecut.records import Angle, Mark, MarkKind, Meaning, StoredFilm
from gradecut.timebase import Frame, Pts
from gradecut.workflows.marking import add_mark, drop_mark

__all__ = ["MEANINGS", "TOOLS", "FilmMarks"]

Point = tuple[float, float]

TOOLS: tuple[MarkKind, ...] = ("bracket", "ring", "arrow", "path", "lane", "text", "ruler")
MEANINGS: tuple[Meaning, ...] = ("owed", "did", "plain")
_USUAL: dict[MarkKind, Meaning] = {"ring": "owed", "arrow": "did", "path": "did", "lane": "owed"}
_OF_A_MAN = ("bracket", "ring", "arrow")
_ONE_POINT = ("bracket", "ring", "text")
_HALF_S = Fraction(1, 2)
_NEAR = 0.035
"""How near a touch must come to a mark, as a share of the film's height."""
_LANE = 0.03
"""Half a lane's width, as a share of the film's height."""


class FilmMarks:
    """The marks of the angle on stage, and the one that is drawn or chosen now.

    Points are film pixels as displayed, y down.

    Attributes
    ----------
    tool : MarkKind or None
        None: a touch chooses a mark.
    meaning : Meaning or None
        What the next mark means; None for what is usual with the tool.
    chosen : str
        Id of the chosen mark; empty for none.

    Signals
    -------
    changed
        Tool, draft, choice or meaning have changed.
    text_wanted : tuple of float
        A text mark was begun here; words are to be asked for.
    """

    changed = Signal()
    text_wanted = Signal(object)

    def __init__(self, book: Book, playhead: Playhead, say: Callable[[str], None]) -> None:
        self._book = book
        self._playhead = playhead
        self.say = say
        self.tool: MarkKind | None = None
        self.meaning: Meaning | None = None
        self.chosen = ""
        self._state: ClipState | None = None
        self._man: Man | None = None
        self._draft: list[Point] = []
        self._grip: tuple[Mark, Point] | None = None
        self._moved: Mark | None = None
        self._text_at: Point | None = None

    def renew(self, state: ClipState | None, man: Man | None) -> None:
        """Take over the clip as it stands now."""
        self._state, self._man = state, man
        if self.chosen and self._mark(self.chosen) is None:
            self.chosen = ""
        self.changed.emit()

    # ------------------------------------------------------------------ tools

    def take(self, tool: MarkKind | None) -> None:
        """Take a tool in hand, or none; a tool stops the film, to be drawn on this frame."""
        if tool is not None:
            self._playhead.pause()
        self.tool, self.meaning, self._draft = tool, None, []
        self.chosen = ""
        self.changed.emit()

    @property
    def means(self) -> Meaning:
        """What the next mark will mean, or the chosen one does."""
        mark = self._mark(self.chosen)
        if mark is not None:
            return mark.meaning
        if self.meaning is not None:
            return self.meaning
        return _USUAL.get(self.tool, "plain") if self.tool else "plain"

    @says
    def turn_meaning(self) -> None:
        """Go on to the next meaning, of the chosen mark or of the next one drawn."""
        following = MEANINGS[(MEANINGS.index(self.means) + 1) % len(MEANINGS)]
        mark = self._mark(self.chosen)
        if mark is not None:
            add_mark(self._book, replace(mark, meaning=following))
        else:
            self.meaning = following
        self.changed.emit()

    def let_go(self) -> bool:
        """Put the tool, the draft or the choice away; tell whether there was anything."""
        had = bool(self.tool or self._draft or self.chosen)
        self.tool, self._draft, self.chosen, self._grip = None, [], "", None
        self._moved = self._text_at = None
        if had:
            self.changed.emit()
        return had

    @says
    def drop_chosen(self) -> None:
        """Take the chosen mark away."""
        mark = self._mark(self.chosen)
        if mark is None:
            self.say("Touch a mark on the film first; then it can be taken away.")
            return
        self.chosen = ""
        drop_mark(self._book, mark)

    # ------------------------------------------------------------------ the hand on the film

    def press(self, at: Point) -> None:
        """Put the hand down on the film."""
        if self.tool is None:
            mark = self._nearest(at)
            self.chosen = mark.id if mark else ""
            self._grip = (mark, at) if mark else None
        elif self.tool == "text":
            self._text_at = at
            self.text_wanted.emit(at)
        else:
            self._draft = [at]
        self.changed.emit()

    def drag(self, at: Point) -> None:
        """Move the hand on the film."""
        if self._grip is not None:
            mark, start = self._grip
            dx, dy = at[0] - start[0], at[1] - start[1]
            if hypot(dx, dy) > 2 or self._moved is not None:
                points = tuple((x + dx, y + dy) for x, y in mark.points)
                self._moved = replace(mark, points=points)
        elif self._draft and self.tool == "path":
            x, y = self._draft[-1]
            if hypot(at[0] - x, at[1] - y) > 6:
                self._draft.append(at)
        elif self._draft:
            self._draft = [self._draft[0], at]
        self.changed.emit()

    @says
    def lift(self, at: Point) -> None:
        """Take the hand off: what was drawn or moved is stored."""
        self.drag(at)
        moved, self._moved, self._grip = self._moved, None, None
        drawn, self._draft = self._draft, []
        if moved is not None:
            add_mark(self._book, moved)
        elif drawn and self.tool is not None:
            self._keep(self.tool, drawn)
        self.changed.emit()

    @says
    def write(self, text: str) -> None:
        """Set words where a text mark was begun; nothing for no words."""
        at, self._text_at = self._text_at, None
        if at is not None and text.strip():
            self._keep("text", [at], text.strip())
        self.changed.emit()

    def _keep(self, tool: MarkKind, drawn: list[Point], text: str = "") -> None:
        points = self._outline(tool, drawn)
        if points is None:
            return
        mark = self._new(tool, points, text)
        self.tool, self.meaning = None, None
        if mark is not None:
            self.chosen = add_mark(self._book, mark).id

    def _outline(self, tool: MarkKind, drawn: list[Point]) -> tuple[Point, ...] | None:
        """Return a mark's points from the way of the hand; None where it was only touched."""
        if tool in _ONE_POINT:
            return (drawn[-1],)
        first, last = drawn[0], drawn[-1]
        reach = hypot(last[0] - first[0], last[1] - first[1])
        if reach < 8:
            self.say(f"Draw the {tool} from one place to another.")
            return None
        if tool == "lane":
            half = _LANE * self._height
            nx, ny = -(last[1] - first[1]) / reach * half, (last[0] - first[0]) / reach * half
            return (
                (first[0] + nx, first[1] + ny),
                (last[0] + nx, last[1] + ny),
                (last[0] - nx, last[1] - ny),
                (first[0] - nx, first[1] - ny),
            )
        return tuple(drawn)

    def _new(self, tool: MarkKind, points: tuple[Point, ...], text: str) -> Mark | None:
        """Make a mark that stands from half a second before this frame to half a second after."""
        head = self._playhead
        if head.angle is None or head.film is None:
            return None
        now_s = head.time_of(head.seen)
        start = max(head.film.pts_of(now_s - _HALF_S), head.angle.start_pts)
        stop = min(head.film.pts_of(now_s + _HALF_S), head.angle.stop_pts)
        rep = self._man.rep if self._man and tool in _OF_A_MAN else None
        return Mark(
            angle_id=head.angle.id, kind=tool, points=points, from_pts=start, to_pts=stop,
            rep_id=rep.id if rep else None, meaning=self.means, text=text,
        )  # fmt: skip

    # ------------------------------------------------------------------ what is seen

    @property
    def _height(self) -> float:
        return float(self._playhead.film.height) if self._playhead.film else 720.0

    def _mark(self, mark_id: str) -> Mark | None:
        marks = self._state.marks if self._state else ()
        return next((mark for mark in marks if mark.id == mark_id), None)

    def seen(self) -> tuple[Mark, ...]:
        """Return the marks of the frame on stage, the one that is moved where it is now.

        Of marks that belong to a man only the chosen man's are seen, as on the ticks.
        """
        head = self._playhead
        if head.angle is None:
            return ()
        return self._seen_at(head.angle, head.pts(head.shown))

    def _seen_at(self, angle: Angle, pts: Pts) -> tuple[Mark, ...]:
        return tuple(
            self._moved if self._moved is not None and mark.id == self._moved.id else mark
            for mark in (self._state.marks if self._state else ())
            if mark.angle_id == angle.id
            and mark.from_pts <= pts <= mark.to_pts
            and self._is_his(mark)
        )

    def _is_his(self, mark: Mark) -> bool:
        """Tell whether a mark is the chosen man's or nobody's; with nobody chosen, all are."""
        rep = self._man.rep if self._man is not None else None
        return mark.rep_id is None or rep is None or mark.rep_id == rep.id

    def drawn(self) -> tuple[Mark, ...]:
        """Return what is being drawn, while it can be shown."""
        if not self._draft or self.tool is None:
            return ()
        points = tuple(self._draft)
        if self.tool == "lane" and len(points) == 2 and points[0] != points[1]:
            points = self._outline("lane", list(points)) or points
        mark = self._new(self.tool, points, "")
        return (mark,) if mark is not None else ()

    def shapes(self, size: float = 1.0) -> tuple[Shape, ...]:
        """Return all that is painted on the frame on stage, in film pixels.

        Parameters
        ----------
        size : float
            How large lines and type are for the film; 1 as in a reel.
        """
        film = self._playhead.film
        if film is None:
            return ()
        return self._shapes_of((*self.seen(), *self.drawn()), film, size)

    def shapes_beside(
        self, place: FilmPlace | None, frame: Frame | None, size: float = 1.0
    ) -> tuple[Shape, ...]:
        """Return what is painted on a frame of the film beside the stage, in its pixels."""
        if place is None or frame is None:
            return ()
        return self._shapes_of(self._seen_at(place.angle, place.pts(frame)), place.film, size)

    def _shapes_of(self, marks: Sequence[Mark], film: StoredFilm, size: float) -> tuple[Shape, ...]:
        size_px = (film.width, max(round(film.height * size), 1))
        return marks_shapes(marks, size_px=size_px, label=self._label, right=self._right)

    def _right(self, mark: Mark) -> bool | None:
        """Tell whether the man a mark belongs to was graded right; None while he is not graded."""
        man = self._state.man_of_rep(mark.rep_id) if self._state else None
        grade = man.grade if man else None
        if grade is None or grade.fit_result == "not graded":
            return None
        return grade.fit_result == "right"

    def chosen_points(self) -> tuple[Point, ...]:
        """Return the points of the chosen mark where it is on stage."""
        return next((mark.points for mark in self.seen() if mark.id == self.chosen), ())

    def words(self) -> str:
        """Say the marks of this frame."""
        told = [
            " ".join(part for part in (mark.kind, self._label(mark) or "") if part)
            for mark in self.seen()
        ]
        return f"Marks: {', '.join(told)}." if told else "No marks on this frame."

    def _label(self, mark: Mark) -> str | None:
        """Name the man in a bracket; other marks say what was written."""
        if mark.kind != "bracket" or mark.text or self._state is None:
            return None
        man = self._state.man_of_rep(mark.rep_id)
        return man.who if man else None

    def _nearest(self, at: Point) -> Mark | None:
        reach = _NEAR * self._height
        near = [(_distance(mark, at), mark) for mark in self.seen()]
        near = [(away, mark) for away, mark in near if away <= reach]
        return min(near, key=lambda one: one[0])[1] if near else None


def _distance(mark: Mark, at: Point) -> float:
    """Return how far a touch is from a mark's line, in pixels."""
    points = mark.points
    if len(points) == 1:
        return hypot(points[0][0] - at[0], points[0][1] - at[1])
    pairs = list(pairwise(points))
    if mark.kind == "lane":
        pairs.append((points[-1], points[0]))
    return min(_from_line(at, start, stop) for start, stop in pairs)


def _from_line(at: Point, start: Point, stop: Point) -> float:
    dx, dy = stop[0] - start[0], stop[1] - start[1]
    length = dx * dx + dy * dy
    share = ((at[0] - start[0]) * dx + (at[1] - start[1]) * dy) / length if length else 0.0
    share = min(max(share, 0.0), 1.0)
    return hypot(start[0] + share * dx - at[0], start[1] + share * dy - at[1])
