"""Cut Inter down to the letters that pages need, once; the pages carry the result.

    python docs/cut_font.py

The whole font would add over a megabyte to each page, and cutting it takes two seconds that
nobody should wait for. Inter is under the SIL Open Font License 1.1, without reserved names.
"""

from __future__ import annotations

from pathlib import Path

import fontpkg_inter
from fontTools import subset
from fontTools.ttLib import TTFont
from fontTools.varLib import instancer

from gradecut.reports.type_face import LATIN, SIGNS, font_file

__all__ = ["cut_font"]


def cut_font(goal: Path) -> None:
    """Write Inter's Latin letters and signs at weights 400 to 700, as WOFF."""
    font = TTFont(Path(fontpkg_inter.ROOT) / "files" / "Inter[opsz,wght].ttf")
    options = subset.Options(
        layout_features=["kern", "tnum", "ccmp"], hinting=False, name_IDs=["*"]
    )
    cut = subset.Subsetter(options)
    cut.populate(unicodes=[code for part in LATIN for code in part], text=SIGNS)
    cut.subset(font)
    font = instancer.instantiateVariableFont(font, {"opsz": 14, "wght": (400, 700)})
    font.flavor = "woff"
    font.save(goal)


if __name__ == "__main__":
    cut_font(font_file())
