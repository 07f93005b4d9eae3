"""Plays matched to the lines of a script: what a line says comes in, what a person said stays."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from gradecut.book import Book
from gradecut.book.acts import ActDraft
from gradecut.records import Actual, Clip, FactValue, Grade, LineUp, Player, Rep, Session
from gradecut.scheme import Value
from gradecut.workflows.kept_scripts import told_by_scripts
from gradecut.workflows.let_through import facts_let_through, words_let_through
from gradecut.workflows.line_ups import touched
from gradecut.workflows.of_a_rep import by_clip
from gradecut.workflows.script_cells import BLANK

__all__ = ["ScriptLine", "match_plays"]


@dataclass(frozen=True, slots=True, kw_only=True)
class ScriptLine:
    """One planned play.

    Attributes
    ----------
    number : int
        Its number on the script.
    told : mapping
        What it says of the clip, by the clip's own field names.
    look : mapping of reference to value
        What it says of the look.
    men : mapping of position to Player
        Who is to be in.
    """

    number: int
    told: Mapping[str, object]
    look: Mapping[str, Value]
    men: Mapping[str, Player]


def match_plays(
    book: Book,
    session: Session,
    lines: Sequence[ScriptLine],
    pairs: Mapping[int, ScriptLine | None],
) -> int:
    """Match plays to their lines, each line taken from the play it was matched to before.

    What a person told stays. What he only let through as the script drew it goes with the
    script: the look waits to be seen again, and so does a man the script puts in anew.
    """
    taken = {line.number for line in pairs.values() if line is not None}
    said = told_by_scripts(book, session.id)
    # A book from before scripts were kept: what a line says now it may have said then.
    said = said or {line.number: line.told for line in lines}
    changing = [
        (clip, pairs.get(clip.order))
        for clip in book.find(Clip, session_id=session.id)
        if clip.order in pairs or clip.script_number in taken
    ]
    ids = [clip.id for clip, _ in changing]
    facts = by_clip(book.find(FactValue, clip_id=ids, source="script"))
    rows, reps = by_clip(book.find(LineUp, clip_id=ids)), by_clip(book.find(Rep, clip_id=ids))
    men = [rep for found in reps.values() for rep in found]
    spoken_of = touched(book, men)
    else_said = touched(book, men, beside=(Grade, Actual))
    let_through = words_let_through(book, [rep for rep in men if rep.id not in else_said])
    as_drawn = by_clip(facts_let_through(book, ids))
    going: list[Rep] = []
    with book.act("match the script") as act:
        for clip, line in changing:
            act.put(_told(clip, line, said))
            scripted = facts.get(clip.id, ())
            if _changes(clip, line):
                said_so = {(fact.reference, fact.value) for fact in scripted}
                act.drop_all(
                    fact for fact in as_drawn.get(clip.id, ())
                    if (fact.reference, fact.value) in said_so
                )  # fmt: skip
            _put_facts(act, clip, scripted, line.look if line else {})
            here = reps.get(clip.id, ())
            left = _put_in_men(act, clip, line.men if line else {}, rows.get(clip.id, ()), here)
            for rep in left:
                if rep.id in let_through:
                    act.drop_all(let_through[rep.id])
                elif rep.id in spoken_of:
                    continue
                going.append(rep)
        act.drop_all(going)
    return sum(line is not None for line in pairs.values())


def _changes(clip: Clip, line: ScriptLine | None) -> bool:
    return clip.script_number != (line.number if line else None)


def _told(clip: Clip, line: ScriptLine | None, said: Mapping[int, Mapping[str, object]]) -> Clip:
    """Say of one clip what its line says, and nothing more of the line it had before.

    Parameters
    ----------
    said : mapping of number to what the script said of its clip
        A value of the clip that is another one was typed by a person, and stays.
    """
    before = {} if clip.script_number is None else said.get(clip.script_number, {})
    free = {
        word: blank
        for word, blank in BLANK.items()
        if getattr(clip, word) in (blank, before.get(word, blank))
    }
    told = {word: free[word] for word in before if word in free}
    number = line.number if line else None
    if line is not None:
        told |= {word: value for word, value in line.told.items() if word in free}
    return replace(clip, script_number=number, **told)  # type: ignore[arg-type]  # the clip's own field names


def _put_facts(
    act: ActDraft, clip: Clip, there: Sequence[FactValue], look: Mapping[str, Value]
) -> None:
    """Let the script say a look of a clip, and nothing else of it."""
    known = {fact.reference: fact for fact in there}
    act.drop_all(fact for fact in there if fact.reference not in look)
    for reference, value in look.items():
        new = FactValue(clip_id=clip.id, reference=reference, value=value, source="script")
        act.put(replace(known[reference], value=value) if reference in known else new)


def _put_in_men(
    act: ActDraft, clip: Clip, men: Mapping[str, Player], rows: Sequence[LineUp],
    reps: Sequence[Rep],
) -> list[Rep]:  # fmt: skip
    """Put the men of a line in where nobody was put in by hand; return the reps of those before.

    A man who stands elsewhere by hand stays there; one who was only taken to be in goes where
    the script knows better.
    """
    by_hand = [row for row in rows if row.source == "marked"]
    places, standing = ({row.position for row in by_hand}, {row.player_id for row in by_hand})
    coming = {
        position: man
        for position, man in men.items()
        if position not in places and man.id not in standing
    }
    at = {man.id: position for position, man in coming.items()}
    there = {(rep.position, rep.player_id) for rep in reps}
    left: set[tuple[str, str]] = set()
    told: dict[str, LineUp] = {}
    for row in rows:
        if row.source == "marked":
            continue
        moved = at.get(row.player_id, row.position) != row.position
        if row.position in coming:
            told[row.position] = row
        elif row.source == "script" or moved:
            act.drop(LineUp, row.id)
        if row.position in coming or row.source == "script" or moved:
            left.add((row.position, row.player_id))
    for position, man in coming.items():
        new = LineUp(clip_id=clip.id, position=position, player_id=man.id, source="script")
        old = told.get(position)
        same = old is not None and (old.player_id, old.source) == (man.id, "script")
        if not same:
            act.put(replace(new, id=old.id) if old is not None else new)
        left.discard((position, man.id))
        if (position, man.id) not in there:
            act.put(Rep(clip_id=clip.id, player_id=man.id, position=position))
    return [rep for rep in reps if (rep.position, rep.player_id) in left]
