"""Beside the picture: what its signs mean, and the facts of the look one by one."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from math import ceil

from gradecut.drawing._look_layout import sideways
from gradecut.drawing._outlines import round_box_points
from gradecut.drawing.lettering import text_width_px, wrap_text
from gradecut.drawing.look_words import look_facts
from gradecut.drawing.palette import Palette, see_through
from gradecut.drawing.shapes import Box, Colour, Disc, Point, Rect, Ring, Shape, Stroke, Words
from gradecut.records.picture import LookPicture, PictureFact, PictureMan

__all__ = ["Key", "lay_out_key"]

_TEXT_PX = 11.0
_SIDE_PX = 20.0
_HINT = "Shift and letter: change"
_LEGEND = ("owed", "right", "missed")
_LINE_PX, _TOLD_LINE_PX = 26.0, 16.0
_FACT_LINE_PX = 20.0
_CAP_PX = 14.0
_APART_PX, _SOURCE_APART_PX = 14.0, 3.0
_COLUMN_PX, _COLUMN_SHARE = 140.0, 0.42
"""How wide the key beside a picture is at least, and what share of the width at the most."""
_LEAST_BESIDE_PX = 330.0
"""From this width on, a picture seen from the side has its key beside it."""
_FULL_SHARE = 0.22
"""Facts are told with their source while they take no more than this share of the height."""
_LOW_PX = 130.0
"""Below this height the men need all of it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Key:
    """What stands beside or below the look, laid out.

    Attributes
    ----------
    rect : Rect
        What it takes of the picture; without height where there is no room for it.
    field : Rect
        What it leaves.
    shapes : tuple of Shape
    facts : dict of reference to Rect
        Where each fact takes a touch.
    """

    rect: Rect
    field: Rect
    shapes: tuple[Shape, ...]
    facts: dict[str, Rect]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Chip:
    """One fact, or one sign of the legend, with the room it takes."""

    words: str
    source: str = ""
    fact: PictureFact | None = None
    sign: str = ""

    @property
    def width_px(self) -> float:
        """Width with its sign."""
        lead = _CAP_PX + 5 if self.fact else 11.0 + 5.0
        tail = _SOURCE_APART_PX + _wide(f"· {self.source}") if self.source else 0.0
        return lead + _wide(self.words) + tail


def lay_out_key(
    picture: LookPicture, size_px: tuple[float, float], palette: Palette, title_px: float
) -> Key:
    """Lay out legend and facts: below the look, or beside it where it is seen from the side.

    In a picture too low for both men and key there is no key.
    """
    width, height = size_px
    if height - title_px < _LOW_PX:
        return Key(
            rect=(0.0, height, width, 0.0), field=(0.0, title_px, width, height - title_px),
            shapes=(), facts={},
        )  # fmt: skip
    if sideways(picture.turn) and width >= _LEAST_BESIDE_PX:
        return _beside(picture, size_px, palette, title_px)
    if picture.facts and not picture.question:
        return _facts_below(picture, size_px, palette, title_px)
    return _told_below(picture, size_px, palette, title_px)


def _wide(text: str) -> float:
    return text_width_px(text, _TEXT_PX, 500)


# ---------------------------------------------------------------- below the look


def _told_below(
    picture: LookPicture, size_px: tuple[float, float], palette: Palette, title_px: float
) -> Key:
    """Tell the look, or the open question, in plain words."""
    width, height = size_px
    told, beside = _told(picture, width)
    key_px = _LINE_PX if beside else _LINE_PX + _TOLD_LINE_PX * len(told)
    rect = (0.0, height - key_px, width, key_px)
    y = rect[1] + _LINE_PX / 2
    colour = palette.accent_text if picture.question else palette.quiet
    lines = tuple(
        Words(
            text=line,
            at=(width - _SIDE_PX if beside else _SIDE_PX - 5, y + number * _TOLD_LINE_PX),
            size_px=_TEXT_PX, colour=colour, weight=500,
            anchor="right" if beside else "left", line="middle",
        )
        for number, line in enumerate(told, start=0 if beside else 1)
    )  # fmt: skip
    return Key(
        rect=rect, field=(0.0, title_px, width, rect[1] - title_px),
        shapes=(*_legend_row(picture, _SIDE_PX, y, palette), *lines), facts={},
    )  # fmt: skip


def _told(picture: LookPicture, width_px: float) -> tuple[list[str], bool]:
    """Return the open question, or the facts of the look, in lines; and whether by the legend.

    They stand beside the legend where there is room for all of them by the longest legend
    there can be, so that they keep their place while men are graded; else on lines below.
    """
    facts = (picture.question,) if picture.question else look_facts(picture)
    told = " · ".join(facts)
    if not told:
        return [], True
    legend = sum(11 + _wide(name) + 20 for name in _LEGEND)
    if _wide(told) <= width_px - 2 * _SIDE_PX - legend:
        return [told], True
    room = width_px - 2 * _SIDE_PX
    if room < 60:
        return [], True
    if picture.question:
        return list(wrap_text(told, _TEXT_PX, room, most=2)), False
    return _lines_of(facts, room), False


def _lines_of(facts: tuple[str, ...], room_px: float) -> list[str]:
    """Fill lines with facts, never breaking one that fits a line."""
    lines: list[str] = []
    for fact in facts:
        longer = f"{lines[-1]} · {fact}" if lines else fact
        if lines and _wide(longer) <= room_px:
            lines[-1] = longer
        else:
            lines.append(wrap_text(fact, _TEXT_PX, room_px, most=1)[0])
    return lines


def _facts_below(
    picture: LookPicture, size_px: tuple[float, float], palette: Palette, title_px: float
) -> Key:
    """Set every fact by itself, in as many lines as they need."""
    width, height = size_px
    room = width - _SIDE_PX
    full = _flow(_fact_chips(picture, sources=True), room)
    lines = full
    if len(full) * _FACT_LINE_PX > _FULL_SHARE * (height - title_px):
        lines = _flow(_fact_chips(picture, sources=False), room)
    line_px = _FACT_LINE_PX if height >= 260 else 17.0
    key_px = _LINE_PX - 2 + line_px * len(lines)
    rect = (0.0, height - key_px, width, key_px)
    first_y = rect[1] + _LINE_PX / 2 - 2
    facts, shapes = _set_chips(lines, _SIDE_PX - 5, first_y + 11 + line_px / 2, line_px, palette)
    legend = tuple(_legend_row(picture, _SIDE_PX, first_y, palette))
    used = max((_right_of(shape) for shape in legend), default=_SIDE_PX)
    hint = _hint(picture, (width - _SIDE_PX - _wide(_HINT), first_y), palette)
    return Key(
        rect=rect, field=(0.0, title_px, width, rect[1] - title_px),
        shapes=(*legend, *(hint if used + 20 + _wide(_HINT) <= width - _SIDE_PX else ()), *shapes),
        facts=facts,
    )  # fmt: skip


def _hint(picture: LookPicture, at: Point, palette: Palette) -> tuple[Shape, ...]:
    """Say what the letters are for, where facts have letters."""
    lettered = any(fact.letter for fact in picture.facts)
    return (_small(_HINT, at, palette.quiet),) if lettered else ()


def _right_of(shape: Shape) -> float:
    """Return where words end on the right."""
    return shape.at[0] + _wide(shape.text) if isinstance(shape, Words) else 0.0


# ---------------------------------------------------------------- beside the look


def _beside(
    picture: LookPicture, size_px: tuple[float, float], palette: Palette, title_px: float
) -> Key:
    """Set facts and legend in a column at the left, the legend at its foot."""
    width, height = size_px
    column = _column_px(picture, width)
    rect = (0.0, title_px, column, height - title_px)
    field = (column, title_px, width - column, height - title_px)
    room = column - 8
    legend = _flow([_Chip(words=name, sign=name) for name in _signs(picture)], room, apart=10)
    free = rect[3] - 16.0 * len(legend) - 16
    y = rect[1] + 14.0
    if not picture.facts or picture.question:
        colour = palette.accent_text if picture.question else palette.quiet
        facts = (picture.question,) if picture.question else look_facts(picture)
        told = [line for one in facts for line in wrap_text(one, _TEXT_PX, room)]
        shapes: tuple[Shape, ...] = tuple(
            _small(line, (4.0, y + number * _TOLD_LINE_PX), colour)
            for number, line in enumerate(told[: max(int(free / _TOLD_LINE_PX), 0)])
        )
        places: dict[str, Rect] = {}
    else:
        told_in_full = _fact_chips(picture, sources=True)
        lines = [
            [chip if chip.width_px <= room else replace(chip, source="")] for chip in told_in_full
        ]
        line_px = min(_FACT_LINE_PX + 2, free / max(len(lines), 1))
        if line_px < 16:
            lines, line_px = lines[: max(int(free / 16), 0)], 16.0
        places, shapes = _set_chips(lines, 4.0, y, line_px, palette)
        if line_px * (len(lines) + 1) <= free:
            shapes = (*shapes, *_hint(picture, (4.0, y + line_px * len(lines)), palette))
    foot = rect[1] + rect[3] - 16.0 * len(legend) + 2
    _, signs = _set_chips(legend, 4.0, foot, 16.0, palette, apart=10)
    return Key(rect=rect, field=field, shapes=(*shapes, *signs), facts=places)


def _column_px(picture: LookPicture, width_px: float) -> float:
    """Return a width that holds every fact with the longest source, so that it keeps still."""
    chips = [_Chip(words=one.words, fact=one, source="last play") for one in picture.facts]
    longest = max((chip.width_px for chip in chips), default=0.0) + 10
    return min(max(ceil(longest / 20) * 20.0, _COLUMN_PX), _COLUMN_SHARE * width_px)


# ---------------------------------------------------------------- facts


def _fact_chips(picture: LookPicture, *, sources: bool) -> list[_Chip]:
    return [
        _Chip(words=fact.words, fact=fact, source=fact.source if sources else "")
        for fact in picture.facts
    ]


def _flow(chips: list[_Chip], room_px: float, *, apart: float = _APART_PX) -> list[list[_Chip]]:
    """Fill lines with chips, each as wide as it is."""
    lines: list[list[_Chip]] = []
    used = 0.0
    for chip in chips:
        if lines and used + apart + chip.width_px <= room_px:
            lines[-1].append(chip)
            used += apart + chip.width_px
        else:
            lines.append([chip])
            used = chip.width_px
    return lines


def _set_chips(
    lines: list[list[_Chip]],
    left: float,
    first_y: float,
    line_px: float,
    palette: Palette,
    *,
    apart: float = _APART_PX,
) -> tuple[dict[str, Rect], tuple[Shape, ...]]:
    """Set chips line by line; return where facts take a touch, and what to paint."""
    facts: dict[str, Rect] = {}
    shapes: list[Shape] = []
    for number, line in enumerate(lines):
        x, y = left, first_y + number * line_px
        for chip in line:
            if chip.fact is not None:
                facts[chip.fact.reference] = (
                    x - apart / 2 + 1, y - line_px / 2, chip.width_px + apart - 2, line_px,
                )  # fmt: skip
                shapes += _fact(chip, chip.fact, (x, y), palette)
            else:
                shapes += _sign(chip.sign, (x + 5, y), palette)
                shapes.append(_small(chip.words, (x + 16, y), palette.quiet))
            x += chip.width_px + apart
    return facts, tuple(shapes)


def _fact(chip: _Chip, fact: PictureFact, at: Point, palette: Palette) -> Iterator[Shape]:
    """Draw a fact: its letter on a full cap once seen, else in a broken outline.

    One without a letter, as on paper, has a sign there once it is seen.
    """
    x, y = at
    cap = (x, y - _CAP_PX / 2, _CAP_PX, _CAP_PX)
    if fact.seen == "seen":
        yield Box(rect=cap, corner_px=3.5, colour=see_through(palette.ink, 0.2))
    else:
        yield Stroke(
            points=tuple(round_box_points(cap, 3.5)), width_px=1.3, closed=True,
            colour=palette.quiet if fact.seen == "told" else palette.faint,
            dash=(3.0, 2.2) if fact.seen == "told" else (0.8, 2.6),
        )  # fmt: skip
    letter = fact.letter or ("✓" if fact.seen == "seen" else "")
    if letter:
        yield Words(
            text=letter, at=(x + _CAP_PX / 2, y), size_px=10.0, weight=600,
            colour=palette.ink if fact.seen == "seen" else palette.quiet,
            anchor="centre", line="middle",
        )  # fmt: skip
    ink = {"seen": palette.ink, "told": palette.line, "open": palette.quiet}[fact.seen]
    yield _small(chip.words, (x + _CAP_PX + 5, y), ink)
    if chip.source:
        at = (x + _CAP_PX + 5 + _wide(chip.words) + _SOURCE_APART_PX, y)
        yield _small(f"· {chip.source}", at, palette.quiet)


# ---------------------------------------------------------------- legend


def _signs(picture: LookPicture) -> list[str]:
    """Return the names of the signs that are on the picture now."""
    men, facts = picture.men, picture.facts
    known = {fact.seen for fact in facts}
    needed = {
        "owed": any(man.owed_label or man.owed_options for man in men),
        "right": any(man.did == "as owed" or _right_elsewhere(man) for man in men),
        "missed": any(man.did in ("fit", "miss") and not _right_elsewhere(man) for man in men),
        "not checked yet": "told" in known,
        "unknown": "open" in known,
    }
    return [name for name, wanted in needed.items() if wanted]


def _right_elsewhere(man: PictureMan) -> bool:
    """Tell whether another fit than he owed was right as well."""
    return man.did == "fit" and man.did_sign == "✓"


def _legend_row(picture: LookPicture, x: float, y: float, palette: Palette) -> Iterator[Shape]:
    """Tell in one row what the signs mean."""
    for name in _signs(picture):
        yield from _sign(name, (x, y), palette)
        yield _small(name, (x + 11, y), palette.quiet)
        x += 11 + _wide(name) + 18


def _sign(name: str, at: Point, palette: Palette) -> Iterator[Shape]:
    signs: dict[str, Shape] = {
        "owed": _ring(palette.owed),
        "right": Disc(centre=(0, 0), radius_px=4, colour=palette.right),
        "missed": Disc(centre=(0, 0), radius_px=4, colour=palette.did),
        "not checked yet": _ring(palette.line, (3.0, 2.2), 1.4),
        "unknown": _ring(palette.faint, (0.8, 2.6), 1.4),
    }
    shape = signs[name]
    if isinstance(shape, (Ring, Disc)):
        yield replace(shape, centre=at)


def _ring(colour: Colour, dash: tuple[float, ...] = (), width_px: float = 2.0) -> Ring:
    return Ring(centre=(0, 0), rx_px=5, ry_px=5, width_px=width_px, colour=colour, dash=dash)


def _small(text: str, at: Point, colour: Colour) -> Words:
    return Words(text=text, at=at, size_px=_TEXT_PX, colour=colour, weight=500, line="middle")
