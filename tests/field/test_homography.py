"""Plane maps; values with their sources in tests/data/field_checks.json.

The printed matrix of E.tile stands in the scikit-image tutorials; E.square_to_quad follows
Heckbert 1989 (formula from memory); E.cross_ratio is Hartley and Zisserman, 2nd edition, 2.5.
"""

import json
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from gradecut.errors import CalibrationError
from gradecut.field import apply_homography, find_homography

CHECKS = {
    check["id"]: check
    for check in json.loads(
        (Path(__file__).parents[1] / "data" / "field_checks.json").read_text(encoding="utf-8")
    )
}
SQUARE = [(0, 0), (1, 0), (1, 1), (0, 1)]


def test_the_printed_matrix_of_the_tile_tutorial() -> None:
    """Four points give the matrix printed in the tutorial."""
    check = CHECKS["E.tile"]
    found = find_homography(check["inputs"]["src"], check["inputs"]["dst"])
    assert found == pytest.approx(np.array(check["expected"]), rel=check["tolerance"])


def test_the_unit_square_goes_to_a_quadrilateral_by_exact_numbers() -> None:
    """The rational matrix of a worked example comes out."""
    check = CHECKS["E.square_to_quad"]
    found = find_homography(SQUARE, check["inputs"]["quad"])
    assert found == pytest.approx(np.array(check["expected"]), abs=1e-10)


def test_the_middle_of_the_square_is_where_the_diagonals_meet() -> None:
    """Lines stay lines: the centre goes to the crossing of the diagonals."""
    check = CHECKS["E.diagonals"]
    matrix = find_homography(SQUARE, check["inputs"]["quad"])
    assert apply_homography(matrix, [(0.5, 0.5)])[0] == pytest.approx(check["expected"])


def test_four_yard_lines_keep_their_cross_ratio() -> None:
    """Four neighbouring five-yard lines along any line of the picture give 4/3."""
    check = CHECKS["E.cross_ratio"]
    matrix = find_homography(SQUARE, [(0, 0), (4, 1), (6, 5), (1, 3)])
    row = apply_homography(matrix, [(x / 15, 0.3) for x in check["inputs"]["points"]])
    a, b, c, d = row
    ratio = (np.linalg.norm(a - c) * np.linalg.norm(b - d)) / (
        np.linalg.norm(a - d) * np.linalg.norm(b - c)
    )
    assert ratio == pytest.approx(check["expected"])


@given(st.lists(st.floats(-0.2, 0.2), min_size=8, max_size=8))
def test_going_there_and_back_changes_nothing(bends: list[float]) -> None:
    """The map of the swapped points is the inverse map."""
    bent = np.array(SQUARE) * 100 + np.array(bends).reshape(4, 2) * 100
    there = find_homography(SQUARE, bent)
    back = find_homography(bent, SQUARE)
    inside = np.array([(0.2, 0.3), (0.7, 0.6)])
    assert apply_homography(back, apply_homography(there, inside)) == pytest.approx(inside)


@pytest.mark.parametrize(
    ("source", "target", "said"),
    [
        (SQUARE[:3], SQUARE[:3], "too few"),
        (SQUARE, SQUARE[:3], "partner"),
        ([(0, 0), (1, 1), (2, 2), (3, 3)], SQUARE, "one line"),
        ([(1, 1)] * 4, SQUARE, "coincide"),
        ([(0, 0), (1, 0), (1, float("nan")), (0, 1)], SQUARE, "finite"),
    ],
)
def test_points_that_settle_no_map_are_refused(
    source: list[tuple[float, float]], target: list[tuple[float, float]], said: str
) -> None:
    """Each kind of useless points has its own sentence."""
    with pytest.raises(CalibrationError, match=said):
        find_homography(source, target)
