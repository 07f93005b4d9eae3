"""The one sentence that goes with an expectation."""

from __future__ import annotations

from collections.abc import Sequence

from gradecut.counting_words import all_listed
from gradecut.records.expectation import Option
from gradecut.records.people import Side
from gradecut.scheme.parts import Fact, Fit, Value

__all__ = [
    "because_of",
    "had_clause",
    "hole",
    "open_still",
    "overlap",
    "told",
    "told_beside",
    "written_value",
]

_MANY = 4


def told(option: Option) -> str:
    """Write a fit and its side."""
    fit, side = option
    if fit is None:
        return "no answer"
    return f"{fit}, {side} side" if side else fit


def told_beside(option: Option, now: Side | None) -> str:
    """Write a fit, and its side where that is another than now."""
    fit, side = option
    return told((fit, None if side == now else side))


def because_of(
    option: Option, fit: Fit, rules: Sequence[str], tier: str | None, overrode: Sequence[str]
) -> str:
    """Say which rule asks a settled fit and what it overrode, without the full stop."""
    of_tier = f" of tier {tier}" if tier else ""
    if len(rules) == 1:
        said = f"Rule {rules[0]}{of_tier} asks for {told(option)}"
        said += f"; it overrides {_all_of(overrode)}" if overrode else ""
    else:
        said = f"Rules {_either(rules)}{of_tier} ask for {told(option)}"
        said += " however the open facts turn out"
        said += f"; they override {_all_of(overrode)}" if overrode else ""
    return said if fit.graded else f"{said}; nothing to grade"


def _all_of(names: Sequence[str]) -> str:
    if len(names) > _MANY:
        return f"{', '.join(names[:_MANY])} and {len(names) - _MANY} more"
    return all_listed(names)


def _either(names: Sequence[str]) -> str:
    shown = list(names[:_MANY])
    more = len(names) - len(shown)
    if more:
        return f"{', '.join(shown)} or {more} more"
    return " or ".join([", ".join(shown[:-1]), shown[-1]])


def open_still(options: Sequence[Option], asks: Sequence[str]) -> str:
    """Say what is still possible and what to look for first."""
    if len(options) > _MANY:
        said = f"{len(options)} fits possible."
    else:
        said = f"Still open: {'; or '.join(told(option) for option in options)}."
    return f"{said} First answer: {asks[0]}" if asks else said


def hole(position: str, sideless: bool) -> str:
    """Say that no rule answers, without the full stop."""
    if sideless:
        return f"No answer: {position} has no side on this look, so none of his rules can speak"
    return f"No answer: the scheme has no rule for {position} on this look (a hole)"


def overlap(position: str, rules: Sequence[str], fits: Sequence[str]) -> str:
    """Say that rules disagree, and between which fits, without the full stop."""
    between = f" between {_all_of(fits)}" if len(fits) > 1 else ""
    return (
        f"No answer: {_all_of(rules)} disagree about {position} on this look (an overlap{between})"
    )


def written_value(value: Value) -> str:
    """Write a value as a key of the file names it."""
    return ("true" if value else "false") if isinstance(value, bool) else str(value)


def had_clause(fact: Fact, reference: str, value: Value, own: Side | None) -> str:
    """Say what would have been: the coach's own clause, or a plain one.

    Parameters
    ----------
    fact : Fact
        The fact.
    reference : str
        Which of its references; where it is recorded for each side, the side is told too.
    value : str, int or bool
        What it would have been.
    own : "left", "right" or None
        The man's side, from which the coach may have written to and away.
    """
    had = dict(fact.had)
    word = written_value(value)
    if fact.sided and own is not None and value in ("left", "right"):
        clause = had.get("to" if value == own else "away", had.get(word))
    else:
        clause = had.get(word)
    if clause is None:
        clause = _plain_clause(fact, value)
    return f"{clause} on the {reference.rpartition('.')[2]}" if fact.per_side else clause


def _plain_clause(fact: Fact, value: Value) -> str:
    if isinstance(value, bool):
        return f"had the answer to “{fact.asks}” been {'yes' if value else 'no'}"
    if fact.name.startswith("side."):
        return f"had {fact.name.partition('.')[2]} been on the {value}"
    return f"had the {fact.name.replace('_', ' ')} been {value}"
