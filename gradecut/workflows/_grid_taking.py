"""A sheet of the grid read back into a scheme file."""

from __future__ import annotations

import csv
import io
import re
from dataclasses import dataclass
from os import PathLike
from pathlib import Path

from gradecut.errors import InputError, SchemeError
from gradecut.hints import nearest
from gradecut.scheme import Rule, Scheme
from gradecut.scheme.editing import (
    CellSaid,
    Written,
    condition_key,
    read_condition_text,
    read_names,
    spell_condition,
    spell_names,
    take_cells,
    written,
)
from gradecut.workflows._grid_columns import ALSO, CUE, RULE, TIER, WHEN, opened
from gradecut.workflows.sheets import Faults, read_text

__all__ = ["read_grid"]

_MOST_LINES = 5_000
_DELIMITER = re.compile(r'\s*"?tier"?\s*([,;\t])')
_OF_RULE = re.compile(r'rule "(.*?)": ')

_Lines = list[tuple[int, list[str]]]


def read_grid(scheme: Scheme, path: str | PathLike[str]) -> str:
    """Take over a sheet of the grid into the scheme it was written from.

    The order of lines means nothing. A filled cell is a rule; an empty one is none. Columns may
    be left out: a man who is not on the sheet keeps his rules, and without their columns cues,
    what else is right and ids are kept where the fit is.

    Parameters
    ----------
    scheme : Scheme
        The scheme as it is now.
    path : path
        The sheet, CSV or XLSX, as `write_grid` makes it.

    Returns
    -------
    str
        The new text of the scheme file: comments, order and layout of all that did not change
        are as they were; where nothing changed it is the same.

    Raises
    ------
    InputError
        With every fault of the sheet and its line.
    SchemeError
        When the scheme file is laid out so that it can't be changed here.
    """
    suffix = Path(path).suffix.lower()
    if suffix not in (".csv", ".xlsx"):
        raise InputError(path, [(0, "is neither .csv nor .xlsx; save the sheet as one of them.")])
    lines = _csv_lines(path) if suffix == ".csv" else _book_lines(path)
    lines = [(line, cells) for line, cells in lines if any(cell.strip() for cell in cells)]
    if not lines:
        raise InputError(path, [(0, "is empty; its first line names the columns.")])
    if len(lines) > _MOST_LINES:
        raise InputError(path, [(0, f"has more than {_MOST_LINES} lines; is it the right file?")])
    sheet = _Sheet(scheme, path, lines)
    if len(lines) == 1 and scheme.rules:
        said = "has no line below the names of the columns, so there is nothing to take; "
        raise InputError(path, [(0, f"{said}drop rules in the scheme file itself.")])
    try:
        return take_cells(scheme.text, sheet.cells, sheet.men)
    except SchemeError as refused:
        raise InputError(path, [sheet.placed(fault.message) for fault in refused.faults]) from None


def _book_lines(path: str | PathLike[str]) -> _Lines:
    from gradecut.workflows._grid_book import read_book

    return read_book(path, _MOST_LINES)


def _csv_lines(path: str | PathLike[str]) -> _Lines:
    text = read_text(path)
    found = _DELIMITER.match(text)
    delimiter = found.group(1) if found else ","
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter, strict=True)
    lines: _Lines = []
    try:
        for cells in reader:
            lines.append((reader.line_num, [opened(cell) for cell in cells]))
    except csv.Error as error:
        line = reader.line_num
        said = f"can't be read as CSV ({error}); check its quotes."
        raise InputError(path, [(line, said)]) from None
    return lines


@dataclass(frozen=True, slots=True, kw_only=True)
class _Row:
    line: int
    tier: str
    when: Written


class _Sheet:
    """A sheet with its columns understood and its cells read."""

    def __init__(self, scheme: Scheme, path: str | PathLike[str], lines: _Lines) -> None:
        self._scheme = scheme
        self._faults = Faults(path)
        self._by_id = {rule.id: rule for rule in scheme.rules}
        self._taken = {alignment.id for alignment in scheme.alignments}
        self._by_cell = {
            (man, rule.tier, condition_key(written(rule.when)), rule.fit): rule
            for rule in reversed(scheme.rules)
            for man in rule.men
        }
        self._spelled = {spell_condition(w): w for w in (written(r.when) for r in scheme.rules)}
        self._columns = self._read_head(*lines[0])
        self._faults.raise_any()
        self.men = [man for man in scheme.positions if man in self._columns]
        self._lines_of: dict[str, int] = {}
        self._seen: dict[tuple[str, str, str, str | None], int] = {}
        self.cells: list[CellSaid] = []
        for line, cells in lines[1:]:
            self._read_line(line, cells)
        self._faults.raise_any()

    def placed(self, message: str) -> tuple[int, str]:
        """Give a fault of a rule with the line of the sheet its cell stands on."""
        found = _OF_RULE.match(message)
        line = self._lines_of.get(found.group(1), 0) if found else 0
        return line, message if message.endswith((".", "?")) else f"{message}."

    def _read_head(self, line: int, head: list[str]) -> dict[str, int]:
        while head and not head[-1].strip():
            head.pop()
        men = self._scheme.positions
        known = [TIER, WHEN, *men]
        known += [shape.format(man) for shape in (ALSO, CUE, RULE) for man in men]
        columns: dict[str, int] = {}
        for at, cell in enumerate(head):
            name = cell if cell in known else cell.strip()
            if name not in known:
                what = f"“{name[:60]}” is no column of a grid" if name else "a column has no name"
                self._faults.add(line, f"{what}; {nearest(name[:60], known)}")
            elif name in columns:
                self._faults.add(line, f"the column “{name}” is there twice.")
            columns.setdefault(name, at)
        for name in (TIER, WHEN):
            if name not in columns:
                self._faults.add(line, f"the column “{name}” is missing.")
        if not any(man in columns for man in men):
            self._faults.add(line, f"no column is a man's; there is {', '.join(men) or 'none'}.")
        return columns

    def _read_line(self, line: int, cells: list[str]) -> None:
        width = max(self._columns.values()) + 1
        if any(cell.strip() for cell in cells[width:]):
            self._faults.add(line, "has more cells than there are columns.")
            return
        cells = [*cells, *[""] * (width - len(cells))]
        filled = [man for man in self.men if cells[self._columns[man]].strip()]
        tier = self._read_tier(line, cells[self._columns[TIER]])
        when = self._read_when(line, cells[self._columns[WHEN]], filled)
        if tier is None or when is None:
            return
        row = _Row(line=line, tier=tier, when=when)
        for man in filled:
            self._read_cell(row, man, cells)

    def _read_tier(self, line: int, cell: str) -> str | None:
        tiers = self._scheme.tiers
        tier = cell if cell in tiers else cell.strip()
        if tier in tiers:
            return tier
        if not tier:
            self._faults.add(line, f"has no tier; there is {', '.join(tiers)}.")
        else:
            self._faults.add(line, f"there is no tier “{tier[:60]}”; {nearest(tier[:60], tiers)}")
        return None

    def _read_when(self, line: int, cell: str, men: list[str]) -> Written | None:
        known = self._spelled.get(cell)
        if known is not None:
            return known
        sides = {self._scheme.positions[man].sided for man in men or self.men}
        sided = None if len(sides) > 1 else sides.pop()
        try:
            return read_condition_text(cell, self._scheme, sided=sided)
        except SchemeError as refused:
            for fault in refused.faults:
                self._faults.add(line, f"in when: {fault.message}")
        return None

    def _read_cell(self, row: _Row, man: str, cells: list[str]) -> None:
        fit = self._known_fit(row.line, man, cells[self._columns[man]])
        rule = self._rule_of(row, man, fit, cells)
        also = self._also(row.line, man, rule, fit, cells)
        if fit is None or also is None:
            return
        rule_id = self._cell(RULE, man, cells) or None
        if rule is not None and RULE.format(man) not in self._columns:
            rule_id = rule.id
        key = (row.tier, condition_key(row.when), man, rule_id)
        if rule_id in self._taken:
            self._faults.add(row.line, f"the id “{rule_id}” is taken by an alignment.")
        elif self._seen.setdefault(key, row.line) != row.line:
            said = f"{man} stands on this row twice (line {self._seen[key]} too); keep one of them."
            self._faults.add(row.line, said)
        if rule_id:
            self._lines_of.setdefault(rule_id, row.line)
        self.cells.append(
            CellSaid(
                man=man,
                tier=row.tier,
                when=row.when,
                fit=fit,
                also=also,
                cue=self._cue(man, rule, fit, cells),
                rule=rule_id,
            )
        )

    def _cell(self, shape: str, man: str, cells: list[str]) -> str | None:
        """Give what stands in a column beside a man's; None where there is no such column."""
        at = self._columns.get(shape.format(man))
        return None if at is None else cells[at]

    def _known_fit(self, line: int, man: str, cell: str) -> str | None:
        fits = self._scheme.fits
        fit = cell if cell in fits else cell.strip()
        if fit in fits:
            return fit
        said = f"{man}: there is no fit “{fit[:60]}”; {nearest(fit[:60], fits)}"
        self._faults.add(line, said)
        return None

    def _rule_of(self, row: _Row, man: str, fit: str | None, cells: list[str]) -> Rule | None:
        """Give the rule a cell came from: by its id, or the man's on this row with this fit."""
        name = self._cell(RULE, man, cells)
        if name:
            return self._by_id.get(name)
        return self._by_cell.get((man, row.tier, condition_key(row.when), fit or ""))

    def _also(
        self, line: int, man: str, rule: Rule | None, fit: str | None, cells: list[str]
    ) -> tuple[str, ...] | None:
        cell = self._cell(ALSO, man, cells)
        if cell is None:
            return rule.also if rule is not None and rule.fit == fit else ()
        if rule is not None and cell == spell_names(rule.also):
            return rule.also
        try:
            names = read_names(cell)
        except SchemeError as refused:
            self._faults.add(line, f"{ALSO.format(man)}: {refused.faults[0].message}.")
            return None
        known = [self._known_fit(line, ALSO.format(man), name) for name in names]
        return tuple(dict.fromkeys(name for name in known if name is not None))

    def _cue(self, man: str, rule: Rule | None, fit: str, cells: list[str]) -> str | None:
        cell = self._cell(CUE, man, cells)
        if cell is None:
            return rule.cue if rule is not None and rule.fit == fit else None
        return cell if cell.strip() else None
