"""Bad input at every door: plain sentences on stderr, exit 1, and nothing half-written."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from pathlib import Path

import pytest

from gradecut.book import open_book
from gradecut.workflows.moments import mark_moment
from tests.cli.conftest import Run
from tests.workflows.small_week import (
    HARBOR,
    ROSTER,
    SESSION,
    angle_of,
    pts_of,
    stored,
    write_lines,
    write_rows,
    write_script,
)


def refused(run: Run, *words: object) -> list[str]:
    """Run a command that must fail; return its sentences."""
    done = run(*words)
    assert done.exit_code == 1, done.output
    assert done.exception is None or isinstance(done.exception, SystemExit)
    assert "Traceback" not in done.stderr
    assert done.stdout == ""
    lines = done.stderr.splitlines()
    assert lines
    assert all(line.rstrip().endswith((".", "?")) for line in lines), lines
    return lines


def everything(book: Path) -> dict[str, int]:
    """Count what a closed book holds."""
    with open_book(book) as opened:
        return stored(opened)


@pytest.fixture
def untouched(book_path: Path) -> Iterator[Path]:
    """Hold the book against what it was before."""
    before = everything(book_path)
    yield book_path
    assert everything(book_path) == before


def test_a_text_file_named_mp4(run: Run, untouched: Path, tmp_path: Path) -> None:
    """Its first lines are no film, and the sentence says so."""
    film = write_lines(tmp_path / "play.mp4", "1,Okorie,right", "2,Okorie,wrong")
    assert len(refused(run, "film", film)) == 1
    (said,) = refused(run, "add", untouched, film, "--session", SESSION)
    assert str(film) in said


def test_a_truncated_film(
    run: Run, untouched: Path, tmp_path: Path, week_films: tuple[Path, Path]
) -> None:
    """A film whose end, with its index, is missing."""
    whole = (week_films[0] / "play 1.mp4").read_bytes()
    folder = tmp_path / "card"
    folder.mkdir()
    (folder / "2.mp4").write_bytes(whole[: len(whole) // 2])
    done = run("film", folder / "2.mp4")
    assert (done.exit_code, len(done.stderr.splitlines())) == (1, 1)
    assert "its end is cut off" in done.stderr
    (said,) = refused(run, "add", untouched, folder, "--session", "Wednesday")
    assert "2.mp4: its end is cut off" in said


def test_a_truncated_film_is_taken_where_it_is_all_there_is(
    run: Run, book_path: Path, tmp_path: Path, week_films: tuple[Path, Path]
) -> None:
    """The coach may say so, and the missing end is told."""
    whole = (week_films[0] / "play 1.mp4").read_bytes()
    (tmp_path / "1.mp4").write_bytes(whole[: len(whole) // 2])
    done = run("add", book_path, tmp_path / "1.mp4", "--session", "Wednesday", "--damaged")
    assert done.exit_code == 0
    assert "1.mp4: its end is cut off" in done.stdout


def test_an_empty_folder_and_no_folder(run: Run, untouched: Path, tmp_path: Path) -> None:
    """Both are told apart."""
    folder = tmp_path / "card"
    folder.mkdir()
    (empty,) = refused(run, "add", untouched, folder, "--session", SESSION)
    assert "empty" in empty
    (absent,) = refused(run, "add", untouched, tmp_path / "crad", "--session", SESSION)
    assert "no such folder or file" in absent


def test_a_scheme_with_three_faults(run: Run, tmp_path: Path) -> None:
    """All three are told, each with its own line, wherever a scheme comes in."""
    text = HARBOR.read_text(encoding="utf-8")
    for right, wrong_word in (
        ('opposite_of = "strength"', 'opposite_of = "streng"'),
        ('fit = "squeeze D"', 'fit = "squeze D"'),
        ('credit = "half"', 'credit = "most"'),
    ):
        text = text.replace(right, wrong_word, 1)
    scheme, book = tmp_path / "harbor.toml", tmp_path / "new.gradecut"
    scheme.write_text(text, encoding="utf-8")
    wrong = [
        number
        for number, line in enumerate(text.splitlines(), 1)
        if any(word in line for word in ('"streng"', '"squeze D"', '"most"'))
    ]
    assert len(wrong) == 3
    for words in (("scheme", "check", scheme), ("new", book, "--scheme", scheme)):
        lines = refused(run, *words)
        assert [line.split(": ")[0] for line in lines] == [f"{scheme}, line {n}" for n in wrong]
    assert not book.exists()


def test_a_repeated_roster_line(run: Run, untouched: Path, tmp_path: Path) -> None:
    """The same man twice: the line is named, and the book is not made."""
    lines = ROSTER.read_text(encoding="utf-8").splitlines()
    roster, book = write_lines(tmp_path / "roster.csv", *lines, lines[1]), tmp_path / "n.gradecut"
    for words in (("new", book, "--roster", roster), ("add", untouched, "--roster", roster)):
        (said,) = refused(run, *words)
        assert said == f"{roster}, line 11: “Tavin Okorie” is already in line 2; keep one."
    assert not book.exists()


def test_observations_that_name_what_is_not_there(
    run: Run, untouched: Path, tmp_path: Path
) -> None:
    """An unknown clip, an unknown player and an unknown fit: three lines, nothing stored."""
    rows = [
        {"play": 1, "player": "Okorie", "did": "right"},
        {"play": 44, "player": "Okorie", "did": "right"},
        {"play": 1, "player": "Okorei", "did": "right"},
        {"play": 1, "player": "Lisoway", "did": "fill Z"},
    ]
    sheet = write_rows(tmp_path / "tuesday.csv", rows)
    lines = refused(run, "record", untouched, sheet)
    assert lines == [
        f"{sheet}, line 3: there is no play “44” in Tuesday; it has plays 1 to 4.",
        f"{sheet}, line 4: “Okorei” is not on the roster; did you mean “Tavin Okorie”?",
        f"{sheet}, line 5: “fill Z” is neither a fit of the scheme nor a miss of “squeeze D”; "
        "did you mean “fill B”?",
    ]


def test_another_programs_database(run: Run, tmp_path: Path) -> None:
    """A book that is another program's SQLite file is refused and left as it is."""
    path = tmp_path / "books.gradecut"
    with sqlite3.connect(path) as other:
        other.execute("CREATE TABLE visits (url TEXT)")
    other.close()
    before = path.read_bytes()
    for words in (("board", path), ("record", path, ROSTER), ("expect", path), ("look", path)):
        assert len(refused(run, *words)) == 1
    assert len(refused(run, "new", path)) == 1
    assert path.read_bytes() == before


@pytest.mark.parametrize(
    "words",
    [
        ("board",), ("look",), ("expect",), ("record", ROSTER), ("sheet", "--out", "s.xlsx"),
        ("reel", "Keel"), ("packet", "--out", "p"), ("add", "--roster", ROSTER),
    ],
)  # fmt: skip
def test_a_book_that_is_not_there(
    run: Run, tmp_path: Path, words: tuple[object, ...], monkeypatch: pytest.MonkeyPatch
) -> None:
    """No command makes a book by the way."""
    monkeypatch.chdir(tmp_path)
    path = tmp_path / "heron.gradecut"
    (said,) = refused(run, words[0], path, *words[1:])
    assert str(path) in said
    assert list(tmp_path.iterdir()) == []


def test_a_new_book_where_one_is(run: Run, untouched: Path) -> None:
    """A book is never written over."""
    (said,) = refused(run, "new", untouched)
    assert str(untouched) in said


def test_an_output_below_a_file(run: Run, untouched: Path, tmp_path: Path) -> None:
    """Nothing can be written below a file, and nothing is."""
    wall = write_lines(tmp_path / "wall", "a file")
    for words in (
        ("sheet", untouched, "--out", wall / "sheet.xlsx"),
        ("board", untouched, "--csv", wall / "board.csv"),
        ("packet", untouched, "--out", wall / "packets"),
        ("demo", "--out", wall / "demo"),
        ("new", wall / "book.gradecut"),
    ):
        assert len(refused(run, *words)) == 1
    assert wall.read_text(encoding="utf-8") == "a file\n"


def test_a_reel_that_cant_be_written_never_was_in_the_book(
    run: Run, book_path: Path, tmp_path: Path
) -> None:
    """No reel, and no act either that undo could bring one back by."""
    with open_book(book_path, author="J. Alder") as book:
        angle = angle_of(book, 1)
        mark_moment(book, angle, "snap", pts_of(book, angle, 40))
    before = everything(book_path)
    wall = write_lines(tmp_path / "wall", "a file")
    (tmp_path / "z.vtt").mkdir()
    for out in ("wall/reel.mp4", "z.avi", "z", "z.mp4"):
        refused(run, "reel", book_path, "Okorie inside zone", "--out", tmp_path / out)
    refused(run, "reel", book_path, "Vandermoor", "--out", tmp_path / "r.mp4")
    assert everything(book_path) == before
    assert sorted(path.name for path in tmp_path.iterdir() if path != book_path) == [
        wall.name,
        "z.vtt",
    ]


@pytest.mark.parametrize(
    ("options", "said"),
    [
        (("--out", "s.pdf"), "s.pdf: has “.pdf”, but the grade sheet ends in .xlsx; name it so."),
        (("--out", "end"), "end: this is a folder; name a file in it."),
        (
            ("--out", "ok.xlsx", "--report", "wall.csv/r.html"),
            "wall.csv: this is a file, not a folder; choose a folder you can write to.",
        ),
        (
            ("--out", "ok.xlsx", "--report", "r.docx"),
            "r.docx: has “.docx”, but the report ends in .html or .htm; name it so.",
        ),
        (
            ("--out", "ok.xlsx", "--players", "wall.csv"),
            "wall.csv: this is a file, not a folder; choose a folder you can write to.",
        ),
    ],
)
def test_a_sheet_is_written_with_all_its_pages_or_not_at_all(
    run: Run,
    book_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    options: tuple[str, ...],
    said: str,
) -> None:
    """Every place is looked at before the first file is written."""
    home = book_path.parent
    monkeypatch.chdir(home)
    (home / "end").mkdir()
    write_lines(home / "wall.csv", "a file")
    there = sorted(home.iterdir())
    assert refused(run, "sheet", book_path, *options) == [said]
    assert sorted(home.iterdir()) == there


def test_a_boards_table_is_no_workbook(run: Run, untouched: Path, tmp_path: Path) -> None:
    """A table named .xlsx would be opened as what it is not."""
    (said,) = refused(run, "board", untouched, "--csv", tmp_path / "b.xlsx")
    assert said.endswith("b.xlsx: has “.xlsx”, but the board's table ends in .csv; name it so.")
    assert not (tmp_path / "b.xlsx").exists()


def test_a_question_nobody_understands(run: Run, untouched: Path, tmp_path: Path) -> None:
    """The word is named, and the nearest one as it is spelt."""
    (said,) = refused(run, "reel", untouched, "Keal on power", "--out", tmp_path / "r.mp4")
    assert said == "“Keal” is not understood in “Keal on power”; did you mean “Keel”?"
    (none,) = refused(run, "reel", untouched, "Keel on midline", "--out", tmp_path / "r.mp4")
    assert "position: Keel · concept: midline" in none
    assert not (tmp_path / "r.mp4").exists()


def test_a_session_play_or_fact_that_is_not_there(run: Run, untouched: Path) -> None:
    """Each is named with what there is."""
    assert "there is Tuesday" in refused(run, "board", untouched, "--session", "Wednesday")[0]
    assert "no play 9" in refused(run, "expect", untouched, "--play", 9)[0]
    assert "no play 9" in refused(run, "look", untouched, "--play", 9)[0]
    assert len(refused(run, "board", untouched, "--by", "weather")) == 1
    assert len(refused(run, "look", untouched, "--play", 1, "weather=wet")) == 1
    assert len(refused(run, "look", untouched, "--play", 1, "back=up")) == 1
    assert len(refused(run, "expect", HARBOR, "back=up")) == 1


def test_a_sheet_of_another_kind(run: Run, untouched: Path, tmp_path: Path) -> None:
    """A workbook, an empty file and a sheet without lines are told apart."""
    zipped = tmp_path / "s.csv"
    zipped.write_bytes(b"PK\x03\x04\0\0")
    assert "save the sheet as CSV" in refused(run, "record", untouched, zipped)[0]
    empty = write_lines(tmp_path / "e.csv")
    assert "is empty" in refused(run, "record", untouched, empty)[0]
    bare = write_lines(tmp_path / "b.csv", "play,did")
    assert "no lines below" in refused(run, "record", untouched, bare)[0]
    assert len(refused(run, "record", untouched, tmp_path)) == 1


def test_a_script_with_faults_brings_no_film_in(
    run: Run, untouched: Path, tmp_path: Path, week_films: tuple[Path, Path]
) -> None:
    """Film and script come in together or not at all."""
    script = write_script(tmp_path / "s.csv", ("1,Run,punt,fast,,up,,,,,,Okorei,,",))
    words = ("--session", "Wednesday", "--script", script)
    lines = refused(run, "add", untouched, week_films[0], *words)
    assert len(lines) == 4
    assert all(line.startswith(f"{script}, line 2: ") for line in lines)


@pytest.mark.parametrize(
    "words",
    [
        ("shout",),
        ("add", "BOOK"),
        ("add", "BOOK", "card"),
        ("add", "BOOK", "card", "--session", "T", "--kind", "party"),
        ("add", "BOOK", "card", "--session", "T", "--without", "2-x"),
        ("add", "BOOK", "card", "--session", "T", "--without", "5-2"),
        ("add", "BOOK", "card", "--session", "T", "--day", "Tuesday"),
        ("add", "BOOK", "--session", "T", "--move", "five"),
        ("add", "BOOK", "card", "--session", "T", "--from-play", "2"),
        ("add", "BOOK", "card", "--session", "T", "--from-number", "2"),
        ("add", "BOOK", "--session", "T", "--script", "s.csv", "--without", "2"),
        ("add", "BOOK", "--session", "T", "--script", "s.csv", "--damaged"),
        ("add", "BOOK", "--session", "T", "--script", "s.csv", "--day", "2026-10-06"),
        ("add", "BOOK", "--session", "T", "--move", "2:1", "--kind", "game"),
        ("look", "BOOK", "a.csv", "b.csv"),
        ("look", "BOOK", "back=left", "back=right"),
        ("record", "BOOK"),
        ("expect", "BOOK", "back=left"),
        ("reel", "BOOK"),
        ("reel", "BOOK", "Keel", "--corrections"),
        ("sheet", "BOOK"),
        ("board", "BOOK", "--colour", "red"),
        ("look", "BOOK", "back=left"),
    ],
)
def test_wrong_use_is_exit_2(run: Run, untouched: Path, words: tuple[str, ...]) -> None:
    """What was not understood is no failed work."""
    done = run(*[untouched if word == "BOOK" else word for word in words])
    assert done.exit_code == 2
    assert done.stdout == ""
    assert done.stderr


def test_a_film_fault_is_json_free_of_words_on_stdout(run: Run, tmp_path: Path) -> None:
    """Where a machine asked, a failure leaves stdout empty."""
    film = write_lines(tmp_path / "play.mp4", "no film")
    refused(run, "film", film, "--json")


def test_several_faulty_films_are_all_named(run: Run, untouched: Path, tmp_path: Path) -> None:
    """A bad card is told at once, not film by film."""
    folder = tmp_path / "card"
    folder.mkdir()
    for name in ("1.mp4", "2.mp4"):
        write_lines(folder / name, f"no film {name}")
    lines = refused(run, "add", untouched, folder, "--session", SESSION)
    assert ["1.mp4" in lines[0], "2.mp4" in lines[1], len(lines)] == [True, True, 2]


def test_a_player_grades_nobody(run: Run, untouched: Path, tmp_path: Path) -> None:
    """His grades would count as his own answers only, so the sheet is refused."""
    sheet = write_rows(tmp_path / "o.csv", [{"play": 1, "position": "Keel", "did": "right"}])
    (said,) = refused(run, "record", untouched, sheet, "--grader", "tavin  OKORIE")
    assert said == (
        "“tavin  OKORIE” is on the roster, so his grades would count as a player's own answers "
        "only; grade under another name (--grader)."
    )
