"""The staff's page holds what is graded now: flagged reps with their stills, and the counts."""

from __future__ import annotations

import base64
import re
from dataclasses import replace
from pathlib import Path

import cv2
import numpy as np
import pytest

from gradecut.book import Book
from gradecut.errors import Cancelled, OutputError
from gradecut.progress import CancelToken
from gradecut.records import Clip, FilmFile, Player, Rep
from gradecut.workflows.counting import add_event, toggle_flag
from gradecut.workflows.judging import judge
from gradecut.workflows.line_ups import take_out
from gradecut.workflows.moments import mark_moment
from gradecut.workflows.naming_men import name_new_man
from gradecut.workflows.passing import pass_clip
from gradecut.workflows.staff_page import StaffPage, write_staff_page
from tests.reels.numbered_film import SIZE_PX, number_on
from tests.reports.pages import Page
from tests.workflows.small_week import angle_of, clip_of, pts_of, rep_of


@pytest.fixture
def graded(book: Book) -> Book:
    """Give the week with two plays graded, Keel's miss on play 1 flagged, its contact marked."""
    rep, angle = rep_of(book, 1, "Keel"), angle_of(book, 1)
    mark_moment(book, angle, "snap", pts_of(book, angle, 40))
    mark_moment(book, angle, "contact", pts_of(book, angle, 85), rep)
    judge(book, rep, did="miss", name="ran past it", cause="eyes", note="Saw the <back> only.")
    toggle_flag(book, clip_of(book, 1), rep)
    for play in (1, 2):
        pass_clip(book, clip_of(book, play))
    return book


def written(book: Book, path: Path) -> tuple[StaffPage, str, Page]:
    """Write the page and read it back."""
    done = write_staff_page(book, path)
    text = path.read_text(encoding="utf-8")
    return done, text, Page(text)


def stills_on(text: str) -> list[np.ndarray]:
    """Return the pictures of a page, RGB."""
    coded = re.findall(r"data:image/jpeg;base64,([^\"]+)", text)
    pictures = [
        cv2.imdecode(np.frombuffer(base64.b64decode(one), np.uint8), cv2.IMREAD_COLOR)
        for one in coded
    ]
    return [cv2.cvtColor(one, cv2.COLOR_BGR2RGB) for one in pictures]


def test_a_flagged_rep_is_shown_at_his_contact(graded: Book, tmp_path: Path) -> None:
    """The still is that very frame of the film, and the page tells frame, time and words."""
    done, text, page = written(graded, tmp_path / "staff.html")
    assert (done.flagged, done.stills, done.notes) == (1, 1, ())
    (still,) = stills_on(text)
    assert number_on(cv2.resize(still, SIZE_PX, interpolation=cv2.INTER_AREA)) == 85
    assert "Contact frame 85 · snap +45 · +1.500 s · end" in page.text
    assert page.unbalanced == []
    for told in (
        "Play 1 · Keel 44", "Tavin Okorie", "inside zone right", "fill A", "ran past it", "eyes",
        "Saw the <back> only.", "For the staff only",
    ):  # fmt: skip
        assert told in page.text, told


def test_counts_stand_by_period_with_what_is_open(graded: Book, tmp_path: Path) -> None:
    """Plays 1 to 3 are Inside run, play 4 is Team, of which nothing is graded yet."""
    _, _, page = written(graded, tmp_path / "staff.html")
    assert "Inside run plays 1 to 3 6 5 0 1 5 1 0 3" in page.text
    assert "Team play 4 0 0 0 0 0 0 0 3" in page.text
    assert "All 6 5 0 1 5 1 0 6" in page.text


def test_what_was_counted_stands_with_its_period(graded: Book, tmp_path: Path) -> None:
    """A missed tackle on a rep nobody flagged is on the page, with who and on which play."""
    for play, position in ((1, "Keel"), (2, "Keel"), (2, "Port")):
        add_event(graded, rep_of(graded, play, position), "missed tackle")
    _, _, page = written(graded, tmp_path / "staff.html")
    assert "Missed tackle: 3 (Keel 44, plays 1 and 2; Port" in page.text


def test_the_page_needs_no_network(graded: Book, tmp_path: Path) -> None:
    """Type and stills are in it; nothing points outside."""
    _, text, page = written(graded, tmp_path / "staff.html")
    pointing = [value for _, name, value in page.attributes if name in ("src", "href")]
    assert pointing
    assert all(value.startswith("data:") for value in pointing)
    assert "default-src 'none'" in text
    assert "http" not in page.text


def test_nothing_flagged_is_said_and_the_counts_stand(book: Book, tmp_path: Path) -> None:
    """At the first play of the evening the page can be written as well."""
    done, _, page = written(book, tmp_path / "staff.html")
    assert (done.flagged, done.stills) == (0, 0)
    assert "Nothing is flagged yet, so no rep is shown" in page.text
    assert "12 not graded yet" in page.text


def test_a_flag_on_a_play_shows_its_men_on_one_still(book: Book, tmp_path: Path) -> None:
    """None of them graded yet: what each owes stands beside the one picture."""
    toggle_flag(book, clip_of(book, 2))
    done, text, page = written(book, tmp_path / "staff.html")
    assert done.flagged == 3
    assert len(stills_on(text)) == 1
    assert "scrape C" in page.text
    assert "force E" in page.text


def test_a_flagged_play_with_nobody_put_in_is_named(book: Book, tmp_path: Path) -> None:
    """It can't be counted, and is not lost."""
    for rep in book.find(Rep, clip_id=clip_of(book, 3).id):
        take_out(book, rep)
    toggle_flag(book, clip_of(book, 3))
    _, _, page = written(book, tmp_path / "staff.html")
    assert "Flagged too, with nobody put in: play 3." in page.text


def test_a_film_that_is_away_leaves_a_sentence(graded: Book, tmp_path: Path) -> None:
    """The rep stays on the page, without its still."""
    with graded.act("lose the films") as act:
        act.drop_all(graded.find(FilmFile))
    done, _, page = written(graded, tmp_path / "staff.html")
    assert (done.flagged, done.stills) == (1, 0)
    assert "Play 1: no still, its film is not on this computer" in page.text
    assert done.notes == tuple(one for one in done.notes if one in page.text)


def test_minors_are_named_as_not_leaving_the_staff(graded: Book, tmp_path: Path) -> None:
    """Vandermoor is under 18 without consent on file; Pell has his guardian's."""
    _, _, page = written(graded, tmp_path / "staff.html")
    assert "consent on file: Joss Vandermoor. Nothing of this page leaves the staff." in page.text


def test_a_man_whose_age_nobody_told_is_not_called_under_18(graded: Book, tmp_path: Path) -> None:
    """An unknown man named later is kept out of what is shared, and no age is made up for him."""
    with graded.act("take a man in whom nobody knows") as act:
        keel = graded.find(Player, id=rep_of(graded, 1, "Keel").player_id)[0]
        act.put(replace(keel, name="Unknown-1", unknown=True, under_18=True, consent=False))
    named = graded.find(Player, id=keel.id)[0]
    name_new_man(graded, named, "Ike Marsh")
    _, _, page = written(graded, tmp_path / "staff.html")
    assert (
        "Joss Vandermoor; Ike Marsh, whose age is not on the roster. Nothing of this" in page.text
    )
    assert "His age is not on the roster: not in the players' reel." in page.text


def test_a_page_that_is_stopped_or_refused_leaves_nothing(graded: Book, tmp_path: Path) -> None:
    """Nor is a film of the book written over."""
    stop = CancelToken()
    stop.cancel()
    with pytest.raises(Cancelled):
        write_staff_page(graded, tmp_path / "staff.html", cancel=stop)
    with pytest.raises(OutputError, match="ends in"):
        write_staff_page(graded, tmp_path / "staff.txt")
    assert list(tmp_path.glob("staff*")) == []
    assert graded.count(Clip) == 4
    assert graded.count(Player) == 9
