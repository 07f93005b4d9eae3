"""A book starts whole or not at all, and keeps every scheme it went by."""

from __future__ import annotations

from pathlib import Path

import pytest

from gradecut.book import Book, open_book
from gradecut.errors import BookError, InputError, SchemeError
from gradecut.records import Player, SchemeVersion
from gradecut.workflows.booking import (
    adopt_scheme,
    book_info,
    new_book,
    scheme_in_force,
    scheme_of,
)
from tests.workflows.small_week import HARBOR, ROSTER, stored, write_lines


def test_a_new_book_knows_its_scheme_and_its_men(tmp_path: Path) -> None:
    """Everything given is in it, under one name."""
    path = tmp_path / "herons.gradecut"
    new_book(
        path, name="Herons", season="2026", author="J. Alder", scheme=HARBOR, roster=ROSTER
    ).close()
    with open_book(path) as book:
        info, scheme = book_info(book), scheme_in_force(book)
        assert (info.name, info.season, book.count(Player)) == ("Herons", "2026", 9)
        assert scheme is not None
        assert scheme.name == "Harbor"


@pytest.mark.parametrize("bad", ["scheme", "roster"])
def test_a_fault_in_what_is_given_makes_no_book(tmp_path: Path, bad: str) -> None:
    """The file is not even made."""
    path, given = tmp_path / "herons.gradecut", {"scheme": HARBOR, "roster": ROSTER}
    given[bad] = write_lines(tmp_path / "bad.txt", "nonsense")
    with pytest.raises((SchemeError, InputError)):
        new_book(path, name="Herons", author="J. Alder", **given)
    assert not path.exists()


def test_a_book_is_not_made_over_another(book_path: Path) -> None:
    """What is there stays."""
    before = book_path.read_bytes()
    with pytest.raises(BookError):
        new_book(book_path, name="Herons", author="J. Alder")
    assert book_path.read_bytes() == before


def test_earlier_schemes_stay_and_the_same_text_is_one_version(book: Book, tmp_path: Path) -> None:
    """Grades given by an old version can still be read by it."""
    first = book.find(SchemeVersion)[0]
    assert adopt_scheme(book, HARBOR).id == first.id
    changed = tmp_path / "week2.toml"
    changed.write_text(HARBOR.read_text("utf-8").replace('version = "1"', 'version = "2"'), "utf-8")
    second = adopt_scheme(book, changed)
    in_force = scheme_in_force(book)
    assert in_force is not None
    assert (in_force.version, scheme_of(book, first.id).version) == ("2", "1")
    assert book_info(book).scheme_id == second.id
    assert book.count(SchemeVersion) == 2


def test_a_faulty_scheme_changes_nothing(book: Book, tmp_path: Path) -> None:
    """The one in force stays in force."""
    before = stored(book)
    with pytest.raises(SchemeError):
        adopt_scheme(book, write_lines(tmp_path / "s.toml", "rules = 3"))
    assert stored(book) == before


def test_a_book_never_started_says_so(tmp_path: Path) -> None:
    """Rather than failing somewhere later."""
    with (
        open_book(tmp_path / "raw.gradecut", create=True) as book,
        pytest.raises(BookError, match="never started"),
    ):
        book_info(book)
