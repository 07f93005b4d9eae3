"""The snap is found where the line starts as one, and not claimed where it does not."""

from __future__ import annotations

import numpy as np
import pytest
from numpy.typing import NDArray

from gradecut.errors import Cancelled
from gradecut.motion import find_snap
from gradecut.progress import CancelToken
from gradecut.records.estimate import Estimate, Miss
from tests.motion.drawn_film import Place, film, frame_times, leaving, pan, standing

LINE_PX = [(60.0, 110.0), (240.0, 110.0)]
STARTS = 40
COUNT = 70
LAG_FRAMES = 4.5  # men are seen to move 0.15 s after the ball; taken off by find_snap


def line_of_men(starts: int = STARTS, stops: int | None = None) -> list[Place]:
    """Return seven men on the line who all start in one frame."""

    def place_of(x: float) -> Place:
        going = leaving(x, 112.0, starts, speed=(1.2, 0.4))
        return lambda number: going(number if stops is None else min(number, stops))

    return [place_of(66.0 + 28 * n) for n in range(7)]


def snap_in(men: list[Place], count: int = COUNT, **more: object) -> Estimate | Miss:
    """Look for the snap in a film of these men."""
    options = {"line_px": LINE_PX, **more}
    return find_snap(film(count, men), frame_times(count), **options)  # type: ignore[arg-type]


def test_the_line_starting_is_the_snap() -> None:
    """The snap is told within two frames, with a doubt no finer than a frame."""
    found = snap_in(line_of_men())
    assert isinstance(found, Estimate)
    assert abs(found.time_s * 30 - (STARTS - LAG_FRAMES)) <= 2.0
    assert found.sigma_s >= 1 / 30
    assert found.confidence > 0.6


def test_a_panning_camera_is_no_snap() -> None:
    """The camera's own motion neither hides the snap nor makes one."""
    times = frame_times(COUNT)
    found = find_snap(film(COUNT, line_of_men(), camera=pan(0.8)), times, line_px=LINE_PX)
    assert isinstance(found, Estimate)
    assert abs(found.time_s * 30 - (STARTS - LAG_FRAMES)) <= 2.0
    still = [standing(66.0 + 28 * n, 112.0) for n in range(7)]
    assert not find_snap(film(COUNT, still, camera=pan(0.8)), times, line_px=LINE_PX)


def test_a_man_in_motion_is_no_snap() -> None:
    """One man who crosses before the snap does not pass for it."""
    motion = leaving(10.0, 118.0, 5, speed=(4.0, 0.0))
    found = snap_in([*line_of_men(), motion])
    assert isinstance(found, Estimate)
    assert abs(found.time_s * 30 - (STARTS - LAG_FRAMES)) <= 2.0


def test_the_line_can_be_marked_in_a_later_frame() -> None:
    """Clicks in a later frame of a panning film are carried back with the camera."""
    shifted = np.array(LINE_PX) + np.array((0.8 * 30, 0.0))
    found = find_snap(
        film(COUNT, line_of_men(), camera=pan(0.8)),
        frame_times(COUNT),
        line_px=shifted,
        line_frame=30,
    )
    assert isinstance(found, Estimate)


def test_a_still_film_has_no_snap() -> None:
    """Film in which nobody starts gives a miss, never a guess."""
    found = snap_in([standing(66.0 + 28 * n, 112.0) for n in range(7)])
    assert isinstance(found, Miss)
    assert "never starts" in found.reason


def test_film_that_begins_after_the_snap_has_none() -> None:
    """Men who move from the first frame on give a miss."""
    assert not snap_in(line_of_men(starts=0), count=40)


def test_two_starts_alike_are_left_to_the_coach() -> None:
    """A shift of the whole line, then the snap: both are named and neither chosen."""
    first, then = line_of_men(25, 52), line_of_men(85)
    both: list[Place] = [
        lambda n, a=a, b=b: (a(n)[0] + b(n)[0] - b(0)[0], a(n)[1] + b(n)[1] - b(0)[1])  # type: ignore[misc]
        for a, b in zip(first, then, strict=True)
    ]
    found = snap_in(both, count=112)
    assert isinstance(found, Miss)
    assert "Two moments" in found.reason


def test_without_the_line_the_answer_says_so() -> None:
    """With no line marked the snap is trusted less, and the reason is given."""
    marked = snap_in(line_of_men())
    found = snap_in(line_of_men(), line_px=None)
    assert isinstance(found, Estimate)
    assert isinstance(marked, Estimate)
    assert found.confidence < marked.confidence
    assert found.sigma_s > marked.sigma_s
    assert "The line of scrimmage is not marked." in found.reasons


@pytest.mark.parametrize("count", [0, 1, 15])
def test_film_too_short_is_a_miss(count: int) -> None:
    """Too little film is told, not raised."""
    found = snap_in(line_of_men(), count=count)
    assert isinstance(found, Miss)


def test_film_nobody_can_steady_is_a_miss() -> None:
    """Blank film, in which no camera can be followed, gives a miss that says so."""
    blank = [np.full((180, 320, 3), 90, np.uint8)] * 40
    found = find_snap(blank, frame_times(40), line_px=LINE_PX)
    assert isinstance(found, Miss)
    assert "camera" in found.reason


def test_a_line_outside_the_picture_is_a_miss() -> None:
    """A line marked off the picture asks to be marked again."""
    found = snap_in(line_of_men(), line_px=[(900.0, 900.0), (990.0, 900.0)])
    assert isinstance(found, Miss)
    assert "mark it again" in found.reason


@pytest.mark.parametrize(
    ("line", "times", "said"),
    [
        ([(1.0, 2.0)], frame_times(5), "two points"),
        ([(1.0, 2.0), (3.0, 4.0)], frame_times(5), "apart"),
        (LINE_PX, frame_times(4), "more frames"),
        (LINE_PX, frame_times(6), "5 frames but 6 times"),
        (LINE_PX, [*frame_times(4), frame_times(4)[-1]], "must rise"),
    ],
)
def test_wrong_use_is_refused(line: list[tuple[float, float]], times: list, said: str) -> None:  # type: ignore[type-arg]
    """A line that is none, and times that don't fit, are refused with a sentence."""
    with pytest.raises(ValueError, match=said):
        find_snap(film(5), times, line_px=line)


def test_a_line_marked_in_a_frame_not_given_is_refused() -> None:
    """The frame of the clicks must be one of those handed over."""
    with pytest.raises(ValueError, match="frame 99"):
        snap_in(line_of_men(), count=30, line_frame=99)


def test_it_can_be_stopped_and_tells_how_far_it_is() -> None:
    """Progress rises to 1; a cancel stops the work at once."""
    told: list[float] = []
    snap_in(line_of_men(), count=30, progress=lambda done, _: told.append(done))
    assert told == sorted(told)
    assert told[-1] == 1.0
    token = CancelToken()
    token.cancel()
    with pytest.raises(Cancelled):
        snap_in(line_of_men(), cancel=token)


def test_frames_are_let_go() -> None:
    """Film comes as a stream: no frame is asked for twice, none kept."""
    given: list[int] = []

    def stream() -> object:
        for number, frame in enumerate(film(30)):
            given.append(number)
            yield _once(frame)

    find_snap(stream(), frame_times(30), line_px=LINE_PX)  # type: ignore[arg-type]
    assert given == list(range(30))


def _once(frame: NDArray[np.uint8]) -> NDArray[np.uint8]:
    """Return a frame that can't be written to, as decoders hand them out."""
    frame.setflags(write=False)
    return frame
