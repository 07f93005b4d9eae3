"""What he walks out with is written beside the window, from what is graded now."""

from __future__ import annotations

from dataclasses import replace

import pytest

from gradecut.book import Book
from gradecut.desk import Desk
from gradecut.records import Flag, Session
from gradecut.workflows import printing
from tests.desk.small_book import Posted

HANDOUTS = "small handouts"
NAME = "Monday 2026-10-05"


@pytest.fixture(autouse=True)
def no_browser(monkeypatch: pytest.MonkeyPatch) -> None:
    """Let no test here start the browser of this computer."""
    monkeypatch.setattr(printing, "browser_here", lambda: None)


def test_the_staffs_page_lies_beside_the_book(desk: Desk, posted: Posted, said: list[str]) -> None:
    """He is told at once that it is written, then what it holds and where it lies."""
    desk.walking_out.write_staff_page()
    assert said[-1] == "The staff's page is being written; go on grading."
    posted.until(lambda: desk.walking_out.folder is not None)
    folder = desk.book.path.parent / HANDOUTS / "For the staff"
    assert [one.name for one in folder.iterdir()] == [f"{NAME}.html"]
    assert said[-1] == (
        "The staff's page: 2 flagged reps, 2 stills; no browser here prints a PDF, so open the "
        f"page and print it. Shift+F9 opens its folder: {folder}"
    )


def test_the_players_reel_lies_apart_from_the_staffs_page(
    desk: Desk, posted: Posted, said: list[str]
) -> None:
    """So that nobody hands out the wrong one; its chapters lie beside it."""
    desk.walking_out.write_reel()
    posted.until(lambda: desk.walking_out.folder is not None)
    folder = desk.book.path.parent / HANDOUTS / "For the players"
    assert sorted(one.name for one in folder.iterdir()) == [f"{NAME}.mp4", f"{NAME}.vtt"]
    assert said[-1].startswith("The players' reel: 2 reps, 0:")


def test_asked_twice_it_is_written_once(desk: Desk, posted: Posted, said: list[str]) -> None:
    """The second time he is told how to stop it; afterwards it can be written again."""
    desk.walking_out.write_staff_page()
    desk.walking_out.write_staff_page()
    assert said[-1] == "The staff's page is being written; Ctrl+. stops it."
    posted.until(lambda: desk.walking_out.folder is not None)
    desk.walking_out.write_staff_page()
    assert said[-1] == "The staff's page is being written; go on grading."
    posted.until(lambda: not desk.jobs.busy)


def test_without_a_flag_there_is_a_page_and_no_reel(
    desk: Desk, book: Book, posted: Posted, said: list[str]
) -> None:
    """The page says so and tells the counts; the reel is refused in a sentence."""
    with book.act("take the flags off") as act:
        act.drop_all(book.find(Flag))
    desk.walking_out.write_staff_page()
    posted.until(lambda: desk.walking_out.folder is not None)
    assert said[-1].startswith("The staff's page without reps, as nothing is flagged yet")
    desk.walking_out.write_reel()
    posted.until(lambda: not desk.jobs.busy)
    assert said[-1].startswith("Nothing is flagged for tomorrow yet")
    desk.walking_out.write_reel()
    assert said[-1] == "The players' reel is being written; go on grading."
    posted.until(lambda: not desk.jobs.busy)


def test_stopped_it_leaves_nothing_and_can_be_asked_for_again(
    desk: Desk, posted: Posted, said: list[str]
) -> None:
    """No half-written film, no chapters."""
    desk.walking_out.write_reel()
    desk.jobs.cancel()
    posted.until(lambda: not desk.jobs.busy)
    posted.until(lambda: "stopped" in said[-1])
    folder = desk.book.path.parent / HANDOUTS / "For the players"
    assert not folder.exists() or list(folder.iterdir()) == []
    desk.walking_out.write_reel()
    assert said[-1] == "The players' reel is being written; go on grading."
    posted.until(lambda: desk.walking_out.folder is not None)


def test_two_sessions_of_one_name_and_day_have_pages_of_their_own(
    desk: Desk, book: Book, posted: Posted
) -> None:
    """The second one's page does not write over the first one's; each keeps its name."""
    first = desk.film.plays.session
    assert first is not None
    with book.act("add a session") as act:
        act.put(replace(first, id="zz-second"))
    desk.walking_out.write_staff_page()
    posted.until(lambda: not desk.jobs.busy)
    folder = desk.book.path.parent / HANDOUTS / "For the staff"
    assert [one.name for one in folder.iterdir()] == [f"{NAME}.html"]
    second = book.get(Session, "zz-second")
    assert desk.walking_out.goal_of(second, "For the staff", ".html").name == f"{NAME}-2.html"
