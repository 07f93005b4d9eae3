"""Packets of a real book: whose they are, what their film shows, what stays with the staff."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from fractions import Fraction
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from gradecut.book import Book
from gradecut.errors import BookError, Cancelled, GradecutError
from gradecut.film import open_film
from gradecut.progress import CancelToken
from gradecut.records import BookInfo, Moment, Player
from gradecut.workflows.counting import add_event
from gradecut.workflows.judging import judge
from gradecut.workflows.packets import Packets, write_packets
from tests.reports.pages import Page
from tests.workflows.tiny_book import LISOWAY, OKORIE, VANDERMOOR, player, rep_of, tiny_book

SIZE_PX = (320, 180)


@pytest.fixture(scope="module")
def book(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Book]:
    """Build the tiny book once, graded by the coach."""
    with tiny_book(tmp_path_factory.mktemp("week")) as made:
        rep = rep_of(made, OKORIE, 1)
        judge(made, rep, did="miss", name="ran past it", cause="eyes", note="lazy today")
        add_event(made, rep, "loaf")
        yield made


@pytest.fixture(scope="module")
def packets(book: Book, tmp_path_factory: pytest.TempPathFactory) -> Packets:
    """Write every packet once."""
    return write_packets(book, tmp_path_factory.mktemp("packets"), size_px=SIZE_PX)


def told(page: Path) -> dict[str, Any]:
    """Return what a packet's script works with."""
    parsed = Page(page.read_text(encoding="utf-8"))
    found: dict[str, Any] = json.loads(
        next(value for tag, name, value in parsed.attributes if name == "data-packet")
    )
    return found


def test_each_player_gets_a_folder_of_his_own(packets: Packets) -> None:
    """Page and film lie in a folder of his name."""
    assert [page.parent.name for page in packets.written] == [LISOWAY, OKORIE]
    for page in packets.written:
        assert sorted(path.name for path in page.parent.iterdir()) == ["packet.html", "plays.mp4"]
    assert packets.notes == ()


def test_minors_without_consent_are_left_out_and_named(packets: Packets) -> None:
    """Nothing is written for him, and the coach is told."""
    assert [man.name for man in packets.left_out] == [VANDERMOOR]
    assert not (packets.written[0].parent.parent / VANDERMOOR).exists()


def test_the_page_knows_where_each_play_starts_in_the_film(packets: Packets) -> None:
    """At each start stands a dark title card, and 2 s later his film."""
    page = packets.written[1]
    starts = [rep["start"] for rep in told(page)["reps"]]
    assert [rep["play"] for rep in told(page)["reps"]] == ["1", "2", "3"]
    with open_film(page.parent / "plays.mp4") as film:
        assert film.duration_s > starts[-1] + 2
        for start in starts:
            at = round(start * 30)
            card, shown = film.frame(at + 5), film.frame(at + 62)
            assert np.median(card) < 50
            assert np.median(shown) == pytest.approx(96, abs=12)


def test_the_film_asks_and_does_not_tell(packets: Packets) -> None:
    """Standing at the snap it shows his bracket, but no ring where his fit was."""
    page = packets.written[1]
    start = Fraction(told(page)["reps"][0]["start"])
    with open_film(page.parent / "plays.mp4") as film:
        held = film.frame(round((start + 2 + 1) * 30) + 20)
    around = held[60:172, 100:220].astype(int)
    coloured = (around.max(axis=2) - around.min(axis=2)) > 60
    bright = around.min(axis=2) > 200
    assert bright.sum() > 10
    assert coloured.sum() == 0


def test_no_word_of_the_coach_is_on_the_page(packets: Packets) -> None:
    """Neither his note nor his event nor his name nor another player's is there."""
    text = packets.written[1].read_text(encoding="utf-8")
    for word in ("lazy", "loaf", "late again", "Alder", "Lisoway", "Vandermoor"):
        assert not re.search(word, text)


def test_only_the_named_are_written(book: Book, tmp_path: Path) -> None:
    """A name picks one; an unknown name is one sentence with the nearest."""
    with pytest.raises(GradecutError, match=f"Tavin Okory.*did you mean “{OKORIE}”"):
        write_packets(book, tmp_path, names=["Tavin Okory"], size_px=SIZE_PX)
    assert list(tmp_path.iterdir()) == []
    done = write_packets(book, tmp_path, names=[VANDERMOOR], size_px=SIZE_PX)
    assert done.written == ()
    assert [man.name for man in done.left_out] == [VANDERMOOR]


def test_writing_leaves_the_book_alone(book: Book, packets: Packets) -> None:
    """A packet is handed out, not recorded: the newest act is still the coach's own."""
    assert packets.written
    assert book.history(1)[0].verb == "count a loaf"


def test_a_stopped_packet_leaves_no_half_film(book: Book, tmp_path: Path) -> None:
    """Cancelled work raises Cancelled and leaves no file."""
    token = CancelToken()
    token.cancel()
    with pytest.raises(Cancelled):
        write_packets(book, tmp_path, size_px=SIZE_PX, cancel=token)
    assert [path for path in tmp_path.rglob("*") if path.is_file()] == []


def test_film_that_can_not_be_shown_is_told(tmp_path: Path) -> None:
    """Without a marked snap the page still asks, and the coach hears why film is missing."""
    with tiny_book(tmp_path / "week") as book:
        with book.act("forget every snap") as act:
            act.drop_all(book.find(Moment, kind="snap"))
        done = write_packets(book, tmp_path / "out", names=[OKORIE], size_px=SIZE_PX)
        page = done.written[0]
    assert len(done.notes) == 3
    assert all(
        note.startswith(f"{OKORIE}: ") and "no snap is marked" in note for note in done.notes
    )
    assert [rep["start"] for rep in told(page)["reps"]] == [None, None, None]
    assert not (page.parent / "plays.mp4").exists()


def test_without_a_scheme_there_is_nothing_to_choose(tmp_path: Path) -> None:
    """The coach is told to bring a scheme in."""
    with tiny_book(tmp_path / "week") as book:
        info = book.get(BookInfo, "book")
        with book.act("put the scheme away") as act:
            act.put(BookInfo(name=info.name))
        with pytest.raises(BookError, match="bring a scheme in"):
            write_packets(book, tmp_path / "out", size_px=SIZE_PX)


def test_consent_on_file_lets_him_have_his_packet(tmp_path: Path) -> None:
    """Once the consent is there his packet is written like any other."""
    with tiny_book(tmp_path / "week") as book:
        man = player(book, VANDERMOOR)
        with book.act("put the consent on file") as act:
            act.put(Player(id=man.id, name=man.name, under_18=True, consent=True))
        done = write_packets(book, tmp_path / "out", names=[VANDERMOOR], size_px=SIZE_PX)
    assert done.left_out == ()
    assert [page.parent.name for page in done.written] == [VANDERMOOR]
