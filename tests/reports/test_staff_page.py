"""The staff's page as a page: closed, quiet, and every word of a coach's safe in it."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from gradecut.errors import OutputError
from gradecut.records.rubric import Rubric
from gradecut.reports.men_standings import standings
from gradecut.reports.staff_page import FlaggedRep, StaffPeriod, Still, Unclear, write_staff_page
from tests.reports.pages import Page

STILL = Still(jpeg=b"\xff\xd8 a picture", size_px=(1100, 619), says="Contact", place="frame 9")
REP = FlaggedRep(
    play="Play 3", under="live", who="Keel 52", name="Quill <Hanrattan>", run="power right",
    look="back left", owed="fill A", rule="R1", did="ran past it", result="wrong",
    result_words="✗ wrong", why="eyes", note="Saw the back & nothing else.",
    more=("effort 1 of 2",),
    heed=("Graded before.",), miss=STILL,
)  # fmt: skip


def page_of(folder: Path, *reps: FlaggedRep, unclear: tuple[Unclear, ...] = ()) -> Page:
    """Write a page of one period and read it back."""
    men = standings([], Rubric())
    period = StaffPeriod(
        name="Inside run", plays="plays 1 to 6", men=men, flagged=reps, unclear=unclear
    )
    path = folder / "staff.html"
    write_staff_page(path, [period], men[-1], rubric=Rubric(), title="Staff meeting: <Tuesday>")
    return Page(path.read_text(encoding="utf-8"))


def test_every_word_is_escaped_and_every_element_closed(tmp_path: Path) -> None:
    """A name or a note may hold any sign."""
    page = page_of(tmp_path, REP)
    assert page.unbalanced == []
    assert "Staff meeting: <Tuesday>" in page.text
    assert "Quill <Hanrattan>" in page.text
    assert "Saw the back & nothing else." in page.text


def test_a_still_says_what_it_shows(tmp_path: Path) -> None:
    """For who listens, and below it for who reads."""
    page = page_of(tmp_path, REP)
    assert ("img", "alt", "Keel 52: Contact, frame 9") in page.attributes
    assert "Contact frame 9" in page.text


def test_men_on_the_very_same_still_share_it(tmp_path: Path) -> None:
    """Another play, another frame, or marks of his own keep theirs."""
    second = replace(REP, who="Bow 9", name="Brandt Lisoway")
    page = page_of(tmp_path, REP, second, replace(second, drawn=STILL), replace(REP, play="Play 4"))
    pictures = [value for tag, name, value in page.attributes if (tag, name) == ("img", "alt")]
    assert pictures == [
        "Keel 52, Bow 9: Contact, frame 9", "Bow 9: Contact, frame 9", "Bow 9: Contact, frame 9",
        "Keel 52: Contact, frame 9",
    ]  # fmt: skip


def test_what_is_unclear_stands_with_its_plays(tmp_path: Path) -> None:
    """Its kind, the sentence, the plays."""
    one = Unclear(kind="no rule", says="Keel has none.", plays="plays 3 and 7")
    assert "no rule Keel has none. plays 3 and 7" in page_of(tmp_path, unclear=(one,)).text


def test_a_page_that_can_not_be_written_is_refused(tmp_path: Path) -> None:
    """In a sentence, and nothing is left behind."""
    wall = tmp_path / "wall"
    wall.write_text("a file")
    with pytest.raises(OutputError):
        page_of(wall, REP)
