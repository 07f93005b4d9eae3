from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from gradecut.desk import Desk
from gradecut.records import Clip, FilmFile
from tests.desk.small_book import Posted


def test_a_play_gives_its_frame_at_the_snap(desk: Desk, posted: Posted) -> None:
    """The picture is the frame of the snap, in the width asked for, and is kept."""
    clip = desk.book.find(Clip)[0]
    came: list[NDArray[np.uint8]] = []
    desk.pictures.ask(clip.id, came.append)
    posted.until(lambda: bool(came))
    assert came[0].shape == (180, 320, 3)
    bar = came[0][90, :, 0] > 150
    assert 60 <= int(np.flatnonzero(bar)[0]) <= 64
    desk.pictures.ask(clip.id, came.append)
    assert len(came) == 2


def test_a_film_that_is_gone_gives_no_picture(desk: Desk, posted: Posted) -> None:
    """Where no film is found the page stays without a picture, and others still come."""
    first, second = desk.book.find(Clip)[:2]
    with desk.book.act("lose a film") as act:
        act.drop_all(desk.book.find(FilmFile)[:1])
    came: list[str] = []
    desk.pictures.ask(first.id, lambda _: came.append("first"))
    desk.pictures.ask(second.id, lambda _: came.append("second"))
    posted.until(lambda: bool(came))
    assert came == ["second"]
