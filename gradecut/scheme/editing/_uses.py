"""Where a file uses a fact: in conditions and in sides."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from gradecut.counting_words import all_listed
from gradecut.scheme._lines import Path
from gradecut.scheme.editing._draft import Draft

__all__ = ["Use", "condition_uses", "fact_of", "label", "side_uses", "tell_uses"]

_LISTS = ("rules", "alignments", "impossible", "duties")
_NAMED = {"facts": "fact", "positions": "position", "fits": "fit"}
_LISTED = {
    "rules": "rule", "alignments": "alignment", "impossible": "impossible", "duties": "duty",
}  # fmt: skip
_TOLD = 4


@dataclass(frozen=True, slots=True, kw_only=True)
class Use:
    """One entry of a condition that names a fact.

    Attributes
    ----------
    owner : tuple
        The rule, alignment, fact, duty or entry of what cannot be.
    table : tuple
        The table of the condition the entry stands in.
    reference : str
        The entry's key.
    """

    owner: Path
    table: Path
    reference: str


def fact_of(reference: str) -> tuple[str, str]:
    """Part a reference into its fact and what stands after the dot; "" where nothing does."""
    fact, dot, where = reference.rpartition(".")
    return (fact, where) if dot else (reference, "")


def condition_uses(draft: Draft, name: str) -> list[Use]:
    """Give every entry of a condition that names a fact, in the order of the sections."""
    return [
        Use(owner=owner, table=table, reference=reference)
        for owner, path in _conditions(draft)
        for table in _tables(draft, path)
        for reference in draft.get(table)
        if name in fact_of(reference)
    ]


def side_uses(draft: Draft, name: str) -> list[tuple[Path, Path]]:
    """Give the owner and the place of every side that follows a fact."""
    found: list[tuple[Path, Path]] = []
    for owner in _owners(draft, ("positions", "fits", "alignments")):
        path: Path = (*owner, "side")
        while isinstance(side := draft.get(path), dict):
            found += [
                (owner, (*path, key)) for key in ("same_as", "opposite_of") if side.get(key) == name
            ]
            path = (*path, "otherwise")
    return found


def label(draft: Draft, owner: Path) -> str:
    """Name an owner in a sentence: rule K14, fact run."""
    section, key = owner[0], owner[1]
    if section in _NAMED:
        return f"{_NAMED[str(section)]} {key}"
    table = draft.get(owner)
    name: Any = table.get("id", table.get("name")) if isinstance(table, dict) else None
    place = int(key) + 1
    return f"{_LISTED[str(section)]} {name if isinstance(name, str) else place}"


def tell_uses(draft: Draft, owners: list[Path]) -> str:
    """Write who uses something, the first few by name."""
    names = list(dict.fromkeys(label(draft, owner) for owner in owners))
    if len(names) > _TOLD + 1:
        return f"{', '.join(names[:_TOLD])} and {len(names) - _TOLD} more"
    return all_listed(names)


def _owners(draft: Draft, sections: tuple[str, ...]) -> Iterator[Path]:
    for section in sections:
        found = draft.data.get(section)
        if isinstance(found, dict):
            yield from ((section, name) for name in found)
        elif isinstance(found, list):
            yield from ((section, place) for place in range(len(found)))


def _conditions(draft: Draft) -> Iterator[tuple[Path, Path]]:
    for owner in _owners(draft, ("facts", *_LISTS)):
        key = "applies" if owner[0] == "facts" else "when"
        if draft.get((*owner, key)) is not None:
            yield owner, (*owner, key)


def _tables(draft: Draft, path: Path) -> list[Path]:
    found = draft.get(path)
    if isinstance(found, dict):
        return [path]
    if not isinstance(found, list):
        return []
    return [(*path, place) for place, table in enumerate(found) if isinstance(table, dict)]
