"""The rubric of a scheme file, read and checked."""

from __future__ import annotations

from gradecut.records.rubric import Rubric
from gradecut.scheme._page import Node

__all__ = ["read_rubric"]

_KEYS = (
    "fit", "technique", "technique_scale", "effort", "causes", "events", "good", "weights",
)  # fmt: skip
_PARTS = ("fit", "technique", "effort")


def read_rubric(node: Node | None) -> Rubric:
    """Read the rubric; what is left out is as in a file without one."""
    standard = Rubric()
    if node is None:
        return standard
    node.only(_KEYS)
    right, half, wrong = _points(node, standard)
    good = node.number("good")
    if good is not None and not 0 <= good <= 1:
        node.child("good").fault("good is a rate from 0 to 1")
    return Rubric(
        right=right,
        half=half,
        wrong=wrong,
        technique=_words(node, "technique", standard.technique),
        technique_scale=_scale(node, "technique_scale", standard.technique_scale),
        effort=_scale(node, "effort", standard.effort),
        causes=_words(node, "causes", standard.causes),
        events=_words(node, "events", standard.events),
        good=standard.good if good is None else good,
        weights=_weights(node),
    )


def _words(node: Node, key: str, standard: tuple[str, ...]) -> tuple[str, ...]:
    return tuple(word.value for word in node.names(key)) if node.has(key) else standard


def _points(node: Node, standard: Rubric) -> tuple[float, float, float]:
    points = [standard.right, standard.half, standard.wrong]
    if not node.has("fit") or not node.child("fit").is_table():
        return points[0], points[1], points[2]
    table = node.child("fit")
    table.only(("right", "half", "wrong"))
    for place, key in enumerate(("right", "half", "wrong")):
        number = table.number(key)
        points[place] = points[place] if number is None else number
    if not points[0] >= points[1] >= points[2] or points[0] <= 0:
        table.fault("right is above zero and not below half, half not below wrong")
    return points[0], points[1], points[2]


def _scale(node: Node, key: str, standard: tuple[float, ...]) -> tuple[float, ...]:
    if not node.has(key):
        return standard
    marks: list[float] = []
    seen: set[float] = set()
    for item in node.items(key):
        mark = item.as_number()
        if mark is None:
            return standard
        if mark in seen:
            item.fault(f"{mark:g} stands twice in {key}")
        seen.add(mark)
        marks.append(mark)
    if isinstance(node.value[key], list) and (not marks or max(marks) <= 0):
        node.child(key).fault(f"{key} needs marks, the top one above zero")
    return tuple(marks) or standard


def _weights(node: Node) -> tuple[tuple[str, float], ...] | None:
    if not node.has("weights") or not node.child("weights").is_table():
        return None
    table = node.child("weights")
    table.only(_PARTS)
    found: list[tuple[str, float]] = []
    sound = not table.meant
    for part in _PARTS:
        if not table.has(part):
            continue
        weight = table.number(part)
        if weight is None:
            sound = False
        elif weight < 0:
            table.child(part).fault("a weight is not negative")
            sound = False
        else:
            found.append((part, weight))
    if sound and not any(weight for _, weight in found):
        table.fault("weights are not all zero")
    return tuple(found)
