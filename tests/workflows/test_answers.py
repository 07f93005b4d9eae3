"""A player's own answers: under his name, never the staff's, laid beside the coach's grade."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from gradecut.book import Book
from gradecut.errors import InputError
from gradecut.records import Actual, Grade, Owed
from gradecut.workflows.answers import compare_answers, record_answers, said_owed
from gradecut.workflows.expecting import say_owed
from gradecut.workflows.judging import judge
from gradecut.workflows.kept_grades import current_grade
from gradecut.workflows.lines import rep_lines
from gradecut.workflows.recording import record_observations
from gradecut.workflows.rep_asked import ask_rep
from gradecut.workflows.reporting import board_of
from tests.workflows.tiny_book import COACH, LISOWAY, OKORIE, player, rep_of, tiny_book

HEAD = "play,position,player,says_owed,did,cause,cannot_grade,note"


@pytest.fixture
def book(tmp_path: Path) -> Iterator[Book]:
    """Build the tiny book."""
    with tiny_book(tmp_path / "week") as made:
        yield made


def sheet(folder: Path, *rows: str, head: str = HEAD) -> Path:
    """Write a sheet of answers."""
    path = folder / "answers.csv"
    path.write_text("\r\n".join([head, *rows]) + "\r\n", encoding="utf-8-sig")
    return path


def mine(*said: str, play: int = 1, who: str = OKORIE) -> str:
    """Write one line: what he says he owed, did, why, why not, and his note."""
    return ",".join([str(play), "", who, *said, *[""] * (5 - len(said))])


def test_answers_stand_under_his_name(book: Book, tmp_path: Path) -> None:
    """The coach brings them in; the grade is the player's, the act is the coach's."""
    answers = record_answers(book, sheet(tmp_path, mine("fill A", "right", "", "", "quick feet")))
    (grade,) = answers.grades
    assert answers.player.name == OKORIE
    assert (grade.author, grade.did, grade.fit_result) == (OKORIE, "as owed", "right")
    assert said_owed(grade) == "fill A"
    assert grade.note.endswith("quick feet")
    assert [one.author for one in book.find(Actual)] == [OKORIE]
    assert book.author == COACH
    assert book.history(1)[0].author == COACH
    book.undo()
    assert book.count(Grade) == 0


@pytest.mark.parametrize(
    ("said", "kept"),
    [
        (("fill A", "right"), ("as owed", "", "right")),
        (("hang A", "right"), ("fit", "hang A", "wrong")),
        (("hang A", "fill A"), ("as owed", "", "right")),
        (("fill A", "hang A"), ("fit", "hang A", "wrong")),
        (("fill A", "caught it at depth", "eyes"), ("miss", "caught it at depth", "half")),
        (
            ("fill A", "", "", "he could not tell"),
            ("cannot grade", "he could not tell", "cannot grade"),
        ),
    ],
)
def test_right_means_right_by_his_own_word(
    book: Book, tmp_path: Path, said: tuple[str, ...], kept: tuple[str, str, str]
) -> None:
    """What he did is kept as it was; whether that was right follows from what was asked of him."""
    (grade,) = record_answers(book, sheet(tmp_path, mine(*said))).grades
    assert (grade.did, grade.did_name, grade.fit_result) == kept
    assert grade.expected_fit == "fill A"
    assert grade.owed_by == "scheme"
    assert said_owed(grade) == said[0]


def test_a_miss_of_a_fit_he_did_not_owe_can_not_be_graded(book: Book, tmp_path: Path) -> None:
    """He judged himself by another fit; his cause is kept in the note."""
    row = mine("hang A", "chased flat over the top", "eyes")
    (grade,) = record_answers(book, sheet(tmp_path, row)).grades
    assert grade.did == "cannot grade"
    assert "missed hang A: chased flat over the top" in grade.cannot["fit"]
    assert grade.cause == ""
    assert "(eyes)" in grade.note


def test_a_fit_without_named_misses_can_be_missed(book: Book, tmp_path: Path) -> None:
    """Where the scheme names no way to miss a fit he says only that he missed it."""
    row = mine("force D", "missed it", who=LISOWAY)
    (grade,) = record_answers(book, sheet(tmp_path, row)).grades
    assert (grade.did, grade.did_name, grade.fit_result) == ("miss", "", "wrong")


def test_an_answer_is_never_the_coachs_word(book: Book, tmp_path: Path) -> None:
    """What a player says he owed changes nothing of what he owes."""
    record_answers(book, sheet(tmp_path, mine("hang A", "right")))
    rep = rep_of(book, OKORIE, 1)
    assert book.count(Owed) == 0
    assert ask_rep(book, rep).owes == "fill A"
    line = next(line for line in rep_lines(book) if line.rep.id == rep.id)
    assert (line.expected_fit, line.expected_rule) == ("fill A", "to")


def test_a_players_word_typed_as_the_coachs_does_not_count(book: Book) -> None:
    """Even a player who works in the book himself tells nobody what was owed."""
    rep = rep_of(book, OKORIE, 1)
    book.author = OKORIE
    say_owed(book, rep, "hang A")
    for author in (OKORIE, COACH):
        book.author = author
        assert ask_rep(book, rep).owes == "fill A"
        line = next(line for line in rep_lines(book) if line.rep.id == rep.id)
        assert line.expected_fit == "fill A"


def test_boards_count_the_staff_only(book: Book, tmp_path: Path) -> None:
    """His own grade fills no cell and hides no coach's grade, though it is the newest."""
    judge(book, rep_of(book, OKORIE, 1), did="miss", name="ran past it")
    record_answers(book, sheet(tmp_path, mine("fill A", "right"), mine("hang A", "right", play=2)))
    shown = {line.rep.id: line.grade for line in rep_lines(book) if line.player.name == OKORIE}
    coach = shown[rep_of(book, OKORIE, 1).id]
    assert coach is not None
    assert (coach.author, coach.fit_result) == (COACH, "wrong")
    assert shown[rep_of(book, OKORIE, 2).id] is None
    table, _ = board_of(book, by=())
    cell = table.cells[player(book, OKORIE).id, "all runs"]
    assert (cell.n, cell.wrong, cell.open) == (1, 1, 2)


def test_asked_for_by_name_his_own_grades_are_there(book: Book, tmp_path: Path) -> None:
    """With ``author`` his answers can be read, and nobody else's."""
    judge(book, rep_of(book, OKORIE, 1), did="miss", name="ran past it")
    record_answers(book, sheet(tmp_path, mine("hang A", "right", play=2)))
    graded = [line for line in rep_lines(book, author=OKORIE) if line.grade]
    assert [(line.clip.order, line.grade and line.grade.author) for line in graded] == [(2, OKORIE)]


def test_a_second_coach_still_counts(book: Book) -> None:
    """Whoever is not on the roster is staff: the newest of their grades counts."""
    rep = rep_of(book, OKORIE, 1)
    judge(book, rep, did="miss", name="ran past it")
    judge(book, rep, author="M. Reyes")
    line = next(line for line in rep_lines(book) if line.rep.id == rep.id)
    assert line.grade is not None
    assert line.grade.author == "M. Reyes"


def test_answering_again_supersedes_his_own_grade_only(book: Book, tmp_path: Path) -> None:
    """A second sheet takes the place of the first; the coach's grade stays."""
    rep = rep_of(book, OKORIE, 1)
    coach = judge(book, rep)
    (first,) = record_answers(book, sheet(tmp_path, mine("hang A", "right"))).grades
    (second,) = record_answers(book, sheet(tmp_path, mine("fill A", "ran past it"))).grades
    assert second.supersedes == first.id
    assert current_grade(book, rep.id, OKORIE) == second
    assert current_grade(book, rep.id) == coach


def test_the_recorder_of_observations_knows_answers(book: Book, tmp_path: Path) -> None:
    """Brought in by the usual door, they are kept under his name all the same."""
    done = record_observations(book, sheet(tmp_path, mine("hang A", "right")))
    assert (done.lines, done.judged, done.moments) == (1, 1, 0)
    assert [grade.author for grade in book.find(Grade)] == [OKORIE]


def test_disagreement_is_listed_in_plain_words(book: Book, tmp_path: Path) -> None:
    """A rep both have judged alike is not listed; the others say what each of them said."""
    judge(book, rep_of(book, OKORIE, 1), did="miss", name="ran past it")
    judge(book, rep_of(book, OKORIE, 2))
    judge(book, rep_of(book, OKORIE, 3), did="miss", name="ran past it")
    rows = [
        mine("fill A", "right"),
        mine("fill A", "right", play=2),
        mine("fill A", "ran past it", play=3),
    ]
    record_answers(book, sheet(tmp_path, *rows))
    found = compare_answers(book, player(book, OKORIE))
    assert [(one.line.clip.order, one.on) for one in found] == [(1, ("did",)), (2, ("owed", "did"))]
    assert found[0].says == (
        "Play 1: he says he owed fill A: did it; the coach says he owed fill A, left: ran past it."
    )
    assert found[1].said_owed == "fill A"
    assert compare_answers(book, player(book, LISOWAY)) == []


@pytest.mark.parametrize(
    ("rows", "told"),
    [
        ([mine("fill C", "right")], "line 3: “fill C” is no fit of the scheme; did you mean"),
        ([mine("fill A", "flew past")], "“flew past” is no way to miss “fill A”"),
        ([mine("fill A", "right", "", "out of picture")], "says it twice"),
        ([mine("fill A", "")], "says not what he did"),
        ([mine("fill A", "right", play=9)], "there is no play “9”"),
        ([mine("fill A", "right", who="")], "names no player"),
        (
            [mine("fill A", "right"), mine("force D", "right", who=LISOWAY)],
            "one player's answers at a time",
        ),
    ],
)
def test_a_faulty_sheet_changes_nothing(
    book: Book, tmp_path: Path, rows: list[str], told: str
) -> None:
    """Every fault is one sentence with its line, and not even the good lines are kept."""
    with pytest.raises(InputError, match=re.escape(told)):
        record_answers(book, sheet(tmp_path, mine("fill A", "right", play=3), *rows))
    assert book.count(Grade) == 0


@pytest.mark.parametrize("column", ["owed", "effort", "flag", "feet_px", "snap_frame"])
def test_a_player_can_not_write_what_is_the_coachs(book: Book, tmp_path: Path, column: str) -> None:
    """A sheet of answers with a column of the coach's is refused."""
    path = sheet(tmp_path, mine("fill A", "right") + ",1", head=f"{HEAD},{column}")
    with pytest.raises(InputError, match=f"“{column}” is no column here"):
        record_observations(book, path)


def test_a_note_guarded_for_table_programs_reads_as_typed(book: Book, tmp_path: Path) -> None:
    """The apostrophe the page puts before a formula's sign is taken off again."""
    (grade,) = record_answers(book, sheet(tmp_path, mine("fill A", "right", "", "", "'=1"))).grades
    assert grade.note == "Said he owed “fill A”. =1"
