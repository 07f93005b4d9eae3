"""Joins rooms: what the command line, the window and a notebook all call.

Each module is one stretch of the job: booking, roster, script, adding, films, looks,
moments, expecting, judging, recording, lines, asking, teaching, reporting, packets, demo.
Import from the module that is meant: the rooms they join are heavy, and a window that
opens at once needs few of them.
"""

__all__: list[str] = []
