"""His own film against the scheme: looks he has really met that it answers badly."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from gradecut.counting_words import counted
from gradecut.desk.scheme_beside import BesideRow, FoundBeside, PlayNames
from gradecut.progress import CancelToken, Progress
from gradecut.scheme import Scheme
from gradecut.workflows.rule_words import look_line

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


class SchemeMet(FoundBeside["tuple[FilmAudit, PlayNames]"]):
    """Holds the film against the scheme that is shown; the most frequent row first.

    A row's key is the MetLook.
    """

    work_name = "Looking through the film"

    def __init__(self, desk: SchemeDesk) -> None:
        super().__init__(desk)
        self._found: FilmAudit | None = None

    def look_through(self) -> None:
        """Look through the film; what runs already is followed by it."""
        self._find_out()

    def _work(
        self, scheme: Scheme
    ) -> Callable[[Progress, CancelToken], tuple[FilmAudit, PlayNames]]:
        book = self._desk.book

        def work(progress: Progress, cancel: CancelToken) -> tuple[FilmAudit, PlayNames]:
            from gradecut.workflows.film_audit import audit_film

            found = audit_film(book, scheme, progress=progress, cancel=cancel)
            return found, PlayNames(book)

        return work

    def _take(self, _scheme: Scheme, found: tuple[FilmAudit, PlayNames]) -> None:
        self._found, names = found
        self.rows = tuple(_row(one, names) for one in self._found.met)

    def _forget(self) -> None:
        self._found = None

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
