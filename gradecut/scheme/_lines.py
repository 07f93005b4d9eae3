"""Where each key of a TOML text stands.

The standard reader forgets lines, so the text is walked a second time, only to note them. The
walk is done first and also stops text nested too deep, which the standard reader could not bear.
It trusts nothing: where it meets something it can't follow it stops, and leaves the judgement
to the reader.
"""

from __future__ import annotations

import re
import tomllib
from bisect import bisect_right
from contextlib import suppress

__all__ = ["DEEPEST", "MOST_ENTRIES", "LineMap", "Path", "TooDeep", "TooMany"]

Path = tuple[str | int, ...]

DEEPEST = 20

MOST_ENTRIES = 150_000
"""Most keys, tables and list elements a file may have; ten thousand rules have fewer."""

_BARE = re.compile(r"[A-Za-z0-9_-]+")
_BASIC = re.compile(r'"[^"\\\n]*+(?:\\.[^"\\\n]*+)*+"')
_LITERAL = re.compile(r"'[^'\n]*'")
_BLANK = re.compile(r"[ \t]*")
_GAP = re.compile(r"(?:[ \t\n]++|#[^\n]*+)*+")
_SCALAR = re.compile(r"[^,\]}#\n]*")
_BASIC_END = re.compile(r'\\.|"{3,5}', re.DOTALL)
_LITERAL_END = re.compile(r"'{3,5}")


class TooDeep(Exception):
    """The text is nested too deep; `line` says where."""

    def __init__(self, line: int) -> None:
        self.line = line
        super().__init__(line)


class TooMany(Exception):
    """The text has too many keys and elements; `line` says where the last one allowed is."""

    def __init__(self, line: int) -> None:
        self.line = line
        super().__init__(line)


class _Lost(Exception):
    pass


class LineMap:
    """Lines (from 1) of the keys and elements of a TOML text.

    Parameters
    ----------
    text : str
        The text, line ends as one line feed.

    Attributes
    ----------
    repeats : list of int
        Lines of keys and tables that stand there for the second time.

    Raises
    ------
    TooDeep
        When tables and lists are nested more than `DEEPEST` deep.
    TooMany
        When there are more than `MOST_ENTRIES` keys, tables and elements.
    """

    def __init__(self, text: str) -> None:
        self._text = text
        self._ends = [found.start() for found in re.finditer("\n", text)]
        self._lines: dict[Path, int] = {}
        self._headed: set[Path] = set()
        self._counts: dict[Path, int] = {}
        self._at = 0
        self._left = MOST_ENTRIES
        self.repeats: list[int] = []
        with suppress(_Lost):
            self._walk()

    def line(self, path: Path) -> int:
        """Give the line of a key, or of the nearest table around it that has one."""
        while path and path not in self._lines:
            path = path[:-1]
        return self._lines.get(path, 1)

    def _here(self) -> int:
        return bisect_right(self._ends, self._at - 1) + 1 if self._at else 1

    def _peek(self, token: str) -> bool:
        return self._text.startswith(token, self._at)

    def _skip(self, pattern: re.Pattern[str]) -> str:
        found = pattern.match(self._text, self._at)
        if found is None:
            raise _Lost
        self._at = found.end()
        return found.group()

    def _expect(self, token: str) -> None:
        if not self._peek(token):
            raise _Lost
        self._at += len(token)

    def _walk(self) -> None:
        table: Path = ()
        while True:
            self._skip(_GAP)
            if self._at >= len(self._text):
                return
            if self._peek("["):
                table = self._table()
            else:
                self._pair(table)

    def _table(self) -> Path:
        return self._header("[[", "]]") if self._peek("[[") else self._header("[", "]")

    def _header(self, opens: str, closes: str) -> Path:
        line = self._here()
        self._expect(opens)
        words = self._dotted()
        self._expect(closes)
        path = self._resolve(words[:-1], line)
        last = (*path, words[-1])
        if opens == "[[":
            if last in self._lines and last not in self._counts:
                self.repeats.append(line)
            self._lines.setdefault(last, line)
            count = self._counts.get(last, 0)
            self._counts[last] = count + 1
            last = (*last, count)
        elif last in self._counts:
            last = (*last, self._counts[last] - 1)
        if last in self._headed:
            self.repeats.append(line)
        self._headed.add(last)
        self._note(last, line, again=True)
        return last

    def _resolve(self, words: list[str], line: int) -> Path:
        path: Path = ()
        for word in words:
            path = (*path, word)
            self._count(line)
            self._lines.setdefault(path, line)
            if path in self._counts:
                path = (*path, self._counts[path] - 1)
        return path

    def _count(self, line: int) -> None:
        self._left -= 1
        if self._left < 0:
            raise TooMany(line)

    def _note(self, path: Path, line: int, *, again: bool = False) -> None:
        if len(path) > DEEPEST:
            raise TooDeep(line)
        self._count(line)
        if again:
            self._lines[path] = line
        else:
            self._lines.setdefault(path, line)

    def _dotted(self) -> list[str]:
        line = self._here()
        words: list[str] = []
        while True:
            self._skip(_BLANK)
            words.append(self._word())
            if len(words) > DEEPEST:
                raise TooDeep(line)
            self._skip(_BLANK)
            if not self._peek("."):
                return words
            self._at += 1

    def _word(self) -> str:
        if self._peek('"'):
            token = self._skip(_BASIC)
            if "\\" not in token:
                return token[1:-1]
            try:
                return str(tomllib.loads(f"word = {token}")["word"])
            except tomllib.TOMLDecodeError:
                raise _Lost from None
        if self._peek("'"):
            return self._skip(_LITERAL)[1:-1]
        return self._skip(_BARE)

    def _pair(self, table: Path) -> None:
        line = self._here()
        words = self._dotted()
        self._expect("=")
        path = table
        for word in words[:-1]:
            path = (*path, word)
            self._note(path, line)
        path = (*path, words[-1])
        if path in self._lines:
            self.repeats.append(line)
        self._note(path, line)
        self._skip(_BLANK)
        self._value(path)

    def _value(self, path: Path) -> None:
        if self._peek('"""'):
            self._long(_BASIC_END, '"')
        elif self._peek("'''"):
            self._long(_LITERAL_END, "'")
        elif self._peek('"'):
            self._skip(_BASIC)
        elif self._peek("'"):
            self._skip(_LITERAL)
        elif self._peek("["):
            self._list(path)
        elif self._peek("{"):
            self._inline(path)
        else:
            self._skip(_SCALAR)

    def _long(self, ends: re.Pattern[str], quote: str) -> None:
        self._at += 3
        while True:
            found = ends.search(self._text, self._at)
            if found is None:
                raise _Lost
            self._at = found.end()
            if found.group()[0] == quote:
                return

    def _list(self, path: Path) -> None:
        self._expect("[")
        count = 0
        while True:
            self._skip(_GAP)
            if self._peek("]"):
                self._at += 1
                return
            self._note((*path, count), self._here())
            self._value((*path, count))
            count += 1
            self._skip(_GAP)
            if not self._peek("]"):
                self._expect(",")

    def _inline(self, path: Path) -> None:
        self._expect("{")
        while True:
            self._skip(_GAP)
            if self._peek("}"):
                self._at += 1
                return
            self._pair(path)
            self._skip(_GAP)
            if not self._peek("}"):
                self._expect(",")
