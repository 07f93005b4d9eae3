"""Fit sheets out of a scheme: what each man owes on each look, drawn, a page a man."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date
from os import PathLike

from gradecut.drawing import LIGHT, look_shapes, to_svg
from gradecut.records import Alignment
from gradecut.records.picture import PictureMan
from gradecut.reports.fit_sheet import FitCard, FitPage, card_px, write_fit_page
from gradecut.scheme import FollowedSide, Scheme
from gradecut.scheme.editing import spell_condition, written
from gradecut.scheme.grid import GridCell, GridRow, grid_of, row_look
from gradecut.workflows.expecting import fit_side
from gradecut.workflows.lining_up import alignment_words
from gradecut.workflows.look_pictures import look_picture

__all__ = ["write_fit_sheet"]


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
            _condition_words(spell_condition(written(rule.when))),
            alignment_words(
                Alignment(
                    depth_yd=rule.depth_yd,
                    landmark=rule.landmark,
                    tolerance_yd=rule.tolerance_yd,
                    eyes=rule.eyes,
                )
            ),
        )
        for rule in scheme.alignments
        if man in rule.men
    )


def _card(scheme: Scheme, row: GridRow, cell: GridCell, man: str) -> FitCard:
    fit = scheme.fits[cell.fit]
    return FitCard(
        tier=row.tier,
        fit=cell.fit,
        side=_side_words(fit.side),
        looks=(_condition_words(spell_condition(written(row.when))),),
        svg=_drawn(scheme, row, cell, man) if fit.graded else "",
        cue=cell.cue or "",
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
    shown = PictureMan(
        position=man,
        owed_gap=fit.gap,
        owed_side=fit_side(scheme, cell.fit, look, told),
        owed_landmark=fit.landmark,
        owed_label=cell.fit,
        selected=True,
    )
    picture = look_picture(look, (shown,))
    return to_svg(
        look_shapes(picture, size_px=card_px(), palette=LIGHT).shapes,
        card_px(),
        f"{man}: {cell.fit}",
    )


def _grouped(cards: Sequence[FitCard]) -> tuple[FitCard, ...]:
    """Put looks that ask the same of him together, under the first one's drawing."""
    found: dict[tuple[str, str, str], FitCard] = {}
    for card in cards:
        key = (card.tier, card.fit, card.also)
        first = found.get(key)
        if first is None:
            found[key] = card
            continue
        cues = [cue for cue in (first.cue, card.cue) if cue]
        found[key] = replace(
            first,
            looks=(*first.looks, *card.looks),
            cue="; ".join(dict.fromkeys("; ".join(cues).split("; "))),
            rules=f"{first.rules}, {card.rules}",
        )
    return tuple(found.values())


def _side_words(side: object) -> str:
    if isinstance(side, FollowedSide):
        way = "away from" if side.opposite else "with"
        return f"({way} the {side.fact.replace('_', ' ')})"
    return "(away)" if side == "away" else ""


def _condition_words(spelt: str) -> str:
    """Write a condition as a player reads it."""
    return spelt.replace(" | ", ", ").replace("; ", " · ").replace("surface.", "surface ")
