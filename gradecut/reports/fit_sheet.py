"""One printable page a position: his looks drawn, with what he owes on each."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil
from os import PathLike

from gradecut.drawing import text_width_px
from gradecut.errors import OutputError
from gradecut.outfile import whole_file
from gradecut.reports import palette
from gradecut.reports._pages import page_environment
from gradecut.reports.cautions import CAUTIONS
from gradecut.reports.type_face import font_data

__all__ = ["ABOVE_PX", "DRAWN_PX", "FitCard", "FitPage", "Step", "write_fit_page"]

DRAWN_PX, ABOVE_PX = (250.0, 165.0), 36.0
"""The size a look is to be drawn at in pixels, and the height left free at its top: what a card
does not show. So low it has no key."""
_SHARE = (DRAWN_PX[1] - ABOVE_PX) / DRAWN_PX[0]
"""Height of what a card shows of it, to its width."""

_PAGE_WIDTH_PT, _PAGE_HEIGHT_PT = 533.0, 728.0
"""What A4's width and Letter's height both leave inside margins of 11 mm."""
_BETWEEN_PT = 8.0
_LEAD = 1.25
_ROOM = 0.95
"""Of the page: what a browser breaks otherwise than was reckoned."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FitCard:
    """One look of his, or several that ask the same of him.

    Attributes
    ----------
    tier, fit, side : str
        What he owes there; its side "to", "away" or the coach's words; may be empty.
    looks : tuple of (look, cue)
        The conditions in words, each with what the coach says to him there, which may be empty.
    svg : str
        The look drawn; empty for none.
    also, rules : str
    """

    tier: str
    fit: str
    side: str
    looks: tuple[tuple[str, str], ...]
    svg: str
    also: str
    rules: str


@dataclass(frozen=True, slots=True, kw_only=True)
class FitPage:
    """One man's page.

    Attributes
    ----------
    cards, grouped : tuple of FitCard
        Look by look; and fit by fit, for a man of many rules.
    alignments : tuple of (look, where)
    misses : tuple of (fit, how it goes wrong)
    """

    position: str
    under: str
    alignments: tuple[tuple[str, str], ...]
    cards: tuple[FitCard, ...]
    grouped: tuple[FitCard, ...]
    misses: tuple[tuple[str, str], ...]

    @property
    def tiers(self) -> tuple[str, ...]:
        """The tiers his rules stand in, the one that overrides all others last."""
        return tuple(dict.fromkeys(card.tier for card in self.cards))


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One way to set a page, larger ones tried first; type in points, 7 at the least."""

    columns: int
    type_pt: float
    drawn: bool = True
    grouped: bool = False


_STEPS = (
    Step(columns=3, type_pt=9),
    Step(columns=4, type_pt=9),
    Step(columns=4, type_pt=8),
    Step(columns=4, type_pt=7.5),
    Step(columns=5, type_pt=7.5),
    Step(columns=4, type_pt=8, grouped=True),
    Step(columns=5, type_pt=7, grouped=True),
    Step(columns=3, type_pt=7, grouped=True, drawn=False),
)


def write_fit_page(path: str | PathLike[str], pages: Sequence[FitPage]) -> None:
    """Write fit sheets as one HTML file without network, one page a man on A4 and Letter.

    Raises
    ------
    OutputError
        When a man has more rules than one page holds at 7 points, or the file can't be
        written there.
    """
    steps = [_step_for(page, path) for page in pages]
    text = (
        page_environment()
        .get_template("fits.html.j2")
        .render(
            font=font_data(),
            ink=palette.INK,
            quiet=palette.QUIET,
            hair=palette.HAIR,
            white=palette.PAPER,
            pages=[
                (page, step, page.grouped if step.grouped else page.cards)
                for page, step in zip(pages, steps, strict=True)
            ],
            share=_SHARE,
            above=ABOVE_PX / DRAWN_PX[0],
            caution=CAUTIONS[0],
        )
    )
    with whole_file(path) as draft:
        draft.write_text(text, encoding="utf-8")


def _step_for(page: FitPage, path: str | PathLike[str]) -> Step:
    """Choose the largest way that leaves him on one page."""
    for step in _STEPS:
        if _height_pt(page, step) <= _ROOM * _PAGE_HEIGHT_PT:
            return step
    raise OutputError(
        path,
        f"{page.position} has {len(page.cards)} rules, more than one page holds at 7 points; "
        "say them with fewer conditions.",
    )


def _height_pt(page: FitPage, step: Step) -> float:
    """Reckon how high a page comes out."""
    size = step.type_pt
    wide = (_PAGE_WIDTH_PT - (step.columns - 1) * _BETWEEN_PT) / step.columns
    height = 46 + _LEAD * size * (1 + len(page.alignments)) + 34
    cards = page.grouped if step.grouped else page.cards
    tiered = len(page.tiers) > 1
    for row in range(ceil(len(cards) / step.columns)):
        some = cards[row * step.columns : (row + 1) * step.columns]
        height += max(_card_pt(card, step, wide) for card in some) + _BETWEEN_PT
        height += _LEAD * size if tiered else 0.0
    per_miss = (_PAGE_WIDTH_PT - 16) / 2
    lines = sum(_lines(f"{fit}: {how}", size, per_miss) for fit, how in page.misses)
    return height + _LEAD * size * (ceil(lines / 2) + 3)


def _card_pt(card: FitCard, step: Step, wide: float) -> float:
    size = step.type_pt
    texts = (
        *(text for look in card.looks for text in look),
        card.also and f"Right too: {card.also}",
    )
    lines = sum(_lines(text, size, wide) for text in texts if text)
    picture = wide * _SHARE if step.drawn else 0.0
    title = _lines(f"{card.fit} {card.side} {card.rules}", size * 1.1, wide)
    return picture + _LEAD * size * (lines + 1.15 * title) + 5


def _lines(text: str, size: float, wide: float) -> int:
    """Reckon how many lines a text takes; words don't fill them to the end."""
    return max(ceil(text_width_px(text, size, 500) / (0.88 * wide)), 1)
