"""How a man lined up is kept by eye beside his grade, one word a grader, and can be undone."""

from __future__ import annotations

from pathlib import Path

import pytest

from gradecut.book import Book
from gradecut.errors import GradeError, InputError
from gradecut.records import Alignment, Grade, LinedUp, RepLine
from gradecut.reports.wording import lined_up_words
from gradecut.workflows.lines import rep_lines
from gradecut.workflows.lining_up import (
    alignment_words,
    lined_up_of,
    say_lined_up,
    unsay_lined_up,
)
from gradecut.workflows.recording import record_observations
from gradecut.workflows.rep_asked import ask_rep
from tests.workflows.small_week import write_lines


def line_with(book: Book, *, asked: bool) -> RepLine | None:
    """Find a rep the scheme asks an alignment of, or none of."""
    lines = rep_lines(book)
    found = (one for one in lines if bool(ask_rep(book, one.rep).expectation.alignment) is asked)
    return next(found, None)


def test_a_word_is_kept_changed_and_undone(book: Book) -> None:
    """The last word counts, stands beside the grade, changes no grade, and can be taken back."""
    line = line_with(book, asked=True)
    assert line is not None
    grades = book.find(Grade)
    say_lined_up(book, line.rep, off=["too deep"])
    say_lined_up(book, line.rep)
    (read,) = [one for one in rep_lines(book) if one.rep.id == line.rep.id]
    assert lined_up_words(read.lined_up) == "right"
    assert book.find(Grade) == grades
    book.undo()
    (told,) = book.find(LinedUp)
    assert (told.verdict, told.off) == ("off", ("too deep",))
    unsay_lined_up(book, line.rep)
    assert book.find(LinedUp) == []


def test_a_sheet_tells_it_too(book: Book, tmp_path: Path) -> None:
    """The column ``lined_up`` of an observations sheet keeps the same words; slips are told."""
    line = line_with(book, asked=True)
    assert line is not None
    head = "play,session,position,lined_up"
    where = f"{line.clip.order},{line.session.name},{line.rep.position}"
    sheet = write_lines(tmp_path / "sheet.csv", head, f"{where},Too deep; too wide")
    record_observations(book, sheet)
    (told,) = book.find(LinedUp)
    assert (told.rep_id, told.off) == (line.rep.id, ("too deep", "too wide"))
    slip = write_lines(tmp_path / "slip.csv", head, f"{where},too deap")
    with pytest.raises(InputError, match=r"line 2.*too deap.*too deep"):
        record_observations(book, slip)


def test_a_way_nobody_knows_is_refused(book: Book) -> None:
    """A slip of the pen is told with the nearest way; nothing is kept."""
    line = line_with(book, asked=True)
    assert line is not None
    with pytest.raises(GradeError, match="too deep"):
        say_lined_up(book, line.rep, off=["to deep"])
    with pytest.raises(GradeError, match="not both"):
        say_lined_up(book, line.rep, off=["too deep"], cannot=True)
    assert book.find(LinedUp) == []


def test_an_estimate_never_stands_above_a_persons_word() -> None:
    """A later measurement counts only where nobody has looked."""
    eye = LinedUp(rep_id="r", verdict="right", author="Coach Alder")
    measured = LinedUp(rep_id="r", verdict="off", off=("too deep",), source="estimated")
    assert lined_up_of([eye, measured], "Coach Alder") == eye
    assert lined_up_of([measured], "Coach Alder") == measured
    assert lined_up_of([], "Coach Alder") is None


def test_a_measurement_belongs_to_everybody(book: Book) -> None:
    """Whoever reads, a measured place counts where no person looked, whoever measured it."""
    line = line_with(book, asked=True)
    assert line is not None

    def read(author: str | None) -> str:
        (found,) = [one for one in rep_lines(book, author=author) if one.rep.id == line.rep.id]
        return lined_up_words(found.lined_up)

    for name in ("", "the office computer"):
        with book.act("measure") as act:
            act.drop_all(book.find(LinedUp))
            act.put(
                LinedUp(
                    rep_id=line.rep.id,
                    verdict="off",
                    off=("too deep",),
                    source="estimated",
                    author=name,
                )
            )
        assert {read(author) for author in (None, book.author, "Another")} == {"too deep"}
    say_lined_up(book, line.rep)
    assert (read(book.author), read(None), read("Another")) == ("right", "right", "too deep")


def test_words() -> None:
    """Where he should stand, in one line."""
    asked = Alignment(depth_yd=4.5, landmark="A", side="right", tolerance_yd=1, eyes="guard")
    assert alignment_words(asked) == "4.5 yd deep at A right, within 1 yd; eyes: guard"
    assert alignment_words(Alignment(depth_yd=4, landmark="B")) == "4 yd deep at B"
    assert lined_up_words(None) == ""
