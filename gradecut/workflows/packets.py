"""Packets: each player's own reps to grade himself, before he sees the coach's grade."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from os import PathLike
from pathlib import Path

from gradecut.book import Book
from gradecut.errors import BookError, GradecutError
from gradecut.grading import film_order
from gradecut.hints import nearest
from gradecut.outfile import make_folder
from gradecut.progress import CancelToken, Progress, silent
from gradecut.records import Freeze, Mark, Piece, Player, Reel, RepLine
from gradecut.reels import Plan, plan, render
from gradecut.reports.packet import write_packet
from gradecut.scheme import Scheme
from gradecut.workflows.answers import Answers, Compared, compare_answers, record_answers
from gradecut.workflows.booking import book_info, scheme_in_force
from gradecut.workflows.lines import rep_lines
from gradecut.workflows.look_pictures import look_picture
from gradecut.workflows.player_files import file_names
from gradecut.workflows.reporting import book_rubric
from gradecut.workflows.teaching import best_angle, sources_of

__all__ = [
    "Answers",
    "Compared",
    "Packets",
    "compare_answers",
    "record_answers",
    "write_packets",
]

PAGE, FILM = "packet.html", "plays.mp4"
_BEFORE_S, _AFTER_S = Fraction(2), Fraction(3)
_HOLD_S = Fraction(2)
_ASKS = "What do you owe here?"


@dataclass(frozen=True, slots=True, kw_only=True)
class Packets:
    """What was written, and for whom nothing was.

    Attributes
    ----------
    written : tuple of Path
        The page of each packet; its film lies beside it.
    left_out : tuple of Player
        Under 18 without consent on file, or of an age nobody has told.
    notes : tuple of str
        What could not be shown, one sentence each.
    """

    written: tuple[Path, ...]
    left_out: tuple[Player, ...]
    notes: tuple[str, ...] = ()


def write_packets(
    book: Book,
    folder: str | PathLike[str],
    *,
    names: Collection[str] = (),
    session_ids: Collection[str] | None = None,
    size_px: tuple[int, int] = (1280, 720),
    progress: Progress = silent,
    cancel: CancelToken | None = None,
) -> Packets:
    """Write a packet for each player: a folder of his name with a page and his film.

    His runs in film order, standing still at the snap with his bracket and nothing else:
    neither film nor page tells what anybody else said he owed or did. Nothing is put into
    the book.

    Parameters
    ----------
    names : collection of str
        Full names; empty for everybody with a rep of a run.
    size_px : (width, height)
        Of the film; both even.

    Raises
    ------
    BookError
        When there is no scheme to choose fits from, or no run to write of.
    GradecutError
        When a name is not that of a player with a rep.
    OutputError
        When it can't be written there.
    Cancelled
        When asked to stop; packets already whole stay.
    """
    scheme = scheme_in_force(book)
    if scheme is None:
        raise BookError(
            f"{book.path}: there is no scheme in this book, so a player has no fits to choose "
            "from; bring a scheme in first."
        )
    men = _men(book, names, session_ids)
    home = make_folder(folder)
    called = file_names(book.find(Player))
    shared = [lines for lines in men if lines[0].player.may_be_shared]
    written: list[Path] = []
    notes: list[str] = []
    for number, lines in enumerate(shared):
        if cancel is not None:
            cancel.check("Writing packets")
        told = _share(progress, number, len(shared), lines[0].player)
        own = home / called[lines[0].player.id]
        page, missing = _write_one(book, scheme, own, lines, size_px, progress=told, cancel=cancel)
        written.append(page)
        notes += [f"{lines[0].player.name}: {sentence}" for sentence in missing]
    progress(1.0, "Packets written")
    left_out = [lines[0].player for lines in men if not lines[0].player.may_be_shared]
    return Packets(written=tuple(written), left_out=tuple(left_out), notes=tuple(notes))


def _men(
    book: Book, names: Collection[str], session_ids: Collection[str] | None
) -> list[list[RepLine]]:
    """Return the runs of each player who is meant, players in film order."""
    lines = [line for line in rep_lines(book, session_ids=session_ids) if line.clip.kind == "run"]
    if not lines:
        raise BookError(
            f"{book.path}: there is no run to write a packet of; add film with a script, or put "
            "players in on the clips."
        )
    grouped: dict[str, list[RepLine]] = {}
    for line in sorted(lines, key=film_order):
        grouped.setdefault(line.player.name, []).append(line)
    for name in names:
        if name not in grouped:
            raise GradecutError(f"“{name}” has no run here; {nearest(name, grouped)}")
    return [own for name, own in grouped.items() if not names or name in names]


def _write_one(
    book: Book,
    scheme: Scheme,
    own: Path,
    lines: Sequence[RepLine],
    size_px: tuple[int, int],
    *,
    progress: Progress,
    cancel: CancelToken | None,
) -> tuple[Path, tuple[str, ...]]:
    """Write one player's folder; return its page and what could not be shown."""
    folder = make_folder(own)
    planned, starts = _planned(book, lines, size_px)
    if planned.steps:
        render(planned, folder / FILM, progress=progress, cancel=cancel)
    page = folder / PAGE
    write_packet(
        page,
        lines,
        chapters=starts,
        film=FILM if planned.steps else None,
        fits=_fits(scheme),
        misses={fit.name: [name for name, _ in fit.misses] for fit in scheme.fits.values()},
        pictures={line.rep.id: look_picture(line.look) for line in lines},
        rubric=book_rubric(book),
        subtitle=" · ".join(
            [book_info(book).name, *dict.fromkeys(line.session.name for line in lines)]
        ),
    )
    return page, planned.missing


def _planned(
    book: Book, lines: Sequence[RepLine], size_px: tuple[int, int]
) -> tuple[Plan, dict[str, Fraction]]:
    """Plan a player's film and say where each of his reps starts in it, in seconds."""
    reel = Reel(name=lines[0].player.name)
    pieces: list[Piece] = []
    marks: list[Mark] = []
    for line in lines:
        angle = best_angle(book, line.rep)
        if angle is None:
            continue
        held = [
            replace(mark, text="", meaning="plain", colour="")
            for mark in book.find(Mark, angle_id=angle.id, rep_id=line.rep.id, kind="bracket")
        ]
        marks += held
        pieces.append(
            Piece(
                reel_id=reel.id,
                order=len(pieces) + 1,
                clip_id=line.clip.id,
                angle_id=angle.id,
                rep_id=line.rep.id,
                from_s=-_BEFORE_S,
                to_s=_AFTER_S,
                freezes=(Freeze(at_s=Fraction(0), hold_s=_HOLD_S),),
                title=f"Play {line.clip.order}",
                caption=_ASKS,
                mark_ids=tuple(mark.id for mark in held),
            )
        )
    planned = plan(reel, pieces, sources_of(book, pieces), marks, size_px=size_px)
    rep_of = {piece.id: piece.rep_id or "" for piece in pieces}
    starts: dict[str, Fraction] = {}
    for step in planned.steps:
        starts.setdefault(rep_of[step.piece_id], step.first_frame / planned.rate)
    return planned, starts


def _fits(scheme: Scheme) -> dict[str, tuple[str, ...]]:
    """Return the fits each man may be asked for, in the scheme's order."""
    asked = {
        position: {
            name for rule in scheme.rules if position in rule.men for name in (rule.fit, *rule.also)
        }
        for position in scheme.positions
    }
    return {
        position: tuple(name for name in scheme.fits if name in names)
        for position, names in asked.items()
    }


def _share(progress: Progress, number: int, count: int, player: Player) -> Progress:
    """Give one packet its share of the whole progress."""

    def tell(done: float, saying: str) -> None:
        progress((number + done) / count, f"{player.name}: {saying}")

    return tell
