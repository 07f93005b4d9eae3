"""What changes of a rep mean, in words: each row of the journal before and after."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from gradecut.book import table_of
from gradecut.records import (
    Act,
    Actual,
    Change,
    Clip,
    Event,
    FactValue,
    Flag,
    Grade,
    LinedUp,
    LineUp,
    Mark,
    Moment,
    Owed,
    Rep,
)
from gradecut.reports.wording import RESULT_SIGNS, with_side
from gradecut.scheme import fact_words
from gradecut.timebase import Pts
from gradecut.workflows.blind import is_judgement
from gradecut.workflows.films import frame_of
from gradecut.workflows.moments import Timeline

__all__ = ["Line", "Row", "Words", "read_row"]

Row = Mapping[str, Any]
"""A row as the journal keeps it; of an older book a column may be missing."""

OPEN = "open"
_DRAWING = "drawing"
_HOW = {"passed": "passed at speed", "examined": "looked at closely"}
_CLIP_WORDS = {
    "kind": "what the play was",
    "call": "our call",
    "tempo": "tempo",
    "unit": "unit opposite",
    "yards_gained": "yards gained",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """One thing that changed.

    Attributes
    ----------
    what : str
        "fit", "cause", "eyes", "first step" …
    before, after : str
        Empty where nothing stood there.
    of_play : bool
        It belongs to the play, not to him alone.
    of_fact : bool
        It is a fact of the look.
    """

    what: str
    before: str
    after: str
    of_play: bool = False
    of_fact: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Words:
    """Reads changes for one rep.

    Attributes
    ----------
    players : mapping of player id to name
    grades : mapping of grade id to row
        Every judgement of the rep there ever was.
    sees : callable
        Tells whether what one person judged is shown.
    """

    rep: Rep
    players: Mapping[str, str]
    timeline: Timeline
    grades: Mapping[str, Row]
    sees: Callable[[str], bool]

    def lines(self, act: Act, changes: Sequence[Change]) -> tuple[Line, ...]:
        """Say what an act changed; empty where none of it concerns the rep."""
        graded = any(change.table == table_of(Grade) for change in changes)
        found: list[Line] = []
        for change in changes:
            before, after = _read(change.before), _read(change.after)
            row = after or before
            if change.table == table_of(Rep) and before is None:
                before = _gave_way(changes, after)
            tell = _TELLS.get(change.table)
            if row is None or tell is None or not self._is_his(change.table, row):
                continue
            author = row.get("author") or act.author
            judges = is_judgement(_KINDS[change.table], row.get("rep_id"))
            if judges and not self.sees(author):
                continue
            if graded and change.table == table_of(Actual):
                continue  # the judgement beside it says the same, and what was before
            told = tell(self, before, after)
            whose = f" ({author}’s)" if author != act.author else ""
            found += [replace(line, what=f"{line.what}{whose}") for line in told]
        return tuple(_gathered(found))

    def _is_his(self, table: str, row: Row) -> bool:
        """Tell whether a row speaks of this rep, or of his play as a whole."""
        if table == table_of(LineUp):
            return bool(row["position"] == self.rep.position)
        if table == table_of(Rep):
            return bool(row["id"] == self.rep.id)
        if table in (table_of(FactValue), table_of(Clip)):
            return True
        return row.get("rep_id") in (None, self.rep.id)

    # ------------------------------------------------------------------ one kind of row each

    def grade(self, before: Row | None, after: Row | None) -> list[Line]:
        """Tell a judgement, beside the one it superseded or gave way to."""
        row = after or before
        other = self.grades.get(str(row["supersedes"])) if row else None
        old, new = (other, after) if after is not None else (before, other)
        return grade_lines(old, new)

    def actual(self, before: Row | None, after: Row | None) -> list[Line]:
        """Tell what he was said to have done, where no judgement came of it."""
        return _line("did", _did(before), _did(after))

    def owed(self, before: Row | None, after: Row | None) -> list[Line]:
        """Tell the coach's word on what he owed."""
        return _line("owed, by the coach’s word", _owed(before), _owed(after))

    def lined_up(self, before: Row | None, after: Row | None) -> list[Line]:
        """Tell how he lined up."""
        return _line("lined up", _lined_up(before), _lined_up(after))

    def event(self, before: Row | None, after: Row | None) -> list[Line]:
        """Tell what was counted."""
        return _line("counted", _text(before, "name"), _text(after, "name"))

    def flag(self, before: Row | None, after: Row | None) -> list[Line]:
        """Tell a flag, on him or on the whole play."""
        row = after or before
        whole = row is not None and row["rep_id"] is None
        words = "flagged" if not whole else "whole play flagged"
        return _line(
            "to show tomorrow", words if before else "", words if after else "", of_play=whole
        )

    def moment(self, before: Row | None, after: Row | None) -> list[Line]:
        """Tell a moment, by its frame."""
        row = after or before
        if row is None:
            return []
        said = [self._frame(one) if one else "" for one in (before, after)]
        return _line(str(row["kind"]), *said, of_play=row["rep_id"] is None)

    def mark(self, before: Row | None, after: Row | None) -> list[Line]:
        """Tell a drawing of his."""
        row = after or before
        if row is None or row["rep_id"] is None:
            return []
        kind = str(row["kind"])
        changed = f"{kind}, changed" if before and after else kind
        return _line(_DRAWING, kind if before else "", changed if after else "")

    def rep_row(self, before: Row | None, after: Row | None) -> list[Line]:
        """Tell who was named, at which position."""
        found = _line("who", self._name(before), self._name(after))
        if before and after and before["id"] == after["id"]:
            found += _line("position", _text(before, "position"), _text(after, "position"))
            found += _line("side", _text(before, "side"), _text(after, "side"))
        return found

    def line_up(self, before: Row | None, after: Row | None) -> list[Line]:
        """Tell on which side he lined up, where that was told."""
        return _line("side", _text(before, "side"), _text(after, "side"), of_play=True)

    def fact(self, before: Row | None, after: Row | None) -> list[Line]:
        """Tell one fact of the look."""
        row = after or before
        if row is None:
            return []
        found = _line(fact_words(str(row["reference"])), _fact(before), _fact(after), of_play=True)
        return [replace(line, of_fact=True) for line in found]

    def clip(self, before: Row | None, after: Row | None) -> list[Line]:
        """Tell what the play was said to be."""
        if before is None or after is None:
            return []
        return [
            line
            for field, what in _CLIP_WORDS.items()
            for line in _line(what, _text(before, field), _text(after, field), of_play=True)
        ]

    def _name(self, row: Row | None) -> str:
        return self.players.get(str(row["player_id"]), "a man no longer there") if row else ""

    def _frame(self, row: Row) -> str:
        """Name a frame by its number in the film of its angle."""
        line = self.timeline
        angle = next((one for one in line.angles if one.id == row["angle_id"]), None)
        if angle is None:
            return "on an angle no longer there"
        frame = frame_of(line.films[angle.film_id], Pts(int(row["pts"])), line.times)
        return f"frame {frame}, {angle.name}"


_TELLS_OF: dict[type, Callable[[Words, Row | None, Row | None], list[Line]]] = {
    Grade: Words.grade,
    Actual: Words.actual,
    Owed: Words.owed,
    LinedUp: Words.lined_up,
    Event: Words.event,
    Flag: Words.flag,
    Moment: Words.moment,
    Mark: Words.mark,
    Rep: Words.rep_row,
    LineUp: Words.line_up,
    FactValue: Words.fact,
    Clip: Words.clip,
}
_TELLS = {table_of(kind): tell for kind, tell in _TELLS_OF.items()}
_KINDS = {table_of(kind): kind for kind in _TELLS_OF}


def grade_lines(old: Row | None, new: Row | None) -> list[Line]:
    """Tell how one judgement differs from another; None for none."""
    found = _line("fit", _fit(old) or OPEN, _fit(new) or OPEN)
    found += _line("owed", _owed_then(old), _owed_then(new)) if new else []
    found += _line("cause", _text(old, "cause"), _text(new, "cause"))
    had, has = _points(old), _points(new)
    for item in dict.fromkeys((*had, *has)):
        found += _line(item, had.get(item, ""), has.get(item, ""))
    found += _line("note", _text(old, "note"), _text(new, "note"))
    found += _line("judged", _how(old), _how(new))
    if not found and old and new:
        return [Line(what="judged", before="", after="looked at once more, and it stands")]
    return found


def _gave_way(changes: Sequence[Change], coming: Row | None) -> Row | None:
    """Return the rep of another man that one act took out for this one, at his position."""
    rows = (_read(one.before) for one in changes if one.table == table_of(Rep) and not one.after)
    return next(
        (row for row in rows if row and coming and row["position"] == coming["position"]), None
    )


def _gathered(lines: Sequence[Line]) -> list[Line]:
    """Put what one act told anew of a look into one line, and likewise what it drew."""
    fresh = [line for line in lines if line.of_fact and not line.before]
    drawn = [line for line in lines if line.what == _DRAWING and not line.before]
    found: list[Line] = []
    for line in lines:
        if line in fresh and len(fresh) > 1:
            if line is fresh[0]:
                found.append(Line(what="look", before="", after=_look(fresh), of_play=True))
        elif line in drawn and len(drawn) > 1:
            if line is drawn[0]:
                told = ", ".join(one.after for one in drawn)
                found.append(Line(what=_DRAWING, before="", after=told))
        else:
            found.append(line)
    return found


def _look(facts: Sequence[Line]) -> str:
    """Write several facts in one line, a source they share once at its end."""
    ends = {
        f" {one.after[one.after.rfind('(') :]}" if one.after.endswith(")") else "" for one in facts
    }
    end = ends.pop() if len(ends) == 1 else ""
    told = ", ".join(f"{one.what} {one.after.removesuffix(end)}" for one in facts)
    return f"{told}{end}"


def read_row(told: str) -> Row:
    """Read a row as the journal keeps it."""
    return dict(json.loads(told))


def _read(told: str | None) -> Row | None:
    return None if told is None else read_row(told)


def _line(what: str, before: str, after: str, *, of_play: bool = False) -> list[Line]:
    """Return a line where before and after differ."""
    if before == after:
        return []
    return [Line(what=what, before=before, after=after, of_play=of_play)]


def _text(row: Row | None, field: str) -> str:
    value = row.get(field) if row else None
    return "" if value is None else str(value)


def _fit(row: Row | None) -> str:
    """Say how the fit came out, with its sign."""
    if row is None:
        return ""
    sign = RESULT_SIGNS[row["fit_result"]]
    if row["fit_result"] == "not graded":
        return f"{sign} no run job"
    return f"{sign} {_did(row)}"


def _did(row: Row | None) -> str:
    """Say what he did."""
    if row is None:
        return ""
    name, side = _text(row, "did_name" if "did_name" in row else "name"), row.get("did_side")
    if row["did"] == "as owed":
        return "right"
    if row["did"] == "fit":
        return f"played {with_side(name, side or row.get('side'))}"
    if row["did"] == "miss":
        return name or "missed it"
    return f"can't be graded: {name}" if name else "can't be graded"


def _owed(row: Row | None) -> str:
    return with_side(str(row["fit"]), row["side"]) if row else ""


def _owed_then(row: Row | None) -> str:
    """Say what he owed when he was judged."""
    if row is None or not row["expected_fit"]:
        return ""
    return with_side(str(row["expected_fit"]), row["expected_side"])


def _points(row: Row | None) -> dict[str, str]:
    """Return the points of technique and effort, each under its name."""
    if row is None:
        return {}
    items = json.loads(row["technique"])
    told = {str(item): f"{points:g}" for item, points in items.items()}
    if row["effort"] is not None:
        told["effort"] = f"{row['effort']:g}"
    return told


def _how(row: Row | None) -> str:
    return _HOW[row["how"]] if row else ""


def _lined_up(row: Row | None) -> str:
    if row is None:
        return ""
    off = ", ".join(json.loads(row["off"])) or "off"
    return {"right": "right", "cannot grade": "can't tell"}.get(row["verdict"], off)


def _fact(row: Row | None) -> str:
    """Write a fact's value, and where it came from unless it was seen on film."""
    if row is None:
        return ""
    value = json.loads(row["value"])
    told = {True: "yes", False: "no"}[value] if isinstance(value, bool) else str(value)
    source = {"script": " (script)", "estimated": " (estimated)"}.get(row["source"], "")
    return f"{told}{source}"
