"""The tables keep every field of every record, and the scripts lead to just these tables."""

from __future__ import annotations

import dataclasses
import re
import sqlite3
import warnings
from pathlib import Path

import pytest
from sqlalchemy import create_engine, inspect

from gradecut.book import table_of
from gradecut.book.migrating import SCRIPTS, make_tables, upgrade
from gradecut.book.schema import METADATA, REVISIONS, TABLES, noun_of
from gradecut.records import Act, FactValue

EXTRA = {Act: {"number", "taking_back"}}


@pytest.mark.parametrize("kind", TABLES, ids=lambda kind: kind.__name__)
def test_every_field_has_a_column(kind: type) -> None:
    """A record's fields are its table's columns; only the journal counts more."""
    fields = {found.name for found in dataclasses.fields(kind)}
    assert set(TABLES[kind].c.keys()) == fields | EXTRA.get(kind, set())


@pytest.mark.parametrize("kind", TABLES, ids=lambda kind: kind.__name__)
def test_what_may_be_missing_may_be_null(kind: type) -> None:
    """A column is empty only where its record's field may be None."""
    hints = {found.name: str(found.type) for found in dataclasses.fields(kind)}
    for name, hint in hints.items():
        assert TABLES[kind].c[name].nullable == ("None" in hint), name


@pytest.mark.parametrize("kind", TABLES, ids=lambda kind: kind.__name__)
def test_records_come_back_without_their_constructor(kind: type) -> None:
    """Reading fills the slots straight, so no record may work in its constructor."""
    assert not hasattr(kind, "__post_init__")
    assert hasattr(kind, "__slots__")


def test_every_name_of_a_row_is_looked_up_by_an_index() -> None:
    """Every column that names another row leads an index, but for the single title row."""
    for table in METADATA.tables.values():
        leading = {next(iter(index.expressions)).name for index in table.indexes}
        for column in table.c:
            if column.foreign_keys and (table.name, column.name) not in {
                ("book", "scheme_id"),
                ("acts", "undoes"),
            }:
                assert column.name in leading, f"{table.name}.{column.name}"


def test_nouns_are_the_coachs() -> None:
    """Sentences name rows in the trade's words; an unknown table is still a row."""
    assert table_of(FactValue) == "facts"
    assert noun_of("facts") == "fact"
    assert noun_of("weather") == "row"


def _schema_of(path: Path) -> set[tuple[str, ...]]:
    """Read what SQLite was told to make, in parts, without the spacing.

    A table that is made again around a new column has its foreign keys in any order.
    """
    connection = sqlite3.connect(path)
    told = connection.execute("SELECT sql FROM sqlite_master WHERE sql IS NOT NULL").fetchall()
    connection.close()
    plain = (re.sub(r'[\s"]+', " ", sql).strip() for (sql,) in told)
    told_once = (
        re.sub(r" ?([(),]) ?", r"\1", sql) for sql in plain if "alembic_version" not in sql
    )
    return {tuple(sorted(re.split(r",(?=FOREIGN|PRIMARY|UNIQUE)", sql[:-1]))) for sql in told_once}


def test_scripts_lead_to_these_tables(tmp_path: Path) -> None:
    """A book led up by the scripts has the tables a new book has, to the letter."""
    from alembic.autogenerate import compare_metadata
    from alembic.migration import MigrationContext

    for name in ("made", "led"):
        engine = create_engine(f"sqlite:///{tmp_path / name}", isolation_level="AUTOCOMMIT")
        with engine.connect() as connection:
            if name == "made":
                make_tables(connection)
            else:
                upgrade(connection, SCRIPTS)
                with warnings.catch_warnings():
                    # SQLite can't tell of an index on an expression; it is compared below.
                    warnings.filterwarnings("ignore", message=".*moments_once.*")
                    warnings.filterwarnings("ignore", message=".*expression-based index.*")
                    context = MigrationContext.configure(connection)
                    assert compare_metadata(context, METADATA) == []
                assert inspect(connection).has_table("alembic_version")
        engine.dispose()
    assert _schema_of(tmp_path / "led") == _schema_of(tmp_path / "made")


def test_revisions_are_those_of_the_scripts() -> None:
    """The list of schemas that opening looks at is the one the scripts tell."""
    from alembic.config import Config
    from alembic.script import ScriptDirectory

    config = Config()
    config.set_main_option("script_location", str(SCRIPTS))
    scripts = ScriptDirectory.from_config(config)
    assert tuple(found.revision for found in scripts.walk_revisions())[::-1] == REVISIONS
