"""The grid's own words for sides, values and bounds, turned into those a condition is read from.

    run to him · surface 3 or more where the run goes · no motion

A token in quotes is never one of them.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence

from gradecut.scheme.parts import Fact

__all__ = ["named_fact", "plain_tokens", "side_word", "without_no", "without_place"]

_NUMBER = re.compile(r"-?\d+")
_BOUNDS = {"more": ">=", "fewer": "<=", "less": "<="}
_SIDES = {
    ("to", "him"): "to",
    ("away", "from", "him"): "away",
    ("to",): "to",
    ("away",): "away",
    ("left",): "left",
    ("right",): "right",
}


def plain_tokens(tokens: Sequence[str], facts: Mapping[str, Fact]) -> list[str]:
    """Write dots between entries, "3 or more", and "or" between values as signs."""
    found: list[str] = []
    rest = list(tokens)
    while rest:
        token = rest.pop(0)
        if token == "·":
            found.append(";")
        elif token.lower() != "or" or not rest or not found:
            found.append(token)
        elif rest[0].lower() in _BOUNDS and _NUMBER.fullmatch(found[-1]):
            found[-1:] = [_BOUNDS[rest.pop(0).lower()], found[-1]]
        elif _goes_on(found, rest, facts):
            found.append("|")
        else:
            found[-1] = found[-1].removesuffix(",")
            found.append(token)
    return found


def _goes_on(before: Sequence[str], after: Sequence[str], facts: Mapping[str, Fact]) -> bool:
    """Tell whether what follows is one more value of the fact asked last, and no fact itself."""
    entry = _until(after, {";", "|", "·", "or"})
    if entry:
        entry[-1] = entry[-1].removesuffix(",")
    if named_fact(entry, facts) is not None:
        return False
    start = max((at + 1 for at, token in enumerate(before) if token in (";", "or")), default=0)
    named = named_fact(before[start:], facts)
    if named is None:
        return False
    fact = facts.get(named[0]) or facts[named[0].rpartition(".")[0]]
    values = {str(value).lower() for value in fact.values}
    if type(fact.values[0]) is bool:
        values |= {"yes", "no"}
    words = _low(without_place(entry)[0] if fact.per_side else entry)
    return " ".join(words) in values or bool(fact.sided and side_word(entry))


def _until(tokens: Sequence[str], marks: set[str]) -> list[str]:
    ends = [at for at, token in enumerate(tokens) if token.lower() in marks]
    return list(tokens[: ends[0]] if ends else tokens)


def named_fact(
    tokens: Sequence[str], facts: Mapping[str, Fact]
) -> tuple[str, Sequence[str]] | None:
    """Part an entry into the reference it begins with, its spaces or lines under, and the rest."""
    for size in range(1, len(tokens) + 1):
        words = " ".join(tokens[:size])
        for name in (words, words.replace(" ", "_")):
            head, _, where = name.rpartition(".")
            if name in facts or (head in facts and (size == 1 or where in facts)):
                return name, tokens[size:]
    return None


def side_word(tokens: Sequence[str]) -> str | None:
    """Give the word for a side that "to him" or "away from him" stands for; None for others."""
    return _SIDES.get(_low(tokens))


def without_place(tokens: Sequence[str]) -> tuple[list[str], str | None]:
    """Take "to him", "left" or "where the run goes" off the front or end of what is asked."""
    low = _low(tokens)
    for words, where in _SIDES.items():
        if low[: len(words)] == words:
            return list(tokens[len(words) :]), where
        if low[-len(words) :] == words:
            return list(tokens[: -len(words)]), where
    if low[:2] == ("where", "the") and "goes" in low:
        end = low.index("goes")
        return list(tokens[end + 1 :]), " ".join(tokens[2:end])
    if low[-1:] == ("goes",) and "where" in low:
        start = low.index("where")
        if low[start + 1] == "the":
            return list(tokens[:start]), " ".join(tokens[start + 2 : -1])
    return list(tokens), None


def without_no(tokens: Sequence[str], facts: Mapping[str, Fact]) -> str | None:
    """Give the fact of "no motion"; None where it is no such entry."""
    if len(tokens) < 2 or tokens[0].lower() != "no":
        return None
    named = named_fact(tokens[1:], facts)
    if named is None or named[1] or named[0] not in facts:
        return None
    return named[0] if type(facts[named[0]].values[0]) is bool else None


def _low(tokens: Sequence[str]) -> tuple[str, ...]:
    return tuple(token.lower() for token in tokens)
