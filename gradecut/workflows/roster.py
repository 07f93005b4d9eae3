"""The roster: who is on the team, and whom a name or number on a sheet means."""

from __future__ import annotations

import getpass
from collections.abc import Iterable, Sequence
from dataclasses import replace
from os import PathLike
from typing import Protocol, TypeVar

from gradecut.book import Book
from gradecut.hints import nearest
from gradecut.records import Player

__all__ = [
    "add_players",
    "add_roster",
    "by_staff",
    "computer_user",
    "find_player",
    "is_on_roster",
    "newest_of_staff",
    "read_roster",
    "told_apart",
    "why_no_grader",
]

COLUMNS = (
    "position",
    "year",
    "game_number",
    "practice_number",
    "under_18",
    "consent",
    "held_out",
    "remark",
)


class Authored(Protocol):
    """Anything somebody said."""

    @property
    def author(self) -> str:
        """Who said it."""


T = TypeVar("T", bound=Authored)


def read_roster(path: str | PathLike[str]) -> list[Player]:
    """Read a roster sheet: ``name`` and any of COLUMNS.

    Two men may wear the same number; two lines with the same name are a fault.

    Raises
    ------
    InputError
        With every fault and its line.
    """
    from gradecut.workflows.sheets import Faults, read_sheet, read_yes_no

    rows = read_sheet(path, needed=("name",), known=COLUMNS)
    faults = Faults(path)
    first_seen: dict[str, int] = {}
    players = []
    for row in rows:
        name = row.text("name")
        if not name:
            faults.add(row.line, "the player has no name.")
        elif name.lower() in first_seen:
            faults.add(
                row.line, f"“{name}” is already in line {first_seen[name.lower()]}; keep one."
            )
        first_seen.setdefault(name.lower(), row.line)
        players.append(
            Player(
                name=name,
                position=row.text("position"),
                year=row.text("year"),
                game_number=row.text("game_number"),
                practice_number=row.text("practice_number"),
                under_18=read_yes_no(row, "under_18", faults),
                consent=read_yes_no(row, "consent", faults),
                held_out=read_yes_no(row, "held_out", faults),
                remark=row.text("remark"),
            )
        )
    faults.raise_any()
    return players


def add_roster(book: Book, path: str | PathLike[str]) -> list[Player]:
    """Bring a roster sheet into the book; a man already there is brought up to date.

    Raises
    ------
    InputError
        With every fault; the book then stays as it was.
    """
    return add_players(book, read_roster(path))


def add_players(book: Book, players: Iterable[Player]) -> list[Player]:
    """Put players into the book, one with a known name in his old place."""
    known = {player.name.lower(): player for player in book.find(Player)}
    kept = [
        replace(player, id=known[player.name.lower()].id)
        if player.name.lower() in known
        else player
        for player in players
    ]
    with book.act("bring in the roster") as act:
        act.put(*kept)
    return kept


def by_staff(rows: Iterable[T], players: Iterable[Player]) -> list[T]:
    """Leave out what players say of themselves: rows whose author is on the roster.

    A player's own answers stand in the book under his name, beside the staff's grades, and
    must never be taken for them.
    """
    names = {_plain(man.name) for man in players}
    return [row for row in rows if _plain(row.author) not in names]


def is_on_roster(name: str, players: Iterable[Player]) -> bool:
    """Tell whether a name is that of a man of the roster, whatever its capitals and spaces."""
    return _plain(name) in {_plain(man.name) for man in players}


def newest_of_staff(book: Book) -> str:
    """Return who of the staff acted last in a book; empty when nobody has."""
    players = book.find(Player)
    acted = (act.author for act in book.history())
    return next((name for name in acted if name and not is_on_roster(name, players)), "")


def computer_user() -> str:
    """Return the name this computer knows the person by, where he gives none."""
    try:
        return getpass.getuser()
    except (OSError, KeyError):
        return "coach"


def why_no_grader(name: str, players: Iterable[Player]) -> str:
    """Say why nobody can grade under a name; empty where he can.

    Under a player's name stand that player's own answers (see ``by_staff``).
    """
    if not is_on_roster(name, players):
        return ""
    return (
        f"“{name}” is on the roster, so his grades would count as a player's own answers only; "
        "grade under another name."
    )


def find_player(players: Sequence[Player], said: str, *, game: bool = False) -> Player | str:
    """Find the man a sheet means, by name, last name ("Van Houten" too) or number.

    Returns
    -------
    Player or str
        The man, or one sentence that says why it is nobody or more than one.
    """
    told = said.strip().lower().removeprefix("#")
    by_name = [man for man in players if man.name.lower() == told]
    by_last = [man for man in players if told and _ends_with(man.name, told)]
    by_number = [man for man in players if told and told == man.worn(game=game)]
    found = by_name or by_last or by_number
    if len(found) == 1:
        return found[0]
    if found:
        names = " and ".join(man.name for man in found)
        return f"“{said}” may be {names}; write the whole name."
    return f"“{said}” is not on the roster; {nearest(said, [man.name for man in players])}"


def told_apart(man: Player, players: Sequence[Player], *, game: bool = False) -> str:
    """Return what tells a man on film: his number, with his name where another wears it too.

    A man without any number is told by his name.

    >>> okorie, pell = Player(name="T. Okorie", game_number="9"), Player(name="A. Pell")
    >>> told_apart(okorie, [okorie, pell]), told_apart(pell, [okorie, pell])
    ('9', 'Pell')
    """
    number = man.worn(game=game)
    if not number:
        return man.short_name
    if any(other.id != man.id and other.worn(game=game) == number for other in players):
        return f"{number} {man.short_name}"
    return number


def _ends_with(name: str, told: str) -> bool:
    words, last = name.lower().split(), told.split()
    return words[-len(last) :] == last


def _plain(name: str) -> str:
    return " ".join(name.split()).casefold()
