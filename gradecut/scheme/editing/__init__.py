"""Edits of a scheme file that keep its comments, its order and all the coach did not touch."""

from gradecut.scheme.editing._written import Written, condition_key, row_key, written, written_side
from gradecut.scheme.editing.cells import (
    change_when,
    clear_fit,
    drop_alignment,
    move_row,
    set_alignment,
    set_fit,
)
from gradecut.scheme.editing.conditions import read_condition_text, spell_condition
from gradecut.scheme.editing.fits import add_fit, change_fit, drop_fit, rename_fit

__all__ = [
    "Written",
    "add_fit",
    "change_fit",
    "change_when",
    "clear_fit",
    "condition_key",
    "drop_alignment",
    "drop_fit",
    "move_row",
    "read_condition_text",
    "rename_fit",
    "row_key",
    "set_alignment",
    "set_fit",
    "spell_condition",
    "written",
    "written_side",
]
