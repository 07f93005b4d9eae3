"""The rows of the grid: added, split, joined, moved and dropped, each as one edit."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from gradecut.desk.scheme_conditions import AskedFact, Written, joined, parted, when_of_look
from gradecut.desk.scheme_draft import BareRow
from gradecut.desk.scheme_grid import ShownRow
from gradecut.scheme import Value

if TYPE_CHECKING:
    from gradecut.desk.scheme_desk import SchemeDesk

__all__ = ["SchemeRows"]


class SchemeRows:
    """Edits the draft row by row; the row meant is the one in hand.

    Only the fits of the men that are shown go with a row: what a coach does not see stays.
    """

    def __init__(self, desk: SchemeDesk) -> None:
        self._desk = desk
        self._hand = desk.hand

    def add_row(self, when: Written, *, sided: bool, tier: str = "", man: str = "") -> bool:
        """Add a row without a fit to a tier, and take it in hand; an old one is gone to."""
        from gradecut.scheme.editing import row_key, spell_condition

        row, scheme = self._hand.row(), self._desk.shown
        if scheme is None:
            self._hand.refuse("There is no scheme yet; begin one first.")
            return False
        of = tier or (row.tier if row is not None else self._hand.tiers[0])
        line = spell_condition(when)
        key = row_key(of, when)
        who = man or (self._hand.place.man if self._hand.place else next(iter(self._hand.men), ""))
        if who and who not in self._hand.men:
            self._hand.show_group(scheme.positions[who].group or "")
        if not who:
            self._hand.refuse("There is no man yet; add one first (Ctrl+Shift+M).")
            return False
        if self._hand.row(key) is None:
            near = row if row is not None and not tier else None
            below = self._hand.as_bare(near).before if near is not None else ""
            bare = (*self._hand.bare(), BareRow(tier=of, when=line, sided=sided, before=below))
            if not self._desk.edit(f"a row in tier {of}", _as_it_is, bare):
                return False
        self._hand.take(key, who)
        return True

    def add_look(self, look: Mapping[str, Value], man: str = "", tier: str = "") -> bool:
        """Add a row for a look, as the man in hand, or another, sees it."""
        scheme = self._desk.shown
        who = man or (self._hand.place.man if self._hand.place else next(iter(self._hand.men), ""))
        if scheme is None or not who:
            return False
        when = when_of_look(scheme, look, who)
        return self.add_row(when, sided=scheme.positions[who].sided, tier=tier, man=who)

    def change_row(self, when: Written) -> bool:
        """Let the row in hand be for other looks."""
        from gradecut.scheme.editing import change_when, row_key, spell_condition

        row = self._hand.row()
        if row is None:
            return False
        line = spell_condition(when)
        key = row_key(row.tier, when)
        if row.bare:
            made = replace(self._hand.as_bare(row), when=line)
            bare = tuple(made if _is(one, row) else one for one in self._hand.bare())
            done = self._desk.edit("other looks for a row", _as_it_is, bare)
        else:
            men = [man for man in self._hand.men if man in row.cells]

            def change(text: str) -> str:
                return change_when(text, tier=row.tier, when=row.when, new_when=when, men=men)

            done = self._desk.edit(
                "other looks for a row", change, self._hand.bare_without(row.tier, line)
            )
        if done and self._hand.place is not None:
            self._hand.take(key, self._hand.place.man)
        return done

    def split_row(self, fact: AskedFact, chosen: Sequence[Value]) -> bool:
        """Split the row in hand: some values of a fact here, the others in a row below it."""
        from gradecut.scheme.editing import change_when, move_row, row_key, set_fit

        row = self._hand.row()
        halves = parted(row.when, fact, chosen) if row is not None else None
        if row is None or halves is None:
            self._hand.refuse(f"That does not split the row: choose some of {fact.name}, not all.")
            return False
        first, rest = halves
        if row.bare:
            sided = self._hand.sided(row)
            return self.change_row(first) and self.add_row(rest, sided=sided)
        men = [man for man in self._hand.men if man in row.cells]
        below = next((one for one in self._hand.below(row) if not one.bare), None)

        def change(text: str) -> str:
            text = change_when(text, tier=row.tier, when=row.when, new_when=first, men=men)
            for man in men:
                cell = row.cells[man]
                text = set_fit(
                    text, man=man, tier=row.tier, when=rest, fit=cell.fit, also=cell.also,
                    cue=cell.cue,
                )  # fmt: skip
            before = below.when if below is not None else None
            return move_row(text, tier=row.tier, when=rest, before=before)

        done = self._desk.edit(f"a row split by {fact.name}", change)
        if done and self._hand.place is not None:
            self._hand.take(row_key(row.tier, first), self._hand.place.man)
        return done

    def join_next(self) -> bool:
        """Join the row in hand with the next below that differs in one fact's values only."""
        from gradecut.scheme.editing import change_when, clear_fit, row_key

        row = self._hand.row()
        found = self._to_join(row) if row is not None else None
        if row is None or found is None:
            self._hand.refuse(
                "No row below it in this tier differs in the values of one fact only, and asks "
                "the same fits."
            )
            return False
        other, when = found
        men = list(row.cells)

        def change(text: str) -> str:
            text = change_when(text, tier=row.tier, when=row.when, new_when=when, men=men)
            for man in men:
                text = clear_fit(text, man=man, tier=other.tier, when=other.when)
            return text

        key = row_key(row.tier, when)
        bare = self._hand.bare_without(other.tier, other.line)
        done = self._desk.edit("two rows joined", change, bare)
        if done and self._hand.place is not None:
            self._hand.take(key, self._hand.place.man)
        return done

    def _to_join(self, row: ShownRow) -> tuple[ShownRow, Written] | None:
        """Find the next row that can be joined with one, and what both are for then."""
        asked = {man: (cell.fit, cell.also) for man, cell in row.cells.items()}
        for other in self._hand.below(row):
            when = joined(row.when, other.when)
            if (
                when is not None
                and asked
                and asked == {man: (cell.fit, cell.also) for man, cell in other.cells.items()}
            ):
                return other, when
        return None

    def move_row(self, by: int) -> bool:
        """Move the row in hand up or down inside its tier."""
        from gradecut.scheme.editing import move_row

        row, at = self._hand.row(), self._hand.at()[0]
        goal = at + (by if by < 0 else by + 1)
        mine = [one for one in self._hand.rows if row is not None and one.tier == row.tier]
        if row is None or row.bare or not 0 <= at + by < len(self._hand.rows):
            return False
        if self._hand.rows[at + by].tier != row.tier or self._hand.rows[at + by].bare:
            return False
        before = self._hand.rows[goal] if goal < len(self._hand.rows) else None
        if before is not None and (before.tier != row.tier or before.bare or before not in mine):
            before = None

        def change(text: str) -> str:
            return move_row(
                text, tier=row.tier, when=row.when, before=before.when if before else None
            )

        return self._desk.edit("a row moved", change)

    def move_to_tier(self, tier: str) -> bool:
        """Move the row in hand to another tier."""
        from gradecut.scheme.editing import move_row, row_key

        row = self._hand.row()
        if row is None or row.tier == tier:
            return False
        if row.bare:
            made = BareRow(tier=tier, when=row.line, sided=self._hand.sided(row))
            bare = tuple(made if _is(one, row) else one for one in self._hand.bare())
            done = self._desk.edit(f"a row moved to {tier}", _as_it_is, bare)
        else:

            def change(text: str) -> str:
                return move_row(text, tier=row.tier, when=row.when, to_tier=tier)

            done = self._desk.edit(f"a row moved to {tier}", change)
        if done and self._hand.place is not None:
            self._hand.take(row_key(tier, row.when), self._hand.place.man)
        return done

    def drop_row(self) -> bool:
        """Drop the row in hand with the fits of the men that are shown."""
        from gradecut.scheme.editing import clear_fit

        row, at = self._hand.row(), self._hand.at()
        if row is None:
            return False
        men = [man for man in self._hand.men if man in row.cells]

        def change(text: str) -> str:
            for man in men:
                text = clear_fit(text, man=man, tier=row.tier, when=row.when)
            return text

        done = self._desk.edit("a row dropped", change, self._hand.bare_without(row.tier, row.line))
        if done and self._hand.rows:
            self._hand.take(
                self._hand.rows[min(at[0], len(self._hand.rows) - 1)].key, self._hand.men[at[1]]
            )
        return done


def _as_it_is(text: str) -> str:
    return text


def _is(one: BareRow, row: ShownRow) -> bool:
    return (one.tier, one.when) == (row.tier, row.line)
