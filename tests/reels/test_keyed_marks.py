"""A mark that goes along with a man is painted in a reel where it is at each frame."""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray

from gradecut.drawing import MARK_COLOURS, mark_at, moved_by_px
from gradecut.film import open_film
from gradecut.records.marks import Mark, MarkKey
from gradecut.reels import Freeze, Piece, Plan, Reel, plan, render
from gradecut.timebase import Frame
from tests.reels.numbered_film import SIZE_PX, number_on, read_with_opencv, source_of

REEL = Reel(name="Tuesday")
SNAP = 60
START, GONE = (60.0, 110.0), (160.0, 40.0)
KEYED = (60, 80)
"""The frames of its two keys: nought, and all the way."""


def plan_of(path: Path, *, hold_s: Fraction | None = None, name: str = "") -> Plan:
    """Plan a piece with a yellow bracket that goes along from the snap for twenty frames."""
    source = source_of(path, snap=SNAP)
    with open_film(path) as film:
        one, two = (film.pts_of(Frame(frame)) for frame in KEYED)
        last = film.pts_of(Frame(film.frame_count - 1))
    mark = Mark(
        angle_id="end", kind="bracket", points=(START,), from_pts=one, to_pts=last,
        colour="yellow", rep_id="rep",
        keys=(MarkKey(pts=one, by=(0, 0)), MarkKey(pts=two, by=GONE)),
    )  # fmt: skip
    piece = Piece(
        reel_id=REEL.id, order=1, clip_id="clip", angle_id="end", from_s=Fraction(-1, 2),
        to_s=Fraction(3, 2), mark_ids=(mark.id,),
        freezes=(Freeze(at_s=Fraction(1, 2), hold_s=hold_s),) if hold_s else (),
    )  # fmt: skip
    return plan(
        REEL, [piece], {"end": source}, [mark], size_px=SIZE_PX,
        names={"rep": name} if name else None,
    )  # fmt: skip


def yellow_at(frame: NDArray[np.uint8]) -> tuple[float, float] | None:
    """Return the middle of all that is about yellow, the number's cells left out; None if none."""
    hue = np.array(MARK_COLOURS["yellow"][:3])
    there = np.abs(frame[40:].astype(int) - hue).max(axis=2) < 90
    ys, xs = np.nonzero(there)
    return (float(xs.mean()), float(ys.mean()) + 40) if len(xs) > 8 else None


@pytest.mark.parametrize("name", ["thirty", "variable"])
def test_the_rendered_film_shows_it_where_it_is(
    films: dict[str, Path], tmp_path: Path, name: str
) -> None:
    """At two frames, and at all between, its pixels lie where its keys put them.

    Read back by OpenCV. At the first key it is where it was drawn, twenty frames later it has
    gone all the way, before the first it is not seen; in between it is under way. The film
    with a varying rate is asked by its own timestamps.
    """
    made = plan_of(films[name])
    frames = read_with_opencv(render(made, tmp_path / "reel.mp4", quality=12))
    with open_film(films[name]) as film:
        times = [film.pts_of(Frame(number)) for number in range(film.frame_count)]
    (mark,) = made.marks.values()
    seen = {number_on(frame): yellow_at(frame) for frame in frames}
    assert seen[SNAP - 1] is None
    first, last = seen[KEYED[0]], seen[KEYED[1]]
    assert first is not None
    assert last is not None
    assert first[0] == pytest.approx(START[0], abs=2)
    assert (last[0] - first[0], last[1] - first[1]) == pytest.approx(GONE, abs=2)
    for number, place in seen.items():
        if number < KEYED[0]:
            continue
        assert place is not None
        by = moved_by_px(mark.keys, times[number])
        assert (place[0] - first[0], place[1] - first[1]) == pytest.approx(by, abs=2)


def test_where_film_stands_still_so_does_the_mark(films: dict[str, Path], tmp_path: Path) -> None:
    """A freeze shows it where it is at the frozen frame, and it goes on from there."""
    made = plan_of(films["thirty"], hold_s=Fraction(1))
    frames = read_with_opencv(render(made, tmp_path / "reel.mp4", quality=12))
    frozen = next(step for step in made.steps if step.kind == "freeze")
    held = frames[frozen.first_frame : frozen.first_frame + frozen.frame_count]
    places = [yellow_at(frame) for frame in held]
    assert all(place is not None for place in places)
    (mark,) = made.marks.values()
    there = mark_at(mark, frozen.film_pts[0]).points[0]
    xs = [place[0] for place in places if place is not None]
    assert max(xs) - min(xs) < 1
    assert xs[0] == pytest.approx(there[0], abs=2)


def test_the_plan_tells_what_is_painted_on_each_frame(films: dict[str, Path]) -> None:
    """Preview and film ask the plan, so they can't differ."""
    made = plan_of(films["thirty"])
    run = next(step for step in made.steps if step.mark_ids)
    ways = [made.marks_of(run, at)[0].points[0] for at in range(run.frame_count)]
    assert ways[0] == START
    assert ways[20] == (START[0] + GONE[0], START[1] + GONE[1])
    assert ways[-1] == ways[20]
    assert all(later[0] >= sooner[0] for sooner, later in pairwise(ways))


def test_a_bracket_names_its_man_in_a_reel_as_on_the_stage(films: dict[str, Path]) -> None:
    """Where the plan knows who it is; where it does not, as in a packet, nothing stands there."""
    named, unnamed = plan_of(films["thirty"], name="Keel 52"), plan_of(films["thirty"])
    for made, told in ((named, "Keel 52"), (unnamed, None)):
        (mark,) = made.marks.values()
        assert made.name_on(mark) == told
