"""Where each key, value and table of a TOML text begins and ends."""

from __future__ import annotations

import re
from dataclasses import dataclass
from itertools import islice
from typing import NamedTuple, TypeVar

from gradecut.scheme._lines import LineMap, Path

__all__ = ["Block", "Head", "Pair", "SpanMap"]

_T = TypeVar("_T")
_NEXT_HEAD = re.compile(r"\n(?=\[)")


class Pair(NamedTuple):
    """A key with its value, from the first letter of the key to the last of the value.

    Attributes
    ----------
    path : tuple
        The whole path of the value.
    home : tuple
        The table it is written in (of a dotted key: where the line stands).
    start, stop : int
        Offsets in the text.
    inline : bool
        It is written within the braces of an inline table.
    """

    path: Path
    home: Path
    start: int
    stop: int
    inline: bool


@dataclass(frozen=True, slots=True)
class Head:
    """A table's head in brackets; `path` ends in a number in a list of tables."""

    path: Path
    start: int
    stop: int


class _Mark(NamedTuple):
    """Where a block began, and how much was noted by then."""

    table: Path
    start: int
    line: int
    sizes: tuple[int, int, int, int]
    left: int
    repeats: int


@dataclass(frozen=True, slots=True)
class Block:
    """A table of a list, from its head to the next head, as it was walked.

    What stands in it is kept by the part of its path within the table, its offset from the head
    and its line from the head's, so that it holds wherever the same words stand again.

    Attributes
    ----------
    lines : tuple of (path, line)
    values : tuple of (path, start, stop)
    words : tuple of (path, tuple of (start, stop))
    pairs : tuple of Pair
        Path, home and offsets as above.
    entries : int
        Keys and elements in it.
    """

    lines: tuple[tuple[Path, int], ...]
    values: tuple[tuple[Path, int, int], ...]
    words: tuple[tuple[Path, tuple[tuple[int, int], ...]], ...]
    pairs: tuple[Pair, ...]
    entries: int


class SpanMap(LineMap):
    """Offsets of everything in a TOML text that an edit may touch.

    Where the walk over the text can't follow, the rest is missing here; an edit that would need
    it is then refused.

    Parameters
    ----------
    text : str
        The text, line ends as one line feed.
    near : SpanMap or None
        Of a text that shares much with it: tables of lists that stand in both are not walked again.

    Attributes
    ----------
    values : dict of path to (start, stop)
        Every value written after an equals sign or in a list.
    words : dict of path to list of (start, stop)
        Every place where the last word of the path is written as a key or in a head.
    pairs : list of Pair
        In the order of their ends: an inner pair stands before the one around it.
    heads : list of Head
        In file order.
    blocks : dict of str to Block
        By the words of the table, from its head to the next.
    places : list of (name, start, stop)
        Where these blocks stand, in file order.
    """

    def __init__(self, text: str, near: SpanMap | None = None) -> None:
        self.values: dict[Path, tuple[int, int]] = {}
        self.words: dict[Path, list[tuple[int, int]]] = {}
        self.pairs: list[Pair] = []
        self.heads: list[Head] = []
        self._spoken: list[tuple[int, int]] = []
        self._last: tuple[Path, int] = ((), 0)
        self._depth = 0
        self.blocks: dict[str, Block] = {}
        self.places: list[tuple[str, int, int]] = []
        self._near = {} if near is None else near.blocks
        self._open: _Mark | None = None
        super().__init__(text)

    def _walk(self) -> None:
        super()._walk()
        self._end_block()

    def _table(self) -> Path:
        self._end_block()
        start, line = self._at, self._here()
        table = super()._table()
        if len(table) != 2 or not isinstance(table[1], int):
            return table
        ahead = _NEXT_HEAD.search(self._text, start)
        stop = len(self._text) if ahead is None else ahead.end()
        block = self._near.get(self._text[start:stop])
        if block is not None and block.entries <= self._left:
            self._put_block(block, table, start, line)
            self._note_block(str(table[0]), start, stop, block)
            self._at = stop
        else:
            sizes = (len(self._lines), len(self.values), len(self.words), len(self.pairs))
            self._open = _Mark(table, start, line, sizes, self._left, len(self.repeats))
        return table

    def _put_block(self, block: Block, table: Path, start: int, line: int) -> None:
        """Note what stands in a block that was walked before."""
        for path, below in block.lines:
            self._lines[table + path] = line + below
        for path, first, last in block.values:
            self.values[table + path] = (start + first, start + last)
        for path, spans in block.words:
            self.words[table + path] = [(start + first, start + last) for first, last in spans]
        self.pairs += [
            Pair(table + path, table + home, start + first, start + last, inline)
            for path, home, first, last, inline in block.pairs
        ]
        self._left -= block.entries

    def _end_block(self) -> None:
        """Keep the block that ends here, if it is one that can be told from its words alone."""
        mark, self._open = self._open, None
        if mark is None or len(self.repeats) > mark.repeats:
            return
        stop = self._at
        if stop < len(self._text) and self._text[stop - 1] != "\n":
            return
        at, line = mark.start, mark.line
        lines, values, words, pairs = mark.sizes
        block = Block(
            lines=tuple((path[2:], here - line) for path, here in _newest(self._lines, lines)),
            values=tuple(
                (path[2:], start - at, end - at)
                for path, (start, end) in _newest(self.values, values)
            ),
            words=tuple(
                (path[2:], tuple((start - at, end - at) for start, end in spans))
                for path, spans in _newest(self.words, words)
            ),
            pairs=tuple(
                Pair(path[2:], home[2:], start - at, end - at, inline)
                for path, home, start, end, inline in self.pairs[pairs:]
            ),
            entries=mark.left - self._left,
        )
        self._note_block(str(mark.table[0]), at, stop, block)

    def _note_block(self, name: str, start: int, stop: int, block: Block) -> None:
        self.blocks[self._text[start:stop]] = block
        self.places.append((name, start, stop))

    def _word(self) -> str:
        start = self._at
        word = super()._word()
        self._spoken.append((start, self._at))
        return word

    def _dotted(self) -> list[str]:
        self._spoken = []
        return super()._dotted()

    def _header(self, opens: str, closes: str) -> Path:
        start = self._at
        path = super()._header(opens, closes)
        self.heads.append(Head(path, start, self._at))
        spoken = iter(self._spoken)
        for place, key in enumerate(path):
            if isinstance(key, str):
                self.words.setdefault(path[: place + 1], []).append(next(spoken))
        return path

    def _pair(self, table: Path) -> None:
        start, inline = self._at, self._depth > 0
        super()._pair(table)
        path, stop = self._last
        self.pairs.append(Pair(path, table, start, stop, inline))

    def _value(self, path: Path) -> None:
        spoken, self._spoken = self._spoken, []
        if isinstance(path[-1], str):
            for place, span in enumerate(spoken):
                prefix = path[: len(path) - len(spoken) + place + 1]
                self.words.setdefault(prefix, []).append(span)
        start = self._at
        super()._value(path)
        stop = start + len(self._text[start : self._at].rstrip())
        self.values[path] = (start, stop)
        self._last = (path, stop)

    def _inline(self, path: Path) -> None:
        self._depth += 1
        super()._inline(path)
        self._depth -= 1


def _newest(noted: dict[Path, _T], before: int) -> list[tuple[Path, _T]]:
    """Give what was noted since there were so many, oldest first."""
    found = list(islice(reversed(noted.items()), len(noted) - before))
    found.reverse()
    return found
