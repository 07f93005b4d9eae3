"""The packet: it asks a player, stands alone, and gives nothing away."""

from __future__ import annotations

import base64
import hashlib
import re
from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import pytest

from gradecut.errors import OutputError
from gradecut.records import RepLine
from gradecut.records.picture import LookPicture, PictureMan
from gradecut.reports import CAUTIONS, write_packet
from tests.grading.invented_week import DID, LISOWAY, OKORIE, RUBRIC, VANDERMOOR, line, week
from tests.reports.pages import Page

FITS = {"Keel": ("fill A", "box A", "hang A"), "Bow": ("spill D",)}
MISSES = {
    "fill A": ("overran it", "wrong shoulder"),
    "box A": (),
    "hang A": ("stopped his feet",),
    "spill D": ("got reached",),
}


def own_lines() -> list[RepLine]:
    """Return the reps of one man."""
    return [one for one in week() if one.player is OKORIE]


def packet(
    path: Path, lines: list[RepLine] | None = None, *, film: str | bytes | None = "plays.mp4"
) -> tuple[str, Page]:
    """Write a packet and read it."""
    own = own_lines() if lines is None else lines
    write_packet(
        path,
        own,
        chapters={one.rep.id: Fraction(9 * at, 2) for at, one in enumerate(own)},
        film=film,
        fits=FITS,
        misses=MISSES,
        pictures={one.rep.id: LookPicture(back="left", concept="power") for one in own},
        rubric=RUBRIC,
        subtitle="Monday practice",
    )
    text = path.read_text(encoding="utf-8")
    return text, Page(text)


def without_script(text: str) -> str:
    """Return a page without its type and its script."""
    bare = re.sub(r"base64,[A-Za-z0-9+/=]+", "", text)
    return re.sub(r"<script>.*</script>", "", bare, flags=re.DOTALL)


def test_asks_nothing_of_a_network(tmp_path: Path) -> None:
    """The page names no address; its only neighbour is the film beside it."""
    text, page = packet(tmp_path / "packet.html")
    assert page.unbalanced == []
    bare = re.sub(r"base64,[A-Za-z0-9+/=]+", "", text)
    bare = bare.replace('xmlns="http://www.w3.org/2000/svg"', "")
    assert not re.search(r"https?:|@import|<link|<iframe", bare)
    assert [row[2] for row in page.attributes if row[1] in ("src", "href")] == ["plays.mp4"]


def test_lets_one_known_script_run_and_nothing_else(tmp_path: Path) -> None:
    """The policy refuses all but the one script whose hash it names; no handler hides in a tag."""
    text, page = packet(tmp_path / "packet.html")
    scripts = re.findall(r"<script[^>]*>(.*?)</script>", text, flags=re.DOTALL)
    assert len(scripts) == 1
    hashed = base64.b64encode(hashlib.sha256(scripts[0].encode()).digest()).decode()
    policy = next(value for _, _, value in page.attributes if "default-src" in value)
    rules = dict(rule.strip().split(" ", 1) for rule in policy.split(";"))
    assert rules["default-src"] == "'none'"
    assert rules["script-src"] == f"'sha256-{hashed}'"
    assert rules["media-src"] == "'self' file:"
    assert "connect-src" not in rules
    assert not [name for _, name, _ in page.attributes if name.startswith("on")]


def test_holds_its_film_for_a_phone(tmp_path: Path) -> None:
    """With the film's bytes inside, the page needs no neighbour and may load none."""
    text, page = packet(tmp_path / "packet.html", film=b"a film")
    sources = [row[2] for row in page.attributes if row[1] == "src"]
    assert sources == [f"data:video/mp4;base64,{base64.b64encode(b'a film').decode()}"]
    assert "media-src data:;" in text


def test_says_when_there_is_no_film(tmp_path: Path) -> None:
    """Without film the page says so, and still asks."""
    text, page = packet(tmp_path / "packet.html", film=None)
    assert "There is no film with this packet." in page.text
    assert "<video" not in text
    assert page.text.count("What did you owe?") == 6


def test_asks_of_every_rep_in_order(tmp_path: Path) -> None:
    """Each rep shows its play, its look in words and drawn, and every fit he may choose."""
    text, page = packet(tmp_path / "packet.html", list(reversed(own_lines())))
    assert re.findall(r'<h2 id="rep-\d">(.*?)</h2>', text) == [f"Play {n}" for n in range(1, 7)]
    assert page.text.count("What did you do?") == 6
    assert "The run: counter right." in page.text
    assert text.count("<svg") == 6
    for fit in FITS["Keel"]:
        assert text.count(f"<option>{fit}</option>") == 12
    assert text.count("<option>spill D</option>") == 6


def test_gives_no_grade_away(tmp_path: Path) -> None:
    """The page is the same, letter for letter, whatever the coach has said of him."""
    blank = [
        replace(
            one, grade=None, stale=False, events=(), flagged=False, expected_fit=None,
            expected_side=None, expected_rule=None, reaction=None,
        )
        for one in own_lines()
    ]  # fmt: skip
    told, _ = packet(tmp_path / "told.html")
    untold, _ = packet(tmp_path / "untold.html", blank)
    assert told == untold


def test_names_no_other_player_and_no_coach(tmp_path: Path) -> None:
    """A packet goes home with one man: nobody else is in it."""
    text, _ = packet(tmp_path / "packet.html")
    for name in [man.name for man in DID if man is not OKORIE] + ["Reyes"]:
        assert name.split()[-1] not in without_script(text)


def test_escapes_whatever_a_name_holds(tmp_path: Path) -> None:
    """A name with signs of markup stays a name."""
    nasty = '</script><img src=x onerror="alert(1)">&\''
    man = replace(OKORIE, name=nasty)
    run = line(man, "+", 1)
    hostile = replace(
        run,
        clip=replace(run.clip, period=nasty),
        session=replace(run.session, name=nasty),
        look={"concept": nasty, "back": nasty},
    )
    text, page = packet(tmp_path / "packet.html", [hostile])
    assert page.unbalanced == []
    assert "<img" not in text
    assert text.count("</script>") == 1
    assert nasty in page.text


def test_several_sessions_are_told_apart(tmp_path: Path) -> None:
    """Play 1 of Monday and play 1 of Friday carry their session."""
    monday = line(OKORIE, "+", 1)
    friday = replace(
        monday,
        session=replace(monday.session, id="s5", name="Friday walk", day="2026-09-11"),
        clip=replace(monday.clip, id="c9", session_id="s5"),
        rep=replace(monday.rep, id="r9"),
    )
    _, page = packet(tmp_path / "packet.html", [friday, monday])
    assert "Play 1 of Monday practice" in page.text
    assert "Play 1 of Friday walk" in page.text


def test_prints_the_cautions(tmp_path: Path) -> None:
    """Head out of contact, no medical word, consent: here too."""
    _, page = packet(tmp_path / "packet.html")
    assert all(caution.text in page.text for caution in CAUTIONS)


def test_is_of_one_player(tmp_path: Path) -> None:
    """Two men's reps, or none, make no packet; nothing is written."""
    goal = tmp_path / "packet.html"
    for lines in (week(), []):
        with pytest.raises(ValueError, match="one player"):
            packet(goal, lines)
    assert not goal.exists()


def test_refuses_a_picture_with_a_man(tmp_path: Path) -> None:
    """A picture with a man could tell the fit he owes, so it is refused."""
    one = line(LISOWAY, "+", 1)
    with pytest.raises(ValueError, match="tell no fit"):
        write_packet(
            tmp_path / "packet.html", [one], chapters={}, film=None, fits=FITS, misses=MISSES,
            pictures={one.rep.id: LookPicture(men=(PictureMan(position="Bow"),))}, rubric=RUBRIC,
        )  # fmt: skip


def test_an_unwritable_place_is_one_sentence(tmp_path: Path) -> None:
    """A folder that is a file is told as such."""
    (tmp_path / "taken").write_text("", encoding="utf-8")
    with pytest.raises(OutputError, match="choose a folder"):
        packet(tmp_path / "taken" / "packet.html", [line(VANDERMOOR, "+", 1)])
