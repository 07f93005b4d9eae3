"""What is told of plays and a scheme can't read: dropped facts, values and men, looks ruled out."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Literal

from gradecut.scheme import Scheme, Value
from gradecut.workflows.looks import spell_value
from gradecut.workflows.reps_told import ClipTold

__all__ = ["Unread", "unread_by"]

Kind = Literal["fact", "value", "look", "man"]
_Lost = tuple[Kind, str, Value | None]


@dataclass(frozen=True, slots=True, kw_only=True)
class Unread:
    """Something told of plays that a scheme can't read.

    Attributes
    ----------
    kind : "fact", "value", "look" or "man"
        A dropped fact, a dropped value, a look that can't be, or a dropped man.
    name : str
        The fact's reference, the man, or what is wrong with the look.
    value : str, int, bool or None
        Of a dropped value.
    clips : tuple of str
        The plays, by id.
    message : str
        One sentence.
    """

    kind: Kind
    name: str
    value: Value | None = None
    clips: tuple[str, ...]
    message: str


def unread_by(
    scheme: Scheme, plays: Iterable[ClipTold], *, before: Scheme | None = None
) -> tuple[Unread, ...]:
    """Find what a scheme can't read of plays, what most plays have first.

    Parameters
    ----------
    before : Scheme or None
        What it can't read either is left out.
    """
    found: defaultdict[_Lost, list[str]] = defaultdict(list)
    for play in plays:
        for lost in set(_lost(play, scheme)) - set(_lost(play, before) if before else ()):
            found[lost].append(play.clip.id)
    told = [
        Unread(
            kind=lost[0], name=lost[1], value=lost[2], clips=tuple(clips),
            message=_message(lost, len(clips)),
        )
        for lost, clips in found.items()
    ]  # fmt: skip
    return tuple(sorted(told, key=lambda one: (-len(one.clips), one.kind, one.message)))


def _lost(play: ClipTold, scheme: Scheme) -> Iterator[_Lost]:
    """Name what a scheme can't read of one play."""
    unknown = False
    for reference, value in play.look.items():
        if reference not in scheme.references:
            unknown = True
            yield "fact", reference, None
        elif not any(
            type(one) is type(value) and one == value for one in _values(scheme, reference)
        ):
            unknown = True
            yield "value", reference, value
    if not unknown:
        for fault in scheme.look_faults(play.look):
            yield "look", fault, None
    for rep in play.reps:
        if rep.position not in scheme.positions:
            yield "man", rep.position, None


def _values(scheme: Scheme, reference: str) -> tuple[Value, ...]:
    return scheme.values_of(reference)


def _message(lost: _Lost, count: int) -> str:
    kind, name, value = lost
    plays = "1 play" if count == 1 else f"{count} plays"
    tell, have = ("tells", "has") if count == 1 else ("tell", "have")
    if kind == "fact":
        return f"“{name}” is no fact of this scheme, and {plays} {tell} it: not read any more."
    if kind == "value":
        told = spell_value(value) if value is not None else ""
        return f"“{name}” has no value “{told}” any more, and {plays} {have} it: not read any more."
    if kind == "man":
        return f"“{name}” is no man of this scheme, and {plays} {have} him: not graded any more."
    return f"{plays} can't be read any more: {name}."
