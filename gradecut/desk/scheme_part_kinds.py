"""Fits, facts and men as forms show and write them; every kind of part there is."""

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
    value_line,
    yes_line,
)
from gradecut.desk.scheme_part_musts import MUST_KINDS
from gradecut.desk.scheme_parts import PartEntry, PartField, PartKind
from gradecut.scheme import Fact, Fit, Scheme, fact_words

__all__ = ["PART_KINDS"]

_FOLLOWING = (
    "“same as run”, “opposite of strength”. “same as run, otherwise left”: left where the run "
    "has no side."
)


# ---------------------------------------------------------------- fits


def _fit_fields(scheme: Scheme) -> list[PartField]:
    return [
        PartField(key="name", name="name", hint="As you call it: fill A."),
        PartField(key="job", name="job", hint="fill, force, spill, overlap, cutback …"),
        PartField(key="gap", name="gap", hint="A to E; none where it is no gap."),
        PartField(
            key="side", name="side", choices=("to", "away", *side_choices(scheme)),
            hint=f"Empty: his side. Else “away”, {_FOLLOWING}",
        ),
        PartField(key="landmark", name="landmark", hint="inside half of the kick-out …"),
        PartField(key="steps", name="steps", hint="How many the job takes; may stay empty."),
        PartField(key="owns", name="also covers", hint="By commas: cutback, quarterback."),
        PartField(
            key="misses", name="misses", kind="lines",
            hint="One a line, how it goes wrong; “= half” behind it for half credit.",
        ),
        PartField(
            key="graded", name="graded", kind="yes", start="yes",
            hint="No: no run job, nothing to grade.",
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
            "graded": yes_line(fit.graded),
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
    return change_fit(text, name=new, **differing(before, _fit_said(said)))


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
            key="sided", name="answers are left or right", kind="yes",
            hint="left and right among the answers are sides of the offence.",
        ),
        PartField(
            key="per_side", name="asked for each side", kind="yes",
            hint="Told for the left and for the right, such as blockers attached.",
        ),
        PartField(
            key="known", name="known", kind="choice", choices=("before", "after"), start="before",
            hint="Before or after the snap.",
        ),
        PartField(
            key="applies", name="asked only when", kind="looks",
            hint="Looks on which it can be asked at all, in left and right; empty: on all.",
        ),
        PartField(
            key="had", name="say it to players as", kind="lines",
            hint="For players, an answer a line: pulls = had the guard pulled.",
        ),
    ]  # fmt: skip


def _fact_entry(fact: Fact) -> PartEntry:
    return PartEntry(
        key=fact.name,
        name=fact_words(fact.name),
        told={
            "name": fact.name,
            "asks": fact.asks,
            "values": value_line(fact.values),
            "sided": yes_line(fact.sided),
            "per_side": yes_line(fact.per_side),
            "known": fact.known,
            "applies": condition_line(fact.applies),
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
    return change_fact(text, name=new, **differing(before, after))


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
            choices=("left", "right", "none", "as aligned", *side_choices(scheme)),
            hint=f"“none”, “as aligned” where he lines up on either, or {_FOLLOWING}",
        ),
        PartField(
            key="graded", name="graded", kind="yes", start="yes",
            hint="No: his fits are known so that the whole front is drawn and checked.",
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
                "graded": yes_line(man.graded),
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
    return change_man(text, name=new, **differing(_man_said(Saying(entry.told)), _man_said(said)))


def _drop_man(text: str, _: Scheme, entry: PartEntry) -> str:
    from gradecut.scheme.editing import drop_man

    return drop_man(text, name=entry.key)


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
    **MUST_KINDS,
}  # fmt: skip
"""Every kind of part, by its section of the file."""
