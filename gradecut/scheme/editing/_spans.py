"""Where each key, value and table of a TOML text begins and ends."""

from __future__ import annotations

from dataclasses import dataclass

from gradecut.scheme._lines import LineMap, Path

__all__ = ["Head", "Pair", "SpanMap"]


@dataclass(frozen=True, slots=True)
class Pair:
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


class SpanMap(LineMap):
    """Offsets of everything in a TOML text that an edit may touch.

    Where the walk over the text can't follow, the rest is missing here; an edit that would need
    it is then refused.

    Parameters
    ----------
    text : str
        The text, line ends as one line feed.

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
    """

    def __init__(self, text: str) -> None:
        self.values: dict[Path, tuple[int, int]] = {}
        self.words: dict[Path, list[tuple[int, int]]] = {}
        self.pairs: list[Pair] = []
        self.heads: list[Head] = []
        self._spoken: list[tuple[int, int]] = []
        self._last: tuple[Path, int] = ((), 0)
        self._depth = 0
        super().__init__(text)

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
