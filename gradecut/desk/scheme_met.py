"""His own film against the scheme: looks he has really met that it answers badly."""

from __future__ import annotations

from typing import TYPE_CHECKING

from psygnal import Signal

from gradecut.desk.number_words import counted
from gradecut.desk.rule_words import look_line
from gradecut.desk.scheme_beside import BesideRow, PlayNames
from gradecut.progress import CancelToken, Progress
from gradecut.scheme import Scheme

if TYPE_CHECKING:
    from gradecut.desk.scheme_desk import SchemeDesk
    from gradecut.workflows.film_audit import FilmAudit, MetLook

__all__ = ["SchemeMet"]

_KINDS = {
    "hole": ("no rule", "✗", True),
    "overlap": ("rules disagree", "✗", True),
    "open": ("still open", "△", False),
    "unread": ("can't be read", "△", False),
}


class SchemeMet:
    """Holds the film against the scheme that is shown, beside the window.

    Attributes
    ----------
    rows : tuple of BesideRow
        The most frequent first; a row's key is the MetLook.
    running : bool

    Signals
    -------
    changed
    """

    changed = Signal()

    def __init__(self, desk: SchemeDesk) -> None:
        self._desk = desk
        self._found: FilmAudit | None = None
        self._of: Scheme | None = None
        self._again = False
        self.rows: tuple[BesideRow, ...] = ()
        self.running = False
        self.refused = ""
        self.seen = False
        desk.scheme_changed.connect(self._follow)

    def look_through(self) -> None:
        """Look through the film; what runs already is followed by it."""
        self.seen = True
        scheme, book = self._desk.shown, self._desk.book
        if scheme is None:
            return
        if self.running:
            self._again = True
            return
        self.running = True

        def work(progress: Progress, cancel: CancelToken) -> tuple[FilmAudit, PlayNames]:
            from gradecut.workflows.film_audit import audit_film

            found = audit_film(book, scheme, progress=progress, cancel=cancel)
            return found, PlayNames(book)

        def done(made: tuple[FilmAudit, PlayNames]) -> None:
            self._found, names = made
            self._of, self.refused = scheme, ""
            self.rows = tuple(_row(one, names) for one in self._found.met)
            self._end()

        def refused(sentence: str) -> None:
            self._found, self.rows, self.refused = None, (), str(sentence)
            self._end()

        self._desk.jobs.start("Looking through the film", work, done, refused, refused)
        self.changed.emit()

    def verdict(self) -> str:
        """Say in one sentence how the film is answered."""
        if self.refused:
            return self.refused
        found = self._found
        if found is None:
            return "Looking through the film …" if self.running else ""
        if not found.reps and not found.open:
            return "No look of your film is told yet."
        if not self.rows:
            return f"Every look met is answered: {counted(found.reps, 'rep')}."
        return f"{counted(len(self.rows), 'look')} of your film answered badly."

    def beside(self) -> str:
        """Say how many reps are answered well."""
        return self._found.words if self._found is not None and self._found.reps else ""

    def _follow(self) -> None:
        if self.seen and self._desk.shown is not self._of:
            self.look_through()

    def _end(self) -> None:
        self.running = False
        if self._again:
            self._again = False
            self.look_through()
        else:
            self.changed.emit()


def _row(met: MetLook, names: PlayNames) -> BesideRow:
    kind, sign, serious = _KINDS[met.kind]
    rules = f" · {', '.join(met.rules)}" if met.rules else ""
    return BesideRow(
        key=met,
        name=f"{met.position}: {kind}{rules}",
        at_right=counted(len(met.clips), "play"),
        sign=sign,
        serious=serious,
        words=met.message,
        look=met.look,
        told_look=look_line(met.look),
        columns=(("met on", names.several(met.clips)),),
        clips=met.clips,
        position=met.position,
    )
