"""The column beside the film and the ticks below it: what keeps its place, what is never cut."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from PyQt6.QtCore import QRect
from PyQt6.QtWidgets import QScrollArea

from gradecut.app.film_page import FilmPage
from gradecut.app.window import MainWindow
from tests.app.test_film_page import key

Until = Callable[[Callable[[], bool]], None]
LOW, HIGH = (1280, 720), (1920, 1080)


@pytest.fixture
def page(numbered_film_page: FilmPage) -> FilmPage:
    """Show the Film page at the first frame of a book of numbered films."""
    return numbered_film_page


def sized(page: FilmPage, size: tuple[int, int], qtbot: Any) -> FilmPage:
    """Give the window a size."""
    window = page.window()
    assert isinstance(window, MainWindow)
    window.resize(*size)
    qtbot.wait(1)
    return page


def scrolled_px(page: FilmPage) -> int:
    """Return how much of the column has no room."""
    (column,) = [one for one in page.findChildren(QScrollArea) if page.men in one.findChildren(
        type(page.men))]  # fmt: skip
    bar = column.verticalScrollBar()
    assert bar is not None
    return bar.maximum()


@pytest.mark.parametrize("size", [LOW, HIGH])
def test_columns_of_the_men_stand_still_from_play_to_play(
    qtbot: Any, page: FilmPage, size: tuple[int, int]
) -> None:
    """Graded or open, missed or right: each column keeps its place and its width."""
    sized(page, size, qtbot)
    seen = [page.men.places()]
    key(qtbot, "2", "1", "2")
    seen.append(page.men.places())
    for _ in range(2):
        key(qtbot, "PageDown")
        seen.append(page.men.places())
    assert all(one == seen[0] for one in seen)


def test_steps_are_told_in_seconds(qtbot: Any, page: FilmPage) -> None:
    """A coach reads seconds; the frames are told to whoever points at the row."""
    key(qtbot, "Z", "2")
    page.film.playhead.seek(12)
    page.film.telling.mark_step()
    man = page.film.hand.man
    assert man is not None
    assert man.line is not None
    assert man.line.reaction is not None
    told = page.men.words()
    assert f"first step {man.line.reaction.time_ms / 1000:+.2f} s (+12 frames)" in told


def test_asking_the_facts_needs_no_scroll_bar(qtbot: Any, page: FilmPage) -> None:
    """In the least window all facts stand in view, and the note below keeps its height."""
    sized(page, LOW, qtbot)
    high = page.note.height()
    key(qtbot, "L")
    qtbot.wait(1)
    assert page.film.hand.ask is not None
    assert page.film.hand.ask.kind == "facts"
    assert scrolled_px(page) == 0
    assert page.note.height() == high


def test_many_answers_stand_in_columns(qtbot: Any, page: FilmPage) -> None:
    """Their keys begin at a few places across, each below the other; none lies over another."""
    sized(page, LOW, qtbot)
    key(qtbot, "L")
    page.ask.grab()
    lefts = sorted({round(spot.rect.left()) for spot in page.ask.spots})
    assert len(page.ask.spots) >= 5
    assert len(lefts) <= 3
    rects = [spot.rect for spot in page.ask.spots]
    assert not any(a.intersects(b) for at, a in enumerate(rects) for b in rects[at + 1 :])


def test_more_answers_are_offered_beside_the_question(qtbot: Any, page: FilmPage) -> None:
    """Nine fits in three lines, more by 0 or a touch on it; nothing below needs to scroll."""
    sized(page, LOW, qtbot)
    key(qtbot, "2", "O")
    page.ask.grab()
    ask = page.film.hand.ask
    assert ask is not None
    assert ask.pages > 1
    (more,) = [spot for spot in page.ask.spots if spot.tip.startswith("more (1 of ")]
    assert scrolled_px(page) == 0
    more.do()
    page.ask.grab()
    assert any(spot.tip.startswith("more (2 of ") for spot in page.ask.spots)


def test_a_long_note_stands_on_two_lines_and_stays_whole(qtbot: Any, page: FilmPage) -> None:
    """Cut by the field's edge it would end in mid-word; while it is written it is one line."""
    sized(page, LOW, qtbot)
    page.film.hand.choose("Keel")
    page.note.show_text("Short.")
    assert not page.note.is_long()
    whole = "Fell into the inside crease on top of Port; nobody was outside Bow's spill, again."
    page.note.show_text(whole)
    assert page.note.is_long()
    shown = page.note.grab().toImage()
    page.note.setFocus()
    assert page.note.grab().toImage() != shown
    assert page.note.text() == whole


def test_where_the_film_stands_covers_no_count(qtbot: Any, page: FilmPage) -> None:
    """The pointer comes from above: below the line nothing changes as the film runs."""
    key(qtbot, "Z")
    strip = page.ticks
    below = QRect(0, 36, strip.width(), 14)
    seen = []
    for frame in (0, 5, 12):
        page.film.playhead.seek(frame)
        qtbot.waitUntil(lambda frame=frame: page.film.playhead.seen == frame)
        seen.append(strip.grab(below).toImage())
    assert seen[0] == seen[1] == seen[2]


def test_with_nobody_to_grade_no_heads_and_no_note_are_shown(page: FilmPage) -> None:
    """Heads over nothing and a note on nobody only ask what they mean."""
    state = page.film.state
    assert state is not None
    assert page.note.isVisible()
    page.film.state = None
    page.film.state_changed.emit()
    assert not page.note.isVisible()
    assert page.men.words() == ""
