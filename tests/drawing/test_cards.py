from __future__ import annotations

import numpy as np
import pytest

from gradecut.drawing import DARK, LIGHT, Words, caption_shapes, paint, title_card

LONG = "Owed overlap D. Filled A: eyes. Bow spills the kick-out, so be the next man outside. " * 3


@pytest.mark.parametrize("size", [(1280, 720), (640, 360), (720, 1280)])
def test_a_caption_stands_at_the_bottom_and_fits(size: tuple[int, int]) -> None:
    """However long the sentence, it stays in the lowest third, within the picture."""
    picture = np.full((size[1], size[0], 3), 90, np.uint8)
    shapes = caption_shapes(LONG, size)
    paint(picture, shapes)
    rows = np.flatnonzero((picture != 90).any(axis=(1, 2)))
    assert rows.min() > size[1] * 2 / 3
    assert rows.max() == size[1] - 1
    assert (picture[:, -4:][rows.min() + 2 :] < 90).all()
    assert len([shape for shape in shapes if isinstance(shape, Words)]) == 3


def test_no_caption_no_band() -> None:
    """Without words nothing covers the film."""
    assert caption_shapes("  ", (1280, 720)) == ()


@pytest.mark.parametrize("palette", [DARK, LIGHT], ids=["dark", "light"])
def test_a_title_card_is_quiet(palette: type[DARK]) -> None:  # type: ignore[valid-type]
    """A card is nearly all ground, with its words well inside."""
    card = title_card("Keel 52 · power right", ["Right fits, zone to him"], (640, 360), palette)
    assert card.shape == (360, 640, 3)
    ground = np.array(palette.ground[:3])  # type: ignore[attr-defined]
    used = np.abs(card.astype(int) - ground).max(axis=2) > 12
    assert 0.005 < used.mean() < 0.12
    ys, xs = np.nonzero(used)
    assert xs.min() > 40
    assert xs.max() < 600
    assert 90 < ys.min() < ys.max() < 270


def test_a_long_title_is_broken_and_stays_inside() -> None:
    """Even a coach's whole question fits on a card."""
    card = title_card(LONG, [LONG, "", LONG], (640, 360))
    used = np.abs(card.astype(int) - DARK.ground[:3]).max(axis=2) > 12
    assert not used[:, :40].any()
    assert not used[:, -40:].any()
    assert not used[:10].any()
    assert not used[-10:].any()
