"""A scheme file being edited: its data, its text, and the strokes that change both.

A stroke cuts from the text and writes into it, and does the same to the data. What lies between
is never written anew, so comments, order and layout stay. At the end the new text is read and has
to say what the data say: a layout that a stroke did not understand costs a sentence, never a
scheme that means something else.
"""

from __future__ import annotations

import tomllib
from bisect import bisect_left
from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from gradecut.scheme._lines import Path, TooDeep
from gradecut.scheme._page import shown
from gradecut.scheme.editing._layout import Layout
from gradecut.scheme.editing._spans import Pair, SpanMap
from gradecut.scheme.editing._spelling import refusal, spell_key, spell_pair, spell_value
from gradecut.scheme.reader import parse_scheme

__all__ = ["Draft", "same"]

_SECTIONS = (
    "scheme", "facts", "positions", "fits", "rules", "alignments", "impossible", "duties",
    "rubric",
)  # fmt: skip
_Splice = tuple[int, int, str]


def same(one: Any, other: Any) -> bool:
    """Tell whether two TOML values are the same, by type too: 1, 1.0 and true are three."""
    if type(one) is not type(other):
        return False
    if isinstance(one, dict):
        return one.keys() == other.keys() and all(same(one[key], other[key]) for key in one)
    if isinstance(one, list):
        return len(one) == len(other) and all(map(same, one, other))
    return bool(one == other)


class Draft:
    """One text and the strokes on it.

    Parameters
    ----------
    text : str
        A whole scheme file. It may have faults, but has to be TOML.

    Attributes
    ----------
    text : str
        The text, with the strokes so far.
    data : dict
        What it says.

    Raises
    ------
    SchemeError
        When it is no TOML, or too big.
    """

    def __init__(self, text: str) -> None:
        self.text = text
        self._seen: Layout | None = None
        try:
            self.data: dict[str, Any] = tomllib.loads(text)
            self._seen = self._layout
        except (tomllib.TOMLDecodeError, TooDeep, ValueError, RecursionError):
            parse_scheme(text, "the scheme")
            raise refusal("the file can't be read as TOML; correct it by hand") from None

    @property
    def _layout(self) -> Layout:
        if self._seen is None:
            plain_text = self.text.replace("\r\n", "\n")
            self._seen = Layout(plain_text, SpanMap(plain_text))
        return self._seen

    @property
    def _spans(self) -> SpanMap:
        return self._layout.spans

    def get(self, path: Path) -> Any:
        """Give what stands under a path; None where nothing does."""
        found: Any = self.data
        for key in path:
            listed = isinstance(found, list) and isinstance(key, int) and key < len(found)
            if not listed and not (isinstance(found, dict) and key in found):
                return None
            found = found[key]
        return found

    def put(self, path: Path, value: Any, order: Sequence[str] = ()) -> None:
        """Set a key of a table, in place where it stands already.

        Parameters
        ----------
        path : tuple
            The key; its table is there.
        value : object
            What it is to be.
        order : sequence of str
            The keys of such a table in the order they are written; the new one is set among them.
        """
        value = plain(value)
        table, key = self.get(path[:-1]), path[-1]
        if key in table:
            if same(table[key], value):
                return
            if path in self._spans.values:
                self.replace({path: value})
                return
            self.take_out(path)
            table = self.get(path[:-1])
        self._splice(self._add(path[:-1], str(key), value, order))
        table[key] = value

    def put_new(self, paths: Sequence[Path], value: Any, order: Sequence[str] = ()) -> None:
        """Set one key, that none of them has, in several tables at once."""
        value = plain(value)
        found = [self._add(path[:-1], str(path[-1]), value, order) for path in paths]
        self._splice([splice for splices in found for splice in splices])
        for path in paths:
            self.get(path[:-1])[path[-1]] = value

    def drop_tables(self, section: str, places: Sequence[int]) -> None:
        """Take several tables out of a list, with the comments that belong to them."""
        tables = self.data[section]
        if len(places) == len(tables):
            self.take_out((section,))
            return
        runs = [self._layout.heads_of((section, place)) for place in places]
        if any(len(run) != 1 for run in runs):
            for place in sorted(places, reverse=True):
                self.take_out((section, place))
            return
        blocks = [self._layout.block(run[0]) for run in runs]
        self._splice([cut for block in blocks for cut in self._cut_block(*block)])
        tables[:] = [table for place, table in enumerate(tables) if place not in set(places)]

    def replace(self, values: Mapping[Path, Any]) -> None:
        """Write other values in the place of those that stand there."""
        splices = []
        laid_out = {pair.path for pair in self._spans.pairs if not pair.inline}
        for path, value in values.items():
            new = plain(value)
            start, stop = self._span(path)
            word = path[-1]
            written = spell_value(new)
            if isinstance(word, str) and path in laid_out:
                written = spell_pair(word, new).removeprefix(f"{spell_key(word)} = ")
            splices.append((start, stop, written))
            self.get(path[:-1])[path[-1]] = new
        self._splice(splices)

    def rename(self, names: Iterable[tuple[Path, str]]) -> None:
        """Give keys other names, wherever they are written."""
        splices = []
        for path, new in names:
            spans = self._spans.words.get(path)
            table = self.get(path[:-1])
            if not spans or not isinstance(table, dict):
                raise _by_hand(path)
            splices += [(start, stop, spell_key(new)) for start, stop in spans]
            items = [(new if key == path[-1] else key, value) for key, value in table.items()]
            table.clear()
            table.update(items)
        self._splice(splices)

    def take_out(self, path: Path) -> None:
        """Take out a key, a table or an element of a list, with the comments that belong to it."""
        found = False
        while self._take_once(path):
            found = True
            if isinstance(path[-1], int):
                break
        if not found:
            raise _by_hand(path)
        holder = self.get(path[:-1])
        del holder[path[-1]]
        if not holder and path[:-1] not in self._spans.values and self._gone(path[:-1]):
            self._forget(path[:-1])

    def insert(self, path: Path, place: int, value: Any) -> None:
        """Write an element into a list in brackets, before the one at a place."""
        value = plain(value)
        start, stop = self._span(path)
        elements = self.get(path)
        if not elements:
            self._splice([(start + 1, start + 1, spell_value(value))])
        elif place < len(elements):
            at = self._span((*path, place))[0]
            own_line = self._layout.indent(at)
            between = f",\n{own_line}" if self._starts_line(at) else ", "
            self._splice([(at, at, spell_value(value) + between)])
        else:
            self._append(self._span((*path, len(elements) - 1)), stop, spell_value(value))
        elements.insert(place, value)

    def add_table(self, section: str, table: Mapping[str, Any], after: int | None = None) -> None:
        """Add a table to a list of tables.

        Parameters
        ----------
        section : str
            The list; it is made where there is none.
        table : mapping
            What it says.
        after : int or None
            The place of the table it follows; None: the last.
        """
        value = plain(table)
        tables = self.data.get(section)
        if (section,) in self._spans.values:
            self.insert((section,), len(tables or ()) if after is None else after + 1, value)
            return
        block = "".join(f"{spell_pair(key, part)}\n" for key, part in value.items())
        block = f"[[{section}]]\n{block}"
        place = len(tables or ()) if after is None else after + 1
        self._add_block(block, (section, place - 1) if place else (section,))
        self.data.setdefault(section, []).insert(place, value)

    def add_named(self, section: str, name: str, table: Mapping[str, Any]) -> None:
        """Add a table with a name to a section, after those it has."""
        value = plain(table)
        if (section,) in self._spans.values:
            self.put((section, name), value)
            return
        block = "".join(f"{spell_pair(key, part)}\n" for key, part in value.items())
        head = f"[{section}.{spell_key(name)}]" if name else f"[{section}]"
        self._add_block(f"{head}\n{block}", (section,))
        if name:
            self.data.setdefault(section, {})[name] = value
        else:
            self.data[section] = value

    def move_tables(self, section: str, places: Sequence[int], before: int | None) -> None:
        """Move tables of a list before another of it, or to its end."""
        tables = self.data[section]
        moved = [tables[place] for place in places]
        if (section,) in self._spans.values:
            anchor = None if before is None else tables[before]
            for place in sorted(places, reverse=True):
                self.take_out((section, place))
            at = len(self.data[section])
            if anchor is not None:
                at = next(n for n, table in enumerate(self.data[section]) if table is anchor)
            for number, table in enumerate(moved):
                self.insert((section,), at + number, table)
            return
        self._move_blocks(section, places, before)
        rest = [table for place, table in enumerate(tables) if place not in places]
        at = len(rest)
        if before is not None:
            at = next(n for n, table in enumerate(rest) if table is tables[before])
        tables[:] = [*rest[:at], *moved, *rest[at:]]

    def _move_blocks(self, section: str, places: Sequence[int], before: int | None) -> None:
        layout, last = self._layout, len(self.data[section]) - 1
        goal = last if before is None else before
        start, stop = self._block((section, goal))
        goal_at = stop if before is None else start
        texts, splices = [], []
        for place in places:
            texts.append(layout.text[slice(*self._block((section, place)))])
            splices += self._cut_block(*self._block((section, place)))
        texts = [text if text.endswith("\n") else f"{text}\n" for text in texts]
        airy = layout.blank_stop(goal_at) > goal_at or layout.blank_start(start) < start
        gap = "\n" if airy else ""
        if before is None:
            written = "".join(f"{gap}{text}" for text in texts)
            written = written if layout.text[:goal_at].endswith("\n") else f"\n{written}"
        else:
            written = "".join(f"{text}{gap}" for text in texts)
        self._splice([*splices, (goal_at, goal_at, written)])

    def _block(self, path: Path) -> tuple[int, int]:
        runs = self._layout.heads_of(path)
        if len(runs) != 1:
            raise _by_hand(path)
        return self._layout.block(runs[0])

    def _span(self, path: Path) -> tuple[int, int]:
        if path not in self._spans.values:
            raise _by_hand(path)
        return self._spans.values[path]

    def _starts_line(self, at: int) -> bool:
        return not self._layout.text[self._layout.line_start(at) : at].strip()

    def _splice(self, splices: Sequence[_Splice]) -> None:
        """Apply strokes to the text; cuts that overlap are one."""
        plain_text = self._layout.text
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
        self._seen = None

    def _take_once(self, path: Path) -> bool:
        size = len(path)
        if isinstance(path[-1], int) and path in self._spans.values:
            self._splice([self._cut_element(path)])
            return True
        for pair in self._spans.pairs:
            if pair.path[:size] == path and pair.home[:size] != path:
                self._splice([self._cut_pair(pair)])
                return True
        runs = self._layout.heads_of(path)
        if runs:
            cuts = [cut for run in runs for cut in self._cut_block(*self._layout.block(run))]
            self._splice(cuts)
        return bool(runs)

    def _cut_pair(self, pair: Pair) -> _Splice:
        if not pair.inline:
            return (self._layout.line_start(pair.start), self._layout.line_stop(pair.stop), "")
        beside = [other for other in self._spans.pairs if other.home == pair.home and other.inline]
        place = beside.index(pair)
        if place + 1 < len(beside):
            return (pair.start, beside[place + 1].start, "")
        if place:
            return (beside[place - 1].stop, pair.stop, "")
        return (pair.start, pair.stop, "")

    def _cut_element(self, path: Path) -> _Splice:
        layout, place = self._layout, int(path[-1])
        start, stop = self._span(path)
        rest = layout.text[stop : layout.line_stop(stop)]
        after = rest.lstrip(" \t").removeprefix(",").strip()
        comma = rest.lstrip(" \t").startswith(",")
        if self._starts_line(start) and comma and (not after or after.startswith("#")):
            return (layout.line_start(start), layout.line_stop(stop), "")
        following = self._spans.values.get((*path[:-1], place + 1))
        if following:
            return (start, following[0], "")
        if place:
            return (self._span((*path[:-1], place - 1))[1], stop, "")
        closing = layout.text.index(",", stop) + 1 if comma else stop
        return (start, closing, "")

    def _cut_block(self, start: int, stop: int) -> list[_Splice]:
        layout = self._layout
        further = layout.blank_stop(stop)
        at_end = further >= len(layout.text)
        above = layout.blank_start(start)
        if at_end:
            return [(above, stop, "")]
        return [(start, further, "")] if above < start or not start else [(start, stop, "")]

    def _append(self, last: tuple[int, int], list_stop: int, written: str) -> None:
        layout = self._layout
        start, stop = last
        rest = layout.text[stop : list_stop - 1]
        code = rest.split("#")[0]
        comma = "," in code
        if not self._starts_line(start):
            at = stop + code.index(",") + 1 if comma else stop
            self._splice([(at, at, f" {written}" if comma else f", {written}")])
            return
        indent = layout.indent(start)
        end = layout.line_stop(stop)
        if end > list_stop:  # the closing bracket is on the line of the last element
            self._splice([(stop, stop, f",\n{indent}{written}")])
            return
        splices = [] if comma else [(stop, stop, ",")]
        self._splice([*splices, (end, end, f"{indent}{written},\n")])

    def _add(self, home: Path, key: str, value: Any, order: Sequence[str]) -> list[_Splice]:
        layout, spans = self._layout, self._spans
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
            raise _by_hand((*home, key))
        at = layout.lead(runs[0][0].start)
        head = ".".join(spell_key(str(word)) for word in home)
        return [(at, at, f"[{head}]\n{spell_pair(key, value)}\n\n")]

    def _add_dotted(self, home: Path, last: Pair, key: str, value: Any) -> list[_Splice]:
        words = ".".join(spell_key(str(word)) for word in home[len(last.home) :])
        if last.inline:
            pair = f"{words}.{spell_key(key)} = {spell_value(value)}"
            return [(last.stop, last.stop, f", {pair}")]
        return self._add_line(last.stop, last.start, f"{words}.{spell_pair(key, value)}")

    def _add_line(self, stop: int, start: int, line: str) -> list[_Splice]:
        layout = self._layout
        end = layout.line_stop(stop)
        before = "" if layout.text[:end].endswith("\n") else "\n"
        return [(end, end, f"{before}{layout.indent(start)}{line}\n")]

    def _add_inline(self, home: Path, pair: str) -> list[_Splice]:
        inner = [other for other in self._spans.pairs if other.home == home and other.inline]
        if inner:
            return [(inner[-1].stop, inner[-1].stop, f", {pair}")]
        start, stop = self._span(home)
        return [(start, stop, f"{{ {pair} }}")]

    def _add_block(self, block: str, after: Path) -> None:
        layout = self._layout
        runs = layout.heads_of(after) or self._sections_before(str(after[0]))
        if runs:
            start, at = layout.block(runs[-1])
            dense = at < len(layout.text) and layout.blank_stop(at) == at
            dense = dense and layout.blank_start(start) == start
        else:
            first = self._spans.heads[0].start if self._spans.heads else len(layout.text)
            at = layout.lead(first) if self._spans.heads else first
            if not at:
                self._splice([(0, 0, f"{block}\n" if layout.text else block)])
                return
            dense = False
            if self._spans.heads:
                self._splice([(at, at, f"{block}\n")])
                return
        before = "" if layout.text[:at].endswith("\n") else "\n"
        after_it = "" if at >= len(layout.text) or layout.blank_stop(at) > at else "\n"
        gap = "" if dense else "\n"
        self._splice([(at, at, f"{before}{gap}{block}{'' if dense else after_it}")])

    def _sections_before(self, section: str) -> list[Any]:
        known = _SECTIONS.index(section) if section in _SECTIONS else len(_SECTIONS)
        for earlier in reversed(_SECTIONS[:known]):
            runs = self._layout.heads_of((earlier,))
            if runs:
                return runs
        return []

    def _gone(self, path: Path) -> bool:
        """Tell whether a table that has become empty is written nowhere any more."""
        size = len(path)
        return not any(pair.path[:size] == path for pair in self._spans.pairs) and not any(
            head.path[:size] == path for head in self._spans.heads
        )

    def _forget(self, path: Path) -> None:
        holder = self.get(path[:-1])
        del holder[path[-1]]
        written = path[:-1] in self._spans.values or not path[:-1]
        if not holder and not written and self._gone(path[:-1]):
            self._forget(path[:-1])


def plain(value: Any) -> Any:
    """Give a value with mappings as dictionaries and sequences as lists, as TOML reads them."""
    if isinstance(value, Mapping):
        return {str(key): plain(part) for key, part in value.items()}
    if isinstance(value, Sequence) and not isinstance(value, str | bytes):
        return [plain(part) for part in value]
    return value


def _breaks(text: str) -> list[int]:
    found, at = [], text.find("\r\n")
    while at >= 0:
        found.append(at)
        at = text.find("\r\n", at + 2)
    return found


def _by_hand(path: Path) -> Exception:
    words = " ".join(str(key + 1) if isinstance(key, int) else shown(key) for key in path)
    return refusal(f"{words} is written in a way that can't be edited here; change it by hand")
