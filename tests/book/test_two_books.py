"""Two programs on one book: nothing is lost, and neither undoes the other's work."""

from __future__ import annotations

import threading
import time
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from pathlib import Path

import pytest

from gradecut.book import Book, open_book
from gradecut.errors import UndoRefused
from gradecut.records import Clip, Player, Session


@pytest.fixture
def two(path: Path) -> Iterator[tuple[Book, Book]]:
    """Open one book twice, as two coaches."""
    with (
        open_book(path, create=True, author="Coach Alder") as alder,
        open_book(path, author="Coach Birch") as birch,
    ):
        yield alder, birch


def test_alternating_acts_are_all_there(two: tuple[Book, Book]) -> None:
    """Each sees at once what the other has stored, and the journal counts both in order."""
    players = [Player(name=str(number)) for number in range(20)]
    for number, player in enumerate(players):
        with two[number % 2].act(f"add {number}") as act:
            act.put(player)
        assert two[1 - number % 2].get(Player, player.id) == player
    for book in two:
        assert book.find(Player) == players
        assert [act.verb for act in reversed(book.history())] == [f"add {n}" for n in range(20)]


def test_undo_passes_over_the_others_act(two: tuple[Book, Book]) -> None:
    """Each takes back his own newest act, though the other's is newer."""
    for book, name in zip(two, ("Keel", "Stone"), strict=True):
        with book.act(f"add {name}") as act:
            act.put(Player(name=name))
    assert two[0].undo().verb == "take back “add Keel”"
    assert [player.name for player in two[1].find(Player)] == ["Stone"]


def test_undo_is_refused_when_the_other_changed_the_row(two: tuple[Book, Book]) -> None:
    """What the other coach wrote since is kept, and his name is told."""
    alder, birch = two
    keel = Player(name="Keel")
    with alder.act("add Keel") as act:
        act.put(keel)
    with birch.act("write a remark") as act:
        act.put(replace(birch.get(Player, keel.id), remark="quick"))
    with pytest.raises(UndoRefused, match="Coach Birch has since done “write a remark”"):
        alder.undo()
    birch.undo()
    alder.undo()
    assert birch.find(Player) == []


def test_reading_then_writing_at_once_loses_nothing(two: tuple[Book, Book]) -> None:
    """Acts of both that count first and then write never count the same."""
    session = Session(name="Tuesday")
    with two[0].act("add") as act:
        act.put(session)

    def add(book: Book) -> None:
        for _ in range(15):
            with book.act("add a clip") as act:
                act.put(Clip(session_id=session.id, order=1 + book.count(Clip)))

    with ThreadPoolExecutor(2) as pool:
        list(pool.map(add, two))
    assert [clip.order for clip in two[0].find(Clip)] == list(range(1, 31))


def test_what_is_read_at_one_go_is_of_one_moment(two: tuple[Book, Book]) -> None:
    """An act the other stores meanwhile is not seen half: it waits, and is there afterwards."""
    mine, his = two

    def bring_in() -> None:
        with his.act("bring a man in") as act:
            act.put(Player(name="Late Comer"))

    with ThreadPoolExecutor(max_workers=1) as beside:
        began = threading.Event()
        adding = beside.submit(lambda: (began.wait(), bring_in()))

        def work() -> tuple[int, int]:
            before = mine.count(Player)
            began.set()
            time.sleep(0.2)
            return before, mine.count(Player, name="Late Comer")

        assert mine.reading(work) == (0, 0)
        adding.result()
    assert mine.count(Player) == 1


def test_what_another_has_stored_is_noticed_once(two: tuple[Book, Book]) -> None:
    """His own acts are none of that; the other's is told, and then it is known."""
    mine, his = two
    assert not mine.changed_elsewhere()
    for book, noticed in ((mine, False), (his, True)):
        with book.act("bring a man in") as act:
            act.put(Player(name="Late Comer"))
        assert mine.changed_elsewhere() is noticed
        assert not mine.changed_elsewhere()
