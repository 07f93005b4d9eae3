"""What the rule books say of the field.

Values: tests/data/field_checks.json, where each stands with its source (NFHS Football Rules
Book, Rule 1-1-2; NCAA Football Rules and Interpretations, Rules 1-2-1, 1-2-5, 1-3-1 and 2-12-7;
Official Playing Rules of the NFL, Rule 1 section 1 and Rule 2 section 1; some from secondary
copies, as noted there).
"""

import json
from fractions import Fraction
from pathlib import Path

import pytest

from gradecut.errors import CalibrationError
from gradecut.field import LEVELS, level_named

CHECKS = {
    check["id"]: check
    for check in json.loads(
        (Path(__file__).parents[1] / "data" / "field_checks.json").read_text(encoding="utf-8")
    )
}


@pytest.mark.parametrize("name", ["NFHS", "NCAA", "NFL"])
def test_hashes_lie_where_the_rule_book_puts_them(name: str) -> None:
    """Hash rows and the space between them agree with the level's rule book."""
    check = CHECKS[f"A.hash.{name}"]
    near, far = LEVELS[name].hash_y_yd
    assert [near, far, far - near] == pytest.approx(check["expected"], abs=check["tolerance"])


@pytest.mark.parametrize("name", ["NFHS", "NCAA", "NFL"])
def test_uprights_stand_where_the_rule_book_puts_them(name: str) -> None:
    """The inside faces of the uprights agree with the level's rule book."""
    check = CHECKS[f"A.goal.{name}"]
    assert LEVELS[name].upright_y_yd == pytest.approx(check["expected"], abs=check["tolerance"])


@pytest.mark.parametrize("name", ["NFHS", "NCAA", "NFL"])
def test_every_field_is_160_feet_wide_and_120_yards_long(name: str) -> None:
    """All three books agree on the outer size."""
    check = CHECKS["A.width"]
    level = LEVELS[name]
    assert level.width_yd == pytest.approx(check["expected"], abs=check["tolerance"])
    assert level.length_yd == 120
    assert level.goal_x_yd == (10, 110)


def test_the_area_is_that_of_one_and_a_third_acres() -> None:
    """Length times width is the area other sources give (4,840 square yards to the acre)."""
    check = CHECKS["A.area_acres"]
    level = LEVELS["NCAA"]
    acres = level.length_yd * level.width_yd / 4840
    assert acres == pytest.approx(check["expected"], abs=check["tolerance"])


def test_nfl_hashes_line_up_with_the_uprights() -> None:
    """Two numbers of the book, read in different places, agree."""
    check = CHECKS["A.nfl_hash_equals_goal"]
    near, far = LEVELS["NFL"].hash_y_yd
    assert (far - near) * 3 == pytest.approx(check["expected"], abs=1e-9)
    assert LEVELS["NFL"].hash_y_yd == LEVELS["NFL"].upright_y_yd


@pytest.mark.parametrize("name", ["NCAA", "NFL"])
def test_the_ball_is_as_long_as_the_rule_book_says(name: str) -> None:
    """The neutral zone is as long as the ball."""
    check = CHECKS[f"A.ball_{name.lower()}_yd"]
    assert LEVELS[name].ball_length_yd == pytest.approx(check["expected"], abs=check["tolerance"])


def test_each_level_names_its_source() -> None:
    """Nobody has to guess where a number came from."""
    assert all("Rule" in level.source for level in LEVELS.values())


def test_a_staff_can_put_in_its_own_number() -> None:
    """One changed dimension changes what follows from it and nothing else."""
    own = LEVELS["NFHS"].with_changes(hash_from_sideline_ft=Fraction(60))
    assert own.hash_y_yd == LEVELS["NCAA"].hash_y_yd
    assert own.upright_y_yd == LEVELS["NFHS"].upright_y_yd


def test_an_unknown_dimension_is_refused_by_name() -> None:
    """A slip of the pen says which word was wrong."""
    with pytest.raises(CalibrationError, match="hash_lenght"):
        LEVELS["NFL"].with_changes(hash_lenght=Fraction(1))


def test_a_level_is_found_in_any_case_and_an_unknown_one_refused() -> None:
    """'ncaa' is NCAA; 'CFL' is a sentence that says what there is."""
    assert level_named(" ncaa ") is LEVELS["NCAA"]
    with pytest.raises(CalibrationError, match="NFHS, NCAA, NFL"):
        level_named("CFL")
