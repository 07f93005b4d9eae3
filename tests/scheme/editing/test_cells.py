"""A cell of the grid says what the coach wrote into it, for him and for nobody else."""

from __future__ import annotations

import difflib
import tomllib
from pathlib import Path
from typing import Any

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from gradecut.errors import SchemeError
from gradecut.scheme import parse_scheme
from gradecut.scheme.editing import (
    change_when,
    clear_fit,
    drop_alignment,
    move_row,
    set_alignment,
    set_fit,
)
from gradecut.scheme.editing import written as as_written
from gradecut.scheme.grid import grid_of
from tests.scheme.invented_schemes import schemes, written
from tests.scheme.plain_reading import answer, completions, holds, own_side

HARBOR = (Path(__file__).parents[3] / "gradecut/samples/week/harbor.toml").read_text("utf-8")
POWER = {"run": "to", "concept": ["counter", "power"]}
PASS = {"concept": "pass"}
PASS_CUE = "Pass: play your coverage or your rush"


def _changes(before: str, after: str) -> list[str]:
    """List the lines that went and came."""
    found = difflib.unified_diff(before.splitlines(), after.splitlines(), n=0, lineterm="")
    return [line for line in list(found)[2:] if not line.startswith("@@")]


def _row(scheme: dict[str, Any], rule: dict[str, Any]) -> tuple[str, Any]:
    return rule.get("tier", scheme["scheme"]["tiers"][0]), rule.get("when", {})


@st.composite
def cells(draw: st.DrawFn, scheme: dict[str, Any]) -> dict[str, Any]:
    """Draw a cell: a man on a row the scheme has, or on one it has only for another or nobody."""
    rule = draw(st.sampled_from(scheme["rules"]))
    tier, when = _row(scheme, rule)
    men = rule["for"] if draw(st.booleans()) else ["Keel", "Port"]
    return {
        "man": draw(st.sampled_from(men)),
        "tier": draw(st.sampled_from([tier, scheme["scheme"]["tiers"][-1]])),
        "when": when,
    }


def _of_row(scheme: dict[str, Any], cell: dict[str, Any], rule: dict[str, Any]) -> bool:
    """Tell whether a rule is on the cell's row, whatever the order its condition is written in."""
    tier, when = _row(scheme, rule)
    return tier == cell["tier"] and _loose(when) == _loose(cell["when"])


def _loose(when: Any) -> frozenset[Any]:
    tables = when if isinstance(when, list) else [when]
    return frozenset(
        frozenset((reference, _loose_test(test)) for reference, test in table.items())
        for table in tables
    )


def _loose_test(test: Any) -> Any:
    if isinstance(test, dict):
        return frozenset((key, _loose_test(part)) for key, part in test.items())
    return frozenset(map(repr, test if isinstance(test, list) else [test]))


def sound(scheme: dict[str, Any]) -> dict[str, Any]:
    """Let pass a scheme with looks that can be."""
    assume(completions(scheme, {}))
    return scheme


@settings(max_examples=80)
@given(st.data(), schemes().map(sound))
def test_a_filled_cell_answers_where_its_row_holds(
    data: st.DataObject, scheme: dict[str, Any]
) -> None:
    """He owes the fit wherever the row holds and nothing else of its tier or above does.

    Where the row does not hold his answers stay, and so do all answers of all other men.
    """
    cell = data.draw(cells(scheme))
    fit = data.draw(st.sampled_from(sorted(scheme["fits"])))
    also = data.draw(st.sampled_from([(), (fit,), ("sink",)]))
    try:
        text = set_fit(written(scheme), **cell, fit=fit, also=also)
    except SchemeError:
        mixed = {scheme["positions"][man]["side"] == "none" for man in ("Keel", "Port")}
        assert len(mixed) == 2  # to and away said of a man who has no side, or the reverse
        return
    after = tomllib.loads(text)
    tiers = scheme["scheme"]["tiers"]
    above = [
        rule
        for rule in scheme["rules"]
        if cell["man"] in rule["for"]
        and tiers.index(_row(scheme, rule)[0]) >= tiers.index(cell["tier"])
        and not _of_row(scheme, cell, rule)
    ]
    for look in completions(scheme, {}):
        for man in scheme["positions"]:
            old, new = answer(scheme, man, look), answer(after, man, look)
            own = own_side(scheme, man, look)
            sideless = own is None and scheme["positions"][man]["side"] != "none"
            if man != cell["man"] or sideless or not holds(scheme, look, cell["when"], own):
                assert new == old
            elif not any(holds(scheme, look, rule.get("when", {}), own) for rule in above):
                assert new is not None
                assert (new["option"][0], new["also"], new["tier"]) == (
                    fit,
                    set(also),
                    cell["tier"],
                )


@settings(max_examples=50)
@given(st.data(), schemes().map(sound))
def test_a_cleared_cell_is_a_rule_less_for_him(data: st.DataObject, scheme: dict[str, Any]) -> None:
    """He answers as if the rules of this row had never been for him; others as before."""
    rule = data.draw(st.sampled_from(scheme["rules"]))
    tier, when = _row(scheme, rule)
    cell = {"man": data.draw(st.sampled_from(rule["for"])), "tier": tier, "when": when}
    after = tomllib.loads(clear_fit(written(scheme), **cell))
    bare = dict(scheme)
    bare["rules"] = [
        {
            **one,
            "for": [
                man for man in one["for"] if man != cell["man"] or not _of_row(scheme, cell, one)
            ],
        }
        for one in scheme["rules"]
    ]
    assert all(table["for"] for table in after.get("rules", []))
    for look in completions(scheme, {}):
        for man in scheme["positions"]:
            assert answer(after, man, look) == answer(bare, man, look)


@settings(max_examples=50)
@given(st.data(), schemes().map(sound))
def test_a_row_moves_to_where_it_is_put(data: st.DataObject, scheme: dict[str, Any]) -> None:
    """A row moved before another of its tier stands right before it, and no answer changes."""
    text = written(scheme)
    before = grid_of(parse_scheme(text, "before"))
    row = data.draw(st.sampled_from(before.rows))
    beside = [other for other in before.rows if other.tier == row.tier and other.key != row.key]
    goal = data.draw(st.sampled_from([*beside, None]))
    moved = move_row(
        text,
        tier=row.tier,
        when=as_written(row.when),
        before=None if goal is None else as_written(goal.when),
    )
    after = grid_of(parse_scheme(moved, "after"))
    order = [other.key for other in after.rows if other.tier == row.tier]
    rest = [other.key for other in beside]
    at = len(rest) if goal is None else rest.index(goal.key)
    assert order == [*rest[:at], row.key, *rest[at:]]
    new = tomllib.loads(moved)
    for look in completions(scheme, {}):
        for man in scheme["positions"]:
            old, found = answer(scheme, man, look), answer(new, man, look)
            assert (old and (old["option"], old["also"])) == (
                found and (found["option"], found["also"])
            )


@settings(max_examples=50)
@given(st.data(), schemes().map(sound))
def test_a_changed_condition_is_changed_for_its_row_alone(
    data: st.DataObject, scheme: dict[str, Any]
) -> None:
    """Every man of the row, or the men named, gets the new condition; all else stays."""
    rule, other = (data.draw(st.sampled_from(scheme["rules"])) for _ in range(2))
    tier, when = _row(scheme, rule)
    new_when = other.get("when", {})
    men = data.draw(st.sampled_from([None, rule["for"][:1]]))
    cell = {"tier": tier, "when": when}
    try:
        text = change_when(written(scheme), **cell, new_when=new_when, men=men)
    except SchemeError:
        return  # a condition with words for a side that are not for these men
    meant = dict(scheme, rules=[])
    for one in scheme["rules"]:
        leaving = [man for man in one["for"] if men is None or man in men]
        if not _of_row(scheme, cell, one):
            leaving = []
        staying = [man for man in one["for"] if man not in leaving]
        if staying:
            meant["rules"].append({**one, "for": staying})
        if leaving:
            meant["rules"].append({**one, "for": leaving, "when": new_when})
    after = tomllib.loads(text)
    for look in completions(scheme, {}):
        for man in scheme["positions"]:
            old, found = answer(meant, man, look), answer(after, man, look)
            assert (old and (old["option"], old["also"])) == (
                found and (found["option"], found["also"])
            )


def test_a_rule_of_one_man_is_changed_where_it_stands() -> None:
    """Bow's rule against power gets another fit: two lines of Harbor differ, id and tier stay."""
    after = set_fit(
        HARBOR, man="Bow", tier="base", when=POWER, fit="force D", cue="Turn it in, today"
    )
    assert _changes(HARBOR, after) == [
        '-fit = "spill D"',
        '-cue = "Inside half of the kick-out, make it bounce to Keel"',
        '+fit = "force D"',
        '+cue = "Turn it in, today"',
    ]


def test_what_is_said_already_changes_nothing() -> None:
    """Setting a cell to what it says gives the same text, letter for letter."""
    for row in grid_of(parse_scheme(HARBOR, "Harbor")).rows:
        for man, cell in row.cells.items():
            said = {"fit": cell.fit, "also": cell.also, "cue": cell.cue}
            same = set_fit(HARBOR, man=man, tier=row.tier, when=as_written(row.when), **said)
            assert same == HARBOR


def test_a_man_is_split_off_from_a_rule_he_shares() -> None:
    """Keel leaves the rule for passes and gets his own right after it, numbered like his others."""
    after = set_fit(HARBOR, man="Keel", tier="base", when=PASS, fit="last man")
    assert _changes(HARBOR, after) == [
        '-for = ["Bow", "Keel", "Port", "Capstan", "Anchor", "Mast", "Rudder", "Stern"]',
        '+for = ["Bow", "Port", "Capstan", "Anchor", "Mast", "Rudder", "Stern"]',
        "+",
        "+[[rules]]",
        '+id = "R34"',
        '+for = ["Keel"]',
        '+when = { concept = "pass" }',
        '+fit = "last man"',
    ]
    back = set_fit(after, man="Keel", tier="base", when=PASS, fit="no run fit")
    scheme = parse_scheme(back, "back")
    assert scheme.expect("Keel", {"concept": "pass"}).fit == "no run fit"


def test_a_new_cell_joins_men_who_owe_the_same() -> None:
    """A man cleared from a shared rule and set again is back in it; no rule is left over."""
    without = clear_fit(HARBOR, man="Keel", tier="base", when=PASS)
    again = set_fit(without, man="Keel", tier="base", when=PASS, fit="no run fit", cue=PASS_CUE)
    assert _changes(HARBOR, again) == [
        '-for = ["Bow", "Keel", "Port", "Capstan", "Anchor", "Mast", "Rudder", "Stern"]',
        '+for = ["Bow", "Port", "Capstan", "Anchor", "Mast", "Rudder", "Stern", "Keel"]',
    ]


def test_a_rule_without_men_goes() -> None:
    """Clearing Bow's own cell drops his rule, whole lines, and nothing else."""
    after = clear_fit(HARBOR, man="Bow", tier="base", when=POWER)
    gone = _changes(HARBOR, after)
    assert [line for line in gone if line.startswith("+")] == []
    assert '-id = "R07"' in gone
    assert len(gone) == 7
    with pytest.raises(SchemeError, match="Bow has nothing to clear on this row"):
        clear_fit(after, man="Bow", tier="base", when=POWER)


def test_rules_of_one_man_that_contradict_on_a_row_become_one() -> None:
    """He set the cell, so the row says that; the second rule is gone."""
    extra = '\n[[rules]]\nid = "X1"\nfor = ["Bow"]\nwhen = { run = "to", concept = ["power", '
    text = HARBOR + extra + '"counter"] }\nfit = "fold B"\n'
    after = set_fit(text, man="Bow", tier="base", when=POWER, fit="force D")
    scheme = parse_scheme(after, "after")
    look = {"strength": "left", "concept": "power", "run": "left"}
    assert scheme.expect("Bow", look).fit == "force D"
    assert "X1" not in {rule.id for rule in scheme.rules}


def test_a_rule_in_another_tier_says_its_tier() -> None:
    """A game-plan cell is written after his own rules with tier, condition, fit and also."""
    after = set_fit(
        HARBOR, man="Keel", tier="week", when={"back": "to"}, fit="fill A", also=["fill B"]
    )
    assert _changes(HARBOR, after) == [
        "+[[rules]]",
        '+id = "R34"',
        '+for = ["Keel"]',
        '+tier = "week"',
        '+when = { back = "to" }',
        '+fit = "fill A"',
        '+also = ["fill B"]',
        "+",
    ]
    back = move_row(after, tier="week", when={"back": "to"}, to_tier="base")
    assert "tier" not in tomllib.loads(back)["rules"][23]


def test_a_remark_above_a_rule_goes_where_the_rule_goes() -> None:
    """A moved rule takes its remark along; a line drawn across the page stays."""
    text = HARBOR.replace(
        '[[rules]]\nid = "R02"', '# the edge\n# without a tight end\n[[rules]]\nid = "R02"'
    )
    when = {"concept": "outside zone", "run": "to", "surface.run": 2}
    after = move_row(text, tier="base", when=when)
    assert '# the edge\n# without a tight end\n[[rules]]\nid = "R02"' in after
    assert after.index('id = "R02"') > after.index('id = "F01"')
    rulers = [line for line in HARBOR.splitlines() if line.startswith("# ---")]
    assert [line for line in after.splitlines() if line.startswith("# ---")] == rulers


def test_an_alignment_is_set_as_a_fit_is() -> None:
    """Keel's depth beside the wing changes in its own line; cleared, the alignment goes."""
    when = {"wing": "to"}
    said = {"landmark": "B", "side": "to", "tolerance_yd": 1, "eyes": "wing to back"}
    place = {"man": "Keel", "tier": "base", "when": when}
    after = set_alignment(HARBOR, **place, depth_yd=5, **said)
    assert _changes(HARBOR, after) == ["-depth_yd = 4.5", "+depth_yd = 5"]
    gone = drop_alignment(after, **place)
    assert "A05" not in {rule.id for rule in parse_scheme(gone, "gone").alignments}
    added = set_alignment(gone, **place, depth_yd=5, **said)
    assert parse_scheme(added, "added").alignments[-1].id not in {"", "A04"}


@pytest.mark.parametrize(
    ("edit", "sentence"),
    [
        ({"man": "Kel"}, 'the scheme has no position "Kel"; did you mean “Keel”?'),
        ({"tier": "bass"}, 'the scheme has no tier "bass"; did you mean “base”?'),
        ({"fit": "fil A"}, 'unknown fit "fil A"; did you mean "fill A"?'),
        ({"when": {"bak": "to"}}, 'unknown fact "bak"; did you mean "back"?'),
        ({"when": {"back": "left"}}, "write to or away: Keel has a side of his own"),
        ({"id": "R01"}, 'the id "R01" is taken by another rule or alignment'),
        ({"when": {"back": float("nan")}}, "float"),
        ({"cue": "half a letter \ud800"}, "half a letter"),
    ],
)
def test_an_edit_with_a_fault_is_refused_with_its_sentence(
    edit: dict[str, Any], sentence: str
) -> None:
    """An edit that would bring a fault into the file changes nothing and says why."""
    cell = {"man": "Keel", "tier": "base", "when": {"back": "to"}, "fit": "fill A"}
    with pytest.raises(SchemeError) as refused:
        set_fit(HARBOR, **{**cell, **edit})
    assert len(refused.value.faults) == 1
    assert sentence in refused.value.faults[0].message


def test_a_file_with_faults_can_be_edited_elsewhere() -> None:
    """A misspelt fit in one rule does not stop the coach from changing another."""
    faulty = HARBOR.replace('fit = "squeeze D"', 'fit = "sqeeze D"', 1)
    with pytest.raises(SchemeError):
        parse_scheme(faulty, "faulty")
    after = set_fit(faulty, man="Bow", tier="base", when=POWER, fit="force D")
    assert _changes(faulty, after)[:2] == [
        '-fit = "spill D"',
        '-cue = "Inside half of the kick-out, make it bounce to Keel"',
    ]
    with pytest.raises(SchemeError) as refused:
        set_fit(faulty, man="Bow", tier="base", when=POWER, fit="forse D")
    assert [fault.message for fault in refused.value.faults] == [
        'rule "R07": unknown fit "forse D"; did you mean "force D"?'
    ]


def test_a_text_that_is_no_toml_is_refused_with_its_line() -> None:
    """Where the file can't be read at all the sentence says where."""
    with pytest.raises(SchemeError) as refused:
        clear_fit(HARBOR + "\n[[rules\n", man="Bow", tier="base", when=POWER)
    (fault,) = refused.value.faults
    assert fault.line > 700
    assert "not TOML" in fault.message


def test_ids_follow_a_man_whose_rules_have_none_like_it() -> None:
    """A man without rules gets ids from his letter that nobody has."""
    text = HARBOR.replace("[positions.Keel]", '[positions.Jib]\nside = "left"\n\n[positions.Keel]')
    after = set_fit(text, man="Jib", tier="week", when={}, fit="fill A")
    again = set_fit(after, man="Jib", tier="base", when={}, fit="fill A")
    scheme = parse_scheme(again, "again")
    assert {rule.id for rule in scheme.rules if "Jib" in rule.men} == {"J1", "J2"}
