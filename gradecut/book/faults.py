"""What the database refuses, said in a coach's words."""

from __future__ import annotations

import sqlite3
from pathlib import Path

from sqlalchemy.exc import SQLAlchemyError

from gradecut.book.schema import noun_of
from gradecut.counting_words import all_listed
from gradecut.errors import BookError

__all__ = ["clashing_table", "error_name", "sentence_of"]

_SAID = {
    "SQLITE_BUSY": "another program is writing in this book; try again in a moment",
    "SQLITE_LOCKED": "another program is writing in this book; try again in a moment",
    "SQLITE_READONLY": "it can only be read; copy it to a folder you can write to",
    "SQLITE_PERM": "it can only be read; copy it to a folder you can write to",
    "SQLITE_FULL": "the disk is full; free some space and try again",
    "SQLITE_CORRUPT": "the file is damaged; go back to a backup copy",
    "SQLITE_NOTADB": "this is no gradecut book, whatever its name; choose one that gradecut made",
    "SQLITE_CANTOPEN": "the file can't be opened there; check the folder and your rights in it",
    "SQLITE_IOERR": "the disk did not answer as it should; check it and try again",
    "SQLITE_TOOBIG": "one entry is too long; shorten it",
}


def error_name(error: Exception) -> str:
    """Return SQLite's own name of an error, such as ``SQLITE_BUSY``; empty when it has none."""
    cause = getattr(error, "orig", None) or error
    return str(getattr(cause, "sqlite_errorname", ""))


def sentence_of(error: SQLAlchemyError | sqlite3.Error, path: Path) -> BookError:
    """Turn an error of the database into one sentence about a book."""
    name = error_name(error)
    if name.startswith("SQLITE_CONSTRAINT"):
        return BookError(f"{path}: {_clash(error)}.")
    for prefix, said in _SAID.items():
        if name.startswith(prefix):
            return BookError(f"{path}: {said}.")
    cause = str(getattr(error, "orig", None) or error)
    if "no such table" in cause or "no such column" in cause:
        return BookError(f"{path}: {_SAID['SQLITE_CORRUPT']}.")
    return BookError(f"{path}: the book could not be used ({cause}); go back to a backup copy.")


def clashing_table(error: Exception) -> str:
    """Return the table in which a row broke what must be unique; empty when not told."""
    return _clashing_columns(error)[0].partition(".")[0]


def _clashing_columns(error: Exception) -> list[str]:
    """Return the columns that must be unique together, as ``table.column``."""
    cause = str(getattr(error, "orig", None) or error)
    told = cause.partition("failed: ")[2]
    if "moments_once" in told:
        return [f"moments.{name}" for name in ("angle", "rep", "kind", "source", "author")]
    return told.split(", ")


def _clash(error: Exception) -> str:
    """Say which row is in the book already."""
    columns = _clashing_columns(error)
    noun = noun_of(clashing_table(error))
    same = [name.partition(".")[2].removesuffix("_id").replace("_", " ") for name in columns]
    if not all(same):
        return f"a {noun} goes against what is in the book already; change that one instead"
    return (
        f"a {noun} with the same {all_listed(same)} is in the book already; change that one instead"
    )
