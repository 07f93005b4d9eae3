"""Conditions of a scheme in a coach's words."""

from __future__ import annotations

from collections.abc import Sequence

from gradecut.scheme import Entry, Value
from gradecut.scheme.parts import Condition

__all__ = ["fact_words", "rule_when", "value_words"]

_WHERE = {
    "to": "to him",
    "away": "away from him",
    "left": "left",
    "right": "right",
}
_SIDED = {"to": "to him", "away": "away from him"}


def rule_when(when: Condition) -> str:
    """Say on which looks a rule speaks: "power or counter · run away from him"."""
    ways = [" · ".join(_entry(entry) for entry in entries) for entries in when]
    return "always" if not all(ways) else ", or ".join(ways)


def fact_words(reference: str) -> str:
    """Write a reference: "surface left"."""
    return reference.replace(".", " ").replace("_", " ")


def value_words(value: Value) -> str:
    """Write a value: yes and no, to him and away, else as the coach wrote it."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    return _SIDED.get(str(value), str(value))


def _entry(entry: Entry) -> str:
    """Say what one entry asks."""
    name = fact_words(entry.fact)
    if entry.where is not None:
        name += f" {_WHERE.get(entry.where, f'where the {fact_words(entry.where)} goes')}"
    asked = []
    if entry.among is not None:
        if entry.among in ((True,), (False,)):
            return name if entry.among[0] else f"no {name}"
        asked.append(_listed(entry.among, "or"))
    if entry.least is not None and entry.most is not None:
        asked.append(f"{entry.least} to {entry.most}")
    elif entry.least is not None:
        asked.append(f"{entry.least} or more")
    elif entry.most is not None:
        asked.append(f"{entry.most} or fewer")
    if entry.barred:
        asked.append(f"not {_listed(entry.barred, 'or')}")
    return f"{name} {', '.join(asked)}".strip()


def _listed(values: Sequence[Value], word: str) -> str:
    told = [value_words(value) for value in values]
    if len(told) == 1:
        return told[0]
    return f"{', '.join(told[:-1])} {word} {told[-1]}"
