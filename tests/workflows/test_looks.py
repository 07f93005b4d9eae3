"""A look is what was said of it: marked before script before estimated, and never impossible."""

from __future__ import annotations

import pytest

from gradecut.book import Book
from gradecut.errors import LookError
from gradecut.records import FactValue
from gradecut.scheme import Scheme, parse_scheme
from gradecut.scheme.editing import rename_fact, rename_value
from gradecut.workflows.booking import scheme_in_force
from gradecut.workflows.looks import (
    forget_fact,
    look_digest,
    look_of,
    merge_facts,
    read_by,
    read_value,
    tell_fact,
    tell_facts,
)
from tests.workflows.small_week import HARBOR, clip_of, stored


@pytest.fixture
def scheme(book: Book) -> Scheme:
    """Give the scheme in force."""
    found = scheme_in_force(book)
    assert found is not None
    return found


def test_marked_stands_above_script_above_estimated(book: Book, scheme: Scheme) -> None:
    """And taking the mark back brings the script's answer again."""
    clip = clip_of(book, 1)
    tell_fact(book, scheme, clip, "back", "behind", source="estimated")
    assert look_of(book, clip.id)["back"] == "left"
    tell_fact(book, scheme, clip, "back", "right", source="marked")
    assert look_of(book, clip.id)["back"] == "right"
    assert book.count(FactValue, clip_id=clip.id, reference="back") == 3
    forget_fact(book, clip, "back")
    assert look_of(book, clip.id)["back"] == "left"


def test_each_author_reads_his_own_first(book: Book, scheme: Scheme) -> None:
    """Two coaches differ; neither overwrites the other, and a third reads the newest."""
    clip = clip_of(book, 1)
    tell_fact(book, scheme, clip, "back", "right", source="marked")
    book.author = "B. Marsh"
    tell_fact(book, scheme, clip, "back", "behind", source="marked")
    assert look_of(book, clip.id)["back"] == "behind"
    book.author = "J. Alder"
    assert look_of(book, clip.id)["back"] == "right"
    book.author = "somebody"
    assert look_of(book, clip.id)["back"] == "behind"


def test_telling_again_changes_the_answer_without_a_second_row(book: Book, scheme: Scheme) -> None:
    """One letter flips a fact."""
    clip = clip_of(book, 1)
    tell_fact(book, scheme, clip, "wing", "left", source="marked")
    tell_fact(book, scheme, clip, "wing", "none", source="marked")
    assert [fact.value for fact in book.find(FactValue, reference="wing")] == ["none"]


def test_a_pass_has_no_run_side(book: Book, scheme: Scheme) -> None:
    """Telling that it was a pass drops the way the run went; undo brings it back."""
    clip = clip_of(book, 1)
    look = tell_fact(book, scheme, clip, "concept", "pass", source="marked")
    assert "run" not in look
    assert look == look_of(book, clip.id)
    book.undo()
    assert look_of(book, clip.id)["run"] == "right"


def test_an_impossible_look_is_refused(book: Book, scheme: Scheme) -> None:
    """No back, nobody to lead: the sentence says so and nothing is stored."""
    clip, before = clip_of(book, 1), stored(book)
    with pytest.raises(LookError, match="Play 1: "):
        tell_facts(book, scheme, clip, {"concept": "lead", "back": "none"}, source="marked")
    with pytest.raises(LookError):
        tell_facts(book, scheme, clip, {"concept": "pass", "run": "left"}, source="marked")
    assert stored(book) == before


def test_an_unknown_fact_or_value_is_refused(book: Book, scheme: Scheme) -> None:
    """Each with what there is."""
    with pytest.raises(LookError, match="weather"):
        tell_fact(book, scheme, clip_of(book, 1), "weather", "wet", source="marked")
    with pytest.raises(LookError, match="left, right, behind, none"):
        tell_fact(book, scheme, clip_of(book, 1), "back", "up", source="marked")


def test_values_are_read_as_a_person_writes_them(scheme: Scheme) -> None:
    """Capitals do not matter, and a number is a number."""
    assert read_value(scheme.fact_of("surface.left"), " 3 ") == 3
    assert read_value(scheme.fact_of("concept"), "rpo") == "RPO"
    with pytest.raises(LookError, match="did you mean “RPO”"):
        read_value(scheme.fact_of("concept"), "RPOO")


def test_the_digest_is_that_of_the_look_alone() -> None:
    """Order does not matter, any value does, and 1 is not yes."""
    assert look_digest({"a": 1, "b": "x"}) == look_digest({"b": "x", "a": 1})
    assert len({look_digest({"a": value}) for value in (1, True, "1", 2)}) == 4


def test_the_newest_of_other_peoples_answers_counts() -> None:
    """Rows come in any order."""
    rows = [
        FactValue(id=key, clip_id="c", reference="back", value=value, author=author)
        for key, value, author in (("2", "right", "B"), ("1", "left", "A"), ("0", "behind", "C"))
    ]
    assert merge_facts(rows, "nobody") == {"back": "right"}
    assert merge_facts(reversed(rows), "nobody") == {"back": "right"}
    assert merge_facts(rows, "C") == {"back": "behind"}


def test_a_scheme_reads_what_it_knows_of_a_look(scheme: Scheme) -> None:
    """A fact or a value it does not have is passed over; the rest is as it was told."""
    look = {"run": "left", "weather": "rain", "back": "in the tunnel"}
    assert read_by(scheme, look) == {"run": "left"}
    assert read_by(scheme, {}) == {}


def test_one_is_not_yes(scheme: Scheme) -> None:
    """A number where the scheme asks for another kind of answer is no answer to it."""
    asked = {key: values for key in scheme.references if (values := scheme.values_of(key))}
    for reference, values in asked.items():
        for value in values:
            assert read_by(scheme, {reference: value}) == {reference: value}
    numbers = next(key for key, values in asked.items() if 1 in values or 2 in values)
    assert read_by(scheme, {numbers: True}) == {}


def test_a_look_told_in_other_words_can_be_told_on(book: Book) -> None:
    """The back's name is another one now: the old word stays, the new one goes beside it."""
    text = rename_fact(HARBOR.read_text(encoding="utf-8"), name="back", new="tailback")
    renamed, clip = parse_scheme(text, "renamed"), clip_of(book, 1)
    look = tell_fact(book, renamed, clip, "tailback", "right", source="marked")
    assert (look["back"], look["tailback"]) == ("left", "right")
    assert look_of(book, clip.id) == look
    assert read_by(renamed, look) == {key: look[key] for key in look if key != "back"}


def test_a_look_with_an_old_value_can_be_told_on(book: Book) -> None:
    """The old answer does not stand in the way of another fact, and makes way for a new one."""
    text = HARBOR.read_text(encoding="utf-8")
    renamed = parse_scheme(rename_value(text, fact="back", value="behind", new="home"), "renamed")
    clip = clip_of(book, 2)
    assert tell_fact(book, renamed, clip, "run", "right", source="marked")["back"] == "behind"
    assert tell_fact(book, renamed, clip, "back", "home", source="marked")["back"] == "home"
