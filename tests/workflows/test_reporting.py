"""Every number on board and sheet is that of the book, counted again by hand."""

from __future__ import annotations

import csv
import json
import statistics
from dataclasses import replace
from pathlib import Path

import pytest
from openpyxl import load_workbook

from gradecut.book import Book
from gradecut.errors import BookError
from gradecut.records import Grade, Player, Rep
from gradecut.workflows.booking import new_book
from gradecut.workflows.judging import judge
from gradecut.workflows.lines import rep_lines
from gradecut.workflows.passing import pass_clip
from gradecut.workflows.reporting import (
    board_of,
    drills_of,
    write_book_board,
    write_book_report,
    write_book_sheet,
    write_player_sheets,
)
from tests.workflows.small_week import clip_of, rep_of


@pytest.fixture
def judged(book: Book) -> Book:
    """Give the week graded: rights, a half, wrongs, one that can't be, three open."""
    for play in (1, 2, 3):
        pass_clip(book, clip_of(book, play))
    judge(
        book, rep_of(book, 1, "Bow"), did="miss", name="got reached", cause="eyes",
        technique={"eyes": 0, "hands": 1}, effort=2,
    )  # fmt: skip
    judge(
        book, rep_of(book, 2, "Bow"), did="miss", name="too wide, alley open",
        technique={"eyes": 2}, effort=1,
    )  # fmt: skip
    judge(book, rep_of(book, 2, "Keel"), did="cannot grade", name="out of picture")
    return book


def grades_of(book: Book, name: str) -> list[Grade]:
    """Return a man's standing grades, straight from the rows."""
    man = book.find(Player, name=name)[0]
    reps = book.find(Rep, player_id=man.id)
    standing = []
    for rep in reps:
        grades = book.find(Grade, rep_id=rep.id)
        superseded = {grade.supersedes for grade in grades}
        standing += [grade for grade in grades if grade.id not in superseded]
    return standing


@pytest.mark.parametrize("name", ["Tavin Okorie", "Brandt Lisoway", "Dez Marchand-Pike"])
def test_a_mans_cell_is_what_his_rows_add_up_to(judged: Book, name: str) -> None:
    """n, rights, halves, wrongs, points over the top, technique and effort, each by hand."""
    shown, _ = board_of(judged)
    key = next(key for key, shown_name, _ in shown.rows if shown_name == name)
    cell = shown.cells[key, "all runs"]
    rows = grades_of(judged, name)
    results = [grade.fit_result for grade in rows]
    assert (cell.right, cell.half, cell.wrong, cell.cannot) == tuple(
        results.count(word)
        for word in ("right", "half", "wrong", "cannot grade")  # type: ignore[arg-type]
    )
    graded = [grade for grade in rows if grade.fit_points is not None]
    assert cell.n == cell.fit.n == len(graded)
    assert cell.fit.rate == pytest.approx(sum(g.fit_points or 0 for g in graded) / 2 / len(graded))
    assert (cell.passed, cell.examined) == (
        sum(grade.how == "passed" for grade in graded),
        sum(grade.how == "examined" for grade in graded),
    )
    items = [points for grade in rows for points in grade.technique.values()]
    assert cell.technique.n == len(items)
    if items:
        assert cell.technique.rate == pytest.approx(statistics.mean(items) / 2)
    efforts = [grade.effort for grade in rows if grade.effort is not None]
    assert cell.effort.n == len(efforts)


def test_the_interval_is_wilsons(judged: Book) -> None:
    """A quarter of the points of two reps, by Wilson's formula of 1927 (from memory)."""
    z, n, p = 1.959963984540054, 2, 0.25
    centre = (p + z * z / (2 * n)) / (1 + z * z / n)
    spread = z / (1 + z * z / n) * (p * (1 - p) / n + z * z / (4 * n * n)) ** 0.5
    shown, _ = board_of(judged, by=("position",))
    key = next(key for key, name, _ in shown.rows if name == "Brandt Lisoway")
    fit = shown.cells[key, "all runs"].fit
    assert (fit.n, fit.rate) == (n, p)
    assert (fit.low, fit.high) == pytest.approx((centre - spread, centre + spread))


def test_the_csv_says_what_the_board_says(judged: Book, tmp_path: Path) -> None:
    """Each cell on a line, as numbers."""
    shown = write_book_board(judged, tmp_path / "board.csv", by=("concept",))
    with (tmp_path / "board.csv").open(encoding="utf-8-sig", newline="") as sheet:
        rows = list(csv.DictReader(sheet))
    assert {row["situation"] for row in rows} == set(shown.columns)
    assert sum(int(float(row["right"])) for row in rows if row["situation"] == "all runs") >= 6


def test_the_workbook_holds_every_rep(judged: Book, tmp_path: Path) -> None:
    """Twelve reps, each with what he owed and how it came out."""
    write_book_sheet(judged, tmp_path / "s.xlsx")
    book = load_workbook(tmp_path / "s.xlsx")
    text = json.dumps(
        [[cell for cell in row if cell is not None] for sheet in book for row in sheet.values],
        default=str, ensure_ascii=False,
    )  # fmt: skip
    for word in ("Cedar Fork Herons", "got reached", "too wide, alley open", "out of picture"):
        assert word in text
    assert "Harbor 1" in text


def test_each_player_gets_his_own_page_and_nobody_elses(judged: Book, tmp_path: Path) -> None:
    """Names choose; a page names no other man."""
    written = write_player_sheets(judged, tmp_path / "men", names=["Tavin Okorie"])
    assert [path.name for path in written] == ["Tavin Okorie.html"]
    page = written[0].read_text(encoding="utf-8")
    assert "Okorie" in page
    assert "Lisoway" not in page


def test_two_men_of_much_the_same_name_keep_their_own_pages(judged: Book, tmp_path: Path) -> None:
    """Neither page overwrites the other, whatever of the names a file name can't hold."""
    okorie, lisoway = (judged.find(Player, name=n)[0] for n in ("Tavin Okorie", "Brandt Lisoway"))
    with judged.act("rename") as act:
        act.put(replace(okorie, name="A. Bee"), replace(lisoway, name="a_ bee"))
    written = write_player_sheets(judged, tmp_path / "men", names=["A. Bee", "a_ bee"])
    assert len({path.name.casefold() for path in written}) == 2
    pages = [path.read_text(encoding="utf-8") for path in written]
    assert sum("A. Bee" in page for page in pages) == 1
    assert sum("a_ bee" in page for page in pages) == 1


def test_the_report_is_a_whole_page(judged: Book, tmp_path: Path) -> None:
    """With the files beside it."""
    write_book_report(judged, tmp_path / "r.html", files=[("board.csv", "the board")])
    page = (tmp_path / "r.html").read_text(encoding="utf-8")
    assert "board.csv" in page
    assert "Lisoway" in page


def test_drills_are_what_goes_wrong_twice(judged: Book) -> None:
    """Lisoway missed twice, once each against two runs: a pattern of his, of neither run."""
    shown, lines = board_of(judged)
    assert drills_of(shown, lines) == ()
    shown, lines = board_of(judged, by=("position",))
    (drill,) = drills_of(shown, lines)
    assert (drill.who, drill.misses) == ("Brandt Lisoway", 2)
    bows = {rep_of(judged, play, "Bow").id for play in (1, 2)}
    assert set(drill.miss_rep_ids) == bows


def test_a_book_without_reps_writes_no_sheet(tmp_path: Path) -> None:
    """The sentence says what to do first, and no file appears."""
    with new_book(tmp_path / "b.gradecut", name="Herons", author="J. Alder") as empty:
        assert rep_lines(empty) == []
        with pytest.raises(BookError, match="no reps to write of"):
            write_book_sheet(empty, tmp_path / "s.xlsx")
    assert not (tmp_path / "s.xlsx").exists()
