"""Inter for pages that must read alike without a network."""

from __future__ import annotations

import base64
from functools import lru_cache
from pathlib import Path

__all__ = ["LATIN", "SIGNS", "font_data", "font_file"]

LATIN = (range(0x20, 0x7F), range(0xA0, 0x180))
SIGNS = "–—‘’“”…·±×≤≥→←▲▼✓✗½≠"  # noqa: RUF001 (the dashes and quotes are meant)


def font_file() -> Path:
    """Return where the cut font lies; ``docs/cut_font.py`` makes it."""
    return Path(__file__).with_name("inter-latin.woff")


@lru_cache(maxsize=1)
def font_data() -> str:
    """Return Inter's Latin letters and signs at weights 400 to 700, as base64 WOFF."""
    return base64.b64encode(font_file().read_bytes()).decode("ascii")
