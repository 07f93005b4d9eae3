"""Tables that have a name: facts, positions, fits."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from gradecut.hints import nearest
from gradecut.scheme._page import shown
from gradecut.scheme.editing._draft import Draft
from gradecut.scheme.editing._spelling import refusal

__all__ = ["add_to", "change_in", "rename_in", "table_of"]

_WHAT = {"facts": "fact", "positions": "position", "fits": "fit"}


def section_of(draft: Draft, section: str) -> dict[str, Any]:
    """Give a section of named tables; empty where there is none."""
    found = draft.data.get(section, {})
    if not isinstance(found, dict):
        raise refusal(f"{section} has to be a table before anything in it can be changed")
    return found


def table_of(draft: Draft, section: str, name: str) -> dict[str, Any]:
    """Give a named table, or refuse a name there is not."""
    tables = section_of(draft, section)
    if name not in tables:
        raise refusal(f"the scheme has no {_WHAT[section]} {shown(name)}; {nearest(name, tables)}")
    if not isinstance(tables[name], dict):
        raise refusal(f"the {_WHAT[section]} {shown(name)} has to be a table to be changed")
    found: dict[str, Any] = tables[name]
    return found


def free_name(draft: Draft, section: str, name: str) -> None:
    """Refuse a name that is empty or taken."""
    if not name.strip():
        raise refusal(f"a {_WHAT[section]} needs a name")
    if name in section_of(draft, section):
        raise refusal(f"there is a {_WHAT[section]} {shown(name)} already; choose another name")


def add_to(
    draft: Draft, section: str, name: str, said: Mapping[str, Any], keys: Sequence[str]
) -> None:
    """Add a named table."""
    free_name(draft, section, name)
    ordered = {key: said[key] for key in keys if said.get(key) is not None}
    further = {key: value for key, value in said.items() if key not in keys and value is not None}
    draft.add_named(section, name, {**ordered, **further})


def change_in(
    draft: Draft, section: str, name: str, said: Mapping[str, Any], keys: Sequence[str]
) -> None:
    """Set keys of a named table; None takes one out."""
    table_of(draft, section, name)
    for key, value in said.items():
        if value is not None:
            draft.put((section, name, key), value, keys)
        elif key in table_of(draft, section, name):
            draft.take_out((section, name, key))


def rename_in(draft: Draft, section: str, name: str, new: str) -> None:
    """Give a named table another name, there only."""
    table_of(draft, section, name)
    if new != name:
        free_name(draft, section, new)
        draft.rename([((section, name), new)])
