"""The scheme language evaluated a second time, the slow and obvious way.

Written from the language page alone, on the dictionary that TOML gives: every completion of a
look is listed, every pair of completions compared. It shares no code with gradecut.scheme.
"""

from __future__ import annotations

from collections import Counter
from fractions import Fraction
from itertools import combinations, product
from typing import Any

Look = dict[str, Any]
FLIP = {"left": "right", "right": "left"}


def references(scheme: dict[str, Any]) -> list[str]:
    """List everything a look may hold, in file order."""
    found = []
    for name, fact in scheme["facts"].items():
        found += [f"{name}.left", f"{name}.right"] if fact.get("per_side") else [name]
    return found + [
        f"side.{name}" for name, man in scheme["positions"].items() if man["side"] == "as aligned"
    ]


def _entry(scheme: dict[str, Any], look: Look, reference: str, test: Any, side: str | None) -> bool:
    name, _, where = reference.partition(".")
    fact = scheme["facts"][name]
    if where:
        if where in ("to", "away"):
            where = side if where == "to" else FLIP[side]
        elif where not in FLIP:
            where = look.get(where)
        value = look.get(f"{name}.{where}")
    else:
        value = look.get(name)
        if fact.get("sided") and side is not None and value in FLIP:
            value = "to" if value == side else "away"
    if not isinstance(test, dict):
        return value in test if isinstance(test, list) else value == test
    if "not" in test:
        barred = test["not"] if isinstance(test["not"], list) else [test["not"]]
        if value in barred:
            return False
    if "min" in test and (value is None or value < test["min"]):
        return False
    return not ("max" in test and (value is None or value > test["max"]))


def holds(scheme: dict[str, Any], look: Look, when: Any, side: str | None) -> bool:
    """Tell whether a condition holds on a complete look, seen from a side."""
    tables = when if isinstance(when, list) else [when]
    return any(
        all(_entry(scheme, look, reference, test, side) for reference, test in table.items())
        for table in tables
    )


def may_be(scheme: dict[str, Any], look: Look) -> bool:
    """Tell whether a complete look is allowed."""
    for name, fact in scheme["facts"].items():
        applies = holds(scheme, look, fact.get("applies", {}), None)
        for reference in (f"{name}.left", f"{name}.right") if fact.get("per_side") else (name,):
            if (reference in look) != applies:
                return False
    for entry in scheme.get("impossible", []):
        sides = ("left", "right") if entry.get("each_side") else (None,)
        if any(holds(scheme, look, entry["when"], side) for side in sides):
            return False
    return True


def completions(scheme: dict[str, Any], look: Look) -> list[Look]:
    """List every completion of a look."""
    named = references(scheme)
    ways = []
    for reference in named:
        fact = scheme["facts"].get(reference.partition(".")[0])
        values = [*fact["values"], None] if fact else ["left", "right"]
        ways.append([look[reference]] if reference in look else values)
    found = []
    for row in product(*ways):
        candidate = {ref: value for ref, value in zip(named, row, strict=True) if value is not None}
        if may_be(scheme, candidate):
            found.append(candidate)
    return found


def own_side(scheme: dict[str, Any], position: str, look: Look) -> str | None:
    """Give a man's side on a complete look."""
    side = scheme["positions"][position]["side"]
    if side == "as aligned":
        return look[f"side.{position}"]
    while isinstance(side, dict):
        fact = side.get("same_as", side.get("opposite_of"))
        points = look.get(fact)
        if points in FLIP:
            return points if "same_as" in side else FLIP[points]
        side = side.get("otherwise")
    return side if side in FLIP else None


def _place(rule: Any, own: str | None, look: Look) -> str | None:
    if isinstance(rule, dict):
        points = look.get(rule.get("same_as", rule.get("opposite_of")))
        if points not in FLIP:
            return None
        return points if "same_as" in rule else FLIP[points]
    if rule is None or own is None:
        return None
    return own if rule == "to" else FLIP[own]


def _matching(
    scheme: dict[str, Any], entries: list[Any], position: str, look: Look
) -> list[list[Any]]:
    """List the matching entries of each tier that has any, highest first."""
    man = scheme["positions"][position]
    own = own_side(scheme, position, look)
    if man["side"] != "none" and own is None:
        return []
    tiers = scheme.get("scheme", {}).get("tiers", ["base"])
    found = []
    for tier in reversed(tiers):
        here = [
            entry
            for entry in entries
            if position in entry["for"]
            and entry.get("tier", tiers[0]) == tier
            and holds(scheme, look, entry.get("when", {}), own)
        ]
        if here:
            found.append(here)
    return found


def answer(scheme: dict[str, Any], position: str, look: Look) -> dict[str, Any] | None:
    """Give the answer on a complete look; None for a hole or an overlap."""
    tiers = _matching(scheme, scheme.get("rules", []), position, look)
    if not tiers:
        return None
    if len({(rule["fit"], frozenset(rule.get("also", []))) for rule in tiers[0]}) > 1:
        return None
    rule = tiers[0][0]
    fit = scheme["fits"][rule["fit"]]
    place = fit.get("side")
    if place is None and "gap" in fit and scheme["positions"][position]["side"] != "none":
        place = "to"
    below = [entry["id"] for tier in tiers[1:] for entry in tier]
    return {
        "option": (rule["fit"], _place(place, own_side(scheme, position, look), look)),
        "rule": rule["id"],
        "tier": rule.get("tier", scheme.get("scheme", {}).get("tiers", ["base"])[0]),
        "also": set(rule.get("also", [])),
        "overrode": set(below),
    }


def alignment(scheme: dict[str, Any], position: str, look: Look) -> tuple[Any, ...] | None:
    """Give depth, landmark, side and tolerance on a complete look; None for none."""
    tiers = _matching(scheme, scheme.get("alignments", []), position, look)
    if not tiers:
        return None
    own = own_side(scheme, position, look)
    ways = {
        (
            entry["depth_yd"],
            entry["landmark"],
            _place(entry.get("side"), own, look),
            entry.get("tolerance_yd"),
            entry.get("eyes"),
        )
        for entry in tiers[0]
    }
    return ways.pop()[:4] if len(ways) == 1 else None


def _differ(one: Look, two: Look) -> frozenset[str]:
    return frozenset(ref for ref in one if ref in two and one[ref] != two[ref])


def needs(scheme: dict[str, Any], looks: list[Look], options: list[Any]) -> list[str]:
    """Name the members of the smallest changes, most useful first."""
    changes = {
        _differ(looks[one], looks[two])
        for one, two in combinations(range(len(looks)), 2)
        if options[one] != options[two]
    }
    smallest = [change for change in changes if not any(less < change for less in changes)]
    named = frozenset().union(*smallest) if smallest else frozenset()

    def left(reference: str) -> Fraction:
        ways: dict[Any, set[Any]] = {}
        for look, option in zip(looks, options, strict=True):
            ways.setdefault(look.get(reference), set()).add(option)
        counts = Counter(look.get(reference) for look in looks)
        total = sum(counts[way] * len(ways[way]) for way in ways)
        return Fraction(total, len(looks))

    return sorted((ref for ref in references(scheme) if ref in named), key=left)


def _applying(scheme: dict[str, Any], look: Look) -> Look:
    """Leave out what is recorded for facts that can't apply with the rest of a look."""
    bare = {key: value for key, value in scheme.items() if key != "impossible"}
    kept: Look = {}
    waiting = list(scheme["facts"])
    while waiting:
        for name in list(waiting):
            applies = scheme["facts"][name].get("applies", {})
            tables = applies if isinstance(applies, list) else [applies]
            words = {word for table in tables for key in table for word in key.split(".")}
            if words & set(waiting) - {name}:
                continue
            waiting.remove(name)
            for reference in references(scheme):
                if reference in look and reference.partition(".")[0] == name:
                    wider = {**kept, reference: look[reference]}
                    if completions(bare, wider):
                        kept = wider
    return kept | {ref: value for ref, value in look.items() if ref.startswith("side.")}


def flips(scheme: dict[str, Any], position: str, look: Look) -> set[tuple[str, Any, Any]]:
    """List every change of one recorded reference that settles another answer."""

    def options(asked: Look) -> set[Any]:
        answers = [answer(scheme, position, one) for one in completions(scheme, asked)]
        return {found["option"] if found else None for found in answers}

    now = options(look)
    if len(now) > 1:
        return set()
    found = set()
    for reference in look:
        fact = scheme["facts"].get(reference.partition(".")[0], {"values": ["left", "right"]})
        for value in fact["values"]:
            if value == look[reference]:
                continue
            then = options(_applying(scheme, {**look, reference: value}))
            if len(then) == 1 and None not in then and then != now:
                found.add((reference, value, then.pop()))
    return found
