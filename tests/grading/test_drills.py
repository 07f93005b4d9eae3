from __future__ import annotations

from dataclasses import replace

from gradecut.grading import board, worst_situations
from gradecut.records import RepLine
from gradecut.records.drill import Drill
from tests.grading.invented_week import LISOWAY, OKORIE, RUBRIC, VANDERMOOR, line, week


def drilled(lines: list[RepLine], *by: str) -> tuple[Drill, ...]:
    """Return the drills of some reps."""
    return worst_situations(board(lines, rubric=RUBRIC, by=by or ("concept",)), lines)


def plain(drill: Drill) -> str:
    """Return what a drill says, its hard spaces as any others."""
    return drill.says.replace("\N{NO-BREAK SPACE}", " ")


def test_most_misses_first_with_the_reps_to_show() -> None:
    """Okorie missed power three times of three, and inside zone once: that is no pattern."""
    first, *rest = drilled(week())
    assert (first.who, first.situation, first.misses, first.n) == ("Tavin Okorie", "power", 3, 3)
    assert first.miss_rep_ids == ("r2-p1", "r3-p1", "r6-p1")
    assert first.right_rep_ids == ()
    assert (first.cause, first.cause_count) == ("technique", 2)
    assert first.sure
    # Half a point of three: Wilson's formula by hand gives 0.354 + 0.336.
    assert plain(first).endswith("even at best: the 95 % interval ends at 69 %.")
    assert rest == []


def test_says_when_the_reps_are_too_few() -> None:
    """Two misses of five are worked on, and not called below the goal."""
    lines = [
        line(LISOWAY, sign, order) for order, sign in zip((2, 3, 6, 7, 10), "-++h+", strict=True)
    ]
    (only,) = drilled(lines)
    assert not only.sure
    # Three and a half points of five: Wilson's formula by hand gives 0.613 + 0.314.
    assert "Too few reps to call it below 85 %: up to 93 % is possible." in plain(only)
    assert only.right_rep_ids == ("r3-p2", "r6-p2", "r10-p2")


def test_the_group_where_no_man_stands_out() -> None:
    """Two men who missed counter once each are one drill of the group."""
    lines = [line(man, sign, 4) for man, sign in ((OKORIE, "-"), (LISOWAY, "h"), (VANDERMOOR, "+"))]
    (only,) = drilled(lines)
    assert (only.player_id, only.who, only.misses, only.n) == (None, "the group", 2, 3)
    assert "2 of 3 missed" in only.says


def test_a_cause_nobody_named_is_not_made_up() -> None:
    """Misses without a cause are told without one."""
    lines = [line(OKORIE, "-", order) for order in (2, 3)]
    bare = [replace(one, grade=replace(one.grade, cause="")) for one in lines if one.grade]
    (only,) = drilled(bare)
    assert (only.cause, only.cause_count) == ("", 0)
    assert "put down" not in only.says


def test_each_miss_is_told_once() -> None:
    """No rep stands in two drills."""
    told = [key for drill in drilled(week(), "concept", "run side") for key in drill.miss_rep_ids]
    assert len(told) == len(set(told))


def test_nothing_to_drill() -> None:
    """A clean week has no list."""
    assert drilled([line(LISOWAY, "+", order) for order in range(1, 5)]) == ()


def test_what_was_only_passed_is_told() -> None:
    """Two misses of five: that two of the five were graded at speed stands beside them."""
    lines = [
        line(LISOWAY, sign, order) for order, sign in zip((2, 3, 6, 7, 9), "+-+-+", strict=True)
    ]
    (only,) = drilled(lines, "period")
    assert only.says.startswith(
        "2 of 5 missed, 2 put down to “technique”; 2 of the 5 graded at speed."
    )


def test_what_was_looked_at_is_the_model_first() -> None:
    """Of the reps done right those that were examined come before those only passed."""
    lines = [
        line(LISOWAY, sign, order) for order, sign in zip((2, 3, 5, 6, 7, 9), "+--++.", strict=True)
    ]
    (only,) = drilled(lines, "period")
    assert only.right_rep_ids == ("r7-p2", "r2-p2", "r6-p2")
