from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from gradecut.app.film_tone import AS_FILMED, MOST_STEPS, Tone, toned

steps = st.integers(-MOST_STEPS, MOST_STEPS)


@given(steps, steps)
def test_no_tone_turns_light_into_dark(brightness: int, contrast: int) -> None:
    """Whatever is brighter on film is never darker on screen."""
    table = Tone(brightness=brightness, contrast=contrast).table.astype(int)
    assert (np.diff(table) >= 0).all()


@given(st.integers(-MOST_STEPS, MOST_STEPS - 1))
def test_each_step_is_brighter_and_keeps_black_and_white(brightness: int) -> None:
    """A step opens the shadows; a lamp is no brighter than it was, black stays black."""
    here, next_up = (Tone(brightness=one).table.astype(int) for one in (brightness, brightness + 1))
    assert (next_up >= here).all()
    assert next_up[40] > here[40]
    assert (here[0], here[255]) == (0, 255)


@given(st.integers(-MOST_STEPS, MOST_STEPS - 1))
def test_each_step_of_contrast_parts_light_from_dark(contrast: int) -> None:
    """What lies below the middle gets darker, what lies above it lighter."""
    here, next_up = (Tone(contrast=one).table.astype(int) for one in (contrast, contrast + 1))
    assert (next_up[:128] <= here[:128]).all()
    assert (next_up[128:] >= here[128:]).all()


def test_as_filmed_is_the_film_itself() -> None:
    """No step leaves every level where it is, and costs no copy."""
    pixels = np.arange(48, dtype=np.uint8).reshape(4, 4, 3)
    assert (AS_FILMED.table == np.arange(256)).all()
    assert toned(pixels, AS_FILMED) is pixels


def test_a_toned_picture_is_a_copy() -> None:
    """The film's picture is shown and written elsewhere too: it stays as it was."""
    pixels = np.arange(48, dtype=np.uint8).reshape(4, 4, 3)
    pixels.flags.writeable = False
    shown = toned(pixels, Tone(brightness=2))
    assert (pixels == np.arange(48).reshape(4, 4, 3)).all()
    assert (shown >= pixels).all()
    assert shown.max() > pixels.max()


def test_steps_end_where_the_film_is_still_seen() -> None:
    """More than the most steps are not taken."""
    tone = AS_FILMED
    for _ in range(2 * MOST_STEPS):
        tone = tone.brighter(1).harder(-1)
    assert (tone.brightness, tone.contrast) == (MOST_STEPS, -MOST_STEPS)


@pytest.mark.parametrize(
    ("tone", "words"),
    [
        (AS_FILMED, ""),
        (Tone(brightness=2), "brightness +2"),
        (Tone(brightness=-1, contrast=3), "brightness −1, contrast +3"),
    ],
)
def test_a_tone_is_told_in_steps(tone: Tone, words: str) -> None:
    """What is not as filmed is said; as filmed there is nothing to say."""
    assert tone.words == words
