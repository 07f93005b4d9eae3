"""Actions: one record each feeds the menu, the keys and the cheat sheet."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

from PyQt6.QtGui import QKeySequence

__all__ = ["Action", "by_group", "clashing_keys", "told_key", "told_keys"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Action:
    """Something the coach can do by key or from the menu.

    A key without Ctrl or Alt is not seen while a text field has the focus; use
    ``fields.NoteField`` for such fields, which also keep Return to themselves.

    Attributes
    ----------
    name : str
        What it does, in a few words: "all right, next play".
    keys : tuple of str
        In Qt's portable words ("Return", "Ctrl+Z", "["); the first is the one that is told.
        Empty for what has none and is found in the menu.
    group : str
        The heading it stands under.
    run : callable
        Does it.
    repeats : bool
        Goes on while the key is held, as for stepping frames.
    """

    name: str
    keys: tuple[str, ...] = ()
    group: str
    run: Callable[[], object]
    repeats: bool = False


def by_group(actions: Iterable[Action]) -> dict[str, list[Action]]:
    """Sort actions under their headings, both in the order given."""
    grouped: dict[str, list[Action]] = {}
    for action in actions:
        grouped.setdefault(action.group, []).append(action)
    return grouped


def clashing_keys(actions: Sequence[Action]) -> list[str]:
    """Return the keys that more than one of these actions asks for."""
    asked = [_portable(key) for action in actions for key in action.keys]
    return sorted({key for key in asked if asked.count(key) > 1})


def told_keys(action: Action) -> tuple[str, ...]:
    """Write an action's keys as they stand on a keyboard."""
    return tuple(told_key(key) for key in action.keys)


def told_key(key: str) -> str:
    """Write one key: "Alt+Up" as "Alt+↑"."""
    held, plus, last = key.rpartition("+") if key != "+" else ("", "", key)
    return f"{held}{plus}{_NAMES.get(last, last)}" if held else _NAMES.get(last, last)


def _portable(key: str) -> str:
    return QKeySequence(key).toString(QKeySequence.SequenceFormat.PortableText)


_NAMES = {
    "Left": "←",
    "Right": "→",
    "Up": "↑",
    "Down": "↓",
    "Return": "Enter",
    "Delete": "Del",
    "Escape": "Esc",
    "Backtab": "Shift+Tab",
    "PgDown": "Page ↓",
    "PgUp": "Page ↑",
}
