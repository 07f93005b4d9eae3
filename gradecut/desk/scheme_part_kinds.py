"""Fits, facts, men, tiers, duties, what cannot be and alignments, as forms show and write them."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from gradecut.desk.rule_words import rule_when
from gradecut.desk.scheme_part_lines import Saying, list_line, side_line, value_line
from gradecut.desk.scheme_parts import PartEntry, PartField, PartKind
from gradecut.scheme import AlignmentRule, Fact, Fit, Scheme
from gradecut.scheme.parts import Condition

__all__ = ["PART_KINDS"]

_FOLLOWING = "“same as run”, “opposite of strength”, with “, otherwise left” behind it."
_LOOKS = "As a row's looks: concept power | counter; run to. Empty: always."


def _line(when: Condition | None) -> str:
    from gradecut.scheme.editing import spell_condition, written

    told = "" if when is None else spell_condition(written(when))
    return "" if told == "always" else told


def _yes(told: bool) -> str:
    return "yes" if told else ""


def _sides(scheme: Scheme) -> tuple[str, ...]:
    """Propose the sides that follow a fact known before the snap."""
    facts = [fact.name for fact in scheme.facts.values() if fact.sided and fact.known == "before"]
    return tuple(f"{way} {fact}" for fact in facts for way in ("same as", "opposite of"))


# ---------------------------------------------------------------- fits


def _fit_fields(scheme: Scheme) -> list[PartField]:
    return [
        PartField(key="name", name="name", hint="As you call it: fill A."),
        PartField(key="job", name="job", hint="fill, force, spill, overlap, cutback …"),
        PartField(key="gap", name="gap", hint="A to E; none where it is no gap."),
        PartField(
            key="side", name="side", choices=("to", "away", *_sides(scheme)),
            hint=f"Empty: his side. Else “away”, {_FOLLOWING}",
        ),
        PartField(key="landmark", name="landmark", hint="inside half of the kick-out …"),
        PartField(key="steps", name="steps", hint="How many the job takes; may stay empty."),
        PartField(key="owns", name="owns", hint="Other duties, by commas: cutback, quarterback."),
        PartField(
            key="misses", name="misses", kind="lines",
            hint="One a line, how it goes wrong; “= half” behind it for half credit.",
        ),
        PartField(
            key="graded", name="graded", kind="yes", start="yes",
            hint="Off: no run job, nothing to grade.",
        ),
    ]  # fmt: skip


def _fit_entry(fit: Fit) -> PartEntry:
    misses = [f"{name} = half" if credit == "half" else name for name, credit in fit.misses]
    return PartEntry(
        key=fit.name,
        name=fit.name,
        told={
            "name": fit.name,
            "job": fit.job,
            "gap": fit.gap or "",
            "side": side_line(fit.side),
            "landmark": fit.landmark or "",
            "steps": "" if fit.steps is None else str(fit.steps),
            "owns": list_line(fit.owns),
            "misses": "\n".join(misses),
            "graded": _yes(fit.graded),
        },
    )


def _fit_said(said: Saying) -> dict[str, Any]:
    misses: list[dict[str, str]] = []
    for name, credit in said.pairs("misses"):
        misses.append({"name": name, "credit": credit} if credit else {"name": name})
    return {
        "job": said.needed("job", "job"),
        "gap": said.words("gap"),
        "side": said.side("side"),
        "landmark": said.words("landmark"),
        "steps": said.whole("steps", "steps"),
        "owns": said.several("owns") or None,
        "misses": misses or None,
        "graded": None if said.yes("graded") else False,
    }


def _add_fit(text: str, _: Scheme, said: Saying) -> str:
    from gradecut.scheme.editing import add_fit

    return add_fit(text, name=said.needed("name", "name"), **_fit_said(said))


def _change_fit(text: str, scheme: Scheme, entry: PartEntry, said: Saying) -> str:
    from gradecut.scheme.editing import change_fit, rename_fit

    new = said.needed("name", "name")
    if new != entry.key:
        text = rename_fit(text, name=entry.key, new=new)
    before = _fit_said(Saying(_fit_entry(scheme.fits[entry.key]).told))
    return change_fit(text, name=new, **_differing(before, _fit_said(said)))


def _drop_fit(text: str, _: Scheme, entry: PartEntry) -> str:
    from gradecut.scheme.editing import drop_fit

    return drop_fit(text, name=entry.key)


# ---------------------------------------------------------------- facts


def _fact_fields(_: Scheme) -> list[PartField]:
    return [
        PartField(key="name", name="name", hint="A word for it: back, concept, puller."),
        PartField(key="asks", name="asks", hint="The question: Where is the back?"),
        PartField(
            key="values", name="answers",
            hint="By commas: left, right, behind, none; or numbers; or yes, no.",
        ),
        PartField(
            key="sided", name="points to a side", kind="yes",
            hint="left and right among the answers are sides of the offence.",
        ),
        PartField(
            key="per_side", name="once a side", kind="yes",
            hint="Told for the left and for the right, such as blockers attached.",
        ),
        PartField(
            key="known", name="known", kind="choice", choices=("before", "after"), start="before",
            hint="Before or after the snap.",
        ),
        PartField(
            key="applies", name="only where", kind="looks",
            hint="Looks on which it can be asked at all, in left and right; empty: on all.",
        ),
        PartField(
            key="had", name="had", kind="lines",
            hint="For players, an answer a line: pulls = had the guard pulled.",
        ),
    ]  # fmt: skip


def _fact_entry(fact: Fact) -> PartEntry:
    return PartEntry(
        key=fact.name,
        name=fact.name,
        told={
            "name": fact.name,
            "asks": fact.asks,
            "values": value_line(fact.values),
            "sided": _yes(fact.sided),
            "per_side": _yes(fact.per_side),
            "known": fact.known,
            "applies": _line(fact.applies),
            "had": "\n".join(f"{_as_typed(value)} = {told}" for value, told in fact.had),
        },
    )


def _fact_said(scheme: Scheme, said: Saying) -> dict[str, Any]:
    had = {_as_file(value): told for value, told in said.pairs("had")}
    return {
        "asks": said.words("asks"),
        "values": said.values("values"),
        "sided": said.yes("sided") or None,
        "per_side": said.yes("per_side") or None,
        "known": said.words("known"),
        "applies": said.looks("applies", scheme, sided=False) if said.words("applies") else None,
        "had": had or None,
    }


def _as_file(value: str) -> str:
    return {"yes": "true", "no": "false"}.get(value, value)


def _as_typed(value: str) -> str:
    return {"true": "yes", "false": "no"}.get(value, value)


def _add_fact(text: str, scheme: Scheme, said: Saying) -> str:
    from gradecut.scheme.editing import add_fact

    return add_fact(text, name=said.needed("name", "name"), **_fact_said(scheme, said))


def _change_fact(text: str, scheme: Scheme, entry: PartEntry, said: Saying) -> str:
    from gradecut.scheme.editing import change_fact, rename_fact, rename_value

    new = said.needed("name", "name")
    before = _fact_said(scheme, Saying(entry.told))
    after = _fact_said(scheme, said)
    old_values, values = before["values"], after["values"]
    swapped = [(a, b) for a, b in zip(old_values, values, strict=False) if a != b]
    if len(old_values) == len(values) and len(swapped) == 1 and swapped[0][1] not in old_values:
        old, other = swapped[0]
        if isinstance(old, str) and isinstance(other, str):
            text = rename_value(text, fact=entry.key, value=old, new=other)
            before["values"] = values
            if before["had"] and before["had"] == after["had"]:
                before["had"] = after["had"] = None
    if new != entry.key:
        text = rename_fact(text, name=entry.key, new=new)
    return change_fact(text, name=new, **_differing(before, after))


def _drop_fact(text: str, _: Scheme, entry: PartEntry) -> str:
    from gradecut.scheme.editing import drop_fact

    return drop_fact(text, name=entry.key)


# ---------------------------------------------------------------- men


def _man_fields(scheme: Scheme) -> list[PartField]:
    groups = tuple(group for group in scheme.groups if group)
    return [
        PartField(key="name", name="name", hint="As you call his place: Keel."),
        PartField(key="group", name="group", choices=groups, hint="linebackers, front, secondary"),
        PartField(
            key="side", name="side", start="none",
            choices=("left", "right", "none", "as aligned", *_sides(scheme)),
            hint=f"“none”, “as aligned” where he lines up on either, or {_FOLLOWING}",
        ),
        PartField(
            key="graded", name="graded", kind="yes", start="yes",
            hint="Off: his fits are known so that the whole front is drawn and checked.",
        ),
    ]  # fmt: skip


def _men(scheme: Scheme) -> list[PartEntry]:
    return [
        PartEntry(
            key=man.name,
            name=f"{man.name}, {man.group}" if man.group else man.name,
            told={
                "name": man.name,
                "group": man.group or "",
                "side": side_line(man.side),
                "graded": _yes(man.graded),
            },
        )
        for man in scheme.positions.values()
    ]


def _man_said(said: Saying) -> dict[str, Any]:
    said.needed("side", "side")
    return {
        "group": said.words("group"),
        "side": said.side("side"),
        "graded": None if said.yes("graded") else False,
    }


def _add_man(text: str, _: Scheme, said: Saying) -> str:
    from gradecut.scheme.editing import add_man

    return add_man(text, name=said.needed("name", "name"), **_man_said(said))


def _change_man(text: str, _: Scheme, entry: PartEntry, said: Saying) -> str:
    from gradecut.scheme.editing import change_man, rename_man

    new = said.needed("name", "name")
    if new != entry.key:
        text = rename_man(text, name=entry.key, new=new)
    return change_man(text, name=new, **_differing(_man_said(Saying(entry.told)), _man_said(said)))


def _drop_man(text: str, _: Scheme, entry: PartEntry) -> str:
    from gradecut.scheme.editing import drop_man

    return drop_man(text, name=entry.key)


# ---------------------------------------------------------------- tiers


def _tier_fields(_: Scheme) -> list[PartField]:
    return [
        PartField(key="name", name="name", hint="base, flow, pull, week …"),
        PartField(key="place", name="place", hint="1 for the lowest; a later one overrides."),
    ]


def _tiers(scheme: Scheme) -> list[PartEntry]:
    return [
        PartEntry(key=tier, name=f"{place}  {tier}", told={"name": tier, "place": str(place)})
        for place, tier in enumerate(scheme.tiers, start=1)
    ]


def _add_tier(text: str, _: Scheme, said: Saying) -> str:
    from gradecut.scheme.editing import add_tier

    place = said.whole("place", "place")
    tier = said.needed("name", "name")
    return add_tier(text, tier=tier, place=None if place is None else max(place - 1, 0))


def _change_tier(text: str, scheme: Scheme, entry: PartEntry, said: Saying) -> str:
    from gradecut.scheme.editing import move_tier, rename_tier

    new, place = said.needed("name", "name"), said.whole("place", "place")
    if new != entry.key:
        text = rename_tier(text, tier=entry.key, new=new)
    if place is not None and place - 1 != scheme.tiers.index(entry.key):
        text = move_tier(text, tier=new, place=min(max(place - 1, 0), len(scheme.tiers) - 1))
    return text


def _drop_tier(text: str, _: Scheme, entry: PartEntry) -> str:
    from gradecut.scheme.editing import drop_tier

    return drop_tier(text, tier=entry.key)


# ---------------------------------------------------------------- duties and what cannot be

_EACH_SIDE = PartField(
    key="each_side", name="on each side", kind="yes",
    hint="Read once from the left and once from the right, in to and away.",
)  # fmt: skip


def _duty_fields(_: Scheme) -> list[PartField]:
    return [
        PartField(key="name", name="name", hint="every gap has an owner"),
        PartField(key="when", name="on looks", kind="looks", hint=_LOOKS),
        _EACH_SIDE,
        PartField(key="gaps", name="gaps", hint="By commas: A, B, C; each owned on that side."),
        PartField(key="owned", name="or owned", hint="A word of what fits own: quarterback."),
        PartField(key="at_least", name="by at least", hint="How many men; empty: 1."),
        PartField(key="at_most", name="by at most", hint="Empty: any number."),
    ]


def _duties(scheme: Scheme) -> list[PartEntry]:
    return [
        PartEntry(
            key=duty.name,
            name=duty.name,
            told={
                "name": duty.name,
                "when": _line(duty.when),
                "each_side": _yes(duty.each_side),
                "gaps": list_line(duty.gaps),
                "owned": duty.owned or "",
                "at_least": str(duty.at_least) if duty.owned and duty.at_least != 1 else "",
                "at_most": "" if duty.at_most is None else str(duty.at_most),
            },
        )
        for duty in scheme.duties
    ]


def _duty_said(scheme: Scheme, said: Saying) -> dict[str, Any]:
    each = said.yes("each_side")
    return {
        "name": said.needed("name", "name"),
        "when": said.looks("when", scheme, sided=each) or None,
        "each_side": each or None,
        "gaps": said.several("gaps") or None,
        "owned": said.words("owned"),
        "at_least": said.whole("at_least", "at least"),
        "at_most": said.whole("at_most", "at most"),
    }


def _add_duty(text: str, scheme: Scheme, said: Saying) -> str:
    from gradecut.scheme.editing import add_duty

    return add_duty(text, **_duty_said(scheme, said))


def _change_duty(text: str, scheme: Scheme, entry: PartEntry, said: Saying) -> str:
    from gradecut.scheme.editing import change_duty

    before = _duty_said(scheme, Saying(entry.told))
    return change_duty(text, duty=entry.key, **_differing(before, _duty_said(scheme, said)))


def _drop_duty(text: str, _: Scheme, entry: PartEntry) -> str:
    from gradecut.scheme.editing import drop_duty

    return drop_duty(text, duty=entry.key)


def _impossible_fields(_: Scheme) -> list[PartField]:
    return [PartField(key="when", name="looks", kind="looks", hint=_LOOKS), _EACH_SIDE]


def _impossible(scheme: Scheme) -> list[PartEntry]:
    return [
        PartEntry(
            key=str(place),
            name=rule_when(one.when),
            told={"when": _line(one.when), "each_side": _yes(one.each_side)},
        )
        for place, one in enumerate(scheme.impossible)
    ]


def _add_impossible(text: str, scheme: Scheme, said: Saying) -> str:
    from gradecut.scheme.editing import add_impossible

    said.needed("when", "looks")
    each = said.yes("each_side")
    return add_impossible(text, when=said.looks("when", scheme, sided=each), each_side=each)


def _change_impossible(text: str, scheme: Scheme, entry: PartEntry, said: Saying) -> str:
    from gradecut.scheme.editing import drop_impossible

    return drop_impossible(_add_impossible(text, scheme, said), place=int(entry.key))


def _drop_impossible(text: str, _: Scheme, entry: PartEntry) -> str:
    from gradecut.scheme.editing import drop_impossible

    return drop_impossible(text, place=int(entry.key))


# ---------------------------------------------------------------- alignments


def _alignment_fields(scheme: Scheme) -> list[PartField]:
    return [
        PartField(key="for", name="men", hint=f"By commas: {list_line(tuple(scheme.positions))}."),
        PartField(key="tier", name="tier", kind="choice", choices=scheme.tiers,
                  start=scheme.tiers[0]),
        PartField(key="when", name="on looks", kind="looks",
                  hint="Only facts known before the snap. Empty: always."),
        PartField(key="depth_yd", name="depth, yards", hint="From the line of scrimmage: 4.5."),
        PartField(key="landmark", name="landmark", hint="A gap, or words: outside the tackle."),
        PartField(key="side", name="side", choices=("to", "away", *_sides(scheme)),
                  hint="Empty: none is said."),
        PartField(key="tolerance_yd", name="give or take", hint="Yards that still are right."),
        PartField(key="eyes", name="eyes", hint="near guard to back"),
    ]  # fmt: skip


def _alignment_entry(one: AlignmentRule) -> PartEntry:
    return PartEntry(
        key=one.id,
        name=f"{one.id}  {list_line(one.men)}: {rule_when(one.when)}",
        told={
            "for": list_line(one.men),
            "tier": one.tier,
            "when": _line(one.when),
            "depth_yd": f"{one.depth_yd:g}",
            "landmark": one.landmark,
            "side": side_line(one.side),
            "tolerance_yd": "" if one.tolerance_yd is None else f"{one.tolerance_yd:g}",
            "eyes": one.eyes or "",
        },
    )


def _add_alignment(text: str, scheme: Scheme, said: Saying) -> str:
    from gradecut.scheme.editing import set_alignment

    said.needed("for", "men")
    men = said.several("for")
    known = [scheme.positions[man].sided for man in men if man in scheme.positions]
    sided = known[0] if len(set(known)) == 1 else None
    said.needed("depth_yd", "depth")
    for man in men:
        text = set_alignment(
            text, man=man, tier=said.needed("tier", "tier"),
            when=said.looks("when", scheme, sided=sided),
            depth_yd=said.number("depth_yd", "depth") or 0,
            landmark=said.needed("landmark", "landmark"), side=said.side("side"),
            tolerance_yd=said.number("tolerance_yd", "give or take"), eyes=said.words("eyes"),
        )  # fmt: skip
    return text


def _change_alignment(text: str, scheme: Scheme, entry: PartEntry, said: Saying) -> str:
    old = next(one for one in scheme.alignments if one.id == entry.key)
    stays = said.words("tier") == old.tier and said.words("when") == (_line(old.when) or None)
    dropped = [man for man in old.men if not stays or man not in said.several("for")]
    made = _without_alignment(text, old, dropped) if stays else text
    if stays:
        return _add_alignment(made, scheme, said)
    return _without_alignment(_add_alignment(text, scheme, said), old, dropped)


def _drop_alignment(text: str, scheme: Scheme, entry: PartEntry) -> str:
    old = next(one for one in scheme.alignments if one.id == entry.key)
    return _without_alignment(text, old, list(old.men))


def _without_alignment(text: str, old: AlignmentRule, men: list[str]) -> str:
    from gradecut.scheme.editing import drop_alignment, written

    for man in men:
        text = drop_alignment(text, man=man, tier=old.tier, when=written(old.when))
    return text


def _differing(before: Mapping[str, Any], after: Mapping[str, Any]) -> dict[str, Any]:
    """Return what is said otherwise than before, so that all else is left as it is written."""
    return {key: value for key, value in after.items() if repr(before[key]) != repr(value)}


PART_KINDS: Mapping[str, PartKind] = {
    "fits": PartKind(
        title="The fits", one="fit", about="The jobs you give, each at a gap or a landmark.",
        fields=_fit_fields,
        entries=lambda scheme: [_fit_entry(one) for one in scheme.fits.values()],
        add=_add_fit, change=_change_fit, drop=_drop_fit,
    ),
    "facts": PartKind(
        title="The facts", one="fact", about="What can be told of a look, each as one question.",
        fields=_fact_fields,
        entries=lambda scheme: [_fact_entry(one) for one in scheme.facts.values()],
        add=_add_fact, change=_change_fact, drop=_drop_fact,
    ),
    "men": PartKind(
        title="The men", one="man", about="The places of your front; each is a column.",
        fields=_man_fields, entries=_men, add=_add_man, change=_change_man, drop=_drop_man,
    ),
    "tiers": PartKind(
        title="The tiers", one="tier", about="A later tier overrides those before it.",
        fields=_tier_fields, entries=_tiers, add=_add_tier, change=_change_tier, drop=_drop_tier,
    ),
    "duties": PartKind(
        title="The duties", one="duty", about="What somebody has to take care of, on every look.",
        fields=_duty_fields, entries=_duties, add=_add_duty, change=_change_duty, drop=_drop_duty,
    ),
    "impossible": PartKind(
        title="What can't be", one="entry", about="Looks no offence can show; none is asked there.",
        fields=_impossible_fields, entries=_impossible, add=_add_impossible,
        change=_change_impossible, drop=_drop_impossible,
    ),
    "alignments": PartKind(
        title="Where they line up", one="alignment",
        about="Depth and landmark before the snap, with how far off still is right.",
        fields=_alignment_fields,
        entries=lambda scheme: [_alignment_entry(one) for one in scheme.alignments],
        add=_add_alignment, change=_change_alignment, drop=_drop_alignment,
    ),
}  # fmt: skip
"""Every kind of part, by its section of the file."""
