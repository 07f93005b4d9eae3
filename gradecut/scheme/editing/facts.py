"""The facts of a scheme file: added, changed, given another name, dropped."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from gradecut.scheme._lines import Path
from gradecut.scheme._page import shown
from gradecut.scheme.editing._draft import Draft
from gradecut.scheme.editing._keeping import kept
from gradecut.scheme.editing._named import add_to, change_in, rename_in, table_of
from gradecut.scheme.editing._spelling import refusal
from gradecut.scheme.editing._uses import (
    Use,
    condition_uses,
    fact_of,
    label,
    side_uses,
    tell_uses,
)
from gradecut.scheme.editing._values import same
from gradecut.scheme.parts import Value

__all__ = ["add_fact", "change_fact", "drop_fact", "fact_users", "rename_fact", "rename_value"]

_KEYS = ("asks", "values", "sided", "per_side", "known", "applies", "had")


def add_fact(text: str, *, name: str, values: Sequence[Value], **said: Any) -> str:
    """Add a fact.

    Parameters
    ----------
    text : str
        A whole scheme file.
    name : str
        Its name, which must be new.
    values : sequence of str, int or bool
        At least two, of one type.
    **said
        asks, sided, per_side, known, applies, had, as the file writes them; None is left out.

    Raises
    ------
    SchemeError
        When the name is taken, or the text would have a fault it has not now.
    """
    draft = Draft(text)
    add_to(draft, "facts", name, {"values": list(values), **said}, _KEYS)
    return kept(text, draft)


def change_fact(text: str, *, name: str, **said: Any) -> str:
    """Change what a fact says.

    Parameters
    ----------
    text, name
        The file and the fact.
    **said
        The keys that change, as in `add_fact`; None takes one out. Keys not told stay. A value
        that gets another name is for `rename_value`.

    Raises
    ------
    SchemeError
        When there is no such fact, or the text would have a fault it has not now: a condition
        that asks for a value taken away, say.
    """
    draft = Draft(text)
    change_in(draft, "facts", name, said, _KEYS)
    return kept(text, draft)


def rename_fact(text: str, *, name: str, new: str) -> str:
    """Give a fact another name, there and in every condition and side.

    Raises
    ------
    SchemeError
        When there is no such fact, or the new name is taken or no name for a fact.
    """
    draft = Draft(text)
    table_of(draft, "facts", name)
    renamed: list[tuple[Path, str]] = []
    for use in condition_uses(draft, name):
        fact, where = (new if part == name else part for part in fact_of(use.reference))
        renamed.append(((*use.table, use.reference), f"{fact}.{where}" if where else fact))
    draft.rename(renamed)
    draft.replace({path: new for _, path in side_uses(draft, name)})
    rename_in(draft, "facts", name, new)
    return kept(text, draft, renamed=(name, new))


def rename_value(text: str, *, fact: str, value: str, new: str) -> str:
    """Give a value of a fact another name, there and in every condition.

    Parameters
    ----------
    text, fact
        The file and the fact.
    value, new : str
        A value that is a text, not left or right of a sided fact, and its new name.

    Raises
    ------
    SchemeError
        When there is no such value, or the new name is taken.
    """
    draft = Draft(text)
    table = table_of(draft, "facts", fact)
    values = table.get("values")
    if not isinstance(values, list) or value not in values or not isinstance(value, str):
        raise refusal(f"{shown(fact)} has no value {shown(value)} that could get another name")
    if table.get("sided") is True and value in ("left", "right"):
        raise refusal(f"{shown(fact)} is a sided fact, and its {value} can't get another name")
    if new in values and new != value:
        raise refusal(f"{shown(fact)} has a value {shown(new)} already; choose another name")
    places: list[Path] = [("facts", fact, "values", values.index(value))]
    for use in condition_uses(draft, fact):
        if fact_of(use.reference)[0] == fact:
            places += _places(draft, (*use.table, use.reference), value)
    draft.replace(dict.fromkeys(places, new))
    had = draft.get(("facts", fact, "had"))
    if isinstance(had, dict) and value in had:
        draft.rename([(("facts", fact, "had", value), new)])
    return kept(text, draft, renamed=(value, new))


def _places(draft: Draft, path: Path, value: Value) -> list[Path]:
    """Give where a value stands within the test of an entry."""
    test = draft.get(path)
    if isinstance(test, dict):
        return _places(draft, (*path, "not"), value) if "not" in test else []
    if isinstance(test, list):
        return [(*path, at) for at, part in enumerate(test) if same(part, value)]
    return [path] if same(test, value) else []


def drop_fact(text: str, *, name: str, with_uses: bool = False) -> str:
    """Drop a fact that nobody asks any more.

    Parameters
    ----------
    text, name
        The file and the fact.
    with_uses : bool
        Take it out of conditions too. What was said of this fact alone goes as a whole: a rule
        that asked nothing else would hold always. So does an entry of what cannot be, which would
        rule out more than the coach said. A man's or a fit's side that follows it has to be
        given anew first.

    Raises
    ------
    SchemeError
        When there is no such fact, or it is still used; the sentence says where.
    """
    draft = Draft(text)
    table_of(draft, "facts", name)
    owner: Path = ("facts", name)
    sides = [who for who, _ in side_uses(draft, name)]
    uses = [use for use in condition_uses(draft, name) if use.owner != owner]
    if sides:
        raise refusal(
            f"the side of {tell_uses(draft, sides)} follows {shown(name)}; give it another first"
        )
    if uses and not with_uses:
        told = tell_uses(draft, [use.owner for use in uses])
        raise refusal(f"{shown(name)} is still asked about by {told}")
    while uses:
        _drop_use(draft, uses[-1])
        uses = [use for use in condition_uses(draft, name) if use.owner != owner]
    draft.take_out(owner)
    return kept(text, draft)


def _drop_use(draft: Draft, use: Use) -> None:
    alone = len(draft.get(use.table)) == 1 or use.owner[0] == "impossible"
    if not alone:
        draft.take_out((*use.table, use.reference))
        return
    key = use.table[: len(use.owner) + 1]
    beside = draft.get(key)
    if use.table != key and len(beside) > 1:
        draft.take_out(use.table)
    elif use.owner[0] == "facts":
        draft.take_out(key)
    else:
        draft.take_out(use.owner)


def fact_users(text: str, name: str) -> tuple[str, ...]:
    """Name everything that uses a fact, for a question before it is dropped."""
    draft = Draft(text)
    owners = [use.owner for use in condition_uses(draft, name)]
    owners += [owner for owner, _ in side_uses(draft, name)]
    return tuple(dict.fromkeys(label(draft, owner) for owner in owners))
