"""Putting a session's angles beside each other by what their cameras heard."""

from __future__ import annotations

from typing import TYPE_CHECKING

from gradecut.desk.second_angle import ONE_ANGLE
from gradecut.workflows.play_words import plays_told

if TYPE_CHECKING:
    from gradecut.desk.desk import Desk
    from gradecut.workflows.syncing import Synced

__all__ = ["put_together_by_sound", "told_of_sound"]

_NAME = "putting the angles beside each other by sound"


def put_together_by_sound(desk: Desk) -> None:
    """Begin to compare the sounds of all plays of the session on the Film page.

    The films of the angle that came later are moved; plays whose snap is marked on both keep
    what the snaps say. What it came to is said.
    """
    from gradecut.workflows.syncing import sync_angles

    state = desk.film.state
    if state is None or len(state.timeline.angles) < 2:
        desk.say(ONE_ANGLE)
        return
    goal = min(state.timeline.angles, key=lambda one: one.id)
    angle = next(one.name for one in state.timeline.angles if one.id != goal.id)
    session, order = state.session, state.clip.order
    desk.jobs.start(
        _NAME,
        lambda progress, cancel: sync_angles(desk.book, session, angle, progress, cancel),
        lambda synced: desk.say(told_of_sound(synced, angle, here=order)),
    )


def told_of_sound(synced: Synced, angle: str, *, here: int) -> str:
    """Say which plays were put together, and why the play looked at, or another, was not."""
    parts: list[str] = []
    heard = [play.play for play in synced.plays if play.by == "sound"]
    marked = [play.play for play in synced.plays if play.by != "sound"]
    if heard:
        parts.append(f"The {angle} film lies beside the other by sound on {plays_told(heard)}")
    if marked:
        parts.append(f"by the snaps on {plays_told(marked)}")
    if synced.missed:
        play, why = next((one for one in synced.missed if one[0] == here), synced.missed[0])
        parts.append(f"not on play {play}: {why.rstrip('.')}")
        rest = [other for other, _ in synced.missed if other != play]
        if rest:
            parts.append(f"nor on {plays_told(rest)}")
    told = "; ".join(parts) or "No play of this session has two angles"
    return f"{told[:1].upper()}{told[1:]}."
