"""Sheets are read as people save them."""

from __future__ import annotations

from pathlib import Path

import pytest

from gradecut.errors import InputError
from gradecut.workflows.sheets import read_sheet, whole_number


def read(path: Path, raw: bytes) -> list[tuple[int, str]]:
    """Read lines and names of a sheet given as bytes."""
    path.write_bytes(raw)
    return [
        (row.line, row.text("name")) for row in read_sheet(path, needed=("name",), known=("a",))
    ]


@pytest.mark.parametrize(
    "raw",
    [
        b"name,a\nNA,1\n07,2\n",
        b"name;a\r\nNA;1\r\n07;2\r\n",
        b"\xef\xbb\xbfname\ta\nNA\t1\n07\t2\n",
        b"name,a\n NA ,1\n07\n",
    ],
)
def test_commas_semicolons_tabs_and_marks_of_order(tmp_path: Path, raw: bytes) -> None:
    """Nothing is turned into a number or into nothing."""
    assert read(tmp_path / "s.csv", raw) == [(2, "NA"), (3, "07")]


def test_quotes_and_empty_lines(tmp_path: Path) -> None:
    """A line break inside quotes counts its lines; empty lines are passed over."""
    raw = b'name,a\n\n"Okorie, Tavin",1\n,\n"two\nlines",2\n'
    assert read(tmp_path / "s.csv", raw) == [(3, "Okorie, Tavin"), (6, "two\nlines")]


def test_older_encodings_are_read(tmp_path: Path) -> None:
    """A sheet saved by an old office program keeps its accents."""
    assert read(tmp_path / "s.csv", "name\nJos\xe9".encode("cp1252")) == [(2, "José")]


@pytest.mark.parametrize(
    ("raw", "said"),
    [
        (b"", "is empty"),
        (b"name,name\nA,B\n", "is there twice"),
        (b"a\n1\n", "“name” is missing"),
        (b"name,\nA,B\n", "a column has no name"),
        (b"name\nA,B\n", "more cells than there are columns"),
        (b'name\n"A\n', "check its quotes"),
        (b"name\n", "no lines below"),
        (b"PK\0\0", "is no text"),
    ],
)
def test_what_is_wrong_with_a_sheet_is_said(tmp_path: Path, raw: bytes, said: str) -> None:
    """One sentence each."""
    with pytest.raises(InputError, match=said):
        read(tmp_path / "s.csv", raw)


def test_a_whole_number_is_one_a_person_writes() -> None:
    """No sign, no point, no endless row of digits."""
    assert [whole_number(text) for text in ("0", "44", "-1", "1.0", "", "²", "9" * 5000)] == [
        0, 44, None, None, None, None, None,
    ]  # fmt: skip
