"""``python -m gradecut.samples OUT`` draws the sample clips anew."""

from __future__ import annotations

import sys

from gradecut.errors import GradecutError
from gradecut.samples.drawing import draw_samples


def main(arguments: list[str]) -> int:
    """Draw the clips into the folder named, and tell how far it is."""
    if len(arguments) != 1:
        sys.stderr.write("Name one folder: python -m gradecut.samples OUT\n")
        return 2
    try:
        draw_samples(arguments[0], progress=_tell)
    except GradecutError as error:
        sys.stderr.write(f"{error}\n")
        return 1
    return 0


def _tell(done: float, saying: str) -> None:
    """Write one line of progress."""
    sys.stderr.write(f"{100 * done:3.0f} %  {saying}\n")


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
