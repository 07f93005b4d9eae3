from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from gradecut.grading import reaction, reaction_interval_ms, reaction_note, reaction_sd_ms
from gradecut.records import Reaction
from gradecut.timebase import Frame
from tests.grading.published import PUBLISHED

SLOW, FAST = Fraction(1001, 30000), Fraction(1001, 60000)


def counted(frames: int, frame_s: Fraction) -> Reaction:
    """Count a reaction on film of an even rate, from frame 90."""
    return reaction(Frame(90), Frame(90 + frames), 90 * frame_s, (90 + frames) * frame_s, frame_s)


def test_frames_and_milliseconds() -> None:
    """Six frames of 29.97 film are 200.2 ms, known to 33.4 ms either way."""
    six = counted(6, SLOW)
    assert six.frames == 6
    assert six.time_ms == pytest.approx(200.2)
    assert reaction_interval_ms(six) == pytest.approx((5 * 1001 / 30, 7 * 1001 / 30))


def test_time_follows_the_film_where_its_rate_varies() -> None:
    """On variable film the frames' own times count, not the number of frames."""
    told = reaction(Frame(10), Frame(14), Fraction(1, 3), Fraction(1, 2), Fraction(1, 25))
    assert (told.frames, told.frame_ms) == (4, 40.0)
    assert told.time_ms == pytest.approx(1000 / 6)


@pytest.mark.parametrize("row", PUBLISHED["frames"]["rows"])
def test_scatter_by_frames_alone(row: tuple[str, float, float]) -> None:
    """Frame length and scatter equal the closed form's table (source in published.json)."""
    rate, frame_ms, sd_ms = row
    length = float(1000 / Fraction(rate))
    assert length == pytest.approx(frame_ms, abs=6e-5)
    assert reaction_sd_ms(length) == pytest.approx(sd_ms, abs=6e-5)


@pytest.mark.parametrize(
    ("frame_s", "surely", "perhaps"), [(SLOW, 1, 3), (FAST, 4, 6)], ids=["29.97", "59.94"]
)
def test_too_early_to_be_an_answer(frame_s: Fraction, surely: int, perhaps: int) -> None:
    """Counts below 0.100 s (World Athletics C2.1, 16.6) are remarked on, and only those.

    At 29.97 frames a second 1 frame surely lies below it, 2 and 3 perhaps; at 59.94 4, and 5
    and 6 (whole counts whose range of one frame either way lies below, or reaches below).
    """
    for frames in range(-3, 12):
        note = reaction_note(counted(frames, frame_s))
        if frames <= surely:
            assert note == "moved with or before the snap (guess, or a wrong snap mark)"
        elif frames <= perhaps:
            assert note is not None
            assert "the frames can't tell" in note
        else:
            assert note is None


@settings(deadline=None)
@given(st.integers(-60, 300), st.sampled_from([SLOW, FAST, Fraction(1, 25), Fraction(1, 240)]))
def test_range_is_one_frame_either_way(frames: int, frame_s: Fraction) -> None:
    """A count of n frames means between n - 1 and n + 1 of them."""
    low, high = reaction_interval_ms(counted(frames, frame_s))
    assert low == pytest.approx(float(1000 * (frames - 1) * frame_s), abs=1e-9)
    assert high == pytest.approx(float(1000 * (frames + 1) * frame_s), abs=1e-9)


def test_refuses_two_films() -> None:
    """Frames that go forward while the time goes back are of two films."""
    with pytest.raises(ValueError, match="same film"):
        reaction(Frame(5), Frame(9), Fraction(2), Fraction(1), SLOW)
    with pytest.raises(ValueError, match="longer than nothing"):
        reaction(Frame(5), Frame(9), Fraction(1), Fraction(2), Fraction(0))
