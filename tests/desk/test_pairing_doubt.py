"""Marking a snap or a whistle brings a pairing that is off to light, once."""

from __future__ import annotations

from pathlib import Path

from gradecut.desk.film_desk import FilmDesk
from gradecut.records import Angle
from gradecut.workflows.booking import new_book
from tests.desk.film_book import press
from tests.desk.small_book import Posted
from tests.workflows.test_pairing_doubts import LASTS_S, mark


def test_the_doubt_is_said_once_and_nothing_moves(
    tmp_path: Path, posted: Posted, said: list[str]
) -> None:
    """With the evidence and the key that moves the pairing; marking on says nothing anew."""
    with new_book(tmp_path / "b.gradecut", name="Herons", author="J. Alder") as book:
        mark(book, {play: play for play in range(1, 9)}, angle="end")
        mark(book, {1: 1, 2: 2, 3: 3, 4: 5, 5: 6, 6: 7, 7: 8}, angle="side")
        desk = FilmDesk(book, posted, said.append)
        try:
            before = book.find(Angle)
            over = round((3.0 + LASTS_S[0]) * 30)
            desk.playhead.seek(over + 1)
            press(desk, "X")
            assert not any("seem to lie" in one for one in said)
            press(desk, "B")
            (told,) = (one for one in said if "seem to lie" in one)
            assert told.startswith(
                "From play 4 on the side films seem to lie one play off (P moves"
            )
            assert told.endswith("against 0 of 4 as they lie.")
            desk.playhead.seek(over)
            press(desk, "B")
            assert sum("seem to lie" in one for one in said) == 1
            assert book.find(Angle) == before
        finally:
            desk.close()
