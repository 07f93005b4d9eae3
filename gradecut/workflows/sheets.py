"""Sheets a person keeps: CSV in, every fault told with its line."""

from __future__ import annotations

import csv
import io
from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from os import PathLike
from pathlib import Path

from gradecut.errors import InputError
from gradecut.hints import nearest

__all__ = [
    "Faults",
    "SheetRow",
    "read_rows",
    "read_sheet",
    "read_text",
    "read_yes_no",
    "whole_number",
]

LARGEST_BYTES = 20_000_000
_LONGEST_NUMBER = 9
_YES = frozenset({"yes", "y", "true", "1", "x"})
_NO = frozenset({"no", "n", "false", "0", ""})


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetRow:
    """One line of a sheet.

    Attributes
    ----------
    line : int
        In the file, from 1.
    values : mapping of column to text
        Without spaces around; every column of the sheet is there.
    """

    line: int
    values: Mapping[str, str]

    def text(self, column: str) -> str:
        """Return a column's text; empty when the sheet has no such column."""
        return self.values.get(column, "")


class Faults:
    """Gathers the faults of one sheet, so that all are told at once."""

    def __init__(self, path: str | PathLike[str]) -> None:
        self._path = path
        self._found: list[tuple[int, str]] = []

    def add(self, line: int, said: str) -> None:
        """Note a fault in a line (0: the whole file)."""
        self._found.append((line, said))

    def raise_any(self) -> None:
        """Raise InputError when there are any."""
        if self._found:
            raise InputError(self._path, sorted(self._found, key=lambda fault: fault[0]))


def read_sheet(
    path: str | PathLike[str],
    *,
    needed: Sequence[str],
    known: Collection[str] | Callable[[str], bool],
    examples: Iterable[str] = (),
) -> list[SheetRow]:
    """Read a CSV sheet (RFC 4180; comma, semicolon or tab) with a line of column names.

    Parameters
    ----------
    needed : sequence of str
        Columns that must be there.
    known : collection of str, or a test of a name
        Columns that may be there besides.
    examples : iterable of str
        Names to choose the nearest from where ``known`` is a test.

    Raises
    ------
    InputError
        When the file can't be read, is no text, has no lines, or has columns that are
        unknown, missing or twice there.
    """
    return read_rows(read_text(path), path, needed=needed, known=known, examples=examples)


def read_rows(
    text: str,
    path: str | PathLike[str],
    *,
    needed: Sequence[str],
    known: Collection[str] | Callable[[str], bool],
    examples: Iterable[str] = (),
) -> list[SheetRow]:
    """Read a sheet's text; see ``read_sheet``.

    Parameters
    ----------
    path : path
        What the sheet is called where it is at fault.
    """
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=_delimiter(text), strict=True)
    faults = Faults(path)
    header: list[str] = []
    rows: list[SheetRow] = []
    try:
        for cells in reader:
            stripped = [cell.strip() for cell in cells]
            if not any(stripped):
                continue
            if not header:
                header = stripped
                _check_columns(
                    header, needed, known, examples=examples, faults=faults, line=reader.line_num
                )
                continue
            if len(stripped) > len(header):
                faults.add(reader.line_num, "has more cells than there are columns.")
                continue
            padded = stripped + [""] * (len(header) - len(stripped))
            values = dict(zip(header, padded, strict=True))
            rows.append(SheetRow(line=reader.line_num, values=values))
    except csv.Error as error:
        faults.add(reader.line_num, f"can't be read as CSV ({error}); check its quotes.")
    if not header:
        faults.add(0, "is empty; its first line names the columns.")
    faults.raise_any()
    if not rows:
        faults.add(0, "has column names but no lines below them.")
        faults.raise_any()
    return rows


def read_yes_no(row: SheetRow, column: str, faults: Faults) -> bool:
    """Read a yes or no; empty is no."""
    text = row.text(column).lower()
    if text not in _YES | _NO:
        faults.add(row.line, f"“{row.text(column)}” in {column} is neither yes nor no.")
    return text in _YES


def whole_number(text: str) -> int | None:
    """Read a whole number from 0 on, of any length a person would write; None for all else."""
    if not (text.isascii() and text.isdecimal()) or len(text) > _LONGEST_NUMBER:
        return None
    return int(text)


def read_text(path: str | PathLike[str]) -> str:
    """Read a sheet's text: UTF-8, or what an older spreadsheet of this part of the world writes.

    Raises
    ------
    InputError
        When the file can't be read, is over 20 MB or is no text.
    """
    try:
        if Path(path).stat().st_size > LARGEST_BYTES:
            raise InputError(path, [(0, "is larger than 20 MB; this is hardly a sheet of plays.")])
        raw = Path(path).read_bytes()
    except OSError as error:
        why = (error.strerror or str(error)).lower()
        raise InputError(path, [(0, f"{why}; name a CSV file.")]) from error
    if b"\0" in raw:
        raise InputError(path, [(0, "is no text; save the sheet as CSV (UTF-8) first.")])
    try:
        return raw.decode("utf-8-sig")
    except UnicodeDecodeError:
        return raw.decode("cp1252", errors="replace")


def _delimiter(text: str) -> str:
    first = next((line for line in text.splitlines() if line.strip()), "")
    return max(",;\t", key=first.count)


def _check_columns(
    header: Sequence[str],
    needed: Sequence[str],
    known: Collection[str] | Callable[[str], bool],
    *,
    examples: Iterable[str],
    faults: Faults,
    line: int,
) -> None:
    is_known = known if callable(known) else known.__contains__
    names = [*needed, *(examples if callable(known) else known)]
    for name in header:
        if name not in needed and not is_known(name):
            said = f"“{name}” is no column here" if name else "a column has no name"
            faults.add(line, f"{said}; {nearest(name, names)}")
    for name in sorted({name for name in header if header.count(name) > 1}):
        faults.add(line, f"the column “{name}” is there twice.")
    for name in needed:
        if name not in header:
            faults.add(line, f"the column “{name}” is missing.")
