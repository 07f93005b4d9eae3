"""The script beside the plays, and a drift told once while plays are gone through."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from gradecut.book import Book
from gradecut.desk.film_desk import FilmDesk
from gradecut.desk.script_rows import ScriptSheetRows
from gradecut.records import Clip, FactValue, Session
from gradecut.workflows.booking import scheme_in_force
from gradecut.workflows.looks import tell_facts
from tests.desk.small_book import Posted
from tests.workflows.test_script_drift import TRUTH, practice, see


@pytest.fixture
def extra(tmp_path: Path) -> Iterator[Book]:
    """Give a practice with a play the script does not have: the fourth of eleven."""
    with practice(tmp_path, 11) as book:
        yield book


def session(book: Book) -> Session:
    """Return the session."""
    return book.find(Session)[0]


def test_each_play_stands_beside_its_line_with_what_film_said(extra: Book) -> None:
    """Confirmed, contradicted, and not looked at are told apart in words."""
    see(extra, TRUTH, [1, 5])
    rows = ScriptSheetRows(extra, session(extra))
    assert rows.title == "tuesday.csv · 10 lines"
    assert [(row.play, row.number) for row in rows.rows[-2:]] == [(10, 10), (11, None)]
    assert rows.rows[0].seen == "as the script says"
    assert rows.rows[1].seen == "not checked on film"
    assert "concept inside zone, not outside zone" in rows.rows[4].seen
    assert rows.rows[10].seen == "not on the script"
    assert rows.rows[0].says == "inside zone · run right · call 1 · strength right · back left"
    assert rows.rows[0].words.startswith("Play 1: number 1, inside zone")


def test_a_line_no_play_has_stands_in_its_place(extra: Book) -> None:
    """Left out by a move, it is seen between its neighbours."""
    rows = ScriptSheetRows(extra, session(extra))
    rows.move(3, -1)
    told = [(row.play, row.number) for row in rows.rows]
    assert told[1:4] == [(2, 2), (None, 3), (3, 4)]
    assert rows.rows[2].seen == "no play has it"


def test_a_drift_is_told_once_when_the_next_play_comes(
    extra: Book, posted: Posted, said: list[str]
) -> None:
    """Never on its own is anything moved; one act moves it, and undo brings it back."""
    film = FilmDesk(extra, posted, said.append)
    posted.until(lambda: any("Alt+X" in one for one in said))
    first = [one for one in said if "Alt+X" in one]
    assert first[0].startswith("1 play has no line on the script")
    see(extra, TRUTH, [1, 2, 3, 5, 6, 7])
    film.next_clip()
    posted.until(lambda: sum("Alt+X" in one for one in said) == 2)
    assert "the script seems one line ahead" in said[-1]
    film.next_clip()
    film.previous_clip()
    assert film.script.look() is None
    numbers = [one.script_number for one in extra.find(Clip)]
    assert numbers == [*range(1, 11), None]
    rows = film.script.rows()
    assert rows is not None
    assert rows.drift is not None
    assert rows.drift.from_play is not None
    assert film.script.move(rows, rows.drift.from_play, rows.drift.by)
    assert said[-1].endswith("what was marked stayed.")
    assert ScriptSheetRows(extra, session(extra)).drift is None
    extra.undo()
    assert [one.script_number for one in extra.find(Clip)] == numbers
    film.close()


def test_without_a_script_the_sheet_says_how_one_comes_in(
    extra: Book, posted: Posted, said: list[str]
) -> None:
    """One sentence instead of an empty sheet."""
    from gradecut.records import Script

    with extra.act("lose it") as act:
        act.drop_all(extra.find(Script))
    film = FilmDesk(extra, posted, said.append)
    assert film.script.rows() is None
    assert said[-1].startswith("No script of Tuesday is kept; bring it in with film")
    film.close()


def test_what_other_graders_marked_counts_as_film_too(extra: Book) -> None:
    """A fact the other coach saw is seen."""
    scheme = scheme_in_force(extra)
    assert scheme is not None
    extra.author = "O. Brandt"
    tell_facts(extra, scheme, extra.find(Clip)[0], {"run": "right"}, source="marked")
    extra.author = "J. Alder"
    assert extra.find(FactValue, source="marked")[0].author == "O. Brandt"
    assert ScriptSheetRows(extra, session(extra)).rows[0].confirmed == 1
