"""At the door: what is a book opens, whatever else is there costs one sentence."""

from __future__ import annotations

import os
import shutil
import sqlite3
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path

import pytest

from gradecut.book import Book, open_book
from gradecut.book.schema import METADATA
from gradecut.errors import BookError
from gradecut.records import BookInfo, Player, Session


def refusal(path: object, *, create: bool = False) -> str:
    """Return the one sentence that opening costs."""
    with pytest.raises(BookError) as caught:
        open_book(str(path), create=create)
    said = str(caught.value)
    assert type(caught.value) is BookError
    assert "\n" not in said
    assert said.endswith(".")
    return said


def leftovers(folder: Path) -> list[str]:
    """List what lies in a folder."""
    return sorted(found.name for found in folder.iterdir())


def test_what_was_put_in_is_there_tomorrow(path: Path) -> None:
    """A book closed and opened again holds what was recorded."""
    with open_book(path, create=True, author="Coach Alder") as book, book.act("start") as act:
        act.put(BookInfo(name="Herons"))
    with open_book(path) as book:
        assert book.get(BookInfo, "book").name == "Herons"
        assert book.path == path
    assert leftovers(path.parent) == [path.name]


def test_a_new_book_makes_its_folder(tmp_path: Path) -> None:
    """Starting a book in a folder that is not there yet makes the folder."""
    open_book(tmp_path / "2025" / "week 1.gradecut", create=True).close()
    assert leftovers(tmp_path / "2025") == ["week 1.gradecut"]


def test_a_missing_book_is_not_started_by_mistake(path: Path) -> None:
    """A mistyped name says so and leaves no file."""
    assert "there is no book there" in refusal(path)
    assert leftovers(path.parent) == []


def test_starting_over_a_file_is_refused(path: Path) -> None:
    """A new book never takes the place of a file."""
    path.write_text("my notes")
    assert "there is a file already" in refusal(path, create=True)
    assert path.read_text() == "my notes"


@pytest.mark.parametrize("create", [False, True])
def test_a_folder_is_no_book(tmp_path: Path, create: bool) -> None:
    """Naming the folder instead of the file says so."""
    assert "this is a folder" in refusal(tmp_path, create=create)


def test_a_text_file_is_no_book(path: Path) -> None:
    """A text file stays as it is."""
    path.write_text("clip,position\n1,mike\n" * 100)
    assert "no gradecut book" in refusal(path)
    assert path.read_text().startswith("clip,position")


def test_an_empty_file_is_no_book(path: Path) -> None:
    """An empty file is told from a book without entries."""
    path.touch()
    assert "the file is empty" in refusal(path)
    assert path.stat().st_size == 0


def test_another_programs_file_is_no_book(path: Path) -> None:
    """A SQLite file of another program is left exactly as it was."""
    other = sqlite3.connect(path)
    other.execute("CREATE TABLE players (id TEXT, name TEXT)")
    other.commit()
    other.close()
    before = path.read_bytes()
    assert "another program's file" in refusal(path)
    assert path.read_bytes() == before
    assert leftovers(path.parent) == [path.name]


def test_a_newer_book_is_refused(path: Path) -> None:
    """A book kept by a newer gradecut is not touched."""
    open_book(path, create=True).close()
    newer = sqlite3.connect(path)
    newer.execute("UPDATE alembic_version SET version_num = '9999'")
    newer.commit()
    newer.close()
    before = path.read_bytes()
    assert "kept by a newer gradecut" in refusal(path)
    assert path.read_bytes() == before


def test_a_cut_off_book_is_refused(path: Path, full_book: Path) -> None:
    """A book whose copy broke off half way is told at the door."""
    data = full_book.read_bytes()
    path.write_bytes(data[: len(data) // 2])
    assert "damaged" in refusal(path)


def test_a_book_without_its_tables_is_refused(path: Path) -> None:
    """A book whose own tables are gone is damaged, not another program's."""
    open_book(path, create=True).close()
    broken = sqlite3.connect(path)
    broken.execute("DROP TABLE alembic_version")
    broken.commit()
    broken.close()
    assert "damaged" in refusal(path)


def test_damage_inside_is_told_when_met(path: Path, full_book: Path) -> None:
    """Rubbish in the middle of a book costs a sentence, never a traceback."""
    data = bytearray(full_book.read_bytes())
    page = int.from_bytes(data[16:18], "big")
    data[page:] = b"\xa5" * (len(data) - page)
    path.write_bytes(bytes(data))
    with pytest.raises(BookError, match="damaged"), open_book(path) as book:
        book.find(Player)


@pytest.fixture
def full_book(tmp_path: Path) -> Path:
    """Fill a book of many pages."""
    folder = tmp_path / "full"
    with open_book(folder / "full.gradecut", create=True) as book, book.act("add") as act:
        act.put(*(Player(name=f"Player {number}", remark="x" * 300) for number in range(200)))
    return folder / "full.gradecut"


def test_an_address_is_refused_for_now() -> None:
    """The address of a shared database says what can be opened."""
    assert "only books in a file can be opened yet" in refusal("postgresql://staff@office/book")


def test_a_file_where_a_folder_should_be(tmp_path: Path) -> None:
    """A path through a file can't hold a book."""
    (tmp_path / "notes.txt").write_text("x")
    inside = tmp_path / "notes.txt" / "week.gradecut"
    refusal(inside)
    refusal(inside, create=True)


@pytest.fixture
def common_folder() -> Iterator[Path]:
    """Make a folder that a user without rights can look into."""
    folder = Path(tempfile.mkdtemp())
    folder.chmod(0o755)
    yield folder
    folder.chmod(0o755)
    shutil.rmtree(folder)


class _Guest:
    """Acts without the administrator's rights, which would pass every lock."""

    def __enter__(self) -> None:
        if hasattr(os, "geteuid") and os.geteuid() == 0:
            os.seteuid(65534)

    def __exit__(self, *_: object) -> None:
        if hasattr(os, "getuid") and os.getuid() == 0:
            os.seteuid(0)


def test_a_place_that_can_only_be_read(common_folder: Path) -> None:
    """A book that can't be written to is refused at the door, and none is started there."""
    book = common_folder / "week.gradecut"
    open_book(book, create=True).close()
    book.chmod(0o444)
    common_folder.chmod(0o555)
    with _Guest():
        assert "can only be read" in refusal(book)
        assert "choose a folder you can write to" in refusal(
            common_folder / "new.gradecut", create=True
        )
    assert leftovers(common_folder) == ["week.gradecut"]


def test_a_book_nobody_may_read(common_folder: Path) -> None:
    """A book of somebody else says that it can't be read."""
    book = common_folder / "week.gradecut"
    open_book(book, create=True).close()
    book.chmod(0o000)
    with _Guest():
        assert "can't be read (permission denied)" in refusal(book)


def test_somebody_else_is_writing(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """While another program writes, an act says so and stores nothing; then it goes through."""
    monkeypatch.setattr("gradecut.book.store_thread.BUSY_S", 0.05)
    with open_book(path, create=True) as book:
        other = sqlite3.connect(path, isolation_level=None)
        other.execute("BEGIN IMMEDIATE")
        session = Session(name="Tuesday")
        with pytest.raises(BookError, match="another program is writing"), book.act("add") as act:
            act.put(session)
        other.execute("ROLLBACK")
        other.close()
        assert book.find(Session) == []
        with book.act("add") as act:
            act.put(session)
        assert book.find(Session) == [session]


def test_a_book_is_safe_against_power_cuts(book: Book) -> None:
    """Each act is on the disk when it is reported, and rows can't name what is not there."""

    def settings(connection: object) -> tuple[object, ...]:
        asked = ("synchronous", "foreign_keys", "journal_mode", "busy_timeout")
        return tuple(
            connection.exec_driver_sql(f"PRAGMA {name}").scalar()  # type: ignore[attr-defined]
            for name in asked
        )

    safe = "wal" if sqlite3.sqlite_version_info >= (3, 51, 3) else "truncate"
    assert book._store.call(settings) == (2, 1, safe, 5000)


def test_every_table_can_be_read(book: Book) -> None:
    """A new book has all its tables, empty."""
    for table in METADATA.tables.values():
        assert (
            book._store.call(lambda connection, t=table: connection.execute(t.select()).all()) == []
        )


def test_opening_loads_nothing_heavy(path: Path) -> None:
    """Opening a book leaves out what only migrating and reports need, and any window."""
    open_book(path, create=True).close()
    code = (
        "import sys; from gradecut.book import open_book; open_book(sys.argv[1]).close(); "
        "print([m for m in ('alembic', 'pandas', 'numpy', 'cv2', 'PyQt6') if m in sys.modules])"
    )
    done = subprocess.run(
        [sys.executable, "-c", code, str(path)], capture_output=True, text=True, check=True
    )
    assert done.stdout.strip() == "[]"
