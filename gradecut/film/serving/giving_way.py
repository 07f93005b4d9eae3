"""A thread's share of a busy processor."""

from __future__ import annotations

import os
import sys

__all__ = ["give_way"]

_NICE = 5
"""A thread that is to wait for it gets a third of what one beside it gets (sched(7): 1.25 ** 5)."""

_BELOW_NORMAL = -1
"""THREAD_PRIORITY_BELOW_NORMAL of the Windows API."""


def give_way() -> None:
    """Let the thread that calls this, and those it starts, wait for others where all are busy.

    On Linux a thread has a niceness of its own (setpriority(2), "C library/kernel
    differences"); elsewhere than there and on Windows nothing is changed.
    """
    if sys.platform == "linux":
        os.setpriority(os.PRIO_PROCESS, 0, _NICE)
    elif sys.platform == "win32":
        import ctypes

        kernel = ctypes.windll.kernel32
        kernel.SetThreadPriority(kernel.GetCurrentThread(), _BELOW_NORMAL)
