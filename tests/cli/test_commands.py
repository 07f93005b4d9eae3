"""Every command of the main job does its work, and says how in one example."""

from __future__ import annotations

import csv
import json
import shlex
from pathlib import Path

import pytest
import typer
from openpyxl import load_workbook
from typer.main import get_command

from gradecut.book import open_book
from gradecut.cli import app
from gradecut.film import open_film
from gradecut.records import Clip, FactValue, Grade, Player, Reel, Session
from gradecut.workflows.counting import toggle_flag
from gradecut.workflows.judging import judge
from gradecut.workflows.moments import mark_moment
from gradecut.workflows.passing import pass_clip
from tests.cli.conftest import Run
from tests.workflows.small_week import (
    COACH,
    HARBOR,
    OWED,
    ROSTER,
    SESSION,
    angle_of,
    clip_of,
    pts_of,
    rep_of,
    write_rows,
    write_script,
)

COMMANDS = (
    "demo", "new", "add", "look", "record", "expect", "board", "sheet", "reel", "clip", "packet",
    "hand", "take",
    "scheme check", "scheme grid", "scheme take", "scheme start", "film",
)  # fmt: skip
"""Stable names: other people's scripts call them."""


def help_of(command: str) -> str:
    """Return what a command says of itself."""
    group = get_command(app)
    for word in command.split():
        assert isinstance(group, typer.core.TyperGroup)
        group = group.commands[word]
    return group.help or ""


@pytest.mark.parametrize("command", COMMANDS)
def test_every_command_shows_one_example_that_is_understood(command: str) -> None:
    """The example of a command is one line and names options that there are."""
    lines = [line.strip() for line in help_of(command).splitlines() if "Example:" in line]
    assert len(lines) == 1
    words = shlex.split(lines[0].removeprefix("Example: "))
    assert words[: 1 + len(command.split())] == ["gradecut", *command.split()]
    group = get_command(app)
    for word in command.split():
        group = group.commands[word]  # type: ignore[attr-defined]
    group.make_context(command, words[1 + len(command.split()) :])


def test_no_command_is_missing_or_new() -> None:
    """The stable names are all there; a new one outside `scheme` would be named here."""
    group = get_command(app)
    names = set(group.commands) - {"scheme"}  # type: ignore[attr-defined]
    scheme = {f"scheme {name}" for name in group.commands["scheme"].commands}  # type: ignore[attr-defined]
    assert names == {command for command in COMMANDS if " " not in command}
    assert scheme >= {command for command in COMMANDS if " " in command}


def test_a_book_from_nothing_to_expected_fits(
    run: Run, tmp_path: Path, week_films: tuple[Path, Path]
) -> None:
    """New, add, a second camera with one move, and every man's expected fit with its cue."""
    book, script = tmp_path / "herons.gradecut", write_script(tmp_path / "script.csv")
    end, side = week_films
    words = ("--name", "Herons", "--grader", COACH, "--scheme", HARBOR, "--roster", ROSTER)
    assert run("new", book, *words).stdout == f"{book}: a new book.\n"
    done = run("add", book, end, "--session", SESSION, "--script", script)
    assert done.stdout.splitlines()[0] == (
        "Tuesday: 4 new plays, 4 end films, 4 matched to the script."
    )
    run("add", book, side, "--session", SESSION, "--angle", "side", "--pair", "order")
    moved = run("add", book, "--session", SESSION, "--angle", "side", "--move", "2:1")
    assert moved.stdout == "2 side films moved by 1 from play 2 on.\n"
    told = json.loads(run("expect", book, "--json").stdout)
    assert {(one["play"], one["position"]): one["fit"] for one in told} == OWED
    assert "Downhill through the near hip of the back" in run("expect", book).stdout


def test_what_is_one_is_said_as_one(run: Run, book_path: Path) -> None:
    """One film is one film."""
    words = ("--session", SESSION, "--angle", "side", "--move", "4:1")
    done = run("add", book_path, *words)
    assert done.stdout == "1 side film moved by 1 from play 4 on.\n"


def test_a_roster_and_a_scheme_come_in_later(run: Run, tmp_path: Path) -> None:
    """A book may start empty."""
    book = tmp_path / "herons.gradecut"
    run("new", book, "--grader", COACH)
    done = run("add", book, "--roster", ROSTER, "--scheme", HARBOR)
    assert done.stdout.splitlines() == ["Harbor is in force.", "9 players brought in."]
    with open_book(book) as opened:
        assert opened.count(Player) == 9
        assert opened.history(1)[0].author == COACH


def test_a_look_is_told_and_shown(run: Run, book_path: Path) -> None:
    """A fact told for one play is on the look it shows, as JSON for machines."""
    where = ("--session", SESSION, "--play", 3)
    shown = json.loads(run("look", book_path, *where, "wing=left", "--json").stdout)
    assert shown[0]["look"]["wing"] == "left"
    assert "left" in run("look", book_path, *where).stdout


def test_a_sheet_of_looks(run: Run, book_path: Path, tmp_path: Path) -> None:
    """Looks come from a sheet too."""
    sheet = write_rows(tmp_path / "looks.csv", [{"play": 1, "wing": "none"}])
    assert run("look", book_path, sheet).stdout == "1 look recorded.\n"
    assert json.loads(run("look", book_path, sheet, "--json").stdout) == {"looks": 1}
    with open_book(book_path) as book:
        assert book.count(FactValue, source="marked") == 1


def test_observations_are_recorded(run: Run, book_path: Path, tmp_path: Path) -> None:
    """A sheet of observations becomes grades; --columns says what it may hold."""
    rows = [
        {"play": 1, "position": "Keel", "snap_frame": 40, "first_step_frame": 46, "did": "right"},
        {"play": 1, "position": "Bow", "did": "got reached", "cause": "eyes", "flag": "yes"},
    ]
    done = run("record", book_path, write_rows(tmp_path / "tuesday.csv", rows))
    assert done.stdout == "2 lines: 2 reps judged, 2 moments marked.\n"
    columns = run("record", book_path, "--columns").stdout.strip().split(",")
    assert {"play", "position", "did", "cannot_grade", "footwork", "flag"} <= set(columns)


def test_a_scheme_file_answers_alone(run: Run) -> None:
    """A look is asked of a scheme file without a book, and open facts are told."""
    words = ("strength=right", "surface.right=3", "concept=power", "run=right")
    told = json.loads(run("expect", HARBOR, *words, "--json").stdout)
    assert (told["Keel"]["fit"], told["Keel"]["cue"]) == (
        "overlap D", "Bow spills; be the next man outside",
    )  # fmt: skip
    open_ones = json.loads(run("expect", HARBOR, "concept=power", "--json").stdout)
    assert open_ones["Keel"]["fit"] is None
    assert open_ones["Keel"]["needs"]


def test_the_board_is_shown_and_written(run: Run, graded_book: Path, tmp_path: Path) -> None:
    """The table, the CSV and the JSON say the same of one cell."""
    path = tmp_path / "board.csv"
    done = run("board", graded_book, "--by", "run side", "--csv", path)
    assert "100 % n 0 + 1 (21–100)" in done.stdout
    cells = json.loads(run("board", graded_book, "--by", "run side", "--json").stdout)
    mine = next(c for c in cells if (c["player"], c["situation"]) == ("Tavin Okorie", "to"))
    with path.open(encoding="utf-8-sig", newline="") as sheet:
        row = next(
            row
            for row in csv.DictReader(sheet)
            if "Okorie" in row["player"] and row["situation"] == "to"
        )
    assert (mine["n"], mine["right"]) == (2, 2)
    assert int(float(row["n"])) == 2


def test_the_sheet_and_its_pages(run: Run, graded_book: Path, tmp_path: Path) -> None:
    """The workbook opens; report and each player's page are whole files."""
    out, report, players = tmp_path / "sheet.xlsx", tmp_path / "report.html", tmp_path / "men"
    words = ("--out", out, "--report", report, "--players", players)
    done = run("sheet", graded_book, *words)
    assert done.exit_code == 0, done.stderr
    assert load_workbook(out).sheetnames
    assert report.read_text(encoding="utf-8").rstrip().endswith("</html>")
    assert len(list(players.iterdir())) == 7


def test_a_reel_is_rendered_with_its_chapters(run: Run, graded_book: Path, tmp_path: Path) -> None:
    """The question of the coach becomes film that opens, and a reel in the book."""
    out = tmp_path / "keel.mp4"
    done = run("reel", graded_book, "Keel, right fits on zone to him", "--out", out)
    assert done.exit_code == 0, done.stderr
    with open_film(out) as film:
        assert film.frame_count > 100
    assert out.with_suffix(".vtt").read_text(encoding="utf-8").startswith("WEBVTT")
    with open_book(graded_book) as book:
        assert [reel.question for reel in book.find(Reel)] == ["Keel, right fits on zone to him"]


def test_a_play_is_written_as_film_of_its_own(run: Run, graded_book: Path, tmp_path: Path) -> None:
    """One play from one angle; without an angle where there are two, it is asked for."""
    out = tmp_path / "play1.mp4"
    done = run("clip", graded_book, "--play", "1", "--angle", "end", "--out", out)
    assert done.exit_code == 0, done.stderr
    assert "Written:" in done.stdout
    caution = done.stdout.splitlines()[-1]
    assert caution.startswith("Film of minors needs consent: this film shows every man")
    with open_film(out) as film:
        assert film.frame_count == 150
    refused = run("clip", graded_book, "--play", "1", "--out", out)
    assert refused.exit_code == 1
    assert "name one of: end, side" in refused.stderr


def test_the_corrections_leave_out_a_minor_and_name_him(
    run: Run, graded_book: Path, tmp_path: Path
) -> None:
    """Vandermoor is under 18 without consent: his flagged rep is not shown, and it is said."""
    with open_book(graded_book, author=COACH) as book:
        toggle_flag(book, clip_of(book, 4), rep_of(book, 4, "Port"))
        toggle_flag(book, clip_of(book, 1), rep_of(book, 1, "Bow"))
    done = run("reel", graded_book, "--corrections", "--out", tmp_path / "fix.mp4")
    assert "Left out, under 18 without consent on file: Joss Vandermoor." in done.stdout
    assert "Port" not in (tmp_path / "fix.vtt").read_text(encoding="utf-8")


def test_a_scheme_without_faults_is_told_so(run: Run) -> None:
    """The check says what the scheme holds."""
    assert f"{HARBOR}: no faults. Harbor has" in run("scheme", "check", HARBOR).stdout


def test_a_film_tells_what_it_is(run: Run, week_films: tuple[Path, Path]) -> None:
    """Size, rate and length, for people and machines."""
    told = json.loads(run("film", week_films[0] / "play 1.mp4", "--json").stdout)
    assert (told["width"], told["height"]) == (320, 180)
    assert "320" in run("film", week_films[0] / "play 1.mp4").stdout


@pytest.fixture
def graded_book(book_path: Path) -> Path:
    """Give the week with every clip passed, one miss, and snaps on every play."""
    with open_book(book_path, author=COACH) as book:
        for clip in book.find(Clip):
            angle = angle_of(book, clip.order)
            mark_moment(book, angle, "snap", pts_of(book, angle, 40))
            pass_clip(book, clip)
        judge(book, rep_of(book, 1, "Bow"), did="miss", name="got reached", cause="eyes")
        assert book.count(Grade) == 13
    return book_path


def test_the_usual_grader_is_nobody_on_the_roster(
    run: Run, book_path: Path, tmp_path: Path
) -> None:
    """A command without --grader goes on under the coach who acted last, not under a player."""
    with open_book(book_path, author="Tavin Okorie") as book:
        toggle_flag(book, clip_of(book, 1))
    sheet = write_rows(tmp_path / "o.csv", [{"play": 1, "position": "Keel", "did": "right"}])
    assert run("record", book_path, sheet).exit_code == 0
    with open_book(book_path) as book:
        assert [grade.author for grade in book.find(Grade)] == [COACH]


def test_a_look_is_shown_as_it_is_told(run: Run, tmp_path: Path) -> None:
    """A fact that is yes or no reads yes or no."""
    scheme, book = tmp_path / "s.toml", tmp_path / "b.gradecut"
    scheme.write_text('[facts.motion]\nasks = "Motion?"\nvalues = [true, false]\n')
    run("new", book, "--scheme", scheme)
    with open_book(book) as opened, opened.act("a play") as act:
        home = Session(name="Tuesday")
        act.put(home, Clip(session_id=home.id, order=1))
    shown = run("look", book, "--play", 1, "motion=yes")
    assert shown.stdout.splitlines()[1].split() == ["1", "yes"], shown.output


def test_a_book_with_nobody_in_owes_nothing_yet(run: Run, tmp_path: Path) -> None:
    """One sentence says what to do, in the place of an empty table."""
    book = tmp_path / "b.gradecut"
    run("new", book)
    with open_book(book) as opened, opened.act("a play") as act:
        home = Session(name="Tuesday")
        act.put(home, Clip(session_id=home.id, order=1))
    assert run("expect", book).stdout == (
        "Nobody is in on any play yet; match a script, or put players in on the clips.\n"
    )
    assert json.loads(run("expect", book, "--json").stdout) == []
