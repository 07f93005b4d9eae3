"""Opens every form and sheet of the window, as the coach would come to it."""

from __future__ import annotations

import importlib
import pkgutil
import shutil
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import partial
from pathlib import Path

from PyQt6.QtWidgets import QApplication, QDialog

import gradecut.app
from gradecut.app import coach_doors, forms
from gradecut.app.add_film_form import CARD, RECORDING, AddFilmForm
from gradecut.app.cutting_sheet import open_cutting
from gradecut.app.hand_off_form import HandOffForm
from gradecut.app.scheme_page import SchemePage
from gradecut.app.teach_page import TeachPage
from gradecut.app.window import MainWindow
from tests.app.long_words import SESSION, long_hand_off
from tests.app.page_states import run, take_man

__all__ = ["SHEETS", "Place", "all_kinds", "leave_sheets", "open_sheet", "too_large"]


@dataclass(frozen=True, slots=True)
class Place:
    """The window with a book of long names, and what is at hand beside it."""

    window: MainWindow
    until: Callable[[Callable[[], bool]], None]
    folder: Path
    films: Path
    recording: Path


def all_kinds() -> set[str]:
    """Return the names of all forms and sheets of the window."""
    for module in pkgutil.iter_modules(gradecut.app.__path__):
        importlib.import_module(f"gradecut.app.{module.name}")
    found, left = set(), [QDialog]
    while left:
        kinds = left.pop().__subclasses__()
        left += kinds
        found |= {one.__name__ for one in kinds if one.__module__.startswith("gradecut.")}
    return found - {"Form"}


def open_sheet(place: Place, name: str) -> QDialog:
    """Open one of them by its name here."""
    kind, opener = SHEETS[name]
    opener(place)
    place.until(lambda: bool(_open()))
    (sheet,) = _open()
    assert type(sheet).__name__ == kind
    return sheet


def too_large(sheet: QDialog, window: MainWindow) -> list[str]:
    """Tell of a sheet that reaches beyond its window."""
    if sheet.width() <= window.width() and sheet.height() <= window.height():
        return []
    return [f"{sheet.width()} x {sheet.height()}, window {window.width()} x {window.height()}"]


def _open() -> list[QDialog]:
    tops = QApplication.topLevelWidgets()
    return [one for one in tops if isinstance(one, QDialog) and one.isVisible()]


def leave_sheets() -> None:
    """Leave what is open; a form that comes back then is left too."""
    for _ in range(3):
        for one in _open():
            one.reject()
        QApplication.processEvents()


def _by_action(page: str, name: str, place: Place) -> None:
    place.window.show_page(page)
    if page == "Film":
        take_man(place.window)
    run(place.window, name)


def _scheme(place: Place) -> SchemePage:
    place.window.show_page("Scheme")
    assert place.window.pages is not None
    page = place.window.pages.page("Scheme")
    assert isinstance(page, SchemePage)
    hand = page.scheme.hand
    row = hand.rows[0]
    hand.take(row.key, next(iter(row.cells)))
    return page


def _of_cell(name: str, place: Place) -> None:
    _scheme(place)
    run(place.window, name)


def _effects(place: Place) -> None:
    page = _scheme(place)
    page.scheme.rows.drop_row()
    page.keep()


def _add_film(what: int, place: Place) -> None:
    forms.ask_film(place.window)
    (form,) = _open()
    assert isinstance(form, AddFilmForm)
    form.what.choose(what)


def _pairing(place: Place) -> None:
    side = place.folder / "side"
    if not side.exists():
        side.mkdir()
        for number, film in enumerate(sorted(place.films.iterdir())[:2]):
            # Bytes behind the last box are passed over, and make it another film.
            other = side / f"Cedar Fork scrimmage, press box camera {number + 1}.mp4"
            shutil.copy(film, other)
            with other.open("ab") as file:
                file.write(bytes([0, 0, 0, 9]) + b"free" + bytes([number]))
    forms.ask_film(place.window)
    (form,) = _open()
    assert isinstance(form, AddFilmForm)
    form.places.setText(str(side))
    form.session.setCurrentText(SESSION)
    form.angle.setCurrentText("side")
    form.submit()
    place.until(lambda: bool(_open()))


def _cutting(place: Place) -> None:
    sheet = open_cutting(place.window, place.recording, session=SESSION, angle="end")
    assert sheet is not None
    place.until(lambda: not sheet.desk.looking)


def _hand_off(place: Place) -> None:
    coach_doors.ask_hand_off(place.window)
    (form,) = _open()
    assert isinstance(form, HandOffForm)
    place.until(lambda: form.holds.text() != "counting …")


def _differences(place: Place) -> None:
    assert place.window.desk is not None
    path = long_hand_off(place.window.desk.book.path, place.folder)
    coach_doors.hold_hand_off(place.window, str(path))


def _sharing(place: Place) -> None:
    place.window.show_page("Teach")
    assert place.window.pages is not None
    page = place.window.pages.page("Teach")
    assert isinstance(page, TeachPage)
    page.teach.build("Keel Port on zone")
    place.until(lambda: bool(page.teach.withheld_men()))
    page.render_reel()


SHEETS: Mapping[str, tuple[str, Callable[[Place], None]]] = {
    **{
        name: (kind, partial(_by_action, "Film", name))
        for name, kind in (
            ("history of his rep", "RepHistorySheet"), ("print the picture", "PrintForm"),
            ("line-up of this period", "LineUpForm"),
            ("what the play was: call, tempo, yards", "PlayFactsForm"),
            ("he owed a fit that is not listed", "OwedForm"),
            ("the script beside the plays", "ScriptSheet"),
            ("the other coach's grades beside", "BesideSheet"),
            ("name an unknown man, everywhere", "NameManForm"),
            ("make a new book", "NewBookForm"),
            ("say who grades", "GraderForm"), ("all keys", "CheatSheet"),
            ("cautions", "CautionsSheet"),
        )
    },
    **{
        name: (kind, partial(_of_cell, name))
        for name, kind in (
            ("the fits", "PartsSheet"), ("the facts", "PartsSheet"), ("the men", "PartsSheet"),
            ("the tiers", "PartsSheet"), ("the duties", "PartsSheet"),
            ("impossible looks", "PartsSheet"), ("where they line up", "PartsSheet"),
            ("begin without rules: learn them", "StartForm"), ("versions kept", "VersionsSheet"),
            ("add a row", "RowForm"), ("change its looks", "RowForm"),
            ("split it by a fact", "SplitForm"), ("cue, and what counts too", "CueForm"),
        )
    },
    "begin from questions": ("StartForm", lambda place: _scheme(place).asking.start()),
    "what a scheme turns": ("EffectsSheet", _effects),
    "add film": ("AddFilmForm", partial(_add_film, 0)),
    "add a card": ("AddFilmForm", partial(_add_film, CARD)),
    "add a recording": ("AddFilmForm", partial(_add_film, RECORDING)),
    "pair films": ("PairingForm", _pairing),
    "cut a recording": ("CuttingSheet", _cutting),
    "hand my grades to a colleague": ("HandOffForm", _hand_off),
    "what a hand-off changes": ("DifferencesSheet", _differences),
    "who may be shown": ("SharingForm", _sharing),
}  # fmt: skip
"""By a name of its own, each form's and sheet's kind, and what opens it."""
