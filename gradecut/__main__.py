"""``gradecut`` and ``python -m gradecut``: a command, or without one the window."""

from __future__ import annotations

import sys


def main() -> None:
    """Open the window when no command is named; else do the command."""
    words = sys.argv[1:]
    if not words or (len(words) == 1 and words[0].endswith(".gradecut")):
        from gradecut.app import open_window
        from gradecut.errors import GradecutError

        try:
            sys.exit(open_window(words[0] if words else None))
        except GradecutError as error:
            print(error, file=sys.stderr)  # noqa: T201  # the command line's own error
            sys.exit(1)
    from gradecut.cli import main as command

    command()


if __name__ == "__main__":
    main()
