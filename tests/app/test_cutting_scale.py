"""Times of a recording have their places on the strip, there and back."""

from __future__ import annotations

import pytest

from gradecut.app.cutting_scale import CuttingScale, clock


@pytest.mark.parametrize(
    ("seconds", "told"), [(0, "0:00.0"), (83.45, "1:23.4"), (3723.4, "1:02:03"), (59.97, "1:00.0")]
)
def test_times_are_told_as_on_a_clock(seconds: float, told: str) -> None:
    """Tenths up to an hour, whole seconds from there."""
    assert clock(seconds) == told


def test_a_place_on_the_strip_is_the_time_shown_there() -> None:
    """There and back, also after moving along and looking closer; none beyond the edges."""
    scale = CuttingScale(width_px=1044).of_film(600.0)
    for shown in (scale, scale.beginning(200), scale.zoomed(0.5, 20.0)):
        middle_s = (shown.from_s + shown.to_s) / 2
        assert shown.time_at(shown.x_of(middle_s)) == pytest.approx(middle_s)
        assert shown.whole_time_at(shown.whole_x_of(middle_s)) == pytest.approx(middle_s)
        assert shown.time_at(-50) == pytest.approx(shown.from_s)
        assert shown.time_at(5000) == pytest.approx(shown.to_s)


def test_looking_closer_keeps_the_playhead_where_it_is() -> None:
    """The time looked at stays under the same place, until the recording ends."""
    scale = CuttingScale(width_px=1044).of_film(600.0).beginning(100)
    closer = scale.zoomed(0.5, 115.0)
    assert closer.x_of(115.0) == pytest.approx(scale.x_of(115.0))
    widest = scale.zoomed(100, 115.0)
    assert (widest.from_s, widest.to_s) == (0.0, 600.0)
    assert scale.beginning(1000).to_s == pytest.approx(600.0)
