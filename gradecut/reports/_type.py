"""Inter for pages that must read alike without a network."""

from __future__ import annotations

import base64
from functools import lru_cache
from io import BytesIO
from pathlib import Path

__all__ = ["font_data"]

_LATIN = (range(0x20, 0x7F), range(0xA0, 0x180))
_SIGNS = "–—‘’“”…·±×≤≥→←▲▼✓✗½"  # noqa: RUF001 (the dashes and quotes are meant)


@lru_cache(maxsize=1)
def font_data() -> str:
    """Return Inter's Latin letters at weights 400 to 700, as base64 WOFF of some 45 KB.

    The whole font would add over a megabyte to each page. Cutting it down takes about two
    seconds, once a process.
    """
    import fontpkg_inter
    from fontTools import subset
    from fontTools.ttLib import TTFont
    from fontTools.varLib import instancer

    font = TTFont(Path(fontpkg_inter.ROOT) / "files" / "Inter[opsz,wght].ttf")
    options = subset.Options(layout_features=["kern", "tnum", "ccmp"], hinting=False)
    cut = subset.Subsetter(options)
    cut.populate(unicodes=[code for part in _LATIN for code in part], text=_SIGNS)
    cut.subset(font)
    font = instancer.instantiateVariableFont(font, {"opsz": 14, "wght": (400, 700)})
    font.flavor = "woff"
    written = BytesIO()
    font.save(written)
    return base64.b64encode(written.getvalue()).decode("ascii")
