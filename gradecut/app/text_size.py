"""How large text is shown: the whole window at 100, 115, 130 or 150 %, film kept sharp.

Qt takes its scale only while it starts, so that another size opens the window anew; it stands
as the one before did.
"""

from __future__ import annotations

import os
import sys
from collections.abc import MutableMapping
from dataclasses import replace
from typing import TYPE_CHECKING

from PyQt6.QtCore import QProcess, QProcessEnvironment

from gradecut.desk.remembered import TEXT_SIZES
from gradecut.desk.saying import Refusal

if TYPE_CHECKING:
    from gradecut.app.window import MainWindow

__all__ = ["change_text_size", "start_anew", "wear_text_size"]

_SCALE = "QT_SCALE_FACTOR"
_OURS = "GRADECUT_TEXT_SIZE"
"""Says that the scale was set by us, and not by who started the window."""


def wear_text_size(percent: int, environment: MutableMapping[str, str]) -> None:
    """Let the window to come be as large as remembered; a scale set from outside stands.

    Call before the application is made.
    """
    if _SCALE in environment and _OURS not in environment:
        return
    environment.pop(_SCALE, None)
    environment.pop(_OURS, None)
    if percent != TEXT_SIZES[0]:
        environment[_SCALE] = f"{percent / 100:g}"
        environment[_OURS] = str(percent)


def change_text_size(window: MainWindow, by: int) -> None:
    """Take the next larger or smaller size, and open the window anew with it."""
    now = window.remembered.text_percent
    place = min(max(TEXT_SIZES.index(now) + by, 0), len(TEXT_SIZES) - 1)
    if _SCALE in os.environ and _OURS not in os.environ:
        window.say(Refusal(f"Its size is set from outside ({_SCALE}); it is changed there."))
    elif TEXT_SIZES[place] == now:
        window.say(f"Text is as {'large' if by > 0 else 'small'} as it gets: {now} %.")
    elif window.handing_out:
        window.say(
            Refusal(f"{window.handing_out} is being written; wait for it, or stop it with Ctrl+.")
        )
    else:
        window.remember(replace(window.remembered, text_percent=TEXT_SIZES[place]))
        window.open_anew()


def start_anew(words: list[str]) -> bool:
    """Start gradecut in a process of its own; tell whether it started."""
    started = QProcess()
    started.setProgram(sys.executable)
    started.setArguments(["-m", "gradecut", *words])
    started.setProcessEnvironment(QProcessEnvironment.systemEnvironment())
    done, _ = started.startDetached()
    return done
