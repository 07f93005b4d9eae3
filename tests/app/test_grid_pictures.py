from __future__ import annotations

from gradecut.app.grid_pictures import PICTURE_PX, GridPictures
from gradecut.app.theme import Dress
from gradecut.scheme import Value

POWER: dict[str, Value] = {"surface.right": 4, "concept": "power", "run": "right"}


def test_a_look_is_drawn_in_its_size_whatever_the_screen(dress: Dress) -> None:
    """The picture fills the same room of the row, sharper where pixels are finer."""
    pictures = GridPictures(dress)
    for ratio in (1.0, 2.0):
        image = pictures.picture(POWER, ratio)
        assert (image.width(), image.height()) == tuple(round(one * ratio) for one in PICTURE_PX)
        assert image.devicePixelRatio() == ratio


def test_another_look_is_another_picture_and_the_same_is_kept(dress: Dress) -> None:
    """What was painted once is not painted again; a run away is drawn to the other side."""
    pictures = GridPictures(dress)
    to_him = pictures.picture(POWER, 1.0)
    assert pictures.picture(dict(POWER), 1.0) is to_him
    assert pictures.picture({**POWER, "run": "left"}, 1.0) != to_him


def test_the_whole_offence_is_seen(dress: Dress) -> None:
    """The outermost of four blockers on a side stands inside the picture, not cut by its edge."""
    image = GridPictures(dress).picture({"surface.right": 4, "surface.left": 4}, 1.0)
    below_line = range(14, image.height())
    for edge in (0, image.width() - 1):
        assert not any(image.pixelColor(edge, y).alpha() for y in below_line)
