from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from gradecut.grading import (
    agreement_table,
    cohen_kappa,
    krippendorff_alpha,
    weighted_kappa,
)
from tests.grading.published import PUBLISHED

COHEN, LISTING, ANXIETY = PUBLISHED["cohen"], PUBLISHED["listing"], PUBLISHED["anxiety"]


def test_kappa_of_cohens_table() -> None:
    """Cohen's own example comes out as printed (source in published.json), exactly 29/59."""
    assert cohen_kappa(COHEN["counts"]) == pytest.approx(29 / 59, abs=1e-12)
    assert cohen_kappa(COHEN["counts"]) == pytest.approx(COHEN["kappa"], abs=5e-4)


def test_weighted_kappa_of_cohens_table() -> None:
    """So does the weighted one, with his disagreement weights."""
    told = weighted_kappa(COHEN["counts"], weights=COHEN["disagreement"])
    assert told == pytest.approx(COHEN["weighted"], abs=5e-4)


def test_kappa_of_a_statistics_listing() -> None:
    """Plain and linear kappa equal a listing of another program."""
    assert cohen_kappa(LISTING["counts"]) == pytest.approx(LISTING["kappa"], abs=5e-5)
    assert weighted_kappa(LISTING["counts"]) == pytest.approx(LISTING["linear"], abs=5e-5)


@pytest.mark.parametrize(
    ("scale", "ending"), [([1, 2, 3, 4, 6], "used"), ([1, 2, 3, 4, 5, 6], "full")]
)
def test_unused_steps_of_a_scale_count(scale: list[int], ending: str) -> None:
    """Leaving out a step nobody used changes weighted kappa, as the published pair shows."""
    table = agreement_table(ANXIETY["rater2"], ANXIETY["rater3"], scale)
    for weights in ("linear", "quadratic"):
        told = weighted_kappa(table, weights)
        assert told == pytest.approx(ANXIETY[f"{weights}_{ending}"], abs=6e-7)


def test_equal_agreement_with_other_kappas() -> None:
    """60 % agreement may mean .13 or .26 (teaching example, values from memory)."""
    assert cohen_kappa([[45, 15], [25, 15]]) == pytest.approx(0.1304, abs=5e-5)
    assert cohen_kappa([[25, 35], [5, 35]]) == pytest.approx(0.2593, abs=5e-5)


def test_no_variation_has_no_kappa() -> None:
    """Two coaches who call everything right show no agreement that can be measured."""
    assert cohen_kappa([[12, 0], [0, 0]]) is None


@pytest.mark.parametrize("row", PUBLISHED["alpha"])
def test_published_alphas(row: dict[str, Any]) -> None:
    """Alpha equals the published value for each kind of scale, gaps and all."""
    for metric in ("nominal", "ordinal", "interval", "ratio"):
        if metric in row:
            told = krippendorff_alpha(row["ratings"], metric)
            assert told == pytest.approx(row[metric], abs=5e-4), metric


@settings(deadline=None)
@given(st.lists(st.integers(0, 3), min_size=2, max_size=20).filter(lambda row: len({*row}) > 1))
def test_graders_of_one_mind(row: list[int]) -> None:
    """Full agreement is 1 by every measure."""
    assert krippendorff_alpha([row, row, row], "interval") == pytest.approx(1)
    assert cohen_kappa(agreement_table(row, row, range(4))) == pytest.approx(1)


def test_alpha_needs_two_grades_on_a_rep() -> None:
    """Where no rep was graded twice, or nothing varies, there is no alpha."""
    assert krippendorff_alpha([[1, None], [None, 2]]) is None
    assert krippendorff_alpha([[1, 1], [1, 1]]) is None
    assert krippendorff_alpha([]) is None


def test_refusals() -> None:
    """Tables and rows that can't be are refused with a sentence."""
    with pytest.raises(ValueError, match="as many rows as columns"):
        cohen_kappa([[1, 2, 3], [1, 2, 3]])
    with pytest.raises(ValueError, match="above zero"):
        cohen_kappa([[0, 0], [0, 0]])
    with pytest.raises(ValueError, match="none below zero"):
        weighted_kappa([[1, 0], [0, 1]], weights=[[0, -1], [1, 0]])
    with pytest.raises(ValueError, match="not “cubic”"):
        weighted_kappa([[1, 0], [0, 1]], weights="cubic")
    with pytest.raises(ValueError, match="not on the scale"):
        agreement_table(["right"], ["great"], ["right", "wrong"])
    with pytest.raises(ValueError, match="same units"):
        krippendorff_alpha([[1, 2], [1]])
    with pytest.raises(ValueError, match="zero or more"):
        krippendorff_alpha([[-1, 2], [1, 2]], "ratio")
