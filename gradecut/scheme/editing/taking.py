"""A whole grid taken over: every rule of some men made to say what a sheet says."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any

from gradecut.scheme.editing._draft import Draft
from gradecut.scheme.editing._keeping import kept
from gradecut.scheme.editing._rows import Rows
from gradecut.scheme.editing._written import Written, condition_key
from gradecut.scheme.editing.cells import add_in_row

__all__ = ["CellSaid", "take_cells"]


@dataclass(frozen=True, slots=True, kw_only=True)
class CellSaid:
    """What a sheet says of one man on one row.

    Attributes
    ----------
    man, tier : str
        The position and the tier.
    when : dict or list of dict
        The condition as the file writes it.
    fit : str
        What he owes.
    also : tuple of str
        Fits graded as right too.
    cue : str or None
        What the coach says to him.
    rule : str or None
        The id of its rule; None: whichever fits.
    """

    man: str
    tier: str
    when: Written
    fit: str
    also: tuple[str, ...] = ()
    cue: str | None = None
    rule: str | None = None

    @property
    def form(self) -> _Form:
        """Give what two cells of one rule have to share."""
        return (self.tier, condition_key(self.when), self.fit, frozenset(self.also), self.cue)

    @property
    def said(self) -> dict[str, Any]:
        """Give what its rule says, by the file's keys."""
        return {"fit": self.fit, "also": list(self.also), "cue": self.cue}


_Form = tuple[str, str, str, frozenset[str], str | None]


def take_cells(text: str, cells: Iterable[CellSaid], men: Sequence[str]) -> str:
    """Make the rules of some men say what these cells say, and nothing else.

    A rule whose id a cell names stays that rule: its fit, condition or tier change where it
    stands. Where cells of one id have come to differ, those that say what the rule says keep it,
    else the first; the others get a rule of their own. A rule that no cell names any more is no
    longer for these men, and goes when it is for nobody.

    Parameters
    ----------
    text : str
        A whole scheme file without faults.
    cells : iterable of CellSaid
        Every cell that is filled.
    men : sequence of str
        The men of the sheet; rules are left alone as far as they are for others.

    Returns
    -------
    str
        The new text; where nothing differs, the same.

    Raises
    ------
    SchemeError
        When the text would have a fault it has not now.
    """
    draft = Draft(text)
    rows = Rows(draft)
    columns = set(men)
    named: dict[str, dict[_Form, list[CellSaid]]] = {}
    free: list[CellSaid] = []
    for cell in cells:
        if cell.rule is None:
            free.append(cell)
        else:
            named.setdefault(cell.rule, {}).setdefault(cell.form, []).append(cell)
    for name in [str(table.get("id")) for table in rows.tables]:
        free += _settle(rows, name, named.pop(name, {}), columns)
    for name, forms in named.items():
        first, *rest = forms.values()
        _add(rows, name, first)
        free += [cell for cells in rest for cell in cells]
    for cell in free:
        add_in_row(rows, cell.man, cell.tier, cell.when, cell.said)
    return kept(text, draft)


def _settle(
    rows: Rows, name: str, forms: dict[_Form, list[CellSaid]], columns: set[str]
) -> list[CellSaid]:
    """Make one rule say what its cells say; give the cells that need another rule."""
    table = rows.tables[_place(rows, name)]
    now = _form(rows, table)
    foreign = [man for man in rows.men_of(table) if man not in columns]
    chosen = now if now in forms or foreign else next(iter(forms), None)
    mine = forms.get(chosen, []) if chosen is not None else []
    if mine and chosen != now:
        _say(rows, name, mine[0])
    for cell in mine:
        rows.join(_place(rows, name), cell.man)
    staying = {cell.man for cell in mine}
    for man in list(rows.men_of(rows.tables[_place(rows, name)])):
        if man in columns and man not in staying:
            rows.leave(_place(rows, name), man)
    return [cell for form, cells in forms.items() if form != chosen for cell in cells]


def _say(rows: Rows, name: str, cell: CellSaid) -> None:
    place = _place(rows, name)
    table = rows.tables[place]
    if condition_key(table.get("when", {})) != condition_key(cell.when):
        rows.put(place, "when", cell.when)
    if rows.tier_of(table) != cell.tier:
        rows.put(place, "tier", cell.tier)
    for key, value in cell.said.items():
        if key == "also" and set(value) == set(table.get("also", ())):
            continue
        if (table.get(key) or None) != value:
            rows.put(place, key, value)


def _add(rows: Rows, name: str, cells: list[CellSaid]) -> None:
    first = cells[0]
    men = list(dict.fromkeys(cell.man for cell in cells))
    body = {"id": name, "for": men, "tier": first.tier, "when": first.when, **first.said}
    rows.add(body, rows.place_for(first.man, first.tier))


def _place(rows: Rows, name: str) -> int:
    return next(at for at, table in enumerate(rows.tables) if table.get("id") == name)


def _form(rows: Rows, table: dict[str, Any]) -> _Form:
    return (
        str(rows.tier_of(table)),
        condition_key(table.get("when", {})),
        str(table.get("fit")),
        frozenset(table.get("also", ())),
        table.get("cue") or None,
    )
