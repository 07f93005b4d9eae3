"""The positions of a scheme file: added, changed, given another name, dropped."""

from __future__ import annotations

from typing import Any

from gradecut.scheme._lines import Path
from gradecut.scheme._page import shown
from gradecut.scheme.editing._draft import Draft
from gradecut.scheme.editing._keeping import kept
from gradecut.scheme.editing._named import add_to, change_in, rename_in, table_of
from gradecut.scheme.editing._rows import Rows
from gradecut.scheme.editing._spelling import refusal
from gradecut.scheme.editing._uses import tell_uses

__all__ = ["add_man", "change_man", "drop_man", "rename_man"]

_KEYS = ("group", "side", "graded")
_SECTIONS = ("rules", "alignments")


def add_man(text: str, *, name: str, side: Any, **said: Any) -> str:
    """Add a position.

    Parameters
    ----------
    text : str
        A whole scheme file.
    name : str
        His name, which must be new.
    side : str or mapping
        As the file writes it: "left", "right", "none", "as aligned", or what it follows.
    **said
        group, graded; None is left out.

    Raises
    ------
    SchemeError
        When the name is taken, or the text would have a fault it has not now.
    """
    draft = Draft(text)
    add_to(draft, "positions", name, {"side": side, **said}, _KEYS)
    return kept(text, draft)


def change_man(text: str, *, name: str, **said: Any) -> str:
    """Change what a position says.

    Parameters
    ----------
    text, name
        The file and the position.
    **said
        The keys that change, as in `add_man`; None takes one out. Keys not told stay.

    Raises
    ------
    SchemeError
        When there is no such position, or the text would have a fault it has not now.
    """
    draft = Draft(text)
    change_in(draft, "positions", name, said, _KEYS)
    return kept(text, draft)


def rename_man(text: str, *, name: str, new: str) -> str:
    """Give a position another name, there and in every rule and alignment that is for him.

    Raises
    ------
    SchemeError
        When there is no such position, or the new name is taken.
    """
    draft = Draft(text)
    rename_in(draft, "positions", name, new)
    draft.replace(dict.fromkeys(_uses(draft, name), new))
    return kept(text, draft, renamed=(name, new))


def drop_man(text: str, *, name: str, with_uses: bool = False) -> str:
    """Drop a position.

    Parameters
    ----------
    text, name
        The file and the position.
    with_uses : bool
        Take him out of rules and alignments too; those that were for him alone go.

    Raises
    ------
    SchemeError
        When there is no such position, or a rule or an alignment is still for him.
    """
    draft = Draft(text)
    table_of(draft, "positions", name)
    uses = _uses(draft, name)
    if uses and not with_uses:
        told = tell_uses(draft, [path[:2] for path in uses])
        raise refusal(f"{shown(name)} is still named by {told}")
    for section in _SECTIONS:
        rows = Rows(draft, section)
        rows.leave_all([at for at, t in enumerate(rows.tables) if name in rows.men_of(t)], name)
    draft.take_out(("positions", name))
    return kept(text, draft)


def _uses(draft: Draft, name: str) -> list[Path]:
    return [
        (section, place, "for", at)
        for section in _SECTIONS
        for place, table in enumerate(Rows(draft, section).tables)
        for at, man in enumerate(Rows(draft, section).men_of(table))
        if man == name
    ]
