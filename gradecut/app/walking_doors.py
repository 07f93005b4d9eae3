"""What he walks out with, asked for from anywhere in the window."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PyQt6.QtCore import QUrl
from PyQt6.QtGui import QDesktopServices

from gradecut.desk.saying import Refusal

if TYPE_CHECKING:
    from gradecut.app.window import MainWindow

__all__ = ["show_written", "write_reel", "write_staff_page"]

_NO_BOOK = "Open a book first; then there is something to hand out."
_NOTHING = "Nothing was handed out yet: F9 writes the staff's page, F7 the players' reel."


def write_staff_page(window: MainWindow) -> None:
    """Write the page for the staff's meeting."""
    if window.desk is None:
        window.say(Refusal(_NO_BOOK))
    else:
        window.desk.walking_out.write_staff_page()


def write_reel(window: MainWindow) -> None:
    """Write the reel for the players."""
    if window.desk is None:
        window.say(Refusal(_NO_BOOK))
    else:
        window.desk.walking_out.write_reel()


def show_written(window: MainWindow) -> None:
    """Open the folder of what was written last."""
    if window.desk is None:
        window.say(Refusal(_NO_BOOK))
        return
    folder = window.desk.walking_out.folder
    if folder is None:
        window.say(Refusal(_NOTHING))
    elif not QDesktopServices.openUrl(QUrl.fromLocalFile(str(folder))):
        window.say(Refusal(f"This computer shows no folders from here; it lies at {folder}."))
