"""The Teach page: reels from a question, put in order, looked at, rendered."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from fractions import Fraction
from typing import Any

from psygnal import Signal

from gradecut.book import Book
from gradecut.counting_words import counted
from gradecut.desk.jobs import JobRunner, Post
from gradecut.desk.preview import Preview
from gradecut.desk.saying import Refusal, says
from gradecut.desk.snap_pictures import SnapPictures
from gradecut.errors import GradecutError
from gradecut.progress import CancelToken, Progress
from gradecut.records import Piece, Player, Reel, RepLine
from gradecut.reels import Plan
from gradecut.workflows.asking import read_question, reps_asked
from gradecut.workflows.blind import seen
from gradecut.workflows.booking import scheme_in_force
from gradecut.workflows.lines import rep_lines
from gradecut.workflows.teaching import (
    build_reel,
    change_piece,
    corrections,
    drop_piece,
    drop_reel,
    pieces_of,
    plan_reel,
    render_reel,
    reorder,
    withheld,
)

__all__ = ["TeachDesk"]


class TeachDesk:
    """Holds the reel that is shown.

    Attributes
    ----------
    reels : list of Reel
        Newest first.
    reel : Reel or None
    pieces : list of Piece
        Of that reel, in order.
    piece : Piece or None
        The chosen one.
    preview : Preview
    pictures : SnapPictures

    Signals
    -------
    reels_changed, reel_changed, piece_changed
        The list of reels; the reel or its pieces; the chosen piece.
    lines_changed
        The reps that questions are asked of have been read.
    """

    reels_changed = Signal()
    reel_changed = Signal()
    piece_changed = Signal()
    lines_changed = Signal()

    def __init__(
        self,
        book: Book,
        jobs: JobRunner,
        post: Post,
        say: Callable[[str], None],
        pictures: SnapPictures,
    ) -> None:
        self.book = book
        self.jobs = jobs
        self.say = say
        self.pictures = pictures
        self.preview = Preview(post, say)
        self.reels: list[Reel] = []
        self.reel: Reel | None = None
        self.pieces: list[Piece] = []
        self.piece: Piece | None = None
        self._lines: list[RepLine] | None = None
        self._reading = False
        self._turn = 0
        self._planned = 0
        self._shown: tuple[Reel | None, tuple[Piece, ...]] = (None, ())
        self.refresh()

    def close(self) -> None:
        """Stop what runs for this page."""
        self.preview.close()

    @says
    def refresh(self) -> None:
        """Read the reels and pieces again; the reel and piece chosen stay chosen."""
        self._lines = None
        self._turn += 1
        before = self.reels
        self.reels = sorted(
            seen(self.book, self.book.find(Reel)), key=lambda reel: reel.id, reverse=True
        )
        kept = self.reel.id if self.reel else None
        self.reel = next((reel for reel in self.reels if reel.id == kept), None)
        if self.reel is None and self.reels:
            self.reel = self.reels[0]
        self._read_pieces()
        if self.reels != before:
            self.reels_changed.emit()

    def understand(self, question: str) -> str:
        """Say how a question is understood and how many reps answer it, or what is wrong with it.

        The reps are read beside the window the first time; ``lines_changed`` tells when
        they are there.
        """
        if not question.strip():
            return "Type it as you would say it: who, how it came out, which fit, against what."
        if self._lines is None:
            self._read_lines()
            return "Reading the reps …"
        try:
            asked = read_question(
                question, scheme_in_force(self.book), self.book.find(Player), self._lines
            )
        except GradecutError as error:
            return str(error)
        count = len(reps_asked(asked, self._lines))
        return f"{asked.understood} — {counted(count, 'rep')}"

    @says
    def build(self, question: str) -> None:
        """Build a reel from a question beside the window, then show it."""
        if not question.strip():
            self.say(Refusal("Ask for reps first, such as “Keel, right fits on zone to him”."))
            return
        self._start_building(lambda: build_reel(self.book, question.strip()))

    @says
    def build_corrections(self) -> None:
        """Build the reel of everything flagged for tomorrow, then show it."""
        self._start_building(lambda: corrections(self.book))

    @says
    def choose_reel(self, reel_id: str) -> None:
        """Show another reel."""
        self.reel = next((reel for reel in self.reels if reel.id == reel_id), self.reel)
        self.piece = None
        self._read_pieces()

    def choose_piece(self, piece_id: str) -> None:
        """Choose a piece, and show where it begins."""
        found = next((piece for piece in self.pieces if piece.id == piece_id), None)
        if found is not self.piece:
            self.piece = found
            self.piece_changed.emit()
            self.preview.go_to_piece(piece_id)

    @says
    def throw_away(self) -> None:
        """Throw the reel away; undo brings it back."""
        if self.reel is not None:
            name = self.reel.name
            drop_reel(self.book, self.reel)
            self.refresh()
            self.say(f"“{name}” is thrown away; its film stays.")

    @says
    def move(self, by: int) -> None:
        """Move the chosen piece earlier (negative) or later."""
        if self.piece is None:
            return
        ids = [piece.id for piece in self.pieces]
        place = ids.index(self.piece.id)
        goal = min(max(place + by, 0), len(ids) - 1)
        if goal != place:
            ids.insert(goal, ids.pop(place))
            self.put_in_order(ids)

    @says
    def put_in_order(self, piece_ids: Sequence[str]) -> None:
        """Put the pieces in a new order."""
        if self.reel is not None and list(piece_ids) != [piece.id for piece in self.pieces]:
            reorder(self.book, self.reel, piece_ids)
            self._read_pieces()

    @says
    def drop(self) -> None:
        """Take the chosen piece out of the reel."""
        if self.piece is None:
            return
        place = [piece.id for piece in self.pieces].index(self.piece.id)
        drop_piece(self.book, self.piece)
        rest = [piece for piece in self.pieces if piece.id != self.piece.id]
        self.piece = rest[min(place, len(rest) - 1)] if rest else None
        self._read_pieces()

    @says
    def change(self, /, **changes: Any) -> None:
        """Change the chosen piece: ``title``, ``caption``, ``from_s``, ``to_s``, ``speed``."""
        if self.piece is not None:
            change_piece(self.book, self.piece, **changes)
            self._read_pieces()

    @says
    def change_times(self, from_s: str, to_s: str) -> None:
        """Change the chosen piece's stretch, as it was written in seconds from the snap."""
        try:
            ends = _seconds(from_s), _seconds(to_s)
        except (ValueError, ZeroDivisionError):
            self.say(Refusal("Write from and to as seconds from the snap, such as −2 and 3.5."))
            self.piece_changed.emit()
            return
        self.change(from_s=ends[0], to_s=ends[1])
        self.piece_changed.emit()

    def withheld_men(self) -> list[Player]:
        """Return the players of the reel whose film may not leave the staff."""
        return [] if self.reel is None else withheld(self.book, self.reel)

    @says
    def plan_preview(self) -> None:
        """Work the reel out beside the window, then show its first frame."""
        reel = self.reel
        self._planned += 1
        asked = self._planned
        if reel is None:
            self.preview.load(None)
            return

        def work(progress: Progress, cancel: CancelToken) -> Plan:
            cancel.check("Planning the reel")
            return plan_reel(self.book, reel, for_staff=True, progress=progress)

        def show(plan: Plan) -> None:
            if asked == self._planned:
                self.preview.load(plan)
                if self.piece is not None:
                    self.preview.go_to_piece(self.piece.id)
                for sentence in plan.missing[:1]:
                    more = len(plan.missing) - 1
                    self.say(sentence + (f" ({more} more)" if more else ""))

        self.jobs.start("Planning the reel", work, show)

    @says
    def render(self, path: str, *, for_staff: bool = False) -> None:
        """Render the reel to a film; says where it lies.

        Parameters
        ----------
        for_staff : bool
            Keep players whose film may not leave the staff.
        """
        reel = self.reel
        if reel is None:
            self.say(Refusal("Build a reel first."))
            return

        def work(progress: Progress, cancel: CancelToken) -> Plan:
            return render_reel(
                self.book, reel, path, for_staff=for_staff, progress=progress, cancel=cancel
            )

        def tell(plan: Plan) -> None:
            left = f"; {len(plan.missing)} left out" if plan.missing else ""
            self.say(f"Written: {path} ({_length(plan)}{left}).")

        self.jobs.start(f"Rendering “{reel.name}”", work, tell)

    def _read_lines(self) -> None:
        if self._reading:
            return
        self._reading, asked = True, self._turn

        def work(_progress: Progress, cancel: CancelToken) -> list[RepLine]:
            cancel.check("Reading the reps")
            return rep_lines(self.book)

        def keep(lines: list[RepLine]) -> None:
            self._reading = False
            if asked != self._turn:
                # Read while the book changed, or while he began to grade blind.
                self._read_lines()
                return
            self._lines = lines
            self.lines_changed.emit()

        self.jobs.start("Reading the reps", work, keep)

    def _start_building(self, build: Callable[[], Reel]) -> None:
        def work(_progress: Progress, cancel: CancelToken) -> Reel:
            cancel.check("Building the reel")
            return build()

        self.jobs.start("Building the reel", work, self._show_new)

    def _show_new(self, reel: Reel) -> None:
        self.reel, self.piece = reel, None
        self.refresh()
        count = len(self.pieces)
        self.say(f"“{reel.name}”: {counted(count, 'piece')}.")

    def _read_pieces(self) -> None:
        pieces = pieces_of(self.book, self.reel) if self.reel else []
        kept = self.piece.id if self.piece else None
        before, shown = self._shown, (self.reel, tuple(pieces))
        self._shown, self.pieces = shown, pieces
        self.piece = next((piece for piece in pieces if piece.id == kept), None)
        if self.piece is None and pieces:
            self.piece = pieces[0]
        if shown != before:
            self.reel_changed.emit()
            self.plan_preview()
        if shown != before or (self.piece and self.piece.id) != kept:
            self.piece_changed.emit()


def _seconds(written: str) -> Fraction:
    """Read a time in seconds, with a point or a comma, a hyphen or a minus sign."""
    return Fraction(written.strip().replace(",", ".").replace("−", "-"))


def _length(plan: Plan) -> str:
    minutes, seconds = divmod(round(plan.duration_s), 60)
    return f"{minutes}:{seconds:02d} min"
