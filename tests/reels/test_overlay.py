"""Marks laid on luma and colour look as if they had been painted on the picture itself."""

from __future__ import annotations

import cv2
import numpy as np
from numpy.typing import NDArray

from gradecut.drawing import caption_shapes, lay_over, mark_shapes, paint
from gradecut.film import Bt709Maker
from gradecut.records.marks import Mark
from gradecut.reels.overlay import Overlay
from gradecut.timebase import Pts

SIZE_PX = (320, 180)


def painted_layer() -> NDArray[np.uint8]:
    """Paint a ring and a caption on nothing."""
    layer = np.zeros((SIZE_PX[1], SIZE_PX[0], 4), np.uint8)
    ring = Mark(
        angle_id="end", kind="ring", points=((201, 77),), from_pts=Pts(0), to_pts=Pts(0),
        meaning="owed",
    )  # fmt: skip
    paint(layer, mark_shapes(ring, size_px=SIZE_PX))
    paint(layer, caption_shapes("Owed fill A.", SIZE_PX))
    return layer


def ground() -> NDArray[np.uint8]:
    """Draw a smooth picture with colours of all kinds."""
    coarse = np.random.default_rng(2).integers(0, 256, (6, 10, 3), dtype=np.uint8)
    return cv2.resize(coarse, SIZE_PX, interpolation=cv2.INTER_CUBIC).astype(np.uint8)


def test_it_looks_as_painted_on_the_picture() -> None:
    """To within a few steps what painting in RGB gives (the same law: both are linear)."""
    maker, layer, picture = Bt709Maker(), painted_layer(), ground()
    made = Overlay(layer).laid_on(maker.made(picture), maker)
    lay_over(picture, layer)
    wanted = maker.made(picture)
    ours, theirs = (
        one.reformat(format="rgb24", src_colorspace=1, dst_color_range=2).to_ndarray().astype(int)
        for one in (made, wanted)
    )
    assert np.abs(ours - theirs).mean() < 0.6
    assert np.percentile(np.abs(ours - theirs), 99) <= 4


def test_what_lies_under_no_mark_is_not_touched() -> None:
    """Away from the layer every stored value stays; the picture handed in stays as it is."""
    maker = Bt709Maker()
    picture = maker.made(ground())
    before = [bytes(plane) for plane in picture.planes]
    made = Overlay(painted_layer()).laid_on(picture, maker)
    assert [bytes(plane) for plane in picture.planes] == before
    luma = np.frombuffer(memoryview(made.planes[0]), np.uint8).reshape(-1, made.planes[0].line_size)
    old = np.frombuffer(before[0], np.uint8).reshape(-1, picture.planes[0].line_size)
    assert np.array_equal(luma[:40, :320], old[:40, :320])
    assert not np.array_equal(luma[:, :320], old[:, :320])


def test_nothing_to_lay_on_is_no_work() -> None:
    """Without a layer, or with an empty one, the very picture comes back."""
    maker = Bt709Maker()
    picture = maker.made(ground())
    assert Overlay().laid_on(picture, maker) is picture
    assert Overlay(np.zeros((180, 320, 4), np.uint8)).laid_on(picture, maker) is picture
