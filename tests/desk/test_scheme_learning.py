from __future__ import annotations

from pathlib import Path

import pytest

from gradecut.book import Book
from gradecut.desk import Desk
from gradecut.desk.scheme_beside import PlayNames
from gradecut.desk.scheme_desk import SchemeDesk
from gradecut.desk.scheme_learning import SchemeLearning
from gradecut.records import Clip, Rep
from gradecut.scheme.learning import Contradiction, Proposal
from gradecut.workflows.booking import scheme_in_force
from gradecut.workflows.expecting import say_owed
from gradecut.workflows.scheme_changes import keep_scheme
from tests.desk.small_book import Posted


def without_rules(text: str) -> str:
    """Return a scheme's text without its rules and duties."""
    import tomlkit

    whole = tomlkit.parse(text)
    for part in ("rules", "duties"):
        whole.pop(part, None)
    return tomlkit.dumps(whole)


@pytest.fixture
def rep_of(book: Book) -> dict[tuple[int, str], Rep]:
    """Return the reps of the small book by play and man."""
    order = {clip.id: clip.order for clip in book.find(Clip)}
    return {(order[rep.clip_id], rep.position): rep for rep in book.find(Rep)}


@pytest.fixture
def scheme(book: Book, desk: Desk, rep_of: dict[tuple[int, str], Rep]) -> SchemeDesk:
    """Sit down at a scheme without rules, after saying what Keel owed on three plays."""
    before = scheme_in_force(book)
    assert before is not None
    keep_scheme(book, without_rules(before.text), "no rules")
    for play, fit in ((1, "fill A"), (2, "fill B"), (3, "fill A")):
        say_owed(book, rep_of[play, "Keel"], fit)
    return desk.scheme


def learned(scheme: SchemeDesk, posted: Posted) -> SchemeLearning:
    """Learn, and wait for it."""
    scheme.learning.learn()
    posted.until(lambda: not scheme.learning.running)
    return scheme.learning


def test_rules_are_proposed_with_the_plays_behind_them(scheme: SchemeDesk, posted: Posted) -> None:
    """Each row names man, fit and looks, and the plays he said it on."""
    learning = learned(scheme, posted)
    assert learning.verdict().endswith("from 3 answers.")
    rows = {row.name: row for row in learning.rows}
    assert rows["Keel: fill A"].columns[0] == ("said on", "plays 1 and 3")
    assert "concept" in rows["Keel: fill B"].told_look or rows["Keel: fill A"].columns[1:]
    assert all(isinstance(row.key, Proposal) and row.clips for row in learning.rows)


def test_accepting_edits_the_draft_and_can_be_taken_back(
    scheme: SchemeDesk, posted: Posted
) -> None:
    """Rule by rule; each is one step; when all are accepted they give every answer."""
    learning = learned(scheme, posted)
    count = len(learning.rows)
    while learning.rows:
        assert learning.accept(learning.rows[0])
        posted.until(lambda: not learning.running)
    assert scheme.draft is not None
    assert scheme.draft.taken == count
    assert learning.verdict() == "The rules give every one of 3 answers."
    assert scheme.undo()
    posted.until(lambda: not learning.running)
    assert len(learning.rows) == 1


def test_all_of_a_man_is_one_edit(scheme: SchemeDesk, posted: Posted) -> None:
    """What is proposed for Keel is taken in one stroke, and taken back in one."""
    learning = learned(scheme, posted)
    assert learning.accept_all_of(learning.rows[0])
    posted.until(lambda: not learning.running)
    assert scheme.draft is not None
    assert scheme.draft.taken == 1
    assert scheme.undoes.endswith("accepted for Keel")
    assert not learning.rows


def test_not_now_leaves_a_rule_out_until_it_is_brought_back(
    scheme: SchemeDesk, posted: Posted
) -> None:
    """Put aside it is listed no more, and nothing was edited."""
    learning = learned(scheme, posted)
    names = [row.name for row in learning.rows]
    assert learning.put_aside(learning.rows[0])
    assert [row.name for row in learning.rows] == names[1:]
    assert "1 put aside" in learning.beside()
    assert scheme.draft is None
    learning.bring_back()
    posted.until(lambda: not learning.running)
    assert [row.name for row in learning.rows] == names


def test_answers_that_contradict_are_shown_side_by_side(
    scheme: SchemeDesk, posted: Posted, book: Book, rep_of: dict[tuple[int, str], Rep]
) -> None:
    """The same look said two ways: both fits with their plays, and no rule to accept."""
    say_owed(book, rep_of[3, "Keel"], "hang A")
    learning = learned(scheme, posted)
    both = next(row for row in learning.rows if isinstance(row.key, Contradiction))
    assert both.columns == (("fill A", "play 1"), ("hang A", "play 3"))
    assert "1 look said both ways" in learning.beside()
    assert not learning.accept(both)
    assert scheme.draft is None


def test_an_answer_without_film_counts_and_stays(
    scheme: SchemeDesk, posted: Posted, tmp_path: Path
) -> None:
    """Answering the look that is asked makes one answer more, kept beside the book."""
    learning = learned(scheme, posted)
    asked = learning.ask
    assert asked is not None
    learning.answer(learning.fits_to_answer()[-1])
    posted.until(lambda: not learning.running)
    assert learning.said == 4
    assert learning.ask != asked
    assert list(tmp_path.glob("*.answers"))
    again = SchemeLearning(scheme)
    again.learn()
    posted.until(lambda: not again.running)
    assert again.said == 4
    told = [plays for row in again.rows for _, plays in row.columns]
    assert any("your answer" in plays for plays in told)
    again.take_answer_back()
    posted.until(lambda: not again.running)
    assert again.said == 3
    assert not list(tmp_path.glob("*.answers"))


def test_a_look_may_be_asked_later(scheme: SchemeDesk, posted: Posted) -> None:
    """Put off it is asked no more, until it is brought back."""
    learning = learned(scheme, posted)
    asked = learning.ask
    assert asked is not None
    learning.put_off()
    assert learning.held_back
    learning.bring_back()
    posted.until(lambda: not learning.running)
    assert learning.ask == asked


def test_nothing_said_yet_tells_how_to_begin(desk: Desk, posted: Posted) -> None:
    """Without an answer the view says where answers are given."""
    learning = learned(desk.scheme, posted)
    assert learning.verdict() == "You have not said yet what a man owed."
    assert "Film page" in learning.beside()


def test_plays_are_named_as_the_coach_says_them(book: Book) -> None:
    """In the order of the plays, each once; what is no play is an answer."""
    names = PlayNames(book)
    clips = [clip.id for clip in book.find(Clip)]
    assert names.several([clips[2], clips[0], clips[0]]) == "plays 1 and 3"
    assert names.several([clips[1], "answer 1"]) == "play 2; your answer"
    assert names.one("answer 1") == "your answer"
