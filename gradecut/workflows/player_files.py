"""What the files handed to men are called: a name for each that is nobody else's."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from itertools import chain, count, zip_longest

from gradecut.records import Player

__all__ = ["file_names", "plain_names"]

_LONGEST_BYTES, _NUMBER_BYTES = 160, 12
"""Disks take 255 bytes; what stands before and behind a name, and its draft, need room too."""


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
    men = list(players)
    worn = [man.practice_number or man.game_number for man in men]
    named = plain_names([man.name for man in men], "player", worn=worn)
    return dict(zip((man.id for man in men), named, strict=True))


def plain_names(
    names: Iterable[str], otherwise: str, *, worn: Iterable[str] = ()
) -> tuple[str, ...]:
    """Return a name for the file of each of these that any computer takes, and no two alike.

    Parameters
    ----------
    names : iterable of str
    otherwise : str
        What one is called of whose name no letter stays.
    worn : iterable of str
        The number each wears, which tells two of one name apart; empty for none.

    Returns
    -------
    tuple of str
        Without an ending; letters, digits, hyphens and single spaces, at most 180 bytes.
    """
    taken: set[str] = set()
    called: list[str] = []
    for name, number in zip_longest(names, worn, fillvalue=""):
        plain, behind = _plain(name, _LONGEST_BYTES) or otherwise, _plain(number, _NUMBER_BYTES)
        numbered = [f"{plain} {behind}"] if behind else []
        tries = chain([plain], numbered, (f"{plain}-{tried}" for tried in count(2)))
        found = next(one for one in tries if one.casefold() not in taken)
        taken.add(found.casefold())
        called.append(found)
    return tuple(called)


def _plain(text: str, longest_bytes: int) -> str:
    kept = "".join(letter if letter.isalnum() or letter == "-" else " " for letter in text)
    cut = " ".join(kept.split()).encode()[:longest_bytes]
    return cut.decode(errors="ignore").strip()
