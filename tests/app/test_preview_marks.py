"""The Teach preview shows a mark that goes along where the rendered reel shows it."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import numpy as np
import pytest
from PyQt6.QtGui import QImage

from gradecut.app.preview_stage import PreviewStage
from gradecut.app.theme import Dress
from gradecut.desk.preview import Preview
from gradecut.drawing import MARK_COLOURS
from gradecut.reels import render
from tests.desk.small_book import Posted
from tests.reels.conftest import films as numbered
from tests.reels.numbered_film import SIZE_PX, read_with_opencv
from tests.reels.test_keyed_marks import KEYED, plan_of, yellow_at

__all__ = ["numbered"]


@pytest.fixture
def posted() -> Posted:
    """Stand in for the window's loop."""
    return Posted()


@pytest.fixture
def stage(dress: Dress, posted: Posted) -> Iterator[PreviewStage]:
    """Show a preview as large as the reel."""
    preview = Preview(posted, lambda _: None)
    shown = PreviewStage(preview, dress)
    shown.resize(SIZE_PX[0], SIZE_PX[1] + 20)
    shown.show()
    yield shown
    preview.close()
    shown.close()
    shown.deleteLater()


def yellow_seen(stage: PreviewStage) -> tuple[float, float]:
    """Return the middle of all that is yellow in the preview, in the reel's pixels."""
    image = stage.grab().toImage().convertToFormat(QImage.Format.Format_RGB888)
    bits = image.constBits()
    assert bits is not None
    rows = np.frombuffer(bytes(bits.asarray(image.sizeInBytes())), np.uint8)
    wide = rows.reshape(image.height(), image.bytesPerLine())[:, : 3 * image.width()]
    pixels = wide.reshape(image.height(), image.width(), 3)[: SIZE_PX[1]]
    there = np.abs(pixels[40:].astype(int) - MARK_COLOURS["yellow"][:3]).max(axis=2) < 60
    ys, xs = np.nonzero(there)
    assert len(xs) > 8
    return float(xs.mean()), float(ys.mean()) + 40


def test_preview_and_rendered_reel_show_it_at_the_same_places(
    stage: PreviewStage, numbered: dict[str, Path], tmp_path: Path, posted: Posted
) -> None:
    """At its first key, under way, and at its last: to within two pixels of the film's."""
    plan = plan_of(numbered["thirty"])
    frames = read_with_opencv(render(plan, tmp_path / "reel.mp4", quality=12))
    preview = stage._preview
    preview.load(plan)
    run = next(step for step in plan.steps if step.mark_ids)
    for film_frame in (KEYED[0], KEYED[0] + 7, KEYED[1]):
        at = run.first_frame + run.film_frames.index(film_frame)
        preview.frame = None
        preview.go(at)
        posted.until(lambda: preview.frame is not None)
        assert yellow_seen(stage) == pytest.approx(yellow_at(frames[at]), abs=2)
