"""Rules whose verdict is known from elsewhere.

`demo_rules.csv`, `demo_rules_broken.csv` and `demo_rules_verdict.json` are those of the reference
brief (section H): 33 invented rules, and the same with two planted faults, judged by brute force
over 198 cells. The tables of hit policies are our own, equivalent in shape to those of the OMG DMN
Technology Compatibility Kit (tests 0004, 0117, 0118; verdicts as in the reference brief, section
D). Completeness and overlap are meant as in the OMG DMN standard and in Calvanese et al. 2016,
arXiv:1603.07466, who find missing and overlapping rules over the whole declared domain.
"""

from __future__ import annotations

import csv
import json
from pathlib import Path
from typing import Any

import pytest

from gradecut.samples import week_folder
from gradecut.scheme import Audit, load_scheme, parse_scheme
from tests.scheme.invented_schemes import written

DATA = Path(__file__).parent.parent / "data"
VERDICT = json.loads((DATA / "demo_rules_verdict.json").read_text(encoding="utf-8"))


def _from_table(name: str) -> dict[str, Any]:
    """Write a rule table as a scheme; all its men stand on the left, so that to is left."""
    with (DATA / name).open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    rules = []
    for row in rows:
        when: dict[str, Any] = {"concept": row["concept"].split("|")}
        if row["run_goes"] != "any":
            when["run"] = row["run_goes"]
        if row["surface_count"] != "any":
            when["surface"] = [int(count) for count in row["surface_count"].split("|")]
        fit = f"{row['fit_role']} {row['fit_gap']}"
        rules.append({"id": row["rule"], "for": [row["position"]], "when": when, "fit": fit})
    return {
        "facts": {
            "concept": {"values": VERDICT["domain"]["concept"]},
            "run": {"values": ["left", "right"], "sided": True, "known": "after"},
            "surface": {"values": VERDICT["domain"]["surface_count"]},
        },
        "positions": {man: {"side": "left"} for man in VERDICT["domain"]["position"]},
        "fits": {fit: {"job": fit.split()[0]} for fit in (str(rule["fit"]) for rule in rules)},
        "rules": rules,
    }


@pytest.mark.parametrize("name", ["demo_rules.csv", "demo_rules_broken.csv"])
def test_the_verdict_of_the_reference_rules(name: str) -> None:
    """Sound is sound; of the broken ones exactly the planted hole and overlap are found."""
    told = VERDICT[name]
    drawn = _from_table(name)
    assert len(drawn["rules"]) == told["rules"]
    audit = parse_scheme(written(drawn), name).audit()
    assert audit.looks == 198 // len(VERDICT["domain"]["position"])
    assert bool(audit) == (told["complete"] and not told["overlapping_pairs"])
    cells = {tuple(cell[:3]) for cell in told.get("missing_cells", [])}
    holes = {
        (hole.position, look["concept"], {"left": "to", "right": "away"}[str(look["run"])])
        for hole in audit.holes
        if (look := hole.look) is not None and set(look) == {"concept", "run"}
    }
    assert holes == cells
    assert [list(found.rules) for found in audit.overlaps] == [
        pair for pair, _ in told["overlapping_pairs"]
    ]
    assert (audit.masked, audit.dead, audit.idle, audit.duties) == ((), (), (), ())


def test_a_finding_is_told_as_a_coach_says_it() -> None:
    """The sentence names the man, his side, and the look as he sees it."""
    audit = parse_scheme(written(_from_table("demo_rules_broken.csv")), "broken").audit()
    assert audit.holes[0].message == (
        "Keel, on the left, has no rule when the concept is lead and the run comes to him."
    )
    assert audit.overlaps[0].message == (
        "R05 and R06 are in the same tier and disagree about Bow, on the left, when the concept is "
        "mid zone and the run goes away from him: cutback C or box D."
    )


def test_harbor_is_sound() -> None:
    """The scheme of the sample week: one answer a man on each of its looks, no duty broken."""
    audit = load_scheme(week_folder() / "harbor.toml").audit()
    assert audit
    # 2 strengths, 9 pairs of surfaces, 3 wings, 4 backs, 11 concepts with two ways to run and a
    # pass without: 4 * 23, less lead without a back.
    assert audit.looks == 2 * 9 * 3 * (4 * 23 - 2)


def _table(*rules: tuple[dict[str, Any], str, str]) -> Audit:
    drawn = {
        "scheme": {"tiers": ["sit", "play"]},
        "facts": {
            "senior": {"values": [True, False]},
            "risk": {"values": ["low", "medium", "high"]},
            "fit_to_play": {"values": [True, False]},
        },
        "positions": {"Keel": {"side": "none"}},
        "fits": {"play": {"job": "play"}, "sit": {"job": "sit"}},
        "rules": [
            {"id": f"{number}", "for": ["Keel"], "when": when, "fit": fit, "tier": tier}
            for number, (when, fit, tier) in enumerate(rules, start=1)
        ],
    }
    return parse_scheme(written(drawn), "table").audit()


LOW: dict[str, Any] = {"senior": True, "risk": ["low", "medium"], "fit_to_play": True}


def test_unique_complete_without_overlap() -> None:
    """As DMN TCK 0004, hit policy Unique: complete, no overlap."""
    audit = _table(
        (LOW, "play", "sit"),
        ({"senior": False}, "sit", "sit"),
        ({"senior": True, "risk": "high"}, "sit", "sit"),
        (LOW | {"fit_to_play": False}, "sit", "sit"),
    )
    assert audit
    assert audit.looks == 12


def test_any_rules_that_agree_are_no_overlap() -> None:
    """As DMN TCK 0117, hit policy Any: rules overlap with the same output, which is legal."""
    assert _table(
        (LOW, "play", "sit"),
        ({"senior": False}, "sit", "sit"),
        ({"risk": "high"}, "sit", "sit"),
        ({"fit_to_play": False}, "sit", "sit"),
    )


def test_priority_overlap_is_legal_and_the_missing_region_is_found() -> None:
    """As DMN TCK 0118, hit policy Priority: one region (of age, risk and means) has no rule."""
    audit = _table(
        (LOW, "play", "play"), ({"senior": False}, "sit", "sit"), ({"risk": "high"}, "play", "play")
    )
    assert audit.overlaps == ()
    look = audit.holes[0].look
    assert look is not None
    assert len(look) == 3
    assert (look["senior"], look["fit_to_play"]) == (True, False)
    assert look["risk"] in {"low", "medium"}


def test_a_bound_left_out_on_both_sides_is_a_hole() -> None:
    """Under 18 and over 18 leave 18 itself: a number is cut at every bound."""
    text = """
    [facts.age]
    values = [16, 17, 18, 19]
    [positions.Keel]
    side = "none"
    [fits.play]
    job = "play"
    [[rules]]
    id = "1"
    for = ["Keel"]
    when = { age = { max = 17 } }
    fit = "play"
    [[rules]]
    id = "2"
    for = ["Keel"]
    when = { age = { min = 19 } }
    fit = "play"
    """
    assert [found.look for found in parse_scheme(text, "bounds").audit().holes] == [{"age": 18}]
