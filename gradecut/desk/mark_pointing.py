"""Drawing and moving marks by keys alone: a point that steps over the film."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from gradecut.desk.mark_shape import ONE_POINT, Point
from gradecut.records import MarkKind

if TYPE_CHECKING:
    from gradecut.desk.film_marks import FilmMarks

__all__ = ["MarkPointing"]

_NEAR, _FAR = 2.0, 24.0
_FULL = 720.0
_MOVED_NAMES = {True: "reshape the", False: "move the"}


class MarkPointing:
    """The keyboard's hand on the film.

    Attributes
    ----------
    at : Point or None
        Where the next point goes, in film pixels; None while the keyboard points nowhere.
    look_aside : callable
        Takes how far (right, down) to look in zoomed film while nothing is in hand; tells
        whether there was anything to see.
    """

    def __init__(self, marks: FilmMarks) -> None:
        self._marks = marks
        self.at: Point | None = None
        self.look_aside: Callable[[float, float], bool] = lambda _across, _down: False

    def put_away(self) -> None:
        """Point nowhere."""
        self.at = None

    def words(self) -> str:
        """Say where the point is, in hundredths of the picture; empty while there is none."""
        film = self._marks.playhead.film
        if self.at is None or film is None:
            return ""
        across, down = (round(100 * self.at[0] / film.width), round(100 * self.at[1] / film.height))
        return (
            f"{(self._marks.tool or 'point').capitalize()} at {across} % across, {down} % down: "
            "Enter sets it, Escape gives up."
        )

    # ------------------------------------------------------------------ one to a key

    def left(self) -> None:
        """Go a little to the left."""
        self._go(-_NEAR, 0)

    def right(self) -> None:
        """Go a little to the right."""
        self._go(_NEAR, 0)

    def up(self) -> None:
        """Go a little up."""
        self._go(0, -_NEAR)

    def down(self) -> None:
        """Go a little down."""
        self._go(0, _NEAR)

    def far_left(self) -> None:
        """Go far to the left."""
        self._go(-_FAR, 0)

    def far_right(self) -> None:
        """Go far to the right."""
        self._go(_FAR, 0)

    def far_up(self) -> None:
        """Go far up."""
        self._go(0, -_FAR)

    def far_down(self) -> None:
        """Go far down."""
        self._go(0, _FAR)

    def _go(self, across: float, down: float) -> None:
        """Move the point of the tool in hand, of a path drawn by stepping, or the chosen mark."""
        marks = self._marks
        unit = marks.height_px / _FULL
        by = (across * unit, down * unit)
        if marks.path.on:
            marks.path.follow(self._moved(marks.pointer or self._start(), by))
        elif marks.tool is not None:
            if self.at is None:
                marks.say("Alt and arrows move the point, with Shift far. Enter sets it, Esc ends.")
            self.at = self._moved(self.at or self._start(), by)
            self._draft_to(self.at)
        else:
            mark = marks.held
            if mark is None:
                if not self.look_aside(across, down):
                    marks.say("Take a tool (M) or choose a mark (Alt+J) first; then it is moved.")
                return
            marks.playhead.pause()
            marks.playhead.stand()
            marks.pending = marks.shifted(mark, marks.handle, by)
        marks.changed.emit()

    def _moved(self, at: Point, by: Point) -> Point:
        film = self._marks.playhead.film
        wide, high = (film.width, film.height) if film else (1e9, 1e9)
        return min(max(at[0] + by[0], 0), wide), min(max(at[1] + by[1], 0), high)

    def _start(self) -> Point:
        """Return where to begin: at the man in hand, the pointer, or the picture's middle."""
        marks = self._marks
        man, film = marks.on_film.man, marks.playhead.film
        rep_id = man.rep.id if man and man.rep else None
        his = [one for one in marks.seen() if one.kind == "bracket" and one.rep_id == rep_id]
        if rep_id is not None and his:
            return his[0].points[0]
        if marks.pointer is not None:
            return marks.pointer
        return (film.width / 2, film.height / 2) if film else (0, 0)

    def _draft_to(self, at: Point) -> None:
        marks = self._marks
        if marks.draft and marks.tool not in (*ONE_POINT, "path"):
            marks.draft = [marks.draft[0], at]

    def set_point(self) -> bool:
        """Set a point of the tool in hand; tell whether there is a tool.

        A bracket, a ring and words need one; an arrow, a lane, a box and a ruler two; a path as
        many as wanted, and ends where the last is set twice.
        """
        marks = self._marks
        tool = marks.tool
        if tool is None:
            return False
        at = self.at = self.at or self._start()
        if tool == "text":
            marks.press(at)
        elif tool in ONE_POINT:
            marks.keep(tool, [at])
        elif not marks.draft:
            marks.draft = [at]
        elif tool == "path" and marks.draft[-1] != at:
            marks.draft.append(at)
        else:
            self._end(tool, [*marks.draft, at])
        marks.changed.emit()
        return True

    def _end(self, tool: MarkKind, drawn: list[Point]) -> None:
        self._marks.draft = []
        self._marks.keep(tool, drawn)

    def settle(self) -> None:
        """Store what was moved: one act for as long as the keys, or the hand, moved it."""
        marks = self._marks
        if marks.pending is None or marks.path.on:
            return
        pending, marks.pending = marks.pending, None
        marks.store(pending, doing=_MOVED_NAMES[marks.handle is not None])
        marks.changed.emit()
