"""Opening the window on this computer's display."""

from __future__ import annotations

import logging
import os
import sys
from collections.abc import Callable, Mapping
from pathlib import Path
from types import TracebackType

from PyQt6.QtCore import QTimer
from PyQt6.QtWidgets import QApplication

from gradecut.app.as_it_was import AsItWas, stand_as_it_was
from gradecut.app.opening_anew import stand_instead
from gradecut.app.sheets import show_first_start
from gradecut.app.text_size import wear_text_size
from gradecut.app.theme import DARK_THEME, LIGHT_THEME, Dress, load_type
from gradecut.app.window import MainWindow
from gradecut.desk.remembered import log_file, memory_file, recall
from gradecut.errors import GradecutError

__all__ = ["check_display", "open_on_display", "take_short_turns"]

_WITHOUT_DISPLAY = frozenset({"offscreen", "minimal", "vnc", "linuxfb", "eglfs", "minimalegl"})


_TURN_S = 0.0005
"""So long a thread that works in Python keeps the window from its turn, in seconds.

A key that goes on takes some ten turns on the store's thread. Beside a thread that never rests
they took 24 to 39 ms with Python's usual 5 ms, with this 15; alone 6 either way.
"""


def open_on_display(path: str | None, instead: Path | None = None) -> int:
    """Open the window and return its exit code when it is closed.

    Parameters
    ----------
    instead : Path or None
        The folder by which a window that goes tells where it stood.

    Raises
    ------
    GradecutError
        When there is no display.
    """
    check_display(sys.platform, os.environ)
    where = memory_file()
    remembered = recall(where)
    wear_text_size(remembered.text_percent, os.environ)
    app = QApplication(sys.argv[:1])
    app.setApplicationName("gradecut")
    take_short_turns()
    load_type()
    dress = Dress()
    dress.put_on(LIGHT_THEME if remembered.theme == "light" else DARK_THEME, app)
    window = MainWindow(app, dress, remembered=remembered, memory=where)
    sys.excepthook = hook_for(window.say)
    if instead is None:
        _begin(window, path)
    else:
        stand_instead(window, instead, lambda told: _begin(window, told.path or path, told))
    code = app.exec()
    sys.excepthook = sys.__excepthook__
    return code


def _begin(window: MainWindow, path: str | None, told: AsItWas | None = None) -> None:
    """Show the window, with a book where one is named, and as another one stood."""
    if told is not None and path is not None:
        window.open_path(path)
        stand_as_it_was(window, told)
    window.show()
    # Without a window manager nobody else gives it the keys.
    window.activateWindow()
    if told is None and path is not None:
        QTimer.singleShot(0, lambda: window.open_path(path))
    QTimer.singleShot(0, lambda: show_first_start(window))


def take_short_turns() -> None:
    """Let threads of this process take turns more often than Python usually lets them."""
    sys.setswitchinterval(_TURN_S)


def check_display(platform: str, environment: Mapping[str, str]) -> None:
    """Refuse to start where Qt would abort.

    Raises
    ------
    GradecutError
        On Linux and its kin when no display is named.
    """
    if platform in ("win32", "darwin") or platform.startswith("cygwin"):
        return
    chosen = environment.get("QT_QPA_PLATFORM", "").partition(":")[0]
    if chosen in _WITHOUT_DISPLAY:
        return
    if not (environment.get("DISPLAY") or environment.get("WAYLAND_DISPLAY")):
        raise GradecutError(
            "There is no display to open a window on; start gradecut from a desktop, or use its "
            "commands (gradecut --help), which need none."
        )


def hook_for(
    say: Callable[[str], None],
) -> Callable[[type[BaseException], BaseException, TracebackType | None], None]:
    """Return an exception hook that says one sentence, writes the rest down and goes on.

    Without it Qt aborts on an exception in a slot, and with it the book's last entry.
    """
    where = log_file()

    def hook(kind: type[BaseException], error: BaseException, trace: TracebackType | None) -> None:
        if issubclass(kind, KeyboardInterrupt):
            QApplication.quit()
            return
        if isinstance(error, GradecutError):
            say(str(error))
            return
        logger = logging.getLogger("gradecut")
        logger.error("unexpected", exc_info=(kind, error, trace))
        say(f"Something unexpected went wrong; what you stored is safe. Details: {where}")

    _log_to(where)
    return hook


def _log_to(where: os.PathLike[str]) -> None:
    """Write unexpected errors to a file; where that can't be, to the terminal."""
    logger = logging.getLogger("gradecut")
    if logger.handlers:
        return
    handler: logging.Handler
    try:
        os.makedirs(os.path.dirname(where), exist_ok=True)
        handler = logging.FileHandler(where, encoding="utf-8", delay=True)
    except OSError:
        handler = logging.StreamHandler()
    handler.setFormatter(logging.Formatter("%(asctime)s %(message)s"))
    logger.addHandler(handler)
