"""The end of the window's process: what it holds is given back, what PyQt owns is left alone.

When the interpreter ends, PyQt walks the list of all it owns and deletes it while it walks; now
and then it goes on from an entry it has just freed, and the system reports a crash of a window
that was closed well (PyQt6 6.11, about one in a hundred on a busy machine). The process ends
anyhow, so nothing is taken apart.
"""

from __future__ import annotations

import atexit
import logging
import os
import sys
from contextlib import suppress

# Imported before anything is registered here: of what is registered, the last comes first, so
# that all that gradecut starts is ended before this, and what PyQt registers is not reached.
import PyQt6.QtCore  # noqa: F401

__all__ = ["leave_with"]


class _Leaving:
    """The code to end with; None for a process that is to end as it likes."""

    def __init__(self) -> None:
        self.code: int | None = None

    def end(self) -> None:
        """End the process, once everything registered after PyQt has been ended."""
        if self.code is None:
            return
        logging.shutdown()
        for stream in (sys.stdout, sys.stderr):
            # A program started without a terminal has none.
            if stream is not None:
                with suppress(OSError, ValueError):  # nobody reads it any more
                    stream.flush()
        os._exit(self.code)


_leaving = _Leaving()
atexit.register(_leaving.end)


def leave_with(code: int) -> int:
    """Return the code this process is to end with, and make sure that it ends with it.

    Call it where the window is closed and nothing but the end follows.
    """
    _leaving.code = code
    return code
