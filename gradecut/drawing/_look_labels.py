"""Words beside rings and discs, set where they cover nothing."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from math import hypot
from typing import Literal

from gradecut.drawing._look_layout import Layout
from gradecut.drawing._look_names import free_places, inside, overlap
from gradecut.drawing._look_places import ring_radius
from gradecut.drawing.lettering import text_width_px, wrap_text
from gradecut.drawing.shapes import Colour, Point, Rect, Words

__all__ = ["LABEL_PX", "Label", "Labels"]

LABEL_PX = 11.5
_HIGH_PX = LABEL_PX + 2.5
_AIR_PX = 6.0
_WIDEST_PX = 170.0
_FARTHEST = 3.0
"""No label stands farther from its place than so many times its height."""
_LINE_PX = 13.0
_SIGN_AND_WORD = 2
_SIGNS = ("✓", "✕", "½", "?", "·")
"""What no line of words ends with."""
_FROM_RING_PX = 6.0
"""From a ring's edge to words beside it."""
_Anchor = Literal["left", "centre", "right"]
_SHARES: dict[_Anchor, float] = {"left": 0.0, "centre": 0.5, "right": 1.0}
_Try = tuple[_Anchor, Point]
Label = tuple[Rect, tuple[Words, ...]]
"""What words cover, and the words."""


@dataclass(frozen=True, slots=True)
class _Block:
    """Words in one line or two, with the room they take."""

    lines: tuple[str, ...]

    @property
    def wide(self) -> float:
        return max(text_width_px(line, LABEL_PX, 600) for line in self.lines) + _AIR_PX

    @property
    def high(self) -> float:
        return _HIGH_PX + (len(self.lines) - 1) * _LINE_PX


def _blocks(text: str) -> Iterator[_Block]:
    """Yield the words in one line, and in two where there are several and no letter is alone.

    They are cut only where neither is short enough.
    """
    one = wrap_text(text, LABEL_PX, _WIDEST_PX, weight=600, most=1)
    if one == (text,):
        yield _Block(one)
    words = text.split()
    cut = bool(one) and one != (text,)
    if len(words) > _SIGN_AND_WORD:
        ways = [
            _Block((" ".join(words[:first]), " ".join(words[first:])))
            for first in range(1, len(words))
            if words[first - 1] not in _SIGNS and len(" ".join(words[first:])) > 1
        ]
        whole = [block for block in ways if block.wide <= _WIDEST_PX]
        yield from sorted(whole, key=lambda block: block.wide)[:1]
        cut = cut and not whole
    if cut:
        yield _Block(one)


@dataclass(slots=True, kw_only=True)
class Labels:
    """Sets words one by one, each where it covers no other, no name and no ring.

    Attributes
    ----------
    taken : list of Rect
        What is covered already; grows with each label.
    rings : set of Point
        Middles of all rings and discs, which words must not seem to belong to.
    """

    layout: Layout
    ground: Colour
    taken: list[Rect] = field(default_factory=list)
    rings: set[Point] = field(default_factory=set)

    def beside(self, text: str, place: Point, colour: Colour, *, owner: str = "") -> Label | None:
        """Name a ring or disc, in two lines where one has no room; None where neither has.

        Seen from behind the words stand above it, or beside it away from other rings; from
        the side they stand deeper, where the room is.

        Parameters
        ----------
        owner : str
            Whose it is: rather than be left out, or seem another's, the words then stand
            anywhere on the picture, after his name.
        """
        away = ring_radius(self.layout) + _FROM_RING_PX
        blocks = list(_blocks(text))
        for block in blocks:
            tries = self._around(block, place, away)
            found = self._set(block, place, colour, tries, own=bool(owner))
            if found is not None:
                return found
        if not owner:
            return None
        named = list(_blocks(f"{owner} {text}"))
        sizes = [(block.wide, block.high) for block in named]
        found_at = free_places(sizes, self.layout.field, self.taken, place)
        near = [
            (hypot(max(at[0] - place[0], place[0] - at[0] - block.wide, 0), at[1] - place[1]),
             number)
            for number, (block, at) in enumerate(zip(named, found_at, strict=True))
            if at is not None
        ]  # fmt: skip
        if not near:
            return None
        chosen = min(near)[1]
        at = found_at[chosen]
        return self._put(named[chosen], at, "left", colour) if at is not None else None

    def below(self, text: str, name: Rect, colour: Colour) -> Label | None:
        """Say something below a name, towards the line, or above it where there is no room."""
        x, y = name[0] + name[2] / 2, name[1] + name[3] / 2
        half = name[3] / 2 + _HIGH_PX / 2 + 1
        ways = (1, -1) if self.layout.turn != 180 else (-1, 1)
        rows: list[_Try] = [
            ("centre", (x, y + way * (half + step * (_HIGH_PX + 1)))) for way in ways
            for step in range(3)
        ]  # fmt: skip
        block = next(_blocks(text), None)
        return self._set(block, (x, y), colour, rows, anywhere=True) if block else None

    def _around(self, block: _Block, place: Point, away: float) -> Iterator[_Try]:
        x, y = place
        wide, high = block.wide, block.high
        beside: list[_Try] = [("right", (x - away, y)), ("left", (x + away, y))]
        if self.layout.sideways:
            deeper = beside[1] if self.layout.turn == 90 else beside[0]
            anchor, (start, _) = deeper
            for far in (0.0, 0.5, 1.0):
                for up in (0.0, -0.55, 0.55, -1.1, 1.1):
                    way = 1 if anchor == "left" else -1
                    yield anchor, (start + way * far * 2 * away, y + up * high)
            return
        way = -1 if self.layout.turn == 0 else 1
        above = y + way * (away + high / 2)
        near = [
            ring[0] - x
            for ring in self.rings
            if ring != place and abs(ring[0] - x) < wide / 2 + away and abs(ring[1] - y) < 2 * high
        ]
        if sum(near) < 0:
            beside.reverse()
        over: list[_Try] = [("centre", (x, above + way * step * _HIGH_PX)) for step in range(3)]
        yield from (*beside, *over) if near else (over[0], *beside, *over[1:])
        for step in range(3):
            row = above + way * step * _HIGH_PX
            yield "right", (x + away, row)
            yield "left", (x - away, row)

    def _set(
        self,
        block: _Block,
        place: Point,
        colour: Colour,
        tries: Iterable[_Try],
        *,
        anywhere: bool = False,
        own: bool = False,
    ) -> Label | None:
        wide, high = block.wide, block.high
        best: tuple[float, Point, _Anchor] | None = None
        for number, (anchor, at) in enumerate(tries):
            left = at[0] - wide * _SHARES[anchor]
            rect = (left, at[1] - high / 2, wide, high)
            if not self._fits(rect, place, anywhere=anywhere):
                continue
            mistaken = anchor != "centre" and not anywhere and self._beside_another(rect, place)
            if mistaken and own:
                continue
            cost = number + (20 if mistaken else 0)
            if best is None or cost < best[0]:
                best = (cost, at, anchor)
        return self._put(block, best[1], best[2], colour) if best else None

    def _put(self, block: _Block, at: Point, anchor: _Anchor, colour: Colour) -> Label:
        """Set words at a place, their anchor at half their height, and keep it from others."""
        x, y = at
        left = x - block.wide * _SHARES[anchor]
        rect = (left, y - block.high / 2, block.wide, block.high)
        self.taken.append(rect)
        first = y - (len(block.lines) - 1) * _LINE_PX / 2
        return rect, tuple(
            Words(
                text=line, at=(x, first + number * _LINE_PX), size_px=LABEL_PX, colour=colour,
                weight=600, anchor=anchor, line="middle", halo=self.ground,
            )
            for number, line in enumerate(block.lines)
        )  # fmt: skip

    def _fits(self, rect: Rect, place: Point, *, anywhere: bool) -> bool:
        """Tell whether words would lie on the defence's side, near, and on nothing else."""
        middle = (rect[0] + rect[2] / 2, rect[1] + rect[3] / 2)
        if not anywhere and abs(middle[1] - place[1]) > _FARTHEST * _HIGH_PX + 20:
            return False
        half = rect[2] / 2 if self.layout.sideways else rect[3] / 2
        return (
            inside(rect, self.layout.field)
            and self.layout.behind(middle) + half <= -1
            and not any(overlap(rect, other) for other in self.taken)
        )

    def _beside_another(self, rect: Rect, place: Point) -> bool:
        """Tell whether another ring stands at either end of words, so that they could be its."""
        left, top, wide, high = rect
        apart = LABEL_PX * 1.4
        return any(
            ring != place
            and top - high / 2 < ring[1] < top + high * 1.5
            and left - apart < ring[0] < left + wide + apart
            for ring in self.rings
        )
