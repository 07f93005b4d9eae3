"""An edit kept only where the new text reads well and brings no fault of its own."""

from __future__ import annotations

import re
from collections import Counter

from gradecut.errors import SchemeError
from gradecut.scheme._page import Fault
from gradecut.scheme.editing._draft import Draft
from gradecut.scheme.editing._said import Said, Unreadable, read_said
from gradecut.scheme.editing._spelling import refusal
from gradecut.scheme.editing._values import same
from gradecut.scheme.reader import read_walked

__all__ = ["kept"]

_PLACE = re.compile(r"^(rule|alignment|impossible|duty) \d+")
_LAST_FAULT = "no look is left"


def kept(before: str, draft: Draft, renamed: tuple[str, str] | None = None) -> str:
    """Give the new text of a draft.

    Parameters
    ----------
    before : str
        The text before the edit.
    draft : Draft
        The edit.
    renamed : (old, new) or None
        A name that the edit changes, and that faults told before may hold.

    Raises
    ------
    SchemeError
        When the new text holds a fault that was not there before; nothing is changed then.
    """
    after = draft.text
    if after == before:
        return before
    try:
        said = read_said(after, read_said(before))
    except Unreadable:
        said = None
    if said is None or not same(said.data, draft.data):
        raise refusal(
            "this part of the file is laid out in a way that can't be edited here; "
            "change it by hand"
        )
    faults = _faults(after, said)
    if not faults:
        return after
    there = _faults(before, read_said(before))
    known = Counter(_plain(fault, renamed) for fault in there)
    new = []
    for fault in faults:
        told = _plain(fault, None)
        if known[told]:
            known[told] -= 1
        elif not (there and _LAST_FAULT in told):  # told only of a file without other faults
            new.append(fault)
    if new:
        raise SchemeError("the scheme", new)
    return after


def _faults(text: str, said: Said) -> tuple[Fault, ...]:
    try:
        read_walked(text, said.layout.spans, said.data, "the scheme")
    except SchemeError as refused:
        return tuple(Fault(line=fault.line, message=fault.message) for fault in refused.faults)
    return ()


def _plain(fault: Fault, renamed: tuple[str, str] | None) -> str:
    told = _PLACE.sub(r"\1", fault.message)
    if renamed is not None:
        old, new = renamed
        told = re.sub(rf"(?<!\w){re.escape(old)}(?!\w)", lambda _: new, told)
    return told
