"""What the Scheme page asks for: looks of a row, a cue, a tier, parts, files."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from PyQt6.QtWidgets import QFileDialog, QMenu

from gradecut.desk.saying import Refusal

if TYPE_CHECKING:
    from gradecut.app.scheme_page import SchemePage

__all__ = ["SchemeAsking"]

SCHEMES = "Schemes (*.toml);;All files (*)"
PAGES = "Pages to print (*.html)"
SHEETS = "Sheets (*.xlsx *.csv)"


class SchemeAsking:
    """Opens the forms of the page; a form that can't be of use says why instead."""

    def __init__(self, page: SchemePage) -> None:
        self._page = page
        self.scheme = page.scheme

    def start(self) -> None:
        """Ask the questions for a first scheme."""
        from gradecut.app.scheme_start_form import ask_start

        ask_start(self._page)

    def start_blank(self) -> None:
        """Ask what makes his men, for a scheme that learns its rules."""
        from gradecut.app.scheme_start_form import ask_start

        ask_start(self._page, rules=False)

    def tell_effects(self) -> None:
        """Tell what a scheme would turn, before it is put in force."""
        from gradecut.app.scheme_effects_sheet import EffectsSheet

        EffectsSheet(self._page, self.scheme.keeping).open()

    def show_versions(self) -> None:
        """List the versions the book keeps."""
        from gradecut.app.scheme_versions_sheet import VersionsSheet

        if self.scheme.scheme is None:
            self._page.desk.say(Refusal("No version is kept yet."))
            return
        VersionsSheet(self._page, self.scheme.versions).open()

    def add_row(self, tier: str = "") -> None:
        """Ask for the looks of a new row."""
        from gradecut.app.scheme_row_form import RowForm

        if self._has_scheme():
            RowForm(self._page, self.scheme, tier=tier).open()

    def change_looks(self) -> None:
        """Ask for other looks of the row in hand."""
        from gradecut.app.scheme_row_form import RowForm

        row = self._row_in_hand()
        if row:
            RowForm(self._page, self.scheme, change=True).open()

    def split_row(self) -> None:
        """Ask by which fact the row in hand is split."""
        from gradecut.app.scheme_row_form import SplitForm

        if self._row_in_hand():
            SplitForm(self._page, self.scheme).open()

    def write_cue(self) -> None:
        """Ask for the cue of the cell in hand, and what counts as right too."""
        from gradecut.app.scheme_cue_form import CueForm

        place, row = self.scheme.hand.place, self.scheme.hand.row()
        if place is None or row is None or place.man not in row.cells:
            self._page.desk.say(Refusal("Choose a fit first; a cue goes with one."))
            return
        CueForm(self._page, self.scheme).open()

    def choose_tier(self) -> None:
        """Ask which tier the row in hand goes to."""
        row = self.scheme.hand.row()
        if row is None:
            return
        others = [tier for tier in self.scheme.hand.tiers if tier != row.tier]
        if not others:
            self._page.desk.say(Refusal("There is one tier only; Ctrl+Shift+T adds another."))
            return
        menu = QMenu(self._page)
        menu.aboutToHide.connect(menu.deleteLater)
        for tier in others:
            entry = menu.addAction(f"move to tier {tier}")
            if entry is not None:
                entry.triggered.connect(partial(_run, partial(self.scheme.rows.move_to_tier, tier)))
        port, rect = self._page.grid.viewport(), self._page.grid.rect_in_hand()
        if port is not None:
            menu.popup(port.mapToGlobal(rect.bottomLeft()))

    def show_parts(self, kind: str) -> None:
        """Open the list of fits, facts, men, tiers or duties, to be changed."""
        from gradecut.app.scheme_parts_sheet import PartsSheet

        if self._has_scheme():
            PartsSheet(self._page, self.scheme, kind).open()

    def choose_file(self) -> None:
        """Ask which file, and look at it."""
        path, _ = QFileDialog.getOpenFileName(self._page, "Check a scheme file", "", SCHEMES)
        if path:
            self.scheme.check_file(path)

    def write_file(self) -> None:
        """Ask where the scheme goes, and write it."""
        name = self.scheme.shown.name.lower() if self.scheme.shown else ""
        path, _ = QFileDialog.getSaveFileName(
            self._page, "Where the scheme goes", f"{name or 'scheme'}.toml", SCHEMES
        )
        if path:
            self.scheme.sheets.write_file(path if Path(path).suffix else f"{path}.toml")

    def write_grid(self) -> None:
        """Ask where the grid goes as a sheet, and write it."""
        path, _ = QFileDialog.getSaveFileName(
            self._page, "Where the grid goes", "grid.xlsx", SHEETS
        )
        if path:
            self.scheme.sheets.write_grid(path if Path(path).suffix else f"{path}.xlsx")

    def write_fit_sheets(self) -> None:
        """Ask where the fit sheets of the men shown go, and write them."""
        path, _ = QFileDialog.getSaveFileName(
            self._page, "Where the fit sheets go", "fit sheets.html", PAGES
        )
        if path:
            self.scheme.sheets.write_fit_sheets(path if Path(path).suffix else f"{path}.html")

    def take_grid(self) -> None:
        """Ask for a sheet of the grid, and take its rules into the draft."""
        path, _ = QFileDialog.getOpenFileName(self._page, "Take the rules of a sheet", "", SHEETS)
        if path:
            self.scheme.sheets.take_grid(path)

    def _has_scheme(self) -> bool:
        if self.scheme.shown is None:
            self._page.desk.say(Refusal("There is no scheme yet; choose a way to one first."))
        return self.scheme.shown is not None

    def _row_in_hand(self) -> bool:
        if self.scheme.hand.row() is None:
            self._page.desk.say(Refusal("There is no row in hand; + adds one."))
            return False
        return True


def _run(run: Callable[[], object], _checked: bool = False) -> None:
    run()
