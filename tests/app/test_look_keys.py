"""The picture of the look on the Film page: turned, pointed at, gone over by keys."""

from __future__ import annotations

import shutil
from pathlib import Path
from typing import Any

import pytest
from PyQt6.QtCore import QPoint, Qt
from PyQt6.QtWidgets import QApplication

from gradecut.app.film_page import FilmPage
from gradecut.app.look_keys import next_place
from gradecut.app.window import MainWindow
from gradecut.drawing import DARK, DrawnLook, Place, look_shapes
from gradecut.records import Grade
from gradecut.records.picture import LookPicture, PictureFact, PictureMan
from tests.app.test_film_page import key
from tests.desk.conftest import film_book_file, numbered_films

__all__ = ["film_book_file", "numbered_films"]

_WAYS = ((1, 0), (-1, 0), (0, 1), (0, -1))


@pytest.fixture
def page(closed_window: MainWindow, tmp_path: Path, film_book_file: Path) -> FilmPage:
    """Show the Film page on a book of numbered films."""
    path = tmp_path / "film.gradecut"
    shutil.copy(film_book_file, path)
    closed_window.open_path(str(path))
    assert closed_window.pages is not None
    shown = closed_window.pages.page("Film")
    assert isinstance(shown, FilmPage)
    shown.setFocus()
    return shown


def drawn(page: FilmPage) -> DrawnLook:
    """Return the picture as it is shown."""
    found = page.look.ready()
    assert found is not None
    return found


def click(qtbot: Any, page: FilmPage, place: Place) -> None:
    """Touch a place of the picture."""
    left, top, wide, high = drawn(page).places[place]
    at = QPoint(round(left + wide / 2), round(top + high / 2))
    qtbot.mouseClick(page.look, Qt.MouseButton.LeftButton, pos=at)


def test_four_turns_bring_every_touch_back(qtbot: Any, page: FilmPage) -> None:
    """Alt+T turns the picture and all that is touched on it; after the fourth all is as before."""
    seen = [drawn(page).places]
    for _ in range(4):
        key(qtbot, "Alt+T")
        seen.append(drawn(page).places)
    assert seen[4] == seen[0]
    assert len({str(sorted(map(str, one.items()))) for one in seen[:4]}) == 4


@pytest.mark.parametrize("turns", range(4))
def test_he_grades_by_pointing_at_every_turn(qtbot: Any, page: FilmPage, turns: int) -> None:
    """However the picture is turned, the man and his gap take the touch."""
    for _ in range(turns):
        key(qtbot, "Alt+T")
    click(qtbot, page, Place(kind="man", name="Keel"))
    assert page.film.hand.position == "Keel"
    click(qtbot, page, Place(kind="gap", name="C", side="left"))
    ask = page.film.hand.ask
    assert ask is not None
    assert ask.title == "Keel in C left: what did he do there?"


def test_a_touched_fact_is_turned_over(qtbot: Any, page: FilmPage) -> None:
    """A fact with two values takes the other; film has then shown it."""
    assert page.film.state is not None
    before = page.film.state.look["run"]
    click(qtbot, page, Place(kind="fact", name="run"))
    assert page.film.state.look["run"] != before
    assert page.film.state.sources["run"] == "marked"


def test_a_miss_is_graded_by_keys_alone(
    qtbot: Any, page: FilmPage, closed_window: MainWindow
) -> None:
    """Alt+G, arrows, Enter: the man, then the gap he fitted; digits still answer."""
    key(qtbot, "Alt+G")
    assert page.look.hasFocus()
    page.look.keys.here = Place(kind="man", name="Keel")
    key(qtbot, "Return")
    assert page.film.hand.position == "Keel"
    page.look.keys.here = Place(kind="gap", name="B", side="left")
    key(qtbot, "Left")
    assert page.look.keys.here == Place(kind="gap", name="C", side="left")
    assert "C left: Enter says Keel fitted here" in closed_window.line.sentence
    assert page.look.accessibleDescription().startswith("C left: Enter says Keel fitted here. ")
    frame = page.film.playhead.frame
    key(qtbot, "Return")
    assert page.film.playhead.frame == frame
    ask = page.film.hand.ask
    assert ask is not None
    assert ask.kind == "gap"
    key(qtbot, "1")
    assert [one.fit_result for one in page.film.book.find(Grade)] == ["wrong"]
    assert page.look.hasFocus()


def test_escape_gives_the_page_its_keys_back(qtbot: Any, page: FilmPage) -> None:
    """Arrows step the film again, and the picture tells no place any more."""
    key(qtbot, "Alt+G", "Escape")
    assert QApplication.focusWidget() is page
    assert not page.look.keys.on
    frame = page.film.playhead.frame
    key(qtbot, "Right")
    assert page.film.playhead.frame == frame + 1
    assert page.look.accessibleDescription().startswith("Seen from")


def test_a_click_leaves_the_film_its_arrows(qtbot: Any, page: FilmPage) -> None:
    """Pointing at a man does not take the step keys from the film."""
    click(qtbot, page, Place(kind="man", name="Keel"))
    frame = page.film.playhead.frame
    key(qtbot, "Right")
    assert page.film.playhead.frame == frame + 1


def test_the_place_stood_on_is_ringed(qtbot: Any, page: FilmPage) -> None:
    """The ring is seen around the place, and gone once the picture is left."""
    before = page.look.grab().toImage()
    key(qtbot, "Alt+G")
    here = page.look.keys.here
    assert here is not None
    left, top, wide, _ = drawn(page).places[here]
    accent = page.dress.theme.accent[:3]
    ringed = page.look.grab().toImage()
    edge = [ringed.pixelColor(round(left + wide / 2), round(top) + y).getRgb() for y in range(4)]
    assert min(sum(abs(a - b) for a, b in zip(one[:3], accent, strict=True)) for one in edge) < 20
    key(qtbot, "Alt+G")
    assert page.look.grab().toImage() == before


@pytest.mark.parametrize("turn", [0, 90, 180, 270])
@pytest.mark.parametrize("size", [(408, 200), (408, 330), (628, 520)])
def test_arrows_reach_every_place(turn: int, size: tuple[int, int]) -> None:
    """From any place every man, gap and fact can be gone to by arrows."""
    men = tuple(
        PictureMan(position=name, number="9", at_yd=(across, 4.5), owed_gap="B", owed_side="left")
        for name, across in (("Port", -3.0), ("Keel", 0.5), ("Bow", 4.0))
    )
    facts = tuple(
        PictureFact(reference=name, words=f"{name} right", letter=name[0].upper())
        for name in ("back", "run", "wing", "strength", "concept")
    )
    picture = LookPicture(surface_left=2, surface_right=3, men=men, facts=facts, turn=turn)
    places = look_shapes(picture, size_px=size, palette=DARK, title_px=24).places
    for start in places:
        reached, waiting = {start}, [start]
        while waiting:
            here = waiting.pop()
            for way in _WAYS:
                there = next_place(places, here, way)
                if there not in reached:
                    reached.add(there)
                    waiting.append(there)
        assert reached == set(places)
