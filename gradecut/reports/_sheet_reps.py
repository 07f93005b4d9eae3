"""The sheet's list of every rep, with all a grade rests on."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

from gradecut.grading import number_worn, reaction_note
from gradecut.records import Reaction, RepLine
from gradecut.records.rubric import Rubric
from gradecut.reports import wording
from gradecut.reports._workbook import Column, Page, Value

__all__ = ["write_reps"]

Cell = Column[RepLine]


def write_reps(
    page: Page,
    head: tuple[str, ...],
    lines: Sequence[RepLine],
    rubric: Rubric,
    schemes: Mapping[str, str],
) -> None:
    """Write one row for each rep, in film order, with a filter on every column."""
    items = list(
        dict.fromkeys([*rubric.technique, *(item for line in lines for item in _technique(line))])
    )
    columns = [*_play(), *_fit(), *_marks(items), *_timing(), *_judged(schemes)]
    top = page.head(*head)
    below = page.table(top, columns, lines)
    page.sheet.autofilter(top, 0, max(below - 1, top), len(columns) - 1)
    page.sheet.freeze_panes(top + 1, 5)
    # On one page the print would be too small to read: two, with the man on both.
    page.sheet.repeat_columns(0, 4)
    page.sheet.fit_to_pages(2, 0)


def _play() -> list[Cell]:
    """Return the columns that say which play and who."""
    return [
        _text("Session", 15, lambda line: line.session.name),
        _count("Play", 5, lambda line: line.clip.order),
        _count("Script", 6, lambda line: line.clip.script_number),
        _text("Period", 11, lambda line: line.clip.period),
        Column(head="Player", width=17, style="strong", read=lambda line: line.player.name),
        _text("No.", 5, lambda line: number_worn(line.player, [line])),
        _text("Position", 8, lambda line: line.rep.position),
        _text("Kind", 6, lambda line: line.clip.kind),
        _wrapped("Run", 15, lambda line: wording.run_words(line.look)),
        _wrapped("Look", 30, lambda line: wording.look_words(line.look)),
    ]


def _fit() -> list[Cell]:
    """Return the columns of what he owed and did."""
    return [
        _wrapped("Owed", 15, wording.owed_words),
        _text("Rule", 9, wording.rule_words),
        _wrapped("Did", 17, lambda line: wording.did_words(line.grade)),
        _text("Fit", 13, lambda line: wording.result_words(line.grade)),
        _count("Points", 6, lambda line: line.grade.fit_points if line.grade else None),
        _text("Cause", 11, lambda line: line.grade.cause if line.grade else ""),
        _wrapped("Lined up", 11, lambda line: wording.lined_up_words(line.lined_up)),
    ]


def _marks(items: Sequence[str]) -> list[Cell]:
    """Return the columns of technique, effort and events."""
    return [
        *(_count(item.capitalize(), 8, _item(item)) for item in items),
        _count("Effort", 6, lambda line: line.grade.effort if line.grade else None),
        _wrapped("Can't grade", 18, _cannot),
        _wrapped("Events", 13, lambda line: ", ".join(line.events)),
    ]


def _timing() -> list[Cell]:
    """Return the columns of the first step."""
    return [
        _count("First step, frames", 7, _of_step(lambda step: step.frames)),
        _count("ms", 6, _of_step(lambda step: step.time_ms)),
        _count("± ms", 6, _of_step(lambda step: step.frame_ms)),
        _wrapped("Of the step", 18, _of_step(reaction_note)),
    ]


def _judged(schemes: Mapping[str, str]) -> list[Cell]:
    """Return the columns of who judged, how, by what."""
    return [
        _text("Judged", 9, lambda line: line.grade.how if line.grade else ""),
        _wrapped("Note", 24, lambda line: line.grade.note if line.grade else ""),
        _text("Graded by", 13, lambda line: line.grade.author if line.grade else ""),
        _text("Scheme", 11, _version(schemes)),
        _text("Changed since", 9, lambda line: "yes" if line.stale else ""),
    ]


def _of_step(read: Callable[[Reaction], Value]) -> Callable[[RepLine], Value]:
    """Return how to read something of a rep's first step, where one was counted."""
    return lambda line: read(line.reaction) if line.reaction else None


def _technique(line: RepLine) -> tuple[str, ...]:
    """Return the items graded on a rep."""
    return tuple(line.grade.technique) if line.grade else ()


def _item(name: str) -> Callable[[RepLine], Value]:
    """Return how to read one technique item."""
    return lambda line: line.grade.technique.get(name) if line.grade else None


def _cannot(line: RepLine) -> Value:
    """Say what could not be graded, and why."""
    told = line.grade.cannot if line.grade else {}
    return "; ".join(f"{part}: {reason}" for part, reason in told.items())


def _version(schemes: Mapping[str, str]) -> Callable[[RepLine], Value]:
    """Return how to name the scheme version a grade was given by."""

    def read(line: RepLine) -> Value:
        key = (line.grade.scheme_id if line.grade else None) or ""
        return schemes.get(key, key[-6:])

    return read


def _text(head: str, width: float, read: Callable[[RepLine], Value]) -> Cell:
    """Return a column of words."""
    return Column(head=head, width=width, style="text", read=read)


def _wrapped(head: str, width: float, read: Callable[[RepLine], Value]) -> Cell:
    """Return a column of words that may run over several lines."""
    return Column(head=head, width=width, style="wrapped", read=read)


def _count(head: str, width: float, read: Callable[[RepLine], Value]) -> Cell:
    """Return a column of whole numbers."""
    return Column(head=head, width=width, style="count", read=read)
