"""The script beside the plays: its lines, what film confirmed, and where it drifted."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import partial
from typing import TYPE_CHECKING

from psygnal import Signal

from gradecut.book import Book
from gradecut.errors import GradecutError
from gradecut.records import Clip, FactValue, Session
from gradecut.scheme import Scheme, Value, fact_words
from gradecut.workflows.booking import scheme_in_force
from gradecut.workflows.kept_scripts import scripts_of
from gradecut.workflows.looks import merge_facts, spell_value
from gradecut.workflows.script import ScriptLine, kept_lines, shift_script
from gradecut.workflows.script_drift import Drift, find_drift, late_first

if TYPE_CHECKING:
    from gradecut.desk.film_desk import FilmDesk

__all__ = ["ScriptBeside", "ScriptRow", "ScriptSheetRows", "way_words"]

_TOLD_TABLES = frozenset({"facts", "clips", "scripts"})


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
        return f"{self.confirmed} of {self.told} seen" if self.confirmed else "not looked at yet"

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


def way_words(by: int) -> str:
    """Say how far a script is moved along the plays: "one play later".

    >>> way_words(1), way_words(-2)
    ('one play later', '2 plays earlier')
    """
    steps = "one play" if abs(by) == 1 else f"{abs(by)} plays"
    return f"{steps} {'later' if by > 0 else 'earlier'}"


class ScriptBeside:
    """Looks, as plays are gone through, whether the script has drifted; tells it once.

    Nothing is ever moved by it.

    Signals
    -------
    found : Drift
        A place was found that had not been told.
    """

    found = Signal(object)

    def __init__(self, desk: FilmDesk, post: Callable[[Callable[[], None]], object]) -> None:
        self._desk, self._post = desk, post
        self._told: set[tuple[str, int | None, int]] = set()
        self._to_look = True
        self._session = ""
        self._closed = False
        desk.clip_changed.connect(self._came)
        self._disconnect = desk.book.on_change(self._changed)

    def close(self) -> None:
        """Listen no more."""
        self._closed = True
        self._disconnect()
        self._desk.clip_changed.disconnect(self._came)

    def rows(self) -> ScriptSheetRows | None:
        """Return the script of the session shown; None, and a sentence, without one."""
        state = self._desk.state
        if state is None:
            self._desk.say("Add film first; its script can come in with it.")
            return None
        made = ScriptSheetRows(self._desk.book, state.session)
        if not made.title:
            self._desk.say(
                f"No script of {state.session.name} is kept; bring it in with film, or with "
                "gradecut add --script."
            )
            return None
        return made

    def move(self, rows: ScriptSheetRows, from_play: int, by: int) -> bool:
        """Move the script by hand or as it was proposed, and say what came of it."""
        done: list[int] = []
        if not self._desk.do(lambda: done.append(rows.move(from_play, by)), wide=True):
            return False
        self._desk.say(
            f"From play {from_play} on the script lies {way_words(by)}; {done[0]} plays changed, "
            "what was marked stayed."
        )
        return True

    def look(self) -> Drift | None:
        """Look for a drift around the play shown; say one that was not said before."""
        state = self._desk.state
        self._to_look = False
        if state is None:
            return None
        drift = find_drift(self._desk.book, state.session, near=state.clip)
        return drift if drift is not None and self._tell(state.session, drift) else None

    def _tell(self, session: Session, drift: Drift) -> bool:
        """Say a drift that was not said before; tell whether it was."""
        known = (session.id, drift.from_play, drift.by)
        if self._closed or known in self._told:
            return False
        self._told.add(known)
        self._desk.say(f"{drift.what[:-1]} ({drift.sure}). Alt X shows why, and moves it.")
        self.found.emit(drift)
        return True

    def _came(self) -> None:
        """Look after another play has come, where something was told since the last time."""
        state = self._desk.state
        if state is None:
            return
        if state.session.id != self._session:
            self._session, self._to_look = state.session.id, True
        if self._to_look and state.clip.script_number is not None:
            self._to_look = False
            self._desk.plays.beside(partial(self._look_beside, state.session, state.clip))

    def _look_beside(self, session: Session, near: Clip) -> None:
        """Look for a drift, and let it be told in the window's thread."""
        try:
            drift = find_drift(self._desk.book, session, near=near)
        except GradecutError as error:
            self._post(partial(self._desk.say, str(error)))
            return
        if drift is not None and not self._closed:
            self._post(partial(self._found, session, drift))

    def _found(self, session: Session, drift: Drift) -> None:
        self._tell(session, drift)

    def _changed(self, rows: frozenset[tuple[str, str]]) -> None:
        if not _TOLD_TABLES.isdisjoint(table for table, _ in rows):
            self._to_look = True
