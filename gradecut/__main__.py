"""``gradecut`` and ``python -m gradecut``: a command, or without one the window."""

from __future__ import annotations

import sys
from pathlib import Path

from gradecut.app import INSTEAD


def main() -> None:
    """Open the window when no command is named; else do the command."""
    words = sys.argv[1:]
    if len(words) == 2 and words[0] == INSTEAD:
        sys.exit(_open_window(None, Path(words[1])))
    if not words or (len(words) == 1 and words[0].endswith(".gradecut")):
        sys.exit(_open_window(words[0] if words else None))
    from gradecut.cli import main as command

    command()


def _open_window(path: str | None, instead: Path | None = None) -> int | str:
    """Return the window's exit code, or the sentence that says why there is none."""
    from gradecut.app import open_window
    from gradecut.errors import GradecutError

    try:
        # First: what is registered for the end of the process is ended before what is there.
        from gradecut.app.leaving import leave_with

        return leave_with(open_window(path, instead))
    except GradecutError as error:
        return str(error)
    except ImportError as error:
        if not (error.name or "").startswith("PyQt6"):
            raise
        return (
            f"The window can't be opened: {error}; install PyQt6 and the system libraries it "
            "needs, or use the commands (gradecut --help), which need neither."
        )


if __name__ == "__main__":
    main()
