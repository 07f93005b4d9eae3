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
from gradecut.scheme.editing.conditions import (
    read_condition_text,
    read_names,
    spell_condition,
    spell_names,
)
from gradecut.scheme.editing.facts import (
    add_fact,
    change_fact,
    drop_fact,
    fact_users,
    rename_fact,
    rename_value,
)
from gradecut.scheme.editing.fits import add_fit, change_fit, drop_fit, rename_fit
from gradecut.scheme.editing.men import add_man, change_man, drop_man, rename_man
from gradecut.scheme.editing.musts import (
    add_duty,
    add_impossible,
    change_duty,
    drop_duty,
    drop_impossible,
)
from gradecut.scheme.editing.taking import CellSaid, take_cells
from gradecut.scheme.editing.tiers import add_tier, drop_tier, move_tier, rename_tier, set_version

__all__ = [
    "CellSaid",
    "Written",
    "add_duty",
    "add_fact",
    "add_fit",
    "add_impossible",
    "add_man",
    "add_tier",
    "change_duty",
    "change_fact",
    "change_fit",
    "change_man",
    "change_when",
    "clear_fit",
    "condition_key",
    "drop_alignment",
    "drop_duty",
    "drop_fact",
    "drop_fit",
    "drop_impossible",
    "drop_man",
    "drop_tier",
    "fact_users",
    "move_row",
    "move_tier",
    "read_condition_text",
    "read_names",
    "rename_fact",
    "rename_fit",
    "rename_man",
    "rename_tier",
    "rename_value",
    "row_key",
    "set_alignment",
    "set_fit",
    "set_version",
    "spell_condition",
    "spell_names",
    "take_cells",
    "written",
    "written_side",
]
