"""Long acts leave the book to others while they think, and rest on the book as it is."""

from __future__ import annotations

from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest

from gradecut.book import Book
from gradecut.errors import BookError
from gradecut.records import Act, Grade, Player
from gradecut.workflows._hand_off_merging import merge_of
from gradecut.workflows.agreeing import graders_of
from gradecut.workflows.differences import differences
from gradecut.workflows.handing_off import hand_off_of, handed_words
from gradecut.workflows.taking import take_hand_off
from gradecut.workflows.worked_out import act_worked_out, find_by_lots
from tests.workflows.two_books import INSIDE, OUTSIDE, grade_a_bit, make_book, tell


@pytest.fixture
def book(tmp_path: Path) -> Iterator[Book]:
    """Give a book the inside coach has graded a bit."""
    made = make_book(tmp_path / "a.gradecut", INSIDE)
    grade_a_bit(made, "Keel")
    yield made
    made.close()


def elsewhere(book: Book) -> int:
    """Ask the book something on another thread, as a window does; never waits for good."""
    with ThreadPoolExecutor(1) as pool:
        return pool.submit(lambda: book.count(Player)).result(timeout=5)


def test_the_window_reads_on_while_a_hand_off_is_worked_out(
    book: Book, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A question put meanwhile on another thread is answered before the act begins."""
    goal = make_book(tmp_path / "b.gradecut", OUTSIDE)
    answers = []

    def slowly(*asked: object) -> object:
        merge = merge_of(*asked)  # type: ignore[arg-type]  # whatever it is asked with
        answers.append(elsewhere(goal))
        return merge

    monkeypatch.setattr("gradecut.workflows.taking.merge_of", slowly)
    assert not take_hand_off(goal, hand_off_of(book)).nothing
    assert answers == [3]
    goal.close()


def test_what_was_written_in_between_is_seen(book: Book) -> None:
    """It is worked out anew, and what is written rests on the newer book."""
    counts: list[int] = []

    def work_out() -> int:
        counts.append(book.count(Player))
        if len(counts) == 1:
            with book.act("sign a man") as act:
                act.put(Player(name="Late Comer"))
        return counts[-1]

    planned = act_worked_out(
        book, "count them", work_out, lambda count, act: act.put(Player(name=f"Man {count}"))
    )
    assert planned == 4
    assert counts == [3, 4]
    assert book.count(Player, name="Man 4") == 1
    assert book.count(Player, name="Man 3") == 0


def test_somebody_who_never_stops_writing_does_not_hold_it_up(book: Book) -> None:
    """After a few times the book is held until it is done."""
    times = []

    def work_out() -> int:
        times.append(0)
        before = book.count(Act)
        if len(times) <= 3:
            tell(book, 2, back="left" if len(times) % 2 else "right")
            assert book.count(Act) > before
        return len(times)

    done = act_worked_out(
        book, "end it", work_out, lambda number, act: act.put(Player(name=f"Man {number}"))
    )
    assert done == 4
    assert book.count(Player, name="Man 4") == 1


def test_a_refusal_while_it_is_worked_out_stores_nothing(book: Book) -> None:
    """No act is left of it."""
    acts = book.count(Act)

    def refuse() -> None:
        raise BookError("It can't be.")

    with pytest.raises(BookError, match=r"It can't be\."):
        act_worked_out(book, "try it", refuse, lambda _, act: act.put())
    assert book.count(Act) == acts


def test_lots_find_what_one_question_finds(book: Book, monkeypatch: pytest.MonkeyPatch) -> None:
    """Each record once, whichever lot it is in."""
    monkeypatch.setattr("gradecut.workflows.worked_out._LOT", 2)
    grades = book.find(Grade)
    ids = [grade.id for grade in grades]
    assert find_by_lots(book, Grade, "id", [*ids, *ids]) == grades
    assert find_by_lots(book, Grade, "id", ids, author=OUTSIDE) == []


def _kinds_read(monkeypatch: pytest.MonkeyPatch) -> list[tuple[str, bool]]:
    """Write down which kinds are read, and whether by one author's name alone or not at all."""
    read: list[tuple[str, bool]] = []
    find = Book.find

    def told(self: Book, kind: type, /, **equal: object) -> list[object]:
        read.append((kind.__name__, set(equal) <= {"author"}))
        return find(self, kind, **equal)

    monkeypatch.setattr(Book, "find", told)
    return read


def test_who_grades_here_is_asked_without_reading_grades(
    book: Book, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Names come from the book; a player's own answers make him no grader."""
    book.author = OUTSIDE
    read = _kinds_read(monkeypatch)
    assert graders_of(book) == (INSIDE,)
    assert ("Grade", True) not in read
    monkeypatch.undo()
    (grade, *_) = book.find(Grade)
    man = book.find(Player, name="Tavin Okorie")[0]
    with book.act("answer") as act:
        act.put(Grade(rep_id=grade.rep_id, author=man.name, fit_result="right", did="as owed"))
    assert graders_of(book) == (INSIDE,)


def test_a_session_is_handed_over_without_reading_the_season(
    book: Book, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Of what coaches said, only that of the session's own plays is read."""
    told = handed_words(book)
    read = _kinds_read(monkeypatch)
    assert handed_words(book) == told
    whole = {kind for kind, all_of_it in read if all_of_it}
    assert whole <= {"Player", "Session", "BookInfo"}


def test_many_new_men_cost_no_more_questions(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Men and reps the book does not know yet are looked up together."""
    asked = []
    for number, men in enumerate(({"Keel": "A Stone"}, {"Keel": "A Stone", "Bow": "B Reed"})):
        giver = make_book(tmp_path / f"g{number}.gradecut", INSIDE, men=men)
        for spot in men:
            grade_a_bit(giver, spot)
        goal = make_book(tmp_path / f"t{number}.gradecut", OUTSIDE, men={"Port": "C Hart"})
        told = hand_off_of(giver)
        with monkeypatch.context() as watched:
            read = _kinds_read(watched)
            differences(goal, told)
            asked.append(sum(kind != "Player" for kind, _ in read))
        giver.close()
        goal.close()
    assert asked[0] == asked[1]
