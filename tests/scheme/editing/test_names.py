"""Facts, men, fits, tiers and duties: a new name is followed everywhere, a drop is asked about."""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Any

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from gradecut.errors import SchemeError
from gradecut.scheme import editing, parse_scheme
from tests.scheme.invented_schemes import schemes, written
from tests.scheme.plain_reading import answer, completions

HARBOR = (Path(__file__).parents[3] / "gradecut/samples/week/harbor.toml").read_text("utf-8")


@settings(max_examples=60)
@given(st.data(), schemes())
def test_a_new_name_changes_no_answer(data: st.DataObject, scheme: dict[str, Any]) -> None:
    """Facts, fits, men and tiers renamed: the answers are the same but for the name."""
    looks = completions(scheme, {})
    assume(looks)
    names: dict[str, str] = {}
    text = written(scheme)
    for kind, section in (("fact", "facts"), ("fit", "fits"), ("man", "positions")):
        name = data.draw(st.sampled_from(sorted(scheme[section])))
        names[kind] = name
        text = getattr(editing, f"rename_{kind}")(text, name=name, new=f"new {kind}")
    tier = data.draw(st.sampled_from(scheme["scheme"]["tiers"]))
    after = tomllib.loads(editing.rename_tier(text, tier=tier, new="new tier"))

    def renamed(reference: str) -> str:
        head, dot, rest = reference.partition(".")
        if head == "side" and dot:
            return f"side.{'new man' if rest == names['man'] else rest}"
        return ("new fact" if head == names["fact"] else head) + dot + rest

    for look in looks:
        new_look = {renamed(reference): value for reference, value in look.items()}
        for man in scheme["positions"]:
            old = answer(scheme, man, look)
            new = answer(after, "new man" if man == names["man"] else man, new_look)
            if old is None or new is None:
                assert old is new
                continue
            fit = old["option"][0]
            assert new["option"] == ("new fit" if fit == names["fit"] else fit, old["option"][1])
            assert new["tier"] == ("new tier" if old["tier"] == tier else old["tier"])
            assert (new["rule"], new["overrode"]) == (old["rule"], old["overrode"])


@settings(max_examples=40)
@given(st.data(), schemes())
def test_a_new_lowest_tier_moves_no_rule(data: st.DataObject, scheme: dict[str, Any]) -> None:
    """Rules that name no tier stay where they were when another tier comes below them."""
    assume(completions(scheme, {}))
    place = data.draw(st.integers(0, 2))
    after = tomllib.loads(editing.add_tier(written(scheme), tier="new", place=place))
    for look in completions(scheme, {}):
        for man in scheme["positions"]:
            assert answer(after, man, look) == answer(scheme, man, look)


def test_a_value_is_renamed_in_its_own_conditions_alone() -> None:
    """The back's "none" gets another name; the wing's "none" keeps its own."""
    text = editing.rename_value(HARBOR, fact="back", value="none", new="empty")
    scheme = parse_scheme(text, "renamed")
    assert scheme.facts["back"].values[-1] == "empty"
    assert "none" in scheme.facts["wing"].values
    assert scheme.look_faults({"concept": "lead", "back": "empty"})
    assert len(HARBOR.splitlines()) == len(text.splitlines())


@pytest.mark.parametrize(
    ("edit", "said", "sentence"),
    [
        ("drop_fit", {"name": "fill A"}, "still asked for by rule R14 and rule R22"),
        ("drop_fact", {"name": "wing"}, "still asked about by alignment A04 and alignment A05"),
        ("drop_fact", {"name": "run"}, "the side of fit fill B and fit fold A follows"),
        ("drop_fact", {"name": "run", "with_uses": True}, "give it another first"),
        ("drop_man", {"name": "Keel"}, "and 9 more"),
        ("drop_tier", {"tier": "base"}, "still holds rule R01"),
        ("rename_fit", {"name": "fill A", "new": "fill B"}, "already; choose another name"),
        ("rename_fact", {"name": "run", "new": "back"}, "already; choose another name"),
        ("rename_fact", {"name": "run", "new": "to"}, "can't be called"),
        ("rename_man", {"name": "Kel", "new": "Jib"}, "did you mean “Keel”?"),
        ("rename_value", {"fact": "back", "value": "left", "new": "x"}, "can't get another name"),
        ("add_fit", {"name": "fill A", "job": "fill"}, "already; choose another name"),
        ("add_man", {"name": " ", "side": "left"}, "needs a name"),
        ("add_tier", {"tier": "week"}, "already; choose another name"),
        ("change_fact", {"name": "back", "values": ["left"]}, "at least two values"),
        ("change_man", {"name": "Bow", "side": "middle"}, "side is left, right, none"),
        ("add_impossible", {"when": {}}, "no look is left"),
        ("drop_impossible", {"place": 5}, "no entry 6 of what cannot be"),
        ("add_duty", {"name": "x"}, "a duty needs gaps or owned"),
        ("change_duty", {"duty": "x", "at_least": 2}, 'no duty "x"'),
    ],
)
def test_what_can_not_be_done_is_said(edit: str, said: dict[str, Any], sentence: str) -> None:
    """A name that is taken or still used, or a fault the file would have: one sentence first."""
    with pytest.raises(SchemeError) as refused:
        getattr(editing, edit)(HARBOR, **said)
    assert sentence in refused.value.faults[0].message


def test_a_dropped_fit_takes_its_rules_when_told_to() -> None:
    """Rules that ask for it go, `also` of others loses it, and every other rule stays."""
    text = editing.change_fit(HARBOR, name="fill B", owns=["cutback"], steps=3)
    before = parse_scheme(text, "before")
    after = parse_scheme(editing.drop_fit(text, name="fill A", with_uses=True), "after")
    assert "fill A" not in after.fits
    gone = {rule.id for rule in before.rules} - {rule.id for rule in after.rules}
    assert gone == {"R14", "R22"}


def test_a_dropped_fact_takes_what_was_said_of_it_alone() -> None:
    """Rules that asked something else too lose that part; what cannot be is not widened."""
    after = parse_scheme(editing.drop_fact(HARBOR, name="back", with_uses=True), "after")
    assert after.impossible == ()
    assert not after.look_faults({"concept": "lead"})
    less = parse_scheme(editing.drop_fact(HARBOR, name="surface", with_uses=True), "less")
    assert "R02" in {rule.id for rule in less.rules}
    assert "A01" not in {rule.id for rule in less.alignments}
    assert "surface" not in less.facts


def test_the_version_is_written_where_it_stands() -> None:
    """One line differs; a file without a head gets one."""
    after = editing.set_version(HARBOR, version="2")
    assert after == HARBOR.replace('version = "1"', 'version = "2"')
    bare = "# ours\n\n[facts.m]\nvalues = [true, false]\n"
    assert editing.set_version(bare, version="1", name="Ours").startswith("# ours\n\n[scheme]\n")


def test_everything_a_scheme_has_can_be_written_from_nothing() -> None:
    """Facts, a man, a fit, a tier, a rule, an alignment, a duty: an empty file becomes a scheme."""
    text = editing.set_version("", version="1", name="Ours")
    text = editing.add_fact(text, name="run", values=["left", "right"], sided=True, known="after")
    text = editing.add_fact(text, name="wing", values=["left", "right", "none"], sided=True)
    text = editing.add_man(text, name="Jib", side="left")
    text = editing.add_fit(text, name="force C", job="force", gap="C", owns=["force"])
    text = editing.add_tier(text, tier="week")
    row: dict[str, Any] = {"man": "Jib", "tier": "base", "when": {}}
    text = editing.set_fit(text, **row, fit="force C", cue="Turn it in")
    text = editing.set_alignment(text, **row, depth_yd=4, landmark="C", side="to")
    text = editing.add_impossible(text, when={"wing": "none", "run": "left"})
    text = editing.add_duty(text, name="force", owned="force", each_side=False)
    text = editing.change_duty(text, duty="force", at_most=1, each_side=None)
    scheme = parse_scheme(text, "ours")
    assert (scheme.name, scheme.version, scheme.tiers) == ("Ours", "1", ("base", "week"))
    found = scheme.expect("Jib", {"run": "right"})
    assert (found.fit, found.side, found.cue) == ("force C", "left", "Turn it in")
    assert scheme.duties[0].at_most == 1
    text = editing.drop_duty(text, duty="force")
    text = editing.drop_impossible(text, place=0)
    text = editing.drop_man(text, name="Jib", with_uses=True)
    scheme = parse_scheme(text, "ours")
    assert (scheme.rules, scheme.alignments, scheme.duties) == ((), (), ())
