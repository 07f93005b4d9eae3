"""Plays are named in one way everywhere."""

from __future__ import annotations

import pytest

from gradecut.workflows.play_words import plays_told


@pytest.mark.parametrize(
    ("plays", "words"),
    [
        ([3], "play 3"), ([7, 3], "plays 3 and 7"), ([1, 2], "plays 1 and 2"),
        ([1, 2, 3], "plays 1 to 3"), ([1, 2, 3, 7, 9, 9], "plays 1 to 3, 7 and 9"),
    ],
)  # fmt: skip
def test_plays_are_named_as_said(plays: list[int], words: str) -> None:
    """Runs of plays are told by their ends."""
    assert plays_told(plays) == words
