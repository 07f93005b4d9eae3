"""The script of a session line by line, beside the plays that have its lines."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from gradecut.book import Book
from gradecut.records import Clip, FactValue, Session
from gradecut.scheme import Scheme, Value, fact_words
from gradecut.workflows.booking import scheme_in_force
from gradecut.workflows.kept_scripts import scripts_of
from gradecut.workflows.looks import merge_facts, spell_value
from gradecut.workflows.script import ScriptLine, kept_lines, shift_script
from gradecut.workflows.script_drift import Drift, find_drift, late_first

__all__ = ["ScriptRow", "ScriptSheetRows"]


@dataclass(frozen=True, slots=True, kw_only=True)
class ScriptRow:
    """One play with the line it has; a line no play has stands without a play.

    Attributes
    ----------
    play, number : int or None
        Of the play, and of the line.
    says : str
        What the line says.
    confirmed, told : int
        Facts of the line that were marked on film alike, and all it tells.
    against : tuple of str
        What film contradicts: "run left, not right".
    """

    clip_id: str = ""
    play: int | None = None
    number: int | None = None
    says: str = ""
    confirmed: int = 0
    told: int = 0
    against: tuple[str, ...] = ()
    no_play: bool = False

    @property
    def seen(self) -> str:
        """What film says of it, in words."""
        if self.play is None:
            return "no play has it"
        if self.no_play:
            return "no play"
        if self.number is None:
            return "not on the script"
        if self.against:
            return "; ".join(self.against)
        if self.confirmed == self.told and self.told:
            return "as the script says"
        return (
            f"{self.confirmed} of {self.told} checked" if self.confirmed else "not checked on film"
        )

    @property
    def words(self) -> str:
        """The whole row, for whoever can't see it."""
        play = f"Play {self.play}" if self.play is not None else "No play"
        line = f"number {self.number}, {self.says}" if self.number is not None else "no line"
        return f"{play}: {line}: {self.seen}."


class ScriptSheetRows:
    """The rows of a session's script, read anew whenever it was moved.

    Attributes
    ----------
    title : str
        What the script's sheet was called, and how many lines it has.
    rows : tuple of ScriptRow
    drift : Drift or None
    """

    def __init__(self, book: Book, session: Session) -> None:
        self._book, self._session = book, session
        self.title = ""
        self.rows: tuple[ScriptRow, ...] = ()
        self.drift: Drift | None = None
        self.read()

    def read(self) -> None:
        """Read the script, the plays and what was marked on them."""
        book, session = self._book, self._session
        scripts = scripts_of(book, session.id)
        lines = {line.number: line for line in kept_lines(book, session)}
        scheme = scheme_in_force(book)
        names = ", ".join(one.name for one in scripts)
        self.title = f"{names} · {len(lines)} lines" if scripts else ""
        plays = book.find(Clip, session_id=session.id)
        facts = self._marked(plays, scheme)
        rows = [_row(one, lines, facts.get(one.id, {}), scheme) for one in plays]
        had = {one.script_number for one in plays}
        for number in reversed([number for number in lines if number not in had]):
            at = next((n for n, row in enumerate(rows) if (row.number or 0) > number), len(rows))
            rows.insert(at, ScriptRow(number=number, says=_line_words(lines[number], scheme)))
        self.rows = tuple(rows)
        self.drift = find_drift(book, session)

    def move(self, from_play: int, by: int) -> int:
        """Move the script along the plays, from a play on; return how many plays changed.

        Raises
        ------
        BookError
            When there is nothing to move.
        """
        changed = shift_script(self._book, self._session, from_play=from_play, by=by)
        self.read()
        return changed

    def _marked(
        self, plays: Sequence[Clip], scheme: Scheme | None
    ) -> dict[str, Mapping[str, Value]]:
        """Return what was marked on each play, the play itself before how they lined up."""
        found: dict[str, list[FactValue]] = {}
        ids = [one.id for one in plays]
        for fact in self._book.find(FactValue, clip_id=ids, source="marked"):
            found.setdefault(fact.clip_id, []).append(fact)
        return {
            key: late_first(merge_facts(facts, self._book.author), scheme)
            for key, facts in found.items()
        }


def _row(
    clip: Clip,
    lines: Mapping[int, ScriptLine],
    marked: Mapping[str, Value],
    scheme: Scheme | None,
) -> ScriptRow:
    line = lines.get(clip.script_number) if clip.script_number is not None else None
    look = line.look if line else {}
    seen = {key: value for key, value in marked.items() if key in look}
    against = tuple(
        f"{fact_words(key)} {spell_value(value)}, not {spell_value(look[key])}"
        for key, value in seen.items()
        if value != look[key]
    )
    return ScriptRow(
        clip_id=clip.id,
        play=clip.order,
        number=clip.script_number,
        says=_line_words(line, scheme) if line else "",
        confirmed=len(seen) - len(against),
        told=len(look),
        against=against,
        no_play=clip.kind == "no play",
    )


def _line_words(line: ScriptLine, scheme: Scheme | None) -> str:
    """Say a line shortly: the play itself, our call, then how they line up."""
    said: dict[bool, list[str]] = {True: [], False: []}
    for reference, value in line.look.items():
        late = scheme is not None and scheme.fact_of(reference).known == "after"
        plain = late and isinstance(value, str) and value not in ("left", "right")
        words = spell_value(value) if plain else f"{fact_words(reference)} {spell_value(value)}"
        said[late].append(words)
    call = [str(line.told["call"])] if "call" in line.told else []
    return " · ".join([*said[True], *call, *said[False]])
