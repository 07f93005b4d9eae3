"""Conditions of a scheme, and looks, in a coach's words."""

from __future__ import annotations

from collections.abc import Mapping

from gradecut.scheme import Value
from gradecut.workflows.rule_words import fact_words, rule_when, value_words

__all__ = ["fact_words", "look_line", "rule_when", "value_words"]


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
