"""The script beside the plays: looked at as they are gone through, and moved by hand."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import TYPE_CHECKING

from psygnal import Signal

from gradecut.errors import GradecutError
from gradecut.records import Clip, Session

if TYPE_CHECKING:
    from gradecut.desk.film_desk import FilmDesk
    from gradecut.desk.script_rows import ScriptSheetRows
    from gradecut.workflows.script_drift import Drift

__all__ = ["ScriptBeside", "way_words"]

_TOLD_TABLES = frozenset({"facts", "clips", "scripts"})


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
        from gradecut.desk.script_rows import ScriptSheetRows

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
        from gradecut.workflows.script_drift import find_drift

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
        self._desk.say(f"{drift.what[:-1]} ({drift.sure}). Alt+X shows why, and moves it.")
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
        from gradecut.workflows.script_drift import find_drift

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
