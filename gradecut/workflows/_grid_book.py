"""The grid as a workbook, written and read."""

from __future__ import annotations

import warnings
import zipfile
import zlib
from collections.abc import Sequence
from os import PathLike
from pathlib import Path
from typing import Any
from xml.etree.ElementTree import ParseError

from gradecut.errors import InputError
from gradecut.scheme import Scheme
from gradecut.workflows._grid_columns import opened, sealed, unescaped

__all__ = ["read_book", "write_book"]

_GRID, _FITS = "grid", "fits"
_LARGEST = 100_000_000
_MOST_COLUMNS = 2_000
_BROKEN = (
    zipfile.BadZipFile,
    zlib.error,
    ParseError,
    OSError,
    EOFError,
    KeyError,
    ValueError,
    TypeError,
    IndexError,
    AttributeError,
    NotImplementedError,
    OverflowError,
)


def write_book(table: Sequence[Sequence[str]], scheme: Scheme, draft: Path) -> None:
    """Write the table as a workbook, with the fits to choose from on a second sheet."""
    import xlsxwriter

    plain = {"strings_to_formulas": False, "strings_to_urls": False, "strings_to_numbers": False}
    with xlsxwriter.Workbook(str(draft), {**plain, "in_memory": True}) as book:
        head = book.add_format({"bold": True, "bottom": 1, "text_wrap": True, "valign": "bottom"})
        body = book.add_format({"text_wrap": True, "valign": "top"})
        sheet = book.add_worksheet(_GRID)
        for down, row in enumerate(table):
            for across, cell in enumerate(row):
                style = body if down else head
                if cell:
                    sheet.write_string(down, across, sealed(cell), style)
        men = len(scheme.positions)
        sheet.set_column(0, 0, 9)
        sheet.set_column(1, 1, 44)
        sheet.set_column(2, 1 + men, 15)
        sheet.set_column(2 + men, max(len(table[0]) - 1 - men, 2 + men), 26)
        sheet.freeze_panes(1, 2)
        _offer_fits(book, sheet, scheme, last=len(table) + 200)


def _offer_fits(book: Any, sheet: Any, scheme: Scheme, *, last: int) -> None:
    listed = book.add_worksheet(_FITS)
    for down, fit in enumerate(scheme.fits.values()):
        for across, text in enumerate((fit.name, fit.job, fit.gap or "")):
            listed.write_string(down, across, sealed(text))
    listed.set_column(0, 1, 20)
    if not scheme.fits or not scheme.positions:
        return
    sheet.data_validation(
        1,
        2,
        last,
        1 + len(scheme.positions),
        {
            "validate": "list",
            "source": f"={_FITS}!$A$1:$A${len(scheme.fits)}",
            "error_title": "Not on the list",
            "error_message": "Choose a fit from the list, or add it to the scheme first.",
        },
    )


def read_book(path: str | PathLike[str], most_lines: int) -> list[tuple[int, list[str]]]:
    """Read the lines of a workbook's grid: the sheet called grid, or else the first.

    Raises
    ------
    InputError
        When it is no workbook, too big, or holds a formula.
    """
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # about parts of a workbook nobody reads here
            return _lines(path, most_lines)
    except InputError:
        raise
    except _BROKEN as error:
        raise InputError(
            path, [(0, "can't be read as a workbook; save it as .xlsx or as CSV once more.")]
        ) from error


def _lines(path: str | PathLike[str], most_lines: int) -> list[tuple[int, list[str]]]:
    from openpyxl import load_workbook

    with zipfile.ZipFile(path) as packed:
        if sum(part.file_size for part in packed.infolist()) > _LARGEST:
            raise InputError(path, [(0, "is far too big for a grid; is it the right file?")])
    book = load_workbook(path, read_only=True)
    try:
        sheet = book[_GRID] if _GRID in book.sheetnames else book.worksheets[0]
        sheet.reset_dimensions()
        found: list[tuple[int, list[str]]] = []
        for line, cells in enumerate(sheet.iter_rows(max_row=most_lines + 2), start=1):
            if len(cells) > _MOST_COLUMNS:
                raise InputError(path, [(line, "has far too many cells for a grid.")])
            found.append((line, [_text(cell, path, line) for cell in cells]))
        return found
    finally:
        book.close()


def _text(cell: Any, path: str | PathLike[str], line: int) -> str:
    value = cell.value
    if value is None:
        return ""
    if cell.data_type == "f":
        raise InputError(path, [(line, "holds a formula; write the words it stands for.")])
    if isinstance(value, float) and value.is_integer():
        value = int(value)
    return opened(unescaped(str(value)))
