"""The picture of the look on paper."""

from __future__ import annotations

import re
import shutil
import threading
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from PyQt6.QtWidgets import QApplication

from gradecut.app import look_print
from gradecut.app.film_page import FilmPage
from gradecut.app.look_print import PrintForm, print_sheet, write_sheet
from gradecut.app.window import MainWindow
from gradecut.desk.look_sheet import LookSheet, SheetMan
from gradecut.errors import OutputError
from gradecut.records.picture import LookPicture, PictureMan
from tests.app.test_film_page import key
from tests.desk.conftest import film_book_file, numbered_films

__all__ = ["film_book_file", "numbered_films"]

MAN = SheetMan(who="Keel 52", owed="overlap D right", did="✕ fill B", cause="eyes", note="late")
SHEET = LookSheet(
    title="Play 6 power right",
    under="Tue 6 Oct · Tuesday inside run",
    picture=LookPicture(
        surface_left=2, surface_right=3, back="behind", men=(PictureMan(position="Keel"),)
    ),
    unseen="Not seen on film yet: back behind (script).",
    men=(MAN,),
    foot="Seen from behind the offence · graded by J. Alder",
    file_name="look of play 6.pdf",
)


def pages_of(path: Path) -> int:
    """Count the pages of a PDF by its own page objects."""
    return len(re.findall(rb"/Type\s*/Page\b", path.read_bytes()))


@pytest.mark.usefixtures("dress")
@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_the_page_is_one_page_of_pdf(tmp_path: Path, paper: str) -> None:
    """Title, picture and men on one page of the paper asked for."""
    goal = write_sheet(SHEET, tmp_path / "look.pdf", paper)
    assert goal.read_bytes().startswith(b"%PDF")
    assert pages_of(goal) == 1
    box = re.search(rb"/MediaBox\s*\[\s*0 0 ([\d.]+) ([\d.]+)", goal.read_bytes())
    assert box is not None
    # Points of 1/72 inch: ISO 216 A4 is 210 x 297 mm, US Letter 8.5 x 11 inch; from memory.
    wanted = {"A4": (595.28, 841.89), "Letter": (612, 792)}[paper]
    assert [float(side) for side in box.groups()] == pytest.approx(wanted, abs=1)


@pytest.mark.usefixtures("dress")
def test_more_men_than_the_page_holds_stay_on_one_page(tmp_path: Path) -> None:
    """A long list ends with a word that it does."""
    goal = write_sheet(replace(SHEET, men=(MAN,) * 40), tmp_path / "look.pdf")
    assert pages_of(goal) == 1


@pytest.mark.usefixtures("dress")
@pytest.mark.parametrize(
    ("name", "why"), [("", "name a file"), ("look.txt", "ends in .pdf"), (".", "folder")]
)
def test_a_place_that_can_not_be_is_told(tmp_path: Path, name: str, why: str) -> None:
    """One sentence, and no half file."""
    goal = tmp_path if name == "." else (tmp_path / name if name else "")
    with pytest.raises(OutputError, match=why):
        write_sheet(SHEET, goal)
    assert list(tmp_path.iterdir()) == []


@pytest.mark.usefixtures("dress")
def test_a_printer_that_is_gone_is_told() -> None:
    """A printer taken away while the form was open is a sentence."""
    with pytest.raises(OutputError, match="no such printer is set up here"):
        print_sheet(SHEET, "the one in the hall")


@pytest.mark.usefixtures("dress")
def test_what_the_page_says_can_be_found_in_it(tmp_path: Path) -> None:
    """Words and numbers of the page are text, not a picture of it."""
    goal = write_sheet(SHEET, tmp_path / "look.pdf")
    assert b"/ToUnicode" in goal.read_bytes()


def test_ctrl_p_asks_where_and_keeps_the_page(
    qtbot: Any,
    closed_window: MainWindow,
    tmp_path: Path,
    film_book_file: Path,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """The form proposes a file; Print writes it once, beside the window, and says where it lies."""
    path = tmp_path / "film.gradecut"
    shutil.copy(film_book_file, path)
    closed_window.open_path(str(path))
    assert closed_window.pages is not None
    page = closed_window.pages.page("Film")
    assert isinstance(page, FilmPage)
    page.setFocus()
    key(qtbot, "Ctrl+P")
    form = QApplication.activeModalWidget()
    assert isinstance(form, PrintForm)
    assert form.file.text() == str(tmp_path / "look of play 1.pdf")
    form.file.path.setText(str(tmp_path / "no such" / "x.txt"))
    form.submit()
    qtbot.waitUntil(lambda: ".pdf" in form.refusal.text())
    assert form.isVisible()
    form.file.path.setText(str(tmp_path / "look.pdf"))
    threads: list[int] = []
    write = look_print.write_sheet

    def written(*told: Any) -> Path:
        threads.append(threading.get_ident())
        return write(*told)

    monkeypatch.setattr(look_print, "write_sheet", written)
    form.submit()
    form.submit()
    qtbot.waitUntil(lambda: not form.isVisible())
    assert len(threads) == 1
    assert threads[0] != threading.get_ident()
    assert pages_of(tmp_path / "look.pdf") == 1
    assert "look.pdf" in closed_window.line.sentence
