"""The fits of a scheme file: added, changed, given another name, dropped."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from gradecut.scheme._lines import Path
from gradecut.scheme._page import shown
from gradecut.scheme.editing._draft import Draft
from gradecut.scheme.editing._keeping import kept
from gradecut.scheme.editing._named import add_to, change_in, rename_in, table_of
from gradecut.scheme.editing._rows import Rows
from gradecut.scheme.editing._spelling import refusal
from gradecut.scheme.editing._uses import tell_uses

__all__ = ["add_fit", "change_fit", "drop_fit", "rename_fit"]

_KEYS = ("job", "gap", "side", "landmark", "steps", "owns", "misses", "graded")


def add_fit(text: str, *, name: str, job: str, **said: Any) -> str:
    """Add a fit to the coach's list.

    Parameters
    ----------
    text : str
        A whole scheme file.
    name, job : str
        Its name, which must be new, and its job.
    **said
        gap, side, landmark, steps, owns, misses, graded, as the file writes them; None is left
        out. Misses may be (name, credit) pairs too.

    Raises
    ------
    SchemeError
        When the name is taken, or the text would have a fault it has not now.
    """
    draft = Draft(text)
    add_to(draft, "fits", name, _body({"job": job, **said}), _KEYS)
    return kept(text, draft)


def change_fit(text: str, *, name: str, **said: Any) -> str:
    """Change what a fit says.

    Parameters
    ----------
    text, name
        The file and the fit.
    **said
        The keys that change, as in `add_fit`; None takes one out. Keys not told stay.

    Raises
    ------
    SchemeError
        When there is no such fit, or the text would have a fault it has not now.
    """
    draft = Draft(text)
    change_in(draft, "fits", name, _body(said), _KEYS)
    return kept(text, draft)


def rename_fit(text: str, *, name: str, new: str) -> str:
    """Give a fit another name, there and in every rule that asks for it.

    Raises
    ------
    SchemeError
        When there is no such fit, or the new name is taken.
    """
    draft = Draft(text)
    rename_in(draft, "fits", name, new)
    draft.replace(dict.fromkeys(_uses(draft, name), new))
    return kept(text, draft, renamed=(name, new))


def drop_fit(text: str, *, name: str, with_uses: bool = False) -> str:
    """Take a fit off the list.

    Parameters
    ----------
    text, name
        The file and the fit.
    with_uses : bool
        Drop the rules that ask for it too, and take it out of the `also` of others.

    Raises
    ------
    SchemeError
        When there is no such fit, or a rule still uses it.
    """
    draft = Draft(text)
    table_of(draft, "fits", name)
    uses = _uses(draft, name)
    if uses and not with_uses:
        told = tell_uses(draft, [path[:2] for path in uses])
        raise refusal(f"{shown(name)} is still asked for by {told}")
    for path in reversed([path for path in uses if path[2] == "also"]):
        draft.take_out(path if len(draft.get(path[:-1])) > 1 else path[:-1])
    rules = [int(path[1]) for path in uses if path[2] == "fit"]
    if rules:
        draft.drop_tables("rules", rules)
    draft.take_out(("fits", name))
    return kept(text, draft)


def _uses(draft: Draft, name: str) -> list[Path]:
    """Give the places that name a fit, in the order of the file: of a rule the fit comes first."""
    found: list[Path] = []
    for place, table in enumerate(Rows(draft).tables):
        here: Path = ("rules", place)
        if table.get("fit") == name:
            found.append((*here, "fit"))
        also = table.get("also")
        for at, other in enumerate(also if isinstance(also, list) else ()):
            if other == name:
                found.append((*here, "also", at))
    return found


def _body(said: dict[str, Any]) -> dict[str, Any]:
    misses = said.get("misses")
    if isinstance(misses, Sequence) and not isinstance(misses, str):
        said["misses"] = [_miss(miss) for miss in misses]
    return said


def _miss(miss: Any) -> Any:
    if not isinstance(miss, tuple):
        return miss
    name, credit = miss
    return {"name": name} if credit == "wrong" else {"name": name, "credit": credit}
