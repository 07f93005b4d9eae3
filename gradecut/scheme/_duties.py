"""What cannot be and what must be: the last sections of a scheme file."""

from __future__ import annotations

from gradecut.scheme._conditions import BOTH, FactDrafts, Speech, read_condition
from gradecut.scheme._page import Node, shown
from gradecut.scheme.parts import Condition, Duty, Impossible

__all__ = ["read_duties", "read_impossible"]

_DUTY = ("name", "each_side", "when", "gaps", "owned", "at_least", "at_most")
_TWICE = Speech(left_right=False, because="with each_side it is read once from each side")
_ONCE = Speech(to_away=False, because="without each_side it speaks as the offence faces the line")


def _speech(node: Node) -> Speech:
    each_side = node.truth("each_side", default=False)
    if each_side is None:
        return BOTH
    return _TWICE if each_side else _ONCE


def _when(node: Node, facts: FactDrafts) -> Condition:
    speech = _speech(node)
    return read_condition(node.child("when"), facts, speech) if node.has("when") else ((),)


def read_impossible(node: Node, facts: FactDrafts) -> Impossible | None:
    """Read one entry of what cannot be; None when it is no table."""
    if not node.is_table():
        return None
    node.only(("when", "each_side"), needed=("when",))
    return Impossible(
        when=_when(node, facts), each_side=node.value.get("each_side") is True, line=node.line
    )


def read_duties(nodes: list[Node], facts: FactDrafts) -> tuple[Duty, ...]:
    """Read all duties; names are their own."""
    found: list[Duty] = []
    seen: set[str] = set()
    for node in nodes:
        if not node.is_table():
            continue
        duty = _duty(node, facts)
        if duty.name in seen:
            node.child("name").fault(f"the name {shown(duty.name)} is taken by another duty")
        if duty.name:
            seen.add(duty.name)
        found.append(duty)
    return tuple(found)


def _duty(node: Node, facts: FactDrafts) -> Duty:
    node.only(_DUTY, needed=("name",))
    _one_of(node)
    at_least, at_most = _count(node, "at_least"), _count(node, "at_most")
    if at_most is not None and at_most < (1 if at_least is None else at_least):
        node.child("at_most").fault("at_most is below at_least (1 when left out)")
    return Duty(
        name=node.name("name") or "",
        when=_when(node, facts),
        each_side=node.value.get("each_side") is True,
        gaps=tuple(word.value for word in node.words("gaps", filled=True)),
        owned=node.text("owned"),
        at_least=1 if at_least is None else at_least,
        at_most=at_most,
        line=node.line,
    )


def _one_of(node: Node) -> None:
    gaps, owned = node.has("gaps"), node.has("owned")
    if gaps and owned:
        later = max(("gaps", "owned"), key=lambda key: node.child(key).line)
        node.child(later).fault("a duty names gaps or what is owned, not both")
    elif not gaps and not owned and node.sound("gaps") and node.sound("owned"):
        node.fault("a duty needs gaps or owned")
    if not gaps or owned:
        return
    if node.sound("each_side") and node.value.get("each_side", False) is False:
        node.child("gaps").fault("gaps are asked for each side; add each_side = true")
    for key in ("at_least", "at_most"):
        if node.has(key):
            node.child(key).fault(f"{key} counts who owns a duty and does not go with gaps")


def _count(node: Node, key: str) -> int | None:
    number = node.whole(key)
    if number is not None and number < 0:
        node.child(key).fault(f"{key} is not negative")
        return None
    return number
