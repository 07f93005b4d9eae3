"""Tiers, duties, what cannot be and alignments, as forms show and write them."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from gradecut.desk.scheme_part_lines import (
    Saying,
    condition_line,
    differing,
    list_line,
    side_choices,
    side_line,
    yes_line,
)
from gradecut.desk.scheme_parts import PartEntry, PartField, PartKind
from gradecut.scheme import AlignmentRule, Scheme
from gradecut.workflows.rule_words import rule_when

__all__ = ["MUST_KINDS"]

_LOOKS = "As a row's looks: concept power or counter; run left. Empty: always."
_LOOKS_EACH_SIDE = "As a row's looks: concept power or counter; run to him. Empty: always."
_SIDED = {
    False: "it isn't read on each side (turn on “on each side” to say to and away)",
    True: "it is read on each side (turn off “on each side” to say left and right)",
}


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


def _looks_field(name: str) -> PartField:
    return PartField(
        key="when", name=name, kind="looks", hint=_LOOKS, hint_each_side=_LOOKS_EACH_SIDE
    )


def _duty_fields(scheme: Scheme) -> list[PartField]:
    owned = tuple(sorted({word for fit in scheme.fits.values() for word in fit.owns}))
    return [
        PartField(key="name", name="name", hint="For example: every gap has an owner."),
        _looks_field("on looks"),
        _EACH_SIDE,
        PartField(key="gaps", name="gaps", hint="By commas: A, B, C; each owned on that side."),
        PartField(
            key="owned", name="or owned", choices=owned,
            hint=f"What fits own: {list_line(owned)}." if owned else "A word of what fits own.",
        ),
        PartField(key="at_least", name="owned by at least … men", hint="Empty: 1."),
        PartField(key="at_most", name="owned by at most … men", hint="Empty: any number."),
    ]  # fmt: skip


def _duties(scheme: Scheme) -> list[PartEntry]:
    return [
        PartEntry(
            key=duty.name,
            name=duty.name,
            told={
                "name": duty.name,
                "when": condition_line(duty.when),
                "each_side": yes_line(duty.each_side),
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
        "when": said.looks("when", scheme, sided=each, because=_SIDED[each]) or None,
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
    return change_duty(text, duty=entry.key, **differing(before, _duty_said(scheme, said)))


def _drop_duty(text: str, _: Scheme, entry: PartEntry) -> str:
    from gradecut.scheme.editing import drop_duty

    return drop_duty(text, duty=entry.key)


def _impossible_fields(_: Scheme) -> list[PartField]:
    return [_looks_field("looks"), _EACH_SIDE]


def _impossible(scheme: Scheme) -> list[PartEntry]:
    return [
        PartEntry(
            key=str(place),
            name=rule_when(one.when),
            told={"when": condition_line(one.when), "each_side": yes_line(one.each_side)},
        )
        for place, one in enumerate(scheme.impossible)
    ]


def _add_impossible(text: str, scheme: Scheme, said: Saying) -> str:
    from gradecut.scheme.editing import add_impossible

    said.needed("when", "looks")
    each = said.yes("each_side")
    return add_impossible(
        text, when=said.looks("when", scheme, sided=each, because=_SIDED[each]), each_side=each
    )


def _change_impossible(text: str, scheme: Scheme, entry: PartEntry, said: Saying) -> str:
    from gradecut.scheme.editing import condition_key, drop_impossible, written

    old, each = scheme.impossible[int(entry.key)], said.yes("each_side")
    when = said.looks("when", scheme, sided=each, because=_SIDED[each])
    if each == old.each_side and condition_key(when) == condition_key(written(old.when)):
        return text
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
        PartField(key="side", name="side", choices=("to", "away", *side_choices(scheme)),
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
            "when": condition_line(one.when),
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
    if not _same_row(scheme, old, said):
        return _without_alignment(_add_alignment(text, scheme, said), old, list(old.men))
    dropped = [man for man in old.men if man not in said.several("for")]
    return _add_alignment(_without_alignment(text, old, dropped), scheme, said)


def _same_row(scheme: Scheme, old: AlignmentRule, said: Saying) -> bool:
    from gradecut.scheme.editing import condition_key, written

    sided = scheme.positions[old.men[0]].sided
    when = said.looks("when", scheme, sided=sided)
    same = condition_key(when) == condition_key(written(old.when))
    return same and said.words("tier") == old.tier


def _drop_alignment(text: str, scheme: Scheme, entry: PartEntry) -> str:
    old = next(one for one in scheme.alignments if one.id == entry.key)
    return _without_alignment(text, old, list(old.men))


def _without_alignment(text: str, old: AlignmentRule, men: list[str]) -> str:
    from gradecut.scheme.editing import drop_alignment, written

    for man in men:
        text = drop_alignment(text, man=man, tier=old.tier, when=written(old.when))
    return text


MUST_KINDS: Mapping[str, PartKind] = {
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
"""By section of the file."""
