"""The audit a second time, the slow and obvious way: every look listed, every pair compared.

Written from the section "Audit" of the language page, on the dictionary that TOML gives. It shares
no code with gradecut.scheme.
"""

from __future__ import annotations

from itertools import combinations
from typing import Any

from tests.scheme.plain_reading import (
    FLIP,
    Look,
    _matching,
    _place,
    completions,
    holds,
    own_side,
    references,
)

__all__ = ["PlainAudit"]


class PlainAudit:
    """Everything an audit has to find, and on which looks it shows.

    Attributes
    ----------
    looks : list of dict
        Every look that can be.
    holes : dict of man to set of int
        The numbers of the looks that show it; likewise the following.
    overlaps : dict of (man, id, id) to set of int
    duties : dict of name to set of int
    masked, dead, idle : list of str
        In file order.
    """

    def __init__(self, scheme: dict[str, Any]) -> None:
        self.scheme = scheme
        self.looks = completions(scheme, {})
        self.holes: dict[str, set[int]] = {}
        self.overlaps: dict[tuple[str, str, str], set[int]] = {}
        self.duties: dict[str, set[int]] = {}
        matched: set[str] = set()
        answered: set[str] = set()
        depends: set[str] = set()
        answers: dict[str, list[Any]] = {}
        for man in scheme["positions"]:
            for section in ("rules", "alignments"):
                told = []
                for number, look in enumerate(self.looks):
                    tiers = _matching(scheme, scheme.get(section, []), man, look)
                    matched |= {entry["id"] for tier in tiers for entry in tier}
                    told.append(self._one(section, man, number, tiers))
                answered |= {entry["id"] for entry in told if entry is not None}
                for options in self._options(section, man, told):
                    depends |= self._smallest_changes(options)
                if section == "rules":
                    answers[man] = told
        for duty in scheme.get("duties", []):
            broken = {
                number
                for number, look in enumerate(self.looks)
                if not self._met(duty, look, {man: told[number] for man, told in answers.items()})
            }
            if broken:
                self.duties[duty["name"]] = broken
        ids = [entry["id"] for key in ("rules", "alignments") for entry in scheme.get(key, [])]
        self.dead = [name for name in ids if name not in matched]
        self.masked = [name for name in ids if name in matched and name not in answered]
        self.idle = [
            name
            for name in scheme["facts"]
            if not depends & {name, f"{name}.left", f"{name}.right"}
        ]

    def _one(self, section: str, man: str, number: int, tiers: list[list[Any]]) -> Any:
        """Give the entry that answers, and note what shows on this look."""
        if not tiers:
            if section == "rules":
                self.holes.setdefault(man, set()).add(number)
            return None
        clash = False
        for one, two in combinations(tiers[0], 2):
            if self._says(section, man, one, number) != self._says(section, man, two, number):
                clash = True
                self.overlaps.setdefault((man, one["id"], two["id"]), set()).add(number)
        return None if clash else tiers[0][0]

    def _says(self, section: str, man: str, entry: Any, number: int) -> Any:
        look = self.looks[number]
        own = own_side(self.scheme, man, look)
        if section == "rules":
            return entry["fit"], frozenset(entry.get("also", []))
        what = [entry.get(key) for key in ("depth_yd", "landmark", "tolerance_yd", "eyes")]
        return (*what, _place(entry.get("side"), own, look))

    def _side(self, man: str, entry: Any, look: Look) -> Any:
        fit = self.scheme["fits"][entry["fit"]]
        place = fit.get("side")
        if place is None and "gap" in fit and self.scheme["positions"][man]["side"] != "none":
            place = "to"
        return _place(place, own_side(self.scheme, man, look), look)

    def _options(self, section: str, man: str, told: list[Any]) -> list[list[Any]]:
        if section == "alignments":
            return [
                [
                    None if entry is None else self._says(section, man, entry, number)
                    for number, entry in enumerate(told)
                ]
            ]
        pairs = list(zip(told, self.looks, strict=True))
        return [
            [entry and (entry["fit"], self._side(man, entry, look)) for entry, look in pairs],
            [frozenset((entry or {}).get("also", [])) for entry, _ in pairs],
        ]

    def _smallest_changes(self, options: list[Any]) -> set[str]:
        changes = set()
        for one, two in combinations(range(len(self.looks)), 2):
            if options[one] != options[two]:
                left, right = self.looks[one], self.looks[two]
                changes.add(
                    frozenset(ref for ref in left if ref in right and left[ref] != right[ref])
                )
        smallest = [change for change in changes if not any(less < change for less in changes)]
        return set().union(*smallest)

    def _met(self, duty: Any, look: Look, answers: dict[str, Any]) -> bool:
        sides = list(FLIP) if duty.get("each_side") else [None]
        return all(
            self._owned(duty, look, answers, side)
            for side in sides
            if holds(self.scheme, look, duty.get("when", {}), side)
        )

    def _owned(self, duty: Any, look: Look, answers: dict[str, Any], side: str | None) -> bool:
        there = {man: entry for man, entry in answers.items() if entry is not None}
        fits = self.scheme["fits"]
        if "gaps" in duty:
            owned = {
                fits[entry["fit"]].get("gap")
                for man, entry in there.items()
                if self._side(man, entry, look) == side
            }
            return owned >= set(duty["gaps"])
        count = sum(
            duty["owned"] in fits[entry["fit"]].get("owns", [])
            and (side is None or own_side(self.scheme, man, look) == side)
            for man, entry in there.items()
        )
        return bool(duty.get("at_least", 1) <= count <= duty.get("at_most", count))

    def fewest(self, shown: set[int]) -> int:
        """Give the size of a smallest look all of whose completions are among these."""
        named = references(self.scheme)
        for size in range(len(named) + 1):
            for chosen in combinations(named, size):
                if self._some_look(chosen, shown):
                    return size
        raise AssertionError("a complete look shows it")

    def _some_look(self, chosen: tuple[str, ...], shown: set[int]) -> bool:
        groups: dict[tuple[Any, ...], bool] = {}
        for number, look in enumerate(self.looks):
            if all(ref in look for ref in chosen):
                values = tuple(look[ref] for ref in chosen)
                groups[values] = groups.get(values, True) and number in shown
        return any(groups.values())

    def shows(self, look: Look, shown: set[int]) -> bool:
        """Tell whether a look has completions and they are all among these."""
        there = [
            number
            for number, whole in enumerate(self.looks)
            if all(ref in whole and whole[ref] == value for ref, value in look.items())
        ]
        return bool(there) and set(there) <= shown
