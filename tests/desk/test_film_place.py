from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from hypothesis import given
from hypothesis import strategies as st

from gradecut.desk.film_place import FilmPlace, same_time
from gradecut.timebase import Frame, Pts
from tests.desk.test_playing import place

RATES = (Fraction(24000, 1001), Fraction(25), Fraction(30), Fraction(60000, 1001), Fraction(120))


def at_rate(rate: Fraction, scale: Fraction, offset_s: Fraction) -> FilmPlace:
    """Make a clip of a film at a rate, moved into the play's time."""
    made = place(400)
    film = replace(made.film, rate=rate, time_base=1 / rate)
    angle = replace(made.angle, id=str(rate), scale=scale, offset_s=offset_s)
    line = replace(made.timeline, angles=[angle], films={film.id: film})
    return replace(made, timeline=line, angle=angle)


@given(
    first=st.sampled_from(RATES), second=st.sampled_from(RATES), frame=st.integers(0, 300),
    drift_ppm=st.integers(-500, 500), offset_ms=st.integers(-900, 900),
)  # fmt: skip
def test_the_same_moment_is_met_to_half_a_frame(
    first: Fraction, second: Fraction, frame: int, drift_ppm: int, offset_ms: int
) -> None:
    """Between any two rates, clocks that drift included: half a frame of the film carried to."""
    here = at_rate(first, Fraction(1), Fraction(0))
    there = at_rate(second, 1 + Fraction(drift_ppm, 10**6), Fraction(offset_ms, 1000))
    there = replace(there, angle=replace(there.angle, id="other"))
    line = replace(
        here.timeline,
        angles=[here.angle, there.angle],
        films={**here.timeline.films, **there.timeline.films},
    )
    time_s = same_time(line, here.time_of(Frame(frame)), here.angle, there.angle)
    if drift_ppm == 0 and offset_ms == 0:
        assert time_s is None, "nobody has moved either"
        return
    assert time_s is not None
    if time_s >= 0:
        begins_s = there.time_of(there.nearest(time_s))
        assert abs(begins_s - time_s) <= 1 / second / 2


def test_frames_of_varying_length_are_met_by_their_own_times() -> None:
    """The nearest beginning counts, however long the frames last."""
    made = place(5, (0, 100, 150, 400, 450))
    assert [made.nearest(Fraction(ms, 1000)) for ms in (0, 49, 51, 274, 276, 449, 900)] == [
        0, 0, 1, 2, 3, 4, 4,
    ]  # fmt: skip


def test_a_frame_is_named_by_its_time_and_back() -> None:
    """Timestamp, time and frame are three names of one thing."""
    made = place(60)
    for frame in (0, 1, 17, 59):
        assert made.frame_at(made.pts(Frame(frame))) == frame
        assert made.frame_at_time(made.time_of(Frame(frame))) == frame
    assert made.frame_at(Pts(31)) == 31
    assert made.inside(400) == 59
