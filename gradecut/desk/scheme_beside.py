"""What stands in a list beside the grid: rows of words, looks and plays, and how they are found."""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, ClassVar, Generic, TypeVar

from psygnal import Signal

from gradecut.book import Book
from gradecut.progress import CancelToken, Progress
from gradecut.records import Clip, Session
from gradecut.scheme import Scheme, Value

if TYPE_CHECKING:
    from gradecut.desk.scheme_desk import SchemeDesk

__all__ = ["BesideRow", "FoundBeside", "PlayNames"]

Found = TypeVar("Found")

_MOST = 12
"""So many plays are named; of the rest it is said how many they are."""


@dataclass(frozen=True, slots=True, kw_only=True)
class BesideRow:
    """One row.

    Attributes
    ----------
    key : object
        What it is; the same as long as it says the same.
    name : str
        "Mike: fill B".
    at_right : str
        Stands back, at the end of the name's line.
    sign : str
        "✗" or "△"; empty where nothing is wrong.
    serious : bool
    words : str
        A sentence, or the looks it is for.
    look : mapping
        Drawn; empty where there is none.
    told_look : str
        Beside the picture.
    columns : tuple of (str, str)
        A heading, and the plays under it; side by side.
    clips : tuple of str
        The plays behind it, to be shown one after another.
    position : str
        The man whose rep is shown on them.
    """

    key: object
    name: str
    at_right: str = ""
    sign: str = ""
    serious: bool = False
    words: str = ""
    look: Mapping[str, Value] = field(default_factory=dict)
    told_look: str = ""
    columns: tuple[tuple[str, str], ...] = ()
    clips: tuple[str, ...] = ()
    position: str = ""

    @property
    def told(self) -> str:
        """All of it, read out."""
        plays = (f"{heading}: {plays}" for heading, plays in self.columns)
        parts = (self.name, self.at_right, self.words, self.told_look, *plays)
        return ". ".join(part for part in parts if part)


class FoundBeside(ABC, Generic[Found]):
    """Finds rows out for the scheme that is shown, beside the window, again after every edit.

    Attributes
    ----------
    rows : tuple of BesideRow
    running : bool
    refused : str
        Why nothing was found out; empty where it was.
    seen : bool
        It was asked for once, so that it follows the scheme from then on.

    Signals
    -------
    changed
    """

    changed = Signal()
    work_name: ClassVar[str]

    def __init__(self, desk: SchemeDesk) -> None:
        self._desk = desk
        self._of: Scheme | None = None
        self._again = False
        self.rows: tuple[BesideRow, ...] = ()
        self.running = False
        self.refused = ""
        self.seen = False
        desk.scheme_changed.connect(self._follow)

    @abstractmethod
    def _work(self, scheme: Scheme) -> Callable[[Progress, CancelToken], Found]:
        """Return what finds out, to be run beside the window."""

    @abstractmethod
    def _take(self, scheme: Scheme, found: Found) -> None:
        """Take over what was found out."""

    @abstractmethod
    def _forget(self) -> None:
        """Forget what was found out before."""

    def _find_out(self) -> None:
        """Find out how it is now; what runs already is followed by it."""
        self.seen = True
        scheme = self._desk.shown
        if scheme is None:
            return
        if self.running:
            self._again = True
            return
        self.running = True

        def done(found: Found) -> None:
            self._of, self.refused = scheme, ""
            self._take(scheme, found)
            self._end()

        def refused(sentence: str) -> None:
            self._forget()
            self.rows, self.refused = (), str(sentence)
            self._end()

        def failed() -> None:
            refused("It broke off, so nothing was found out; your edits are safe.")

        work = self._work(scheme)
        self._desk.jobs.start(self.work_name, work, done, refused, refused, on_failed=failed)
        self.changed.emit()

    def _follow(self) -> None:
        """Find out again after an edit, where the view was seen."""
        if self.seen and self._desk.shown is not self._of:
            self._find_out()

    def _end(self) -> None:
        self.running = False
        if self._again:
            self._again = False
            self._find_out()
        else:
            self.changed.emit()


class PlayNames:
    """Names plays as the coach says them: "3, 7 and 9", with their session where there are several.

    Parameters
    ----------
    book : Book
    """

    def __init__(self, book: Book) -> None:
        clips = book.find(Clip)
        sessions = {one.id: one.name for one in book.find(Session)}
        used = {clip.session_id for clip in clips}
        several = len(used) > 1
        self._order = {clip.id: at for at, clip in enumerate(clips)}
        self._named = {
            clip.id: (sessions.get(clip.session_id, "") if several else "", str(clip.order))
            for clip in clips
        }

    def __contains__(self, clip_id: object) -> bool:
        """Tell whether it is a play of the book."""
        return clip_id in self._named

    def one(self, clip_id: str) -> str:
        """Name one play: "play 7", or "Monday, play 7"."""
        if clip_id not in self._named:
            return "your answer"
        session, order = self._named[clip_id]
        return f"{session}, play {order}" if session else f"play {order}"

    def several(self, clip_ids: Sequence[str]) -> str:
        """Name plays: "plays 3, 7 and 9"; an answer given without film is said to be one."""
        known = sorted(
            (one for one in dict.fromkeys(clip_ids) if one in self._named), key=self._order.get  # type: ignore[arg-type]  # all are known
        )  # fmt: skip
        shown, more = known[:_MOST], len(known) - _MOST
        by_session: dict[str, list[str]] = {}
        for one in shown:
            session, order = self._named[one]
            by_session.setdefault(session, []).append(order)
        parts = [_plays(session, orders) for session, orders in by_session.items()]
        if more > 0:
            parts.append(f"{more} more")
        if len(known) < len(set(clip_ids)):
            parts.append("your answer")
        return "; ".join(parts)


def _plays(session: str, orders: Sequence[str]) -> str:
    listed = ", ".join(orders[:-1])
    told = f"{listed} and {orders[-1]}" if listed else orders[-1]
    what = "plays" if listed else "play"
    return f"{session}: {what} {told}" if session else f"{what} {told}"
