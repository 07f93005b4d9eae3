"""Own acts can be taken back, newest first, and never over somebody else's work."""

from __future__ import annotations

import sqlite3
from dataclasses import replace
from pathlib import Path

import pytest

from gradecut.book import Book, open_book
from gradecut.errors import BookError, UndoRefused
from gradecut.records import (
    Act,
    Clip,
    Event,
    FactValue,
    FilmIndex,
    Player,
    Rep,
    Session,
    new_id,
)
from tests.book.invented_rows import one_of_each


def add(book: Book, verb: str, *records: object) -> None:
    """Put records in as one act."""
    with book.act(verb) as act:
        act.put(*records)


def names(book: Book) -> list[str]:
    """List the players."""
    return [player.name for player in book.find(Player)]


def test_undo_and_redo_walk_both_ways(book: Book) -> None:
    """Undo goes back act by act, redo forward again, and each is an act of its own."""
    for name in ("Keel", "Stone", "Reyes"):
        add(book, f"add {name}", Player(name=name))
    assert book.undo().verb == "take back “add Reyes”"
    assert book.undo().verb == "take back “add Stone”"
    assert names(book) == ["Keel"]
    assert book.redo().verb == "add Stone"
    assert names(book) == ["Keel", "Stone"]
    undone = book.undo()
    assert undone.verb == "take back “add Stone”"
    assert names(book) == ["Keel"]
    assert [book.redo().verb, book.redo().verb] == ["add Stone", "add Reyes"]
    assert names(book) == ["Keel", "Stone", "Reyes"]
    assert book.can_redo() is None
    assert len(book.history()) == 9


def test_says_what_undo_and_redo_would_do(book: Book) -> None:
    """The menu can name the act that undo takes back, and the undo that redo does."""
    assert book.can_undo() is None
    assert book.can_redo() is None
    add(book, "add Keel", Player(name="Keel"))
    (act,) = book.history()
    assert book.can_undo() == act
    undone = book.undo()
    assert undone.undoes == act.id
    assert book.can_undo() is None
    assert book.can_redo() == undone


def test_nothing_to_take_back_is_told(book: Book) -> None:
    """Undo in an empty book, or redo without an undo, costs a sentence."""
    with pytest.raises(BookError, match="nothing of yours to take back"):
        book.undo()
    add(book, "add Keel", Player(name="Keel"))
    with pytest.raises(BookError, match="nothing to do again"):
        book.redo()


def test_a_new_act_ends_redo(book: Book) -> None:
    """After something new there is nothing to do again."""
    add(book, "add Keel", Player(name="Keel"))
    book.undo()
    add(book, "add Stone", Player(name="Stone"))
    assert book.can_redo() is None
    assert book.undo().verb == "take back “add Stone”"
    assert book.can_undo() is None


def test_undo_reaches_over_a_restart(path: Path) -> None:
    """What was done yesterday can be taken back today."""
    with open_book(path, create=True, author="Coach Alder") as book:
        add(book, "add Keel", Player(name="Keel"))
        add(book, "add Stone", Player(name="Stone"))
        book.undo()
    with open_book(path, author="Coach Alder") as book:
        book.redo()
        book.undo()
        book.undo()
        assert names(book) == []


def test_takes_back_own_acts_only(book: Book) -> None:
    """Undo passes over what others did, and what was done on another computer."""
    add(book, "add Keel", Player(name="Keel"))
    book.author = "Coach Birch"
    assert book.can_undo() is None
    add(book, "add Stone", Player(name="Stone"))
    book.author = "Coach Alder"
    book.computer = "the office"
    assert book.can_undo() is None
    add(book, "add Reyes", Player(name="Reyes"))
    book.undo()
    assert names(book) == ["Keel", "Stone"]


def test_refuses_when_the_row_has_moved_on(book: Book) -> None:
    """An act on a row that somebody has changed since stays, and the sentence says who and what."""
    keel = Player(name="Keel")
    add(book, "add Keel", keel)
    book.author, book.computer = "Coach Birch", "the office"
    add(book, "hold Keel out", replace(keel, held_out=True))
    book.author, book.computer = "Coach Alder", book.history()[-1].computer
    with pytest.raises(UndoRefused) as caught:
        book.undo()
    assert str(caught.value) == (
        "“add Keel” can't be taken back: Coach Birch on the office has since done "
        "“hold Keel out” to the same player; change it by hand instead."
    )
    assert book.get(Player, keel.id).held_out
    assert len(book.history()) == 2


def test_refuses_a_part_and_leaves_all(book: Book) -> None:
    """When one of many rows has moved on, none of them is touched."""
    players = [Player(name=name) for name in ("Keel", "Stone", "Reyes")]
    add(book, "add the roster", *players)
    book.author = ""
    add(book, "drop Reyes", replace(players[2], name="R."))
    book.author = "Coach Alder"
    with pytest.raises(UndoRefused, match="somebody has since done “drop Reyes”"):
        book.undo()
    assert names(book) == ["Keel", "Stone", "R."]


def test_refuses_when_others_rest_on_it(book: Book) -> None:
    """A rep somebody has since counted an event on can't vanish under it."""
    rows = [row for row in one_of_each() if isinstance(row, (Session, Clip, Player, Rep))]
    add(book, "add the clip", *rows)
    rep = next(row for row in rows if isinstance(row, Rep))
    book.author = "Coach Birch"
    add(book, "count a loaf", Event(rep_id=rep.id, name="loaf"))
    book.author = "Coach Alder"
    with pytest.raises(UndoRefused, match=r"Coach Birch has since done “count a loaf” .* event"):
        book.undo()
    assert book.get(Rep, rep.id) == rep


def test_refuses_when_another_stands_in_its_place(book: Book) -> None:
    """A fact taken out can't come back where somebody has since answered the same question."""
    session = Session(name="Tuesday")
    clip = Clip(session_id=session.id, order=1)
    mine = FactValue(clip_id=clip.id, reference="back", value="left")
    add(book, "answer", session, clip, mine)
    with book.act("clear the answer") as act:
        act.drop(FactValue, mine.id)
    book.author = "Coach Birch"
    add(book, "answer again", replace(mine, id="another", value="right"))
    book.author = "Coach Alder"
    with pytest.raises(UndoRefused, match="Coach Birch has since done “answer again”"):
        book.undo()
    assert [fact.value for fact in book.find(FactValue)] == ["right"]


def test_refuses_redo_over_others_work(book: Book) -> None:
    """Redo, too, never writes over what somebody did since."""
    keel = Player(name="Keel")
    add(book, "add Keel", keel)
    add(book, "rename Keel", replace(keel, name="Rory"))
    book.undo()
    book.author = "Coach Birch"
    add(book, "number Keel", replace(keel, game_number="44"))
    book.author = "Coach Alder"
    with pytest.raises(UndoRefused, match="Coach Birch has since done “number Keel”"):
        book.redo()


def test_tells_of_a_row_changed_outside(path: Path) -> None:
    """A row changed by another tool, without an act, is not overwritten either."""
    with open_book(path, create=True) as book:
        add(book, "add Keel", Player(name="Keel"))
        other = sqlite3.connect(path)
        other.execute("UPDATE players SET name = 'Meddler'")
        other.commit()
        other.close()
        with pytest.raises(UndoRefused, match="not as it was left"):
            book.undo()


def test_every_kind_can_be_taken_back_and_done_again(book: Book) -> None:
    """Every kind of record, with what it names, goes and comes back the same."""
    rows = list(one_of_each())
    add(book, "add all", *rows)
    book.undo()
    kinds = {type(row) for row in rows} - {FilmIndex}
    assert sum(book.count(kind) for kind in kinds) == 0
    book.redo()
    for row in rows:
        assert book.get(type(row), row.id) == row  # type: ignore[attr-defined]


def test_what_is_made_anew_is_nobodys_act(book: Book, path: Path) -> None:
    """An index put in by itself is no act to take back, and the journal never carries it."""
    add(book, "add Keel", Player(name="Keel"))
    film_id, data = new_id(), b"a mark of its own" * 100_000
    told: list[frozenset[tuple[str, str]]] = []
    book.on_change(told.append)
    index = FilmIndex(film_id=film_id, data=data)
    add(book, "keep an index", index)
    assert told == [frozenset({("frame_indexes", index.id)})]
    assert book.can_undo() is not None
    assert [act.verb for act in book.history()] == ["add Keel"]
    add(book, "add Bow", Player(name="Bow"), replace(index, data=data + b"more"))
    book.undo()
    assert book.find(FilmIndex, film_id=film_id) == [replace(index, data=data + b"more")]
    journal = sqlite3.connect(path)
    longest = journal.execute(
        "SELECT max(length(before), length(after)) FROM changes WHERE after IS NOT NULL "
        "AND before IS NOT NULL"
    ).fetchall()
    journal.close()
    assert longest
    assert all(length < 300 for (length,) in longest)


def test_acts_of_an_older_schema_are_history(path: Path) -> None:
    """What was done before the tables changed is shown, but no longer taken back."""
    with open_book(path, create=True, author="Coach Alder") as book:
        add(book, "add Keel", Player(name="Keel"))
    other = sqlite3.connect(path)
    other.execute("UPDATE acts SET schema = '0000'")
    other.commit()
    other.close()
    with open_book(path, author="Coach Alder") as book:
        assert [act.verb for act in book.history()] == ["add Keel"]
        assert book.can_undo() is None


def test_undo_waits_for_the_end_of_an_act(book: Book) -> None:
    """In the middle of an act there is nothing to take back yet."""
    with pytest.raises(BookError, match="Finish “add” before"), book.act("add"):
        book.undo()


def test_a_long_way_back(book: Book, monkeypatch: pytest.MonkeyPatch) -> None:
    """More acts than are read at a time are taken back one by one, and done again."""
    monkeypatch.setattr("gradecut.book.undoing._PAGE", 3)
    for number in range(8):
        add(book, f"add {number}", Player(name=str(number)))
    for _ in range(8):
        book.undo()
    assert names(book) == []
    assert book.can_undo() is None
    for _ in range(8):
        book.redo()
    assert book.count(Player) == 8
    assert book.count(Act) == 24
