"""Reading, telling of changes, copies, and many threads on one book."""

from __future__ import annotations

import threading
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest

from gradecut.book import Book, open_book
from gradecut.errors import BookError, OutputError
from gradecut.records import (
    BookInfo,
    Clip,
    FactValue,
    Fingerprint,
    Flag,
    Grade,
    Moment,
    Piece,
    Player,
    Rep,
    Session,
    StoredFilm,
)
from gradecut.timebase import Pts
from tests.book.invented_rows import one_of_each


@pytest.fixture
def week(book: Book) -> Book:
    """Fill the book with one record of every kind."""
    with book.act("add the week") as act:
        act.put(*one_of_each())
    return book


def test_finds_by_equal_values(week: Book) -> None:
    """A value, any of several, or none at all."""
    (rep,) = week.find(Rep, position="mike", side="left")
    assert week.find(Rep, position="will") == []
    assert [moment.kind for moment in week.find(Moment, rep_id=None)] == ["snap"]
    assert [moment.kind for moment in week.find(Moment, rep_id=rep.id)] == ["go"]
    assert len(week.find(Moment, rep_id=[rep.id, None])) == 2
    assert [moment.kind for moment in week.find(Moment, kind={"go", "whistle"})] == ["go"]
    assert week.find(Moment, kind=()) == []
    assert len(week.find(Moment, pts=Pts(3003), kind="snap")) == 1
    film = Fingerprint(algorithm="blake2b", digest="00ff")
    assert [found.rate for found in week.find(StoredFilm, fingerprint=film)] == [
        week.find(StoredFilm)[0].rate
    ]
    assert len(week.find(StoredFilm, rate=None)) == 1
    assert week.count(Player, under_18=True) == 1
    assert week.count(Player, under_18=False) == 0
    assert week.count(Player, name=[]) == 0


def test_tells_one_from_true_and_from_text(week: Book) -> None:
    """The answers 1, yes and the word "1" are three answers, stored and found."""
    for value in (1, True, "1", "true", 0, False, ""):
        (fact,) = week.find(FactValue, value=value)
        assert type(fact.value) is type(value)
        assert fact.value == value


def test_clips_come_in_the_coachs_order(book: Book) -> None:
    """By their number where there is one, else as they were made."""
    session = Session(name="Tuesday")
    clips = [Clip(session_id=session.id, order=order) for order in (10, 2, 1)]
    players = [Player(name=name) for name in ("Stone", "Keel")]
    with book.act("add") as act:
        act.put(session, *reversed(players), *clips)
    assert [clip.order for clip in book.find(Clip)] == [1, 2, 10]
    assert book.find(Player) == players


def test_many_values_are_found_in_order(book: Book, monkeypatch: pytest.MonkeyPatch) -> None:
    """Asking for more values than one statement takes gives the same answer, each once."""
    monkeypatch.setattr("gradecut.book.rows._CHUNK", 3)
    session = Session(name="Tuesday")
    clips = [Clip(session_id=session.id, order=order) for order in range(10)]
    with book.act("add") as act:
        act.put(session, *reversed(clips))
    asked = [clip.id for clip in reversed(clips)] * 2
    assert book.find(Clip, id=asked) == clips
    assert book.find(Clip, id=asked, session_id=[session.id, "other"]) == clips
    assert book.count(Clip, id=asked) == 10
    book.undo()
    assert book.count(Clip) == 0


def test_ids_are_those_of_all_records_of_a_kind(week: Book) -> None:
    """As the records themselves have them, in the order they were made in."""
    assert week.ids(Player) == [one.id for one in week.find(Player)]
    assert week.ids(Clip) == sorted(one.id for one in week.find(Clip))


def test_any_of_one_value_finds_what_the_value_finds(week: Book) -> None:
    """A list of one, also of nothing at all, asks for the same as what is in it."""
    (flag, *_) = week.find(Flag)
    assert week.find(Flag, id=[flag.id]) == week.find(Flag, id=flag.id) == [flag]
    for kept in (None, flag.rep_id):
        assert week.find(Flag, rep_id=[kept]) == week.find(Flag, rep_id=kept)


def test_a_missing_record_is_told(book: Book) -> None:
    """Asking for a clip that is not there names it."""
    with pytest.raises(BookError, match="there is no clip “c7” in this book"):
        book.get(Clip, "c7")
    with pytest.raises(BookError, match="there is no book's title “book”"):
        book.get(BookInfo, "book")


def test_looking_by_a_wrong_word_is_told(book: Book) -> None:
    """A field a kind does not have, or a word it never holds, is an error and not an empty list."""
    with pytest.raises(BookError, match="A clip has no “number”"):
        book.find(Clip, number=None)
    with pytest.raises(BookError, match="none of “run”, “pass”"):
        book.find(Clip, kind="screen")
    with pytest.raises(BookError, match="is no tuple"):
        book.find(Piece, mark_ids="m")


def test_snap_is_marked_once(week: Book) -> None:
    """Two snaps by the same person on one angle can't be, though they name no rep."""
    (snap,) = week.find(Moment, kind="snap")
    with (
        pytest.raises(BookError, match="a moment with the same angle, rep, kind, source and auth"),
        week.act("mark") as act,
    ):
        act.put(Moment(angle_id=snap.angle_id, kind="snap", pts=Pts(6006)))
    with week.act("mark") as act:
        act.put(Moment(angle_id=snap.angle_id, kind="snap", pts=Pts(6006), author="Coach Birch"))
    assert week.count(Moment, kind="snap") == 2


def test_tells_of_each_change_after_it_is_stored(book: Book) -> None:
    """A listener hears table and id of every changed row, of acts, undo and redo alike."""
    heard: list[tuple[frozenset[tuple[str, str]], int, int]] = []
    stop = book.on_change(
        lambda rows: heard.append((rows, book.count(Player), threading.get_ident()))
    )
    keel = Player(name="Keel")
    with book.act("add") as act:
        act.put(keel)
        with book.act("part") as part:
            part.put(Session(id="s", name="Tuesday"))
        assert heard == []
    book.undo()
    book.redo()
    with book.act("nothing") as act:
        act.put(keel)
    rows = frozenset({("players", keel.id), ("sessions", "s")})
    here = threading.get_ident()
    assert heard == [(rows, 1, here), (rows, 0, here), (rows, 1, here)]
    stop()
    stop()
    book.undo()
    assert len(heard) == 3


def test_a_listener_may_act(book: Book) -> None:
    """What a listener stores is an act of its own."""

    def flag_it(rows: frozenset[tuple[str, str]]) -> None:
        clips = [row_id for table, row_id in rows if table == "clips"]
        if clips:
            with book.act("flag new clips") as act:
                act.put(*(Flag(clip_id=clip) for clip in clips))

    book.on_change(flag_it)
    session = Session(name="Tuesday")
    with book.act("add") as act:
        act.put(session, Clip(session_id=session.id, order=1))
    assert [act.verb for act in book.history()] == ["flag new clips", "add"]
    assert book.count(Flag) == 1


def test_many_threads_lose_nothing(book: Book) -> None:
    """Acts that read and then write from several threads at once count without a gap."""
    session = Session(name="Tuesday")
    with book.act("add") as act:
        act.put(session)

    def add(_: int) -> None:
        with book.act("add a clip") as act:
            act.put(Clip(session_id=session.id, order=1 + book.count(Clip)))

    with ThreadPoolExecutor(8) as pool:
        list(pool.map(add, range(60)))
    assert [clip.order for clip in book.find(Clip)] == list(range(1, 61))
    assert len(book.history()) == 61


def test_another_thread_sees_only_what_is_stored(book: Book) -> None:
    """While an act runs, others read the book as it was before or as it is after."""
    with ThreadPoolExecutor(1) as pool:
        with book.act("add") as act:
            act.put(Player(name="Keel"))
            assert pool.submit(book.count, Player).result() == 0
            assert book.count(Player) == 1
            waiting = pool.submit(book.count, Player)
            act.put(Player(name="Stone"))
        assert waiting.result() == 2


def test_a_copy_is_a_whole_book(week: Book, tmp_path: Path) -> None:
    """A backup opens by itself, holds everything and lets the book go on."""
    copy = week.backup(tmp_path / "copies" / "week.gradecut")
    with week.act("after") as act:
        act.put(Player(name="Later"))
    with open_book(copy, author="Coach Alder") as found:
        assert found.count(Player) == 1
        assert found.find(Grade) == week.find(Grade)
        assert found.undo().verb == "take back “add the week”"
    assert sorted(file.name for file in copy.parent.iterdir()) == ["week.gradecut"]


def test_a_copy_over_an_older_copy(book: Book, tmp_path: Path) -> None:
    """A second backup takes the place of the first."""
    book.backup(tmp_path / "copy.gradecut")
    with book.act("add") as act:
        act.put(Player(name="Keel"))
    book.backup(tmp_path / "copy.gradecut")
    with open_book(tmp_path / "copy.gradecut") as copy:
        assert copy.count(Player) == 1


def test_a_copy_that_can_not_be(book: Book, tmp_path: Path) -> None:
    """A backup into itself, into a file, or in the middle of an act is refused."""
    with pytest.raises(BookError, match="its own backup"):
        book.backup(book.path)
    (tmp_path / "notes").write_text("x")
    with pytest.raises(OutputError):
        book.backup(tmp_path / "notes" / "copy.gradecut")
    with pytest.raises(BookError, match="Finish “add” before"), book.act("add"):
        book.backup(tmp_path / "copy.gradecut")
    assert not (tmp_path / "copy.gradecut").exists()


def test_a_closed_book_says_so(book: Book) -> None:
    """After closing, everything asked of the book costs one sentence; closing again is nothing."""
    book.close()
    book.close()
    with pytest.raises(BookError, match="this book is closed"):
        book.find(Player)
    with pytest.raises(BookError, match="this book is closed"), book.act("add") as act:
        act.put(Player(name="Keel"))


def test_reading_at_one_go_finds_the_same(week: Book) -> None:
    """What is read at one go is what is read piece by piece, however often it is asked."""

    def work() -> list[list[object]]:
        found = [week.find(Rep), week.find(Clip), week.find(Clip), [week.count(Grade)]]
        week.find(Clip).clear()
        return [*found, week.find(Clip), week.reading(lambda: list(week.find(Player)))]

    clips = week.find(Clip)
    assert week.reading(work) == [
        week.find(Rep), clips, clips, [week.count(Grade)], clips, week.find(Player),
    ]  # fmt: skip


def test_reading_sees_what_the_act_has_put_in(week: Book) -> None:
    """Inside an act it sees the act's own rows; afterwards they are stored."""
    with week.act("bring in a man") as act:
        act.put(Player(name="Late Comer"))
        assert "Late Comer" in week.reading(lambda: [man.name for man in week.find(Player)])
    assert "Late Comer" in [man.name for man in week.find(Player)]


def test_what_only_reads_changes_nothing(week: Book) -> None:
    """An act inside it is refused with a sentence, and the book goes on as before."""

    def work() -> None:
        with week.act("sneak a man in") as act:
            act.put(Player(name="Nobody"))

    with pytest.raises(BookError, match="“sneak a man in” would change the book"):
        week.reading(work)
    assert "Nobody" not in [man.name for man in week.find(Player)]
    with week.act("bring in a man") as act:
        act.put(Player(name="Somebody"))
    assert week.undo().verb == "take back “bring in a man”"
