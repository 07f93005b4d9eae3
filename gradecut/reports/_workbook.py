"""How a page of the grade sheet looks, and the only place its cells are written."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Generic, TypeVar

from gradecut.reports.cells import guarded
from gradecut.reports.palette import HAIR, QUIET

Row = TypeVar("Row")
Value = str | int | float | None

_BODY = {"valign": "top", "bottom": 4, "bottom_color": HAIR}
_NUMBER = {**_BODY, "align": "right"}
_EDGE = {"left": 4, "left_color": HAIR}
_RATE = {**_EDGE, "valign": "top", "align": "right", "bold": True}
_HEAD = {"bold": True, "text_wrap": True, "valign": "bottom", "bottom": 1}

STYLES: Mapping[str, Mapping[str, Any]] = {
    "title": {"bold": True, "font_size": 16, "indent": 1},
    "lead": {"bold": True, "font_size": 12, "indent": 1},
    "quiet": {"font_color": QUIET, "indent": 1},
    "head": {**_HEAD, "indent": 1},
    "head number": {**_HEAD, "align": "right"},
    "head middle": {**_HEAD, "align": "center"},
    "text": {**_BODY, "indent": 1},
    "strong": {**_BODY, "indent": 1, "bold": True},
    "wrapped": {**_BODY, "indent": 1, "text_wrap": True},
    "count": {**_NUMBER, "num_format": "0"},
    "share": {**_NUMBER, "num_format": "0 %"},
    "tenth": {**_NUMBER, "num_format": "0.0"},
    "rate": {**_RATE, "num_format": "0 %"},
    "rate below": {**_RATE, "num_format": '"▼ "0 %'},
    "reps": {"valign": "top", "align": "right", "num_format": '"n "0', "font_color": QUIET},
    "from": {**_NUMBER, **_EDGE, "num_format": '"from "0 %', "font_color": QUIET},
    "to": {**_NUMBER, "num_format": '"to "0 %', "font_color": QUIET},
    "edge": {**_BODY, **_EDGE},
    "open name": {"valign": "top", "indent": 1, "bold": True},
}
"""Numbers stand right; every text begins at the top, so that wrapped rows read across."""

NUMBERS = frozenset({"count", "share", "tenth"})


@dataclass(frozen=True, slots=True, kw_only=True)
class Column(Generic[Row]):
    """One column: its head, width in characters, style, and what stands in it."""

    head: str
    width: float
    style: str
    read: Callable[[Row], Value]


class Page:
    """One page of the workbook, ready to print.

    Attributes
    ----------
    sheet
        XlsxWriter's worksheet.
    """

    def __init__(self, book: Any, formats: Mapping[str, Any], name: str) -> None:
        self.formats = formats
        self.sheet = book.add_worksheet(name)
        self.sheet.hide_gridlines(2)
        self.sheet.set_landscape()
        self.sheet.set_paper(1)
        self.sheet.set_margins(left=0.4, right=0.4, top=0.5, bottom=0.6)
        self.sheet.fit_to_pages(1, 0)
        self.sheet.set_footer("&L&8&F&C&8&A&R&8Page &P of &N")

    def put(self, row: int, column: int, value: Value, style: str) -> None:
        """Write one cell: text as text that can't start a formula, numbers as numbers."""
        if value is None or value == "":
            self.sheet.write_blank(row, column, None, self.formats[style])
        elif isinstance(value, str):
            self.sheet.write_string(row, column, guarded(value), self.formats[style])
        else:
            self.sheet.write_number(row, column, value, self.formats[style])

    def put_over_two(self, row: int, column: int, text: str, style: str) -> None:
        """Write one text over two columns, guarded like every other."""
        self.sheet.merge_range(row, column, row, column + 1, guarded(text), self.formats[style])

    def head(self, title: str, *quiet: str) -> int:
        """Write title and quiet lines; return the row where a table may begin."""
        self.put(0, 0, title, "title")
        for at, text in enumerate(quiet, start=1):
            self.put(at, 0, text, "quiet")
        return len(quiet) + 2

    def table(self, top: int, columns: Sequence[Column[Row]], rows: Sequence[Row]) -> int:
        """Write a table, keep its head in sight and on every printed page; return the next row."""
        for at, column in enumerate(columns):
            self.sheet.set_column(at, at, column.width)
            style = "head number" if column.style in NUMBERS else "head"
            self.put(top, at, column.head, style)
        for down, row in enumerate(rows, start=top + 1):
            for at, column in enumerate(columns):
                self.put(down, at, column.read(row), column.style)
        self.sheet.repeat_rows(top)
        return top + 1 + len(rows)
