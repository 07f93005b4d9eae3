from __future__ import annotations

import pytest

from gradecut.reports.palette import ALERT, BLUE, INK, PAPER, QUIET, contrast

WHITE = "#FFFFFF"


@pytest.mark.parametrize(
    ("colour", "ratio"),
    [
        ("#000000", 21.0), ("#0072B2", 5.185), ("#D55E00", 3.867), ("#009E73", 3.421),
        ("#CC79A7", 3.061), ("#56B4E9", 2.307), ("#E69F00", 2.252), ("#F0E442", 1.322),
        ("#767676", 4.542), ("#777777", 4.478),
    ],
)  # fmt: skip
def test_contrast_on_white(colour: str, ratio: float) -> None:
    """Ratios follow WCAG 2.2's relative luminance; hues of Okabe and Ito, values computed with
    wcag-contrast-ratio 0.9."""  # noqa: D205, D209 (source and promise are one sentence)
    assert contrast(colour, WHITE) == pytest.approx(ratio, abs=6e-4)
    assert contrast(WHITE, colour) == contrast(colour, WHITE)


def test_our_text_can_be_read() -> None:
    """Text holds 4.5:1 (WCAG 2.2, 1.4.3), marks and lines 3:1 (1.4.11)."""
    assert all(contrast(text, PAPER) >= 4.5 for text in (INK, QUIET, BLUE))
    assert contrast(ALERT, PAPER) >= 3
