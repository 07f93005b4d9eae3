"""The rules of a draft as rows: one tier, one condition, and the men it is for."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from typing import Any

from gradecut.hints import nearest
from gradecut.scheme._page import shown
from gradecut.scheme.editing._draft import Draft
from gradecut.scheme.editing._spelling import refusal
from gradecut.scheme.editing._written import Written, condition_key

__all__ = ["ALIGNMENT_KEYS", "RULE_KEYS", "Rows"]

RULE_KEYS = ("id", "for", "tier", "when", "fit", "also", "cue")
ALIGNMENT_KEYS = (
    "id", "for", "tier", "when", "depth_yd", "landmark", "side", "tolerance_yd", "eyes",
)  # fmt: skip
_NUMBERED = re.compile(r"(.*?)(\d{1,9})", re.DOTALL)


class Rows:
    """The rules, or the alignments, of a draft.

    Parameters
    ----------
    draft : Draft
        The file being edited.
    section : "rules" or "alignments"
        Which.
    """

    def __init__(self, draft: Draft, section: str = "rules") -> None:
        self._draft = draft
        self.section = section
        self.keys = RULE_KEYS if section == "rules" else ALIGNMENT_KEYS

    @property
    def tables(self) -> list[dict[str, Any]]:
        """Give the tables as they are now; what is no table is empty."""
        found = self._draft.data.get(self.section)
        if not isinstance(found, list):
            return []
        return [table if isinstance(table, dict) else {} for table in found]

    @property
    def tiers(self) -> list[str]:
        """Give the tiers, lowest first."""
        return tiers_of(self._draft)

    def tier_of(self, table: Mapping[str, Any]) -> object:
        """Give the tier a table is in."""
        return table.get("tier", self.tiers[0])

    def men_of(self, table: Mapping[str, Any]) -> list[Any]:
        """Give the men a table is for."""
        men = table.get("for")
        return men if isinstance(men, list) else []

    def in_row(self, tier: str, when: Written, man: str | None = None) -> list[int]:
        """Give the places of the tables with this tier and condition, of one man if he is told."""
        key = condition_key(when)
        return [
            place
            for place, table in enumerate(self.tables)
            if self.tier_of(table) == tier
            and (man is None or man in self.men_of(table))
            and condition_key(table.get("when", {})) == key
        ]

    def check(self, tier: str | None = None, man: str | None = None) -> None:
        """Refuse a tier or a man the file does not have."""
        if tier is not None and tier not in self.tiers:
            raise refusal(f"the scheme has no tier {shown(tier)}; {nearest(tier, self.tiers)}")
        men = self._draft.data.get("positions")
        if man is not None and not (isinstance(men, dict) and man in men):
            known = list(men) if isinstance(men, dict) else []
            raise refusal(f"the scheme has no position {shown(man)}; {nearest(man, known)}")

    def leave(self, place: int, man: str) -> bool:
        """Take a man out of a table, and the table out of the file when he was its last.

        Returns
        -------
        bool
            Whether the table is gone.
        """
        men = self.men_of(self.tables[place])
        if [name for name in men if name != man]:
            for at in reversed([at for at, name in enumerate(men) if name == man]):
                self._draft.take_out((self.section, place, "for", at))
            return False
        self._draft.take_out((self.section, place))
        return True

    def leave_all(self, places: Sequence[int], man: str) -> None:
        """Take a man out of several tables; those he was the last of go."""
        last = [at for at in places if all(name == man for name in self.men_of(self.tables[at]))]
        for place in places:
            if place not in last:
                self.leave(place, man)
        if last:
            self._draft.drop_tables(self.section, last)

    def join(self, place: int, man: str) -> None:
        """Add a man to a table."""
        men = self.men_of(self.tables[place])
        if man not in men:
            self._draft.insert((self.section, place, "for"), len(men), man)

    def put(self, place: int, key: str, value: Any) -> None:
        """Set a key of a table; None, an empty list or an empty condition takes it out."""
        path = (self.section, place, key)
        if value is None or (isinstance(value, list | tuple | dict) and not len(value)):
            if key in self.tables[place]:
                self._draft.take_out(path)
            return
        self._draft.put(path, value, self.keys)

    def add(self, table: Mapping[str, Any], after: int | None) -> None:
        """Add a table after another; keys without a value are left out."""
        body = {key: table[key] for key in self.keys if _said(table.get(key))}
        if body.get("tier") == self.tiers[0] and not self._spelled_out():
            del body["tier"]
        self._draft.add_table(self.section, body, after)

    def _spelled_out(self) -> bool:
        """Tell whether the file writes its lowest tier at rules that are in it."""
        return any(table.get("tier") == self.tiers[0] for table in self.tables)

    def place_for(self, man: str, tier: str) -> int | None:
        """Give the place of the table after which a new one of this man in this tier belongs."""
        tables = self.tables
        his = [at for at, table in enumerate(tables) if man in self.men_of(table)]
        level = [at for at, table in enumerate(tables) if self.tier_of(table) == tier]
        both = [at for at in his if at in level]
        alone = [at for at in both if self.men_of(tables[at]) == [man]]
        found = alone or both or level or his
        return found[-1] if found else None

    def free_id(self, man: str) -> str:
        """Make an id like the man's others: after K14 comes K15."""
        taken = ids_of(self._draft)
        his = [table for table in self.tables if man in self.men_of(table)]
        his.sort(key=lambda table: self.men_of(table) == [man])  # of his own, the last counts most
        stem, width = _stem(man, self.section), 1
        for found in [table.get("id") for table in reversed(his)]:
            numbered = _NUMBERED.fullmatch(found) if isinstance(found, str) else None
            if numbered:
                stem, width = numbered.group(1), len(numbered.group(2))
                break
        numbers = [0]
        for name in taken:
            numbered = _NUMBERED.fullmatch(name)
            if numbered and numbered.group(1) == stem:
                numbers.append(int(numbered.group(2)))
        return f"{stem}{max(numbers) + 1:0{width}d}"


def tiers_of(draft: Draft) -> list[str]:
    """Give the tiers of a draft, lowest first."""
    head = draft.data.get("scheme")
    found = head.get("tiers") if isinstance(head, dict) else None
    tiers = [tier for tier in found if isinstance(tier, str)] if isinstance(found, list) else []
    return tiers or ["base"]


def ids_of(draft: Draft) -> set[str]:
    """Give all ids that are taken."""
    return {
        table["id"]
        for section in ("rules", "alignments")
        for table in Rows(draft, section).tables
        if isinstance(table.get("id"), str)
    }


def _said(value: Any) -> bool:
    return value is not None and not (isinstance(value, list | tuple | dict) and not len(value))


def _stem(man: str, section: str) -> str:
    letter = next((letter.upper() for letter in man if letter.isalnum()), "R")
    return letter if section == "rules" else f"{letter}a"
