"""Conditions of a scheme, and looks, in a coach's words."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from gradecut.scheme import Entry, Value, fact_words
from gradecut.scheme.parts import Condition

__all__ = ["look_line", "rule_when", "value_words"]

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


def value_words(value: Value) -> str:
    """Write a value: yes and no, to him and away, else as the coach wrote it."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    return _SIDED.get(str(value), str(value))


def _entry(entry: Entry) -> str:
    """Say what one entry asks: "surface 3 or more to him"."""
    where = ""
    if entry.where is not None:
        where = f" {_WHERE.get(entry.where, f'where the {fact_words(entry.where)} goes')}"
    name = fact_words(entry.fact)
    if entry.among in ((True,), (False,)):
        return f"{name}{where}" if entry.among == (True,) else f"no {name}{where}"
    return f"{name} {', '.join(_asked(entry))}{where}".replace("  ", " ")


def _asked(entry: Entry) -> list[str]:
    """Say each thing asked of a value."""
    asked = []
    if entry.among is not None:
        asked.append(_listed(entry.among))
    if entry.least is not None and entry.most is not None:
        asked.append(f"{entry.least} to {entry.most}")
    elif entry.least is not None:
        asked.append(f"{entry.least} or more")
    elif entry.most is not None:
        asked.append(f"{entry.most} or fewer")
    if entry.barred:
        asked.append(f"not {_listed(entry.barred)}")
    return asked


def _listed(values: Sequence[Value]) -> str:
    told = [value_words(value) for value in values]
    return told[0] if len(told) == 1 else f"{', '.join(told[:-1])} or {told[-1]}"


def look_line(look: Mapping[str, Value]) -> str:
    """Say a look as it was recorded: "concept power · run right · no motion"."""
    told = []
    for reference, value in look.items():
        name = fact_words(reference)
        if isinstance(value, bool):
            told.append(name if value else f"no {name}")
        else:
            told.append(f"{name} {value}")
    return " · ".join(told)
