from __future__ import annotations

import shutil
from pathlib import Path

from gradecut.desk import Desk
from gradecut.desk.card_copying import CardWanted, copy_beside, told_of_card
from gradecut.records import Clip, Session
from gradecut.workflows.adding import Added
from gradecut.workflows.card import CardCopied
from gradecut.workflows.card_adding import CardAdded
from gradecut.workflows.pairing import PairingAsked
from tests.desk.small_book import Posted


def test_plays_of_a_card_come_into_the_open_book(
    desk: Desk, posted: Posted, said: list[str], films: Path, tmp_path: Path
) -> None:
    """The desk shows them as they come, says when the first is there, and has nothing to undo."""
    card = tmp_path / "card" / "DCIM"
    card.mkdir(parents=True)
    for number, film in enumerate(sorted(films.iterdir())):
        copy = Path(shutil.copy(film, card / f"CLIP{number}.MP4"))
        copy.write_bytes(copy.read_bytes() + bytes([0, 0, 0, 9]) + b"free" + bytes([number]))
    tables: list[frozenset[str]] = []
    desk.book_changed.connect(tables.append)
    before = desk.undo_hint()
    done: list[CardAdded | PairingAsked] = []
    wanted = CardWanted(
        card=str(card.parent), goal_folder=str(tmp_path / "films"), session="Friday", angle="end"
    )
    copy_beside(desk, wanted, on_done=done.append, on_refused=said.append, on_stopped=said.append)
    posted.until(lambda: bool(done) and not desk.jobs.busy)
    how = "Ctrl+J goes there"  # another session is on the page, and stays there
    assert said == [f"Friday: the first play can be graded while the rest is copied ({how})."]
    assert any("clips" in one for one in tables)
    friday = next(one for one in desk.film.plays.sessions if one.name == "Friday")
    assert desk.book.count(Clip, session_id=friday.id) == 3
    assert desk.undo_hint() == before


def test_a_card_that_is_not_there_is_refused(
    desk: Desk, posted: Posted, said: list[str], tmp_path: Path
) -> None:
    """Whoever asked is told."""
    refused: list[str] = []
    wanted = CardWanted(
        card=str(tmp_path / "none"), goal_folder=str(tmp_path / "films"), session="F", angle="end"
    )
    copy_beside(desk, wanted, on_done=print, on_refused=refused.append, on_stopped=said.append)
    posted.until(lambda: bool(refused) and not desk.jobs.busy)
    assert "no such folder" in refused[0]
    assert said == []


def test_what_a_card_came_to_is_told_short() -> None:
    """One play is one play; of many faults the first three are told."""
    copied = CardCopied(
        films=(Path("a"),), copied=(Path("a"),), already=(), left=(), notes=(), faults=()
    )
    added = Added(session=Session(name="Friday"), clips=1, angles=1, scripted=0, notes=("So.",))
    done = CardAdded(copied=copied, added=added, faults=("A.", "B.", "C.", "D.", "E."))
    assert told_of_card(done, "end") == (
        "1 of 1 films of the card are copied. Friday: 1 new play, 1 end film. So. A. B. C. "
        "And 2 more."
    )
