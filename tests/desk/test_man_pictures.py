from __future__ import annotations

import numpy as np
import pytest

from gradecut.desk.man_pictures import cut_to_man, shown_best
from gradecut.records import Mark
from gradecut.timebase import Pts


def mark(kind: str, *points: tuple[float, float], at: int = 10, angle: str = "end") -> Mark:
    """Draw a mark on one frame."""
    return Mark(
        angle_id=angle, kind=kind, points=points, from_pts=Pts(at), to_pts=Pts(at),  # type: ignore[arg-type]
    )  # fmt: skip


def test_the_frame_that_shows_most_is_taken() -> None:
    """Ring and arrow at the fit say more than a bracket at the snap, or one on another angle."""
    ring, arrow = mark("ring", (5, 5), at=30), mark("arrow", (1, 1), (9, 9), at=30)
    found = shown_best([mark("bracket", (5, 5)), ring, mark("ring", (2, 2), angle="side"), arrow])
    assert found == ("end", Pts(30), (ring, arrow))


@pytest.mark.parametrize("middle", [(640.0, 360.0), (5.0, 5.0), (1275.0, 715.0)])
def test_the_man_is_cut_out_wherever_he_stands(middle: tuple[float, float]) -> None:
    """The cut is 16 to 9, far smaller than the film, and holds what is drawn at him."""
    field = np.full((720, 1280, 3), 90, np.uint8)
    x, y = round(middle[0]), round(middle[1])
    field[max(y - 2, 0) : y + 3, max(x - 2, 0) : x + 3] = (255, 0, 0)
    cut = cut_to_man(field, [mark("text", middle)], right=None)
    high, wide = cut.shape[:2]
    assert wide < 1280 / 3
    assert wide / high == pytest.approx(16 / 9, abs=0.02)
    assert (cut == (255, 0, 0)).all(axis=2).any()


def test_a_miss_far_from_its_gap_is_shown_from_end_to_end() -> None:
    """Man and gap are both on the picture, however far apart, and the frame is left alone."""
    field = np.full((720, 1280, 3), 90, np.uint8)
    kept = field.copy()
    way = mark("arrow", (100.0, 300.0), (1180.0, 340.0))
    cut = cut_to_man(field, [way, mark("ring", (1180.0, 340.0))], right=False)
    assert cut.shape[1] >= 1080
    assert (cut != 90).any()
    assert (field == kept).all()
