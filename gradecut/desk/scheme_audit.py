"""The audit beside the grid: run after every edit, its findings in the coach's words."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from psygnal import Signal

from gradecut.counting_words import counted
from gradecut.desk.jobs import JobRunner
from gradecut.progress import CancelToken, Progress
from gradecut.scheme import Scheme, Value
from gradecut.workflows.rule_words import look_line

if TYPE_CHECKING:
    from gradecut.scheme.auditing import Audit, Auditor, Finding

__all__ = ["AuditBeside", "FindingRow"]

_KINDS = {
    "hole": ("Hole", True),
    "overlap": ("Overlap", True),
    "duty": ("Broken duty", True),
    "masked": ("Never the answer", False),
    "dead": ("Matches nowhere", False),
    "idle": ("Changes nothing", False),
}
"""What each kind is called, and whether it makes the scheme unsound."""
_FAILED = "The check broke off, so nothing is proven; your edits are safe."
_COUNTED = (
    ("holes", "hole"),
    ("overlaps", "overlap"),
    ("duties", "broken duty"),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class FindingRow:
    """One finding, readable.

    Attributes
    ----------
    name : str
        Kind and whom it concerns: "Hole · Keel".
    serious : bool
        It makes the scheme unsound.
    words : str
        One sentence.
    look : mapping
        The smallest look that shows it; empty where there is none.
    told_look : str
        The same in words.
    rules : tuple of str
    position : str or None
    """

    kind: str
    name: str
    serious: bool
    words: str
    look: Mapping[str, Value]
    told_look: str
    rules: tuple[str, ...]
    position: str | None


class AuditBeside:
    """Audits the scheme that is shown, in a thread of its own, always the newest text.

    Attributes
    ----------
    rows : tuple of FindingRow
        Of the newest audit that ended; those that make it unsound first.
    running : bool
        An audit of a newer text goes on.
    refused : str
        Why it could not be audited; empty where it was.
    broke_off : bool
        It was stopped or failed half way, so that checking again may help.

    Signals
    -------
    changed
        Another audit began or ended.
    """

    changed = Signal()

    def __init__(self, jobs: JobRunner) -> None:
        self.jobs = jobs
        self.rows: tuple[FindingRow, ...] = ()
        self.running = False
        self.refused = ""
        self.broke_off = False
        self.audit: Audit | None = None
        self._auditor: Auditor | None = None
        self._wanted: Scheme | None = None
        self._of: Scheme | None = None

    @property
    def scheme(self) -> Scheme | None:
        """The scheme the findings are of; None before the first audit ended."""
        return self._of

    def look_at(self, scheme: Scheme | None) -> None:
        """Audit a scheme; what is audited now is let run, and this one follows."""
        if scheme is None:
            self.rows, self.audit, self._of, self._wanted = (), None, None, None
            self.changed.emit()
        elif scheme is not self._of or self.running:
            self._wanted = scheme
            self._start()

    def again(self) -> None:
        """Audit once more what was stopped or refused."""
        if not self.running and self._of is not None:
            self._wanted = self._of
            self._start()

    def verdict(self) -> str:
        """Say in one sentence how the scheme stands."""
        if self.refused:
            return self.refused
        if self.audit is None:
            return "Being checked …" if self.running else ""
        found = [
            _count_words(len(getattr(self.audit, kind)), name)
            for kind, name in _COUNTED
            if getattr(self.audit, kind)
        ]
        looks = f"{self.audit.looks:,} looks"
        if not found:
            met = ", and every duty is met" if self._of and self._of.duties else ""
            return f"Sound: one answer for every man on all {looks}{met}."
        return f"{', '.join(found)} in {looks}."

    def marks(self, rule: str, man: str) -> tuple[FindingRow, ...]:
        """Return what was found of one man's rule."""
        return tuple(row for row in self.rows if rule in row.rules and row.position in (None, man))

    def _start(self) -> None:
        if self.running or self._wanted is None:
            return
        scheme, self._wanted = self._wanted, None
        self.running = True

        def work(_progress: Progress, cancel: CancelToken) -> Audit:
            return self._ready().audit(scheme, cancel=cancel)

        def done(audit: Audit) -> None:
            self.audit, self._of, self.refused, self.broke_off = audit, scheme, "", False
            self.rows = tuple(_rows(audit))
            self._end()

        def refused(sentence: str, *, broke_off: bool = False) -> None:
            self.audit, self._of, self.refused = None, scheme, str(sentence)
            self.rows, self.broke_off = (), broke_off
            self._end()

        def stopped(sentence: str) -> None:
            refused(sentence, broke_off=True)

        def failed() -> None:
            self._auditor = None  # what it holds may be half made
            stopped(_FAILED)

        self.jobs.start("Checking the scheme", work, done, refused, stopped, on_failed=failed)
        self.changed.emit()

    def _end(self) -> None:
        self.running = False
        self._start()
        if not self.running:
            self.changed.emit()

    def _ready(self) -> Auditor:
        from gradecut.scheme.auditing import Auditor

        if self._auditor is None:
            self._auditor = Auditor()
        return self._auditor


def _rows(audit: Audit) -> list[FindingRow]:
    rows = [_row(finding) for finding in audit.findings]
    rows += [_unproven(sentence) for sentence in audit.unproven]
    return sorted(rows, key=lambda row: not row.serious)


def _unproven(sentence: str) -> FindingRow:
    return FindingRow(
        kind="unproven",
        name="Not proven",
        serious=False,
        words=sentence,
        look={},
        told_look="",
        rules=(),
        position=None,
    )


def _row(finding: Finding) -> FindingRow:
    kind, serious = _KINDS[finding.kind]
    whom = (finding.position, ", ".join(finding.rules), finding.fact, finding.duty)
    return FindingRow(
        kind=finding.kind,
        name=" · ".join((kind, *(one for one in whom if one))),
        serious=serious,
        words=finding.message,
        look=dict(finding.look or {}),
        told_look=look_line(finding.look or {}),
        rules=finding.rules,
        position=finding.position,
    )


def _count_words(count: int, name: str) -> str:
    return (
        f"{count} broken duties" if name == "broken duty" and count != 1 else counted(count, name)
    )
