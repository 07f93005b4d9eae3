"""What is said for a pairing and against it, where names and what was measured part."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path

import pytest

from gradecut.workflows.aligning import Shot, align_named
from gradecut.workflows.pairing_reasons import Rows, listed, reasons_of

LENGTHS_S = (6.0, 9.5, 4.0, 11.0, 7.5, 5.0, 13.0, 8.5)
BEGUN_S = (0.0, 41.0, 75.0, 120.0, 149.0, 200.0, 233.0, 281.0)


def told(named: Mapping[int, int], shown: Sequence[int], *, times: bool = False) -> list[str]:
    """Return what is said of side films that show some of eight plays, by their places."""
    first, second = (
        [
            Shot(length_s=LENGTHS_S[one] + more_s, at_s=BEGUN_S[one] + ahead_s if times else None)
            for one in places
        ]
        for places, more_s, ahead_s in ((range(8), 0.0, 0.0), (shown, 1.0, 900.0))
    )
    aligned, unnamed = align_named(first, second, {}, named)
    films = [Path(f"{named.get(number, number) + 1:02d}.mp4") for number in range(len(shown))]
    rows = Rows(
        angle="side", plays=range(1, 9), films=films, first=first, second=second, heard={},
        named=named,
    )  # fmt: skip
    return reasons_of(aligned, unnamed, rows)


def test_names_that_agree_are_one_reason_among_others() -> None:
    """No proof, so the lengths are told as well, and no disagreement."""
    said = told({0: 0, 1: 2, 2: 5, 3: 6}, [0, 2, 5, 6])
    assert any("names say plays 1, 3, 6 and 7" in one for one in said)
    assert any("engths fit for 4 of 4 pairs" in one for one in said)
    assert not any("disagree" in one for one in said)


def test_no_names_leave_no_word_of_them() -> None:
    """Nothing is said of what was not there."""
    assert not any("name" in one.lower() for one in told({}, [0, 2, 5, 6]))


@pytest.mark.parametrize(("times", "what"), [(False, "lengths"), (True, "lengths and times")])
def test_what_disagrees_with_names_is_named(times: bool, what: str) -> None:
    """Films numbered one too high: the first of them is pointed at, with either's play."""
    named = {0: 1, 1: 3, 2: 4, 3: 5, 4: 6, 5: 7}
    said = told(named, [0, 2, 3, 4, 5, 6], times=times)
    assert (
        f"Names and {what} disagree: by its name 02.mp4 shows play 2, by {what} play 1; look at "
        "that one first."
    ) in said


def test_words_are_listed_as_a_person_would() -> None:
    """With an and before the last."""
    assert [listed(one) for one in ([], ["1"], ["1", "2"], ["1", "2", "3"])] == [
        "", "1", "1 and 2", "1, 2 and 3",
    ]  # fmt: skip
