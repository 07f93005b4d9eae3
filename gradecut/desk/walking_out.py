"""What the coach walks out with: the page for the staff's meeting, the reel for the players."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, TypeVar

from gradecut.counting_words import counted
from gradecut.desk.saying import Refusal
from gradecut.progress import CancelToken, Progress
from gradecut.records import Session
from gradecut.reports.barred import barred_words

if TYPE_CHECKING:
    from gradecut.desk.desk import Desk
    from gradecut.workflows.morning_reel import MorningReel
    from gradecut.workflows.staff_page import StaffPage

__all__ = ["WalkingOut"]

T = TypeVar("T")

_STAFF, _PLAYERS = "For the staff", "For the players"
_PAGE_SHARE = 0.8
_NO_PDF = "no browser here prints a PDF, so open the page and print it"


class WalkingOut:
    """Writes both from what is graded now, beside the window, each into a folder of its own.

    The folders lie beside the book. What was written before under the same name is written
    over, once the new file is whole.

    Attributes
    ----------
    folder : Path or None
        Where the file written last lies.
    """

    def __init__(self, desk: Desk) -> None:
        self._desk = desk
        self._going_on: set[str] = set()
        self.folder: Path | None = None

    @property
    def going_on(self) -> str:
        """What is being written now; empty for nothing."""
        return " and ".join(sorted(self._going_on))

    def write_staff_page(self) -> None:
        """Write the page for the staff's meeting, of the session on the Film page."""
        book = self._desk.book

        def work(goal: Path, session: Session, progress: Progress, cancel: CancelToken) -> _Page:
            from gradecut.workflows.printing import print_page
            from gradecut.workflows.staff_page import write_staff_page

            done = write_staff_page(
                book,
                goal,
                session_ids=[session.id],
                progress=lambda share, saying: progress(_PAGE_SHARE * share, saying),
                cancel=cancel,
            )
            progress(_PAGE_SHARE, "Printing the page")
            return done, print_page(goal, goal.with_suffix(".pdf"), cancel=cancel)

        self._begin("The staff's page", _STAFF, ".html", work, _page_words)

    def write_reel(self) -> None:
        """Write the players' reel, of what is flagged in the session on the Film page."""
        book = self._desk.book

        def work(
            goal: Path, session: Session, progress: Progress, cancel: CancelToken
        ) -> MorningReel:
            from gradecut.workflows.morning_reel import write_morning_reel

            return write_morning_reel(
                book, goal, session_ids=[session.id], progress=progress, cancel=cancel
            )

        self._begin("The players' reel", _PLAYERS, ".mp4", work, _reel_words)

    def _begin(
        self,
        name: str,
        for_whom: str,
        ending: str,
        work: Callable[[Path, Session, Progress, CancelToken], T],
        words: Callable[[T], str],
    ) -> None:
        """Start one of them, unless it is being written already."""
        session = self._desk.film.plays.session
        if session is None:
            self._desk.say(Refusal(f"{name}: there is no session yet; add film first."))
            return
        if name in self._going_on:
            self._desk.say(f"{name} is being written; Ctrl+. stops it.")
            return
        goal = self.goal_of(session, for_whom, ending)

        def told(sentence: str) -> None:
            self._going_on.discard(name)
            self._desk.say(sentence)

        def done(result: T) -> None:
            self.folder = goal.parent
            told(f"{words(result)} Shift+F9 opens its folder: {goal.parent}")

        self._going_on.add(name)
        self._desk.say(f"{name} is being written; go on grading.")
        self._desk.jobs.start(
            name,
            lambda progress, cancel: work(goal, session, progress, cancel),
            done,
            told,
            told,
            on_failed=lambda: self._going_on.discard(name),
        )

    def goal_of(self, session: Session, for_whom: str, ending: str) -> Path:
        """Return where the file of a session goes; no two sessions share one."""
        from gradecut.workflows.player_files import plain_names

        book = self._desk.book
        every = sorted(book.find(Session), key=lambda one: one.id)
        names = plain_names([f"{one.name} {one.day}".strip() for one in every], "session")
        name = names[[one.id for one in every].index(session.id)]
        return book.path.parent / f"{book.path.stem} handouts" / for_whom / f"{name}{ending}"


_Page = tuple["StaffPage", bool]


def _page_words(written: _Page) -> str:
    """Say what the staff's page holds."""
    done, printed = written
    if done.flagged:
        told = f"The staff's page: {counted(done.flagged, 'flagged rep')}, "
        told += counted(done.stills, "still")
    else:
        told = "The staff's page without reps, as nothing is flagged yet"
    told += f", {done.unclear} unclear" if done.unclear else ""
    return f"{told}; {'its PDF beside it' if printed else _NO_PDF}."


def _reel_words(done: MorningReel) -> str:
    """Say what the players' reel holds, and who is not in it."""
    minutes, seconds = divmod(round(done.duration_s), 60)
    told = f"The players' reel: {counted(done.reps, 'rep')}, {minutes}:{seconds:02d} min"
    if done.withheld:
        told += f"; left out, {barred_words(done.withheld, 'under 18 without consent')}"
    if done.notes:
        more = f" ({len(done.notes) - 1} more)" if len(done.notes) > 1 else ""
        told += f"; left out: {done.notes[0].rstrip('.')}{more}"
    return f"{told}."
