"""The columns of a grid on a sheet, and how texts stand in its cells."""

from __future__ import annotations

import re

from gradecut.reports.cells import guarded

__all__ = [
    "ALSO", "CUE", "LONGEST_CELL", "RULE", "TIER", "WHEN", "looks_escaped", "opened", "sealed",
    "unescaped",
]  # fmt: skip

TIER = "tier"
WHEN = "when"
ALSO = "{}: also right"
CUE = "{}: cue"
RULE = "{}: rule"

LONGEST_CELL = 32_000
"""UTF-16 units; a cell of a workbook holds 32,767."""

_ESCAPE = re.compile(r"_x(00[01][0-9A-Fa-f]|[Ff]{3}[EeFf])_")


def sealed(text: str) -> str:
    """Guard a text for a cell so that `opened` gives it back.

    >>> sealed("=1"), sealed("'=1"), sealed("fill A")
    ("'=1", "''=1", 'fill A')
    """
    return f"'{text}" if _seal_ends(text) else guarded(text)


def opened(cell: str) -> str:
    """Take off the apostrophe that guards a cell.

    >>> opened("'=1"), opened("''=1"), opened("'tis")
    ('=1', "'=1", "'tis")
    """
    return cell[1:] if _seal_ends(cell) else cell


def _seal_ends(cell: str) -> bool:
    """Tell whether a cell begins with an apostrophe and something that had to be guarded."""
    rest = cell[1:]
    return cell.startswith("'") and (rest.startswith("'") or guarded(rest) != rest)


def unescaped(text: str) -> str:
    """Read the signs that no workbook holds as they are, such as a carriage return.

    They stand as _x000D_ and the like (ST_Xstring, ECMA-376, part 1, 22.9.2.19).
    """
    return _ESCAPE.sub(lambda sign: chr(int(sign.group(1), 16)), text)


def looks_escaped(text: str) -> bool:
    """Tell whether a text itself spells such a sign, and would come back as the sign."""
    return _ESCAPE.search(text) is not None
