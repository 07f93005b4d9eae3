from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import pytest

from gradecut.book import Book
from gradecut.desk import session_plays
from gradecut.desk.plays_line import PlayBox, PlaysLine, read_boxes
from gradecut.desk.session_plays import SessionPlays
from gradecut.records import Clip, Session
from tests.desk.small_book import Posted


def test_boxes_tell_how_each_play_stands(book: Book) -> None:
    """Not all right, all right, to show: each in words too."""
    session = book.find(Session)[0]
    told = [box.words for box in read_boxes(book, session)]
    assert told == [
        "Play 1: not all right, 1 at speed, 1 looked at closely, flagged",
        "Play 2: all right, graded at speed",
        "Play 3: not all right, looked at closely, flagged",
    ]


def test_a_long_session_is_read_beside_the_window(
    book: Book, posted: Posted, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Its boxes stand there at once, open; what was graded follows from another thread.

    He goes on where he graded last, since looking through all of them would take time.
    """
    monkeypatch.setattr(session_plays, "_AT_ONCE", 2)
    monkeypatch.setattr(session_plays, "_A_LOT", 2)
    plays = SessionPlays(book, posted)
    plays.open(plays.sessions[0])
    assert [box.status for box in plays.line.boxes] == ["open"] * 3
    assert plays.first_waiting() == plays.line.boxes[2].clip_id
    posted.until(lambda: plays.line.boxes[2].status == "wrong")
    assert [box.status for box in plays.line.boxes] == ["wrong", "done", "wrong"]
    plays.close()
    book.close()


def test_ten_thousand_plays_are_found_by_place() -> None:
    """A season in one line: each play's neighbours at once."""
    clips = [Clip(session_id="s", order=number) for number in range(1, 10_001)]
    line = PlaysLine.unread(clips, "s")
    assert line.place_of(clips[9_998].id) == 9_998
    assert line.beside(clips[9_998].id, 1) == clips[9_999].id
    assert line.beside(clips[9_999].id, 1) is None
    assert line.first_open() == clips[0].id
    assert line.told() == "0 of 10000 graded"


def test_what_was_graded_while_plays_were_read_is_not_shown_as_before(
    book: Book, posted: Posted, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Undo has the plays read beside the window; what he grades meanwhile is newer than that."""
    monkeypatch.setattr(session_plays, "_AT_ONCE_AGAIN", 2)
    read = session_plays.read_boxes

    def as_before(book: Book, session: Session, *, clip_ids: Sequence[str] = ()) -> list[PlayBox]:
        boxes = read(book, session, clip_ids=clip_ids)
        return boxes if len(clip_ids) == 1 else [replace(one, status="open") for one in boxes]

    plays = SessionPlays(book, posted)
    plays.open(plays.sessions[0])
    monkeypatch.setattr(session_plays, "read_boxes", as_before)
    plays.read(same_plays=True)
    plays.read_box(plays.line.boxes[2].clip_id)
    posted.until(lambda: plays.line.boxes[0].status == "open")
    assert [box.status for box in plays.line.boxes] == ["open", "open", "wrong"]
    plays.close()
    book.close()


def test_a_play_he_turns_to_before_its_turn_came_is_read_at_once(
    book: Book, posted: Posted, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Undo shows the play that it changed, and not its box of before."""
    plays = SessionPlays(book, posted)
    plays.open(plays.sessions[0])
    monkeypatch.setattr(session_plays, "_AT_ONCE_AGAIN", 2)
    first = plays.line.boxes[0].clip_id
    plays.line.put(replace(plays.line.boxes[0], status="open"))
    plays.see(first)
    assert plays.line.boxes[0].status == "open"
    plays.read(same_plays=True)
    plays.see(first)
    assert plays.line.boxes[0].status == "wrong"
    plays.close()
    book.close()


def test_once_it_is_closed_nothing_is_read_any_more(book: Book, posted: Posted) -> None:
    """Also where work that is being done asks for more: closing is not told as a fault."""
    plays = SessionPlays(book, posted)
    asked: list[str] = []
    plays.beside(lambda: asked.append("first"))
    plays.close()
    plays.beside(lambda: asked.append("second"))
    assert asked in (["first"], [])
    book.close()
