"""The grid of a scheme as a sheet for a spreadsheet, out and in.

One line for each row of the grid: its tier, its condition in words, and a column for each man with
what he owes. To the right stand his cue, what else is right, and the id of the rule, by which a
changed line is known again.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from os import PathLike
from pathlib import Path

from gradecut.errors import OutputError
from gradecut.outfile import check_goal, whole_file
from gradecut.scheme import Rule, Scheme
from gradecut.scheme.editing import spell_condition, spell_names, written
from gradecut.scheme.grid import grid_of
from gradecut.workflows._grid_columns import (
    ALSO,
    CUE,
    LONGEST_CELL,
    RULE,
    TIER,
    WHEN,
    looks_escaped,
    sealed,
)
from gradecut.workflows._grid_taking import read_grid

__all__ = ["read_grid", "write_grid"]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Line:
    tier: str
    when: str
    rules: Mapping[str, Rule]


def write_grid(scheme: Scheme, path: str | PathLike[str]) -> None:
    """Write a scheme's grid as a sheet.

    Parameters
    ----------
    scheme : Scheme
        A sound scheme; all its men and rules are written.
    path : path
        Where; ".csv" (UTF-8) or ".xlsx", which offers each man the coach's own list of fits.

    Raises
    ------
    OutputError
        When the file can't be written there, or a name or a cue can't stand in a sheet.
    """
    goal = check_goal(path, endings=(".csv", ".xlsx"), what="the grid")
    table = _table(scheme)
    _check(table, goal)
    with whole_file(goal) as draft:
        if goal.suffix.lower() == ".csv":
            _write_csv(table, draft)
        else:
            _write_workbook(table, scheme, draft)


def _table(scheme: Scheme) -> list[list[str]]:
    lines = list(_lines(scheme))
    men = list(scheme.positions)
    said = [rule for rule in scheme.rules if rule.also]
    also = [man for man in men if any(man in rule.men for rule in said)]
    head = [TIER, WHEN, *men]
    head += [ALSO.format(man) for man in also]
    head += [CUE.format(man) for man in men] + [RULE.format(man) for man in men]
    table = [head]
    for line in lines:
        rules = line.rules
        row = [line.tier, line.when]
        row += [rules[man].fit if man in rules else "" for man in men]
        row += [spell_names(rules[man].also) if man in rules else "" for man in also]
        row += [(rules[man].cue or "") if man in rules else "" for man in men]
        row += [rules[man].id if man in rules else "" for man in men]
        table.append(row)
    return table


def _lines(scheme: Scheme) -> Iterator[_Line]:
    """Give the lines of the sheet: the rows, and further ones where a man has a second rule."""
    by_id = {rule.id: rule for rule in scheme.rules}
    for row in grid_of(scheme).rows:
        layers: list[dict[str, Rule]] = [{man: by_id[row.cells[man].rule] for man in row.cells}]
        for name in row.clashing:
            for man in by_id[name].men:
                if layers[0][man].id != name:
                    _lay(layers, man, by_id[name])
        when = spell_condition(written(row.when))
        yield from (_Line(tier=row.tier, when=when, rules=layer) for layer in layers)


def _lay(layers: list[dict[str, Rule]], man: str, rule: Rule) -> None:
    free = next((layer for layer in layers if man not in layer), None)
    if free is None:
        layers.append({man: rule})
    else:
        free[man] = rule


def _check(table: Sequence[Sequence[str]], goal: Path) -> None:
    head = table[0]
    for name in head:
        if head.count(name) > 1:
            raise OutputError(goal, f"two columns would be called “{name}”; rename the position.")
    for row in table:
        for name, cell in zip(head, row, strict=True):
            if len(cell.encode("utf-16-le")) // 2 > LONGEST_CELL:
                raise OutputError(goal, f"a text in {name} is too long for a cell; shorten it.")
            if "\0" in cell or looks_escaped(cell):
                raise OutputError(goal, f"a text in {name} holds a sign no sheet can hold.")


def _write_csv(table: Sequence[Sequence[str]], draft: Path) -> None:
    out = io.StringIO(newline="")
    csv.writer(out).writerows([[sealed(cell) for cell in row] for row in table])
    draft.write_bytes(out.getvalue().encode("utf-8-sig"))


def _write_workbook(table: Sequence[Sequence[str]], scheme: Scheme, draft: Path) -> None:
    from gradecut.workflows._grid_book import write_book

    write_book(table, scheme, draft)
