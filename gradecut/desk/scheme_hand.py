"""The grid in hand: which cell, and what can be done to it, to its row and to its tier."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from psygnal import Signal

from gradecut.desk.saying import Refusal
from gradecut.desk.scheme_conditions import (
    AskedFact,
    Written,
    admitted,
    asked_facts,
)
from gradecut.desk.scheme_draft import BareRow
from gradecut.desk.scheme_fits import FitChoice, fit_choices
from gradecut.desk.scheme_grid import ShownRow, condition_of, look_of_row, rows_of
from gradecut.scheme import Value

if TYPE_CHECKING:
    from gradecut.desk.scheme_audit import FindingRow
    from gradecut.desk.scheme_desk import SchemeDesk

__all__ = ["Place", "SchemeHand"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """A cell of the grid: the key of its row, and the man."""

    row: str
    man: str


class SchemeHand:
    """Holds the rows that are shown and the cell in hand, and edits the draft through them.

    Attributes
    ----------
    group : str
        The group of men across; "" for all of them.
    men : tuple of str
    rows : tuple of ShownRow
        Lowest tier first.
    place : Place or None
        The cell in hand; None while there is no row.

    Signals
    -------
    place_changed
        Another cell is in hand.
    rows_changed
        Other rows, or other men, are shown.
    """

    place_changed = Signal()
    rows_changed = Signal()

    def __init__(self, desk: SchemeDesk) -> None:
        self._desk = desk
        self.group: str | None = None
        self.men: tuple[str, ...] = ()
        self.rows: tuple[ShownRow, ...] = ()
        self.place: Place | None = None
        self._used: list[str] = []
        self._near = 0
        self._looks: dict[tuple[str, str], Mapping[str, Value]] = {}
        self._elsewhere: dict[tuple[str, str], str] = {}

    # ------------------------------------------------------------------ what is shown

    @property
    def tiers(self) -> tuple[str, ...]:
        """The tiers, lowest first."""
        return self._desk.shown.tiers if self._desk.shown is not None else ()

    def read(self) -> None:
        """Read the rows again, after an edit."""
        scheme = self._desk.shown
        self._looks.clear()
        self._elsewhere.clear()
        if scheme is None:
            self.men, self.rows = (), ()
        else:
            if self.group is None or (self.group and self.group not in scheme.groups):
                self.group = next(iter(self._desk.groups()), "")
            men = scheme.groups.get(self.group, ()) if self.group else ()
            self.men = men or tuple(scheme.positions)
            draft = self._desk.draft
            self.rows = tuple(rows_of(scheme, self.men, draft.bare if draft else ()))
        self._keep_place()
        self.rows_changed.emit()

    def show_group(self, group: str) -> None:
        """Show the men of a group; "" for all."""
        self.group = group
        self.read()

    def row(self, key: str | None = None) -> ShownRow | None:
        """Return a row by its key; without one the row in hand."""
        wanted = key if key is not None else self.place.row if self.place else None
        return next((row for row in self.rows if row.key == wanted), None)

    def look(self, row: ShownRow) -> Mapping[str, Value]:
        """Return the look a row is drawn with: as the first man who has a fit there meets it."""
        scheme = self._desk.shown
        man = next((man for man in self.men if man in row.cells), self._reader(row))
        if scheme is None or not man:
            return {}
        known = (row.key, man)
        if known not in self._looks:
            self._looks[known] = look_of_row(scheme, row, man)
        return self._looks[known]

    def look_of(self, when: Written) -> dict[str, Value]:
        """Return the look a condition would be drawn with, as the man in hand meets it."""
        from gradecut.scheme.grid import row_look

        scheme = self._desk.shown
        man = self.place.man if self.place is not None else next(iter(self.men), "")
        return row_look(scheme, condition_of(when), man) if scheme is not None and man else {}

    def cell_words(self) -> str:
        """Say the cell in hand in one sentence."""
        row, place = self.row(), self.place
        if row is None or place is None:
            return ""
        cell = row.cells.get(place.man)
        if cell is None:
            told = f"{place.man} on {_on(row)}: no fit asked in tier {row.tier}"
            other = self.elsewhere(row, place.man)
            return f"{told}; answered by {other}." if other else f"{told}."
        told = f"{place.man} on {_on(row)}: {cell.fit}"
        if cell.also:
            told += f", or {' or '.join(cell.also)}"
        others = [man for man in cell.men if man != place.man]
        shared = f", as for {', '.join(others)}" if others else ""
        cue = f" “{cell.cue}”" if cell.cue else ""
        return f"{told} ({cell.rule}{shared}).{cue}"

    def elsewhere(self, row: ShownRow, man: str) -> str:
        """Say what another row asks of a man on every look of one that asks nothing of him.

        Returns
        -------
        str
            "R15: hang A"; empty where no one fit holds on all of its looks.
        """
        known, scheme = (row.key, man), self._desk.shown
        if known not in self._elsewhere and scheme is not None:
            from gradecut.scheme.grid import row_answer

            found = row_answer(scheme, condition_of(row.when), man)
            told = f"{', '.join(found.rules)}: {found.fit}" if found is not None else ""
            self._elsewhere[known] = told
        return self._elsewhere.get(known, "")

    def knows_elsewhere(self, row: ShownRow, man: str) -> bool:
        """Tell whether that was sought already."""
        return (row.key, man) in self._elsewhere

    def findings(self, row: ShownRow, man: str) -> tuple[FindingRow, ...]:
        """Return what the audit found of a cell."""
        cell = row.cells.get(man)
        return self._desk.audit.marks(cell.rule, man) if cell is not None else ()

    # ------------------------------------------------------------------ going about

    def go(self, down: int, across: int) -> None:
        """Move the cell in hand, as far as there are rows and men."""
        if not self.rows or not self.men:
            return
        at = self.at()
        row = min(max(at[0] + down, 0), len(self.rows) - 1)
        man = min(max(at[1] + across, 0), len(self.men) - 1)
        self.take(self.rows[row].key, self.men[man])

    def go_tier(self, by: int) -> None:
        """Go to the first row of the next tier that has one, or of one before."""
        row = self.row()
        if row is None:
            return
        tiers = list(dict.fromkeys(one.tier for one in self.rows))
        place = min(max(tiers.index(row.tier) + by, 0), len(tiers) - 1)
        first = next(one for one in self.rows if one.tier == tiers[place])
        self.take(first.key, self.place.man if self.place else self.men[0])

    def take(self, row: str, man: str) -> None:
        """Take a cell in hand."""
        self.place = Place(row=row, man=man)
        self._near = self.at()[0]
        self.place_changed.emit()

    def go_to(self, rules: Sequence[str], position: str | None) -> bool:
        """Take the cell of the first of some rules in hand; False where none is in the grid."""
        scheme = self._desk.shown
        found = [rule for rule in scheme.rules if rule.id in rules] if scheme else []
        men = [man for rule in found for man in rule.men]
        man = position or next((one for one in men if one in self.men), next(iter(men), None))
        if man is None:
            return False
        if man not in self.men:
            self.show_group(scheme.positions[man].group or "" if scheme else "")
        for row in self.rows:
            cell = row.cells.get(man)
            if cell is not None and cell.rule in rules:
                self.take(row.key, man)
                return True
        return False

    # ------------------------------------------------------------------ the cell

    def fits(self, typed: str = "") -> list[FitChoice]:
        """List the fits that go with what was typed, those used last on top."""
        scheme, place = self._desk.shown, self.place
        if scheme is None:
            return []
        return fit_choices(scheme, typed, self._used, place.man if place else "")

    def set_fit(self, fit: str) -> bool:
        """Ask a fit of the man in hand on the looks of his row; cue and what else counts stay."""
        row, place = self.row(), self.place
        if row is None or place is None:
            return False
        from gradecut.scheme.editing import move_row, set_fit

        cell = row.cells.get(place.man)
        also = tuple(one for one in cell.also if one != fit) if cell else ()
        cue = cell.cue if cell is not None else None

        below = next((one for one in self.below(row) if not one.bare), None)

        def change(text: str) -> str:
            made = set_fit(
                text, man=place.man, tier=row.tier, when=row.when, fit=fit, also=also, cue=cue
            )
            if not row.bare:
                return made
            before = below.when if below is not None else None
            return move_row(made, tier=row.tier, when=row.when, before=before)

        done = self._desk.edit(
            f"{fit} for {place.man}", change, self.bare_without(row.tier, row.line)
        )
        if done:
            self._used = [fit, *(one for one in self._used if one != fit)]
        return done

    def say_more(self, cue: str, also: Sequence[str]) -> bool:
        """Write the cue of the cell in hand, and the fits that count as right too."""
        row, place = self.row(), self.place
        cell = row.cells.get(place.man) if row is not None and place is not None else None
        if row is None or place is None or cell is None:
            self.refuse("Choose a fit for him first; a cue goes with one.")
            return False
        from gradecut.scheme.editing import set_fit

        def change(text: str) -> str:
            return set_fit(
                text, man=place.man, tier=row.tier, when=row.when, fit=cell.fit,
                also=tuple(also), cue=cue.strip() or None,
            )  # fmt: skip

        return self._desk.edit(f"cue of {cell.fit} for {place.man}", change)

    def clear(self) -> bool:
        """Ask nothing of the man in hand on the looks of his row; the row stays."""
        row, place = self.row(), self.place
        if row is None or place is None or place.man not in row.cells:
            return False
        from gradecut.scheme.editing import clear_fit

        def change(text: str) -> str:
            return clear_fit(text, man=place.man, tier=row.tier, when=row.when)

        bare = self.bare()
        if len(row.cells) == 1:
            bare = (*bare, self.as_bare(row))
        return self._desk.edit(f"no fit for {place.man}", change, bare)

    # ------------------------------------------------------------------ what its row may ask

    def asked_facts(self, row: ShownRow | None = None) -> list[AskedFact]:
        """List what the condition of a row may ask, as its men see it."""
        scheme = self._desk.shown
        return asked_facts(scheme, sided=self.sided(row)) if scheme is not None else []

    def split_facts(self) -> list[tuple[AskedFact, AskedFact]]:
        """List what the row in hand can be split by, what it names already first.

        Returns
        -------
        list of (whole, open)
            A fact, and the same with those of its values only that the row lets through.
        """
        row = self.row()
        if row is None:
            return []
        tables = row.when if isinstance(row.when, list) else [row.when]
        found: list[tuple[bool, AskedFact, AskedFact]] = []
        for fact in self.asked_facts(row):
            named = [way[fact.reference] for way in tables if fact.reference in way]
            let = [
                value
                for value in fact.values
                if len(named) < len(tables) or any(admitted(one, [value]) for one in named)
            ]
            if len(let) > 1:
                found.append((not named, fact, replace(fact, values=tuple(let))))
        return [(whole, open_) for _, whole, open_ in sorted(found, key=lambda one: one[0])]

    def sided(self, row: ShownRow | None = None) -> bool:
        """Tell whether a row's condition, or a new row's, is written with to and away."""
        scheme = self._desk.shown
        if row is not None and row.sided is not None:
            return row.sided
        men = [man for man in self.men if row is not None and man in row.cells]
        man = men[0] if men else self.place.man if self.place else next(iter(self.men), "")
        return scheme.positions[man].sided if scheme is not None and man else True

    def read_line(self, line: str, *, sided: bool) -> Written:
        """Read a condition that was typed.

        Raises
        ------
        SchemeError
            With one sentence on what can't be read.
        """
        from gradecut.scheme.editing import read_condition_text

        scheme = self._desk.shown
        assert scheme is not None
        return read_condition_text(line, scheme, sided=sided)

    # ------------------------------------------------------------------ inside

    def refuse(self, sentence: str) -> None:
        """Say why something was not done."""
        self._desk.say(Refusal(sentence))

    def _reader(self, row: ShownRow) -> str:
        """Return the man whose eyes a row without a fit is drawn with."""
        scheme = self._desk.shown
        if self.place is not None and self.place.row == row.key:
            return self.place.man
        wanted = row.sided if row.sided is not None else True
        men = [man for man in self.men if scheme and scheme.positions[man].sided == wanted]
        return next(iter(men or self.men), "")

    def at(self) -> tuple[int, int]:
        """Return row and man in hand as numbers; the first where there is none."""
        place = self.place
        if place is None:
            return 0, 0
        row = next((at for at, row in enumerate(self.rows) if row.key == place.row), 0)
        return row, self.men.index(place.man) if place.man in self.men else 0

    def _keep_place(self) -> None:
        """Stay in the cell in hand where it is still there, else go to the nearest."""
        if not self.rows or not self.men:
            self.place = None
            return
        place = self.place
        man = place.man if place is not None and place.man in self.men else self.men[0]
        near = self.rows[min(self._near, len(self.rows) - 1)]
        key = place.row if place is not None and self.row(place.row) else near.key
        self.place = Place(row=key, man=man)

    def below(self, row: ShownRow) -> list[ShownRow]:
        """Return the rows below one in its tier."""
        at = next((at for at, one in enumerate(self.rows) if one.key == row.key), len(self.rows))
        return [one for one in self.rows[at + 1 :] if one.tier == row.tier]

    def as_bare(self, row: ShownRow) -> BareRow:
        """Return a row as it stands without a fit."""
        below = next((one.line for one in self.below(row) if not one.bare), "")
        return BareRow(tier=row.tier, when=row.line, sided=row.sided is not False, before=below)

    def bare(self) -> tuple[BareRow, ...]:
        """Return the rows without a fit."""
        return self._desk.draft.bare if self._desk.draft is not None else ()

    def bare_without(self, tier: str, line: str) -> tuple[BareRow, ...]:
        """Return them without one."""
        return tuple(one for one in self.bare() if (one.tier, one.when) != (tier, line))


def _on(row: ShownRow) -> str:
    """Return the looks of a row as they go on behind "on"."""
    return "every look" if row.words == "always" else row.words
