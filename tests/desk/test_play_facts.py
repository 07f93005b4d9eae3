"""What a play was, as it is typed in the form."""

from __future__ import annotations

from dataclasses import replace

import pytest

from gradecut.book import Book
from gradecut.desk.play_facts import PLAY_FACTS, PlayFacts
from gradecut.errors import GradecutError
from gradecut.records import Clip
from gradecut.workflows.clip_facts import say_clip_facts


def texts(facts: PlayFacts, **typed: str) -> dict[str, str]:
    """Return what stands in the form, with some of it typed over."""
    return {one.field: facts.text(one) for one in PLAY_FACTS} | typed


def test_what_is_carried_is_shown_apart_and_kept_with_the_rest(film_book: Book) -> None:
    """Unit ones, said of play 1, stands as carried on play 2 until the form is taken."""
    first, second, _ = film_book.find(Clip)
    say_clip_facts(film_book, first, {"unit": "ones"})
    facts = PlayFacts(film_book, second)
    unit = next(one for one in PLAY_FACTS if one.field == "unit")
    assert (facts.text(unit), facts.carried_text(unit)) == ("", "ones")
    assert facts.said_before(unit) == ("ones",)
    assert facts.keep(texts(facts, yards_gained="-2")) == 1
    kept = film_book.find(Clip)[1]
    assert (kept.unit, kept.yards_gained) == ("ones", -2)


def test_the_rest_of_the_period_gets_what_was_changed_and_nothing_else(film_book: Book) -> None:
    """Tempo is spread; the calls of the script stay as they are."""
    _, second, third = film_book.find(Clip)
    facts = PlayFacts(film_book, second)
    facts.keep(texts(facts, tempo="live"), rest_of_period=True)
    after = film_book.find(Clip)
    assert [one.tempo for one in after] == ["thud", "live", "live"]
    assert after[2].call == third.call


@pytest.mark.parametrize("typed", ["two", "2.5", "--2", "12345", "٣"])
def test_a_number_that_is_none_is_refused_in_a_sentence(film_book: Book, typed: str) -> None:
    """With what was typed, and nothing kept."""
    facts = PlayFacts(film_book, film_book.find(Clip)[0])
    with pytest.raises(GradecutError, match="yards gained is no whole number"):
        facts.keep(texts(facts, yards_gained=typed, tempo="live"))
    assert film_book.find(Clip)[0].tempo == "thud"


def test_a_loss_is_typed_as_coaches_write_it(film_book: Book) -> None:
    """-3, a true minus sign, or plain 3."""
    for typed, yards in (("-3", -3), ("−3", -3), ("+4", 4), ("", None)):
        facts = PlayFacts(film_book, film_book.find(Clip)[0])
        facts.keep(texts(facts, yards_gained=typed))
        assert film_book.find(Clip)[0].yards_gained == yards


def test_what_was_said_while_the_form_was_open_stays(film_book: Book) -> None:
    """Call and script number came from elsewhere; he typed the yards only."""
    first, second, _ = film_book.find(Clip)
    with film_book.act("forget the call") as act:
        act.put(replace(first, call="Harbor", script_number=None), replace(second, call=""))
    facts = PlayFacts(film_book, film_book.find(Clip)[1])
    assert facts.carried["call"] == "Harbor"
    with film_book.act("match the script") as act:
        act.put(replace(film_book.find(Clip)[1], call="Storm", script_number=9))
    facts.keep(texts(facts, yards_gained="4"))
    now = film_book.find(Clip)[1]
    assert (now.yards_gained, now.call, now.script_number) == (4, "Storm", 9)
