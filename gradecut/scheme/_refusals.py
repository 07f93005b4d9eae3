"""Why a question is refused: what was asked with is no look, or names what is not there."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from gradecut.scheme._page import nearest, shown

if TYPE_CHECKING:
    from gradecut.scheme.parts import Value

__all__ = ["unknown", "value_faults"]

_KINDS = (str, int, bool)  # what is of another kind may not even be looked up


def unknown(what: str, name: object, known: Sequence[str]) -> str:
    """Say that the scheme has nothing of this name, and what may be meant."""
    if not isinstance(name, str):
        return f"A {what} is told by its name, not as {shown(name)}"
    guess = nearest(name, known)
    hint = f'; did you mean "{guess}"?' if guess else f"; there is {', '.join(known) or 'none'}"
    return f"The scheme has no {what} {shown(name)}{hint}"


def value_faults(look: object, known: Mapping[str, Sequence[Value]]) -> list[str]:
    """Say of each reference and value of a look why it can't be, one sentence each.

    Parameters
    ----------
    look : object
        What was asked with; what is no mapping is one fault.
    known : mapping of str to sequence of value
        The values of each reference, in file order.
    """
    if not isinstance(look, Mapping):
        return [f"A look gives each known reference its value; it can't be {shown(look)}"]
    faults: list[str] = []
    for reference, value in look.items():
        values = known.get(reference)
        if values is None:
            faults.append(unknown("reference", reference, tuple(known)))
            continue
        for way in values:  # a plain loop: looks are checked twenty thousand times a second
            if type(way) is type(value) and way == value:
                break
        else:
            told = "has no value" if type(value) in _KINDS else "can't be"
            ways = ", ".join(shown(way) for way in values)
            faults.append(f'"{reference}" {told} {shown(value)}; it has {ways}')
    return faults
