"""Making a book's tables, and bringing an older book up to this schema."""

from __future__ import annotations

import sqlite3
from collections.abc import Sequence
from pathlib import Path

from sqlalchemy import Column, Connection, MetaData, String, Table, insert, select
from sqlalchemy.exc import SQLAlchemyError

from gradecut.book.rows import commit, writing
from gradecut.book.schema import APPLICATION_ID, METADATA, REVISIONS
from gradecut.errors import BookError, OutputError
from gradecut.outfile import whole_file

__all__ = ["SCRIPTS", "bring_up_to_date", "copy_file", "make_tables", "revision_of", "upgrade"]

SCRIPTS = Path(__file__).parent / "migrations"
"""Where the scripts lie that lead from one schema to the next."""

_REVISION = Table(
    "alembic_version", MetaData(), Column("version_num", String(32), primary_key=True)
)


def make_tables(connection: Connection) -> None:
    """Make the tables of a new book and mark it as one of this schema."""
    with writing(connection):
        METADATA.create_all(connection, checkfirst=False)
        _REVISION.create(connection)
        connection.execute(insert(_REVISION), {"version_num": REVISIONS[-1]})
        connection.exec_driver_sql(f"PRAGMA application_id={APPLICATION_ID}")
        commit(connection)


def revision_of(connection: Connection, path: Path) -> str:
    """Return the schema of an open file.

    Raises
    ------
    BookError
        When the file is another program's.
    """
    if connection.exec_driver_sql("PRAGMA application_id").scalar() != APPLICATION_ID:
        raise BookError(
            f"{path}: this is no gradecut book but another program's file; choose a book that "
            "gradecut made."
        )
    return str(connection.execute(select(_REVISION.c.version_num)).scalar_one_or_none())


def bring_up_to_date(
    connection: Connection,
    path: Path,
    *,
    revisions: Sequence[str] = REVISIONS,
    scripts: Path = SCRIPTS,
) -> Path | None:
    """Lead an older book to the newest schema, after making a copy of it as it was.

    Parameters
    ----------
    connection : Connection
        The only one on the file.
    path : Path
        The book.
    revisions : sequence of str
        Every schema known, oldest first.
    scripts : Path
        Folder of the scripts that lead from one to the next.

    Returns
    -------
    Path or None
        The copy; None when the book was up to date.

    Raises
    ------
    BookError
        When the book is of a newer schema, or can't be led to this one; it then stays
        as it was.
    """
    found = revision_of(connection, path)
    if found == revisions[-1]:
        return None
    if found not in revisions:
        raise BookError(
            f"{path}: this book was kept by a newer gradecut (its schema is {found}); "
            "bring gradecut up to date."
        )
    copy = _free_name(path, found)
    try:
        with whole_file(copy) as draft:
            copy_file(connection, draft)
    except OutputError as error:
        raise BookError(str(error)) from error
    connection.exec_driver_sql("PRAGMA foreign_keys=OFF")
    try:
        with writing(connection):
            upgrade(connection, scripts)
            commit(connection)
    except SQLAlchemyError as error:
        raise BookError(
            f"{path}: the book could not be led from schema {found} to {revisions[-1]}; it is as "
            f"it was, and a copy lies in {copy.name}."
        ) from error
    finally:
        connection.exec_driver_sql("PRAGMA foreign_keys=ON")
    return copy


def copy_file(connection: Connection, goal: Path) -> None:
    """Copy a whole book, as it stands, into a file."""
    source = connection.connection.dbapi_connection
    copy = sqlite3.connect(goal)
    try:
        source.backup(copy)  # type: ignore[union-attr]  # SQLite's own connection
        copy.execute("PRAGMA journal_mode=DELETE").fetchone()
    finally:
        copy.close()


def upgrade(connection: Connection, scripts: Path) -> None:
    """Run the scripts inside the open transaction."""
    from alembic import command
    from alembic.config import Config

    config = Config()
    config.set_main_option("script_location", str(scripts).replace("%", "%%"))
    config.attributes["connection"] = connection
    command.upgrade(config, "head")


def _free_name(path: Path, revision: str) -> Path:
    """Find a name beside the book that nothing has yet."""
    for number in range(1, 10_000):
        again = f" {number}" if number > 1 else ""
        name = path.with_name(f"{path.stem} (schema {revision}){again}{path.suffix}")
        if not name.exists():
            return name
    raise BookError(f"{path}: there are too many copies beside this book; put some elsewhere.")
