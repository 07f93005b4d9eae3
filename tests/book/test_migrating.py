"""An older book is copied first, then led to the newest schema, or stays as it was."""

from __future__ import annotations

import shutil
import sqlite3
from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import pytest

from gradecut.book import open_book
from gradecut.book.migrating import SCRIPTS, bring_up_to_date
from gradecut.book.schema import REVISIONS
from gradecut.book.store_thread import StoreThread
from gradecut.errors import BookError
from gradecut.records import (
    Angle,
    Clip,
    FilmIndex,
    LinedUp,
    Moment,
    Player,
    Rep,
    Script,
    Session,
    StoredFilm,
)

BOOK_0001 = Path(__file__).with_name("book_0001.sql")

NEXT = """
import sqlalchemy as sa
from alembic import op

revision = "next"
down_revision = "{before}"


def upgrade() -> None:
    with op.batch_alter_table("players") as players:
        players.add_column(sa.Column("height_in", sa.Integer(), nullable=True))
        players.alter_column("remark", new_column_name="word")
    op.create_table("drills", sa.Column("id", sa.Text(), primary_key=True))
    {more}
"""


@pytest.fixture
def older(path: Path) -> Path:
    """Keep a book in today's schema, which the tests' own script makes an older one."""
    with open_book(path, create=True, author="Coach Alder") as book, book.act("add") as act:
        session, keel = Session(name="Tuesday"), Player(name="Keel", remark="quick")
        clip = Clip(session_id=session.id, order=1)
        act.put(session, keel, clip, Rep(clip_id=clip.id, player_id=keel.id, position="mike"))
    return path


def scripts(tmp_path: Path, more: str = "") -> Path:
    """Add a script for a schema that is still to come."""
    folder = tmp_path / "100% scripts"
    shutil.copytree(SCRIPTS, folder)
    told = NEXT.format(before=REVISIONS[-1], more=more)
    (folder / "versions" / "next.py").write_text(told, encoding="utf-8")
    return folder


def lead(path: Path, folder: Path) -> tuple[Path | None, list[object]]:
    """Lead a book on and read its players by hand; tell the copy's name."""
    store = StoreThread(path)
    try:
        copy = store.call(
            lambda connection: bring_up_to_date(
                connection, path, revisions=(*REVISIONS, "next"), scripts=folder
            )
        )
        rows = store.call(
            lambda connection: [
                tuple(row)
                for row in connection.exec_driver_sql("SELECT name, word, height_in FROM players")
            ]
        )
        keys = store.call(
            lambda connection: connection.exec_driver_sql("PRAGMA foreign_keys").scalar()
        )
        assert keys == 1
        return copy, list(rows)
    finally:
        store.close()


def test_an_older_book_is_led_on(older: Path, tmp_path: Path) -> None:
    """Rows stay, columns and tables come, and a copy as it was lies beside the book."""
    copy, rows = lead(older, scripts(tmp_path))
    assert rows == [("Keel", "quick", None)]
    assert copy == older.with_name(f"week (schema {REVISIONS[-1]}).gradecut")
    with open_book(copy) as book:
        assert [player.remark for player in book.find(Player)] == ["quick"]
    with pytest.raises(BookError, match=r"kept by a newer gradecut \(its schema is next\)"):
        open_book(older)


def test_leading_on_twice_is_once(older: Path, tmp_path: Path) -> None:
    """A book that is up to date is not copied again."""
    folder = scripts(tmp_path)
    lead(older, folder)
    assert lead(older, folder) == (None, [("Keel", "quick", None)])


def test_a_copy_never_takes_anothers_place(older: Path, tmp_path: Path) -> None:
    """A copy from an earlier time stays; the new one gets a name of its own."""
    first = older.with_name(f"week (schema {REVISIONS[-1]}).gradecut")
    first.write_text("an earlier copy")
    copy, _ = lead(older, scripts(tmp_path))
    assert copy == older.with_name(f"week (schema {REVISIONS[-1]}) 2.gradecut")
    assert first.read_text() == "an earlier copy"


def test_a_failed_step_changes_nothing(older: Path, tmp_path: Path) -> None:
    """When a script fails half way, the book is as it was and opens as before."""
    folder = scripts(tmp_path, more='op.execute("INSERT INTO nowhere VALUES (1)")')
    with pytest.raises(BookError, match=r"it is as it was, and a copy lies in week \(schema"):
        lead(older, folder)
    with open_book(older, author="Coach Alder") as book:
        assert [player.remark for player in book.find(Player)] == ["quick"]
        assert book.undo().verb == "take back “add”"


def test_a_book_of_the_first_schema_is_led_here(path: Path) -> None:
    """Its film, play and snap stay, the time of filming is empty, and it takes an index."""
    first = sqlite3.connect(path)
    first.executescript(BOOK_0001.read_text(encoding="utf-8"))
    first.close()
    with open_book(path, author="Coach Alder") as book:
        film = book.find(StoredFilm)[0]
        assert (film.name, film.rate, film.recorded_at) == ("play 1", Fraction(30000, 1001), "")
        assert [moment.pts for moment in book.find(Moment)] == [90090]
        assert [act.verb for act in book.history()] == [
            "mark the snap",
            "add the end film of Tuesday",
        ]
        assert book.can_undo() is None
        with book.act("keep its index") as act:
            act.put(FilmIndex(film_id=film.id, data=b"bytes"), replace(film, recorded_at="2026"))
        assert book.undo().verb == "take back “keep its index”"
        assert book.find(StoredFilm) == [film]
        assert book.find(LinedUp) == [] == book.find(Script)
        assert [angle.turn for angle in book.find(Angle)] == [0]
        keel, clip = Player(name="Rory Keel"), book.find(Clip)[0]
        rep = Rep(clip_id=clip.id, player_id=keel.id, position="Mike")
        deep = LinedUp(rep_id=rep.id, verdict="off", off=("too deep",), author="Coach Alder")
        with book.act("say how he lined up") as act:
            act.put(keel, rep, deep)
        assert book.find(LinedUp) == [deep]
        book.undo()
        assert book.find(LinedUp) == []
    kept = sqlite3.connect(path.with_name("week (schema 0001).gradecut"))
    assert kept.execute("SELECT version_num FROM alembic_version").fetchall() == [("0001",)]
    assert kept.execute("SELECT count(*) FROM films").fetchall() == [(1,)]
    kept.close()
