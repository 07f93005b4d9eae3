"""What a man owes, by the scheme or by the coach's word."""

from __future__ import annotations

import pytest

from gradecut.book import Book
from gradecut.errors import GradecutError
from gradecut.records import Owed, Rep
from gradecut.scheme import Scheme
from gradecut.workflows.booking import scheme_in_force
from gradecut.workflows.expecting import (
    expect_clip,
    expect_rep,
    fit_side,
    owed_by_word,
    run_side,
    say_owed,
)
from gradecut.workflows.looks import look_of
from tests.workflows.small_week import OWED, clip_of, rep_of

LOOK = {
    "strength": "right", "surface.left": 2, "surface.right": 3, "back": "left",
    "concept": "inside zone", "run": "right",
}  # fmt: skip


@pytest.fixture
def scheme(book: Book) -> Scheme:
    """Give the scheme in force."""
    found = scheme_in_force(book)
    assert found is not None
    return found


@pytest.mark.parametrize("play", [1, 2, 3, 4])
def test_the_whole_front_is_asked_at_once(book: Book, scheme: Scheme, play: int) -> None:
    """His three linebackers and the men around them."""
    found = expect_clip(scheme, look_of(book, clip_of(book, play).id))
    assert set(found) == set(scheme.positions)
    for man in ("Keel", "Bow", "Port"):
        assert found[man].fit == OWED[play, man]


def test_a_look_that_cant_be_leaves_a_rep_open(scheme: Scheme) -> None:
    """One bad look must not stop a table of reps."""
    rep = Rep(clip_id="c", player_id="p", position="Keel")
    found = expect_rep(scheme, rep, {"concept": "lead", "back": "none"}, {})
    assert (found.fit, bool(found.reason)) == (None, True)
    unknown = expect_rep(scheme, Rep(clip_id="c", player_id="p", position="Mike"), LOOK, {})
    assert unknown.fit is None


def test_without_a_scheme_the_sentence_says_what_to_do() -> None:
    """Say what he owed, or bring one in."""
    found = expect_rep(None, Rep(clip_id="c", player_id="p", position="Keel"), LOOK, {})
    assert "bring a scheme in" in found.reason


@pytest.mark.parametrize(
    ("own", "run", "said"),
    [("right", "right", "to"), ("left", "right", "away"), (None, "right", None), ("left", 3, None)],
)
def test_a_run_is_to_him_or_away(own: str | None, run: object, said: str | None) -> None:
    """Against his own side; unknown where either is."""
    assert run_side({"run": run}, own) == said  # type: ignore[arg-type, dict-item]
    assert run_side({}, "left") is None


def test_a_fit_lies_where_the_scheme_places_it(scheme: Scheme) -> None:
    """On his own side, or where the ball goes; nowhere while that is not known."""
    assert fit_side(scheme, "hang A", LOOK, "left") == "left"
    assert fit_side(scheme, "fill B", LOOK, "left") == "right"
    assert fit_side(scheme, "fill B", {}, "left") is None


def test_the_readers_own_word_counts_first() -> None:
    """Else the newest."""
    words = [Owed(id=key, rep_id="r", fit=f"fit {key}", author=key) for key in ("1", "2", "3")]
    chosen = [owed_by_word(words, who) for who in ("1", "nobody")]
    assert [one.fit if one else None for one in chosen] == ["fit 1", "fit 3"]
    assert owed_by_word([], "1") is None


def test_a_word_names_a_fit_and_takes_the_place_of_the_one_before(book: Book) -> None:
    """One coach has one word on a rep."""
    rep = rep_of(book, 1, "Keel")
    with pytest.raises(GradecutError, match="which fit"):
        say_owed(book, rep, "  ")
    say_owed(book, rep, "box A")
    say_owed(book, rep, "fill B", reason="another call")
    assert [owed.fit for owed in book.find(Owed)] == ["fill B"]
