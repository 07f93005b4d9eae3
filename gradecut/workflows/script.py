"""The practice script: planned plays, matched to clips in order."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from functools import lru_cache
from itertools import zip_longest
from os import PathLike

from gradecut.book import Book
from gradecut.errors import BookError, LookError
from gradecut.records import (
    Clip,
    Player,
    Session,
    SessionKind,
)
from gradecut.scheme import Scheme, Value
from gradecut.workflows.booking import scheme_in_force
from gradecut.workflows.kept_scripts import kept_rows, scripts_of
from gradecut.workflows.looks import read_value
from gradecut.workflows.roster import find_player
from gradecut.workflows.script_cells import CLIP_COLUMNS, number_of, words_told
from gradecut.workflows.script_matching import ScriptLine, match_plays
from gradecut.workflows.sheets import Faults, SheetRow, read_sheet

__all__ = [
    "ScriptLine",
    "check_numbers",
    "kept_lines",
    "match_new_plays",
    "match_script",
    "script_lines",
    "shift_script",
    "uneven_script",
]


def _read_script(
    path: str | PathLike[str], scheme: Scheme | None, players: Sequence[Player], *, game: bool
) -> list[ScriptLine]:
    """Read a script sheet.

    Its columns: ``number``; any of CLIP_COLUMNS; any reference of the scheme's facts
    (``back``, ``surface.left``); any position of the scheme, with the man who is in by
    name, last name or number.

    Raises
    ------
    InputError
        With every fault and its line.
    """
    references = scheme.references if scheme else ()
    positions = tuple(scheme.positions) if scheme else ()
    rows = read_sheet(path, needed=("number",), known=(*CLIP_COLUMNS, *references, *positions))
    faults = Faults(path)
    lines = []
    seen: dict[int, int] = {}
    for row in rows:
        number = number_of(row, "number", faults)
        if number is not None and number in seen:
            faults.add(row.line, f"number {number} is already in line {seen[number]}.")
        seen.setdefault(number or 0, row.line)
        lines.append(
            ScriptLine(
                number=number or 0,
                told=words_told(row, faults),
                look=_look(row, scheme, faults) if scheme else {},
                men=_men(row, positions, players, faults, game=game),
            )
        )
    faults.raise_any()
    return lines


def kept_lines(book: Book, session: Session) -> list[ScriptLine]:
    """Return the lines of a session's script as it was kept, by number.

    What the scheme in force or the roster no longer knows of them is passed over.
    """
    scheme, players = scheme_in_force(book), tuple(book.find(Player))
    game = session.kind == "game"
    found: dict[int, ScriptLine] = {}
    for script in scripts_of(book, session.id):
        found |= _kept_lines(script.text, scheme, players, game)
    return [found[number] for number in sorted(found)]


@lru_cache(maxsize=8)
def _kept_lines(
    text: str, scheme: Scheme | None, players: tuple[Player, ...], game: bool
) -> Mapping[int, ScriptLine]:
    positions = tuple(scheme.positions) if scheme else ()
    passed_over = Faults("script")
    return {
        number: ScriptLine(
            number=number,
            told=words_told(row),
            look=_look(row, scheme, passed_over) if scheme else {},
            men=_men(row, positions, players, passed_over, game=game),
        )
        for number, row in kept_rows(text)
    }


def script_lines(
    book: Book, sheet: str | PathLike[str], kind: SessionKind | None
) -> list[ScriptLine]:
    """Read a script by the book's scheme and men, for a session of a kind.

    Raises
    ------
    InputError
        See ``_read_script``.
    """
    players = book.find(Player)
    return _read_script(sheet, scheme_in_force(book), players, game=kind == "game")


def match_script(
    book: Book,
    session: Session,
    lines: Sequence[ScriptLine],
    *,
    from_play: int = 1,
    from_number: int | None = None,
) -> int:
    """Match script lines to a session's clips in order and return how many were matched.

    A number that has no play leaves its line out.

    Where the script drifted, match again from the play where it did: what an earlier
    match said of those plays is replaced, what a person marked stays, and so does a man
    of whom something is marked. A line belongs to one play: one that comes to another play
    leaves the play it was matched to before.

    Parameters
    ----------
    from_play : int
        The first play to match.
    from_number : int or None
        The script number that play was; None for the line of the same place.

    Raises
    ------
    BookError
        When there is no such play, or no such line.
    """
    plays = [clip.order for clip in book.find(Clip, session_id=session.id)]
    matched = [play for play in plays if play >= from_play]
    if not matched:
        raise BookError(f"{session.name} has no play {from_play} to match the script from.")
    if from_number is None:
        wanted = list(lines[from_play - 1 :])
    elif any(line.number == from_number for line in lines):
        wanted = [line for line in lines if line.number >= from_number]
    else:
        wanted = []
    if not wanted:
        what = f"number {from_number}" if from_number is not None else f"line {from_play}"
        raise BookError(f"The script has no {what} to match from; it has {len(lines)} plays.")
    return match_plays(book, session, lines, _paired(matched, wanted, from_play))


def shift_script(book: Book, session: Session, *, from_play: int, by: int) -> int:
    """Move what the script said along the plays, from a play on; return how many plays changed.

    The one act for a script that drifted: ``by=1`` where the play was not on the script, so
    that it and each after it had the line of another; ``by=-1`` where a line was not run.
    Facts, men and words of the script move; what a person marked stays where it is. A play
    that was known not to be on the script stays so.

    Raises
    ------
    BookError
        When no script was kept, or there is nothing to move.
    """
    lines = kept_lines(book, session)
    if not lines:
        raise BookError(
            f"No script of {session.name} is kept in this book; bring its sheet in again, then "
            "move it."
        )
    plays = book.find(Clip, session_id=session.id)
    last = max((clip.order for clip in plays if clip.script_number is not None), default=0)
    planned = [
        clip
        for clip in plays
        if clip.order >= from_play and (clip.script_number is not None or clip.order > last)
    ]
    numbers = [clip.script_number for clip in planned if clip.script_number is not None]
    if not numbers or by == 0:
        raise BookError(f"The script says nothing of play {from_play} or after it to move.")
    numbers += [line.number for line in lines if line.number > numbers[-1]]
    by_number = {line.number: line for line in lines}
    moved = [None] * by + numbers if by > 0 else numbers[-by:]
    pairs = {
        clip.order: by_number.get(number) if number is not None else None
        for clip, number in zip_longest(planned, moved[: len(planned)])
    }
    match_plays(book, session, lines, pairs)
    now = {clip.id: clip.script_number for clip in book.find(Clip, session_id=session.id)}
    return sum(now[clip.id] != clip.script_number for clip in plays)


def match_new_plays(
    book: Book, home: Session, lines: Sequence[ScriptLine], *, there: Collection[int]
) -> int:
    """Match a script to the clips just made; to all where an angle alone was added.

    A sheet that reaches the first of them is one of the whole session, and they take its
    lines of their own places; a shorter one is a sheet of the new plays alone.

    Parameters
    ----------
    there : collection of int
        The plays that were there before: what was matched to them stays.

    Raises
    ------
    BookError
        When a sheet of the new plays alone has numbers of those.
    """
    plays = [clip.order for clip in book.find(Clip, session_id=home.id)]
    new = [play for play in plays if play not in there]
    if not new or not there or not lines:
        return match_script(book, home, lines)
    first = min(new)
    wanted = lines[first - 1 :]
    if not wanted:
        check_numbers(book, home, lines, there)
        wanted = lines
    return match_plays(book, home, lines, _paired(new, wanted, first))


def check_numbers(
    book: Book, home: Session, lines: Sequence[ScriptLine], there: Collection[int]
) -> None:
    """Refuse a sheet of new plays alone whose numbers are those of plays that were there before.

    A number is one line of a session's script: plays it was matched to would lose theirs.

    Parameters
    ----------
    there : collection of int
        The plays that were there before.

    Raises
    ------
    BookError
        When a number is another play's.
    """
    numbers = {line.number for line in lines}
    plays = book.find(Clip, session_id=home.id)
    had = [one for one in plays if one.order in there and one.script_number in numbers]
    if not had:
        return
    last = max(one.script_number or 0 for one in plays)
    raise BookError(
        f"Number {had[0].script_number} of this script is play {had[0].order} of {home.name} "
        f"already; number a sheet of new plays from {last + 1} on, or bring the whole script in."
    )


def uneven_script(book: Book, home: Session, lines: Sequence[ScriptLine]) -> list[str]:
    """Tell where a script has another number of plays than its session."""
    # By the last play's number: where a number has no play, its line of the script has none.
    last = max((clip.order for clip in book.find(Clip, session_id=home.id)), default=0)
    if last == len(lines):
        return []
    return [
        f"The script has {len(lines)} plays and the session {last}: check where they part, then "
        "match again from that play."
    ]


def _paired(
    plays: Iterable[int], wanted: Sequence[ScriptLine], first: int
) -> dict[int, ScriptLine]:
    """Give plays their lines, of which the first is that of a play.

    By number, not by count: where a number has no play, its line has none either.
    """
    return {play: wanted[play - first] for play in plays if play - first < len(wanted)}


def _look(row: SheetRow, scheme: Scheme, faults: Faults) -> dict[str, Value]:
    look: dict[str, Value] = {}
    for reference in scheme.references:
        text = row.text(reference)
        if not text:
            continue
        try:
            look[reference] = read_value(scheme.fact_of(reference), text)
        except LookError as error:
            faults.add(row.line, str(error))
    for fault in scheme.look_faults(look):
        faults.add(row.line, f"{fault}.")
    return look


def _men(
    row: SheetRow,
    positions: Sequence[str],
    players: Sequence[Player],
    faults: Faults,
    *,
    game: bool,
) -> dict[str, Player]:
    men: dict[str, Player] = {}
    for position in positions:
        text = row.text(position)
        if not text:
            continue
        found = find_player(players, text, game=game)
        if isinstance(found, str):
            faults.add(row.line, found)
        else:
            twice = [other for other, man in men.items() if man.id == found.id]
            if twice:
                faults.add(row.line, f"{found.name} can't be {twice[0]} and {position} at once.")
            men[position] = found
    return men
