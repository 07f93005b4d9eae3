"""The Scheme page: the rules in force, a check of a file, and a look that might be."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from os import PathLike
from pathlib import Path

from psygnal import Signal

from gradecut.book import Book
from gradecut.desk.jobs import JobRunner
from gradecut.desk.rule_words import rule_when
from gradecut.desk.saying import says
from gradecut.desk.what_if import WhatIf
from gradecut.errors import SchemeError
from gradecut.progress import CancelToken, Progress
from gradecut.records import BookInfo, SchemeVersion
from gradecut.scheme import Scheme, load_scheme
from gradecut.workflows.booking import adopt_scheme, book_info, scheme_of
from gradecut.workflows.lines import rep_lines

__all__ = ["CheckedFile", "RuleRow", "SchemeDesk"]


@dataclass(frozen=True, slots=True, kw_only=True)
class RuleRow:
    """One rule, readable.

    Attributes
    ----------
    when : str
        The looks it is for, in words.
    fit : str
        What it asks, with what counts as right too.
    """

    id: str
    tier: str
    men: tuple[str, ...]
    when: str
    fit: str
    cue: str
    line: int


@dataclass(frozen=True, slots=True, kw_only=True)
class CheckedFile:
    """A scheme file that was looked at.

    Attributes
    ----------
    text : str
        As it stands in the file; empty when it can't be read.
    faults : tuple of (line, sentence)
        In file order; empty when the file is sound.
    scheme : Scheme or None
        None when it has faults.
    """

    path: str
    text: str
    faults: tuple[tuple[int, str], ...]
    scheme: Scheme | None

    @property
    def verdict(self) -> str:
        """One sentence on the file."""
        name = Path(self.path).name
        if self.scheme is None:
            count = len(self.faults)
            return f"{name} has {count} {'fault' if count == 1 else 'faults'}; nothing was changed."
        men, rules = len(self.scheme.positions), len(self.scheme.rules)
        return f"{name} is sound: {rules} rules for {men} men."


class SchemeDesk:
    """Holds the scheme that is shown.

    Attributes
    ----------
    scheme : Scheme or None
        In force; None while the book has none.
    checked : CheckedFile or None
        The file that was looked at last.
    what_if : WhatIf or None
        A look that might be, under the scheme that is shown.

    Signals
    -------
    scheme_changed
        Another scheme is in force.
    checked_changed
        A file was looked at, or put away.
    """

    scheme_changed = Signal()
    checked_changed = Signal()

    def __init__(self, book: Book, jobs: JobRunner, say: Callable[[str], None]) -> None:
        self.book = book
        self.jobs = jobs
        self.say = say
        self.scheme: Scheme | None = None
        self.checked: CheckedFile | None = None
        self.what_if: WhatIf | None = None
        self._scheme_id: str | None = None
        self.refresh()

    @says
    def refresh(self) -> None:
        """Read again which scheme is in force."""
        found = self.book.find(BookInfo)
        scheme_id = found[0].scheme_id if found else None
        if scheme_id is None or scheme_id == self._scheme_id:
            return
        self._scheme_id = scheme_id
        self.scheme = scheme_of(self.book, scheme_id)
        self.what_if = WhatIf(self.scheme, self.say, self._graded_group())
        self.scheme_changed.emit()

    def title(self) -> str:
        """Name the scheme in force: "Harbor 1"."""
        if self.scheme is None:
            return "No scheme in force"
        return (
            " ".join(part for part in (self.scheme.name, self.scheme.version) if part) or "Scheme"
        )

    def subtitle(self) -> str:
        """Say how much there is to it."""
        if self.scheme is None:
            return "Open a scheme file to check it and put it in force."
        versions = self.book.count(SchemeVersion)
        parts = (
            f"{len(self.scheme.rules)} rules",
            f"{len(self.scheme.positions)} men",
            f"{len(self.scheme.facts)} facts",
            "1 version kept" if versions == 1 else f"{versions} versions kept",
        )
        return " · ".join(parts)

    def groups(self) -> tuple[str, ...]:
        """Return the groups of men, those who are graded first."""
        if self.scheme is None:
            return ()
        graded = self._graded_group()
        named = [group for group in self.scheme.groups if group]
        return tuple(sorted(named, key=lambda group: group != graded))

    def rules(self, group: str = "") -> list[RuleRow]:
        """List the rules, tier by tier; of one group of men only where one is named."""
        if self.scheme is None:
            return []
        men = set(self.scheme.groups.get(group, ())) if group else set(self.scheme.positions)
        rows = [
            RuleRow(
                id=rule.id,
                tier=rule.tier,
                men=tuple(man for man in rule.men if man in men),
                when=rule_when(rule.when),
                fit=rule.fit + (f" (or {', '.join(rule.also)})" if rule.also else ""),
                cue=rule.cue or "",
                line=rule.line,
            )
            for rule in self.scheme.rules
            if men.intersection(rule.men)
        ]
        tiers = {tier: place for place, tier in enumerate(self.scheme.tiers)}
        return sorted(rows, key=lambda row: tiers.get(row.tier, 0))

    @says
    def check_file(self, path: str | PathLike[str]) -> None:
        """Look at a scheme file and show every fault, or that it is sound."""
        self.checked = _look_at(path)
        self.say(self.checked.verdict)
        self.checked_changed.emit()

    def put_away(self) -> None:
        """Show the scheme in force again."""
        self.checked = None
        self.checked_changed.emit()

    @says
    def put_in_force(self) -> None:
        """Put the checked file in force, and say how many grades it makes stale."""
        if self.checked is None or self.checked.scheme is None:
            self.say("Only a sound file can be put in force.")
            return
        path = self.checked.path

        def work(progress: Progress, cancel: CancelToken) -> tuple[SchemeVersion, int]:
            before = _stale_reps(self.book)
            progress(0.5, "Putting the scheme in force")
            cancel.check("Putting the scheme in force")
            version = adopt_scheme(self.book, path)
            return version, len(_stale_reps(self.book) - before)

        self.jobs.start("Putting the scheme in force", work, self._tell_in_force)

    def _tell_in_force(self, done: tuple[SchemeVersion, int]) -> None:
        version, fresh = done
        self.checked = None
        self.refresh()
        self.checked_changed.emit()
        name = f"{version.name} {version.version}".strip() or "The scheme"
        told = "no grade became stale" if not fresh else _stale_words(fresh)
        self.say(f"{name} is in force; {told}.")

    def _graded_group(self) -> str:
        if self.scheme is None:
            return ""
        told = book_info(self.book).graded_group
        if told:
            return told
        for group, men in self.scheme.groups.items():
            if group and any(self.scheme.positions[man].graded for man in men):
                return group
        return ""


def _look_at(path: str | PathLike[str]) -> CheckedFile:
    """Load a file for its verdict only."""
    try:
        scheme = load_scheme(path)
    except SchemeError as error:
        faults = tuple((fault.line, fault.message) for fault in error.faults)
        return CheckedFile(path=str(path), text=_text_of(path), faults=faults, scheme=None)
    return CheckedFile(path=str(path), text=scheme.text, faults=(), scheme=scheme)


def _text_of(path: str | PathLike[str]) -> str:
    """Return a file's text as far as it is text; empty when it can't be read."""
    try:
        raw = Path(path).read_bytes()[:2_000_000]
    except OSError:
        return ""
    return raw.decode("utf-8", errors="replace").replace("\r\n", "\n")


def _stale_reps(book: Book) -> set[str]:
    return {line.rep.id for line in rep_lines(book) if line.stale}


def _stale_words(count: int) -> str:
    return "1 grade is stale now" if count == 1 else f"{count} grades are stale now"
