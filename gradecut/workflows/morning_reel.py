"""The players' reel of the flagged reps: each asks before the fit, then shows and answers."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from os import PathLike
from pathlib import Path

from gradecut.book import Book
from gradecut.counting_words import counted
from gradecut.errors import GradecutError, RenderError
from gradecut.grading import film_order
from gradecut.outfile import check_goal
from gradecut.progress import CancelToken, Progress, silent
from gradecut.records import Mark, Piece, Player, Reel, RepLine
from gradecut.reels import PieceSource, Plan, PlannedStep, plan, render, write_chapters
from gradecut.reels.wording import has_head_contact
from gradecut.reports.barred import barred_words
from gradecut.workflows.asked_pieces import AskedRep, asked_pieces, who_words
from gradecut.workflows.films import check_no_film_there, paths_of_films
from gradecut.workflows.flagged import flagged_reps
from gradecut.workflows.found_snaps import FoundSnaps
from gradecut.workflows.lines import rep_lines
from gradecut.workflows.marking import marks_on
from gradecut.workflows.moments import timelines_of
from gradecut.workflows.teaching import sources_of

__all__ = ["LeftOut", "MorningReel", "plan_morning_reel", "write_morning_reel"]

_OPENING = "What do you owe?"
_OPENING_S = Fraction(3)
_PLANNING = 0.2
"""Share of the work that goes before the first frame is written."""


@dataclass(frozen=True, slots=True, kw_only=True)
class MorningReel:
    """What was written, and who and what is not in it.

    Attributes
    ----------
    path, chapters : Path
    reps : int
        How many reps it shows.
    duration_s : Fraction
    withheld : tuple of Player
        Men under 18 without consent, or of an age nobody has told; left out.
    notes : tuple of str
        What else is left out, one sentence each.
    """

    path: Path
    chapters: Path
    reps: int
    duration_s: Fraction
    withheld: tuple[Player, ...] = ()
    notes: tuple[str, ...] = ()


def write_morning_reel(
    book: Book,
    out: str | PathLike[str],
    *,
    session_ids: Collection[str] | None = None,
    author: str | None = None,
    rate: Fraction = Fraction(30),
    size_px: tuple[int, int] = (1280, 720),
    for_staff: bool = False,
    sound: bool = False,
    progress: Progress = silent,
    cancel: CancelToken | None = None,
) -> MorningReel:
    """Render the players' reel of the flagged reps; the book stays as it is.

    Each rep runs from before the snap, stands still before his fit with the question on the
    picture, goes on, and stands still where he is in or out of his fit, with his marks and
    the answer. Film runs at its own speed; it is silent unless ``sound``.

    Parameters
    ----------
    session_ids : collection of str or None
        Only these sessions; None: all.
    author : str or None
        Whose grades count; None: the newest anybody of the staff gave.
    for_staff : bool
        True keeps players under 18 without consent, for eyes inside the staff only.

    Raises
    ------
    GradecutError
        When nothing is flagged.
    RenderError
        When nothing of it can be shown.
    OutputError
        When it can't be written there, or a film of the book lies there.
    Cancelled
        When asked to stop; nothing is left behind.
    """
    goal = check_goal(out, endings=(".mp4",), what="the players' reel")
    check_no_film_there(book, goal)
    beside = check_goal(goal.with_suffix(".vtt"))
    planned, left = plan_morning_reel(
        book, session_ids=session_ids, author=author, rate=rate, size_px=size_px,
        for_staff=for_staff, cancel=cancel,
        progress=lambda done, saying: progress(_PLANNING * done, saying),
    )  # fmt: skip
    if not planned.steps:
        why = " ".join((*left.sentences, *planned.missing))
        raise RenderError(f"“{planned.name}” has nothing to show. {why}")
    render(
        planned, goal, sound=sound, cancel=cancel,
        progress=lambda done, saying: progress(_PLANNING + (1 - _PLANNING) * done, saying),
    )  # fmt: skip
    write_chapters(planned, beside)
    return MorningReel(
        path=goal,
        chapters=beside,
        reps=sum(step.kind == "card" for step in planned.steps) - 1,
        duration_s=planned.duration_s,
        withheld=left.withheld,
        notes=(*left.notes, *planned.missing),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class LeftOut:
    """Who and what is not in the reel.

    Attributes
    ----------
    withheld : tuple of Player
        Men under 18 without consent, or of an age nobody has told.
    notes : tuple of str
        One sentence for each rep left out for another reason.
    """

    withheld: tuple[Player, ...] = ()
    notes: tuple[str, ...] = ()

    @property
    def sentences(self) -> tuple[str, ...]:
        """All of it, one sentence each."""
        barred = f"Left out, {barred_words(self.withheld)}."
        return (*((barred,) if self.withheld else ()), *self.notes)


def plan_morning_reel(
    book: Book,
    *,
    session_ids: Collection[str] | None = None,
    author: str | None = None,
    rate: Fraction = Fraction(30),
    size_px: tuple[int, int] = (1280, 720),
    for_staff: bool = False,
    progress: Progress = silent,
    cancel: CancelToken | None = None,
) -> tuple[Plan, LeftOut]:
    """Work the players' reel out to the frame, and say what is left out of it.

    Raises
    ------
    GradecutError
        When nothing is flagged.
    Cancelled
        When asked to stop.
    """
    lines = sorted(rep_lines(book, session_ids=session_ids, author=author), key=film_order)
    flagged = flagged_reps(book, lines)
    if not flagged:
        raise GradecutError("Nothing is flagged for tomorrow yet; flag a rep or a play first.")
    shown, left = _chosen(flagged, for_staff=for_staff)
    asked = _asked(book, shown, progress, cancel)
    no_film = [f"{_called(one)}: its film is not on this computer." for one in shown
               if one.rep.id not in asked]  # fmt: skip
    left = replace(left, notes=(*left.notes, *no_film))
    names = list(dict.fromkeys(line.session.name for line in flagged))
    count = counted(len(asked), "rep")
    reel = Reel(name=f"{names[0] if len(names) == 1 else f'{len(names)} sessions'} · {count}")
    pieces: list[Piece] = []
    marks: list[Mark] = []
    for one in asked.values():
        own, drawn = asked_pieces(one, reel_id=reel.id, order=len(pieces) + 1, rate=rate)
        pieces += own
        marks += drawn
    planned = plan(
        reel, pieces, _sources(book, pieces, asked), marks, rate=rate, size_px=size_px,
        rights=_rights(shown), names={line.rep.id: who_words(line) for line in shown},
    )  # fmt: skip
    titles = {piece.id: piece.title for piece in pieces}
    return _opened(_retitled(planned, pieces, titles)), left


def _chosen(lines: Sequence[RepLine], *, for_staff: bool) -> tuple[list[RepLine], LeftOut]:
    """Return the flagged reps that may be shown and can be asked of, and what is left out."""
    barred = [] if for_staff else [line for line in lines if not line.player.may_be_shared]
    withheld = {line.rep.id for line in barred}
    shown: list[RepLine] = []
    notes: list[str] = []
    for line in lines:
        if line.rep.id in withheld:
            continue
        if why := _why_not(line):
            notes.append(f"{_called(line)}: {why}")
        else:
            shown.append(line)
    men = {line.player.id: line.player for line in barred}
    return shown, LeftOut(withheld=tuple(men.values()), notes=tuple(notes))


def _why_not(line: RepLine) -> str:
    """Say why a rep is not shown to players; empty where it is."""
    if line.clip.kind == "no play":
        return "it was no play."
    if has_head_contact(line):
        return "contact with the head; such a rep goes into no reel."
    if not ((line.grade and line.grade.expected_fit) or line.expected_fit):
        return "what he owed is not settled, so there is nothing to ask."
    return ""


def _called(line: RepLine) -> str:
    return f"Play {line.clip.order}, {who_words(line)}"


def _asked(
    book: Book, lines: Sequence[RepLine], progress: Progress, cancel: CancelToken | None
) -> dict[str, AskedRep]:
    """Gather what is known of each rep's film; those without film here are left out."""
    timelines = timelines_of(book, {line.clip.id for line in lines})
    angles = [angle for line in timelines.values() for angle in line.angles]
    marks = marks_on(book, angles)
    snaps = FoundSnaps()
    here = paths_of_films(book, list({angle.film_id for angle in angles}))
    found: dict[str, AskedRep] = {}
    for number, line in enumerate(lines):
        if cancel is not None:
            cancel.check("Planning the reel")
        progress(number / len(lines), f"Looking for the fit on play {line.clip.order}")
        one = AskedRep.of(line, timelines[line.clip.id], marks, here, snaps, cancel=cancel)
        if one is not None:
            found[line.rep.id] = one
    return found


def _sources(
    book: Book, pieces: Sequence[Piece], asked: Mapping[str, AskedRep]
) -> dict[str, PieceSource]:
    """Find the films; where no snap is marked, a play is counted from its first frame."""
    starts = {one.angle.id: one.anchor for one in asked.values()}
    return {
        angle_id: replace(source, snap_pts=starts[angle_id])
        for angle_id, source in sources_of(book, pieces).items()
    }


def _rights(lines: Sequence[RepLine]) -> dict[str, bool]:
    return {
        line.rep.id: line.grade.fit_result == "right"
        for line in lines
        if line.grade is not None and line.grade.fitted
    }


# ---------------------------------------------------------------------- cards and chapters


def _retitled(planned: Plan, pieces: Sequence[Piece], titles: Mapping[str, str]) -> Plan:
    """Name the showing after its question, so that no chapter gives the answer away."""
    named: dict[str, str] = {}
    asked = ""
    for piece in sorted(pieces, key=lambda one: one.order):
        asked = titles[piece.id] or asked
        named[piece.id] = titles[piece.id] or f"{asked}: shown"
    steps = tuple(replace(step, title=named[step.piece_id]) for step in planned.steps)
    return replace(planned, steps=steps)


def _opened(planned: Plan) -> Plan:
    """Put a card before the first rep."""
    if not planned.steps:
        return planned
    count = int(_OPENING_S * planned.rate)
    card = PlannedStep(
        kind="card", piece_id="opening", first_frame=0, frame_count=count, title=_OPENING
    )
    moved: Iterator[PlannedStep] = (
        replace(step, first_frame=step.first_frame + count) for step in planned.steps
    )
    return replace(planned, steps=(card, *moved))
