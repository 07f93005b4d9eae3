"""What the files handed to players are called: a name for each man that is nobody else's."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from itertools import chain, count

from gradecut.records import Player

__all__ = ["file_names"]


def file_names(players: Iterable[Player]) -> Mapping[str, str]:
    """Return a name for each player's file or folder that any computer takes.

    Letters, digits and hyphens of his name stay. Where that leaves two men the same name,
    the later one's has the number he wears behind it, or a count; capitals alone tell no
    two files apart.

    Parameters
    ----------
    players : iterable of Player
        Everybody, so that a man's name does not hang on who else is handed something.

    Returns
    -------
    mapping of player id to str
        Without an ending.
    """
    names: dict[str, str] = {}
    taken: set[str] = set()
    for man in players:
        plain = _plain(man.name)
        worn = _plain(man.practice_number or man.game_number, "")
        numbered = [f"{plain} {worn}"] if worn else []
        tries = chain([plain], numbered, (f"{plain}-{number}" for number in count(2)))
        name = next(one for one in tries if one.casefold() not in taken)
        taken.add(name.casefold())
        names[man.id] = name
    return names


def _plain(text: str, otherwise: str = "player") -> str:
    kept = "".join(letter if letter.isalnum() or letter == "-" else " " for letter in text)
    return " ".join(kept.split()) or otherwise
