"""The one sentence that goes with an expectation."""

from __future__ import annotations

from collections.abc import Sequence

from gradecut.records.expectation import Option
from gradecut.scheme.parts import Fit

__all__ = ["because_of", "hole", "open_still", "overlap", "told"]

_MANY = 4


def told(option: Option) -> str:
    """Write a fit and its side."""
    fit, side = option
    if fit is None:
        return "no answer"
    return f"{fit}, {side} side" if side else fit


def because_of(
    option: Option, fit: Fit, rule: str | None, tier: str | None, overrode: Sequence[str]
) -> str:
    """Say which rule asks a settled fit and what it overrode."""
    if rule is None:
        said = f"{_capital(told(option))} is asked for, however the open facts turn out"
    else:
        said = f"Rule {rule}" + (f" of tier {tier}" if tier else "")
        said += f" asks for {told(option)}"
        said += f"; it overrides {' and '.join(overrode)}" if overrode else ""
    return said + ("." if fit.graded else "; nothing to grade.")


def _capital(words: str) -> str:
    return words[:1].upper() + words[1:]


def open_still(options: Sequence[Option], asks: Sequence[str]) -> str:
    """Say what is still possible and what to look for first."""
    shown = [told(option) for option in options[:_MANY]]
    more = len(options) - len(shown)
    said = "; or ".join(shown) + (f"; or {more} more" if more else "")
    first = f" First tell: {asks[0]}" if asks else ""
    rest = f" ({len(asks) - 1} more may matter)" if len(asks) > 1 else ""
    return f"Still open: {said}.{first}{rest}"


def hole(position: str, sideless: bool) -> str:
    """Say that no rule answers."""
    if sideless:
        return f"No answer: {position} has no side on this look, so none of his rules can speak."
    return f"No answer: the scheme has no rule for {position} on this look (a hole)."


def overlap(position: str, rules: Sequence[str]) -> str:
    """Say that rules disagree."""
    named = " and ".join(rules) if rules else "his rules"
    return f"No answer: {named} disagree about {position} on this look (an overlap)."
