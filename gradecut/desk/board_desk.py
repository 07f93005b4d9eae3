"""The Board page: who, against what, how sure, what to drill."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace

from psygnal import Signal

from gradecut.book import Book
from gradecut.desk.board_words import (
    cannot_sentence,
    cell_sentence,
    situation_words,
    summary_sentence,
)
from gradecut.desk.jobs import JobRunner
from gradecut.desk.rep_rows import RepRow, rep_row
from gradecut.desk.saying import says
from gradecut.desk.snap_pictures import OnReady, SnapPictures
from gradecut.errors import GradecutError
from gradecut.grading import ALL_RUNS, board, worst_situations
from gradecut.progress import CancelToken, Progress
from gradecut.records import Board, BoardCell, Drill, Player, RepLine, Session
from gradecut.records.rubric import Rubric
from gradecut.scheme import Scheme
from gradecut.workflows.booking import book_info, scheme_in_force
from gradecut.workflows.lines import rep_lines
from gradecut.workflows.marking import marks_of_rep

__all__ = ["EVERYONE", "BoardChoice", "BoardDesk", "BoardView", "Cell"]

EVERYONE = "everyone"
Cell = tuple[str | None, str]
"""A player's id (None for the group) and a situation."""


@dataclass(frozen=True, slots=True, kw_only=True)
class BoardChoice:
    """What the board is of.

    Attributes
    ----------
    group : str
        A group of the scheme's men, or EVERYONE.
    by : tuple of str
        What the columns are cut by.
    session_ids : tuple of str or None
        None for all sessions.
    """

    group: str = EVERYONE
    by: tuple[str, ...] = ("fit",)
    session_ids: tuple[str, ...] | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class BoardView:
    """A board, the reps it counts, and what to drill.

    Attributes
    ----------
    begun : bool
        Something in the book is graded, whether it is on this board or not.
    """

    board: Board
    lines: tuple[RepLine, ...]
    drills: tuple[Drill, ...]
    begun: bool

    @property
    def graded(self) -> bool:
        """Whether something on this board is graded."""
        return _any_graded(self.lines)


class BoardDesk:
    """Holds the board that is shown.

    Attributes
    ----------
    choice : BoardChoice
    view : BoardView or None
        None until it has been counted.
    chosen : Cell or None
        The cell whose reps are listed.
    pictures : SnapPictures
        Small pictures of plays.

    Signals
    -------
    changed
        Another board is shown.
    chosen_changed
        Another cell, or none, is open.
    """

    changed = Signal()
    chosen_changed = Signal()

    def __init__(
        self, book: Book, jobs: JobRunner, say: Callable[[str], None], pictures: SnapPictures
    ) -> None:
        self.book = book
        self.jobs = jobs
        self.say = say
        self.pictures = pictures
        self.choice = BoardChoice()
        self.view: BoardView | None = None
        self.chosen: Cell | None = None
        self._began = self._counting = self._again = False

    @says
    def count(self) -> None:
        """Count the board anew, beside the window; ``changed`` tells when it is there."""
        if not self._began:
            self._began = True
            self._choose_first()
        if self._counting:
            self._again = True
            return
        self._counting, self._again = True, False
        choice = self.choice

        def work(progress: Progress, cancel: CancelToken) -> BoardView | GradecutError:
            progress(0.0, "Counting the board")
            try:
                cancel.check("Counting the board")
                return _count(self.book, choice)
            except GradecutError as error:
                return error

        self.jobs.start("Counting the board", work, self._counted)

    @says
    def choose(
        self,
        *,
        group: str | None = None,
        by: Sequence[str] | None = None,
        session_ids: Sequence[str] | None = None,
        all_sessions: bool = False,
    ) -> None:
        """Change what the board is of; what is not named stays."""
        choice = self.choice
        if group is not None:
            choice = replace(choice, group=group)
        if by is not None:
            choice = replace(choice, by=tuple(by))
        if session_ids is not None or all_sessions:
            ids = None if all_sessions else tuple(session_ids or ())
            choice = replace(choice, session_ids=ids)
        if choice != self.choice:
            self.choice = choice
            self.open_cell(None)
            self.count()

    def open_cell(self, cell: Cell | None) -> None:
        """Open a cell's reps; None closes them."""
        if cell != self.chosen:
            self.chosen = cell
            self.chosen_changed.emit()

    def cell(self, cell: Cell) -> BoardCell | None:
        """Return a cell's counts; None where it is empty."""
        if self.view is None:
            return None
        player_id, situation = cell
        if player_id is None:
            return self.view.board.group.get(situation)
        return self.view.board.cells.get((player_id, situation))

    def reps_of(self, cell: Cell) -> list[RepRow]:
        """List the reps of a cell, what went wrong first."""
        counted = self.cell(cell)
        if counted is None or self.view is None:
            return []
        wanted = set(counted.rep_ids)
        several = len({line.session.id for line in self.view.lines}) > 1
        rows = [
            rep_row(line, with_session=several) for line in self.view.lines if line.rep.id in wanted
        ]
        return sorted(rows, key=lambda row: not row.missed)

    def row_of_rep(self, rep_id: str) -> RepRow | None:
        """Write one rep of the board as a line; None when it is not on it."""
        line = self._line_of(rep_id)
        return rep_row(line) if line else None

    def ask_man_picture(self, rep_id: str, on_ready: OnReady) -> bool:
        """Ask for the picture of a rep's man with what is drawn at him; False where nothing is.

        Parameters
        ----------
        on_ready : callable
            As for `SnapPictures.ask`.
        """
        line = self._line_of(rep_id)
        marks = marks_of_rep(self.book, rep_id) if line else ()
        if line is None or not marks:
            return False
        right = line.grade.fit_result == "right" if line.grade else None
        self.pictures.ask_man(line.clip.id, marks, on_ready, right=right)
        return True

    def cell_name(self, cell: Cell) -> str:
        """Name a cell: "Hanrattan on power"."""
        names = {key: name for key, name, _ in self.view.board.rows} if self.view else {}
        player_id, situation = cell
        who = names.get(player_id, "?").split()[-1] if player_id else "The group"
        return f"{who} on {self.situation_words(situation, of_group=player_id is None)}"

    def situation_words(self, situation: str, *, of_group: bool) -> str:
        """Say a situation of this board in a sentence."""
        by = self.view.board.by if self.view else ()
        return situation_words(situation, by, of_group=of_group)

    def cell_words(self, cell: Cell) -> str:
        """Say all a cell holds in one sentence, for whoever can't see it."""
        counted = self.cell(cell)
        good = self.view.board.good if self.view else Rubric().good
        return cell_sentence(self.cell_name(cell), counted, good)

    def summary(self) -> str:
        """Say what the board rests on, and what could not be graded."""
        if self.view is None:
            return "Counting …"
        stale = sum(line.stale for line in self.view.lines)
        return summary_sentence(self.view.board.group[ALL_RUNS], stale)

    def why_not(self) -> str:
        """Say why reps could not be graded, and whose grade counts."""
        reasons = Counter(
            line.grade.cannot.get("fit", line.grade.did_name or "no reason told")
            for line in (self.view.lines if self.view else ())
            if line.grade and line.grade.fit_result == "cannot grade" and line.clip.kind == "run"
        )
        return cannot_sentence(reasons)

    def groups(self) -> tuple[str, ...]:
        """Return the groups that can be chosen."""
        scheme = scheme_in_force(self.book)
        named = tuple(group for group in scheme.groups if group) if scheme else ()
        return (*named, EVERYONE)

    def ways(self) -> tuple[tuple[str, ...], ...]:
        """Return what the columns can be cut by."""
        scheme = scheme_in_force(self.book)
        facts = _cutting_facts(scheme) if scheme else ()
        return (
            *((fact,) for fact in facts),
            *((fact, "run side") for fact in facts),
            ("run side",),
            ("fit",),
            ("period",),
            ("position",),
        )

    def sessions(self) -> list[Session]:
        """Return the book's sessions, newest first."""
        return sorted(self.book.find(Session), key=lambda one: (one.day, one.id), reverse=True)

    @says
    def write_sheet(self, path: str) -> None:
        """Write the grade sheet as a workbook."""
        choice = self.choice

        def work(progress: Progress, cancel: CancelToken) -> str:
            from gradecut.workflows.reporting import write_book_sheet

            write_book_sheet(
                self.book,
                path,
                by=choice.by,
                session_ids=choice.session_ids,
                progress=progress,
                cancel=cancel,
            )
            return path

        self.jobs.start("Writing the grade sheet", work, self._say_written)

    @says
    def write_report(self, path: str) -> None:
        """Write the staff's report as one page."""
        choice = self.choice

        def work(progress: Progress, cancel: CancelToken) -> str:
            from gradecut.workflows.reporting import write_book_report

            progress(0.0, "Writing the report")
            cancel.check("Writing the report")
            write_book_report(self.book, path, by=choice.by, session_ids=choice.session_ids)
            return path

        self.jobs.start("Writing the report", work, self._say_written)

    def _line_of(self, rep_id: str) -> RepLine | None:
        lines = self.view.lines if self.view else ()
        return next((line for line in lines if line.rep.id == rep_id), None)

    def _say_written(self, path: str) -> None:
        self.say(f"Written: {path}")

    def _choose_first(self) -> None:
        """Choose the group this staff grades, and the first fact that names the run."""
        scheme = scheme_in_force(self.book)
        if scheme is None:
            return
        graded = [
            group
            for group, men in scheme.groups.items()
            if group and any(scheme.positions[man].graded for man in men)
        ]
        told = book_info(self.book).graded_group
        group = told or (graded[0] if len(graded) == 1 else EVERYONE)
        facts = _cutting_facts(scheme)
        by = (facts[0],) if facts else ("fit",)
        self.choice = replace(self.choice, group=group, by=by)

    def _counted(self, found: BoardView | GradecutError) -> None:
        """Show what was counted; count once more where something changed meanwhile."""
        self._counting = False
        if self._again:
            self.count()
            return
        if isinstance(found, GradecutError):
            self.say(str(found))
            return
        self.view = found
        if self.chosen is not None and self.cell(self.chosen) is None:
            self.open_cell(None)
        self.changed.emit()


def _count(book: Book, choice: BoardChoice) -> BoardView:
    """Count a board from the book."""
    scheme = scheme_in_force(book)
    lines = rep_lines(book, session_ids=choice.session_ids)
    if scheme is not None and choice.group != EVERYONE:
        men = scheme.groups.get(choice.group, ())
        lines = [line for line in lines if line.rep.position in men]
    rubric = scheme.rubric if scheme else Rubric()
    known = {name for line in lines for name in line.look} | _WORDS
    by = tuple(name for name in choice.by if name in known)
    counted = board(lines, rubric=rubric, by=by, players=book.find(Player))
    return BoardView(
        board=counted,
        lines=tuple(lines),
        drills=worst_situations(counted, lines),
        begun=_any_graded(lines) or _any_graded(rep_lines(book)),
    )


def _any_graded(lines: Iterable[RepLine]) -> bool:
    return any(line.grade is not None for line in lines)


def _cutting_facts(scheme: Scheme) -> tuple[str, ...]:
    """Return the facts whose answers name a play: words, seen after the snap, of no side."""
    return tuple(
        name
        for name, fact in scheme.facts.items()
        if fact.known == "after"
        and not fact.sided
        and not fact.per_side
        and isinstance(fact.values[0], str)
    )


_WORDS = frozenset({"run side", "position", "period", "session", "fit", "lined up"})
