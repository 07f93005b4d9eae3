"""The coach's answers, checked and filled in."""

from __future__ import annotations

import unicodedata
from collections.abc import Mapping, Sequence
from typing import NoReturn

from gradecut.errors import SchemeError
from gradecut.hints import listed, nearest
from gradecut.scheme._page import Fault, shown
from gradecut.scheme.starting.questions import QUESTIONS, StartQuestion

__all__ = ["LONGEST_NAME", "checked", "men_of", "refuse"]

LONGEST_NAME = 60
"""Most letters a name may have."""


def checked(answers: Mapping[str, str]) -> dict[str, str]:
    """Give every question its answer, the coach's or the one taken where he gives none.

    Raises
    ------
    SchemeError
        On a question there is none, an answer there is none, or a name that can't be one.
    """
    known = [question.key for question in QUESTIONS]
    for key in answers:
        if key not in known:
            refuse(f"there is no question {shown(key)}; {nearest(str(key), known)}")
    return {
        question.key: _answer(question, answers.get(question.key, question.default))
        for question in QUESTIONS
    }


def refuse(told: str) -> NoReturn:
    """Raise one sentence about the answers."""
    raise SchemeError("answers", (Fault(line=0, message=told),))


def name_of(text: str, what: str) -> str:
    """Give a name without the blanks around it, or refuse it."""
    # One name, however its accents are typed.
    name = unicodedata.normalize("NFC", " ".join(text.split(" ")).strip())
    if not name:
        refuse(f"{what} is empty; write a name")
    if len(name) > LONGEST_NAME:
        refuse(f"{what} {shown(name)} is too long; write at most {LONGEST_NAME} letters")
    if not name.isprintable():
        refuse(f"{what} {shown(name)} holds a letter that can't be printed; write it without")
    return name


def men_of(text: str, usual: Sequence[str], taken: Sequence[str]) -> tuple[str, ...]:
    """Give the linebackers' names, as many as the front has, none twice.

    Parameters
    ----------
    text : str
        What the coach wrote; empty for the usual names.
    usual : sequence of str
        The usual names, one for each linebacker of his front.
    taken : sequence of str
        Names the rest of the front has.
    """
    if not text.strip():
        return tuple(usual)
    names = tuple(name_of(part, "a linebacker's name") for part in text.split(","))
    if len(names) != len(usual):
        refuse(
            f"your front has {len(usual)} linebackers, but {len(names)} are named; name "
            f"{len(usual)} from the strength across, with commas between"
        )
    seen: dict[str, str] = {}
    for name in names:
        folded = name.casefold()
        if folded in seen:
            refuse(f"two linebackers are called {shown(name)}; give each his own name")
        if folded in {one.casefold() for one in taken}:
            refuse(f"{shown(name)} is another man of this front; call your linebacker otherwise")
        seen[folded] = name
    return names


def _answer(question: StartQuestion, given: object) -> str:
    if not isinstance(given, str):
        refuse(f"the answer to {shown(question.key)} is {shown(given)}; give a word")
    if not question.choices:
        return name_of(given, "the name of the defence") if question.default else given
    values = [choice.value for choice in question.choices]
    if given not in values:
        refuse(f"{shown(question.key)} has no answer {shown(given)}; it is {listed(values)}")
    return given
