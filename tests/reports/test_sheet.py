from __future__ import annotations

from dataclasses import replace
from itertools import pairwise
from pathlib import Path
from statistics import median
from typing import Any

import pytest

from gradecut.errors import Cancelled, LookError, OutputError
from gradecut.grading import wilson_interval
from gradecut.progress import CancelToken
from gradecut.records import Player, RepLine
from gradecut.reports import write_sheet
from tests.grading.invented_week import (
    LISOWAY,
    OKORIE,
    RUBRIC,
    VANDERMOOR,
    aligned_week,
    line,
    pass_play,
    week,
)

Table = dict[str, dict[str, Any]]


@pytest.fixture(scope="module")
def book(tmp_path_factory: pytest.TempPathFactory) -> Any:
    """Write the week's sheet and open it as another program does."""
    import openpyxl

    path = tmp_path_factory.mktemp("sheet") / "grade_sheet.xlsx"
    write_sheet(
        path,
        [*week(), pass_play(LISOWAY)],
        rubric=RUBRIC,
        title="Herons, linebackers",
        subtitle="Monday practice",
        by=("concept", "run side"),
        scheme_name="Harbor 3",
    )
    return openpyxl.load_workbook(path)


def table(page: Any) -> list[dict[str, Any]]:
    """Read a page's table below its head; equal heads are numbered."""
    rows = [list(row) for row in page.iter_rows(values_only=True)]
    top = next(at for at, row in enumerate(rows) if "Player" in row)
    heads: list[str] = []
    for head in rows[top]:
        name = str(head).replace("-\n", "").replace("\n", " ")
        seen = sum(one.rstrip(" 123") == name for one in heads)
        heads.append(f"{name} {seen + 1}" if seen else name)
    return [dict(zip(heads, row, strict=True)) for row in rows[top + 1 :]]


@pytest.mark.parametrize("man", [OKORIE, LISOWAY, VANDERMOOR], ids=lambda man: man.name)
def test_every_number_of_a_man_by_hand(book: Any, man: Player) -> None:
    """Fit, technique, effort, step and counts equal what is counted from his reps here."""
    own = [one for one in week() if one.player is man]
    grades = [one.grade for one in own if one.grade]
    results = [grade.fit_result for grade in grades]
    right, half, wrong = (results.count(word) for word in ("right", "half", "wrong"))
    n = right + half + wrong
    low, high = wilson_interval(right + half / 2, n)
    items = [points for grade in grades for points in grade.technique.values()]
    efforts = [grade.effort for grade in grades if grade.effort is not None]
    steps = [one.reaction for one in own if one.reaction]

    row = next(one for one in table(book["Players"]) if one["Player"] == man.name)
    assert (row["No."], row["Position"], row["Reps"]) == (
        man.practice_number, man.position, len(own),
    )  # fmt: skip
    assert (row["Fits graded"], row["✓ Right"], row["½ Half"], row["✗ Wrong"]) == (
        n, right, half, wrong,
    )  # fmt: skip
    assert row["Fit"] == pytest.approx((right + half / 2) / n)
    assert (row["95 % from"], row["to"]) == pytest.approx((low, high))
    assert (row["Technique"], row["Items"]) == (pytest.approx(sum(items) / 2 / len(items)),
        len(items))  # fmt: skip
    assert row["Effort"] == pytest.approx(sum(efforts) / 2 / len(efforts))
    assert row["First step, frames"] == median(step.frames for step in steps)
    assert row["ms"] == pytest.approx(median(step.time_ms for step in steps))
    assert row["± ms"] == pytest.approx(1001 / 30)
    assert row["Counted"] == len(steps)

    row = next(one for one in table(book["Counts"]) if one["Player"] == man.name)
    graded = [grade for grade in grades if grade.fit_result != "cannot grade"]
    assert row["At speed"] == sum(grade.how == "passed" for grade in graded)
    assert row["Looked at closely"] == sum(grade.how == "examined" for grade in graded)
    assert row["Not graded yet"] == len(own) - len(grades)
    assert row["Can't grade: fit"] == results.count("cannot grade")
    assert row["Can't grade: effort"] == sum("effort" in grade.cannot for grade in grades)
    assert row["Missed tackle"] == sum(one.events.count("missed tackle") for one in own)


def test_reasons_are_told(book: Any) -> None:
    """What can't be graded stands with its reason and count."""
    rows = {row["Player"]: row["Why"] for row in table(book["Counts"])}
    assert rows["Joss Vandermoor"] == "effort: film ends early (1); fit: out of picture (1)"


def test_the_group_stands_last(book: Any) -> None:
    """The group's row adds the men up."""
    *men, group = table(book["Players"])
    assert group["Player"] == "the group"
    for head in ("Reps", "Fits graded", "✓ Right", "½ Half", "✗ Wrong", "Items"):
        assert group[head] == sum(man[head] for man in men)


def test_how_men_lined_up_stands_last(book: Any, tmp_path: Path) -> None:
    """The group's 7 of 9 with its interval as numbers; no such column where nobody said a word."""
    import openpyxl

    path = tmp_path / "aligned.xlsx"
    write_sheet(path, aligned_week(), rubric=RUBRIC, title="Herons")
    told = openpyxl.load_workbook(path)
    group = table(told["Players"])[-1]
    assert list(group)[-4:] == ["Lined up right", "of", "95 % from 2", "to 2"]
    assert (group["Lined up right"], group["of"]) == (7, 9)
    assert (group["95 % from 2"], group["to 2"]) == pytest.approx(wilson_interval(7, 9))
    assert table(told["Counts"])[-1]["Can't tell: lined up"] == 1
    assert "Lined up right" not in table(book["Players"])[-1]
    assert "Can't tell: lined up" not in table(book["Counts"])[-1]


def test_the_board_holds_numbers(book: Any) -> None:
    """Each cell has rate, n and interval as numbers that print as per cent."""
    page = book["Board"]
    heads = [
        cell.value for cell in next(row for row in page.iter_rows() if row[0].value == "Player")
    ]
    column = heads.index("power to") + 1
    row = next(row[0].row for row in page.iter_rows() if row[0].value == "Tavin Okorie")
    rate, reps = page.cell(row, column), page.cell(row, column + 1)
    low, high = page.cell(row + 1, column), page.cell(row + 1, column + 1)
    assert (rate.value, reps.value) == (0.25, 2)
    assert (low.value, high.value) == pytest.approx(wilson_interval(0.5, 2))
    assert rate.number_format == '"▼ "0 %'
    assert reps.number_format == '"n "0'


def test_the_board_tells_reps_at_speed_from_those_looked_at_closely(book: Any) -> None:
    """Below each situation stands how many of its fits were judged in which way."""
    page = book["Board"]
    rows = {row[0].value: [cell.value for cell in row] for row in page.iter_rows()}
    heads = rows["Player"]
    graded = [
        one.grade
        for one in week()
        if one.grade and one.grade.fit_result in ("right", "half", "wrong")
    ]
    reps = heads.index("all runs") + 1
    for how, words in (("passed", "at speed"), ("examined", "looked at closely")):
        assert rows[f"of these {words}"][reps] == sum(grade.how == how for grade in graded)


def test_every_rep_is_listed(book: Any) -> None:
    """The list holds each rep given, passes too, in the order of the film, in words and signs."""
    rows = table(book["Reps"])
    assert len(rows) == len(week()) + 1
    assert all(one["Play"] <= other["Play"] for one, other in pairwise(rows))
    miss = next(one for one in rows if one["Player"] == "Tavin Okorie" and one["Play"] == 2)
    assert miss["Owed"] == "fill A, right"
    assert (miss["Rule"], miss["Did"], miss["Fit"], miss["Points"], miss["Cause"]) == (
        "K14", "overran it", "½ half", 1, "eyes",
    )  # fmt: skip
    assert (miss["Run"], miss["Look"]) == ("power right", "no motion")
    assert (miss["First step, frames"], miss["Judged"], miss["Graded by"]) == (
        7, "passed", "Coach Reyes",
    )  # fmt: skip
    waiting = next(one for one in rows if one["Player"] == "Joss Vandermoor" and one["Play"] == 5)
    assert waiting["Fit"] == "not graded yet"
    assert waiting["Points"] is None


def test_ready_to_print(book: Any) -> None:
    """Pages fit across, heads stay in sight and repeat on paper, numbers stand right."""
    for name in ("Players", "Counts", "Board", "Reps"):
        page = book[name]
        assert page.page_setup.orientation == "landscape"
        assert page.sheet_properties.pageSetUpPr.fitToPage
        assert page.page_setup.fitToHeight == 0
        assert page.freeze_panes
        assert page.print_title_rows
        for row in page.iter_rows():
            assert all(
                cell.alignment.horizontal == "right"
                for cell in row
                if isinstance(cell.value, int | float)
            )


def test_the_guide_and_the_cautions(book: Any) -> None:
    """The last page says what n and interval mean, and prints the cautions and whom to protect."""
    text = " ".join(
        str(value)
        for row in book["How to read this"].iter_rows(values_only=True)
        for value in row
        if value
    )
    for words in ("Wilson 1927", "head out of contact", "health-care professional", "consent"):
        assert words in text
    assert "Joss Vandermoor" in text


HOSTILE = ["=1+2", "+1", "-35", "@SUM(A1)", "\tx", "\rx", '=HYPERLINK("http://a.example","b")']


@pytest.mark.parametrize("text", HOSTILE)
def test_no_text_becomes_a_formula(tmp_path: Path, text: str) -> None:
    """Signs that start a formula (OWASP, CSV injection) are kept as text wherever they come in."""
    import openpyxl

    rep = line(OKORIE, "+", 1)
    assert rep.grade
    hostile = replace(
        rep,
        player=replace(OKORIE, name=text),
        clip=replace(rep.clip, period=text),
        look={"concept": text},
        grade=replace(rep.grade, note=text, author=text),
    )
    path = tmp_path / "sheet.xlsx"
    write_sheet(path, [hostile], rubric=RUBRIC, title=text, subtitle=text)
    for page in openpyxl.load_workbook(path):
        for row in page.iter_rows():
            for cell in row:
                assert cell.data_type != "f"
                assert cell.hyperlink is None
                assert not str(cell.value or "").startswith(("=", "+", "-", "@", "\t", "\r"))


def test_weights_bring_one_overall_column(tmp_path: Path) -> None:
    """Only a rubric with weights gets the overall figure, with its count."""
    import openpyxl

    weights = (("fit", 0.5), ("technique", 0.3), ("effort", 0.2))
    path = tmp_path / "sheet.xlsx"
    write_sheet(path, week(), rubric=replace(RUBRIC, weights=weights), title="Herons")
    row = table(openpyxl.load_workbook(path)["Players"])[0]
    # Okorie's examined reps: right, wrong, wrong; technique 3/4 and effort 1 on each.
    assert row["Overall"] == pytest.approx((0.5 + 3 * (0.3 * 0.75 + 0.2)) / 3)
    assert row["Reps 3"] == 3


def test_an_empty_week_is_a_sheet_too(tmp_path: Path) -> None:
    """No reps give a sheet that says so with zeros."""
    import openpyxl

    write_sheet(tmp_path / "sheet.xlsx", [], rubric=RUBRIC, title="Herons")
    (group,) = table(openpyxl.load_workbook(tmp_path / "sheet.xlsx")["Players"])
    assert (group["Player"], group["Reps"], group["Fit"]) == ("the group", 0, None)


def refusals(folder: Path) -> list[tuple[Path, dict[str, Any], type[Exception]]]:
    """List what must fail, and how."""
    stopped = CancelToken()
    stopped.cancel()
    (folder / "file").write_text("x")
    return [
        (folder / "a.xlsx", {"cancel": stopped}, Cancelled),
        (folder / "a.xlsx", {"by": ("concpt",)}, LookError),
        (folder / "file" / "a.xlsx", {}, OutputError),
    ]


@pytest.mark.parametrize("which", [0, 1, 2], ids=["stopped", "unknown fact", "no folder"])
def test_nothing_half_written(tmp_path: Path, which: int) -> None:
    """Stopped or refused, the sheet leaves nothing behind."""
    path, options, error = refusals(tmp_path)[which]
    with pytest.raises(error):
        write_sheet(path, week(), rubric=RUBRIC, title="Herons", **options)
    assert [one.name for one in tmp_path.iterdir()] == ["file"]


def test_progress_rises_to_the_end(tmp_path: Path) -> None:
    """Who watches sees the pages named and the end reached."""
    told: list[tuple[float, str]] = []
    lines: list[RepLine] = week()
    write_sheet(
        tmp_path / "a.xlsx",
        lines,
        rubric=RUBRIC,
        title="Herons",
        progress=lambda done, saying: told.append((done, saying)),
    )
    shares = [done for done, _ in told]
    assert shares == sorted(shares)
    assert shares[-1] == 1
    assert any("board" in saying for _, saying in told)


def test_scheme_versions_have_names(tmp_path: Path) -> None:
    """A grade says which version of the scheme it was given by, by name where there is one."""
    import openpyxl

    reps = [line(OKORIE, "+", order) for order in (1, 2)]
    keys = ("0190-aaaa-111111", "0190-bbbb-222222")
    told = [
        replace(rep, grade=replace(rep.grade, scheme_id=key))
        for rep, key in zip(reps, keys, strict=True)
        if rep.grade
    ]
    names = {keys[0]: "Harbor 3"}
    write_sheet(tmp_path / "a.xlsx", told, rubric=RUBRIC, title="Herons", scheme_names=names)
    rows = table(openpyxl.load_workbook(tmp_path / "a.xlsx")["Reps"])
    assert [row["Scheme"] for row in rows] == ["Harbor 3", "222222"]
