"""An edit does the same whatever the layout of the file, and touches nothing else."""

from __future__ import annotations

import difflib
import random
import tomllib
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from gradecut.errors import SchemeError
from gradecut.scheme import editing
from tests.scheme.editing.layouts import laid_out, remarks
from tests.scheme.invented_schemes import schemes, written

Edit = tuple[str, dict[str, Any]]


def _row(scheme: dict[str, Any], rule: dict[str, Any]) -> dict[str, Any]:
    lowest = scheme["scheme"]["tiers"][0]
    return {"tier": rule.get("tier", lowest), "when": rule.get("when", {})}


@st.composite
def edits(draw: st.DrawFn, scheme: dict[str, Any]) -> Edit:
    """Draw one edit of a scheme, not always one that can be made."""
    rule = draw(st.sampled_from(scheme["rules"]))
    other = draw(st.sampled_from(scheme["rules"]))
    row = _row(scheme, rule)
    man = draw(st.sampled_from(rule["for"]))
    fit = draw(st.sampled_from(sorted(scheme["fits"])))
    fact = draw(st.sampled_from(sorted(scheme["facts"])))
    tier = draw(st.sampled_from(scheme["scheme"]["tiers"]))
    also = draw(st.sampled_from([(), (fit,), tuple(sorted(scheme["fits"])[:2])]))
    ways: list[Edit] = [
        ("set_fit", {**row, "man": man, "fit": fit, "also": also, "cue": "Go # now"}),
        ("set_fit", {**row, "man": "Port", "fit": fit}),
        ("clear_fit", {**row, "man": man}),
        ("change_when", {**row, "new_when": other.get("when", {})}),
        ("change_when", {**row, "new_when": {}, "men": [man]}),
        ("move_row", {**row, "to_tier": tier}),
        ("move_row", {**row, "before": other.get("when", {})}),
        ("rename_fit", {"name": fit, "new": 'a "new" fit'}),
        ("rename_fact", {"name": fact, "new": "new fact"}),
        ("rename_man", {"name": man, "new": "Jib"}),
        ("rename_tier", {"tier": tier, "new": "later"}),
        ("add_tier", {"tier": "first", "place": 0}),
        ("drop_fit", {"name": fit, "with_uses": True}),
        ("drop_fact", {"name": fact, "with_uses": True}),
        ("drop_man", {"name": man, "with_uses": True}),
        ("drop_tier", {"tier": tier, "with_uses": True}),
        ("add_fit", {"name": "new", "job": "crash", "gap": "B", "misses": [("late", "half")]}),
        ("add_fact", {"name": "new", "values": [True, False], "asks": "Is it?"}),
        ("add_man", {"name": "new", "side": "left"}),
        ("add_impossible", {"when": other.get("when", {}), "each_side": True}),
        ("drop_impossible", {"place": 0}),
        ("add_duty", {"name": "new", "owned": "force", "at_least": 1}),
        ("change_fit", {"name": fit, "gap": None, "side": None, "owns": ["force"]}),
        ("change_fact", {"name": fact, "asks": "What?", "known": None}),
        ("set_version", {"version": "7", "name": "Ours"}),
    ]
    return draw(st.sampled_from(ways))


def said(text: str) -> dict[str, Any]:
    """Give what a file says; a section with nothing in it says nothing."""
    return {section: body for section, body in tomllib.loads(text).items() if body}


def _done(text: str, edit: Edit) -> tuple[str | None, Any]:
    """Give the new text, or None with how many faults it would have."""
    try:
        return getattr(editing, edit[0])(text, **edit[1]), 0
    except SchemeError as refused:
        return None, len(refused.faults)


@settings(max_examples=120)
@given(st.data(), schemes(), st.integers(0, 2**32))
def test_every_layout_of_a_file_can_be_edited(
    data: st.DataObject, scheme: dict[str, Any], seed: int
) -> None:
    """The data after an edit are those after the same edit of the plainest layout."""
    edit = data.draw(edits(scheme))
    plain, odd = written(scheme), laid_out(scheme, random.Random(seed))
    assert tomllib.loads(odd) == tomllib.loads(plain)
    expected, faults = _done(plain, edit)
    found, found_faults = _done(odd, edit)
    assert (found is None, found_faults) == (expected is None, faults)
    if expected is None or found is None:
        return
    assert said(found) == said(expected)
    if "\r\n" in odd:
        assert found.count("\n") == found.count("\r\n")


@settings(max_examples=60)
@given(st.data(), schemes(), st.integers(0, 2**32))
def test_an_edit_that_drops_nothing_keeps_every_remark(
    data: st.DataObject, scheme: dict[str, Any], seed: int
) -> None:
    """Comments survive, in their order, and lines that are not meant stay letter for letter."""
    kinds = {"set_version", "rename_fact", "rename_fit", "rename_man", "add_fit", "add_impossible"}
    edit = data.draw(edits(scheme).filter(lambda edit: edit[0] in kinds))
    text = laid_out(scheme, random.Random(seed))
    found, _ = _done(text, edit)
    if found is None:
        return
    assert remarks(found) == remarks(text)
    if edit[0].startswith("add"):
        gone = [
            line
            for line in difflib.ndiff(text.splitlines(), found.splitlines())
            if line.startswith("- ")
        ]
        assert len(gone) <= 1  # an inline list that has to hold one more


@pytest.mark.parametrize(
    ("text", "edited"),
    [
        ('for = [ "Keel" , "Port" ] # both', 'for = [ "Keel" ] # both'),
        ('for = [\n  "Keel",  # him\n  "Port",  # and him\n]', 'for = [\n  "Keel",  # him\n]'),
        ('for = [\n  "Port",  # him\n  "Keel"   # and him\n]', 'for = [\n  "Keel"   # and him\n]'),
        ("for = [\n  'Keel',\n  'Port'  # last\n]", "for = [\n  'Keel'  # last\n]"),
    ],
)
def test_a_man_leaves_a_list_and_the_rest_of_it_stays(text: str, edited: str) -> None:
    """Each way to lay out a list of men gives up one man and nothing else."""
    head = (
        '[facts.m]\nvalues = [true, false]\n[positions.Keel]\nside = "left"\n'
        '[positions.Port]\nside = "left"\n[fits.sink]\njob = "sink"\n[[rules]]\nid = "1"\n'
    )
    tail = '\nfit = "sink" # deep\n'
    done = editing.clear_fit(head + text + tail, man="Port", tier="base", when={})
    assert done == head + edited + tail
