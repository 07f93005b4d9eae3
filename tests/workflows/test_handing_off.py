"""What is handed over: his own, whole, without film and without what is nobody's business."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from gradecut.book import Book
from gradecut.errors import BookError, OutputError
from gradecut.records import Clip, FilmFile, Grade, Player, Session, StoredFilm
from gradecut.workflows.handing_off import counted_rows, write_hand_off
from gradecut.workflows.judging import judge
from gradecut.workflows.taking import read_hand_off
from tests.workflows.two_books import INSIDE, OUTSIDE, clip_of, grade_a_bit, make_book, rep_of


@pytest.fixture
def book(tmp_path: Path) -> Book:
    """Give the inside coach's book, a bit of it graded; the outside coach graded in it too."""
    made = make_book(tmp_path / "inside.gradecut", INSIDE)
    grade_a_bit(made, "Keel")
    made.author = OUTSIDE
    grade_a_bit(made, "Bow")
    made.author = INSIDE
    return made


def test_a_hand_off_carries_his_own_and_nobody_elses(book: Book, tmp_path: Path) -> None:
    """Every row with an author is his; each grade's whole chain is there."""
    done = write_hand_off(book, tmp_path / "inside.hand")
    told = read_hand_off(done.path)
    authors = {row.author for rows in told.rows.values() for row in rows if hasattr(row, "author")}
    assert authors == {INSIDE, ""}  # the script's facts have no author
    assert {grade.id for grade in told.of(Grade)} == {
        grade.id for grade in book.find(Grade, author=INSIDE)
    }
    assert done.counts == {
        "facts": 1, "moments": 1, "marks": 1, "owed": 1, "actuals": 3, "lined_up": 1, "events": 1,
        "flags": 1, "grades": 4,
    }  # fmt: skip
    assert (done.grader, done.plays, done.men) == (INSIDE, 3, 1)
    assert done.words.startswith("4 grades, 1 flag, 1 event")
    assert done.words.endswith("on 3 plays")


def test_no_film_and_nothing_of_a_mans_health_leaves_with_it(book: Book, tmp_path: Path) -> None:
    """Neither paths of films nor remarks, held-out men or consent stand in the file."""
    port = book.find(Player, name="Joss Vandermoor")[0]
    film = book.find(StoredFilm)[0]
    with book.act("find the film") as act:
        act.put(FilmFile(film_id=film.id, computer="office", path="/secret/film.mp4"))
    judge(book, rep_of(book, 1, "Port"))
    text = write_hand_off(book, tmp_path / "inside.hand").path.read_text(encoding="utf-8")
    assert port.remark == "sore knee"
    assert "sore knee" not in text
    assert "/secret" not in text
    told = read_hand_off(tmp_path / "inside.hand")
    man = next(one for one in told.players if one.id == port.id)
    assert (man.under_18, man.consent, man.held_out, man.remark) == (True, False, False, "")


def test_minors_in_it_are_named_in_a_caution(book: Book, tmp_path: Path) -> None:
    """It says that it is for the staff only, and who in it is under 18."""
    first = write_hand_off(book, tmp_path / "a.hand").cautions
    assert len(first) == 1
    assert "staff only" in first[0]
    judge(book, rep_of(book, 1, "Port"))
    second = write_hand_off(book, tmp_path / "b.hand").cautions
    assert second[1].startswith("Under 18: Joss Vandermoor.")
    assert "consent" in second[1]
    assert "staff only" in json.loads((tmp_path / "b.hand").read_text("utf-8"))["for"]


def test_one_session_can_be_handed_over(book: Book, tmp_path: Path) -> None:
    """Only what belongs to the sessions named is in it."""
    other = Session(name="Wednesday")
    clip = Clip(session_id=other.id, order=1)
    with book.act("another practice") as act:
        act.put(other, clip)
    ids = [one.id for one in book.find(Session) if one.name == "Wednesday"]
    with pytest.raises(BookError, match=r"R\. Boone has recorded|J\. Alder has recorded"):
        write_hand_off(book, tmp_path / "none.hand", session_ids=ids)
    tuesday = [clip_of(book, 2).session_id]
    assert write_hand_off(book, tmp_path / "tue.hand", session_ids=tuesday).plays == 3
    assert not (tmp_path / "none.hand").exists()


def test_who_recorded_nothing_has_nothing_to_hand_over(tmp_path: Path) -> None:
    """It is refused in a sentence, as it is when nobody grades or a player would."""
    book = make_book(tmp_path / "b.gradecut", INSIDE)
    with pytest.raises(BookError, match="recorded nothing there yet"):
        write_hand_off(book, tmp_path / "a.hand")
    book.author = ""
    with pytest.raises(BookError, match="say who grades first"):
        write_hand_off(book, tmp_path / "a.hand")
    book.author = "Tavin Okorie"
    with pytest.raises(BookError, match="is on the roster"):
        write_hand_off(book, tmp_path / "a.hand")
    assert list(tmp_path.glob("*.hand")) == []


def test_its_name_ends_in_hand(book: Book, tmp_path: Path) -> None:
    """Another ending is refused before anything is written."""
    with pytest.raises(OutputError, match=r"ends in \.hand"):
        write_hand_off(book, tmp_path / "grades.json")
    assert not (tmp_path / "grades.json").exists()


def test_counts_are_said_as_a_coach_says_them() -> None:
    """Grades first; one is one; nothing is nothing."""
    assert counted_rows({"facts": 1, "grades": 2, "flags": 1}) == "2 grades, 1 flag and 1 fact"
    assert counted_rows({"owed": 2}) == "2 words on what was owed"
    assert counted_rows({}) == "nothing"
