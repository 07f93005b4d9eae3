"""What learning is given, and what it hands back."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from gradecut.records.people import Side
from gradecut.scheme.parts import Value

__all__ = ["Contradiction", "Learned", "LeftOut", "LookToAsk", "Proposal", "Said", "When"]

When = Mapping[str, Any]
"""A condition as the scheme file writes it: reference to value, list of values, or test."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Said:
    """What the coach said one man owed on one clip.

    Attributes
    ----------
    position : str
        The man.
    look : mapping of str to str, int or bool
        What is known of the look; a reference that is missing is unknown.
    side : "left", "right" or None
        The man's own side, where it was told for this clip; not the side of the fit.
    fit : str
        What he owed, by its name in the scheme.
    clip : str
        The clip's id.
    """

    position: str
    look: Mapping[str, Value]
    side: Side | None = None
    fit: str
    clip: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Proposal:
    """One rule the coach may accept.

    Attributes
    ----------
    men : tuple of str
        Whom it is for, in file order.
    tier : str
        Where it stands.
    when : mapping
        Its condition, as the file writes it; empty: always.
    fit : str
        What it asks.
    clips : tuple of str
        The clips on which he said so, and on which this rule is the one that tells it.
    against : tuple of str
        The clips that fall under it and on which he said something else, a rule of a higher tier
        tells those.
    new_tier : bool
        The scheme has no such tier yet; it goes above all others.
    """

    men: tuple[str, ...]
    tier: str
    when: When
    fit: str
    clips: tuple[str, ...]
    against: tuple[str, ...] = ()
    new_tier: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Contradiction:
    """Different answers for one man on looks that nothing recorded tells apart.

    Attributes
    ----------
    position : str
        The man.
    fits : tuple of str
        The answers, in the order of the scheme's fits.
    clips : tuple of tuple of str
        The clips with each answer.
    message : str
        One sentence.
    """

    position: str
    fits: tuple[str, ...]
    clips: tuple[tuple[str, ...], ...]
    message: str


@dataclass(frozen=True, slots=True, kw_only=True)
class LookToAsk:
    """The one look whose answer would settle most.

    Attributes
    ----------
    position : str
        The man about whom most is open there.
    look : mapping of str to str, int or bool
        The look, as it is recorded.
    fits : tuple of str
        What the rival sets of rules say of him there; a single one where he has never been seen
        on a look like it.
    message : str
        The question, in one sentence.
    met : bool
        It was met on film.
    """

    position: str
    look: Mapping[str, Value]
    fits: tuple[str, ...]
    message: str
    met: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class LeftOut:
    """A clip no rule could be learned from, and why, in one sentence."""

    position: str
    clip: str
    message: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Learned:
    """What the coach's answers add up to.

    Attributes
    ----------
    proposals : tuple of Proposal
        In the order he should accept them: lowest tier first.
    contradictions : tuple of Contradiction
        Where his answers contradict each other.
    ask : LookToAsk or None
        What to ask him next; None when nothing is open.
    left_out : tuple of LeftOut
        Answers that could not be used.
    """

    proposals: tuple[Proposal, ...] = ()
    contradictions: tuple[Contradiction, ...] = ()
    ask: LookToAsk | None = None
    left_out: tuple[LeftOut, ...] = ()
