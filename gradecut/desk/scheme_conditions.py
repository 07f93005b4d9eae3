"""Conditions as a scheme file writes them: built fact by fact, split, joined, read off a look."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from gradecut.scheme import FollowedSide, Position, Scheme, Value, fact_words

__all__ = [
    "AskedFact",
    "Written",
    "admitted",
    "asked_facts",
    "joined",
    "parted",
    "when_of_look",
    "with_values",
]

Written = dict[str, Any] | list[dict[str, Any]]
"""A condition in the values of the file: one table, or several of which any may hold."""

_SEEN = {"left": "to", "right": "away"}


@dataclass(frozen=True, slots=True, kw_only=True)
class AskedFact:
    """One thing a condition may ask.

    Attributes
    ----------
    reference : str
        As a condition writes it: ``concept``, ``surface.to``.
    name, asks : str
        The same in words, and the coach's question.
    values : tuple
        What it may be, a sided fact as the man sees it.
    may_lack : bool
        On some looks it has no value at all.
    """

    reference: str
    name: str
    asks: str
    values: tuple[Value, ...]
    may_lack: bool = False


def asked_facts(scheme: Scheme, *, sided: bool) -> list[AskedFact]:
    """List what a condition may ask, in the scheme's order.

    Parameters
    ----------
    sided : bool
        For men with a side: to and away in place of left and right.
    """
    sides = ("to", "away") if sided else ("left", "right")
    pointing = _pointing(scheme)
    found: list[AskedFact] = []
    for fact in scheme.facts.values():
        values = fact.values
        if fact.sided and sided:
            values = tuple(_SEEN.get(str(value), value) for value in values)
        places = [f"{fact.name}.{side}" for side in (*sides, *pointing)] if fact.per_side else []
        found += [
            AskedFact(
                reference=reference,
                name=_name(reference, pointing),
                asks=fact.asks,
                values=values,
                may_lack=fact.applies is not None or reference.partition(".")[2] in pointing,
            )
            for reference in places or [fact.name]
        ]
    return found


def admitted(entry: object, values: Sequence[Value]) -> tuple[Value, ...]:
    """Return which of some values an entry of a condition lets through."""
    if isinstance(entry, Mapping):
        barred = _as_list(entry["not"]) if "not" in entry else []
        return tuple(
            value
            for value in values
            if not _among(value, barred)
            and ("min" not in entry or value >= entry["min"])
            and ("max" not in entry or value <= entry["max"])
        )
    return tuple(value for value in values if _among(value, _as_list(entry)))


def with_values(
    when: Mapping[str, Any], reference: str, chosen: Sequence[Value], of: Sequence[Value]
) -> dict[str, Any]:
    """Let a condition ask one of some values; none of them, or all, asks nothing of the fact."""
    made = {key: entry for key, entry in when.items() if key != reference}
    if not chosen or len(chosen) == len(of):
        return made
    entry: Any = list(chosen) if len(chosen) > 1 else chosen[0]
    if reference in when:  # it keeps its place among the others
        return {key: entry if key == reference else old for key, old in when.items()}
    return {**made, reference: entry}


def parted(
    when: Written, fact: AskedFact, chosen: Sequence[Value]
) -> tuple[Written, Written] | None:
    """Split a condition in two: some values of a fact, and the others; None where one is empty.

    Together the two hold where it held: looks on which the fact has no value go with the others.
    """
    ways = when if isinstance(when, list) else [when]
    taken = [way for old in ways for way in _taken(old, fact, chosen)]
    rest = [way for old in ways for way in _rest(old, fact, chosen)]
    if not taken or not rest:
        return None
    return (
        taken[0] if len(taken) == 1 else taken,
        rest[0] if len(rest) == 1 else rest,
    )


def _taken(way: dict[str, Any], fact: AskedFact, chosen: Sequence[Value]) -> list[dict[str, Any]]:
    open_ = admitted(way.get(fact.reference, list(fact.values)), fact.values)
    values = [value for value in open_ if _among(value, chosen)]
    return [with_values(way, fact.reference, values, ())] if values else []


def _rest(way: dict[str, Any], fact: AskedFact, chosen: Sequence[Value]) -> list[dict[str, Any]]:
    entry = way.get(fact.reference)
    lacks = fact.may_lack and (
        entry is None or (isinstance(entry, Mapping) and set(entry) == {"not"})
    )
    if lacks:
        barred = _as_list(entry["not"]) if isinstance(entry, Mapping) else []
        barred += [value for value in chosen if not _among(value, barred)]
        return [{**way, fact.reference: {"not": barred if len(barred) > 1 else barred[0]}}]
    open_ = admitted(list(fact.values) if entry is None else entry, fact.values)
    values = [value for value in open_ if not _among(value, chosen)]
    return [with_values(way, fact.reference, values, ())] if values else []


def joined(one: Written, other: Written) -> Written | None:
    """Join two conditions that differ in the values of one fact only; None where they do not."""
    if isinstance(one, list) or isinstance(other, list) or one.keys() != other.keys():
        return None
    differ = [key for key in one if not _same(one[key], other[key])]
    if len(differ) != 1 or isinstance(one[differ[0]], Mapping):
        return None
    if isinstance(other[differ[0]], Mapping):
        return None
    values = _as_list(one[differ[0]])
    values += [value for value in _as_list(other[differ[0]]) if not _among(value, values)]
    return {key: values if key == differ[0] else entry for key, entry in one.items()}


def when_of_look(scheme: Scheme, look: Mapping[str, Value], position: str) -> dict[str, Any]:
    """Write the condition that a look is, as one man sees it.

    A fact that does no more than tell his side is left out. Where his side is not told, what is
    told of a side stands for both.
    """
    man = scheme.positions[position]
    side = _side_of(scheme, man, look)
    when: dict[str, Any] = {}
    for reference in (one for one in scheme.references if one in look):
        value = look[reference]
        name, _, where = reference.partition(".")
        if reference.startswith("side.") and where in scheme.positions:
            continue
        fact = scheme.facts[name]
        if not man.sided:
            when[reference] = value
        elif fact.per_side:
            if side is not None:
                when[f"{name}.{'to' if where == side else 'away'}"] = value
        elif fact.sided and value in ("left", "right"):
            if side is None:
                when[name] = ["to", "away"]
            elif not _tells_side(man, name):
                when[name] = "to" if value == side else "away"
        else:
            when[name] = value
    return when


def _side_of(scheme: Scheme, man: Position, look: Mapping[str, Value]) -> str | None:
    if man.side in ("left", "right"):
        return str(man.side)
    return scheme.side_of(man.name, look) if man.sided else None


def _tells_side(man: Position, fact: str) -> bool:
    return isinstance(man.side, FollowedSide) and man.side.fact == fact


def _pointing(scheme: Scheme) -> list[str]:
    """Return the sided facts that rules point with; where none does, those seen after the snap.

    All others can be written too, but would only lengthen the list.
    """
    conditions = [
        *(rule.when for rule in scheme.rules),
        *(one.when for one in scheme.alignments),
        *(duty.when for duty in scheme.duties),
        *(one.when for one in scheme.impossible),
    ]
    used = {entry.where for when in conditions for way in when for entry in way}
    sided = [fact for fact in scheme.facts.values() if fact.sided]
    found = [fact.name for fact in sided if fact.name in used]
    return found or [fact.name for fact in sided if fact.known == "after"]


def _name(reference: str, pointing: Sequence[str]) -> str:
    """Write "surface to him", "surface where the run goes"."""
    name, _, where = reference.partition(".")
    if not where:
        return fact_words(name)
    told = {"to": "to him", "away": "away from him"}.get(where, where)
    return f"{fact_words(name)} {f'where the {where} goes' if where in pointing else told}"


def _as_list(entry: object) -> list[Any]:
    return list(entry) if isinstance(entry, (list, tuple)) else [entry]


def _among(value: Value, values: Sequence[Any]) -> bool:
    return any(value == other and type(value) is type(other) for other in values)


def _same(one: object, other: object) -> bool:
    return repr(one) == repr(other)
