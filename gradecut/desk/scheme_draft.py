"""A draft of the scheme: every edit a step back and forth, stored at once, in force for nobody."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass, field
from os import PathLike
from pathlib import Path
from typing import Any

from gradecut.errors import OutputError
from gradecut.outfile import whole_file

__all__ = ["BareRow", "DraftStep", "SchemeDraft", "draft_file", "read_draft", "store_draft"]

_FORM = 1


@dataclass(frozen=True, slots=True, kw_only=True)
class BareRow:
    """A row of the grid that holds no fit yet, so that the file has no place for it.

    Attributes
    ----------
    tier : str
    when : str
        The condition as one line of text.
    sided : bool
        It is written with to and away.
    before : str
        The condition of the row of its tier it stands before; empty: it is the last.
    """

    tier: str
    when: str
    sided: bool
    before: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class DraftStep:
    """One edit: what stood at a place of the text, and what stands there after it.

    Attributes
    ----------
    words : str
        What was done: "fill A for Keel".
    at : int
        Place in the text, in characters.
    before, after : str
    bare_before, bare_after : tuple of BareRow
        Rows without a fit, before and after it.
    """

    words: str
    at: int
    before: str
    after: str
    bare_before: tuple[BareRow, ...] = ()
    bare_after: tuple[BareRow, ...] = ()


@dataclass(slots=True)
class SchemeDraft:
    """The text that is worked on, with the steps that led to it.

    Attributes
    ----------
    base : str
        The text in force when the draft was begun; empty where there was none.
    text : str
        As it stands after the steps taken so far.
    steps : list of DraftStep
        All of them, those taken back too.
    taken : int
        How many of them hold.
    bare : tuple of BareRow
    """

    base: str
    text: str
    steps: list[DraftStep] = field(default_factory=list)
    taken: int = 0
    bare: tuple[BareRow, ...] = ()

    @property
    def edited(self) -> bool:
        """Whether it differs from what is in force."""
        return self.text != self.base or bool(self.bare)

    @property
    def undoes(self) -> str:
        """What a step back would take back; empty where there is none."""
        return self.steps[self.taken - 1].words if self.taken else ""

    @property
    def redoes(self) -> str:
        """What a step forth would do again; empty where there is none."""
        return self.steps[self.taken].words if self.taken < len(self.steps) else ""

    def take(self, text: str, words: str, bare: tuple[BareRow, ...] | None = None) -> bool:
        """Take a step; whether it changed anything. Steps that were taken back are gone."""
        rows = self.bare if bare is None else bare
        if text == self.text and rows == self.bare:
            return False
        at, before, after = _difference(self.text, text)
        step = DraftStep(
            words=words, at=at, before=before, after=after, bare_before=self.bare, bare_after=rows
        )
        self.steps[self.taken :] = [step]
        self.taken += 1
        self.text, self.bare = text, rows
        return True

    def undo(self) -> str:
        """Go a step back; what was taken back, empty where there was nothing."""
        if not self.taken:
            return ""
        self.taken -= 1
        step = self.steps[self.taken]
        self.text = _put(self.text, step.at, step.after, step.before)
        self.bare = step.bare_before
        return step.words

    def redo(self) -> str:
        """Go a step forth; what was done again, empty where there was nothing."""
        if self.taken == len(self.steps):
            return ""
        step = self.steps[self.taken]
        self.text = _put(self.text, step.at, step.before, step.after)
        self.bare = step.bare_after
        self.taken += 1
        return step.words


def draft_file(book: str | PathLike[str]) -> Path:
    """Return where the draft of a book lies: beside it, so that it goes where the book goes."""
    path = Path(book)
    return path.with_name(f"{path.name}.draft")


def store_draft(path: Path, draft: SchemeDraft) -> str:
    """Store a draft, whole or not at all; one sentence when that can't be done, else nothing.

    A draft without an edit leaves no file.
    """
    try:
        if not draft.edited and not draft.steps:
            path.unlink(missing_ok=True)
            return ""
        with whole_file(path) as made:
            made.write_text(json.dumps(_told(draft), ensure_ascii=False), encoding="utf-8")
    except OutputError as error:
        return f"The draft is not stored, so closing the window would lose it: {error}"
    except OSError as error:
        reason = (error.strerror or str(error)).lower()
        return f"{path}: the old draft can't be cleared away ({reason}); remove it by hand."
    return ""


def read_draft(path: Path) -> SchemeDraft | None:
    """Read a draft that was left; None where there is none, or none that can be read."""
    try:
        told = json.loads(path.read_text(encoding="utf-8"))
        if told["form"] != _FORM:
            return None
        draft = SchemeDraft(
            base=str(told["base"]),
            text=str(told["text"]),
            steps=[_step(one) for one in told["steps"]],
            taken=int(told["taken"]),
            bare=_rows(told["bare"]),
        )
    except (OSError, ValueError, KeyError, TypeError):
        return None
    return draft if 0 <= draft.taken <= len(draft.steps) else None


def _told(draft: SchemeDraft) -> dict[str, object]:
    return {
        "form": _FORM,
        "base": draft.base,
        "text": draft.text,
        "taken": draft.taken,
        "bare": _listed(draft.bare),
        "steps": [
            {
                "words": step.words,
                "at": step.at,
                "before": step.before,
                "after": step.after,
                "bare_before": _listed(step.bare_before),
                "bare_after": _listed(step.bare_after),
            }
            for step in draft.steps
        ],
    }


def _step(told: Mapping[str, Any]) -> DraftStep:
    return DraftStep(
        words=str(told["words"]),
        at=int(told["at"]),
        before=str(told["before"]),
        after=str(told["after"]),
        bare_before=_rows(told["bare_before"]),
        bare_after=_rows(told["bare_after"]),
    )


def _listed(rows: tuple[BareRow, ...]) -> list[list[object]]:
    return [[row.tier, row.when, row.sided, row.before] for row in rows]


def _rows(told: list[list[Any]]) -> tuple[BareRow, ...]:
    return tuple(
        BareRow(tier=str(tier), when=str(when), sided=bool(sided), before=str(before))
        for tier, when, sided, before in told
    )


def _difference(old: str, new: str) -> tuple[int, str, str]:
    """Return where two texts differ, and what stands there in each."""
    shorter = min(len(old), len(new))
    start = _shared(old, new, shorter)
    end = _shared(old[::-1], new[::-1], shorter - start)
    return start, old[start : len(old) - end], new[start : len(new) - end]


def _shared(one: str, other: str, most: int) -> int:
    """Return how many characters two texts share from their start, by halving."""
    few = 0
    while few < most:
        middle = (few + most + 1) // 2
        if one[few:middle] == other[few:middle]:
            few = middle
        else:
            most = middle - 1
    return few


def _put(text: str, at: int, old: str, new: str) -> str:
    return f"{text[:at]}{new}{text[at + len(old) :]}"
