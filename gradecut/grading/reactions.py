"""From the snap to the first step: how long, and how surely."""

from __future__ import annotations

import math
from fractions import Fraction

from gradecut.records import Reaction
from gradecut.timebase import Frame

__all__ = ["reaction", "reaction_interval_ms", "reaction_note", "reaction_sd_ms"]

TOO_EARLY_MS = 100.0
"""World Athletics Technical Rules C2.1, 16.6: the limit below which a start can't be a reaction.

It is a limit for a sound and a block start; here it is only a lower mark of good sense.
"""

SURELY_EARLY = "moved with or before the snap (guess, or a wrong snap mark)"
MAYBE_EARLY = "perhaps moved with the snap (guess, or a wrong snap mark); the frames can't tell"


def reaction(
    snap_frame: Frame, step_frame: Frame, snap_s: Fraction, step_s: Fraction, frame_s: Fraction
) -> Reaction:
    """Count a reaction from the two frames it was marked on.

    Parameters
    ----------
    snap_frame, step_frame : Frame
        Of the same film.
    snap_s, step_s : Fraction
        When these two frames are shown, in seconds of that film; the film's rate may vary.
    frame_s : Fraction
        The length of a frame there, in seconds; where it varies, the longer of the frames
        before the two, since each moment happened after the frame before.

    Returns
    -------
    Reaction
        Negative when he moved before the snap.

    Raises
    ------
    ValueError
        When a frame has no length, or frames and times run against each other.
    """
    frames = int(step_frame) - int(snap_frame)
    time_s = step_s - snap_s
    if frame_s <= 0:
        raise ValueError("A frame lasts longer than nothing; check the film's rate.")
    if (frames > 0) != (time_s > 0) or (frames < 0) != (time_s < 0):
        raise ValueError(
            f"{frames} frames and {float(time_s):.3f} s don't go together; are both moments "
            "of the same film?"
        )
    return Reaction(frames=frames, time_ms=float(1000 * time_s), frame_ms=float(1000 * frame_s))


def reaction_interval_ms(reaction: Reaction) -> tuple[float, float]:
    """Return the shortest and the longest time, in ms, that a count leaves possible.

    Each moment falls anywhere between the frame that first shows it and the one before, so
    n frames say that the true time lies between n - 1 and n + 1 frames; nothing finer. Where
    the rate varies, the longer of those two frames counts either way.
    """
    return (reaction.time_ms - reaction.frame_ms, reaction.time_ms + reaction.frame_ms)


def reaction_sd_ms(frame_ms: float) -> float:
    """Return the standard deviation, in ms, that frames alone give a counted time.

    A difference of two moments, each even over its own frame, scatters as a triangle of
    half width dt: dt / sqrt(6) (JCGM 100:2008, 4.3.9, clause from memory). A person's
    marking adds to it.
    """
    return frame_ms / math.sqrt(6)


def reaction_note(reaction: Reaction) -> str | None:
    """Say when a count is too short to be an answer to the snap; None when it is not.

    It is never called a fault: to read a cadence is legal for a man who is onside.
    """
    low, high = reaction_interval_ms(reaction)
    if high < TOO_EARLY_MS:
        return SURELY_EARLY
    if low < TOO_EARLY_MS:
        return MAYBE_EARLY
    return None
