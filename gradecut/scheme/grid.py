"""A scheme as a grid: a row for each condition of a tier, a column for each man."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from gradecut.errors import LookError
from gradecut.hints import nearest
from gradecut.records.people import Side
from gradecut.scheme._page import shown
from gradecut.scheme._reading import Answer, Check, PointedCheck, other, read
from gradecut.scheme.editing._written import condition_key, row_key, written
from gradecut.scheme.parts import Condition, FollowedSide, Position, Rule, SideRule, Value
from gradecut.scheme.scheme import Scheme

__all__ = [
    "Grid",
    "GridCell",
    "GridRow",
    "RowAnswer",
    "grid_of",
    "row_answer",
    "row_look",
    "sidedness",
]

_MOST_TRIES = 20_000
_MOST_LOOKS = 48
"""An answer elsewhere is sought on so many looks of a row, so that a window need not wait."""


@dataclass(frozen=True, slots=True, kw_only=True)
class GridCell:
    """What one man owes on one row.

    Attributes
    ----------
    rule : str
        The rule's id.
    fit : str
        What it asks.
    also : tuple of str
        Fits graded as right too.
    cue : str or None
        What the coach says to him.
    men : tuple of str
        All men of that rule, in the order of the file.
    """

    rule: str
    fit: str
    also: tuple[str, ...] = ()
    cue: str | None = None
    men: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class RowAnswer:
    """What one man owes on all looks of a row that asks nothing of him: another rule's fit.

    Attributes
    ----------
    fit : str
    rules : tuple of str
        Their ids, in the order of the file; more than one where each answers on some looks.
    """

    fit: str
    rules: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class GridRow:
    """One condition of one tier, with what each man owes there.

    Attributes
    ----------
    tier : str
        The tier.
    when : Condition
        The condition, as the first of its rules in the file has it.
    cells : mapping of str to GridCell
        By man; a man without a rule on this row is not there.
    clashing : tuple of str
        Ids of further rules of the same men on the same row, which contradict or repeat.
    """

    tier: str
    when: Condition
    cells: Mapping[str, GridCell]
    clashing: tuple[str, ...] = ()

    @property
    def key(self) -> str:
        """Give a short name that stays the same as long as tier and condition do."""
        return row_key(self.tier, written(self.when))


@dataclass(frozen=True, slots=True, kw_only=True)
class Grid:
    """A scheme's rules laid out.

    Attributes
    ----------
    men : tuple of str
        The columns.
    tiers : tuple of str
        All tiers of the scheme, lowest first.
    rows : tuple of GridRow
        Tiers lowest first, within a tier in the order of the file.
    """

    men: tuple[str, ...]
    tiers: tuple[str, ...]
    rows: tuple[GridRow, ...]


def grid_of(scheme: Scheme, men: Sequence[str] | None = None) -> Grid:
    """Lay a scheme's rules out as a grid.

    Two rules are on one row when they are in one tier and their conditions ask the same values
    of the same facts, in whatever order they are written.

    Parameters
    ----------
    scheme : Scheme
        A sound scheme.
    men : sequence of str or None
        The columns, in order; rows without a rule of theirs are left out. None: all men, in file
        order, and all rows.

    Raises
    ------
    LookError
        On an unknown position.
    """
    for man in men or ():
        if man not in scheme.positions:
            hint = nearest(man, scheme.positions)
            raise LookError(f"The scheme has no position {shown(man)}; {hint}")
    columns = tuple(dict.fromkeys(scheme.positions if men is None else men))
    found: dict[tuple[int, str], list[Rule]] = {}
    for rule in scheme.rules:
        place = (scheme.tiers.index(rule.tier), condition_key(written(rule.when)))
        found.setdefault(place, []).append(rule)
    order = sorted(found, key=lambda place: place[0])  # stable: file order within a tier
    rows = (_row(found[place], columns) for place in order)
    return Grid(
        men=columns,
        tiers=scheme.tiers,
        rows=tuple(row for row in rows if row.cells or men is None),
    )


def _row(rules: Sequence[Rule], columns: tuple[str, ...]) -> GridRow:
    cells: dict[str, GridCell] = {}
    clashing: dict[str, None] = {}
    for rule in rules:
        cell = GridCell(rule=rule.id, fit=rule.fit, also=rule.also, cue=rule.cue, men=rule.men)
        for man in rule.men:
            if man in cells:
                clashing[rule.id] = None
            elif man in columns:
                cells[man] = cell
    ordered = {man: cells[man] for man in columns if man in cells}
    first = rules[0]
    return GridRow(tier=first.tier, when=first.when, cells=ordered, clashing=tuple(clashing))


def row_look(
    scheme: Scheme, row: GridRow | Condition, position: str, side: Side = "right"
) -> dict[str, Value]:
    """Give a look that shows a row as one man meets it, to be drawn.

    Parameters
    ----------
    scheme : Scheme
        The scheme of the row.
    row : GridRow or Condition
        The row, or its condition.
    position : str
        The man.
    side : "left" or "right"
        Where he is to stand; a man who is always on one side stands there.

    Returns
    -------
    dict of str to value
        The facts of the condition, each with the first value that makes it hold, and those his
        side follows; all others are left out. Empty where no such look can be.

    Raises
    ------
    LookError
        On an unknown position.
    """
    man = scheme._man(position)
    condition = row.when if isinstance(row, GridRow) else row
    own: Side | None = side
    if not man.sided:
        own = None
    elif man.side in {"left", "right"}:
        own = "left" if man.side == "left" else "right"
    tries = 0
    for start in _standing(scheme, man, own):
        for reading in read(condition, scheme.facts, own):
            for look in _looks(scheme, start, list(reading), own or side):
                if _shows(scheme, man, look, own):
                    return {name: look[name] for name in scheme.references if name in look}
                tries += 1
                if tries > _MOST_TRIES:
                    return {}
    return {}


def row_answer(scheme: Scheme, row: GridRow | Condition, position: str) -> RowAnswer | None:
    """Say what the scheme asks of one man on every look of a row, on whichever side he stands.

    Parameters
    ----------
    scheme : Scheme
        The scheme of the row.
    row : GridRow or Condition
        The row, or its condition.
    position : str
        The man.

    Returns
    -------
    RowAnswer or None
        None where it asks different fits, or none, on some of them, where no look can be, where
        the row is written for men who see sides otherwise, and where its looks can't all be
        tried: they are too many, or are of the row for want of a fact that does not always apply.

    Raises
    ------
    LookError
        On an unknown position.
    """
    man = scheme._man(position)
    condition = row.when if isinstance(row, GridRow) else row
    if sidedness(condition, scheme) not in (None, man.sided):
        return None
    if not _told_whole(scheme, condition, man):
        return None
    fits: set[str] = set()
    rules: set[str] = set()
    for place, (look, own) in enumerate(_all_looks(scheme, condition, man)):
        if place >= _MOST_LOOKS:
            return None
        if not _shows(scheme, man, look, own):
            continue
        try:
            found = scheme.expect(position, look)
        except LookError:
            return None
        if found.fit is None or found.rule is None or fits - {found.fit}:
            return None
        fits.add(found.fit)
        rules.add(found.rule)
    order = tuple(rule.id for rule in scheme.rules if rule.id in rules)
    return RowAnswer(fit=fits.pop(), rules=order) if fits else None


def sidedness(condition: Condition, scheme: Scheme) -> bool | None:
    """Tell whether a condition is written with to and away; None where it names no side."""
    for entries in condition:
        for entry in entries:
            fact = scheme.facts.get(entry.fact)
            if entry.where in ("to", "away"):
                return True
            if entry.where in ("left", "right"):
                return False
            values = (*(entry.among or ()), *entry.barred)
            if fact is not None and fact.sided and values:
                if {"to", "away"}.intersection(map(str, values)):
                    return True
                if {"left", "right"}.intersection(map(str, values)):
                    return False
    return None


def _all_looks(
    scheme: Scheme, condition: Condition, man: Position
) -> Iterator[tuple[dict[str, Value], Side | None]]:
    """Give the looks of a condition, as few facts told as it asks, from each side he may be on."""
    sides: tuple[Side | None, ...] = ("left", "right") if man.sided else (None,)
    for own in sides:
        for start in _standing(scheme, man, own):
            for reading in read(condition, scheme.facts, own):
                for look in _looks(scheme, start, list(reading), own or "right"):
                    yield look, own


def _told_whole(scheme: Scheme, condition: Condition, man: Position) -> bool:
    """Tell whether its looks can be told by values: none is of it for want of one.

    A fact that does not apply has no value; an entry that only bars values lets that through,
    and a side that follows a fact is another one then.
    """
    barring = [
        entry
        for all_of in condition
        for entry in all_of
        if entry.among is None and entry.least is None and entry.most is None
    ]
    named = {entry.fact for entry in barring}
    named |= {entry.where for entry in barring if entry.where and entry.where in scheme.facts}
    side: SideRule | None = man.side
    while isinstance(side, FollowedSide):
        named.add(side.fact)
        side = side.otherwise
    return all(scheme.facts[name].applies is None for name in named)


def _shows(scheme: Scheme, man: Position, look: dict[str, Value], own: Side | None) -> bool:
    if scheme.look_faults(look):
        return False
    if man.sided:
        return scheme.side_of(man.name, look) == own
    return True


def _standing(scheme: Scheme, man: Position, own: Side | None) -> Iterator[dict[str, Value]]:
    """Give the few facts that put him on a side, one way after the other."""
    if own is None:
        yield {}
    elif man.side == "as aligned":
        yield {f"side.{man.name}": own}
    else:
        yield from _following(scheme, man.side, own, {})


def _following(
    scheme: Scheme, side: SideRule | None, own: Side, so_far: dict[str, Value]
) -> Iterator[dict[str, Value]]:
    if not isinstance(side, FollowedSide):
        if side == own:
            yield so_far
        return
    pointed = other(own) if side.opposite else own
    yield {**so_far, side.fact: pointed}
    for value in scheme.facts[side.fact].values:
        if value not in ("left", "right"):
            yield from _following(scheme, side.otherwise, own, {**so_far, side.fact: value})


def _looks(
    scheme: Scheme, start: dict[str, Value], checks: list[Check | PointedCheck], near: Side
) -> Iterator[dict[str, Value]]:
    """Give the looks that fulfil all checks, those with first values first."""
    if not checks:
        yield start
        return
    first, rest = checks[0], checks[1:]
    for added in _ways(scheme, first, near):
        if all(start.get(name, value) == value for name, value in added.items()):
            yield from _looks(scheme, {**start, **added}, rest, near)


def _ways(scheme: Scheme, check: Check | PointedCheck, near: Side) -> Iterator[dict[str, Value]]:
    if isinstance(check, Check):
        for value in _held(scheme, check.reference, check.allowed):
            yield {check.reference: value}
        return
    for side in (near, other(near)):
        reference = check.left if side == "left" else check.right
        for value in _held(scheme, reference, check.allowed):
            yield {check.pointer: side, reference: value}
    if None in check.allowed:
        for value in scheme.values_of(check.pointer):
            if value not in ("left", "right"):
                yield {check.pointer: value}


def _held(scheme: Scheme, reference: str, allowed: frozenset[Answer]) -> Iterator[Value]:
    for value in scheme.values_of(reference):
        if value in allowed:
            yield value
