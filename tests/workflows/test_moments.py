"""Snap, first steps and reactions, on steady and varying film, over two cameras."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from gradecut.book import Book
from gradecut.errors import BookError
from gradecut.film import open_film
from gradecut.records import Angle, FilmFile, Moment, StoredFilm
from gradecut.timebase import Pts
from gradecut.workflows.moments import (
    Timeline,
    mark_moment,
    timeline_of,
    unmark_moment,
)
from tests.workflows.small_week import angle_of, clip_of, pts_of, rep_of, stored


def mark_at(book: Book, play: int, angle: str, *, man: str = "", **at: int) -> None:
    """Mark moments at frames of one camera's film: the snap, or a man's first step."""
    one = angle_of(book, play, angle)
    if "snap" in at:
        mark_moment(book, one, "snap", pts_of(book, one, at["snap"]))
    if "step" in at:
        mark_moment(book, one, "first step", pts_of(book, one, at["step"]), rep_of(book, play, man))


def line_of(book: Book, play: int) -> Timeline:
    """Read a play's timeline."""
    return timeline_of(book, clip_of(book, play).id)


@pytest.mark.parametrize("play", [1, 2])
def test_a_reaction_is_the_exact_difference_of_two_frames(book: Book, play: int) -> None:
    """At 30 and at 59.94 a second: milliseconds are the film's own timestamps."""
    mark_at(book, play, "end", snap=31)
    mark_at(book, play, "end", step=40, man="Keel")
    found = line_of(book, play).reaction(rep_of(book, play, "Keel"))
    assert found is not None
    film = book.get(StoredFilm, angle_of(book, play).film_id)
    with open_film(book.find(FilmFile, film_id=film.id)[0].path) as opened:
        times = [opened.time_of(frame) for frame in (31, 32, 40)]
    assert found.frames == 9
    assert found.time_ms == float(1000 * (times[2] - times[0]))
    assert found.frame_ms == float(1000 * (times[1] - times[0]))


@pytest.mark.parametrize(
    ("snap", "step", "time_s", "frame_s"),
    [
        (31, 40, Fraction(27, 90), Fraction(4, 90)),  # 4/90 before both
        (32, 41, Fraction(27, 90), Fraction(2, 90)),  # 2/90 before both
        (32, 42, Fraction(30, 90), Fraction(3, 90)),  # 2/90 before the snap, 3/90 the step
        (31, 42, Fraction(32, 90), Fraction(4, 90)),  # 4/90 before the snap, 3/90 the step
        (58, 62, Fraction(17, 90), Fraction(6, 90)),  # the rate halves in between
        (62, 58, Fraction(-17, 90), Fraction(6, 90)),  # and the other way round
        (0, 2, Fraction(6, 90), Fraction(4, 90)),  # nothing before the first: its own
    ],
)
def test_on_film_of_varying_rate_the_longer_frame_before_counts(
    book: Book, snap: int, step: int, time_s: Fraction, frame_s: Fraction
) -> None:
    """Either moment may have come at once after the frame before; by hand from the film's times.

    Frame k below 60 is shown at k/30 s, and 1/90 s later where k is 1 more than a multiple
    of 3: its frames last 4/90, 2/90 and 3/90 s in turn. From 60 on they last 6/90 s.
    """
    mark_at(book, 3, "end", snap=snap)
    mark_at(book, 3, "end", step=step, man="Keel")
    found = line_of(book, 3).reaction(rep_of(book, 3, "Keel"))
    assert found is not None
    assert found.time_ms == float(1000 * time_s)
    assert found.frame_ms == float(1000 * frame_s)


def test_known_rates_give_known_milliseconds(book: Book) -> None:
    """Nine frames are 300 ms at 30 and 150.15 ms at 60000/1001, by arithmetic."""
    for play, expected in ((1, 300.0), (2, float(Fraction(9 * 1001, 60)))):
        mark_at(book, play, "end", snap=31)
        mark_at(book, play, "end", step=40, man="Keel")
        found = line_of(book, play).reaction(rep_of(book, play, "Keel"))
        assert found is not None
        assert found.time_ms == pytest.approx(expected, abs=1e-9)


def test_a_man_who_moved_first_has_a_reaction_below_nothing(book: Book) -> None:
    """A guess is counted as what it is."""
    mark_at(book, 1, "end", snap=40)
    mark_at(book, 1, "end", step=37, man="Keel")
    found = line_of(book, 1).reaction(rep_of(book, 1, "Keel"))
    assert found is not None
    assert (found.frames, found.time_ms) == (-3, -100.0)


def test_without_snap_or_step_there_is_no_reaction(book: Book) -> None:
    """And none of another man's."""
    assert line_of(book, 1).reaction(rep_of(book, 1, "Keel")) is None
    mark_at(book, 1, "end", step=37, man="Keel")
    assert line_of(book, 1).reaction(rep_of(book, 1, "Keel")) is None
    mark_at(book, 1, "end", snap=30)
    assert line_of(book, 1).reaction(rep_of(book, 1, "Bow")) is None


def test_a_snap_marked_on_both_angles_puts_them_beside_each_other(book: Book) -> None:
    """From then on a moment of one is found on the other, at its own rate."""
    mark_at(book, 1, "end", snap=60)
    mark_at(book, 1, "side", snap=45)
    line = line_of(book, 1)
    end, side = angle_of(book, 1), angle_of(book, 1, "side")
    assert line.carry(pts_of(book, end, 66), end, side) == pts_of(book, side, 51)
    mark_at(book, 1, "side", snap=44)
    line, side = line_of(book, 1), angle_of(book, 1, "side")
    assert line.carry(pts_of(book, end, 66), end, side) == pts_of(book, side, 50)


def test_cameras_that_were_not_put_beside_each_other_share_no_snap(book: Book) -> None:
    """They were not started at once: a snap carried over would be a guess, and so a reaction."""
    mark_at(book, 1, "end", snap=60)
    mark_at(book, 1, "side", step=66, man="Keel")
    line = line_of(book, 1)
    assert line.snap(angle_of(book, 1, "side")) is None
    assert line.reaction(rep_of(book, 1, "Keel")) is None


def test_angles_are_together_once_their_snaps_or_sounds_say_so(book: Book) -> None:
    """Not before; by snaps at the same frame too, and no longer when one is marked elsewhere."""
    end, side = angle_of(book, 1), angle_of(book, 1, "side")
    assert line_of(book, 1).together(end, end)
    assert not line_of(book, 1).together(end, side)
    mark_at(book, 1, "end", snap=50)
    mark_at(book, 1, "side", snap=50)
    line = line_of(book, 1)
    assert [one.offset_s for one in line.angles] == [0, 0]
    assert line.together(*line.angles)
    moved = replace(angle_of(book, 1, "side"), offset_s=Fraction(1))
    apart = replace(line, angles=(line.angles[0], moved))
    assert not apart.together(*apart.angles)
    assert replace(apart, moments=()).together(*apart.angles)


def test_a_third_angle_that_nobody_moved_is_not_together(book: Book) -> None:
    """One camera laid beside the first by sound says nothing of a third."""
    end, side = angle_of(book, 1), angle_of(book, 1, "side")
    tower = Angle(
        clip_id=side.clip_id, film_id=side.film_id, name="tower", start_pts=side.start_pts,
        stop_pts=side.stop_pts,
    )  # fmt: skip
    side = replace(side, scale=Fraction(1_000_001, 1_000_000), offset_s=Fraction(2))
    line = replace(line_of(book, 1), angles=(end, side, tower))
    assert line.together(end, side)
    assert line.together(side, end)
    assert not line.together(end, tower)
    assert not line.together(side, tower)
    moved = replace(tower, offset_s=Fraction(-1))
    line = replace(line, angles=(end, side, moved))
    assert line.together(end, moved)
    assert line.together(side, moved)


def test_a_reaction_by_a_carried_snap_has_frames_and_milliseconds_that_agree(book: Book) -> None:
    """Play 3: the end film's rate varies, the side's is 60; the step is marked on the side."""
    mark_at(book, 3, "end", snap=40)
    mark_at(book, 3, "side", snap=70)
    mark_at(book, 3, "side", step=82, man="Keel")
    for moment in book.find(Moment, angle_id=angle_of(book, 3, "side").id, kind="snap"):
        unmark_moment(book, moment)
    found = line_of(book, 3).reaction(rep_of(book, 3, "Keel"))
    assert found is not None
    assert (found.frames, found.time_ms) == (12, pytest.approx(200.0))


@settings(max_examples=60, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    offset_s=st.fractions(min_value=-3, max_value=3, max_denominator=997),
    snap=st.integers(0, 109),
    step=st.integers(0, 149),
    play=st.sampled_from([1, 3]),
)
def test_a_carried_snap_never_contradicts_the_frames(
    book: Book, offset_s: Fraction, snap: int, step: int, play: int
) -> None:
    """Whatever the offset: a whole number of frames at a steady rate, or no reaction."""
    line = line_of(book, play)
    end = next(angle for angle in line.angles if angle.name == "end")
    side = next(angle for angle in line.angles if angle.name == "side")
    film = line.films[side.film_id]
    moved = Angle(
        id=side.id, clip_id=side.clip_id, film_id=side.film_id, name="side",
        start_pts=side.start_pts, stop_pts=side.stop_pts, offset_s=offset_s or Fraction(1, 997),
    )  # fmt: skip
    rep = rep_of(book, play, "Keel")
    assert film.rate is not None
    moments = [
        Moment(angle_id=end.id, kind="snap", pts=pts_of(book, end, snap)),
        Moment(
            angle_id=side.id, kind="first step", pts=film.pts_of(step / film.rate), rep_id=rep.id
        ),
    ]
    found = Timeline(
        angles=[end, moved], films=line.films, moments=moments, times=line.times
    ).reaction(rep)
    if found is not None:
        assert found.time_ms == pytest.approx(found.frames * found.frame_ms, abs=0.1)


def test_marking_again_moves_a_moment(book: Book) -> None:
    """One snap an angle and author; another author's is another row."""
    mark_at(book, 1, "end", snap=40)
    mark_at(book, 1, "end", snap=41)
    book.author = "B. Marsh"
    mark_at(book, 1, "end", snap=50)
    assert book.count(Moment) == 2
    angle = angle_of(book, 1)
    assert line_of(book, 1).snap(angle) == pts_of(book, angle, 50)
    book.author = "J. Alder"
    assert line_of(book, 1).snap(angle) == pts_of(book, angle, 41)


def test_what_is_marked_stands_above_what_is_measured(book: Book) -> None:
    """An estimate is read only where nobody marked."""
    angle = angle_of(book, 1)
    with book.act("measure") as act:
        act.put(Moment(angle_id=angle.id, kind="snap", pts=Pts(5), source="estimated"))
    assert line_of(book, 1).snap(angle) == 5
    mark_at(book, 1, "end", snap=40)
    assert line_of(book, 1).snap(angle) == pts_of(book, angle, 40)


def test_a_moment_outside_the_clip_or_of_nobody_is_refused(book: Book) -> None:
    """With a sentence; nothing is stored."""
    angle, rep, before = angle_of(book, 1), rep_of(book, 1, "Keel"), stored(book)
    with pytest.raises(BookError, match="outside this clip"):
        mark_moment(book, angle, "snap", Pts(angle.stop_pts + 1))
    with pytest.raises(BookError, match="choose him first"):
        mark_moment(book, angle, "first step", angle.start_pts)
    with pytest.raises(BookError, match="belongs to the clip"):
        mark_moment(book, angle, "snap", angle.start_pts, rep)
    assert stored(book) == before


def test_undo_takes_the_snap_and_what_it_moved_back(book: Book) -> None:
    """Marking and putting the angles beside each other is one act."""
    mark_at(book, 1, "end", snap=60)
    mark_at(book, 1, "side", snap=45)
    assert angle_of(book, 1, "side").offset_s == Fraction(1, 2)
    book.undo()
    assert angle_of(book, 1, "side").offset_s == 0
