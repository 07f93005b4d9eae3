"""When the ball is snapped: the moment the whole line of scrimmage starts to move.

The method and its figures come from our own trial on drawn film: stabilised differences on a
grid, the step of their mean along the line, then the early cells' own onsets. Men are seen to
move a little after the ball does; that lag is taken off as a constant.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise

import numpy as np
from numpy.typing import ArrayLike, NDArray

from gradecut.motion._motion_grid import COLUMNS, ROWS, MotionGrid, motion_grid, strip_along
from gradecut.progress import CancelToken, Progress, silent
from gradecut.records.estimate import Estimate, Miss

__all__ = ["find_snap"]

Array = NDArray[np.float64]

# How much film on each side the step is judged on. After a shift all eleven must stand still for
# a second before the snap (NCAA rule 7-1-4, from memory), so no more than that is asked for.
_BEFORE_S, _AFTER_S = 0.9, 0.5
_LEAST_BEFORE_S, _LEAST_AFTER_S = 0.4, 0.4
_LEAST_STEP = 0.6  # grey levels along the line, of 6
_LEAST_RISE = 1.3
_RIVAL_SHARE, _RIVAL_APART_S = 0.5, 0.7
_CELL_STEP, _FEW_CELLS, _LEAST_CELLS = 1.0, 12, 4
_LAG_S = 0.15  # onset after the ball moves; learned on side views of drawn film
_SIGMA_S = 0.05
_MOST_UNPLACED = 0.3
_BUSY_SHARE = 0.06


@dataclass(frozen=True, slots=True, kw_only=True)
class _Step:
    """A rise of the stir along the line."""

    at: int
    height: float
    before: float
    after: float


def find_snap(
    frames: Iterable[NDArray[np.uint8]],
    times: Sequence[Fraction],
    *,
    line_px: ArrayLike | None = None,
    line_frame: int = 0,
    progress: Progress = silent,
    cancel: CancelToken | None = None,
) -> Estimate | Miss:
    """Find the moment of the snap in one clip.

    Parameters
    ----------
    frames : iterable of ndarray, shape (H, W, 3) RGB or (H, W) grey, uint8
        The clip in order, all frames of one size; each is let go once measured.
    times : sequence of Fraction
        When each of these frames begins, seconds, rising; as many as there are frames.
    line_px : array_like, shape (2, 2), optional
        Two points on the grass along the line of scrimmage, where its ends stand: pixels, y down.
        Without them the busiest part of the picture is watched, which is far less sure.
    line_frame : int
        Which of the frames the points were clicked in, from 0.
    progress, cancel : optional
        Told how far the work is; asks it to stop.

    Returns
    -------
    Estimate or Miss
        The time in the seconds of ``times``. A Miss when the film is too short, the camera can't
        be followed, the line never starts as one, or two moments look alike.

    Raises
    ------
    ValueError
        When frames and times differ in number, times don't rise, frames differ in size, or the
        line is not two points that lie apart.
    Cancelled
        When asked to stop.

    Examples
    --------
    >>> found = find_snap([], [])
    >>> found.reason
    'There is no film here to look for a snap in; choose a longer piece.'
    """
    line = _checked_line(line_px)
    if any(later <= earlier for earlier, later in pairwise(times)):
        raise ValueError("The times of frames must rise; index this film anew.")
    grid = motion_grid(frames, times, progress=progress, cancel=cancel)
    if grid is None:
        return Miss("There is no film here to look for a snap in; choose a longer piece.")
    cells = _watched(grid, line, line_frame)
    if isinstance(cells, Miss):
        return cells
    best = _best(_steps(cells.mean(axis=1), grid.times_s), grid.times_s)
    if isinstance(best, Miss):
        return best
    onsets = _onsets(cells, grid.times_s, best.at)
    if len(onsets) < _LEAST_CELLS:
        return Miss("Hardly anything on the line starts to move; check where the line is marked.")
    return _told(grid, best, onsets, marked=line is not None)


def _checked_line(line_px: ArrayLike | None) -> Array | None:
    """Return the line as an array, once it is known to be one."""
    if line_px is None:
        return None
    line = np.asarray(line_px, dtype=np.float64)
    if line.shape != (2, 2) or not np.isfinite(line).all() or np.ptp(line, axis=0).max() < 8:
        raise ValueError("The line of scrimmage is two points of the picture that lie apart.")
    return line


def _watched(grid: MotionGrid, line: Array | None, line_frame: int) -> Array | Miss:
    """Return the stir of the cells to watch, shape (N, cells); unknown counts as still."""
    if grid.times_s[-1] - grid.times_s[0] < _LEAST_BEFORE_S + _LEAST_AFTER_S:
        return Miss("This film is too short to tell a snap from other motion; take more of it.")
    if np.mean(~grid.placed) > _MOST_UNPLACED:
        return Miss("The camera's motion can't be followed here; mark the snap by hand.")
    stir = np.nan_to_num(grid.stir.astype(np.float64))
    if line is None:
        flat = stir.reshape(len(stir), ROWS * COLUMNS)
        busy = np.argsort(flat.std(axis=0), kind="stable")[-int(_BUSY_SHARE * flat.shape[1]) :]
        return np.asarray(flat[:, busy])
    if not 0 <= line_frame < len(stir):
        raise ValueError(f"The line was marked in frame {line_frame}, which is not given.")
    carried = np.column_stack([line, np.ones(2)]) @ grid.to_first[line_frame].T
    strip = strip_along(carried[:, :2] / carried[:, 2:], grid.size_px)
    if np.count_nonzero(strip) < _LEAST_CELLS:
        return Miss("The line of scrimmage lies outside the picture; mark it again.")
    return np.asarray(stir[:, strip])


def _steps(signal: Array, times_s: Array) -> list[_Step]:
    """Return how the signal steps up at each moment that has film on both sides.

    What follows counts by its low end and what went before by its high end, so that one man in
    motion, who comes and goes, makes no step.
    """
    found = []
    for at, time_s in enumerate(times_s):
        if time_s - times_s[0] < _LEAST_BEFORE_S or times_s[-1] - time_s < _LEAST_AFTER_S:
            continue
        before = signal[(times_s < time_s) & (times_s >= time_s - _BEFORE_S)]
        after = signal[(times_s >= time_s) & (times_s < time_s + _AFTER_S)]
        low, high = float(np.quantile(before, 0.9)), float(np.quantile(after, 0.2))
        found.append(_Step(at=at, height=high - low, before=low, after=high))
    return found


def _best(steps: list[_Step], times_s: Array) -> _Step | Miss:
    """Return the step that stands out; a Miss when none does, or two do."""
    if not steps:
        return Miss("The film is too short around any snap; choose a longer piece.")
    best = max(steps, key=lambda step: step.height)
    if best.height < _LEAST_STEP or best.after < _LEAST_RISE * best.before:
        return Miss(
            "The line never starts to move as one here; check that the snap is in the film."
        )
    rivals = [
        step
        for step in steps
        if step.height > _RIVAL_SHARE * best.height
        and abs(times_s[step.at] - times_s[best.at]) > _RIVAL_APART_S
    ]
    if rivals:
        other = max(rivals, key=lambda step: step.height)
        first, second = sorted((times_s[best.at], times_s[other.at]))
        return Miss(
            f"Two moments look like a snap, about {first:.1f} and {second:.1f} s; mark it by hand."
        )
    return best


def _onsets(cells: Array, times_s: Array, at: int) -> Array:
    """Return when each cell that joins the step starts to stir, seconds."""
    now = times_s[at]
    quiet = cells[(times_s >= now - 0.8) & (times_s < now - 0.15)]
    going = cells[(times_s >= now + 0.1) & (times_s < now + 0.6)]
    low, high = np.median(quiet, axis=0), np.median(going, axis=0)
    window = np.flatnonzero((times_s >= now - 0.4) & (times_s < now + 0.3))
    # A single flickering frame is no start: the middle one of three neighbours counts.
    padded = np.pad(cells, ((1, 1), (0, 0)), mode="edge")
    calm = np.median(np.stack([padded[:-2], padded[1:-1], padded[2:]]), axis=0)[window]
    over = calm > (low + high) / 2
    # A cell already stirring as the window opens tells nothing about when it began.
    joins = (high - low > _CELL_STEP) & over.any(axis=0) & ~over[0]
    return np.asarray(times_s[window[np.argmax(over[:, joins], axis=0)]], dtype=np.float64)


def _told(grid: MotionGrid, step: _Step, onsets: Array, *, marked: bool) -> Estimate:
    """Return the moment with what speaks against it."""
    early, middle = np.quantile(onsets, 0.25), np.median(onsets)
    frame_s = float(np.median(np.diff(grid.times_s)))
    doubts = [
        (not marked, 0.45, "The line of scrimmage is not marked."),
        (step.before > 0.5 * step.after, 0.7, "Men move before the snap."),
        (len(onsets) < _FEW_CELLS, 0.7, "Few places on the line start to move."),
        (middle - early > 0.1, 0.7, "The line does not start together."),
        (grid.times_s[step.at] - grid.times_s[0] < 1.0, 0.8, "There is little film before it."),
        (not grid.placed.all(), 0.7, "The camera was lost in some frames."),
        (frame_s > 0.045, 0.8, "The film has few frames a second."),
    ]
    confidence = 0.9
    for holds, share, _ in doubts:
        confidence *= share if holds else 1.0
    sigma_s = float(np.hypot(_SIGMA_S if marked else 3 * _SIGMA_S, frame_s / np.sqrt(12)))
    return Estimate(
        time_s=max(float(early) - _LAG_S, float(grid.times_s[0])),
        sigma_s=max(sigma_s, frame_s),
        confidence=round(confidence, 2),
        reasons=tuple(why for holds, _, why in doubts if holds),
    )
