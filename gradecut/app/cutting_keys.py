"""Everything that can be done while a recording is cut, each with its key."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from functools import partial

from gradecut.app.actions import Action, by_group, told_keys
from gradecut.app.cutting_strip import CuttingStrip
from gradecut.desk.cutting_desk import CuttingDesk

__all__ = ["KeyRow", "cutting_actions", "key_rows"]

_HALF_S = 0.5
_TOLD_TOGETHER = {
    "play before": "play before, next",
    "a frame back": "a frame back, on",
    "half a second back": "½ s back, on",
    "closer": "closer, wider",
    "start here": "start, end here",
    "start ½ s earlier": "start by ½ s",
    "end ½ s earlier": "end by ½ s",
    "start a frame earlier": "start by a frame",
    "end a frame earlier": "end by a frame",
}
"""Actions that are told in one row with the next, its opposite, and what that row says."""


def cutting_actions(
    desk: CuttingDesk, strip: CuttingStrip, *, leave: Callable[[], object]
) -> tuple[Action, ...]:
    """Return the one table that feeds the keys and what is told of them."""
    return (
        Action(name="play before", keys=("Up", "PgUp"), group="Go",
               run=partial(desk.next_play, -1), repeats=True),
        Action(name="next play", keys=("Down", "PgDown"), group="Go", run=desk.next_play,
               repeats=True),
        Action(name="a frame back", keys=("Left",), group="Go", run=partial(desk.step, -1),
               repeats=True),
        Action(name="a frame on", keys=("Right",), group="Go", run=partial(desk.step, 1),
               repeats=True),
        Action(name="half a second back", keys=("Shift+Left",), group="Go",
               run=partial(desk.step, seconds=-_HALF_S), repeats=True),
        Action(name="half a second on", keys=("Shift+Right",), group="Go",
               run=partial(desk.step, seconds=_HALF_S), repeats=True),
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
        Action(name="undo", keys=("Ctrl+Z",), group="Done", run=desk.undo),
        Action(name="redo", keys=("Ctrl+Shift+Z", "Ctrl+Y"), group="Done", run=desk.redo),
        Action(name="add these plays", keys=("Ctrl+Return", "Ctrl+Enter"), group="Done",
               run=desk.accept),
        Action(name="don't cut it", keys=("Escape",), group="Done", run=leave),
    )  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class KeyRow:
    """What is told in one row: key caps from left to right, and what they do."""

    caps: tuple[str, ...]
    does: str


def key_rows(actions: Iterable[Action]) -> dict[str, list[KeyRow]]:
    """Return the rows that tell all keys, under their headings; opposites share a row."""
    rows: dict[str, list[KeyRow]] = {}
    for heading, group in by_group(actions).items():
        told = rows[heading] = []
        waiting = iter(group)
        for action in waiting:
            together = _TOLD_TOGETHER.get(action.name)
            if together is None:
                told.append(KeyRow(caps=told_keys(action)[:1], does=action.name))
            else:
                told.append(KeyRow(caps=_caps(action, next(waiting)), does=together))
    return rows


def _caps(one: Action, other: Action) -> tuple[str, ...]:
    """Return the keys of two actions, what is held with both told once."""
    held, plus, key = one.keys[0].rpartition("+")
    if not held:
        return (*told_keys(one)[:1], *told_keys(other)[:1])
    second = other.keys[0].removeprefix(held + plus)
    return (held, *(told_keys(replace(one, keys=(each,)))[0] for each in (key, second)))
