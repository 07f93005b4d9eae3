"""Whether a film's packets keep their word, by the times of the pictures that come out."""

from __future__ import annotations

from pathlib import Path

import av
import pytest

from gradecut.film.indexing.first_look import FirstLook
from tests.film.indexing.test_frame_index import index_of_times
from tests.film.torture import Making, make_film

PROMISED = [3000 * number for number in range(20)]


@pytest.fixture
def look(tmp_path: Path) -> FirstLook:
    """Return a look at a film that has not been decoded yet."""
    path = make_film(tmp_path / "film.mp4", Making(count=3))
    with av.open(str(path)) as film:
        return FirstLook(film.streams.video[0])


@pytest.mark.parametrize(
    ("times", "kept"),
    [
        (PROMISED[:6], True),
        ([-6000, -3000, 0, 3000, 6000], True),  # Hidden by an edit list.
        (PROMISED[2:6], True),  # The decoder needs some pictures to recover.
        (PROMISED[:8:2], False),  # Two fields, each a packet, make one picture.
        ([0, 9000, 3000, 6000], False),  # Times of packets, on pictures in another order.
        ([0, 3000, None, 9000], False),
        ([0, 1500, 3000], False),
        ([0, 3000, 10**9], False),
    ],
)
def test_pictures_are_held_to_what_packets_promise(
    look: FirstLook, times: list[int | None], kept: bool
) -> None:
    """Pictures in a row at promised times keep the word; every other order breaks it."""
    look.times = times
    assert look.keeps_word(index_of_times(PROMISED)) is kept
