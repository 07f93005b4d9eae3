"""A question in a coach's words brings the reps he means, or names the word that is not one."""

from __future__ import annotations

import pytest

from gradecut.book import Book
from gradecut.errors import GradecutError
from gradecut.records import Player
from gradecut.workflows.asking import Asked, read_question, reps_asked
from gradecut.workflows.booking import scheme_in_force
from gradecut.workflows.counting import add_event, toggle_flag
from gradecut.workflows.judging import judge
from gradecut.workflows.lines import rep_lines
from gradecut.workflows.passing import pass_clip
from tests.workflows.small_week import clip_of, rep_of


def ask(book: Book, text: str) -> Asked:
    """Read a question of this book."""
    return read_question(text, scheme_in_force(book), book.find(Player), rep_lines(book))


def answer(book: Book, text: str) -> list[str]:
    """Answer a question with plays and positions."""
    found = reps_asked(ask(book, text), rep_lines(book))
    return [f"{line.clip.order} {line.rep.position}" for line in found]


@pytest.fixture
def judged(book: Book) -> Book:
    """Give the week with every rep judged, some of them badly."""
    for play in (1, 2, 3):
        pass_clip(book, clip_of(book, play))
    judge(book, rep_of(book, 1, "Bow"), did="miss", name="got reached", cause="eyes")
    judge(book, rep_of(book, 2, "Bow"), did="miss", name="too wide, alley open")
    judge(book, rep_of(book, 3, "Port"), did="cannot grade", name="out of picture")
    judge(book, rep_of(book, 3, "Bow"), did="fit", name="force D", cause="did not know")
    add_event(book, rep_of(book, 2, "Keel"), "missed tackle")
    toggle_flag(book, clip_of(book, 1), rep_of(book, 1, "Bow"))
    return book


def test_the_example_of_the_house(judged: Book) -> None:
    """Keel's right fits where zone came to him: inside zone right, outside zone left."""
    asked = ask(judged, "Keel, right fits on zone to him")
    assert asked.understood == "position: Keel · result: right · concept: zone · run: to him"
    assert answer(judged, "Keel, right fits on zone to him") == ["1 Keel", "2 Keel"]


@pytest.mark.parametrize(
    ("question", "reps"),
    [
        ("Okorie", ["1 Keel", "2 Keel"]),
        ("tavin okorie and brandt lisoway on outside zone", ["2 Bow", "2 Keel"]),
        ("linebackers on power", ["4 Bow", "4 Keel", "4 Port"]),
        ("wrong", ["1 Bow", "3 Bow"]),
        ("half", ["2 Bow"]),
        ("missed", ["1 Bow", "2 Bow", "3 Bow"]),
        ("misses", ["1 Bow", "2 Bow", "3 Bow"]),
        ("cannot grade", ["3 Port"]),
        ("open", ["4 Bow", "4 Keel", "4 Port"]),
        ("flagged", ["1 Bow"]),
        ("stale", []),
        ("examined", ["1 Bow", "2 Bow", "3 Bow", "3 Port"]),
        ("passed, outside zone", ["2 Keel", "2 Port"]),
        ("at speed, outside zone", ["2 Keel", "2 Port"]),
        ("looked at closely", ["1 Bow", "2 Bow", "3 Bow", "3 Port"]),
        ("fill A", ["1 Keel"]),
        ("fill", ["1 Keel", "3 Port"]),
        ("got reached", ["1 Bow"]),
        ("eyes", ["1 Bow"]),
        ("did not know", ["3 Bow"]),
        ("missed tackle", ["2 Keel"]),
        ("back left", ["1 Bow", "1 Keel", "1 Port"]),
        ("surface.left 4, keel", ["2 Keel"]),
        ("run left and bow", ["2 Bow", "3 Bow"]),
        ("Port away from him", ["1 Port", "2 Port", "4 Port"]),
        ("Team", ["4 Bow", "4 Keel", "4 Port"]),
        ("Tuesday, Keel", ["1 Keel", "2 Keel", "3 Keel", "4 Keel"]),
        ("Keel or Bow vs split zone?", ["3 Bow", "3 Keel"]),
        ("", [f"{play} {man}" for play in (1, 2, 3, 4) for man in ("Bow", "Keel", "Port")]),
    ],
)
def test_every_kind_of_word(judged: Book, question: str, reps: list[str]) -> None:
    """Several of one kind mean any of them; different kinds must all hold."""
    assert answer(judged, question) == reps


@pytest.mark.parametrize(
    ("question", "said"),
    [
        ("Keal on zone", "“Keal” is not understood in “Keal on zone”; did you mean “Keel”?"),
        ("lisoay", "“lisoay” is not understood in “lisoay”; did you mean “Lisoway”?"),
    ],
)
def test_an_unknown_word_is_named_with_the_nearest(book: Book, question: str, said: str) -> None:
    """As it is spelt."""
    with pytest.raises(GradecutError) as caught:
        ask(book, question)
    assert str(caught.value) == said


def test_a_model_rep_is_not_one_with_a_loaf(judged: Book) -> None:
    """Right fits are asked for to be shown as how it is done."""
    add_event(judged, rep_of(judged, 1, "Keel"), "loaf")
    assert answer(judged, "Keel right") == ["2 Keel", "3 Keel"]
    assert "1 Keel" in answer(judged, "Keel passed")


def test_a_last_name_two_men_share_means_either(book: Book) -> None:
    """The coach sees both names in what was understood."""
    with book.act("a brother comes in") as act:
        act.put(Player(name="Sam Okorie"))
    assert ask(book, "Okorie").words == (("player", "Tavin Okorie or Sam Okorie"),)
    assert answer(book, "okorie") == ["1 Keel", "2 Keel"]


def test_without_a_scheme_men_and_results_are_understood() -> None:
    """A book that has none yet can still be asked."""
    asked = read_question("Okorie, open", None, [Player(name="Tavin Okorie")])
    assert asked.words == (("player", "Tavin Okorie"), ("result", "open"))
