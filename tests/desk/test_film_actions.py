from __future__ import annotations

from gradecut.desk.film_actions import FILM_ACTIONS


def test_no_key_does_two_things() -> None:
    """Each key stands once in the table, and every action says what it does."""
    keys = [key for action in FILM_ACTIONS for key in action.keys]
    assert len(keys) == len(set(keys))
    names = [action.name for action in FILM_ACTIONS]
    assert len(names) == len(set(names))


def test_plain_letters_are_single_and_digits_left_to_the_question() -> None:
    """Digits answer; of them only the first stands in the table, for the sheet of keys."""
    digits = [key for action in FILM_ACTIONS for key in action.keys if key.isdigit()]
    assert digits == ["1"]
