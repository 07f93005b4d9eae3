"""The scripts of a session as they were brought in, and what they say of each play."""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache
from os import PathLike
from pathlib import Path

from gradecut.book import Book
from gradecut.errors import InputError
from gradecut.records import Script, Session
from gradecut.workflows.script_cells import number_of, words_told
from gradecut.workflows.sheets import SheetRow, read_rows, read_text

__all__ = ["keep_script", "kept_rows", "scripts_of", "told_by_scripts"]

Told = Mapping[int, Mapping[str, object]]


def keep_script(book: Book, session: Session, sheet: str | PathLike[str]) -> None:
    """Keep a script sheet as it came, in the act that is open where there is one.

    One that speaks of a number again takes the place of the one that spoke of it before; a
    sheet of other numbers, such as that of the next period, is kept beside it.

    Raises
    ------
    InputError
        When it can't be read.
    """
    text, name = read_text(sheet), Path(sheet).name
    there = scripts_of(book, session.id)
    if any((one.text, one.name) == (text, name) for one in there):
        return
    mine = {number for number, _ in kept_rows(text)}
    replaced = [one for one in there if mine & {number for number, _ in kept_rows(one.text)}]
    with book.act(f"keep the script of {session.name}") as act:
        act.drop_all(replaced)
        act.put(Script(session_id=session.id, name=name, text=text))


def scripts_of(book: Book, session_id: str) -> list[Script]:
    """Return the scripts that were kept of a session, in the order they came."""
    return book.find(Script, session_id=session_id)


def told_by_scripts(book: Book, session_id: str) -> dict[int, Mapping[str, object]]:
    """Return what a session's scripts say of each number, by the clip's own field names.

    A number is there also when nothing is said of its clip.
    """
    return {
        number: told
        for script in scripts_of(book, session_id)
        for number, told in _told(script.text).items()
    }


@lru_cache(maxsize=8)
def kept_rows(text: str) -> tuple[tuple[int, SheetRow], ...]:
    """Return the lines of a kept script with their numbers; what is no line is passed over."""
    try:
        rows = read_rows(text, "script", needed=("number",), known=lambda _: True)
    except InputError:
        return ()
    numbered = ((number_of(row), row) for row in rows)
    return tuple((number, row) for number, row in numbered if number is not None)


@lru_cache(maxsize=8)
def _told(text: str) -> Told:
    return {number: words_told(row) for number, row in kept_rows(text)}
