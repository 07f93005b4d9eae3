"""The coach's rules: read, checked, asked what a look demands of each man, and proven sound."""

from __future__ import annotations

from typing import TYPE_CHECKING

from gradecut.scheme._flips import Flip
from gradecut.scheme._page import Fault
from gradecut.scheme.parts import (
    AlignmentRule,
    Duty,
    Entry,
    Fact,
    Fit,
    FollowedSide,
    Impossible,
    Position,
    Rule,
    Value,
    fact_words,
)
from gradecut.scheme.reader import load_scheme, parse_scheme
from gradecut.scheme.scheme import Look, Scheme

if TYPE_CHECKING:
    from gradecut.scheme.auditing.findings import Audit, Finding

__all__ = [
    "AlignmentRule",
    "Audit",
    "Duty",
    "Entry",
    "Fact",
    "Fault",
    "Finding",
    "Fit",
    "Flip",
    "FollowedSide",
    "Impossible",
    "Look",
    "Position",
    "Rule",
    "Scheme",
    "Value",
    "fact_words",
    "load_scheme",
    "parse_scheme",
]


def __getattr__(name: str) -> object:
    """Load the audit when first asked for one of its names: most work needs none."""
    if name not in ("Audit", "Finding"):
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    from gradecut.scheme.auditing import findings

    return getattr(findings, name)
