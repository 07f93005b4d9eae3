"""The Harbor scheme, against the reference tables of the invented demo.

`data/demo_rules.csv`, `data/demo_script.csv` and `data/demo_expected_fits.csv` are the reference
brief's tables (section H, "Invented demo: Harbor scheme"); their own checks found 33 rules, 198
cells complete and free of overlaps, and 69 expected fits. Nothing in them comes from gradecut.
"""

from __future__ import annotations

import csv
from importlib.resources import files
from itertools import product
from pathlib import Path
from typing import Any

import pytest

from gradecut.scheme import Scheme, load_scheme

DATA = Path(__file__).parent / "data"
SIDE = {"L": "left", "R": "right"}
GRADED = ("Bow", "Keel", "Port")


def _rows(name: str) -> list[dict[str, str]]:
    with open(DATA / name, encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


@pytest.fixture(scope="module")
def harbor() -> Scheme:
    """Give Harbor as it ships."""
    return load_scheme(str(files("gradecut.samples") / "week" / "harbor.toml"))


def _looks(scheme: Scheme, *open_references: str) -> list[dict[str, Any]]:
    """List every possible look over these references, with all others that matter known."""
    found = []
    ways = [scheme.values_of(reference) for reference in open_references]
    for row in product(*ways):
        look = dict(zip(open_references, row, strict=True))
        if look.get("concept") == "pass":
            look.pop("run", None)
        if not scheme.look_faults(look):
            found.append(look)
    return found


def test_every_scripted_rep_asks_the_reference_fit_by_the_reference_rule(harbor: Scheme) -> None:
    """69 of 69: role, gap and rule."""
    script = {row["rep"]: row for row in _rows("demo_script.csv")}
    rows = _rows("demo_expected_fits.csv")
    assert len(rows) == 69
    for row in rows:
        rep = script[row["rep"]]
        look = {
            "strength": SIDE[rep["strength"]],
            "surface.left": int(rep["surface_left"]),
            "surface.right": int(rep["surface_right"]),
            "concept": rep["concept"],
            "run": SIDE[rep["run_direction"]],
        }
        said = harbor.expect(row["position"], look)
        assert (said.rule, said.job, said.gap) == (row["rule"], row["fit_role"], row["fit_gap"])
        assert said.fit == f"{row['fit_role']} {row['fit_gap']}"
        assert said.graded


def test_every_cell_of_the_reference_table_has_its_rule(harbor: Scheme) -> None:
    """198 cells of position, concept, to or away, and surface: the rule and cue of the table."""
    cells = 0
    for row in _rows("demo_rules.csv"):
        concepts = row["concept"].split("|")
        ways = ["to", "away"] if row["run_goes"] == "any" else [row["run_goes"]]
        surface = row["surface_count"]
        surfaces = [2, 3, 4] if surface == "any" else [int(n) for n in surface.split("|")]
        for concept, way, count in product(concepts, ways, surfaces):
            cells += 1
            for strength in ("left", "right"):
                own = harbor.side_of(row["position"], {"strength": strength})
                other = {"left": "right", "right": "left"}[str(own)]
                run = own if way == "to" else other
                look = {"strength": strength, "concept": concept, "run": run}
                look |= {f"surface.{run}": count}
                said = harbor.expect(row["position"], look)  # type: ignore[arg-type]
                assert (said.rule, said.cue) == (row["rule"], row["coaching_cue"])
    assert cells == 198


def test_every_man_has_one_answer_on_every_look(harbor: Scheme) -> None:
    """No hole and no overlap, for the graded men and for those around them."""
    names = ("strength", "surface.left", "surface.right", "back", "concept", "run")
    looks = _looks(harbor, *names)
    assert len(looks) >= 2 * 9 * 4 * (11 * 2 - 2)
    for look in looks:
        for position in harbor.positions:
            said = harbor.expect(position, look)
            assert said.settled, (position, look, said.reason)
            assert said.side is not None or said.gap is None


def test_every_linebacker_lines_up_somewhere_on_every_look(harbor: Scheme) -> None:
    """Alignments cover all surfaces and the blocker off the ball, without a disagreement."""
    for look in _looks(harbor, "strength", "surface.left", "surface.right", "wing"):
        for position in GRADED:
            assert harbor.expect(position, look).alignment is not None


def test_a_pass_is_nothing_to_grade(harbor: Scheme) -> None:
    """On a pass no direction is asked for, and no man is graded."""
    for said in harbor.expect_all({"concept": "pass"}).values():
        assert (said.settled, said.graded) == (True, False)


def test_the_strength_and_the_run_are_asked_for_and_the_back_never(harbor: Scheme) -> None:
    """Only facts that can change the answer are asked for."""
    assert set(harbor.expect("Keel", {}).needs) == {
        "strength",
        "surface.left",
        "surface.right",
        "concept",
        "run",
    }
    assert harbor.expect("Keel", {"strength": "left", "concept": "lead"}).needs == ("run",)
    assert harbor.expect("Bow", {"strength": "left", "concept": "trap"}).fit == "squeeze C"


def test_each_fit_to_grade_has_misses_and_the_men_around_are_not_graded(harbor: Scheme) -> None:
    """A miss can be named for every graded fit; the front is only drawn."""
    for fit in harbor.fits.values():
        assert bool(fit.misses) == fit.graded
    graded = tuple(man.name for man in harbor.positions.values() if man.graded)
    assert graded == GRADED == harbor.groups["linebackers"]
