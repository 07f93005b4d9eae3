"""The cells of a script that speak of the clip itself, each read as a person writes it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import fields
from typing import get_args

from gradecut.hints import nearest
from gradecut.records import Clip, ClipKind, Tempo
from gradecut.workflows.sheets import Faults, SheetRow, whole_number

__all__ = ["BLANK", "CLIP_COLUMNS", "number_of", "words_told"]

CLIP_COLUMNS = (
    "period",
    "kind",
    "tempo",
    "call",
    "unit",
    "down",
    "to_go",
    "ball_on",
    "hash",
    "personnel",
    "formation",
    "yards_gained",
    "note",
)
BLANK: Mapping[str, object] = {
    field.name: field.default for field in fields(Clip) if field.name in CLIP_COLUMNS
}
"""What a clip says of itself before anybody told anything."""
_WHOLE_NUMBERS = ("down", "yards_gained")


def words_told(row: SheetRow, faults: Faults | None = None) -> dict[str, object]:
    """Return what a line says of its clip, by the clip's own field names.

    Parameters
    ----------
    faults : Faults or None
        Gathers what can't be read; None passes over it.
    """
    told: dict[str, object] = {}
    for column in CLIP_COLUMNS:
        text = row.text(column)
        if not text:
            continue
        if column in _WHOLE_NUMBERS:
            number = number_of(row, column, faults)
            if number is not None:
                told[column] = number
        elif column in ("kind", "tempo"):
            word = _word_of(row, column, faults)
            if word:
                told[column] = word
        else:
            told[column] = text
    return told


def number_of(row: SheetRow, column: str = "number", faults: Faults | None = None) -> int | None:
    """Return a whole number, below 0 too (yards lost); None, and a fault, where it is none."""
    text = row.text(column)
    number = whole_number(text.removeprefix("-"))
    if number is None:
        if faults is not None:
            faults.add(row.line, f"“{text}” in {column} is no whole number.")
        return None
    return -number if text.startswith("-") else number


def _word_of(row: SheetRow, column: str, faults: Faults | None) -> str:
    """Return one of the words a kind or a tempo may be; empty, and a fault, for another."""
    text = row.text(column)
    words = list(filter(None, get_args(ClipKind) if column == "kind" else get_args(Tempo)))
    if text.lower() in words:
        return text.lower()
    if faults is not None:
        faults.add(row.line, f"“{text}” is no {column}; {nearest(text, words)}")
    return ""
