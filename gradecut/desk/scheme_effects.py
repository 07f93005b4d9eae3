"""Keeping a scheme: what it turns is told first, and nothing is in force before he says so."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from psygnal import Signal

from gradecut.book import Book
from gradecut.counting_words import all_listed, counted
from gradecut.desk.saying import says
from gradecut.desk.scheme_files import named
from gradecut.errors import SchemeError
from gradecut.progress import CancelToken, Progress
from gradecut.records import SchemeVersion
from gradecut.reports.wording import RESULT_SIGNS
from gradecut.scheme import Scheme, parse_scheme
from gradecut.workflows.lines import rep_lines

if TYPE_CHECKING:
    from gradecut.desk.scheme_desk import SchemeDesk
    from gradecut.scheme.auditing import Audit
    from gradecut.workflows.scheme_changes import Effects, Regraded, Turned

__all__ = ["SchemeKeeping", "TurnedMan", "TurnedRow"]

_TEXT = "the draft"
_WHAT = "Putting the scheme in force"


@dataclass(frozen=True, slots=True, kw_only=True)
class TurnedRow:
    """One grade that would turn.

    Attributes
    ----------
    play : str
    owed : str
        "fill B → overlap D".
    result : str
        "✓ right → ✗ wrong".
    again : str
        Why a person must judge again; empty where the rules can.
    """

    clip_id: str
    rep_id: str
    play: str
    owed: str
    result: str
    again: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class TurnedMan:
    """The grades of one man that would turn, in the order of the plays."""

    name: str
    rows: tuple[TurnedRow, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Kept:
    """A scheme that came into force, and what that did."""

    version: SchemeVersion
    stale: int
    judged: Regraded | None


class SchemeKeeping:
    """Looks at what a scheme would turn, and puts it in force when that is what he wants.

    Where no grade turns, every fact told can still be read and nothing is found wrong with it, it
    is in force at once; so is a scheme without any rule, which learns them.

    Attributes
    ----------
    effects : Effects or None
        Of the scheme he is asked about; None while he is asked nothing.
    name : str
        That scheme: "Harbor 2".
    findings : str
        What the audit finds wrong with it, in a sentence; empty where it is sound.

    Signals
    -------
    asked
        There is something to tell before it is put in force.
    settled
        It came into force, or was let be.
    """

    asked = Signal()
    settled = Signal()

    def __init__(self, desk: SchemeDesk) -> None:
        self._desk = desk
        self._text = ""
        self._of_draft = ""
        self.effects: Effects | None = None
        self.name = ""
        self.findings = ""

    def ask(self, text: str, *, draft: str = "") -> None:
        """Look at what putting a text in force would turn; then ask, or put it in force.

        Parameters
        ----------
        text : str
            A whole scheme file.
        draft : str
            The draft it was made from; empty for the text of a file, or of a version kept before.
        """
        book = self._desk.book

        audit = self._desk.audit
        settled = draft and not audit.running and audit.scheme is self._desk.shown
        audited = audit.audit if settled else None

        def work(progress: Progress, cancel: CancelToken) -> tuple[Effects, str]:
            from gradecut.workflows.scheme_changes import change_effects

            scheme = parse_scheme(text, _TEXT)
            effects = change_effects(book, scheme, progress=progress, cancel=cancel)
            return effects, _findings_words(scheme, audited, cancel)

        def done(found: tuple[Effects, str]) -> None:
            effects, self.findings = found
            self.name = named(parse_scheme(text, _TEXT)) or "The scheme"
            self._text, self._of_draft = text, draft
            if effects.turned or effects.unread or self.findings:
                self.effects = effects
                self.asked.emit()
            else:
                self._put(judge=False)

        self._desk.jobs.start("Looking at what turns", work, done)

    def keep_and_judge(self) -> None:
        """Put it in force, and judge again what rules alone can judge; one act."""
        self._put(judge=True)

    def keep(self) -> None:
        """Put it in force; the grades it turns stay as they are, and show as stale."""
        self._put(judge=False)

    def leave(self) -> None:
        """Put nothing in force."""
        self._text, self.effects = "", None
        self.settled.emit()

    # ------------------------------------------------------------------ in words

    def summary(self) -> tuple[str, ...]:
        """Say all of it in sentences, the weightiest first."""
        if self.effects is None:
            return ()
        return (*self.effects.words, *((self.findings,) if self.findings else ()))

    def men(self) -> tuple[TurnedMan, ...]:
        """List what would turn by man, the man with most first."""
        if self.effects is None:
            return ()
        by_man: dict[tuple[str, str], list[Turned]] = {}
        for one in self.effects.turned:
            by_man.setdefault((one.player_id, one.position), []).append(one)
        listed = [
            TurnedMan(
                name=f"{found[0].position} · {found[0].player}",
                rows=tuple(map(_row, found)),
            )
            for found in by_man.values()
        ]
        return tuple(sorted(listed, key=lambda man: -len(man.rows)))

    # ------------------------------------------------------------------ inside

    @says
    def _put(self, *, judge: bool) -> None:
        text, effects = self._text, self.effects
        if not text:
            return
        reps = [one.rep_id for one in effects.turned] if judge and effects is not None else []
        book = self._desk.book

        def work(progress: Progress, cancel: CancelToken) -> _Kept:
            return _put_in_force(book, text, reps, progress, cancel)

        self.leave()
        self._desk.jobs.start(_WHAT, work, self._in_force)

    def say(self, sentence: str) -> None:
        """Say a sentence."""
        self._desk.say(sentence)

    def _in_force(self, kept: _Kept) -> None:
        self._desk.came_in_force("" if self._of_draft else kept.version.text)
        name = f"{kept.version.name} {kept.version.version}".strip() or "The scheme"
        told = [f"{name} is in force", _stale_words(kept.stale)]
        if kept.judged is not None and (kept.judged.grades or kept.judged.left):
            told[1:] = [" ".join(kept.judged.words).rstrip(".")]
        self._desk.say(f"{'; '.join(told)}.")


def _put_in_force(
    book: Book, text: str, reps: list[str], progress: Progress, cancel: CancelToken
) -> _Kept:
    """Put a text in force, and judge some reps again; one act."""
    from gradecut.workflows.scheme_changes import keep_scheme, regrade

    before = _stale_reps(book)
    progress(0.2, _WHAT)
    cancel.check(_WHAT)
    name = parse_scheme(text, _TEXT).name or "the scheme"
    verb = f"put {name} in force" + (" and judge again" if reps else "")
    with book.act(verb):
        version = keep_scheme(book, text, _TEXT)
        judged = regrade(book, reps, progress=progress, cancel=cancel) if reps else None
    return _Kept(version=version, stale=len(_stale_reps(book) - before), judged=judged)


def _findings_words(scheme: Scheme, audit: Audit | None, cancel: CancelToken) -> str:
    """Say what is wrong with a scheme; empty where it is sound, has no rule, or can't be proven."""
    from gradecut.scheme.auditing import audit_scheme

    if not scheme.rules:
        return ""
    try:
        found = audit if audit is not None else audit_scheme(scheme, cancel=cancel)
    except SchemeError:
        return ""  # beside the grid it is told why nothing is proven
    counts = (
        (len(found.duties), "broken duty", "broken duties"),
        (len(found.holes), "hole", "holes"),
        (len(found.overlaps), "overlap", "overlaps"),
    )
    told = [f"{count} {one if count == 1 else more}" for count, one, more in counts if count]
    if not told:
        return ""
    stay = "stays" if sum(count for count, _, _ in counts) == 1 else "stay"
    sentence = f"{all_listed(told)} {stay}"
    if found.holes or found.overlaps:
        sentence += "; where rules are missing or disagree, a man owes nothing you can grade"
    return f"{sentence}."


def _row(one: Turned) -> TurnedRow:
    was = f"{RESULT_SIGNS[one.result_was]} {one.result_was}"
    if one.answer == "open":
        now = "open: a fact is not told"
    elif one.answer == "hole":
        now = "no answer"
    elif one.result_now is None:
        now = "judge him again"
    else:
        now = f"{RESULT_SIGNS[one.result_now]} {one.result_now}"
    return TurnedRow(
        clip_id=one.clip_id,
        rep_id=one.rep_id,
        play=f"play {one.play}",
        owed=one.was if one.was == one.now else f"{one.was} → {one.now or 'nothing'}",
        result=f"{was} → {now}",
        again=one.again,
    )


def _stale_reps(book: Book) -> set[str]:
    return {line.rep.id for line in rep_lines(book) if line.stale}


def _stale_words(count: int) -> str:
    if not count:
        return "no grade became stale"
    return "1 grade is stale now" if count == 1 else f"{counted(count, 'grade')} are stale now"
