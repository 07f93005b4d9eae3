"""What is told of plays and a scheme can't read: dropped facts, values and men, looks ruled out.

A dropped fact or value is passed over, the rest of its look is read; a look that is ruled
out, or a man the scheme does not have, is not read at all.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Literal

from gradecut.counting_words import counted
from gradecut.records import Rep
from gradecut.scheme import Scheme, Value
from gradecut.workflows.expecting import expect_rep
from gradecut.workflows.looks import read_by, sides_on, spell_value
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
    reps : int
        How many reps on them have no answer, or another one than before.
    message : str
        One sentence.
    """

    kind: Kind
    name: str
    value: Value | None = None
    clips: tuple[str, ...]
    reps: int
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
    turned: Counter[_Lost] = Counter()
    for play in plays:
        lost_here = set(_lost(play, scheme)) - set(_lost(play, before) if before else ())
        turned_here = _turned(play, scheme, before) if lost_here else set()
        for lost in lost_here:
            found[lost].append(play.clip.id)
            turned[lost] += len(turned_here & {lost[1]} if lost[0] == "man" else turned_here)
    told = [
        Unread(
            kind=lost[0],
            name=lost[1],
            value=lost[2],
            clips=tuple(clips),
            reps=turned[lost],
            message=_message(lost, len(clips), turned[lost]),
        )
        for lost, clips in found.items()
    ]
    return tuple(sorted(told, key=lambda one: (-len(one.clips), one.kind, one.message)))


def _lost(play: ClipTold, scheme: Scheme) -> Iterator[_Lost]:
    """Name what a scheme can't read of one play."""
    known = read_by(scheme, play.look)
    for reference in play.look.keys() - known.keys():
        if reference in scheme.references:
            yield "value", reference, play.look[reference]
        else:
            yield "fact", reference, None
    for fault in scheme.look_faults(known):
        yield "look", fault, None
    for rep in play.reps:
        if rep.position not in scheme.positions:
            yield "man", rep.position, None


def _turned(play: ClipTold, scheme: Scheme, before: Scheme | None) -> set[str]:
    """Find the men on a play who have no answer, or another one than before."""

    def answer(rules: Scheme, rep: Rep) -> tuple[object, ...] | None:
        said = expect_rep(rules, rep, play.look, sides_on(rules, play.reps, play.line_ups))
        return (said.fit, said.side, said.graded) if said.settled else None

    return {
        rep.position
        for rep in play.reps
        if (now := answer(scheme, rep)) is None or (before and answer(before, rep) != now)
    }


def _message(lost: _Lost, count: int, reps: int) -> str:
    kind, name, value = lost
    plays = counted(count, "play")
    tell, have = ("tells", "has") if count == 1 else ("tell", "have")
    over = f"passed over; {_reps(reps)}"
    if kind == "fact":
        return f"“{name}” is no fact of this scheme, and {plays} {tell} it: {over}."
    if kind == "value":
        told = spell_value(value) if value is not None else ""
        return f"“{name}” has no value “{told}” any more, and {plays} {have} it: {over}."
    if kind == "man":
        return f"“{name}” is no man of this scheme, and {plays} {have} him: not graded any more."
    return f"{plays} can't be read any more: {name}."


def _reps(reps: int) -> str:
    """Say how many reps a fact that is passed over leaves without the answer they had."""
    if not reps:
        return "every rep there keeps its answer"
    some = "1 rep there has" if reps == 1 else f"{reps} reps there have"
    return f"{some} no answer, or another one"
