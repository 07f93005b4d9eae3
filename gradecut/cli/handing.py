"""Commands that hand things out: sheet, reel, clip, packet."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path
from typing import Annotated

import typer

from gradecut.book import Book
from gradecut.cli.boundary import guarded, say, show_progress
from gradecut.cli.doors import (
    BookPath,
    By,
    Grader,
    SessionName,
    choose_plays,
    opened,
    session_ids,
)
from gradecut.outfile import check_folder, check_goal

__all__ = ["clip", "packet", "reel", "sheet"]


@guarded
def sheet(
    book: BookPath,
    out: Annotated[Path | None, typer.Option(help="The workbook to write (.xlsx).")] = None,
    session: SessionName = "",
    by: By = None,
    staff: Annotated[
        Path | None, typer.Option(help="Write the page for the staff's meeting (.html).")
    ] = None,
    report: Annotated[
        Path | None, typer.Option(help="Write the staff's report too (.html).")
    ] = None,
    players: Annotated[
        Path | None, typer.Option(help="Write each player's own sheet into this folder.")
    ] = None,
) -> None:
    """Write the grade sheet, and the pages that go with it; any one of them alone, too.

    Example: gradecut sheet herons.gradecut --out sheet.xlsx --report report.html --players sheets/
    """
    if not any((out, staff, report, players)):
        raise typer.BadParameter("Say what to write: --out, --staff, --report or --players.")
    from gradecut.workflows.reporting import (
        REPORT_ENDINGS,
        SHEET_ENDINGS,
        write_book_report,
        write_book_sheet,
        write_player_sheets,
    )
    from gradecut.workflows.staff_page import write_staff_page

    for page, endings, what in (
        (out, SHEET_ENDINGS, "the grade sheet"),
        (staff, REPORT_ENDINGS, "the staff's page"),
        (report, REPORT_ENDINGS, "the report"),
    ):
        if page is not None:
            check_goal(page, endings=endings, what=what)
    if players is not None:
        check_folder(players)
    cuts = tuple(by or ("concept",))
    written: list[Path] = []
    notes: tuple[str, ...] = ()
    with opened(book) as opened_book, show_progress() as progress:
        wanted = session_ids(opened_book, session)
        if out is not None:
            write_book_sheet(opened_book, out, by=cuts, session_ids=wanted, progress=progress)
            written.append(out)
        if staff is not None:
            done = write_staff_page(opened_book, staff, session_ids=wanted, progress=progress)
            written.append(staff)
            notes = done.notes
        if report is not None:
            write_book_report(opened_book, report, by=cuts, session_ids=wanted)
            written.append(report)
        if players is not None:
            written += write_player_sheets(opened_book, players, session_ids=wanted)
    say(*[f"Written: {path}" for path in written], *notes)


@guarded
def reel(
    book: BookPath,
    question: Annotated[
        str,
        typer.Argument(help="Which reps, in your words; left out with --corrections, --morning."),
    ] = "",
    out: Annotated[
        Path, typer.Option(help="The film to write (.mp4); chapters go beside it.")
    ] = Path("reel.mp4"),
    corrections: Annotated[bool, typer.Option(help="All flagged reps.")] = False,
    morning: Annotated[
        bool,
        typer.Option("--morning", help="All flagged reps, each asking before it shows."),
    ] = False,
    session: SessionName = "",
    rate: Annotated[int, typer.Option(min=1, max=120, help="Frames a second.")] = 30,
    for_staff: Annotated[
        bool, typer.Option(help="Keep players under 18 without consent: staff eyes only.")
    ] = False,
    sound: Annotated[
        bool, typer.Option("--sound", help="Keep the film's sound where it runs at its own speed.")
    ] = False,
    grader: Grader = "",
) -> None:
    """Build a reel from a question and render it.

    Example: gradecut reel herons.gradecut "Keel, right fits on zone to him" --out keel.mp4
    """
    from gradecut.reports.barred import barred_words
    from gradecut.workflows.teaching import (
        draft_corrections,
        draft_reel,
        keep_reel,
        render_reel,
        withheld,
    )

    if corrections + morning + bool(question) != 1:
        raise typer.BadParameter(
            "Ask a question, or say --corrections or --morning; one of the three."
        )
    if morning:
        with opened(book, grader) as opened_book:
            _morning_reel(
                opened_book, out, session, Fraction(rate),
                author=grader or None, for_staff=for_staff, sound=sound,
            )  # fmt: skip
        return
    with opened(book, grader) as opened_book, show_progress() as progress:
        wanted = session_ids(opened_book, session)
        drafted = (
            draft_corrections(opened_book, session_ids=wanted)
            if corrections
            else draft_reel(opened_book, question, session_ids=wanted)
        )
        left_out = [] if for_staff else withheld(opened_book, drafted)
        planned = render_reel(
            opened_book,
            drafted,
            out,
            rate=Fraction(rate),
            for_staff=for_staff,
            sound=sound,
            progress=progress,
        )
        keep_reel(opened_book, drafted)
    say(f"Written: {out} ({float(planned.duration_s):.0f} s) and {out.with_suffix('.vtt')}")
    say(*planned.missing)
    if left_out:
        say(f"Left out, {barred_words(left_out)}.")


def _morning_reel(
    book: Book, out: Path, session: str, rate: Fraction,
    *, author: str | None, for_staff: bool, sound: bool,
) -> None:  # fmt: skip
    """Render the players' reel and say what is in it."""
    from gradecut.reports.barred import barred_words
    from gradecut.workflows.morning_reel import write_morning_reel

    with show_progress() as progress:
        done = write_morning_reel(
            book, out, session_ids=session_ids(book, session), author=author, rate=rate,
            for_staff=for_staff, sound=sound, progress=progress,
        )  # fmt: skip
    say(f"Written: {done.path} ({float(done.duration_s):.0f} s) and {done.chapters}", *done.notes)
    if done.withheld:
        say(f"Left out, {barred_words(done.withheld)}.")


@guarded
def clip(
    book: BookPath,
    play: Annotated[int, typer.Option(min=1, help="Which play.")],
    out: Annotated[Path, typer.Option(help="The film to write (.mp4).")],
    session: SessionName = "",
    angle: Annotated[str, typer.Option(help="Which view of it, where it has several.")] = "",
    sound: Annotated[
        bool, typer.Option("--sound/--no-sound", help="Whether to keep the film's sound.")
    ] = True,
    marks: Annotated[
        bool, typer.Option("--marks/--no-marks", help="Whether to paint on what is drawn on it.")
    ] = False,
) -> None:
    """Write one play as film of its own, from its first frame to its last.

    Example: gradecut clip herons.gradecut --session Tuesday --play 3 --angle end --out play3.mp4
    """
    from gradecut.workflows.exporting import angle_called, consent_line, write_clip

    with opened(book) as opened_book, show_progress() as progress:
        chosen = choose_plays(opened_book, session, play)
        if len(chosen) != 1:
            raise typer.BadParameter(f"Several sessions have a play {play}; name one: --session.")
        view = angle_called(opened_book, chosen[0], angle)
        done = write_clip(
            opened_book, chosen[0], view, out, sound=sound, marks=marks, progress=progress
        )
        caution = consent_line(opened_book, chosen[0])
    say(f"Written: {done.path} ({float(done.frame_count / done.rate):.1f} s)", *done.notes)
    say(caution)


@guarded
def packet(
    book: BookPath,
    out: Annotated[Path, typer.Option(help="The folder to write packets into.")],
    players: Annotated[
        list[str] | None, typer.Option("--player", help="Only this player; may be given twice.")
    ] = None,
    session: SessionName = "",
) -> None:
    """Write packets: what a player grades himself before he sees the coach's grade.

    Example: gradecut packet herons.gradecut --out packets/ --player "Tavin Okorie"
    """
    from gradecut.reports.barred import barred_words
    from gradecut.workflows.packets import write_packets

    with opened(book) as opened_book, show_progress() as progress:
        done = write_packets(
            opened_book,
            out,
            names=tuple(players or ()),
            session_ids=session_ids(opened_book, session),
            progress=progress,
        )
    say(*[f"Written: {path}" for path in done.written])
    say(*done.notes)
    if done.left_out:
        say(f"Left out, {barred_words(done.left_out)}.")
