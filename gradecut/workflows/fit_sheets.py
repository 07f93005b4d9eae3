"""Fit sheets out of a scheme: what each man owes on each look, drawn, a page a man."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from datetime import date
from os import PathLike
from pathlib import Path

from gradecut.drawing import LIGHT, look_shapes, to_svg
from gradecut.errors import LookError
from gradecut.records import Alignment
from gradecut.records.picture import Manned, PictureMan
from gradecut.reports.fit_sheet import ABOVE_PX, DRAWN_PX, FitCard, FitPage, write_fit_page
from gradecut.scheme import FollowedSide, Scheme, Value
from gradecut.scheme.grid import GridCell, GridRow, grid_of, row_look
from gradecut.scheme.parts import Condition, SideRule
from gradecut.workflows.expecting import fit_side
from gradecut.workflows.lining_up import alignment_words
from gradecut.workflows.look_pictures import front_of, look_picture, stands_at
from gradecut.workflows.player_files import plain_names
from gradecut.workflows.rule_words import rule_when

__all__ = ["write_fit_sheet", "write_fit_sheets"]


def write_fit_sheet(
    scheme: Scheme, positions: str | Sequence[str], path: str | PathLike[str]
) -> None:
    """Write the fit sheets of some men as one HTML file, a page each, for A4 and Letter.

    Parameters
    ----------
    positions : str or sequence of str
        Whose; one man or several, in the order of the pages.

    Raises
    ------
    LookError
        On an unknown position.
    OutputError
        When a man's rules don't fit a page, or the file can't be written there.
    """
    men = [positions] if isinstance(positions, str) else list(positions)
    write_fit_page(path, [_page(scheme, man) for man in men])


def write_fit_sheets(
    scheme: Scheme, men: Sequence[str], folder: str | PathLike[str]
) -> tuple[Path, ...]:
    """Write the fit sheet of each man as a file of its own in a folder; return the files.

    The name of a file is the man's as far as any computer takes it, and nobody else's.

    Raises
    ------
    LookError
        On an unknown position; then none is written.
    OutputError
        When a man's rules don't fit a page, or a file can't be written there.
    """
    pages = {man: _page(scheme, man) for man in dict.fromkeys(men)}
    called = dict(zip(scheme.positions, plain_names(scheme.positions, "man"), strict=True))
    goals = {man: Path(folder) / f"fit sheet {called[man]}.html" for man in pages}
    for man, page in pages.items():
        write_fit_page(goals[man], [page])
    return tuple(goals.values())


def _page(scheme: Scheme, man: str) -> FitPage:
    written_at = {rule.id: place for place, rule in enumerate(scheme.rules)}
    rows = sorted(
        grid_of(scheme, [man]).rows,
        key=lambda row: (scheme.tiers.index(row.tier), written_at[row.cells[man].rule]),
    )
    cards = tuple(_card(scheme, row, row.cells[man], man) for row in rows)
    fits = dict.fromkeys(card.fit for card in cards)
    version = f"version {scheme.version}" if scheme.version else ""
    under = (scheme.name, version, date.today().isoformat())
    return FitPage(
        position=man,
        under=" · ".join(text for text in under if text),
        alignments=_alignments(scheme, man),
        cards=cards,
        grouped=_grouped(cards),
        misses=tuple(
            (
                fit,
                "; ".join(
                    f"{name}\N{NO-BREAK SPACE}½" if credit == "half" else name
                    for name, credit in scheme.fits[fit].misses
                ),
            )
            for fit in fits
            if scheme.fits[fit].misses
        ),
    )


def _alignments(scheme: Scheme, man: str) -> tuple[tuple[str, str], ...]:
    return tuple(
        (
            _look_words(rule.when),
            alignment_words(
                Alignment(
                    depth_yd=rule.depth_yd,
                    landmark=rule.landmark,
                    tolerance_yd=rule.tolerance_yd,
                    eyes=rule.eyes,
                ),
                _own_words(scheme.positions[man].side, rule.side),
            ),
        )
        for rule in scheme.alignments
        if man in rule.men
    )


def _own_words(own: SideRule, side: SideRule | None) -> str:
    """Say on which side he lines up: "to the strength", "right", "on his side"; empty for none."""
    if side not in ("to", "away"):
        return _way(side, away=False) if side else ""
    return _way(own, away=side == "away")


def _way(side: SideRule, *, away: bool) -> str:
    """Say a side, or the other one."""
    if isinstance(side, FollowedSide):
        way = "away from" if side.opposite != away else "to"
        return f"{way} the {side.fact.replace('_', ' ')}"
    if side in ("left", "right"):
        return ("right" if side == "left" else "left") if away else side
    return "on the other side" if away else "on his side"


def _card(scheme: Scheme, row: GridRow, cell: GridCell, man: str) -> FitCard:
    fit = scheme.fits[cell.fit]
    return FitCard(
        tier=row.tier,
        fit=cell.fit,
        side=_side_words(fit.side),
        looks=((_look_words(row.when), cell.cue or ""),),
        svg=_drawn(scheme, row, cell, man) if fit.graded else "",
        also=", ".join(cell.also),
        rules=cell.rule,
    )


def _drawn(scheme: Scheme, row: GridRow, cell: GridCell, man: str) -> str:
    """Draw a look with his ring; empty where no look can show it."""
    look = row_look(scheme, row, man)
    if not look:
        return ""
    fit = scheme.fits[cell.fit]
    told = scheme.side_of(man, look, "right" if f"side.{man}" in look else None)
    at_yd, front = _lined_up(scheme, look, man)
    shown = PictureMan(
        position=man,
        at_yd=at_yd,
        owed_gap=fit.gap,
        owed_side=fit_side(scheme, cell.fit, look, told),
        owed_landmark=fit.landmark,
        owed_label=cell.fit,
        selected=True,
    )
    picture = look_picture(look, (shown,), front=front)
    drawn = look_shapes(picture, size_px=DRAWN_PX, palette=LIGHT, title_px=ABOVE_PX)
    return to_svg(drawn.shapes, DRAWN_PX, f"{man}: {cell.fit}")


def _lined_up(
    scheme: Scheme, look: Mapping[str, Value], man: str
) -> tuple[tuple[float, float] | None, tuple[Manned, ...]]:
    """Return where he lines up and the gaps the linemen hold.

    What a row leaves open is filled in for these two only, with the first alignment of his
    that can be; the offence is drawn as far as the row tells it.
    """
    front: tuple[Manned, ...] = ()
    for start in _starts(scheme, man):
        whole = _filled_in(scheme, {**start, **look})
        try:
            expected = scheme.expect_all(whole)
        except LookError:
            continue
        front = front or front_of(scheme, expected)
        at_yd = stands_at(expected[man], whole)
        if at_yd is not None:
            return at_yd, front_of(scheme, expected)
    return None, front


def _starts(scheme: Scheme, man: str) -> Iterator[dict[str, Value]]:
    """Give looks that bring his alignments about, in the order of the file; the empty one last."""
    for rule in scheme.alignments:
        if man in rule.men:
            yield row_look(scheme, rule.when, man)
    yield {}


def _filled_in(scheme: Scheme, look: Mapping[str, Value]) -> dict[str, Value]:
    """Answer each fact that a look leaves open with the first value that goes with the others."""
    whole = dict(look)
    for reference in scheme.references:
        if reference in whole:
            continue
        for value in scheme.values_of(reference):
            if not scheme.look_faults({**whole, reference: value}):
                whole[reference] = value
                break
    return whole


def _grouped(cards: Sequence[FitCard]) -> tuple[FitCard, ...]:
    """Put looks that ask the same of him together, each with its cue, under the first's drawing."""
    found: dict[tuple[str, str, str], FitCard] = {}
    for card in cards:
        key = (card.tier, card.fit, card.also)
        first = found.get(key)
        if first is None:
            found[key] = card
        else:
            found[key] = replace(
                first, looks=(*first.looks, *card.looks), rules=f"{first.rules}, {card.rules}"
            )
    return tuple(found.values())


def _side_words(side: object) -> str:
    if isinstance(side, FollowedSide):
        way = "away from" if side.opposite else "with"
        return f"({way} the {side.fact.replace('_', ' ')})"
    return "(away)" if side == "away" else ""


def _look_words(when: Condition) -> str:
    """Say a condition; no line of a card begins with the point between two facts."""
    return rule_when(when).replace(" · ", "\N{NO-BREAK SPACE}· ")
