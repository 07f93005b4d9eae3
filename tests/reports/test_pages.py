"""Report and player's sheet: what stands on them, and that they stand alone."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import pytest

from gradecut.errors import LookError, OutputError
from gradecut.grading import board, worst_situations
from gradecut.records import Player, RepLine
from gradecut.reports import CAUTIONS, STAFF_ONLY, write_player_sheet, write_report
from tests.grading.invented_week import (
    LISOWAY,
    OKORIE,
    RUBRIC,
    VANDERMOOR,
    aligned_week,
    line,
    week,
)
from tests.reports.pages import Page


def report(path: Path, lines: list[RepLine]) -> tuple[str, Page]:
    """Write the report of some reps and read it."""
    table = board(lines, rubric=RUBRIC, by=("concept", "run side"))
    write_report(
        path,
        lines,
        table,
        worst_situations(table, lines),
        rubric=RUBRIC,
        title="Herons, linebackers",
        subtitle="Monday practice",
        scheme_name="Harbor 3",
        files=[("grade_sheet.xlsx", "every rep")],
    )
    text = path.read_text(encoding="utf-8")
    return text, Page(text)


def sheet(path: Path, man: Player, lines: list[RepLine] | None = None) -> tuple[str, Page]:
    """Write a man's sheet and read it."""
    own = [one for one in week() if one.player is man] if lines is None else lines
    write_player_sheet(path, own, rubric=RUBRIC, title="Monday practice", by=("concept",))
    text = path.read_text(encoding="utf-8")
    return text, Page(text)


@pytest.fixture
def both(tmp_path: Path) -> list[tuple[str, Page]]:
    """Write one of each."""
    return [report(tmp_path / "report.html", week()), sheet(tmp_path / "okorie.html", OKORIE)]


def test_stand_alone(both: list[tuple[str, Page]]) -> None:
    """A page asks nothing of any network: no address, no script, one file, small enough to mail."""
    for text, page in both:
        assert page.unbalanced == []
        assert page.open == []
        bare = re.sub(r"base64,[A-Za-z0-9+/=]+", "", text)
        assert not re.search(r"https?:|//|<script|@import|<link", bare)
        assert re.findall(r"url\((?!data:)", bare) == []
        assert [row for row in page.attributes if row[1] in ("src", "href")] == []
        assert any("default-src 'none'" in value for _, _, value in page.attributes)
        assert len(text) < 300_000


def test_cautions_are_printed(both: list[tuple[str, Page]]) -> None:
    """Head out of contact, no medical word, consent: on every page."""
    for _, page in both:
        assert all(caution.title in page.text and caution.text in page.text for caution in CAUTIONS)


def test_the_report_tells_what_it_rests_on(tmp_path: Path) -> None:
    """Counts, rates with n, drills with their plays, reasons and files are there."""
    _, page = report(tmp_path / "report.html", week())
    assert "18 reps on 6 runs, 16 fits graded (9 at speed, 7 looked at closely)" in page.text
    assert "1 can't be graded, 1 not graded yet" in page.text
    assert "Tavin Okorie, power to 2 of 2 missed" in page.text
    assert "Missed: play 2, play 6." in page.text
    assert "out of picture 1" in page.text
    assert "grade_sheet.xlsx every rep" in page.text
    for column in ("inside zone to", "power away", "counter to", "all runs"):
        assert column in page.text


def test_a_play_that_two_men_missed_is_told_with_each(tmp_path: Path) -> None:
    """Of the group, the man stands beside the play; alone, "play 2, play 2" would say nothing."""
    lines = [line(OKORIE, "-", 2), line(LISOWAY, "h", 2), line(VANDERMOOR, "+", 2)]
    _, page = report(tmp_path / "report.html", lines)
    assert "the group, power to 2 of 3 missed" in page.text
    assert "Missed: play 2 Bow, play 2 Keel. Done right: play 2 Port." in page.text


def test_intervals_are_told_as_well_as_drawn(tmp_path: Path) -> None:
    """Each drawn interval says rate, count and interval for who can't see it."""
    _, page = report(tmp_path / "report.html", week())
    labels = [value for tag, name, value in page.attributes if (tag, name) == ("svg", "aria-label")]
    assert "42 % of 6, may be 14 % to 76 %" in [" ".join(label.split()) for label in labels]
    assert "nothing graded" in labels


def test_the_report_names_whom_sharing_leaves_out(tmp_path: Path) -> None:
    """A man under 18 without consent makes it a page for the staff; without him it is not."""
    _, page = report(tmp_path / "a.html", week())
    assert "For the staff only." in page.text
    assert "left out of everything that is shared: Joss Vandermoor" in page.text
    grown = [one for one in week() if one.player is not VANDERMOOR]
    assert "For the staff only" not in report(tmp_path / "b.html", grown)[1].text


def test_a_player_reads_what_he_owed_and_did(tmp_path: Path) -> None:
    """His reps stand in order, each miss in one sentence, with his n and interval."""
    _, page = sheet(tmp_path / "okorie.html", OKORIE)
    assert "Tavin Okorie Keel 44 · Monday practice" in page.text
    assert "You owed fill A, right: overran it (eyes)." in page.text
    assert "You owed fill A, right and played box A (eyes)." in page.text
    assert "6 fits; may be 14 % to 76 %" in page.text
    assert "Coach: good key" in page.text
    assert "Counted: missed tackle" in page.text
    assert "200 ± 33 ms 6 frames" in page.text
    plays = [page.text.index(f"play {order} Team") for order in range(1, 7)]
    assert plays == sorted(plays)


def test_a_players_sheet_tells_how_his_reps_were_judged(tmp_path: Path) -> None:
    """In all and in each situation, with what that means: no rate mixes the two unsaid."""
    own = [one for one in week() if one.player is OKORIE]
    half = [
        replace(one, grade=replace(one.grade, how="passed" if place % 2 else "examined"))
        for place, one in enumerate(own)
        if one.grade is not None
    ]
    _, page = sheet(tmp_path / "okorie.html", OKORIE, half)
    fitted = [one.grade.how for one in half if one.grade is not None and one.grade.fitted]
    closely, speed = fitted.count("examined"), fitted.count("passed")
    assert closely
    assert speed
    assert f"76 % {closely} looked at closely, {speed} at speed" in page.text
    by_run = [part.split(" at speed")[0] for part in page.text.split("looked at closely, ")[2:]]
    assert sum(int(part) for part in by_run if part.isdigit()) == speed
    assert "Let through at speed as right, or looked at closely" in page.text


def test_how_he_lined_up_stands_on_his_sheet(tmp_path: Path) -> None:
    """His count with its interval, each rep's word, and what it means; else not a word of it."""
    own = [one for one in aligned_week() if one.player is OKORIE]
    _, page = sheet(tmp_path / "a.html", OKORIE, own)
    assert "lined up right 3 of 3 may be 44 % to 100 %; in no other number" in page.text
    assert page.text.count("Lined up: right") == 3
    assert "Lined up: can't tell" in page.text
    assert "in no grade and no other rate" in page.text
    assert "lined up right 3 of 3" not in sheet(tmp_path / "b.html", OKORIE)[1].text


def test_the_report_counts_how_men_lined_up(tmp_path: Path) -> None:
    """The group's 7 of 9 with its interval; the column is left out where nobody said a word."""
    assert "7 of 9 45 % to 94 %" in report(tmp_path / "a.html", aligned_week())[1].text
    assert "Lined up right" not in report(tmp_path / "b.html", week())[1].text


def test_no_other_man_is_named(tmp_path: Path) -> None:
    """A player's sheet is about him alone, and says nothing of his health."""
    held = replace(OKORIE, held_out=True, remark="limited: knee")
    own = [replace(one, player=held) for one in week() if one.player is OKORIE]
    text, _ = sheet(tmp_path / "okorie.html", OKORIE, own)
    for word in ("Lisoway", "Vandermoor", "the group", "knee", "held out"):
        assert word not in text


def test_a_minors_sheet_stays_with_the_staff(tmp_path: Path) -> None:
    """Under 18 without consent his sheet says so; with consent, or of age, it does not."""
    assert STAFF_ONLY in sheet(tmp_path / "a.html", VANDERMOOR)[1].text
    agreed = replace(VANDERMOOR, consent=True)
    own = [replace(one, player=agreed) for one in week() if one.player is VANDERMOOR]
    assert STAFF_ONLY not in sheet(tmp_path / "b.html", VANDERMOOR, own)[1].text
    assert STAFF_ONLY not in sheet(tmp_path / "c.html", LISOWAY)[1].text


def test_text_stays_text(tmp_path: Path) -> None:
    """A name or a note with marks of a page in it is shown, never obeyed."""
    nasty = '<script>alert("x")</script>'
    rep = line(OKORIE, "-", 1)
    assert rep.grade
    lines = [
        replace(
            rep,
            player=replace(OKORIE, name=nasty),
            look={"concept": nasty},
            grade=replace(rep.grade, note=nasty, cause=nasty),
            events=(nasty,),
        )
    ]
    for text, page in (
        report(tmp_path / "a.html", lines),
        sheet(tmp_path / "b.html", OKORIE, lines),
    ):
        assert "<script" not in text
        assert nasty in page.text
        assert page.unbalanced == []


def test_an_empty_week_is_a_page_too(tmp_path: Path) -> None:
    """Without reps the report says so, and nothing is made up."""
    _, page = report(tmp_path / "report.html", [])
    assert "0 reps on 0 runs" in page.text
    assert "No situation was missed more than once." in page.text


def test_one_man_a_sheet(tmp_path: Path) -> None:
    """The reps of two men, or of none, make no player's sheet."""
    for lines in ([], week()):
        with pytest.raises(ValueError, match="one player"):
            sheet(tmp_path / "a.html", OKORIE, lines)
    assert list(tmp_path.iterdir()) == []


def test_nothing_half_written(tmp_path: Path) -> None:
    """Where it can't be written, or asks for an unknown fact, nothing is left behind."""
    (tmp_path / "file").write_text("x")
    with pytest.raises(OutputError):
        sheet(tmp_path / "file" / "a.html", OKORIE)
    with pytest.raises(LookError):
        write_player_sheet(
            tmp_path / "a.html", [line(OKORIE, "+", 1)], rubric=RUBRIC, title="x", by=("concpt",)
        )
    assert [one.name for one in tmp_path.iterdir()] == ["file"]
