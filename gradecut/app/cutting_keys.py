"""Everything that can be done while a recording is cut, each with its key."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

from gradecut.app.actions import Action
from gradecut.app.cutting_strip import CuttingStrip
from gradecut.desk.cutting_desk import CuttingDesk

__all__ = ["cutting_actions"]

_HALF_S = 0.5


def cutting_actions(
    desk: CuttingDesk, strip: CuttingStrip, *, leave: Callable[[], object]
) -> tuple[Action, ...]:
    """Return the one table that feeds the keys and what is told of them."""
    return (
        Action(name="next play", keys=("Down", "PgDown"), group="Go", run=desk.next_play,
               repeats=True),
        Action(name="play before", keys=("Up", "PgUp"), group="Go",
               run=partial(desk.next_play, -1), repeats=True),
        Action(name="a frame on", keys=("Right",), group="Go", run=partial(desk.step, 1),
               repeats=True),
        Action(name="a frame back", keys=("Left",), group="Go", run=partial(desk.step, -1),
               repeats=True),
        Action(name="half a second on", keys=("Shift+Right",), group="Go",
               run=partial(desk.step, seconds=_HALF_S), repeats=True),
        Action(name="half a second back", keys=("Shift+Left",), group="Go",
               run=partial(desk.step, seconds=-_HALF_S), repeats=True),
        Action(name="play it, stop", keys=("Space",), group="Go", run=desk.play),
        Action(name="closer", keys=("+", "="), group="Go", run=partial(strip.zoom, 0.5)),
        Action(name="wider", keys=("-",), group="Go", run=partial(strip.zoom, 2.0)),
        Action(name="start here", keys=("[",), group="Edges",
               run=lambda: desk.put_edge(first=desk.frame)),
        Action(name="end here", keys=("]",), group="Edges",
               run=lambda: desk.put_edge(last=desk.frame)),
        Action(name="start ½ s earlier", keys=("Q",), group="Edges",
               run=partial(desk.move_start, seconds=-_HALF_S), repeats=True),
        Action(name="start ½ s later", keys=("W",), group="Edges",
               run=partial(desk.move_start, seconds=_HALF_S), repeats=True),
        Action(name="end ½ s earlier", keys=("O",), group="Edges",
               run=partial(desk.move_end, seconds=-_HALF_S), repeats=True),
        Action(name="end ½ s later", keys=("P",), group="Edges",
               run=partial(desk.move_end, seconds=_HALF_S), repeats=True),
        Action(name="start a frame earlier", keys=("Shift+Q",), group="Edges",
               run=partial(desk.move_start, -1), repeats=True),
        Action(name="start a frame later", keys=("Shift+W",), group="Edges",
               run=partial(desk.move_start, 1), repeats=True),
        Action(name="end a frame earlier", keys=("Shift+O",), group="Edges",
               run=partial(desk.move_end, -1), repeats=True),
        Action(name="end a frame later", keys=("Shift+P",), group="Edges",
               run=partial(desk.move_end, 1), repeats=True),
        Action(name="join with the next", keys=("J",), group="Plays", run=desk.join),
        Action(name="split here", keys=("S",), group="Plays", run=desk.split),
        Action(name="drop, bring back", keys=("X", "Delete"), group="Plays", run=desk.drop),
        Action(name="new play here", keys=("N",), group="Plays", run=desk.insert),
        Action(name="take back", keys=("Ctrl+Z",), group="Done", run=desk.undo),
        Action(name="do again", keys=("Ctrl+Shift+Z", "Ctrl+Y"), group="Done", run=desk.redo),
        Action(name="add these plays", keys=("Ctrl+Return", "Ctrl+Enter"), group="Done",
               run=desk.accept),
        Action(name="leave it uncut", keys=("Escape",), group="Done", run=leave),
    )  # fmt: skip
