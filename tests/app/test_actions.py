from __future__ import annotations

from gradecut.app.actions import Action, by_group, clashing_keys, told_keys


def action(name: str, *keys: str, group: str = "here") -> Action:
    """Make an action that does nothing."""
    return Action(name=name, keys=keys, group=group, run=lambda: None)


def test_groups_keep_their_order() -> None:
    """Headings and what stands below them come as the table has them."""
    table = [action("a", group="x"), action("b", group="y"), action("c", group="x")]
    assert {g: [a.name for a in found] for g, found in by_group(table).items()} == {
        "x": ["a", "c"],
        "y": ["b"],
    }


def test_a_key_asked_for_twice_is_found() -> None:
    """Two actions with one key are told, however the key is written."""
    assert clashing_keys([action("a", "Ctrl+Z"), action("b", "ctrl+z")]) == ["Ctrl+Z"]
    assert clashing_keys([action("a", "Z"), action("b", "Shift+Z")]) == []


def test_keys_read_as_on_a_keyboard() -> None:
    """Arrows and Enter are told as a coach sees them on the keys."""
    assert told_keys(action("a", "Left", "Return", "Ctrl+Return")) == ("←", "Enter", "Ctrl+Enter")
