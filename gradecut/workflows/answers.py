"""A player's own answers: brought into the book under his name, and laid beside the coach's."""

from __future__ import annotations

import re
from dataclasses import dataclass
from os import PathLike

from gradecut.book import Book
from gradecut.errors import GradecutError, InputError
from gradecut.hints import nearest
from gradecut.records import Did, Grade, Player, Rep, RepLine
from gradecut.reports.packet import ANSWER_COLUMNS, SAID_OWED
from gradecut.reports.wording import owed_words, with_side
from gradecut.scheme import Scheme
from gradecut.workflows.booking import scheme_in_force
from gradecut.workflows.judging import judge
from gradecut.workflows.lines import rep_lines
from gradecut.workflows.rep_asked import RepAsked, ask_rep
from gradecut.workflows.roster import find_player
from gradecut.workflows.sheet_places import SheetPlaces
from gradecut.workflows.sheets import Faults, SheetRow, read_sheet

__all__ = ["Answers", "Compared", "compare_answers", "record_answers", "said_owed"]

_RIGHT = "right"
_MISSED = "missed it"
_NOTED = re.compile(r"Said he owed “([^”]*)”\.\s?")
_FORMULA_GUARD = re.compile(r"^'(?=[=+\-@\t\r\n])")


@dataclass(frozen=True, slots=True, kw_only=True)
class Answers:
    """What a sheet of answers came to.

    Attributes
    ----------
    player : Player
        Whose answers they are; they stand under his name, whoever brought them in.
    grades : tuple of Grade
        His own judgement of each rep he answered, as it stands now.
    """

    player: Player
    grades: tuple[Grade, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Compared:
    """A rep on which a player and his coach differ.

    Attributes
    ----------
    line : RepLine
        With the coach's grade.
    his : Grade
        The player's own.
    said_owed : str
        The fit he said he owed.
    on : tuple of str
        What they differ on: "owed", "did" or both.
    says : str
        One sentence to talk about.
    """

    line: RepLine
    his: Grade
    said_owed: str
    on: tuple[str, ...]
    says: str


def record_answers(book: Book, path: str | PathLike[str]) -> Answers:
    """Bring a player's saved answers into the book, as his own grades.

    They are grades by him and nobody else: no coach's word, no mark, no moment, and no
    board, sheet or reel counts them unless it is asked for his. The fit he said he owed
    stands in the note. "Right" means that he did what he said he owed, so where that is
    not what was asked of him it is kept as the fit he played.

    Raises
    ------
    InputError
        With every fault and its line; the book then stays as it was.
    """
    scheme = scheme_in_force(book)
    if scheme is None:
        raise InputError(path, [(0, "the book has no scheme yet, so it knows no fits.")])
    rows = read_sheet(path, needed=("play", SAID_OWED, "did"), known=ANSWER_COLUMNS)
    faults = Faults(path)
    places = SheetPlaces(book, faults)
    player = _whose(book, rows, faults)
    faults.raise_any()
    grades = []
    with book.act(f"bring in {player.name}'s own answers"):
        for row in rows:
            grade = _record(book, scheme, player, row, places=places, faults=faults)
            if grade is not None:
                grades.append(grade)
        faults.raise_any()
    return Answers(player=player, grades=tuple(grades))


def said_owed(grade: Grade) -> str:
    """Return the fit a player said he owed; empty where he said none."""
    found = _NOTED.match(grade.note)
    return found.group(1) if found else ""


def compare_answers(book: Book, player: Player) -> list[Compared]:
    """Return the reps on which a player's own grade and the coach's differ, in film order.

    Only reps both have judged: disagreement is what there is to talk about.
    """
    coach = {line.rep.id: line for line in rep_lines(book) if line.player.id == player.id}
    own = [line for line in rep_lines(book, author=player.name) if line.rep.id in coach]
    pairs = [(coach[line.rep.id], line.grade) for line in own if line.grade is not None]
    return [
        Compared(line=line, his=his, said_owed=said_owed(his), on=on, says=_says(line, his))
        for line, his in pairs
        if line.grade is not None and (on := _differ(line.grade, his))
    ]


def _whose(book: Book, rows: list[SheetRow], faults: Faults) -> Player:
    """Find the one player whose answers a sheet holds."""
    players = book.find(Player)
    found: dict[str, Player] = {}
    for row in rows:
        said = row.text("player")
        man = find_player(players, said) if said else "names no player; fill in player."
        if isinstance(man, str):
            faults.add(row.line, man)
        else:
            found[man.id] = man
    if len(found) > 1:
        names = " and ".join(man.name for man in found.values())
        faults.add(0, f"holds answers of {names}; bring in one player's answers at a time.")
    faults.raise_any()
    return next(iter(found.values()))


def _record(
    book: Book,
    scheme: Scheme,
    player: Player,
    row: SheetRow,
    *,
    places: SheetPlaces,
    faults: Faults,
) -> Grade | None:
    """Record one line; None when it has a fault, which is noted."""
    clip = places.clip(row)
    rep = places.rep(row, clip, scheme) if clip is not None else None
    if rep is None:
        return None
    try:
        return _judge(book, rep, player, scheme, row)
    except GradecutError as error:
        faults.add(row.line, str(error))
        return None


def _judge(book: Book, rep: Rep, player: Player, scheme: Scheme, row: SheetRow) -> Grade:
    said = row.text(SAID_OWED)
    if said not in scheme.fits:
        raise GradecutError(f"“{said}” is no fit of the scheme; {nearest(said, scheme.fits)}")
    did, name = _what_he_did(ask_rep(book, rep), scheme, said, row)
    cause, note = row.text("cause"), _FORMULA_GUARD.sub("", row.text("note"))
    if cause and did not in ("fit", "miss"):
        cause, note = "", f"{note} ({cause})".strip()
    return judge(
        book,
        rep,
        did=did,
        name=name,
        cause=cause,
        note=f"Said he owed “{said}”. {note}".strip(),
        author=player.name,
    )


def _what_he_did(asked: RepAsked, scheme: Scheme, said: str, row: SheetRow) -> tuple[Did, str]:
    """Turn what he says he did, seen from what he says he owed, into what was asked of him."""
    did, reason = row.text("did"), row.text("cannot_grade")
    if bool(did) == bool(reason):
        raise GradecutError("says not what he did, or says it twice; fill in did or cannot_grade.")
    if reason:
        return ("cannot grade", reason)
    if asked.owes is None:
        return ("cannot grade", f"what he owed is not settled; he says: {did}")
    misses = [name for name, _ in scheme.fits[said].misses]
    played = said if did == _RIGHT else did
    if played in scheme.fits and played not in misses:
        return ("as owed", "") if played == asked.owes else ("fit", played)
    if played not in misses and (misses or played != _MISSED):
        raise GradecutError(f"“{did}” is no way to miss “{said}”; {nearest(did, misses)}")
    if said == asked.owes:
        return ("miss", played if misses else "")
    return ("cannot grade", f"by his own word he missed {said}: {played}")


def _differ(coach: Grade, his: Grade) -> tuple[str, ...]:
    """Say what two grades of a rep differ on."""
    said = said_owed(his)
    owed = bool(said) and said not in (coach.expected_fit, *coach.expected_also)
    did = (coach.did, coach.did_name, coach.fit_result) != (his.did, his.did_name, his.fit_result)
    return (*(("owed",) if owed else ()), *(("did",) if did else ()))


def _says(line: RepLine, his: Grade) -> str:
    """Put both sides of a disagreement in one sentence."""
    coach = _did(line.grade) if line.grade else "not graded"
    return (
        f"Play {line.clip.order}: he says he owed {said_owed(his) or 'nothing'}: {_did(his)}; "
        f"the coach says he owed {owed_words(line)}: {coach}."
    )


def _did(grade: Grade) -> str:
    if grade.did == "cannot grade":
        return f"can't be graded, {grade.cannot.get('fit', grade.did_name)}"
    if grade.did == "fit":
        return f"played {with_side(grade.did_name, grade.did_side)}"
    return "did it" if grade.did == "as owed" else grade.did_name or "missed it"
