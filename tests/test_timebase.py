from __future__ import annotations

import json
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from gradecut.timebase import (
    Frame,
    Pts,
    cue_time,
    frame_showing,
    label_of,
    nearest_frame,
    nominal_rate,
    number_of,
    pts_at,
    time_at,
)

NTSC = Fraction(30000, 1001)
NTSC_TWICE = Fraction(60000, 1001)
A_DAY = 24 * 3600

# Each value carries its own source; they were checked with OpenTimelineIO 0.18.1.
CHECKS: list[dict[str, Any]] = json.loads(
    (Path(__file__).parent / "data" / "time_labels.json").read_text(encoding="utf-8")
)
BY_ID = {check["id"]: check for check in CHECKS}


def checks_of(*starts: str) -> list[Any]:
    """Return the frozen checks whose ids begin so, as named test cases."""
    return [
        pytest.param(check, id=check["id"]) for check in CHECKS if check["id"].startswith(starts)
    ]


@pytest.mark.parametrize("check", checks_of("B.df2997.", "B.df5994."))
def test_dropping_labels_are_the_frozen_ones(check: dict[str, Any]) -> None:
    """Drop-frame labels equal the reference's, there and back."""
    rate = Fraction(check["inputs"]["rate"])
    frame = Frame(check["inputs"]["frame"])
    assert label_of(frame, rate, drop=True) == check["expected"]
    assert number_of(check["expected"], rate) == frame


@pytest.mark.parametrize("check", checks_of("B.ndf2997."))
def test_plain_labels_are_the_frozen_ones(check: dict[str, Any]) -> None:
    """Labels that don't drop equal the reference's, there and back."""
    frame = Frame(check["inputs"]["frame"])
    assert label_of(frame, NTSC, drop=False) == check["expected"]
    assert number_of(check["expected"], NTSC) == frame


def test_labels_count_the_frames_they_should() -> None:
    """Ten minutes, an hour and a day of drop-frame labels hold the reference's frames."""
    assert number_of("00:10:00;00", NTSC) == BY_ID["B.frames_10min_2997"]["expected"]
    assert number_of("01:00:00;00", NTSC) == BY_ID["B.frames_hour_2997"]["expected"]
    assert number_of("23:59:59;29", NTSC) + 1 == BY_ID["B.frames_day_2997"]["expected"]


def test_dropping_keeps_to_the_clock() -> None:
    """A day of drop-frame labels is 0.0864 s short; an hour of plain ones 3.6 s long."""
    day_s = (number_of("23:59:59;29", NTSC) + 1) / NTSC
    hour_s = number_of("01:00:00:00", NTSC) / NTSC
    assert float(day_s) == pytest.approx(BY_ID["B.df_residual_day_s"]["expected"], abs=1e-9)
    assert float(hour_s) == pytest.approx(BY_ID["B.ndf_hour_real_s"]["expected"], abs=1e-9)


def test_labels_that_do_not_exist_are_refused() -> None:
    """A label that dropping skips is refused; its neighbours are read."""
    check = BY_ID["B.invalid_labels"]
    for label, exists in check["expected"].items():
        if exists:
            assert label_of(number_of(label, NTSC), NTSC, drop=True) == label
        else:
            with pytest.raises(ValueError, match="does not exist"):
                number_of(label, NTSC)


def test_cue_times_are_the_frozen_ones() -> None:
    """WebVTT times equal the reference's."""
    check = BY_ID["F.vtt.time"]
    found = [cue_time(frame / NTSC) for frame in check["inputs"]["frames"]]
    assert found == check["expected"]


def test_labels_agree_with_opentimelineio() -> None:
    """Across a day, labels equal those of OpenTimelineIO where it can be imported.

    It has no build for the newest Pythons; there the frozen values above stand alone.
    """
    try:
        import opentimelineio as otio
    except ModuleNotFoundError:
        assert len(checks_of("B.df")) > 15
        return
    for rate, count in ((NTSC, 30), (NTSC_TWICE, 60)):
        minutes = range(0, 24 * 60, 7)
        frames = {minute * 60 * count + off for minute in minutes for off in (-61, -1, 0, 1, 59)}
        for frame in sorted(number for number in frames if 0 <= number < A_DAY * float(rate)):
            time = otio.opentime.RationalTime(frame, float(rate))
            told = otio.opentime.to_timecode(time, float(rate), drop_frame=True)
            assert label_of(Frame(frame), rate, drop=True) == told
            plain = otio.opentime.to_timecode(time, float(rate), drop_frame=False)
            assert label_of(Frame(frame), rate, drop=False) == plain


@given(
    frame=st.integers(0, 10**7),
    rate=st.sampled_from([NTSC, NTSC_TWICE]),
    drop=st.booleans(),
)
def test_a_label_leads_back_to_its_frame(frame: int, rate: Fraction, drop: bool) -> None:
    """Writing a label and reading it gives the frame again, dropping or not."""
    assert number_of(label_of(Frame(frame), rate, drop=drop), rate) == frame


@given(
    frame=st.integers(0, 10**7),
    rate=st.sampled_from([Fraction(24), Fraction(25), Fraction(30), Fraction(24000, 1001)]),
)
def test_plain_labels_work_at_any_rate(frame: int, rate: Fraction) -> None:
    """Labels that don't drop exist at every rate and lead back."""
    assert number_of(label_of(Frame(frame), rate, drop=False), rate) == frame


@given(frame=st.integers(0, 10**6))
def test_labels_rise_with_frames(frame: int) -> None:
    """The next frame has a later label."""
    assert label_of(Frame(frame), NTSC, drop=True) < label_of(Frame(frame + 1), NTSC, drop=True)


@given(
    pts=st.integers(-(10**12), 10**12),
    base=st.sampled_from([Fraction(1, 90000), Fraction(1001, 30000), Fraction(1, 1000)]),
)
def test_a_timestamp_survives_becoming_a_time(pts: int, base: Fraction) -> None:
    """A timestamp turned into seconds and back is itself."""
    assert pts_at(time_at(Pts(pts), base), base) == pts


@given(time_s=st.fractions(-1000, 1000, max_denominator=10**6))
def test_a_time_goes_to_the_nearest_tick(time_s: Fraction) -> None:
    """A time is never more than half a tick from its timestamp; halves go up."""
    base = Fraction(1, 600)
    off = time_at(pts_at(time_s, base), base) - time_s
    assert -base / 2 < off <= base / 2


times = st.lists(
    st.fractions(0, 100, max_denominator=1000), min_size=1, max_size=30, unique=True
).map(sorted)


@given(times_s=times, at_s=st.fractions(-5, 105, max_denominator=1000))
def test_the_frame_showing_has_begun_and_the_next_has_not(
    times_s: list[Fraction], at_s: Fraction
) -> None:
    """The frame on screen began at or before now and the next begins later."""
    shown = frame_showing(times_s, at_s)
    assert times_s[shown] <= at_s or shown == 0
    assert shown == len(times_s) - 1 or times_s[shown + 1] > at_s


@given(times_s=times, at_s=st.fractions(-5, 105, max_denominator=1000))
def test_no_frame_is_nearer_than_the_nearest(times_s: list[Fraction], at_s: Fraction) -> None:
    """The nearest frame is as near as any; of two, the earlier."""
    nearest = nearest_frame(times_s, at_s)
    distances = [abs(time_s - at_s) for time_s in times_s]
    assert distances.index(min(distances)) == nearest


@pytest.mark.parametrize(
    ("rate", "count"),
    [(NTSC, 30), (NTSC_TWICE, 60), (Fraction(24000, 1001), 24), (Fraction(25), 25)],
)
def test_labels_count_to_the_nominal_rate(rate: Fraction, count: int) -> None:
    """29.97 counts to 30 and so on."""
    assert nominal_rate(rate) == count


@pytest.mark.parametrize("label", ["", "1:2:3", "aa:00:00:00", "00:00:00:-1", "00:00:00:00:00"])
def test_what_is_no_label_is_refused(label: str) -> None:
    """Other text is told to be no label, with the form to write."""
    with pytest.raises(ValueError, match="HH:MM:SS:FF"):
        number_of(label, NTSC)


@pytest.mark.parametrize("label", ["00:60:00:00", "00:00:60:00", "00:00:00:30"])
def test_a_label_past_its_count_does_not_exist(label: str) -> None:
    """Minute 60, second 60 and frame 30 don't exist at 29.97."""
    with pytest.raises(ValueError, match="does not exist"):
        number_of(label, NTSC)


def test_dropping_exists_at_two_rates_only() -> None:
    """Dropping at 25 or 30 is refused, and so is a frame before the first."""
    for rate in (Fraction(25), Fraction(30), Fraction(24000, 1001)):
        with pytest.raises(ValueError, match=r"29\.97 and 59\.94"):
            label_of(Frame(1), rate, drop=True)
    with pytest.raises(ValueError, match="counts from 0"):
        label_of(Frame(-1), NTSC, drop=False)


def test_a_cue_before_the_film_is_refused() -> None:
    """A caption can't begin before the film."""
    with pytest.raises(ValueError, match="before the film"):
        cue_time(Fraction(-1, 1000))


@given(time_s=st.fractions(0, 10**5, max_denominator=10**5))
def test_a_cue_time_has_the_form_the_standard_wants(time_s: Fraction) -> None:
    """Two or more digits of hours, two of minutes and seconds below 60, three decimals."""
    hours, minutes, rest = cue_time(time_s).split(":")
    seconds, thousandths = rest.split(".")
    assert len(hours) >= 2
    assert len(minutes) == len(seconds) == 2
    assert len(thousandths) == 3
    assert int(minutes) < 60
    assert int(seconds) < 60
    back = int(hours) * 3600 + int(minutes) * 60 + int(seconds) + Fraction(int(thousandths), 1000)
    assert abs(back - time_s) <= Fraction(1, 2000)
