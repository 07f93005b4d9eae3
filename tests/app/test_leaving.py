"""A window that was closed ends its process with its own code, and ends what it began."""

from __future__ import annotations

import subprocess
import sys

CHILD = """
from gradecut.app.leaving import leave_with
import atexit
from PyQt6.QtCore import QObject

class Kept(QObject):
    pass

# PyQt deletes at its own end of the process what it still owns: this one would tell.
kept = Kept()
kept.destroyed.connect(lambda: print("taken apart", flush=True))
atexit.register(print, "ended")
print("told", end=" ")
{last}
"""


def left(last: str) -> tuple[int, str]:
    """Return the code a process ends with and what it wrote, its last line given."""
    ran = subprocess.run(
        [sys.executable, "-c", CHILD.format(last=last)],
        capture_output=True, text=True, timeout=60, check=False,
    )  # fmt: skip
    return ran.returncode, ran.stdout


def test_what_was_begun_is_ended_and_all_written() -> None:
    """What is registered for the end is called, and what was printed is not lost."""
    assert left("raise SystemExit(leave_with(3))") == (3, "told ended\n")


def test_a_process_that_leaves_otherwise_ends_as_it_likes() -> None:
    """A program that only imports the window keeps its own end."""
    code, told = left("raise SystemExit(4)")
    assert (code, told.splitlines()[0]) == (4, "told ended")
