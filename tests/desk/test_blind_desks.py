"""A blind grader's desks say the same, whatever another coach judges: no reader forgets."""

from __future__ import annotations

import dataclasses
import re
from collections.abc import Callable, Iterator
from typing import Any

import pytest

from gradecut.book import Book
from gradecut.desk import Desk
from gradecut.desk.rep_history import read_history
from gradecut.records import (
    Actual,
    Event,
    Flag,
    Grade,
    LinedUp,
    Mark,
    Moment,
    Player,
    Rep,
)
from gradecut.timebase import Pts
from gradecut.workflows.moments import timeline_of
from gradecut.workflows.naming_men import unknown_men
from gradecut.workflows.teaching import best_angle
from tests.desk.small_book import Posted

OTHER = "Coach Birch"
SAID = "seen by Birch alone"
_ID = re.compile(r"[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}")

Rows = Callable[[Book, Rep], list[Any]]


def _grade(_book: Book, rep: Rep) -> list[Any]:
    grade = Grade(
        rep_id=rep.id, author=OTHER, fit_result="wrong", did="miss", did_name=SAID, cause=SAID,
        note=SAID,
    )  # fmt: skip
    return [grade, Actual(rep_id=rep.id, author=OTHER, did="miss", name=SAID)]


def _mark(book: Book, rep: Rep) -> list[Any]:
    angle = timeline_of(book, rep.clip_id).angles[0]
    ends: dict[str, Any] = {"from_pts": angle.start_pts, "to_pts": angle.stop_pts}
    return [
        Mark(angle_id=angle.id, kind="text", points=((9, 9),), rep_id=whose, text=SAID,
             author=OTHER, **ends)
        for whose in (rep.id, None)
    ]  # fmt: skip


def _moment(book: Book, rep: Rep) -> list[Any]:
    angle = timeline_of(book, rep.clip_id).angles[0]
    pts = Pts((angle.start_pts + angle.stop_pts) // 2)
    return [Moment(angle_id=angle.id, kind="go", pts=pts, rep_id=rep.id, author=OTHER)]


PLANTED: dict[str, Rows] = {
    "grade": _grade,
    "event": lambda _book, rep: [Event(rep_id=rep.id, name=SAID, author=OTHER)],
    "flag": lambda _book, rep: [
        Flag(clip_id=rep.clip_id, rep_id=rep.id, author=OTHER),
        Flag(clip_id=rep.clip_id, author=OTHER),
    ],
    "lined up": lambda _book, rep: [
        LinedUp(rep_id=rep.id, verdict="off", off=(SAID,), author=OTHER)
    ],
    "drawing": _mark,
    "moment": _moment,
}  # fmt: skip
"""One row or two of each kind that judges."""


def texts_of(shown: object, *, within: int = 7) -> Iterator[str]:
    """Give every text and number a public name leads to from what a reader shows."""
    if isinstance(shown, str | int | float):
        # Ids are made anew wherever something is drawn that nobody has said yet.
        if not _ID.fullmatch(str(shown)):
            yield str(shown)
    elif within and isinstance(shown, dict):
        yield from (text for pair in shown.items() for text in texts_of(pair, within=within - 1))
    elif within and isinstance(shown, tuple | list | set | frozenset):
        yield from (text for one in shown for text in texts_of(one, within=within - 1))
    elif within and dataclasses.is_dataclass(shown) and not isinstance(shown, type):
        names = [name for name in dir(shown) if not name.startswith("_")]
        for name in names:
            found = getattr(shown, name)
            if not callable(found):
                yield from texts_of(found, within=within - 1)


def film(desk: Desk, _posted: Posted) -> list[object]:
    """Read the Film page's own: plays, men, marks, ticks, question, rounds."""
    shown: list[object] = [desk.film.plays.line]
    for box in desk.film.plays.line.boxes:
        desk.film.open_clip(box.clip_id)
        shown += [desk.film.state, desk.film.picture(), desk.film.ticks()]
        for _ in desk.film.state.men if desk.film.state else ():
            desk.film.hand.next_man()
            shown += [desk.film.hand.man, desk.film.hand.ask, desk.film.ticks()]
    return shown


def history(desk: Desk, _posted: Posted) -> list[object]:
    """Read the history of each rep."""
    return [read_history(desk.book, rep.id) for rep in desk.book.find(Rep)]


def men(desk: Desk, _posted: Posted) -> list[object]:
    """Read who is still to be named, and which angle each rep is taught from."""
    angles = [best_angle(desk.book, rep) for rep in desk.book.find(Rep)]
    return [unknown_men(desk.book), angles]


def board(desk: Desk, posted: Posted) -> list[object]:
    """Read the Board's numbers, its sentence, and the reps of each cell."""
    desk.board.view = None
    desk.board.count()

    def counted() -> Any:
        return desk.board.view

    posted.until(counted)
    view = counted()
    cells: list[Any] = [
        (row, column) for row, *_ in view.board.rows for column in view.board.columns
    ]
    return [desk.board.summary(), [desk.board.cell_words(cell) for cell in cells],
            [desk.board.reps_of(cell) for cell in cells]]  # fmt: skip


def teach(desk: Desk, posted: Posted) -> list[object]:
    """Read what a question answers, and the corrections a reel would have."""
    desk.teach.refresh()
    told: list[bool] = []
    desk.teach.lines_changed.connect(lambda: told.append(True))
    desk.teach.understand("Keel")
    posted.until(lambda: bool(told))
    asked = ("Keel", "Keel, missed fits", "Bow, missed fits", "flagged")
    return [[desk.teach.understand(question) for question in asked], desk.teach.reels]


READERS: dict[str, Callable[[Desk, Posted], list[object]]] = {
    "film": film, "history": history, "men": men, "board": board, "teach": teach,
}  # fmt: skip


def plant(book: Book, kind: str) -> None:
    """Let the other coach judge Bow on every play, and an unknown man."""
    author, blind = book.author, book.blind
    book.author, book.blind = OTHER, False
    reps = book.find(Rep, position="Bow")
    with book.act(f"{kind}, {SAID}") as act:
        act.put(*(row for rep in reps for row in PLANTED[kind](book, rep)))
    book.author, book.blind = author, blind


@pytest.fixture
def with_unknown(desk: Desk) -> Desk:
    """Sit down at the small book, in which a man nobody knows was in once."""
    book = desk.book
    clip_id = book.find(Rep, position="Port")[0].clip_id
    man = Player(name="unknown 1", unknown=True)
    with book.act("put an unknown man in") as act:
        act.put(man, Rep(clip_id=clip_id, player_id=man.id, position="Bow"))
    return desk


@pytest.mark.parametrize("kind", PLANTED)
@pytest.mark.parametrize("reader", READERS)
def test_nothing_another_judges_reaches_a_blind_grader(
    with_unknown: Desk, posted: Posted, reader: str, kind: str
) -> None:
    """Every public text is what it was before the other one judged anything."""
    desk = with_unknown
    desk.book.blind = True
    desk.film.refresh()
    before = list(texts_of(READERS[reader](desk, posted)))
    plant(desk.book, kind)
    desk.film.refresh()
    after = list(texts_of(READERS[reader](desk, posted)))
    assert not [text for text in after if SAID in text]
    assert after == before
    assert before


@pytest.mark.parametrize("kind", PLANTED)
def test_in_sight_all_of_it_is_seen(with_unknown: Desk, posted: Posted, kind: str) -> None:
    """The readers do look: of one who is not blind some say something else then."""
    desk = with_unknown
    before = [list(texts_of(reader(desk, posted))) for reader in READERS.values()]
    plant(desk.book, kind)
    desk.film.refresh()
    assert [list(texts_of(reader(desk, posted))) for reader in READERS.values()] != before


def test_what_was_being_read_when_he_turned_blind_is_read_anew(desk: Desk, posted: Posted) -> None:
    """The Teach page never keeps answers that count what he may not know."""
    plant(desk.book, "grade")
    told: list[bool] = []
    desk.teach.lines_changed.connect(lambda: told.append(True))
    desk.teach.understand("Bow")
    desk.book.blind = True
    desk.teach.refresh()
    posted.until(lambda: bool(told))
    assert desk.teach.understand("Bow, missed fits").endswith("0 reps")
