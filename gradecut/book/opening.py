"""Opening a book, or starting one."""

from __future__ import annotations

import sqlite3
from os import PathLike
from pathlib import Path

from sqlalchemy.exc import SQLAlchemyError

from gradecut.book.book import Book
from gradecut.book.faults import sentence_of
from gradecut.book.migrating import bring_up_to_date, make_tables
from gradecut.book.places import look_at_book, look_at_place
from gradecut.book.store_thread import StoreThread, connect, tidy
from gradecut.errors import BookError, OutputError
from gradecut.outfile import whole_file

__all__ = ["open_book"]


def open_book(path_or_url: str | PathLike[str], *, author: str = "", create: bool = False) -> Book:
    """Open a book, or start a new one.

    Parameters
    ----------
    path_or_url : str or path
        The book's file. The address of a database is refused for now.
    author : str
        Who writes in it; undo takes back this author's acts only.
    create : bool
        Start a new book where no file is yet.

    Returns
    -------
    Book
        Open; close it, or use it in a ``with`` statement.

    Raises
    ------
    BookError
        When there is no book, or (with ``create``) there is something already; when
        the file is another program's, damaged, of a newer schema, in use, or in a
        place where a book can't be kept.

    Examples
    --------
    >>> from tempfile import TemporaryDirectory
    >>> with TemporaryDirectory() as folder:
    ...     with open_book(f"{folder}/week.gradecut", create=True, author="Coach") as book:
    ...         book.history()
    []
    """
    if "://" in str(path_or_url):
        raise BookError(f"{path_or_url}: only books in a file can be opened yet; give its path.")
    path = Path(path_or_url).expanduser().absolute()
    look_at_place(path)
    if create:
        _start(path)
    look_at_book(path)
    store = StoreThread(path)
    try:
        store.call(lambda connection: bring_up_to_date(connection, path))
        return Book(store, author=author)
    except BookError:
        store.close()
        raise


def _start(path: Path) -> None:
    """Put a book without entries where nothing is yet, whole or not at all."""
    if path.exists():
        raise BookError(f"{path}: there is a file already; open it, or choose another name.")
    try:
        with whole_file(path) as draft:
            engine = connect(draft)
            try:
                with engine.connect() as connection:
                    make_tables(connection.execution_options(isolation_level="AUTOCOMMIT"))
                    tidy(connection)
            finally:
                engine.dispose()
    except OutputError as error:
        raise BookError(str(error)) from error
    except (SQLAlchemyError, sqlite3.Error) as error:
        raise sentence_of(error, path) from error
