"""The ways gradecut add takes film: a card, a long recording, a second angle, sound."""

from __future__ import annotations

import json
import re
import shutil
from pathlib import Path

import pytest

from gradecut.book import open_book
from gradecut.records import Angle, Clip, Stretch
from gradecut.timebase import Pts
from gradecut.workflows.cutting import write_stretches
from tests.cli.conftest import Run
from tests.workflows.practice_films import Practice
from tests.workflows.small_week import COACH, SESSION, write_lines
from tests.workflows.test_pairing_doubts import mark


@pytest.fixture
def bare(run: Run, tmp_path: Path) -> Path:
    """Start a book without film."""
    path = tmp_path / "bare.gradecut"
    assert run("new", path, "--grader", COACH).exit_code == 0
    return path


@pytest.fixture
def card(tmp_path: Path, week_films: tuple[Path, Path]) -> Path:
    """Put a card in with two films."""
    folder = tmp_path / "card" / "DCIM" / "100MEDIA"
    folder.mkdir(parents=True)
    for number, name in enumerate(("play 1.mp4", "play 10.mp4"), start=1):
        shutil.copy(week_films[0] / name, folder / f"CLIP{number}.MP4")
    return tmp_path / "card"


def counts(book: Path) -> tuple[int, int]:
    """Count the plays of a book and its angles."""
    with open_book(book) as opened:
        return opened.count(Clip), opened.count(Angle)


def test_a_card_is_copied_and_added(run: Run, bare: Path, card: Path, tmp_path: Path) -> None:
    """Copies lie where they were asked for; a second time nothing is copied or added."""
    words = ("add", bare, card, "--card", tmp_path / "films", "--session", SESSION)
    done = run(*words)
    assert done.exit_code == 0, done.output
    assert done.stdout.splitlines() == [
        "2 of 2 films of the card are copied.",
        "Tuesday: 2 new plays, 2 end films.",
    ]
    copy = tmp_path / "films" / "DCIM" / "100MEDIA" / "CLIP1.MP4"
    assert copy.read_bytes() == (card / "DCIM" / "100MEDIA" / "CLIP1.MP4").read_bytes()
    again = run(*words)
    assert (again.exit_code, counts(bare)) == (0, (2, 2))
    assert "(2 were there already)" in again.stdout


def test_a_card_with_a_bad_film_fails_and_says_so(
    run: Run, bare: Path, card: Path, tmp_path: Path
) -> None:
    """The good films are in; the bad one is one sentence on stderr, and exit 1."""
    write_lines(card / "DCIM" / "100MEDIA" / "CLIP3.MP4", "no film")
    done = run("add", bare, card, "--card", tmp_path / "films", "--session", SESSION)
    assert done.exit_code == 1
    assert "Tuesday: 2 new plays, 2 end films." in done.stdout
    (said,) = done.stderr.splitlines()
    assert "CLIP3.MP4" in said
    assert counts(bare) == (2, 2)


def test_a_folder_with_a_bad_film_gives_the_others(run: Run, bare: Path, card: Path) -> None:
    """Done, so exit 0; what was passed over is one sentence on stderr."""
    folder = card / "DCIM" / "100MEDIA"
    write_lines(folder / "CLIP3.MP4", "no film")
    done = run("add", bare, folder, "--session", SESSION)
    assert done.exit_code == 0, done.output
    assert done.stdout.splitlines()[0] == "Tuesday: 3 new plays, 2 end films."
    (said,) = done.stderr.splitlines()
    assert said.startswith("CLIP3.MP4 was passed over, and play 3 has no end film: ")


def test_the_plays_of_a_long_recording_are_shown_and_not_added(
    run: Run, bare: Path, week_films: tuple[Path, Path]
) -> None:
    """A table, and what to type next; no session is needed to look."""
    done = run("add", bare, week_films[0] / "play 2.mp4", "--long")
    assert done.exit_code == 0, done.output
    assert done.stdout.splitlines()[0].split() == ["play", "from", "to", "seconds", "sure", "why"]
    assert "Nothing was added. Add them with --take" in done.stdout
    assert counts(bare) == (0, 0)


def test_a_recording_is_corrected_on_a_sheet(
    run: Run, bare: Path, tmp_path: Path, week_films: tuple[Path, Path]
) -> None:
    """Written, corrected and given back, each line is a play: a range of the one film."""
    film, sheet = week_films[0] / "play 2.mp4", tmp_path / "plays.csv"
    done = run("add", bare, film, "--long", "--plays-out", sheet)
    assert "give the sheet back with --plays" in done.stdout
    assert sheet.read_text().startswith("play,from,to")
    write_lines(sheet, "play,from,to", "1,0:00:00.500,0:00:01.500", "2,0:00:02.000,0:00:04.000")
    done = run("add", bare, film, "--long", "--plays", sheet, "--session", SESSION)
    assert done.stdout == "Tuesday: 2 new plays, 2 end films.\n"
    with open_book(bare) as book:
        assert len({angle.film_id for angle in book.find(Angle)}) == 1


def test_a_line_taken_out_of_the_sheet_is_told(
    run: Run, bare: Path, tmp_path: Path, week_films: tuple[Path, Path]
) -> None:
    """The plays after it count on, so that their numbers are those of the window."""
    film, sheet = week_films[0] / "play 2.mp4", tmp_path / "plays.csv"
    write_lines(sheet, "play,from,to", "1,0:00:00.500,0:00:01.500", "3,0:00:02.000,0:00:04.000")
    done = run("add", bare, film, "--long", "--plays", sheet, "--session", SESSION)
    assert done.exit_code == 0, done.output
    assert "play 3 of the sheet is play 2 now" in done.stdout
    with open_book(bare) as book:
        assert sorted(clip.order for clip in book.find(Clip)) == [1, 2]


def test_what_is_proposed_is_taken(run: Run, bare: Path, week_films: tuple[Path, Path]) -> None:
    """With --take the plays proposed go into the book."""
    film = week_films[0] / "play 2.mp4"
    done = run("add", bare, film, "--long", "--take", "--session", SESSION)
    assert done.exit_code == 0, done.output
    assert counts(bare)[0] >= 1


def test_a_faulty_sheet_of_plays_adds_nothing(
    run: Run, bare: Path, tmp_path: Path, week_films: tuple[Path, Path]
) -> None:
    """Its fault is told with its line."""
    sheet = write_lines(tmp_path / "plays.csv", "play,from,to", "1,0:00:04,0:00:01")
    film = week_films[0] / "play 2.mp4"
    done = run("add", bare, film, "--long", "--plays", sheet, "--session", SESSION)
    assert done.exit_code == 1
    assert f"{sheet}, line 2" in done.stderr
    assert counts(bare) == (0, 0)


def test_a_second_recording_takes_its_plays_from_the_first(
    run: Run, bare: Path, practice: Practice, tmp_path: Path
) -> None:
    """Shown with what the sounds tell; taken, each lies beside its play; by number only if told."""
    sheet = tmp_path / "plays.csv"
    write_stretches(sheet, practice.cut(), practice.end)
    session = ("--session", SESSION, "--long")
    assert run("add", bare, practice.end, *session, "--plays", sheet).exit_code == 0
    side = ("--angle", "side", *session)
    shown = run("add", bare, practice.side, *side)
    assert re.search(r"side\.mp4 begins \d+\.\d+ s after end; .* ppm slow", shown.stdout)
    assert "side.mp4 does not show play 1." in shown.stdout
    assert counts(bare) == (6, 6)
    taken = run("add", bare, practice.side, *side, "--take")
    assert taken.exit_code == 0, taken.output
    assert taken.stdout.splitlines()[0] == "Tuesday: 0 new plays, 5 side films."
    assert "Both films heard the same at" in taken.stdout
    dumb = ("add", bare, practice.dumb, "--angle", "tower", *session, "--plays", sheet)
    write_stretches(sheet, [Stretch(start_pts=Pts(at), stop_pts=Pts(at + 9000)) for at in
                            range(0, 600_000, 100_000)], practice.dumb)  # fmt: skip
    asked = run(*dumb)
    assert asked.exit_code == 1
    assert "dumb.mp4 has no sound" in asked.stderr
    assert "--pair order" in asked.stderr
    assert counts(bare) == (6, 11)
    assert run(*dumb, "--pair", "order").exit_code == 0
    assert counts(bare) == (6, 17)


def test_a_pairing_in_doubt_is_told_with_what_moves_it(run: Run, bare: Path) -> None:
    """Nothing while nothing is marked; then the evidence and the move, and nothing is moved."""
    words = ("add", bare, "--session", "Tuesday", "--angle", "side", "--check-pairing")
    with open_book(bare, author=COACH) as book:
        mark(book, {play: play for play in range(1, 9)}, angle="end")
    assert run(*words).stdout == "Nothing marked contradicts how the side films are paired.\n"
    with open_book(bare, author=COACH) as book:
        mark(book, {1: 1, 2: 2, 3: 3, 4: 5, 5: 6, 6: 7, 7: 8}, angle="side")
    before = counts(bare)
    told = run(*words).stdout.splitlines()
    assert told[0].startswith("From play 4 on the side films seem to lie one play off")
    assert told[1] == "Look at them; --move 4:1 moves them."
    assert counts(bare) == before


@pytest.fixture
def one_angle(run: Run, bare: Path, week_films: tuple[Path, Path]) -> Path:
    """Give a book with four plays of the end camera."""
    assert run("add", bare, week_films[0], "--session", SESSION).exit_code == 0
    return bare


def test_a_pairing_is_shown_with_what_to_type(
    run: Run, one_angle: Path, week_films: tuple[Path, Path]
) -> None:
    """Three films for four plays: the proposal as a table, exit 1, and nothing added."""
    words = ("add", one_angle, week_films[1], "--session", SESSION, "--angle", "side")
    asked = run(*words)
    assert asked.exit_code == 1
    lines = asked.stdout.splitlines()
    assert lines[0].split() == ["play", "side", "film"]
    assert [line.split()[0] for line in lines[1:5]] == ["1", "2", "3", "4"]
    assert "–" in "".join(lines[1:5])
    assert "--pair proposed" in asked.stderr
    assert "--pair order" in asked.stderr
    assert counts(one_angle) == (4, 4)
    taken = run(*words, "--pair", "proposed")
    assert taken.exit_code == 0
    assert "3 side films" in taken.stdout
    assert counts(one_angle) == (4, 7)


def test_a_pairing_by_order(run: Run, one_angle: Path, week_films: tuple[Path, Path]) -> None:
    """What speaks against it is passed over, and the play left over is told."""
    words = ("add", one_angle, week_films[1], "--session", SESSION, "--angle", "side")
    done = run(*words, "--pair", "order")
    assert done.exit_code == 0
    assert "No side film for play 4" in done.stdout


def test_films_without_sound_are_told_play_by_play(run: Run, book_path: Path) -> None:
    """Nothing was heard, so nothing is moved, and each play says why."""
    done = run("add", book_path, "--session", SESSION, "--angle", "side", "--sync")
    assert done.exit_code == 0, done.output
    assert "Play 1:" in done.stdout


def test_film_proposes_plays(run: Run, week_films: tuple[Path, Path]) -> None:
    """As a table below the facts, and for machines beside them."""
    film = week_films[0] / "play 2.mp4"
    assert "play  from" in run("film", film, "--plays").stdout
    told = json.loads(run("film", film, "--plays", "--json").stdout)
    assert told["plays"][0]["from"].startswith("0:00:0")
    assert "plays" not in json.loads(run("film", film, "--json").stdout)


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("a", "b", "--card", "films", "--session", "T"), "Name the card, one place"),
        (("--card", "films", "--session", "T", "--roster", "r.csv"), "Name the card"),
        (("a", "--card", "films"), "which session"),
        (("a", "--card", "films", "--long", "--session", "T"), "one at a time"),
        (("a", "--card", "films", "--session", "T", "--without", "2"), "--without goes with"),
        (("a", "--card", "films", "--session", "T", "--move", "2:1"), "once they are added"),
        (("a", "b", "--long"), "the one film"),
        (("a", "--take", "--session", "T"), "go with --long"),
        (("a", "--plays", "p.csv", "--session", "T"), "go with --long"),
        (("a", "--long", "--take", "--plays", "p.csv", "--session", "T"), "Choose one of"),
        (("a", "--long", "--take"), "which session"),
        (("a", "--long", "--damaged"), "do not go with --long"),
        (("a", "--long", "--pair", "proposed"), "no pairing to propose"),
        (("a", "--session", "T", "--pair", "somehow"), "--pair proposed"),
        (("--session", "T", "--script", "s.csv", "--pair", "order"), "go with films"),
        (("a", "--session", "T", "--pair", "order", "--without", "2"), "leave out --pair"),
        (("a", "--long", "--sync"), "plays that are added"),
        (("--sync",), "which session"),
    ],
)
def test_words_that_do_not_go_together(
    run: Run, bare: Path, words: tuple[str, ...], said: str
) -> None:
    """Each is exit 2 with a sentence that says what would do."""
    done = run("add", bare, *words)
    assert done.exit_code == 2
    assert said in " ".join(done.stderr.replace("│", " ").split())
    assert done.stdout == ""


def test_each_option_says_what_it_does_by_an_example(run: Run) -> None:
    """The new ways are found in the help."""
    told = " ".join(run("add", "--help").stdout.split())
    for example in (
        "--card films/tuesday", "--long --take", "--plays-out plays.csv",
        "--long --plays plays.csv",
        "--pair proposed", "--angle side --sync", "--script script.csv", "--from-play 5",
    ):  # fmt: skip
        assert example in told


def test_a_play_that_was_none_is_dropped(run: Run, book_path: Path) -> None:
    """Its number stays free; a play that is not there, and no number, are each told."""
    done = run("add", book_path, "--session", SESSION, "--drop", "2,4")
    assert (done.exit_code, done.stdout) == (0, "2 plays dropped from Tuesday.\n"), done.output
    with open_book(book_path) as book:
        assert [clip.order for clip in book.find(Clip)] == [1, 3]
    again = run("add", book_path, "--session", SESSION, "--drop", "1,2")
    assert again.exit_code == 1
    assert "play 2" in again.stderr
    assert counts(book_path)[0] == 2
    assert run("add", book_path, "--session", SESSION, "--drop", "two").exit_code == 2
    assert run("add", book_path, "--drop", "1").exit_code == 2
    both = run("add", book_path, "--session", SESSION, "--drop", "1", "--move", "1:1")
    assert "Drop plays by themselves" in both.stderr
