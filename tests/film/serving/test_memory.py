from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from gradecut.film import open_film
from gradecut.film.decoding.picture import PictureMaker
from gradecut.film.serving import memory
from gradecut.film.serving.memory import Freed, copied, look_the_same, return_memory


@pytest.mark.parametrize("name", ["closed", "ten_bit", "odd_444", "mjpeg_avi"])
def test_a_copy_holds_the_same_samples(shelf: dict[str, Path], name: str) -> None:
    """Copied out of the decoder's memory, every sample and the colour tags are the same."""
    with open_film(shelf[name]) as film:
        picture = film.native(7)
        copy = copied(picture)
        assert copy.pts == picture.pts
        assert (copy.colorspace, copy.color_range) == (picture.colorspace, picture.color_range)
        assert np.array_equal(copy.to_ndarray(), picture.to_ndarray())


def test_another_picture_does_not_look_the_same(shelf: dict[str, Path]) -> None:
    """A copy passes for its picture only when it is displayed alike."""
    with open_film(shelf["closed"]) as film:
        maker = PictureMaker(film.index.facts)
        picture = film.native(7)
        assert look_the_same(maker, picture, copied(picture))
        assert not look_the_same(maker, picture, copied(film.native(8)))


def test_giving_memory_back_harms_nothing(shelf: dict[str, Path]) -> None:
    """Pictures in use stay what they are."""
    with open_film(shelf["closed"]) as film:
        before = film.frame(3)
        return_memory()
        assert np.array_equal(before, film.frame(3))


def test_memory_is_given_back_at_rest_and_while_a_key_is_held_only_when_much(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Nothing let go of, nothing is done; a little waits for the key to be lifted, much doesn't."""
    given: list[str] = []
    monkeypatch.setattr(memory, "return_memory", lambda: given.append("back"))
    freed = Freed()
    freed.give_back(at_rest=True)
    freed.count(12_000_000)
    freed.give_back(at_rest=False)
    assert given == []
    freed.give_back(at_rest=True)
    freed.give_back(at_rest=True)
    assert given == ["back"]
    for _ in range(12):
        freed.count(12_000_000)
    freed.give_back(at_rest=False)
    freed.give_back(at_rest=False)
    assert given == ["back", "back"]
