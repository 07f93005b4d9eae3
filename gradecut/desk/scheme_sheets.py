"""The scheme that is shown, out as a file or a sheet, and rules of a sheet in."""

from __future__ import annotations

from os import PathLike
from pathlib import Path
from typing import TYPE_CHECKING

from gradecut.desk.saying import Refusal, says
from gradecut.desk.scheme_files import named
from gradecut.outfile import whole_file

if TYPE_CHECKING:
    from gradecut.desk.scheme_desk import SchemeDesk

__all__ = ["SchemeSheets"]


class SchemeSheets:
    """Writes and takes what other programs read."""

    def __init__(self, desk: SchemeDesk) -> None:
        self._desk = desk
        self.say = desk.say

    @says
    def write_file(self, path: str | PathLike[str]) -> None:
        """Write the scheme that is shown as a file, comments and all."""
        if self._desk.shown is None:
            self.say("There is no scheme to write yet.")
            return
        with whole_file(path) as made:
            made.write_text(self._desk.shown.text, encoding="utf-8", newline="\n")
        self.say(f"{named(self._desk.shown) or 'The scheme'} is written to {Path(path).name}.")

    @says
    def write_grid(self, path: str | PathLike[str]) -> None:
        """Write the grid as a sheet, by its ending a CSV or a workbook."""
        from gradecut.workflows.grid_sheets import write_grid

        if self._desk.shown is None:
            self.say("There is no scheme to write yet.")
            return
        write_grid(self._desk.shown, path)
        self.say(f"The grid is written to {Path(path).name}.")

    @says
    def write_fit_sheets(self, path: str | PathLike[str]) -> None:
        """Write a printable page for each man of the group that is shown."""
        from gradecut.workflows.fit_sheets import write_fit_sheet

        if self._desk.shown is None:
            self.say("There is no scheme to write yet.")
            return
        men = self._desk.hand.men
        write_fit_sheet(self._desk.shown, men, path)
        self.say(f"The fit sheets of {', '.join(men)} are written to {Path(path).name}.")

    def take_grid(self, path: str | PathLike[str]) -> None:
        """Take the rules of a sheet into the draft; nothing is in force yet."""
        from gradecut.workflows.grid_sheets import read_grid

        shown, name = self._desk.shown, Path(path).name
        if shown is None:
            self.say(Refusal("There is no scheme yet that a sheet could change."))
        elif self._desk.edit(f"the sheet {name}", lambda _: read_grid(shown, path), ()):
            self.say(f"{name} is taken into the draft; Ctrl+Z takes it back.")
        elif not self._desk.refused:
            self.say(f"{name} says what is shown already.")
