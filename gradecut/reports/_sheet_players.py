"""The sheet's first two pages: how each man graded, and what that rests on."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from gradecut.records import PartRate
from gradecut.records.rubric import Rubric
from gradecut.reports._workbook import Column, Page, Value
from gradecut.reports.men_standings import Standing

__all__ = ["write_counts", "write_players"]

Man = Column[Standing]


def write_players(page: Page, head: tuple[str, ...], men: Sequence[Standing]) -> None:
    """Write fit, technique, effort and reaction of each man, the group last."""
    columns = [*_who(), *_fit_columns(), *_technique(), *_effort()]
    if any(man.overall for man in men):
        columns += [
            _share("Overall", lambda man: _rate(man.overall)),
            _count("Reps", lambda man: man.overall.n if man.overall else None),
        ]
    columns += _reaction()
    if any(man.lined_up.n for man in men):
        columns += _alignment()
    top = page.head(*head)
    page.table(top, columns, men)
    page.sheet.freeze_panes(top + 1, 1)


def write_counts(
    page: Page, head: tuple[str, ...], men: Sequence[Standing], rubric: Rubric
) -> None:
    """Write what was judged how, what could not be, and the events."""
    names = list(dict.fromkeys([*rubric.events, *(name for man in men for name in man.events)]))
    columns = [
        *_who(),
        _count("At speed", lambda man: man.cell.passed),
        _count("Looked at closely", lambda man: man.cell.examined),
        _count("Not graded yet", lambda man: man.cell.open),
        _count("No run job", lambda man: man.cell.not_owed),
        _count("Look or rule changed since", lambda man: man.stale, 10),
        _count("Can't grade: fit", lambda man: man.cell.cannot, 10),
        _count("Can't grade: tech-\nnique", lambda man: man.cell.technique.cannot, 10),
        _count("Can't grade: effort", lambda man: man.cell.effort.cannot, 10),
        *(_cannot_tell() if any(man.lined_up.cannot for man in men) else ()),
        Column(head="Why", width=36, style="wrapped", read=_reasons),
        *(_count(name.capitalize(), _event(name), 9) for name in names),
    ]
    top = page.head(*head)
    page.table(top, columns, men)
    page.sheet.freeze_panes(top + 1, 1)


def _who() -> list[Man]:
    """Return the columns that say who."""
    return [
        Column(head="Player", width=20, style="strong", read=lambda man: man.name),
        Column(head="No.", width=5, style="text", read=lambda man: man.number),
        Column(head="Position", width=9, style="text", read=lambda man: man.position),
        _count("Reps", lambda man: len(man.cell.rep_ids)),
    ]


def _fit_columns() -> list[Man]:
    """Return the columns of the fit."""
    return [
        _count("Fits graded", lambda man: man.cell.n),
        _count("✓ Right", lambda man: man.cell.right),
        _count("½ Half", lambda man: man.cell.half),
        _count("✗ Wrong", lambda man: man.cell.wrong),
        _share("Fit", lambda man: man.cell.fit.rate),
        _share("95 % from", lambda man: man.cell.fit.low),
        _share("to", lambda man: man.cell.fit.high),
    ]


def _technique() -> list[Man]:
    """Return the columns of technique."""
    return [
        _share("Tech-\nnique", lambda man: man.cell.technique.rate, 8),
        _count("Items", lambda man: man.cell.technique.n),
    ]


def _effort() -> list[Man]:
    """Return the columns of effort."""
    return [
        _share("Effort", lambda man: man.cell.effort.rate),
        _count("Reps", lambda man: man.cell.effort.n),
    ]


def _reaction() -> list[Man]:
    """Return the columns of the reaction; the middle one of those counted."""
    return [
        Column(
            head="First step, frames",
            width=10,
            style="tenth",
            read=lambda man: man.reaction.frames if man.reaction else None,
        ),
        _count("ms", lambda man: man.reaction.time_ms if man.reaction else None),
        _count("± ms", lambda man: man.reaction.frame_ms if man.reaction else None),
        _count("Counted", lambda man: man.reaction.n if man.reaction else None, 8),
    ]


def _alignment() -> list[Man]:
    """Return the columns of how he lined up: a count of its own, so it stands last."""
    return [
        _count("Lined up right", _aligned, 8),
        _count("of", lambda man: man.lined_up.n or None, 6),
        _share("95 % from", lambda man: man.lined_up.low),
        _share("to", lambda man: man.lined_up.high),
    ]


def _aligned(man: Standing) -> Value:
    """Count the runs on which he lined up right; nothing where none was judged."""
    rate = man.lined_up.rate
    return None if rate is None else round(rate * man.lined_up.n)


def _cannot_tell() -> list[Man]:
    """Return the column of runs whose alignment the film does not show."""
    return [_count("Can't tell: lined up", lambda man: man.lined_up.cannot, 10)]


def _reasons(man: Standing) -> Value:
    """Write why something could not be graded, with its count."""
    return "; ".join(
        f"{part}: {reason} ({count})" for (part, reason), count in sorted(man.reasons.items())
    )


def _event(name: str) -> Callable[[Standing], Value]:
    """Return how to read one event's count."""
    return lambda man: man.events.get(name, 0)


def _rate(part: PartRate | None) -> Value:
    """Return a rate, or nothing."""
    return part.rate if part else None


def _count(head: str, read: Callable[[Standing], Value], width: float = 7.5) -> Man:
    """Return a column of whole numbers."""
    return Column(head=head, width=width, style="count", read=read)


def _share(head: str, read: Callable[[Standing], Value], width: float = 7.5) -> Man:
    """Return a column of shares."""
    return Column(head=head, width=width, style="share", read=read)
