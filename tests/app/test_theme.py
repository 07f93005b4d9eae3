from __future__ import annotations

import pytest
from PyQt6.QtGui import QFontInfo, QFontMetricsF

from gradecut.app.theme import DARK_THEME, LIGHT_THEME, Dress, Theme, font
from gradecut.drawing import contrast


@pytest.mark.parametrize("theme", [DARK_THEME, LIGHT_THEME], ids=lambda theme: theme.name)
def test_text_keeps_its_contrast(theme: Theme) -> None:
    """Text is at least 4.5:1 on every ground it stands on (WCAG 2.2, 1.4.3)."""
    grounds = {"page": theme.ground, "field": theme.raised}
    inks = {"ink": theme.ink, "quiet": theme.quiet, "accent": theme.accent, "warn": theme.warn}
    poor = {
        (ink, ground): round(contrast(colour, below), 2)
        for ink, colour in inks.items()
        for ground, below in grounds.items()
        if contrast(colour, below) < 4.5
    }
    assert poor == {}
    assert contrast(theme.ink, theme.pressed) >= 4.5
    assert contrast(theme.quiet, theme.pressed) >= 4.5
    assert contrast(theme.on_accent, theme.accent) >= 4.5


@pytest.mark.usefixtures("dress")
def test_type_is_inter_with_numbers_that_line_up() -> None:
    """Inter is loaded from its package, and every digit is as wide as the next."""
    assert QFontInfo(font()).family() == "Inter"
    metrics = QFontMetricsF(font("body"))
    assert len({round(metrics.horizontalAdvance(digit), 3) for digit in "0123456789"}) == 1
    light, bold = (QFontMetricsF(font("body", weight)) for weight in (400, 600))
    assert bold.horizontalAdvance("Keel owes") > light.horizontalAdvance("Keel owes")


def test_a_dress_tells_when_it_changes(qapp: object, dress: Dress) -> None:
    """Whoever keeps pictures is told that the theme has changed."""
    told: list[str] = []
    dress.changed.connect(lambda: told.append(dress.theme.name))
    dress.put_on(LIGHT_THEME, qapp)  # type: ignore[arg-type]
    dress.put_on(DARK_THEME, qapp)  # type: ignore[arg-type]
    assert told == ["light", "dark"]
