"""The grid holds every rule once, and each row can be shown as its man meets it."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from hypothesis import assume, given, settings

from gradecut.errors import LookError
from gradecut.scheme import load_scheme, parse_scheme
from gradecut.scheme.editing import written as as_written
from gradecut.scheme.grid import RowAnswer, grid_of, row_answer, row_look
from tests.scheme.invented_schemes import schemes, written
from tests.scheme.plain_reading import answer, completions, holds, own_side

HARBOR = load_scheme(Path(__file__).parents[2] / "gradecut/samples/week/harbor.toml")


@settings(max_examples=60)
@given(schemes())
def test_every_rule_stands_in_the_grid(scheme: dict[str, Any]) -> None:
    """Each rule is a cell of each of its men, or is named as clashing with one."""
    assume(completions(scheme, {}))
    parsed = parse_scheme(written(scheme), "invented")
    grid = grid_of(parsed)
    tiers = [grid.tiers.index(row.tier) for row in grid.rows]
    assert tiers == sorted(tiers)
    assert len({row.key for row in grid.rows}) == len(grid.rows)
    for rule in parsed.rules:
        for man in rule.men:
            cells = [row.cells[man].rule for row in grid.rows if man in row.cells]
            clashing = [name for row in grid.rows for name in row.clashing]
            assert cells.count(rule.id) == 1 or clashing.count(rule.id) == 1


@settings(max_examples=60)
@given(schemes())
def test_a_look_shows_its_row(scheme: dict[str, Any]) -> None:
    """On every completion of the look the man is on his side and the row holds."""
    every = completions(scheme, {})
    assume(every)
    parsed = parse_scheme(written(scheme), "invented")
    for row in grid_of(parsed).rows:
        when = as_written(row.when)
        for man in row.cells:
            look = row_look(parsed, row, man, "right")
            kind = scheme["positions"][man]["side"]
            side = (
                {"none": None, "left": "left"}.get(kind, "right")
                if isinstance(kind, str)
                else "right"
            )
            if look:
                assert not parsed.look_faults(look)
                whole = completions(scheme, look)
                assert whole
                assert all(own_side(scheme, man, one) == side for one in whole)
                assert all(holds(scheme, one, when, side) for one in whole)


@settings(max_examples=120)
@given(schemes())
def test_an_answer_elsewhere_holds_on_every_look_of_the_row(scheme: dict[str, Any]) -> None:
    """Counted one by one: on each look of the row he owes that fit, by one of those rules."""
    every = completions(scheme, {})
    assume(every)
    parsed = parse_scheme(written(scheme), "invented")
    for row in grid_of(parsed).rows:
        when = as_written(row.when)
        for man, position in scheme["positions"].items():
            told = row_answer(parsed, row, man) if man not in row.cells else None
            if told is None:
                continue
            sides = [(look, own_side(scheme, man, look)) for look in every]
            on_row = [
                look
                for look, own in sides
                if (own is not None or position["side"] == "none")
                and holds(scheme, look, when, own)
            ]
            answers = [answer(scheme, man, look) for look in on_row]
            assert answers
            assert {one["option"][0] if one else None for one in answers} == {told.fit}
            assert {one["rule"] if one else None for one in answers} <= set(told.rules)


def test_the_sample_rows_without_a_fit_name_who_answers() -> None:
    """Read from harbor.toml: R15 is Keel's on split zone away, two rules share all zone away."""
    keel = {
        cell.rule: row_answer(HARBOR, row, "Keel")
        for row in grid_of(HARBOR).rows
        for cell in row.cells.values()
        if "Keel" not in row.cells
    }
    assert keel["R06"] == RowAnswer(fit="hang A", rules=("R15",))
    assert keel["R05"] is None
    with pytest.raises(LookError):
        row_answer(HARBOR, grid_of(HARBOR).rows[0], "Kel")


def test_men_of_one_group_with_the_rows_they_have() -> None:
    """Columns as asked for; rows without one of these men are left out."""
    grid = grid_of(HARBOR, ["Port", "Keel"])
    assert grid.men == ("Port", "Keel")
    assert all(set(row.cells) <= {"Port", "Keel"} and row.cells for row in grid.rows)
    shared = next(row for row in grid.rows if "Port" in row.cells and "Keel" in row.cells)
    assert list(shared.cells) == ["Port", "Keel"]
    with pytest.raises(LookError, match="did you mean “Keel”"):
        grid_of(HARBOR, ["Kel"])


def test_one_row_for_men_whose_values_stand_in_another_order() -> None:
    """Keel's and Port's rule on inside runs list the concepts differently and are one row."""
    rows = {cell.rule: row.key for row in grid_of(HARBOR).rows for cell in row.cells.values()}
    assert rows["R14"] == rows["R24"]
    assert rows["R14"] != rows["R15"]


def test_a_look_is_as_small_as_its_row_and_side() -> None:
    """Only what the condition asks and the strength that puts him there is drawn."""
    row = next(
        row
        for row in grid_of(HARBOR).rows
        if row.cells.get("Bow") and row.cells["Bow"].rule == "R02"
    )
    assert row_look(HARBOR, row, "Bow") == {
        "strength": "right", "surface.right": 2, "concept": "outside zone", "run": "right",
    }  # fmt: skip
    assert row_look(HARBOR, row, "Port", "left")["strength"] == "right"
    never = (*HARBOR.rules[0].when[0], *HARBOR.rules[3].when[0], *HARBOR.rules[4].when[0])
    assert row_look(HARBOR, (never,), "Bow") == {}
    with pytest.raises(LookError):
        row_look(HARBOR, row, "Bo")
