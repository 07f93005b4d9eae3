"""The fits of a scheme file, read and checked."""

from __future__ import annotations

from dataclasses import dataclass
from typing import cast

from gradecut.records.expectation import Credit
from gradecut.scheme._conditions import FactDrafts
from gradecut.scheme._men import read_follower
from gradecut.scheme._page import Node, shown
from gradecut.scheme.parts import Fit, SideRule

__all__ = ["Fits", "read_fits", "read_place_side"]

_KEYS = ("job", "gap", "side", "landmark", "steps", "owns", "misses", "graded")


@dataclass(slots=True)
class Fits:
    """The fits of the file; None where one is faulty. `complete` tells of the section."""

    found: dict[str, Fit | None]
    complete: bool = True


def read_fits(section: Node | None, facts: FactDrafts, *, complete: bool) -> Fits:
    """Read the fits; faults are noted."""
    fits: dict[str, Fit | None] = {}
    if section is not None:
        for name in section.value:
            fits[name] = _fit(section.child(name, f"fit {shown(name)}"), name, facts)
    return Fits(fits, complete)


def _fit(node: Node, name: str, facts: FactDrafts) -> Fit | None:
    node.check_name(name)
    if not node.is_table():
        return None
    node.only(_KEYS, needed=("job",))
    job = node.text("job")
    side = read_place_side(node.child("side"), facts) if node.has("side") else None
    graded = node.truth("graded", default=True)
    fit = Fit(
        name=name,
        job=job or "",
        gap=node.name("gap"),
        side=side,
        landmark=node.text("landmark"),
        steps=node.whole("steps"),
        owns=tuple(word.value for word in node.names("owns")),
        misses=_misses(node),
        graded=graded is not False,
    )
    faulty_side = (node.has("side") and side is None) or not node.sound("side")
    return None if faulty_side else fit


def read_place_side(node: Node, facts: FactDrafts, before: str = "") -> SideRule | None:
    """Read the side of a fit or an alignment; None when it is faulty."""
    if isinstance(node.value, dict):
        return read_follower(node, facts, otherwise=False, before=before)
    if node.value not in ("to", "away"):
        node.fault(f"side is to, away, or follows a fact, not {shown(node.value)}")
        return None
    return cast("str", node.value)


def _misses(node: Node) -> tuple[tuple[str, Credit], ...]:
    found: dict[str, Credit] = {}
    for item in node.items("misses"):
        if not item.is_a(dict, "a list of tables"):
            continue
        item.only(("name", "credit"), needed=("name",))
        name = item.name("name")
        credit = item.text("credit") if item.has("credit") else "wrong"
        if credit is not None and credit not in ("half", "wrong"):
            item.child("credit").fault(f'credit is "half" or "wrong", not {shown(credit)}')
        if name is None:
            continue
        if name in found:
            item.child("name").fault(f"the miss {shown(name)} stands twice")
        found[name] = cast("Credit", credit)
    return tuple(found.items())
