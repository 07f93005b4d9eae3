"""The parts of a scheme besides its rules, each as a few named lines a coach fills in."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from gradecut.desk.scheme_part_lines import Saying
from gradecut.scheme import Scheme

__all__ = ["PartEntry", "PartField", "PartKind", "Told"]

Told = Mapping[str, str]
"""What stands in the lines of a part: key to text."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PartField:
    """One line of a part.

    Attributes
    ----------
    key : str
        As the file calls it.
    name, hint : str
        What stands before it, and what it is for.
    kind : "words", "lines", "yes", "choice" or "looks"
        One line, several, a yes or no, one of ``choices``, or a condition.
    choices : tuple of str
        What it may be, or, of words, what is proposed.
    start : str
        What stands there at first.
    hint_each_side : str
        In place of the hint while the part is read on each side.
    """

    key: str
    name: str
    hint: str = ""
    kind: Literal["words", "lines", "yes", "choice", "looks"] = "words"
    choices: tuple[str, ...] = ()
    start: str = ""
    hint_each_side: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class PartEntry:
    """One part as it stands.

    Attributes
    ----------
    key : str
        Which it is, among those of its kind.
    name : str
        How the list calls it.
    told : mapping of str to str
    """

    key: str
    name: str
    told: Told


@dataclass(frozen=True, slots=True, kw_only=True)
class PartKind:
    """A kind of part: fits, facts, men, tiers, duties, what cannot be, alignments.

    Attributes
    ----------
    title, one : str
        "The fits", "fit".
    about : str
        One sentence for whoever sees it the first time.
    fields : callable
        From scheme to the lines.
    entries : callable
        From scheme to what there is.
    add : callable
        From text, scheme and what was told to a new text.
    change : callable
        The same of an entry that is there.
    drop : callable
        From text, scheme and entry to a new text.
    """

    title: str
    one: str
    about: str
    fields: Callable[[Scheme], Sequence[PartField]]
    entries: Callable[[Scheme], Sequence[PartEntry]]
    add: Callable[[str, Scheme, Saying], str]
    change: Callable[[str, Scheme, PartEntry, Saying], str]
    drop: Callable[[str, Scheme, PartEntry], str]
