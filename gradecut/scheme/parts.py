"""What a scheme is made of, as the coach wrote it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from gradecut.records.expectation import Credit

__all__ = [
    "AlignmentRule",
    "Condition",
    "Duty",
    "Entry",
    "Fact",
    "Fit",
    "FollowedSide",
    "Impossible",
    "Position",
    "Rule",
    "SideRule",
    "Value",
    "fact_words",
]

Value = str | int | bool


def fact_words(reference: str) -> str:
    """Write a reference as it is said.

    >>> fact_words("box_count.left")
    'box count left'
    """
    return reference.replace(".", " ").replace("_", " ")


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """One entry of a condition: what is asked of one reference.

    Attributes
    ----------
    fact : str
        The fact asked about.
    where : str or None
        What stands after the dot: left, right, to, away, or the sided fact that points.
    among : tuple or None
        Values one of which it must have; None: any, and having none will do.
    barred : tuple
        Values it must not have.
    least, most : int or None
        Bounds, both included.
    """

    fact: str
    where: str | None = None
    among: tuple[Value, ...] | None = None
    barred: tuple[Value, ...] = ()
    least: int | None = None
    most: int | None = None


# Any of these must hold; each holds when all its entries do. ((),) always holds.
Condition = tuple[tuple[Entry, ...], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Fact:
    """One question about the look.

    Attributes
    ----------
    name, asks : str
        Its name, and the question in the coach's words.
    values : tuple of str, int or bool
        The answers, in file order, all of one type.
    sided : bool
        Its values include left and right, as the offence faces the line.
    per_side : bool
        It is recorded once for each side.
    known : "before" or "after"
        Known before the snap or after it.
    applies : Condition or None
        Where it has a value at all; None: everywhere.
    had : tuple of (str, str)
        By value, written out: the clause that tells what would have been, had it had that value.
    """

    name: str
    asks: str
    values: tuple[Value, ...]
    sided: bool = False
    per_side: bool = False
    known: Literal["before", "after"] = "before"
    applies: Condition | None = None
    had: tuple[tuple[str, str], ...] = ()

    @property
    def references(self) -> tuple[str, ...]:
        """Give the references a look may hold for it, left before right."""
        if self.per_side:
            return (f"{self.name}.left", f"{self.name}.right")
        return (self.name,)


@dataclass(frozen=True, slots=True, kw_only=True)
class FollowedSide:
    """A side that follows a sided fact, or its opposite.

    Attributes
    ----------
    fact : str
        The sided fact.
    opposite : bool
        The other side than the one it points to.
    otherwise : side rule or None
        The side where the fact points to neither; None: no side there.
    """

    fact: str
    opposite: bool = False
    otherwise: SideRule | None = None


# "left", "right", "none", "as aligned" (men); "to", "away" (fits, alignments); or a follower.
SideRule = str | FollowedSide


@dataclass(frozen=True, slots=True, kw_only=True)
class Position:
    """One man of the front.

    Attributes
    ----------
    name : str
        His name.
    group : str or None
        The group he belongs to.
    side : SideRule
        "left", "right", "none", "as aligned" or a side that follows a fact.
    graded : bool
        False: his fits are known only so that the front can be drawn and audited.
    """

    name: str
    side: SideRule
    group: str | None = None
    graded: bool = True

    @property
    def sided(self) -> bool:
        """Tell whether he is a man with a side."""
        return self.side != "none"


@dataclass(frozen=True, slots=True, kw_only=True)
class Fit:
    """A job at a landmark.

    Attributes
    ----------
    name, job : str
        Its name and the job.
    gap, landmark : str or None
        Where; None when the coach says none.
    side : SideRule or None
        "to", "away" or a side that follows a fact; None: not said (to his side where there is a
        gap and the man has a side).
    steps : int or None
        How many steps the job takes.
    owns : tuple of str
        Other duties it takes care of.
    misses : tuple of (str, "half" or "wrong")
        How it goes wrong, with the credit of each.
    graded : bool
        False: no run job, nothing to grade.
    """

    name: str
    job: str
    gap: str | None = None
    side: SideRule | None = None
    landmark: str | None = None
    steps: int | None = None
    owns: tuple[str, ...] = ()
    misses: tuple[tuple[str, Credit], ...] = ()
    graded: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class Rule:
    """Who fits where, on which looks.

    Attributes
    ----------
    id : str
        Unique in the file.
    men : tuple of str
        The positions it is for.
    tier : str
        A later tier overrides an earlier one.
    when : Condition
        Read with to and away for men with a side.
    fit : str
        What it asks.
    also : tuple of str
        Fits graded as right too.
    cue : str or None
        What the coach says to the man.
    line : int
        Where it stands in the file, from 1.
    """

    id: str
    men: tuple[str, ...]
    tier: str
    when: Condition
    fit: str
    also: tuple[str, ...] = ()
    cue: str | None = None
    line: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class AlignmentRule:
    """Who lines up where, on which looks.

    Attributes
    ----------
    id, men, tier, when, line
        As in a rule; only facts known before the snap.
    depth_yd : float
        From the line of scrimmage, negative is the offence's side.
    landmark : str
        Where across.
    side : SideRule or None
        "to", "away", a side that follows a fact, or None: no side.
    tolerance_yd : float or None
        How far off still counts as right.
    eyes : str or None
        What he looks at.
    """

    id: str
    men: tuple[str, ...]
    tier: str
    when: Condition
    depth_yd: float
    landmark: str
    side: SideRule | None = None
    tolerance_yd: float | None = None
    eyes: str | None = None
    line: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Impossible:
    """Looks that cannot be.

    Attributes
    ----------
    when : Condition
        What cannot be.
    each_side : bool
        Read twice, from the left and from the right, with to and away.
    line : int
        Where it stands in the file, from 1.
    """

    when: Condition
    each_side: bool = False
    line: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Duty:
    """What must be taken care of.

    Attributes
    ----------
    name : str
        Its name.
    when : Condition
        The looks on which it must be met.
    each_side : bool
        It must be met in each reading whose `when` holds.
    gaps : tuple of str
        Each owned by at least one man's fit; empty when `owned` is asked.
    owned : str or None
        A word of `owns`.
    at_least : int
        How many must own it.
    at_most : int or None
        How many may; None: any number.
    line : int
        Where it stands in the file, from 1.
    """

    name: str
    when: Condition
    each_side: bool = False
    gaps: tuple[str, ...] = ()
    owned: str | None = None
    at_least: int = 1
    at_most: int | None = None
    line: int = 0
