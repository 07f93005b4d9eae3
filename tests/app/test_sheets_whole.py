"""Every form and sheet over the smallest windows: whole words, names, and all of it by Tab."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from PyQt6.QtCore import QEvent, QObject, Qt
from PyQt6.QtGui import QKeyEvent
from PyQt6.QtWidgets import QDialog, QListWidget, QPushButton, QVBoxLayout, QWidget

from gradecut.app.form import Form
from gradecut.app.theme import Dress
from gradecut.app.window import MainWindow
from tests.app.all_sheets import SHEETS, Place, all_kinds, leave_sheets, open_sheet, too_large
from tests.app.long_words import write_long_recording
from tests.app.seen_words import focus_unseen, shown, unnamed, unreached, word_faults

SIZES = ((853, 480), (1280, 720))
REFUSAL = (
    "“Saturday scrimmage at Cedar Fork.mp4” can't be read past frame 1432 of 20310: the card was "
    "taken out while it was written; copy it anew, or leave it out and add the others."
)


@pytest.fixture(scope="session")
def recording(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Write a recording of two plays."""
    return write_long_recording(tmp_path_factory.mktemp("long"))


@pytest.fixture
def place(
    long_window: MainWindow, until: Callable[[Callable[[], bool]], None], films: Path,
    recording: Path,
) -> Iterator[Place]:  # fmt: skip
    """Sit down at it, with film to add at hand."""
    assert long_window.desk is not None
    folder = long_window.desk.book.path.parent
    yield Place(long_window, until, folder, films, recording)
    leave_sheets()


@pytest.mark.parametrize("name", SHEETS)
def test_a_sheet_fits_and_is_all_reached(place: Place, name: str) -> None:
    """No larger than the window, its words whole, its parts named, and Tab comes to each."""
    found: list[str] = []
    for size in SIZES:
        shown(place.window, size)
        sheet = open_sheet(place, name)
        found += [f"{size[0]}: {one}" for one in (*faults(sheet), *too_large(sheet, place.window))]
        if size == SIZES[0]:
            found += [f"no name: {one}" for one in unnamed(sheet)]
            found += [f"focus unseen: {one}" for one in focus_unseen(sheet)]
            found += [f"Tab goes past: {one}" for one in unreached(sheet)]
        if isinstance(sheet, Form):
            sheet.refuse(REFUSAL)
            found += [f"{size[0]} refused: {one}" for one in faults(sheet)]
            found += [f"{size[0]} refused: {one}" for one in too_large(sheet, place.window)]
        leave_sheets()
    assert not found, "\n".join(found)


def faults(sheet: QDialog) -> list[str]:
    """Return what is cut."""
    return [str(one) for one in word_faults(sheet)]


def test_no_form_or_sheet_is_left_out() -> None:
    """A form that is added to the window is opened above too."""
    assert all_kinds() == {kind for kind, _ in SHEETS.values()}


def test_the_watch_sees_rows_that_are_cut_and_parts_that_are_passed(dress: Dress) -> None:
    """A row of a list with no room is found, and a part Tab goes past; the others are not."""
    assert dress
    sheet = QDialog()
    column = QVBoxLayout(sheet)
    rows = QListWidget()
    rows.addItems(["short", "far too long for a list as narrow as this one is"])
    rows.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
    first, passed = QPushButton("first"), QPushButton("passed")
    for one in (rows, first, passed):
        column.addWidget(one)
    sheet.setFixedWidth(150)
    sheet.show()
    for before, after in ((rows, first), (first, rows)):
        before.installEventFilter(TabsTo(before, after))
    assert [one.words for one in word_faults(sheet)] == [rows.item(1).text()]  # type: ignore[union-attr]
    assert [one.split("/")[-1] for one in unreached(sheet)] == ["QPushButton(passed)"]
    sheet.close()


class TabsTo(QObject):
    """Sends Tab from one part to another."""

    def __init__(self, before: QWidget, after: QWidget) -> None:
        super().__init__(before)
        self._after = after

    def eventFilter(self, _watched: QObject | None, event: QEvent | None) -> bool:  # noqa: N802
        """Take Tab."""
        if isinstance(event, QKeyEvent) and event.type() == QEvent.Type.KeyPress:
            self._after.setFocus()
            return event.key() == Qt.Key.Key_Tab
        return False
