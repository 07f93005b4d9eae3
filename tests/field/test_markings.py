import numpy as np
import pytest

from gradecut.field import LEVELS, landmarks_of, numerals_of, stripes_of


@pytest.mark.parametrize("name", list(LEVELS))
def test_a_line_crosses_the_field_every_five_yards(name: str) -> None:
    """Nineteen yard lines stand between the goals, 4 inches wide (NCAA Rule 1-2-1)."""
    lines = [stripe for stripe in stripes_of(LEVELS[name]) if stripe.kind == "yard line"]
    middles = [(line.x0_yd + line.x1_yd) / 2 for line in lines]
    assert middles == pytest.approx(np.arange(15, 106, 5))
    assert [line.x1_yd - line.x0_yd for line in lines] == pytest.approx([4 / 36] * 19)


def test_yard_lines_stop_four_inches_from_the_sidelines() -> None:
    """NCAA Rule 1-2-1."""
    line = next(stripe for stripe in stripes_of() if stripe.kind == "yard line")
    assert line.y0_yd == pytest.approx(4 / 36)
    assert line.y1_yd == pytest.approx(160 / 3 - 4 / 36)


def test_a_goal_line_lies_wholly_in_its_end_zone() -> None:
    """NCAA Rule 1-2-1: the whole goal line is in the end zone."""
    near, far = (stripe for stripe in stripes_of() if stripe.kind == "goal")
    assert near.x1_yd == 10
    assert far.x0_yd == 110


def test_the_boundary_is_painted_outside_the_field() -> None:
    """NCAA Rule 1-2-1: the whole sideline is out of bounds."""
    for stripe in stripes_of():
        if stripe.kind == "border":
            inside_x = max(stripe.x0_yd, 0) < min(stripe.x1_yd, 120)
            inside_y = max(stripe.y0_yd, 0) < min(stripe.y1_yd, 160 / 3)
            assert not (inside_x and inside_y)


@pytest.mark.parametrize("name", list(LEVELS))
def test_hashes_are_two_feet_long_and_reach_to_the_hash_row(name: str) -> None:
    """24 inches (NCAA Rule 1-2-1), ending at the level's own distance from the sideline."""
    level = LEVELS[name]
    low, high = level.hash_y_yd
    hashes = [
        stripe
        for stripe in stripes_of(level)
        if stripe.kind == "hash" and stripe.y1_yd - stripe.y0_yd > 0.5
    ]
    assert {round(mark.y1_yd - mark.y0_yd, 6) for mark in hashes} == {round(24 / 36, 6)}
    assert {round(mark.y1_yd, 6) for mark in hashes if mark.y0_yd < 26} == {round(low, 6)}
    assert {round(mark.y0_yd, 6) for mark in hashes if mark.y0_yd > 26} == {round(high, 6)}


def test_numbers_count_up_to_fifty_and_down_again() -> None:
    """Along one sideline one reads 10, 20, 30, 40, 50, 40, 30, 20, 10."""
    near = [numeral for numeral in numerals_of() if numeral.bottom_left_yd[1] < 26]
    digits = "".join(numeral.digit for numeral in near)
    assert digits == "102030405040302010"


def test_numbers_read_upright_from_their_own_sideline() -> None:
    """From y = 0 right is +x; from the other side it is -x; tops point to the middle."""
    for numeral in numerals_of():
        from_near = numeral.bottom_left_yd[1] < 26
        rightwards = numeral.bottom_right_yd[0] - numeral.bottom_left_yd[0]
        upwards = numeral.top_left_yd[1] - numeral.bottom_left_yd[1]
        assert (rightwards > 0) == from_near
        assert (upwards > 0) == from_near


def test_number_tops_stand_nine_yards_from_the_sideline_in_ncaa() -> None:
    """NCAA Rule 1-2-1-i."""
    tops = {round(numeral.top_left_yd[1], 6) for numeral in numerals_of(LEVELS["NCAA"])}
    assert tops == {9.0, round(160 / 3 - 9, 6)}


def test_landmarks_are_every_fifth_yard_at_hashes_and_sidelines() -> None:
    """21 lines from goal to goal, four places on each."""
    points = landmarks_of()
    assert points.shape == (84, 2)
    assert set(points[:, 1].round(4)) == {0.0, 20.0, 33.3333, 53.3333}
