from __future__ import annotations

import pytest

from gradecut.counting_words import all_listed, counted, written_out


@pytest.mark.parametrize(
    ("number", "told"),
    [(0, "no questions"), (1, "one question"), (14, "fourteen questions"), (21, "21 questions")],
)
def test_small_numbers_are_written_out(number: int, told: str) -> None:
    """A word up to twenty, digits beyond."""
    assert written_out(number, "question") == told


def test_counted_things_are_one_or_several() -> None:
    """One hole, two holes."""
    assert (counted(1, "hole"), counted(2, "hole")) == ("1 hole", "2 holes")


@pytest.mark.parametrize(
    ("words", "told"),
    [
        ([], ""), (["Keel"], "Keel"), (["Keel", "Bow"], "Keel and Bow"),
        (["Keel", "Bow", "Port"], "Keel, Bow and Port"),
    ],
)  # fmt: skip
def test_names_are_listed_as_said(words: list[str], told: str) -> None:
    """Commas, and the last one with "and"."""
    assert all_listed(words) == told
