"""A look that might be: facts told one by one, and what each man would owe."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from psygnal import Signal

from gradecut.errors import LookError
from gradecut.records import Expectation
from gradecut.records.picture import LookPicture, Manned, PictureMan
from gradecut.scheme import Scheme, Value, fact_words
from gradecut.workflows.lining_up import alignment_words
from gradecut.workflows.look_pictures import front_of, look_picture, stands_at
from gradecut.workflows.looks import read_by

__all__ = ["FactRow", "ManRow", "WhatIf"]


@dataclass(frozen=True, slots=True, kw_only=True)
class FactRow:
    """One question about the look.

    Attributes
    ----------
    value : str, int, bool or None
        What was told; None for not known.
    matters : bool
        Telling it could still change what some graded man owes.
    """

    reference: str
    name: str
    asks: str
    values: tuple[Value, ...]
    value: Value | None
    matters: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class ManRow:
    """What one man would owe.

    Attributes
    ----------
    owes : str
        The fit with its side, or what is still possible.
    told_by : str
        Rule and tier; empty while it is open.
    lines_up : str
        Where he lines up; empty where that is not asked of him, or still open.
    """

    position: str
    graded: bool
    settled: bool
    owes: str
    told_by: str
    cue: str
    reason: str
    lines_up: str = ""


class WhatIf:
    """Holds a look that might be, under one scheme.

    Signals
    -------
    changed
        The look, and all that follows from it.
    """

    changed = Signal()

    def __init__(self, scheme: Scheme, say: Callable[[str], None], group: str = "") -> None:
        self.scheme = scheme
        self.say = say
        self.group = group
        self.look: dict[str, Value] = {}
        self.expected: dict[str, Expectation] = scheme.expect_all({})

    def start_from(self, look: Mapping[str, Value]) -> None:
        """Take over a look, such as that of a play, as far as the scheme knows it.

        A look that can't be is refused.
        """
        self._take(read_by(self.scheme, look))

    def clear(self) -> None:
        """Know nothing."""
        self._take({})

    def tell(self, reference: str, value: Value | None) -> None:
        """Tell one fact; None takes it back. What can't go with it any more is dropped."""
        look = {key: old for key, old in self.look.items() if key != reference}
        if value is not None:
            look[reference] = value
            for idle in self._in_the_way(look, reference):
                del look[idle]
        self._take(look)

    def facts(self) -> list[FactRow]:
        """List the questions, in the scheme's order."""
        matters = {
            need
            for position, asked in self.expected.items()
            if self.scheme.positions[position].graded
            for need in asked.needs
        }
        return [
            FactRow(
                reference=reference,
                name=fact_words(reference),
                asks=self.scheme.fact_of(reference).asks,
                values=self.scheme.values_of(reference),
                value=self.look.get(reference),
                matters=reference in matters,
            )
            for reference in self.scheme.references
        ]

    def men(self) -> list[ManRow]:
        """List what every man would owe, graded men first."""
        rows = [self._row(position, asked) for position, asked in self.expected.items()]
        return sorted(rows, key=lambda row: not row.graded)

    def question(self) -> str | None:
        """Return the one question to answer next, of those that matter the play's first."""
        needs = {
            need
            for position, asked in self.expected.items()
            if self.scheme.positions[position].graded
            for need in asked.needs
        }
        if not needs:
            return None
        first = min(needs, key=self.scheme.play_order.index)
        return self.scheme.fact_of(first).asks or fact_words(first)

    def picture(self) -> LookPicture:
        """Return the look as it is drawn."""
        men = [
            self._picture_man(position, asked)
            for position, asked in self.expected.items()
            if self.scheme.positions[position].graded
        ]
        front = front_of(self.scheme, self.expected)
        return look_picture(self.look, men, front=front)

    def _take(self, look: dict[str, Value]) -> None:
        try:
            expected = self.scheme.expect_all(look)
        except LookError as refused:
            self.say(f"{str(refused).rstrip('.')}.")
        else:
            self.look, self.expected = look, expected
        self.changed.emit()

    def _in_the_way(self, look: dict[str, Value], told: str) -> list[str]:
        """Find what was told before and has no value any more, such as a pass's run side."""
        if not self.scheme.look_faults(look):
            return []
        for key in look:
            if key == told:
                continue
            if not self.scheme.look_faults({k: v for k, v in look.items() if k != key}):
                return [key]
        return []

    def _row(self, position: str, asked: Expectation) -> ManRow:
        man = self.scheme.positions[position]
        if asked.settled:
            owes = f"{asked.fit}, {asked.side}" if asked.side else str(asked.fit)
            if asked.also:
                owes += f" (or {', '.join(asked.also)})"
        elif asked.needs:
            owes = " / ".join(dict.fromkeys(fit or "no answer" for fit, _ in asked.options))
        else:
            owes = "no answer"
        return ManRow(
            position=position,
            graded=man.graded,
            settled=asked.settled,
            owes=owes,
            told_by=" · ".join(part for part in (asked.rule, asked.tier) if part),
            cue=asked.cue or "",
            reason=asked.reason,
            lines_up=alignment_words(asked.alignment) if asked.alignment else "",
        )

    def _picture_man(self, position: str, asked: Expectation) -> PictureMan:
        options: tuple[Manned, ...] = ()
        if not asked.settled:
            options = tuple(
                dict.fromkeys(
                    (gap, side)
                    for fit, side in asked.options
                    if fit is not None and side is not None and (gap := self.scheme.fits[fit].gap)
                )
            )
        return PictureMan(
            position=position,
            own_side=self.scheme.side_of(position, self.look),
            at_yd=stands_at(asked, self.look),
            owed_gap=asked.gap,
            owed_side=asked.side,
            owed_landmark=asked.landmark,
            owed_label=asked.fit or "",
            owed_options=options,
            graded=asked.graded,
        )
