"""The text of a scheme file being edited: strokes that cut from it and write into it.

What lies between the strokes is never written anew, so comments, order and layout stay.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Sequence
from typing import Any

from gradecut.errors import SchemeError
from gradecut.scheme._lines import Path, TooDeep, TooMany
from gradecut.scheme._page import shown
from gradecut.scheme.editing._layout import Layout, layout_of
from gradecut.scheme.editing._spans import Pair, SpanMap
from gradecut.scheme.editing._spelling import refusal, spell_key, spell_pair, spell_value

__all__ = ["DraftText", "Splice", "by_hand"]

_SECTIONS = (
    "scheme", "facts", "positions", "fits", "rules", "alignments", "impossible", "duties",
    "rubric",
)  # fmt: skip
Splice = tuple[int, int, str]
"""A stroke: from an offset to another, of the text with line feeds, stands something else."""


class DraftText:
    """A text and the strokes on it.

    Parameters
    ----------
    text : str
        A whole scheme file.
    layout : Layout or None
        Of this text, where it is known already.

    Attributes
    ----------
    text : str
        With the strokes so far; line ends stay as they are.
    """

    def __init__(self, text: str, layout: Layout | None = None) -> None:
        self.text = text
        self._layout = layout
        self._before: Layout | None = None

    @property
    def layout(self) -> Layout:
        """The layout of the text as it is now.

        Raises
        ------
        SchemeError
            When it is nested too deep by now, or has grown too big.
        """
        if self._layout is None:
            try:
                self._layout = layout_of(self.text, self._before)
            except (TooDeep, TooMany):
                raise refusal("the scheme would become too big or too deep") from None
        return self._layout

    @property
    def spans(self) -> SpanMap:
        """Where everything stands in it."""
        return self.layout.spans

    def span(self, path: Path) -> tuple[int, int]:
        """Give where a value stands."""
        if path not in self.spans.values:
            raise by_hand(path)
        return self.spans.values[path]

    def block(self, path: Path) -> tuple[int, int]:
        """Give a table of a list with all that belongs to it, in whole lines."""
        runs = self.layout.heads_of(path)
        if len(runs) != 1:
            raise by_hand(path)
        return self.layout.block(runs[0])

    def starts_line(self, at: int) -> bool:
        """Tell whether nothing but blanks stands before an offset on its line."""
        return not self.layout.text[self.layout.line_start(at) : at].strip()

    def splice(self, splices: Sequence[Splice]) -> None:
        """Apply strokes to the text; cuts that overlap are one."""
        plain_text = self.layout.text
        mixed = self.text != plain_text
        breaks: list[int] = []
        if mixed:
            at = -1
            for number, found in enumerate(_breaks(self.text)):
                at = found - number
                breaks.append(at)
        newline = "\r\n" if len(breaks) * 2 > plain_text.count("\n") else "\n"
        parts, done = [], 0
        for start, stop, written in sorted(splices, key=lambda splice: splice[:2]):
            first, last = max(start, done), max(stop, done)
            begin = first + bisect_left(breaks, first)
            parts.append(self.text[done + bisect_left(breaks, done) : begin])
            parts.append(written.replace("\n", newline))
            done = last
        parts.append(self.text[done + bisect_left(breaks, done) :])
        self.text = "".join(parts)
        self._before, self._layout = self.layout, None

    def take_once(self, path: Path) -> bool:
        """Cut a key, a table or an element from one place where it is written; whether it was."""
        size = len(path)
        if isinstance(path[-1], int) and path in self.spans.values:
            self.splice([self._cut_element(path)])
            return True
        for pair in self.spans.pairs:
            if pair.path[:size] == path and pair.home[:size] != path:
                self.splice([self._cut_pair(pair)])
                return True
        runs = self.layout.heads_of(path)
        if runs:
            cuts = [cut for run in runs for cut in self.cut_block(*self.layout.block(run))]
            self.splice(cuts)
        return bool(runs)

    def cut_block(self, start: int, stop: int) -> list[Splice]:
        """Give the strokes that take out whole lines, and blank lines that are then too many."""
        layout = self.layout
        further = layout.blank_stop(stop)
        at_end = further >= len(layout.text)
        above = layout.blank_start(start)
        if at_end:
            return [(above, stop, "")]
        return [(start, further, "")] if above < start or not start else [(start, stop, "")]

    def append(self, last: tuple[int, int], list_stop: int, written: str) -> None:
        """Write an element after the last of a list in brackets."""
        layout = self.layout
        start, stop = last
        rest = layout.text[stop : list_stop - 1]
        code = rest.split("#")[0]
        comma = "," in code
        if not self.starts_line(start):
            at = stop + code.index(",") + 1 if comma else stop
            self.splice([(at, at, f" {written}" if comma else f", {written}")])
            return
        indent = layout.indent(start)
        end = layout.line_stop(stop)
        if end > list_stop:  # the closing bracket is on the line of the last element
            self.splice([(stop, stop, f",\n{indent}{written}")])
            return
        splices = [] if comma else [(stop, stop, ",")]
        self.splice([*splices, (end, end, f"{indent}{written},\n")])

    def add(self, home: Path, key: str, value: Any, order: Sequence[str]) -> list[Splice]:
        """Give the strokes that write a key into a table, among those of its order."""
        layout, spans = self.layout, self.spans
        if home in spans.values:
            return self._add_inline(home, f"{spell_key(key)} = {spell_value(value)}")
        heads = [head for head in spans.heads if head.path == home]
        pairs = [pair for pair in spans.pairs if pair.home == home and not pair.inline]
        if heads:
            earlier = order[: order.index(key)] if key in order else None
            kept = [p for p in pairs if earlier is None or p.path[len(home)] in earlier]
            return self._add_line(
                kept[-1].stop if kept else heads[0].stop,
                kept[-1].start if kept else heads[0].start,
                spell_pair(key, value),
            )
        size = len(home)
        dotted = [p for p in spans.pairs if p.path[:size] == home and len(p.home) < size]
        if dotted:
            return self._add_dotted(home, dotted[-1], key, value)
        runs = layout.heads_of(home)
        if not runs:
            raise by_hand((*home, key))
        at = layout.lead(runs[0][0].start)
        head = ".".join(spell_key(str(word)) for word in home)
        return [(at, at, f"[{head}]\n{spell_pair(key, value)}\n\n")]

    def add_block(self, block: str, after: Path) -> None:
        """Write whole lines after a table, or where its section belongs."""
        layout = self.layout
        runs = layout.heads_of(after) or self._sections_before(str(after[0]))
        if runs:
            start, at = layout.block(runs[-1])
            dense = at < len(layout.text) and layout.blank_stop(at) == at
            dense = dense and layout.blank_start(start) == start
        else:
            first = self.spans.heads[0].start if self.spans.heads else len(layout.text)
            at = layout.lead(first) if self.spans.heads else first
            if not at:
                self.splice([(0, 0, f"{block}\n" if layout.text else block)])
                return
            dense = False
            if self.spans.heads:
                self.splice([(at, at, f"{block}\n")])
                return
        before = "" if layout.text[:at].endswith("\n") else "\n"
        after_it = "" if at >= len(layout.text) or layout.blank_stop(at) > at else "\n"
        gap = "" if dense else "\n"
        self.splice([(at, at, f"{before}{gap}{block}{'' if dense else after_it}")])

    def move_blocks(
        self, section: str, places: Sequence[int], before: int | None, count: int
    ) -> None:
        """Move tables of a list of so many before one of it, or to its end."""
        layout = self.layout
        goal = count - 1 if before is None else before
        start, stop = self.block((section, goal))
        goal_at = stop if before is None else start
        texts, splices = [], []
        for place in places:
            texts.append(layout.text[slice(*self.block((section, place)))])
            splices += self.cut_block(*self.block((section, place)))
        texts = [text if text.endswith("\n") else f"{text}\n" for text in texts]
        airy = layout.blank_stop(goal_at) > goal_at or layout.blank_start(start) < start
        gap = "\n" if airy else ""
        if before is None:
            written = "".join(f"{gap}{text}" for text in texts)
            written = written if layout.text[:goal_at].endswith("\n") else f"\n{written}"
        else:
            written = "".join(f"{text}{gap}" for text in texts)
        self.splice([*splices, (goal_at, goal_at, written)])

    def gone(self, path: Path) -> bool:
        """Tell whether a table that has become empty is written nowhere any more."""
        size = len(path)
        return not any(pair.path[:size] == path for pair in self.spans.pairs) and not any(
            head.path[:size] == path for head in self.spans.heads
        )

    def _cut_pair(self, pair: Pair) -> Splice:
        if not pair.inline:
            return (self.layout.line_start(pair.start), self.layout.line_stop(pair.stop), "")
        beside = [other for other in self.spans.pairs if other.home == pair.home and other.inline]
        place = beside.index(pair)
        if place + 1 < len(beside):
            return (pair.start, beside[place + 1].start, "")
        if place:
            return (beside[place - 1].stop, pair.stop, "")
        return (pair.start, pair.stop, "")

    def _cut_element(self, path: Path) -> Splice:
        layout, place = self.layout, int(path[-1])
        start, stop = self.span(path)
        rest = layout.text[stop : layout.line_stop(stop)]
        after = rest.lstrip(" \t").removeprefix(",").strip()
        comma = rest.lstrip(" \t").startswith(",")
        if self.starts_line(start) and comma and (not after or after.startswith("#")):
            return (layout.line_start(start), layout.line_stop(stop), "")
        following = self.spans.values.get((*path[:-1], place + 1))
        if following:
            return (start, following[0], "")
        if place:
            return (self.span((*path[:-1], place - 1))[1], stop, "")
        closing = layout.text.index(",", stop) + 1 if comma else stop
        return (start, closing, "")

    def _add_dotted(self, home: Path, last: Pair, key: str, value: Any) -> list[Splice]:
        words = ".".join(spell_key(str(word)) for word in home[len(last.home) :])
        if last.inline:
            pair = f"{words}.{spell_key(key)} = {spell_value(value)}"
            return [(last.stop, last.stop, f", {pair}")]
        return self._add_line(last.stop, last.start, f"{words}.{spell_pair(key, value)}")

    def _add_line(self, stop: int, start: int, line: str) -> list[Splice]:
        layout = self.layout
        end = layout.line_stop(stop)
        before = "" if layout.text[:end].endswith("\n") else "\n"
        return [(end, end, f"{before}{layout.indent(start)}{line}\n")]

    def _add_inline(self, home: Path, pair: str) -> list[Splice]:
        inner = [other for other in self.spans.pairs if other.home == home and other.inline]
        if inner:
            return [(inner[-1].stop, inner[-1].stop, f", {pair}")]
        start, stop = self.span(home)
        return [(start, stop, f"{{ {pair} }}")]

    def _sections_before(self, section: str) -> list[Any]:
        known = _SECTIONS.index(section) if section in _SECTIONS else len(_SECTIONS)
        for earlier in reversed(_SECTIONS[:known]):
            runs = self.layout.heads_of((earlier,))
            if runs:
                return runs
        return []


def by_hand(path: Path) -> SchemeError:
    """Make the error of an edit of what is written in a way no stroke understands."""
    words = " ".join(str(key + 1) if isinstance(key, int) else shown(key) for key in path)
    return refusal(f"{words} is written in a way that can't be edited here; change it by hand")


def _breaks(text: str) -> list[int]:
    found, at = [], text.find("\r\n")
    while at >= 0:
        found.append(at)
        at = text.find("\r\n", at + 2)
    return found
