"""The coach's rules: read, checked, and asked what a look demands of each man."""

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
)
from gradecut.scheme.reader import load_scheme, parse_scheme
from gradecut.scheme.scheme import Look, Scheme

__all__ = [
    "AlignmentRule",
    "Duty",
    "Entry",
    "Fact",
    "Fault",
    "Fit",
    "Flip",
    "FollowedSide",
    "Impossible",
    "Look",
    "Position",
    "Rule",
    "Scheme",
    "Value",
    "load_scheme",
    "parse_scheme",
]
