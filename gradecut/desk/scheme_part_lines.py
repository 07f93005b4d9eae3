"""Lines of a form and what the file writes for them, both ways."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from typing import Any

from gradecut.errors import SchemeError
from gradecut.scheme import Fault, FollowedSide, Scheme, Value
from gradecut.scheme.parts import Condition, SideRule

__all__ = [
    "Saying",
    "condition_line",
    "differing",
    "list_line",
    "side_choices",
    "side_line",
    "value_line",
    "yes_line",
]

_WHOLE = re.compile(r"-?\d+")
_TRUTH = {"yes": True, "no": False}
_FOLLOWS = (("same as ", "same_as"), ("opposite of ", "opposite_of"))
_OTHERWISE = ", otherwise "


class Saying:
    """What was filled in, read line by line; an empty line says nothing.

    Parameters
    ----------
    told : mapping of str to str
    """

    def __init__(self, told: Mapping[str, str]) -> None:
        self._told = told

    def words(self, key: str) -> str | None:
        """Return a line as it stands; None where it is empty."""
        return self._told.get(key, "").strip() or None

    def needed(self, key: str, name: str) -> str:
        """Return a line that has to be filled in.

        Raises
        ------
        SchemeError
            Where it is empty.
        """
        told = self.words(key)
        if told is None:
            raise _refusal(f"{name} is still empty; fill it in")
        return told

    def yes(self, key: str) -> bool:
        """Return whether a box is ticked."""
        return self._told.get(key) == "yes"

    def several(self, key: str) -> list[str]:
        """Return the parts of a line between its commas."""
        return [part.strip() for part in self._told.get(key, "").split(",") if part.strip()]

    def whole(self, key: str, name: str) -> int | None:
        """Return a whole number.

        Raises
        ------
        SchemeError
            Where there stands something else.
        """
        told = self.words(key)
        if told is None:
            return None
        if not _WHOLE.fullmatch(told):
            raise _refusal(f"{name} has to be a whole number, such as 1, not “{told}”")
        return int(told)

    def number(self, key: str, name: str) -> float | None:
        """Return a number.

        Raises
        ------
        SchemeError
            Where there stands something else.
        """
        told = self.words(key)
        if told is None:
            return None
        try:
            made = float(told.replace(",", "."))
        except ValueError:
            raise _refusal(f"{name} has to be a number, such as 4.5, not “{told}”") from None
        return int(made) if made.is_integer() else made

    def values(self, key: str) -> list[Value]:
        """Return the values of a fact: whole numbers, yes and no, or words."""
        parts = self.several(key)
        if parts and all(_WHOLE.fullmatch(part) for part in parts):
            return [int(part) for part in parts]
        if parts and all(part in _TRUTH for part in parts):
            return [_TRUTH[part] for part in parts]
        return list(parts)

    def side(self, key: str) -> Any:
        """Return a side as the file writes it: "to", or what it follows; None where none is said.

        It is written "same as run", "opposite of strength", or "same as run, otherwise left".
        """
        told = self.words(key)
        return None if told is None else _side(told)

    def pairs(self, key: str) -> list[tuple[str, str]]:
        """Return lines of "name = what is said of it"; what is said may be missing."""
        lines = [line.strip() for line in self._told.get(key, "").splitlines()]
        found = [line.partition("=") for line in lines if line]
        return [(name.strip(), rest.strip()) for name, _, rest in found]

    def looks(self, key: str, scheme: Scheme, *, sided: bool | None, because: str = "") -> Any:
        """Return a condition as the file writes it.

        Why its words for a side are due is said where others stand there; empty: the men's side.

        Raises
        ------
        SchemeError
            With one sentence on what can't be read.
        """
        from gradecut.scheme.editing import read_condition_text

        return read_condition_text(self._told.get(key, ""), scheme, sided=sided, because=because)


def side_line(side: SideRule | None) -> str:
    """Write a side as a coach types it."""
    if side is None:
        return ""
    if not isinstance(side, FollowedSide):
        return side
    told = f"{'opposite of' if side.opposite else 'same as'} {side.fact}"
    return told if side.otherwise is None else f"{told}{_OTHERWISE}{side_line(side.otherwise)}"


def condition_line(when: Condition | None) -> str:
    """Write a condition as a coach types it; empty where it always holds."""
    from gradecut.scheme.editing import spell_condition, written

    told = "" if when is None else spell_condition(written(when))
    return "" if told == "always" else told


def yes_line(told: bool) -> str:
    """Write a yes or no."""
    return "yes" if told else ""


def side_choices(scheme: Scheme) -> tuple[str, ...]:
    """Propose the sides that follow a fact known before the snap."""
    facts = [fact.name for fact in scheme.facts.values() if fact.sided and fact.known == "before"]
    return tuple(f"{way} {fact}" for fact in facts for way in ("same as", "opposite of"))


def differing(before: Mapping[str, Any], after: Mapping[str, Any]) -> dict[str, Any]:
    """Return what is said otherwise than before, so that all else is left as it is written."""
    return {key: value for key, value in after.items() if repr(before[key]) != repr(value)}


def list_line(parts: Sequence[str]) -> str:
    """Write several names on one line."""
    return ", ".join(parts)


def value_line(values: Sequence[Value]) -> str:
    """Write the values of a fact on one line."""
    return ", ".join(
        ("yes" if value else "no") if isinstance(value, bool) else str(value) for value in values
    )


def _side(told: str) -> Any:
    for words, key in _FOLLOWS:
        if told.startswith(words):
            fact, _, rest = told[len(words) :].partition(_OTHERWISE)
            found: dict[str, Any] = {key: fact.strip()}
            if rest.strip():
                found["otherwise"] = _side(rest.strip())
            return found
    return told


def _refusal(sentence: str) -> SchemeError:
    return SchemeError("the form", (Fault(line=0, message=sentence),))
