"""An act is stored whole or not at all, and its parts are one act."""

from __future__ import annotations

from contextlib import suppress
from dataclasses import replace

import pytest
from sqlalchemy import Connection

from gradecut.book import Book, acts
from gradecut.errors import BookError
from gradecut.records import Act, Change, Clip, Grade, Player, Rep, Session, new_id
from tests.book.invented_rows import one_of_each


def test_an_act_says_who_what_and_where(book: Book) -> None:
    """The journal keeps author, computer, verb, time and each row before and after."""
    keel = Player(name="Keel")
    with book.act("add a player") as draft:
        draft.put(keel)
    (act,) = book.history()
    assert (act.author, act.computer, act.verb) == ("Coach Alder", book.computer, "add a player")
    assert act.undoes is None
    assert draft.act == act
    with book.act("rename a player") as draft:
        draft.put(replace(keel, name="Rory Keel"))
    (change,) = book.find(Change, act_id=book.history()[0].id)
    assert (change.table, change.row_id) == ("players", keel.id)
    assert '"Keel"' in (change.before or "")
    assert '"Rory Keel"' in (change.after or "")


def test_every_kind_of_record_comes_back(book: Book) -> None:
    """One of every kind, odd text and all, is stored in one act and read back the same."""
    rows = list(one_of_each())
    with book.act("add") as act:
        act.put(*rows)
    for row in rows:
        found = book.get(type(row), row.id)  # type: ignore[attr-defined]
        assert found == row
    assert len(book.history()) == 1


def test_an_error_takes_the_whole_act_back(book: Book) -> None:
    """When the block fails, nothing of it is stored and the error goes on."""

    def fail() -> None:
        with book.act("add") as act:
            act.put(Player(name="Keel"))
            assert book.count(Player) == 1
            raise ZeroDivisionError

    with pytest.raises(ZeroDivisionError):
        fail()
    assert book.find(Player) == []
    assert book.history() == []


def test_an_act_that_changes_nothing_is_none(book: Book) -> None:
    """Storing what is there, or taking out what is not, leaves no act to undo."""
    keel = Player(name="Keel")
    with book.act("add") as act:
        act.put(keel)
    with book.act("again") as act:
        act.put(keel)
        act.drop(Player, new_id())
    assert act.act is None
    with book.act("for a moment") as act:
        visitor = Player(name="Visitor")
        act.put(visitor)
        assert book.count(Player) == 2
        act.drop(Player, visitor.id)
    with book.act("nothing"):
        pass
    assert [done.verb for done in book.history()] == ["add"]


def test_reading_in_an_act_sees_it(book: Book) -> None:
    """What an act has put in so far is found by its own thread before it ends."""
    session = Session(name="Tuesday")
    with book.act("add") as act:
        act.put(session)
        for order in (1, 2):
            act.put(Clip(session_id=session.id, order=order + book.count(Clip)))
        assert [clip.order for clip in book.find(Clip)] == [1, 3]
    assert len(book.history()) == 1


def test_an_act_inside_another_is_one_act(book: Book) -> None:
    """A step that is an act by itself becomes part of the greater one."""
    with book.act("add the week") as week:
        week.put(Player(name="Keel"))
        with book.act("add a session") as part:
            part.put(Session(name="Tuesday"))
    assert [act.verb for act in book.history()] == ["add the week"]
    assert book.count(Session) == 1
    book.undo()
    assert book.count(Session) + book.count(Player) == 0


def test_a_failed_part_leaves_the_rest(book: Book) -> None:
    """When a part fails and the greater act goes on, only the part is missing."""
    tuesday = Session(name="Tuesday")

    def add_clip() -> None:
        with book.act("add a clip") as part:
            clip = Clip(session_id=tuesday.id, order=1)
            keel = book.find(Player)[0]
            part.put(clip, Rep(clip_id=clip.id, player_id=keel.id, position="mike"))
            part.put(replace(tuesday, name="lost"))
            part.put(Rep(clip_id=clip.id, player_id=keel.id, position="mike"))

    with book.act("add the week") as week:
        week.put(Player(name="Keel"), tuesday)
        with pytest.raises(BookError, match="position"):
            add_clip()
        week.put(Player(name="Stone"))
    assert [player.name for player in book.find(Player)] == ["Keel", "Stone"]
    assert book.find(Session) == [tuesday]
    assert book.count(Clip) == 0


@pytest.mark.parametrize("looked", [False, True])
def test_a_failed_part_can_be_done_again(book: Book, looked: bool) -> None:
    """What a failed part had put in is gone, read back or not, and can be put in anew."""
    keel, stone = Player(name="Keel"), Player(name="Stone")

    def fail() -> None:
        with book.act("add both") as part:
            part.put(keel, stone)
            if looked:
                assert book.count(Player) == 2
            raise ZeroDivisionError

    with book.act("add") as act:
        with pytest.raises(ZeroDivisionError):
            fail()
        assert book.count(Player) == 0
        act.put(keel)
    assert book.find(Player) == [keel]


def test_a_refused_part_spoils_the_act(book: Book) -> None:
    """An act whose reading was refused can't be stored by half."""
    session = Session(name="Tuesday")
    clip, keel = Clip(session_id=session.id, order=1), Player(name="Keel")

    def add() -> None:
        with book.act("add") as act:
            act.put(session, clip, keel)
            for _ in range(2):
                act.put(Rep(clip_id=clip.id, player_id=keel.id, position="mike"))
            with pytest.raises(BookError, match="same clip, position and player"):
                book.find(Rep)

    with pytest.raises(BookError, match="“add” was not done"):
        add()
    assert book.history() == []


def test_nothing_is_left_without_what_it_names(book: Book) -> None:
    """A session can't go while a clip is in it; both can go together, in any order."""
    session = Session(name="Tuesday")
    clip = Clip(session_id=session.id, order=1)
    with book.act("add") as act:
        act.put(clip, session)
    with (
        pytest.raises(BookError, match="a clip would be left without its session"),
        book.act("drop the session") as act,
    ):
        act.drop(Session, session.id)
    assert book.get(Session, session.id) == session
    with book.act("drop both") as act:
        act.drop_all([session, clip])
    assert book.count(Clip) == 0


def test_rows_may_trade_places(book: Book) -> None:
    """Two reps that swap positions need no third step."""
    rows = [row for row in one_of_each() if not isinstance(row, Grade)]
    rep = next(row for row in rows if isinstance(row, Rep))
    stone = replace(rep, id=new_id(), position="will")
    with book.act("add") as act:
        act.put(*rows, stone)
    with book.act("swap") as act:
        act.put(replace(rep, position="will"), replace(stone, position="mike"))
    assert [found.position for found in book.find(Rep)] == ["will", "mike"]
    book.undo()
    assert [found.position for found in book.find(Rep)] == ["mike", "will"]


def test_a_grade_is_never_changed(book: Book) -> None:
    """A new judgement is a new grade; the old one stays as it was given."""
    rows = list(one_of_each())
    with book.act("add") as act:
        act.put(*rows)
    grade = book.find(Grade)[0]
    with pytest.raises(BookError, match="never changed"), book.act("regrade") as act:
        act.put(replace(grade, note="better"))
    with book.act("regrade") as act:
        act.put(grade)
    assert book.get(Grade, grade.id) == grade


def test_the_journal_writes_itself(book: Book) -> None:
    """Nobody puts an act in by hand, or takes one out."""
    with pytest.raises(BookError, match="journal"), book.act("forge") as act:
        act.put(Act(author="Coach Birch", computer="x", verb="y", schema="0001"))
    with pytest.raises(BookError, match="journal"), book.act("forget") as act:
        act.drop(Act, "x")


def test_an_act_that_is_over_takes_no_more(book: Book) -> None:
    """Putting into an act after its end says so instead of losing the record."""
    with book.act("add") as act:
        pass
    with pytest.raises(BookError, match="“add” is over"):
        act.put(Player(name="Keel"))


@pytest.mark.parametrize("record_id", ["", None, 7])
def test_a_record_needs_an_id(book: Book, record_id: object) -> None:
    """A record without a key of its own is refused."""
    with pytest.raises(BookError, match=r"id"), book.act("add") as act:
        act.put(Player(id=record_id, name="Keel"))  # type: ignore[arg-type]


def test_what_is_no_record_is_refused(book: Book) -> None:
    """Only records go into a book."""
    with pytest.raises(BookError, match="keeps no str"), book.act("add") as act:
        act.put("Keel")


def test_an_act_that_could_not_begin_stores_nothing(
    book: Book, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Also where whoever acts lets the refusal pass and goes on: no row without its journal."""
    begin = acts.begin
    refused: list[str] = []

    def busy(connection: Connection) -> None:
        if not refused:
            refused.append("busy")
            raise BookError("This book is in use by another program.")
        begin(connection)

    monkeypatch.setattr(acts, "begin", busy)

    def go_on() -> None:
        with book.act("add") as act:
            with suppress(BookError), book.act("add the first") as part:
                part.put(Player(name="Keel"))
            act.put(Player(name="Bow"))

    with pytest.raises(BookError, match="do it again"):
        go_on()
    assert (book.find(Player), book.history()) == ([], [])
    go_on()
    assert {one.name for one in book.find(Player)} == {"Keel", "Bow"}


def test_an_act_the_database_took_back_stores_nothing(book: Book) -> None:
    """A full disk ends the transaction: what is put in after it is not stored by itself."""

    def go_on() -> None:
        with book.act("add") as act:
            act.put(Player(name="Keel"))
            act.settle()
            book._store.call(lambda connection: connection.exec_driver_sql("ROLLBACK"))
            act.put(Player(name="Bow"))

    with pytest.raises(BookError, match="taken back by the database; do it again"):
        go_on()
    assert (book.find(Player), book.history()) == ([], [])
