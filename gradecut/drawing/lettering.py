"""Type: Inter, measured and broken into lines."""

from __future__ import annotations

import threading
from functools import lru_cache
from pathlib import Path

import cv2

__all__ = ["CAPITAL", "DESCENT", "face", "font_file", "text_width_px", "wrap_text"]

CAPITAL = 0.75
"""Height of a capital as a share of the size."""
DESCENT = 0.22
"""How far letters hang below the baseline, as a share of the size."""

_FINE = 4
"""Text is set this many times larger, since setting rounds widths down to whole pixels."""
_BOUNDLESS = (1_000_000, 100_000)

_of_thread = threading.local()


def font_file() -> Path:
    """Return where the font lies: Inter, a variable font from the package fontpkg-inter."""
    import fontpkg_inter

    return Path(fontpkg_inter.ROOT) / "files" / "Inter[opsz,wght].ttf"


def face() -> cv2.FontFace:
    """Return the font for this thread; a face keeps drawn letters and is not shared."""
    loaded: cv2.FontFace | None = getattr(_of_thread, "face", None)
    if loaded is None:
        loaded = cv2.FontFace(str(font_file()))
        _of_thread.face = loaded
    return loaded


@lru_cache(maxsize=4096)
def text_width_px(text: str, size_px: float, weight: int = 500) -> float:
    """Return how wide a line of text is, in pixels; measured once while it is asked often."""
    if not text:
        return 0.0
    size = round(size_px * _FINE)
    box = cv2.getTextSize(_BOUNDLESS, text, (0, 0), face(), size, weight)
    return float(box[2]) / _FINE


def wrap_text(
    text: str, size_px: float, width_px: float, *, weight: int = 500, most: int | None = None
) -> tuple[str, ...]:
    """Break text into lines no wider than ``width_px``.

    A word wider than a line stands on a line of its own. Text beyond ``most`` lines is
    cut, and the last line ends in an ellipsis.

    >>> wrap_text("Owed overlap D. Filled A: eyes.", 14, 120)
    ('Owed overlap D.', 'Filled A: eyes.')
    """
    lines: list[str] = []
    for word in text.split():
        longer = f"{lines[-1]} {word}" if lines else word
        if lines and text_width_px(longer, size_px, weight) <= width_px:
            lines[-1] = longer
        else:
            lines.append(word)
    if most is not None and len(lines) > most:
        return (
            *lines[: most - 1],
            _shorten(f"{lines[most - 1]} {lines[most]}", size_px, width_px, weight),
        )
    return tuple(_shorten(line, size_px, width_px, weight) for line in lines)


def _shorten(line: str, size_px: float, width_px: float, weight: int) -> str:
    """Cut a line so that it fits, ending in an ellipsis."""
    if text_width_px(line, size_px, weight) <= width_px:
        return line
    while line and text_width_px(f"{line}…", size_px, weight) > width_px:
        line = line[:-1]
    return f"{line.rstrip()}…"
