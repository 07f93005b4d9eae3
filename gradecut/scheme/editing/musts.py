"""What cannot be and what must be: added, changed, dropped."""

from __future__ import annotations

from typing import Any

from gradecut.hints import nearest
from gradecut.scheme._page import shown
from gradecut.scheme.editing._draft import Draft
from gradecut.scheme.editing._keeping import kept
from gradecut.scheme.editing._spelling import refusal
from gradecut.scheme.editing._written import Written

__all__ = ["add_duty", "add_impossible", "change_duty", "drop_duty", "drop_impossible"]

_DUTY = ("name", "each_side", "when", "gaps", "owned", "at_least", "at_most")


def add_impossible(text: str, *, when: Written, each_side: bool = False) -> str:
    """Add looks that cannot be, after the others.

    Parameters
    ----------
    text : str
        A whole scheme file.
    when : dict or list of dict
        What cannot be, as the file writes it.
    each_side : bool
        Read from each side, with to and away.

    Raises
    ------
    SchemeError
        When the text would have a fault it has not now: no look is left, say.
    """
    draft = Draft(text)
    said: dict[str, Any] = {"each_side": True} if each_side else {}
    draft.add_table("impossible", {**said, "when": when})
    return kept(text, draft)


def drop_impossible(text: str, *, place: int) -> str:
    """Drop an entry of what cannot be.

    Parameters
    ----------
    text : str
        A whole scheme file.
    place : int
        Which, counted from 0 in the order of the file.

    Raises
    ------
    SchemeError
        When there are not so many.
    """
    draft = Draft(text)
    entries = draft.data.get("impossible")
    count = len(entries) if isinstance(entries, list) else 0
    if not 0 <= place < count:
        raise refusal(f"there is no entry {place + 1} of what cannot be; the scheme has {count}")
    draft.take_out(("impossible", place))
    return kept(text, draft)


def add_duty(text: str, *, name: str, **said: Any) -> str:
    """Add a duty, after the others.

    Parameters
    ----------
    text, name : str
        The file, and the duty's name, which must be new.
    **said
        each_side, when, gaps, owned, at_least, at_most, as the file writes them; None is left
        out.

    Raises
    ------
    SchemeError
        When the text would have a fault it has not now.
    """
    draft = Draft(text)
    body = {"name": name, **said}
    told = {key: body[key] for key in _DUTY if body.get(key) is not None}
    further = {key: part for key, part in body.items() if key not in _DUTY and part is not None}
    draft.add_table("duties", {**told, **further})
    return kept(text, draft)


def change_duty(text: str, *, duty: str, **said: Any) -> str:
    """Change what a duty says, its name among it.

    Parameters
    ----------
    text, duty : str
        The file, and the duty's name so far.
    **said
        The keys that change; None takes one out. Keys not told stay.

    Raises
    ------
    SchemeError
        When there is no such duty, or the text would have a fault it has not now.
    """
    draft = Draft(text)
    place = _place(draft, duty)
    for key, value in said.items():
        if value is not None:
            draft.put(("duties", place, key), value, _DUTY)
        elif draft.get(("duties", place, key)) is not None:
            draft.take_out(("duties", place, key))
    return kept(text, draft)


def drop_duty(text: str, *, duty: str) -> str:
    """Drop a duty.

    Raises
    ------
    SchemeError
        When there is no such duty.
    """
    draft = Draft(text)
    draft.take_out(("duties", _place(draft, duty)))
    return kept(text, draft)


def _place(draft: Draft, name: str) -> int:
    found = draft.data.get("duties")
    duties = found if isinstance(found, list) else []
    names = [duty.get("name") if isinstance(duty, dict) else None for duty in duties]
    if name not in names:
        known = [other for other in names if isinstance(other, str)]
        raise refusal(f"the scheme has no duty {shown(name)}; {nearest(name, known)}")
    return names.index(name)
