from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from PyQt6.QtCore import QPointF, QRectF

from gradecut.app.film_view import MOST_ZOOM, FilmView

sides = st.integers(40, 4000)
ratios = st.sampled_from([1.0, 1.15, 1.5, 2.0, 3.0])
shares = st.floats(0.05, 0.95)


def laid(film: tuple[float, float], room: tuple[float, float], ratio: float = 1.0) -> FilmView:
    """Return a view of a film on a stage."""
    view = FilmView()
    view.lay(film, room, ratio)
    return view


@given(sides, sides, sides, sides, ratios)
def test_the_whole_film_is_as_large_as_fits(
    film_w: int, film_h: int, wide: int, high: int, ratio: float
) -> None:
    """Film of any shape touches two edges of the stage, lies inside it and in its middle."""
    view = laid((film_w, film_h), (wide, high), ratio)
    there = view.on_screen().mapRect(QRectF(0, 0, film_w, film_h))
    off = 1 / ratio
    assert QRectF(-off, -off, wide + 2 * off, high + 2 * off).contains(there)
    assert min(wide - there.width(), high - there.height()) < 0.001
    assert there.center().x() == pytest.approx(wide / 2, abs=off)
    assert there.center().y() == pytest.approx(high / 2, abs=off)


@given(ratios, shares, shares, st.lists(st.sampled_from([1.2, 1 / 1.2, 3.0]), max_size=9))
def test_what_lies_under_the_pointer_stays_there(
    ratio: float, x: float, y: float, steps: list[float]
) -> None:
    """Nearer and nearer about a point: the film's pixel under it stays, within a pixel."""
    view = laid((1920, 1080), (960, 540), ratio)
    at = QPointF(x * 960, y * 540)
    before = view.film_point(at)
    for step in steps:
        zoomed = view.zoom
        view.zoom_by(step, at)
        if view.zoom <= zoomed:
            return
    after = view.film_point(at)
    assert (after - before).manhattanLength() <= 2 * (len(steps) + 1) / ratio


@given(st.lists(st.tuples(st.floats(-900, 900), st.floats(-900, 900)), max_size=6))
def test_a_panned_film_leaves_no_more_of_the_stage_empty(
    pushes: list[tuple[float, float]],
) -> None:
    """However it is moved, zoomed film covers the stage it covered."""
    view = laid((1280, 720), (640, 360))
    view.zoom_by(4, QPointF(100, 300))
    for dx, dy in pushes:
        view.pan(QPointF(0, 0), QPointF(dx, dy))
    there = view.on_screen().mapRect(QRectF(0, 0, 1280, 720))
    assert there.adjusted(-1, -1, 1, 1).contains(QRectF(0, 0, 640, 360))


def test_zoom_ends_and_comes_back_to_the_whole_film() -> None:
    """It goes no nearer than the most, and farther than the whole film never."""
    view = laid((1280, 720), (640, 360))
    view.zoom_by(1000, QPointF(10, 10))
    assert view.zoom == MOST_ZOOM
    view.zoom_by(0.0001, QPointF(600, 300))
    assert view.zoom == 1
    assert view.seen() == QRectF(0, 0, 1280, 720)


def test_the_film_begins_on_a_pixel_of_the_screen() -> None:
    """Film as large as the screen's pixels is not smeared over two of them."""
    for ratio in (1.0, 1.5, 2.0):
        way = laid((1280, 720), (1281, 723), ratio).on_screen()
        assert way.dx() * ratio == pytest.approx(round(way.dx() * ratio))
        assert way.dy() * ratio == pytest.approx(round(way.dy() * ratio))


@pytest.mark.parametrize("room", [(1920, 1080), (840, 470), (420, 236), (160, 120)])
@pytest.mark.parametrize("film", [(320, 240), (1280, 720), (1080, 1920), (3840, 2160)])
def test_marks_stay_readable_on_any_stage(film: tuple[int, int], room: tuple[int, int]) -> None:
    """Type of a reel's size is never set smaller than 62 % of what a film 720 high has."""
    view = laid(film, room)
    assert view.mark_size * view.scale * film[1] / 720 >= 0.62 - 1e-9


def test_marks_grow_less_than_the_film_does() -> None:
    """At six times as near they are not twice as large on screen."""
    view = laid((1280, 720), (1280, 720))
    view.zoom_by(6, QPointF(640, 360))
    assert view.mark_size * view.zoom < 2
