"""Learning a scheme from what the coach said each man owed."""

from gradecut.scheme.learning.learning import learn
from gradecut.scheme.learning.parts import (
    Contradiction,
    Learned,
    LeftOut,
    LookToAsk,
    Proposal,
    Said,
)

__all__ = [
    "Contradiction",
    "Learned",
    "LeftOut",
    "LookToAsk",
    "Proposal",
    "Said",
    "learn",
]
