"""What can be done on the Scheme page, with its keys."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from gradecut.app.actions import Action
from gradecut.desk.scheme_starting import all_questions

if TYPE_CHECKING:
    from gradecut.app.scheme_page import SchemePage

__all__ = ["row_actions", "scheme_actions"]

_CELL, _ROW, _SCHEME, _BESIDE = "Cell", "Row", "Scheme", "Beside the grid"


def scheme_actions(page: SchemePage) -> tuple[Action, ...]:
    """Return the whole table."""
    return (
        *_cell_actions(page),
        *row_actions(page),
        *_scheme_actions(page),
        *_beside_actions(page),
    )


def _cell_actions(page: SchemePage) -> list[Action]:
    moves = (
        ("cell up", ("Up",), -1, 0),
        ("cell down", ("Down",), 1, 0),
        ("cell left", ("Left",), 0, -1),
        ("cell right", ("Right",), 0, 1),
    )
    hand = page.scheme.hand
    return [
        *(
            Action(name=name, keys=keys, group=_CELL, run=partial(page.go, down, across),
                   repeats=True)
            for name, keys, down, across in moves
        ),
        Action(name="a page of rows up", keys=("PgUp",), group=_CELL, run=partial(page.page, -1),
               repeats=True),
        Action(name="a page of rows down", keys=("PgDown",), group=_CELL,
               run=partial(page.page, 1), repeats=True),
        Action(name="tier before", keys=("Ctrl+Up",), group=_CELL, run=partial(hand.go_tier, -1)),
        Action(name="next tier", keys=("Ctrl+Down",), group=_CELL, run=partial(hand.go_tier, 1)),
        Action(name="list of fits; letters find one", keys=("Return", "Enter"), group=_CELL,
               run=page.open_here),
        Action(name="no fit", keys=("Delete", "Backspace"), group=_CELL, run=page.clear_cell),
        Action(name="cue, and what counts too", keys=("Ctrl+U",), group=_CELL,
               run=page.asking.write_cue),
        Action(name="next group of men", keys=("Ctrl+G",), group=_CELL, run=page.head.next_group),
    ]  # fmt: skip


def row_actions(page: SchemePage) -> list[Action]:
    """Return what can be done to a row, for its own menu too."""
    rows = page.scheme.rows
    return [
        Action(name="add a row", keys=("+", "=", "Insert"), group=_ROW, run=page.asking.add_row),
        Action(name="change its looks", keys=("Ctrl+E",), group=_ROW, run=page.asking.change_looks),
        Action(name="split it by a fact", keys=("/",), group=_ROW, run=page.asking.split_row),
        Action(name="join it with the next", keys=("Ctrl+J",), group=_ROW, run=rows.join_next),
        Action(name="move it to a tier", keys=("Ctrl+T",), group=_ROW, run=page.asking.choose_tier),
        Action(name="move it up", keys=("Alt+Up",), group=_ROW, run=partial(rows.move_row, -1)),
        Action(name="move it down", keys=("Alt+Down",), group=_ROW, run=partial(rows.move_row, 1)),
        Action(name="drop it", keys=("Ctrl+Delete",), group=_ROW, run=rows.drop_row),
    ]


def _scheme_actions(page: SchemePage) -> list[Action]:
    parts = (
        ("the fits", "fits", "Ctrl+Shift+F"),
        ("the facts", "facts", "Ctrl+Shift+K"),
        ("the men", "men", "Ctrl+Shift+M"),
        ("the tiers", "tiers", "Ctrl+Shift+T"),
        ("the duties", "duties", "Ctrl+Shift+D"),
        ("impossible looks", "impossible", "Ctrl+Shift+I"),
        ("where they line up", "alignments", "Ctrl+Shift+L"),
    )
    return [
        Action(name="keep and put in force", keys=("Ctrl+Return",), group=_SCHEME, run=page.keep),
        Action(name="discard the edits", group=_SCHEME, run=page.scheme.drop_draft),
        *(
            Action(name=name, keys=(key,), group=_SCHEME, run=partial(page.asking.show_parts, kind))
            for name, kind, key in parts
        ),
        Action(name=f"begin from {all_questions()}", keys=("Ctrl+Shift+B",), group=_SCHEME,
               run=page.asking.start),
        Action(name="begin without rules: learn them", keys=("Ctrl+Shift+R",), group=_SCHEME,
               run=page.asking.start_blank),
        Action(name="versions kept", keys=("Ctrl+Shift+V",), group=_SCHEME,
               run=page.asking.show_versions),
        Action(name="check a file", keys=("Ctrl+Shift+O",), group=_SCHEME,
               run=page.asking.choose_file),
        Action(name="work on the checked file", group=_SCHEME, run=page.scheme.work_on_file),
        Action(name="write it as a file", keys=("Ctrl+Shift+S",), group=_SCHEME,
               run=page.asking.write_file),
        Action(name="write the grid as a sheet", group=_SCHEME, run=page.asking.write_grid),
        Action(name="write fit sheets of these men", keys=("Ctrl+P",), group=_SCHEME,
               run=page.asking.write_fit_sheets),
        Action(name="take the rules of a sheet", group=_SCHEME, run=page.asking.take_grid),
        Action(name="back to the grid", keys=("Escape",), group=_SCHEME, run=page.escape),
    ]  # fmt: skip


def _beside_actions(page: SchemePage) -> list[Action]:
    return [
        *page.side.actions_of(_BESIDE),
        Action(name="next finding", keys=("F8",), group=_BESIDE, run=partial(page.next_finding, 1)),
        Action(name="finding before", keys=("Shift+F8",), group=_BESIDE,
               run=partial(page.next_finding, -1)),
        Action(name="show a play behind it", keys=("Alt+F",), group=_BESIDE,
               run=page.beside.show_chosen_play),
        Action(name="learn: accept all of his", keys=("Shift+Return",), group=_BESIDE,
               run=page.beside.accept_all_of),
        Action(name="learn: bring back what was put aside", group=_BESIDE,
               run=page.scheme.learning.bring_back),
        Action(name="learn: take my last answer back", group=_BESIDE,
               run=page.scheme.learning.take_answer_back),
        Action(name="what if: use this play's look", keys=("Alt+T",), group=_BESIDE,
               run=page.take_look),
        Action(name="what if: clear", keys=("Alt+N",), group=_BESIDE, run=page.clear),
        Action(name="what if: add it as a row", keys=("Alt+R",), group=_BESIDE,
               run=page.row_of_look),
    ]  # fmt: skip
