from __future__ import annotations

from dataclasses import replace

import pytest
from PyQt6.QtCore import QPointF
from PyQt6.QtGui import QColor, QImage, QPainter

from gradecut.app.board_cell import paint_cell
from gradecut.app.theme import DARK_THEME, as_qcolor
from gradecut.grading import wilson_interval
from gradecut.records import BoardCell, PartRate


def cell(right: int, wrong: int) -> BoardCell:
    """Make a cell of so many right and wrong fits."""
    n = right + wrong
    low, high = wilson_interval(right, n) if n else (None, None)
    rate = PartRate(n=n, rate=right / n if n else None, low=low, high=high, cannot=0)
    none = PartRate(n=0, rate=None, low=None, high=None, cannot=0)
    return BoardCell(
        right=right, half=0, wrong=wrong, passed=0, examined=n, cannot=0, open=0, not_owed=0,
        fit=rate, technique=none, effort=none, rep_ids=(), clip_ids=(),
    )  # fmt: skip


def painted(shown: BoardCell) -> QImage:
    """Paint a cell with a bar of 100 pixels from x = 10 on, its middle at y = 29."""
    image = QImage(130, 60, QImage.Format.Format_RGB32)
    image.fill(as_qcolor(DARK_THEME.ground))
    painter = QPainter(image)
    paint_cell(painter, shown, QPointF(10, 29), DARK_THEME, good=0.85, bar_px=100, in_words=False)
    painter.end()
    return image


def along_the_bar(image: QImage) -> list[QColor]:
    """Return the colours along the scale, one for each per cent; half a dot is beyond each end."""
    return [image.pixelColor(round(14.2 + percent * 0.916), 39) for percent in range(101)]


@pytest.mark.usefixtures("dress")
def test_the_dot_stands_at_the_rate_within_its_interval() -> None:
    """Eight of ten: the interval is drawn from end to end, 49 to 94 per cent, its dot at 80."""
    colours = along_the_bar(painted(cell(8, 2)))
    bluish = [at for at, colour in enumerate(colours) if colour.blue() > colour.red() + 60]
    assert 47 <= bluish[0] <= 50
    assert 93 <= bluish[-1] <= 97
    assert colours[80] == as_qcolor(DARK_THEME.drawn.owed)


@pytest.mark.usefixtures("dress")
def test_a_rate_that_lies_below_the_line_has_another_hue() -> None:
    """Two of ten lies wholly below 85 per cent: orange, and never where it may be luck."""
    assert along_the_bar(painted(cell(2, 8)))[20] == as_qcolor(DARK_THEME.drawn.did)
    assert along_the_bar(painted(cell(1, 1)))[50] == as_qcolor(DARK_THEME.drawn.owed)


@pytest.mark.usefixtures("dress")
def test_a_dot_never_leaves_its_track() -> None:
    """At 0 and at 100 per cent the whole dot lies on the bar."""
    ground = as_qcolor(DARK_THEME.ground)
    for shown in (cell(0, 2), cell(2, 0)):
        image = painted(shown)
        beyond = [*range(8), *range(112, 130)]
        assert {image.pixelColor(x, 39).rgb() for x in beyond} == {ground.rgb()}


@pytest.mark.usefixtures("dress")
def test_rates_end_and_counts_begin_at_one_place() -> None:
    """Whatever the rate, and with or without a sign, numbers line up down a column."""
    ends, starts = set(), set()
    for right, wrong in ((0, 2), (1, 1), (2, 8), (3, 0)):
        image = painted(cell(right, wrong))
        inked = [x for x in range(130) if _is_inked(image, x)]
        ends.add(max(x for x in inked if x < 10 + 47))
        starts.add(min(x for x in inked if x > 10 + 47))
    assert max(ends) - min(ends) <= 1
    assert max(starts) - min(starts) <= 2


@pytest.mark.usefixtures("dress")
@pytest.mark.parametrize(("right", "wrong"), [(8, 2), (2, 8), (10, 0)])
def test_at_speed_and_looked_at_closely_stand_apart(right: int, wrong: int) -> None:
    """Its count is told in two numbers, and they end before the next cell begins."""
    whole = cell(right, wrong)
    image, other = painted(replace(whole, passed=6, examined=4)), painted(whole)
    assert image != other
    ground = as_qcolor(DARK_THEME.ground)
    assert all(image.pixelColor(x, y) == ground for x in (124, 129) for y in range(34))


def _is_inked(image: QImage, x: int) -> bool:
    """Tell whether a column of the figures' line holds ink."""
    ground = as_qcolor(DARK_THEME.ground).lightness()
    return any(image.pixelColor(x, y).lightness() > ground + 60 for y in range(12, 27))


@pytest.mark.usefixtures("dress")
def test_a_cell_without_grades_draws_no_bar() -> None:
    """Where nothing was graded there is no rate to draw."""
    ground = as_qcolor(DARK_THEME.ground)
    assert set(map(QColor.rgb, along_the_bar(painted(cell(0, 0))))) == {ground.rgb()}
