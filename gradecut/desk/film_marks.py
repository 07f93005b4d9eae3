"""Drawing on film: the tool in hand, what is being drawn, the mark that is chosen."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from math import hypot

from gradecut.book import Book
from gradecut.desk.mark_changes import MarkChanges
from gradecut.desk.mark_keys import with_key
from gradecut.desk.mark_pointing import MarkPointing
from gradecut.desk.mark_shape import (
    Point,
    distance_px,
    handles,
    moved,
    outline,
    reshaped,
)
from gradecut.desk.marks_on_stage import MarksOnStage
from gradecut.desk.path_drawing import PathDrawing
from gradecut.desk.playhead import Playhead
from gradecut.desk.saying import says
from gradecut.drawing import mark_at, moved_by_px
from gradecut.records import Clip, Mark, MarkKind, Meaning

__all__ = ["MEANINGS", "TOOLS", "FilmMarks", "Grip"]

TOOLS: tuple[MarkKind, ...] = (
    "bracket",
    "ring",
    "arrow",
    "path",
    "lane",
    "text",
    "ruler",
    "box",
)
MEANINGS: tuple[Meaning, ...] = ("owed", "did", "plain")
_NEAR = 0.035
"""How near a touch must come to a mark, as a share of the film's height."""
_TOUCHED_PX = 2.0
"""A hand that moves no more than this has only touched."""
_STEP_PX = 6.0
"""So far the hand goes from one point of a path to the next."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Grip:
    """A mark in the hand: as it was stored, by which of its points, and from where."""

    mark: Mark
    handle: int | None
    start: Point


class FilmMarks(MarksOnStage):
    """The hand on the film's marks: it draws, chooses, moves and reshapes them.

    Attributes
    ----------
    changes, pointing, path : MarkChanges, MarkPointing, PathDrawing
        What is done to the chosen mark; drawing by keys; a path drawn while the film steps.

    Parameters
    ----------
    following : callable
        Returns the next play; None after the last.
    """

    def __init__(
        self,
        book: Book,
        playhead: Playhead,
        say: Callable[[str], None],
        following: Callable[[], Clip | None] = lambda: None,
    ) -> None:
        super().__init__(book, playhead, say)
        self.changes = MarkChanges(self, following)
        self.pointing = MarkPointing(self)
        self.path = PathDrawing(self)
        self._grip: Grip | None = None
        self._text_at: Point | None = None

    # ------------------------------------------------------------------ tools

    def take(self, tool: MarkKind | None) -> None:
        """Take a tool in hand, or none; a tool stops the film, to be drawn on this frame."""
        if tool is not None:
            self.playhead.pause()
        self.pointing.settle()
        self.choose(None)
        self.tool, self.meaning, self.colour, self.draft = tool, None, "", []
        self.pointing.put_away()
        self.changed.emit()

    def turn_meaning(self) -> None:
        """Go on to the next meaning, of the chosen mark or of the next one drawn."""
        following = MEANINGS[(MEANINGS.index(self.means) + 1) % len(MEANINGS)]
        mark = self.held
        if mark is not None:
            self.store(replace(mark, meaning=following), doing="change what is meant by the")
        else:
            self.meaning = following
        self.changed.emit()

    def let_go(self) -> bool:
        """Put the tool, the draft or the choice away; tell whether there was anything."""
        had = bool(self.tool or self.draft or self.chosen)
        self.pending = self._grip = self._text_at = None
        self.path.give_up()
        self.pointing.put_away()
        self.tool, self.draft, self.chosen, self.handle = None, [], "", None
        if had:
            self.changed.emit()
        return had

    def leave(self) -> None:
        """Put everything away for another play; what was drawn or moved is stored."""
        self.path.end()
        self.pointing.settle()
        self.let_go()

    def drop_chosen(self) -> None:
        """Take the chosen mark away."""
        self.changes.drop()

    # ------------------------------------------------------------------ the hand on the film

    def press(self, at: Point, *, reach_px: float | None = None) -> None:
        """Put the hand down on the film.

        Parameters
        ----------
        reach_px : float, optional
            How near it must come to a point of the chosen mark, in film pixels.
        """
        self.pointing.settle()
        self.pointing.put_away()
        if self.tool is None:
            grip = self._grip = self.under(at, reach_px=reach_px)
            if grip is not None:
                self.playhead.pause()
                self.playhead.stand()
            self.choose(grip.mark if grip else None, grip.handle if grip else None)
        elif self.tool == "text":
            self._ask_words(at, "")
        else:
            self.draft = [at]
        self.changed.emit()

    def drag(self, at: Point) -> None:
        """Move the hand on the film."""
        grip = self._grip
        if grip is not None:
            by = (at[0] - grip.start[0], at[1] - grip.start[1])
            if hypot(*by) > _TOUCHED_PX or self.pending is not None:
                self.pending = self.shifted(grip.mark, grip.handle, by)
        elif self.draft and self.tool == "path":
            x, y = self.draft[-1]
            if hypot(at[0] - x, at[1] - y) > _STEP_PX:
                self.draft.append(at)
        elif self.draft:
            self.draft = [self.draft[0], at]
        self.changed.emit()

    def lift(self, at: Point) -> None:
        """Take the hand off: what was drawn or moved is stored."""
        self.drag(at)
        self._grip = None
        drawn, self.draft = self.draft, []
        if self.pending is not None:
            self.pointing.settle()
        elif drawn and self.tool is not None:
            self.keep(self.tool, drawn)
        self.changed.emit()

    def shifted(self, mark: Mark, handle: int | None, by: Point) -> Mark:
        """Return a mark moved on the frame on stage, whole or by one of its points.

        One that goes along with a man is set there by hand; its shape is the same on all frames.
        """
        pts = self.pts
        gone = moved_by_px(mark.keys, pts)
        if handle is not None:
            x, y = handles(mark, self.height_px)[handle]
            return reshaped(mark, handle, (x + by[0], y + by[1]))
        if mark.keys:
            return with_key(mark, pts, (gone[0] + by[0], gone[1] + by[1]))
        return moved(mark, by)

    @says
    def write(self, text: str) -> None:
        """Set words where they were asked for; for a new text mark nothing for no words."""
        at, self._text_at = self._text_at, None
        mark = self.held
        if at is None:
            return
        if mark is not None and self.tool is None:
            if text.strip() != mark.text and (text.strip() or mark.kind != "text"):
                self.store(replace(mark, text=text.strip()), doing="write on the")
        elif text.strip():
            self.keep("text", [at], text.strip())
        self.changed.emit()

    def ask_words(self) -> None:
        """Ask for the words on the chosen mark."""
        mark = self.held
        if mark is None:
            self.say("Choose a mark first (Alt+J, or touch it); then it can be written on.")
            return
        self._ask_words(mark_at(mark, self.pts).points[0], mark.text)

    def _ask_words(self, at: Point, there: str) -> None:
        self._text_at, self.words_there = at, there
        self.text_wanted.emit(at)

    def end_words(self) -> None:
        """Ask for words no longer; what was not written is given up."""
        self._text_at, self.words_there = None, ""
        if self.tool is not None:
            self.take(None)

    def keep(self, tool: MarkKind, drawn: list[Point], text: str = "") -> None:
        """Store what was drawn, and choose it; say how it is drawn where it was only touched."""
        points = outline(tool, drawn, self.height_px)
        if points is None:
            self.say(f"Draw the {tool} from one place to another.")
            return
        mark = self.made(tool, points, text)
        if mark is None:
            return
        self.tool, self.meaning, self.colour = None, None, ""
        self.pointing.put_away()
        stored = self.store_drawn(mark)
        self.chosen, self.handle = stored.id if stored else "", None

    def words(self) -> str:
        """Say the marks of this frame, and what is in hand."""
        told = [self.on_film.words(mark) for mark in self.seen()]
        said = f"Marks: {', '.join(told)}." if told else "No marks on this frame."
        more = (self.changes.words(), self.pointing.words())
        return " ".join(part for part in (said, *more) if part)

    def under(self, at: Point, *, reach_px: float | None = None) -> Grip | None:
        """Return the mark under the hand: the chosen one's points first, then the nearest."""
        reach = _NEAR * self.height_px
        mark, there = self.held, self.there
        if mark is not None and there is not None:
            away = [hypot(x - at[0], y - at[1]) for x, y in handles(there, self.height_px)]
            if away and min(away) <= (reach if reach_px is None else reach_px):
                return Grip(mark=mark, handle=away.index(min(away)), start=at)
        shown = self.seen() if self.away is None else (*self.seen(), self.away)
        near = [(distance_px(one, at, self.height_px), one.id) for one in shown]
        close = min((one for one in near if one[0] <= reach), default=None)
        found = None if close is None else self.on_film.mark(close[1])
        return None if found is None else Grip(mark=found, handle=None, start=at)
