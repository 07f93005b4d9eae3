"""The one thread that owns a book's only connection."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from contextlib import suppress
from pathlib import Path
from threading import Lock
from typing import TypeVar

from sqlalchemy import Connection, Engine, create_engine
from sqlalchemy.exc import SQLAlchemyError
from sqlalchemy.pool import NullPool

from gradecut.book.faults import sentence_of
from gradecut.errors import BookError

__all__ = ["BUSY_S", "StoreThread", "connect", "tidy"]

BUSY_S = 5.0
"""How long a write waits for another program's write, in seconds."""

_WAL_SINCE = (3, 51, 3)
T = TypeVar("T")


def connect(path: Path) -> Engine:
    """Make an engine on a file whose connections leave transactions to us.

    The write-ahead log is used from SQLite 3.51.3 on; older ones are reported to
    damage it when two connections write at once, so they keep a rollback journal.
    """

    def open_file() -> sqlite3.Connection:
        found = sqlite3.connect(path, timeout=BUSY_S, isolation_level=None, check_same_thread=False)
        try:
            journal = "WAL" if sqlite3.sqlite_version_info >= _WAL_SINCE else "TRUNCATE"
            found.execute("PRAGMA trusted_schema=OFF")
            found.execute(f"PRAGMA journal_mode={journal}").fetchone()
            found.execute("PRAGMA synchronous=FULL")
            found.execute("PRAGMA foreign_keys=ON")
        except sqlite3.Error:
            found.close()
            raise
        return found

    return create_engine("sqlite://", creator=open_file, poolclass=NullPool)


def tidy(connection: Connection) -> None:
    """Take the empty journal away before closing, so that one file lies in the folder."""
    if connection.exec_driver_sql("PRAGMA journal_mode").scalar() == "truncate":
        with suppress(SQLAlchemyError):  # somebody else has the book open, and tidies later
            connection.exec_driver_sql("PRAGMA journal_mode=DELETE")


class StoreThread:
    """Runs work on the connection, one piece after the other, for callers of any thread."""

    def __init__(self, path: Path) -> None:
        self.path = path
        self._pool = ThreadPoolExecutor(max_workers=1, thread_name_prefix="gradecut-book")
        self._closing = Lock()
        self._closed = False
        try:
            self._engine, self._connection = self._pool.submit(self._open).result()
        except BookError:
            self._pool.shutdown()
            raise

    def call(self, work: Callable[[Connection], T]) -> T:
        """Run ``work(connection)`` on the store thread and return what it returns.

        Raises
        ------
        BookError
            When the database refuses, or the book is closed.
        """
        with self._closing:
            if self._closed:
                raise BookError(f"{self.path}: this book is closed; open it again.")
            waiting = self._pool.submit(self._run, work)
        return waiting.result()

    def close(self) -> None:
        """End the connection and the thread; closing twice does nothing."""
        with self._closing:
            if self._closed:
                return
            self._closed = True
            self._pool.submit(self._close).result()
        self._pool.shutdown()

    def _open(self) -> tuple[Engine, Connection]:
        engine = connect(self.path)
        try:
            connection = engine.connect().execution_options(isolation_level="AUTOCOMMIT")
        except (SQLAlchemyError, sqlite3.Error) as error:
            raise sentence_of(error, self.path) from error
        return engine, connection

    def _run(self, work: Callable[[Connection], T]) -> T:
        try:
            return work(self._connection)
        except (SQLAlchemyError, sqlite3.Error) as error:
            raise sentence_of(error, self.path) from error

    def _close(self) -> None:
        tidy(self._connection)
        self._connection.close()
        self._engine.dispose()
