from __future__ import annotations

from pathlib import Path

from gradecut.desk import Desk
from gradecut.desk.saying import Refusal
from gradecut.records import Clip
from gradecut.workflows.booking import new_book
from tests.desk.small_book import Posted


def test_undo_takes_back_and_says_what(desk: Desk, said: list[str]) -> None:
    """The hint names what undo would take back; after it, redo does it again."""
    hint = desk.undo_hint()
    assert hint
    desk.undo()
    assert hint in said[-1]
    assert desk.undo_hint() != hint
    desk.redo()
    assert hint in said[-1]


def test_the_start_of_a_book_is_not_taken_back(tmp_path: Path, posted: Posted) -> None:
    """A fresh book offers nothing to take back, since without its start it is no book."""
    fresh = new_book(tmp_path / "fresh.gradecut", name="Fresh", author="Coach Alder")
    desk = Desk(fresh, post=posted)
    told: list[str] = []
    desk.said.connect(told.append)
    assert desk.undo_hint() == ""
    desk.undo()
    assert isinstance(told[-1], Refusal)
    assert desk.name == "Fresh"
    desk.close()


def test_a_change_is_told_in_the_windows_thread(desk: Desk, posted: Posted) -> None:
    """A commit announces the tables it changed, through post."""
    seen: list[frozenset[str]] = []
    desk.book_changed.connect(seen.append)
    clip = desk.book.find(Clip)[0]
    with desk.book.act("drop a play's note") as act:
        act.put(Clip(id=clip.id, session_id=clip.session_id, order=clip.order, note="again"))
    assert seen == []
    posted.until(lambda: bool(seen))
    assert seen == [frozenset({"clips"})]


def test_the_desk_knows_book_and_grader(desk: Desk) -> None:
    """Header words come from the book."""
    assert (desk.name, desk.author) == ("Small Herons", "Coach Alder")
