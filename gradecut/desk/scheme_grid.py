"""The grid as it is shown: rows with their looks in words, men across, tier beneath tier."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from gradecut.desk.scheme_conditions import Written
from gradecut.desk.scheme_draft import BareRow
from gradecut.scheme import Entry, Scheme, Value
from gradecut.scheme.parts import Condition
from gradecut.workflows.rule_words import rule_when

if TYPE_CHECKING:
    from gradecut.scheme.grid import GridCell

__all__ = ["ShownRow", "condition_of", "look_of_row", "rows_of"]


@dataclass(frozen=True, slots=True, kw_only=True)
class ShownRow:
    """One row of the grid.

    Attributes
    ----------
    key : str
        The same between edits that leave tier and condition as they are.
    tier : str
    when : written condition
    words : str
        The looks it is for: "power or counter · run to him".
    line : str
        The same as it is typed.
    sided : bool or None
        It is written with to and away; None: it names no side, so it is for any man.
    cells : mapping of man to GridCell
    clashing : tuple of str
        Rules for a man who has another one in this row.
    bare : bool
        It holds no fit yet, so the file does not know it.
    """

    key: str
    tier: str
    when: Written
    words: str
    line: str
    sided: bool | None
    cells: Mapping[str, GridCell]
    clashing: tuple[str, ...] = ()
    bare: bool = False


def rows_of(scheme: Scheme, men: Sequence[str], bare: Sequence[BareRow]) -> list[ShownRow]:
    """List the rows for some men, lowest tier first; those without a fit where they were put."""
    from gradecut.scheme.editing import written
    from gradecut.scheme.grid import grid_of

    found: list[ShownRow] = []
    for row in grid_of(scheme, men).rows:
        when = written(row.when)
        found.append(_shown(scheme, row.tier, when, dict(row.cells), row.clashing))
    keys = {row.key for row in found}
    for one in bare:
        made = _bare(scheme, one)
        if made is not None and made.key not in keys and one.tier in scheme.tiers:
            keys.add(made.key)
            found.insert(_place(found, one), made)
    tiers = {tier: place for place, tier in enumerate(scheme.tiers)}
    return sorted(found, key=lambda row: tiers[row.tier])


def look_of_row(scheme: Scheme, row: ShownRow, man: str) -> Mapping[str, Value]:
    """Return a look that shows a row, as a man on the right meets it; empty where there is none."""
    from gradecut.scheme.grid import row_look

    return row_look(scheme, condition_of(row.when), man)


def condition_of(when: Written) -> Condition:
    """Turn a written condition, known to be sound, into what rules are made of."""
    ways = when if isinstance(when, list) else [when]
    return tuple(tuple(_entry(key, asked) for key, asked in way.items()) for way in ways)


def _shown(
    scheme: Scheme,
    tier: str,
    when: Written,
    cells: Mapping[str, GridCell],
    clashing: tuple[str, ...] = (),
    *,
    bare: bool = False,
) -> ShownRow:
    from gradecut.scheme.editing import row_key, spell_condition
    from gradecut.scheme.grid import sidedness

    line = spell_condition(when)
    return ShownRow(
        key=row_key(tier, when),
        tier=tier,
        when=when,
        words=rule_when(condition_of(when)),
        line=line,
        sided=sidedness(condition_of(when), scheme),
        cells=cells,
        clashing=clashing,
        bare=bare,
    )


def _place(rows: Sequence[ShownRow], row: BareRow) -> int:
    """Return where a row without a fit stands among those of its tier."""
    lines = [one.line if one.tier == row.tier else None for one in rows]
    return lines.index(row.before) if row.before and row.before in lines else len(rows)


def _bare(scheme: Scheme, row: BareRow) -> ShownRow | None:
    """Return a row without a fit; None where its facts are not those of the scheme any more."""
    from gradecut.errors import SchemeError
    from gradecut.scheme.editing import read_condition_text

    try:
        when = read_condition_text(row.when, scheme, sided=row.sided)
    except SchemeError:
        return None
    return _shown(scheme, row.tier, when, {}, bare=True)


def _entry(reference: str, asked: Any) -> Entry:
    fact, _, where = reference.partition(".")
    if isinstance(asked, Mapping):
        return Entry(
            fact=fact,
            where=where or None,
            barred=_several(asked["not"]) if "not" in asked else (),
            least=asked.get("min"),
            most=asked.get("max"),
        )
    return Entry(fact=fact, where=where or None, among=_several(asked))


def _several(asked: Any) -> tuple[Value, ...]:
    return tuple(asked) if isinstance(asked, (list, tuple)) else (asked,)
