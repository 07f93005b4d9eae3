"""Pages carry a cut of Inter that has every letter and sign they set."""

from __future__ import annotations

import base64
from io import BytesIO

from fontTools.ttLib import TTFont

from gradecut.reports.type_face import LATIN, SIGNS, font_data


def test_the_cut_font_has_what_pages_set() -> None:
    """Letters of Western and Central Europe, the signs of grades, and weights 400 to 700."""
    font = TTFont(BytesIO(base64.b64decode(font_data())))
    letters = set(font.getBestCmap())
    names = "Łukasz Ångström Núñez Dvořák"
    wanted = {ord(letter) for letter in (*SIGNS, *names)} | {
        code for part in LATIN for code in part
    }
    assert {chr(code) for code in wanted - letters} <= {
        "\u00ad",
        "\u0149",
    }  # no page sets a soft hyphen or the old n
    weights = next(axis for axis in font["fvar"].axes if axis.axisTag == "wght")
    assert (weights.minValue, weights.maxValue) == (400, 700)
    assert len(font_data()) < 60_000


def test_the_font_may_be_passed_on() -> None:
    """The cut keeps Inter's name and its licence's words (SIL Open Font License 1.1)."""
    font = TTFont(BytesIO(base64.b64decode(font_data())))
    names = font["name"]
    assert "Inter" in str(names.getDebugName(1))
    assert "Open Font License" in str(names.getDebugName(13))
