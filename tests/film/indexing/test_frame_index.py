from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from gradecut.film.indexing.frame_index import FrameIndex, Keys, StreamFacts
from gradecut.film.indexing.index_bytes import pack, unpack

FACTS = StreamFacts(
    stream=0,
    container="mov",
    codec="h264",
    pixel_format="yuv420p",
    coded_width_px=192,
    coded_height_px=108,
    width_px=192,
    height_px=108,
    quarter_turns=0,
    mirrored=False,
    matrix=1,
    full_range=False,
    interlaced=False,
    sound=False,
    video_streams=1,
    time_base=Fraction(1, 90000),
    declared_rate=None,
)
RATES = [Fraction(30000, 1001), Fraction(60000, 1001), Fraction(25), Fraction(60), Fraction(240)]


def index_of_times(ticks: list[int], tick_s: Fraction = FACTS.time_base) -> FrameIndex:
    """Make an index of frames that all stand alone."""
    pts = np.array(ticks, dtype=np.int64)
    places = np.arange(len(pts), dtype=np.int64)
    return FrameIndex(
        facts=replace(FACTS, time_base=tick_s),
        pts=pts,
        decode_at=places,
        keys=Keys(decode_at=places, pts=pts, dts=pts, pos=places * 100),
        last_ticks=1,
        counted=False,
        notes=("one", "two"),
        faults=("three",),
    )


rising = st.lists(st.integers(-(10**9), 10**9), min_size=1, max_size=40, unique=True).map(sorted)


@given(ticks=rising)
def test_an_index_survives_being_packed(ticks: list[int]) -> None:
    """What is packed comes back, and packs to the same bytes."""
    index = index_of_times(ticks)
    back = unpack(pack(index))
    assert pack(back) == pack(index)
    assert list(back.pts) == ticks
    assert back.facts == index.facts
    assert (back.notes, back.faults) == (("one", "two"), ("three",))


@given(ticks=rising, data=st.data())
def test_a_damaged_index_is_never_believed(ticks: list[int], data: st.DataObject) -> None:
    """One changed byte anywhere, or a missing end, is noticed."""
    packed = bytearray(pack(index_of_times(ticks)))
    at = data.draw(st.integers(0, len(packed) - 1))
    with pytest.raises(ValueError, match="frame index"):
        unpack(bytes(packed[:at]))
    packed[at] ^= data.draw(st.integers(1, 255))
    with pytest.raises(ValueError, match="frame index"):
        unpack(bytes(packed))


@given(
    rate=st.sampled_from(RATES),
    count=st.integers(20, 400),
    start=st.integers(0, 10**6),
    per_s=st.sampled_from([15360, 90000, 1_000_000]),
)
def test_a_rounded_beat_is_still_that_beat(
    rate: Fraction, count: int, start: int, per_s: int
) -> None:
    """Times rounded to any usual tick give the exact rate back."""
    ticks = [start + round(number * per_s / rate) for number in range(count)]
    assert index_of_times(ticks, Fraction(1, per_s)).rate == rate


@given(rate=st.sampled_from(RATES), count=st.integers(20, 400))
def test_milliseconds_confirm_the_rate_a_film_claims(rate: Fraction, count: int) -> None:
    """Milliseconds can't tell 30 from 29.97 in a short film; then what it claims decides."""
    index = index_of_times(
        [round(number * 1000 / rate) for number in range(count)], Fraction(1, 1000)
    )
    assert replace(index, facts=replace(index.facts, declared_rate=rate)).rate == rate


def test_a_film_that_alternates_by_a_tick_is_variable() -> None:
    """Where a beat is whole ticks, rounding excuses nothing."""
    ticks = [4 * number + (1 if number % 3 else 0) for number in range(30)]
    assert index_of_times(ticks, Fraction(1, 120)).rate is None


@given(
    rate=st.sampled_from(RATES),
    count=st.integers(20, 200),
    late=st.integers(5, 15),
    data=st.data(),
)
def test_one_late_frame_makes_a_rate_vary(
    rate: Fraction, count: int, late: int, data: st.DataObject
) -> None:
    """A single frame late by more than rounding makes the film a variable one."""
    ticks = [round(number * 90000 / rate) for number in range(count)]
    ticks[data.draw(st.integers(1, count - 2))] += late
    assert index_of_times(ticks).rate is None


def test_an_index_is_small() -> None:
    """A clip of eight seconds takes some hundred bytes, an hour at 60 a second little."""
    clip = index_of_times([1500 * number for number in range(480)])
    assert len(pack(clip)) < 700
    uneven = np.random.default_rng(2).integers(-40, 40, 216_000)
    hour = index_of_times(np.cumsum(1500 + uneven).tolist())
    # Not more than half a megabyte, even when no frame stands as long as the one before.
    assert len(pack(hour)) < 500_000
    assert (unpack(pack(hour)).pts == hour.pts).all()


def test_a_cut_off_end_and_damaged_frames_are_kept() -> None:
    """The flag and the numbers of damaged frames survive being packed."""
    index = replace(
        index_of_times([0, 5, 9]), cut_off=True, damaged=np.array([1, 2], dtype=np.int64)
    )
    back = unpack(pack(index))
    assert back.cut_off
    assert back.damaged.tolist() == [1, 2]


def test_a_checked_index_that_leads_astray_is_refused() -> None:
    """An index whose times don't rise is refused, though its checksum is right."""
    index = index_of_times([0, 5, 9])
    for wrong in (
        replace(index, pts=np.array([0, 9, 5], dtype=np.int64)),
        replace(index, decode_at=np.array([-1, 1, 2], dtype=np.int64)),
        replace(index, decode_at=np.array([0, 1, 10**12], dtype=np.int64)),
    ):
        with pytest.raises(ValueError, match="frame index"):
            unpack(pack(wrong))
