"""Putting a session's angles beside each other by what their cameras heard."""

from __future__ import annotations

from typing import TYPE_CHECKING

from gradecut.desk.plays_line import plays_words
from gradecut.desk.second_angle import ONE_ANGLE

if TYPE_CHECKING:
    from gradecut.desk.desk import Desk
    from gradecut.workflows.syncing import Synced

__all__ = ["put_together_by_sound"]

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
    session = state.session
    desk.jobs.start(
        _NAME,
        lambda progress, cancel: sync_angles(desk.book, session, angle, progress, cancel),
        lambda synced: desk.say(_told(synced, angle)),
    )


def _told(synced: Synced, angle: str) -> str:
    """Say which plays were put together and why others were not."""
    parts: list[str] = []
    heard = [play.play for play in synced.plays if play.by == "sound"]
    marked = [play.play for play in synced.plays if play.by != "sound"]
    if heard:
        parts.append(f"The {angle} film lies beside the other by sound on {plays_words(heard)}")
    if marked:
        parts.append(f"by the snaps on {plays_words(marked)}")
    if synced.missed:
        play, why = synced.missed[0]
        more = f" (and {len(synced.missed) - 1} more)" if len(synced.missed) > 1 else ""
        parts.append(f"not on play {play}: {why.rstrip('.')}{more}")
    told = "; ".join(parts) or "No play of this session has two angles"
    return f"{told[:1].upper()}{told[1:]}."
