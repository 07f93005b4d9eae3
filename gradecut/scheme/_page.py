"""The file being read: its tables and keys, and the faults found in them."""

from __future__ import annotations

import difflib
import re
from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass
from datetime import date, time
from typing import Any, TypeVar, cast

from gradecut.scheme._lines import LineMap, Path

__all__ = ["Fault", "Node", "Page", "nearest", "shown"]

T = TypeVar("T")

_BITS = 64
_CONTROL = re.compile(r"[\x00-\x1f\x7f-\x9f\u2028\u2029]")  # U+2028 and U+2029 break lines
_NO_CONTROL = "a name holds a control character, such as a line break; write it without"
_LONGEST_GUESS = 60
_NO_VALUE = "something a scheme file can't hold"
_GUESSES = 20_000
_MOST_FAULTS = 50_000


@dataclass(frozen=True, slots=True, kw_only=True)
class Fault:
    """One thing wrong with a scheme file.

    Attributes
    ----------
    line : int
        Line of the file, from 1; 0 when it is the whole file.
    message : str
        One sentence: what is wrong, where, and what to try.
    """

    line: int
    message: str


def nearest(word: str, known: Iterable[str]) -> str | None:
    """Find the known word most like this one, or None where none is like it."""
    if len(word) > _LONGEST_GUESS:
        return None
    short = [name for name in known if len(name) <= _LONGEST_GUESS]
    folded = {name.casefold(): name for name in reversed(short)}
    found = difflib.get_close_matches(word.casefold(), folded, n=1)
    return folded[found[0]] if found else None


def shown(value: object) -> str:
    """Write a value, of the file or asked with, as a sentence may hold it."""
    if isinstance(value, str):
        return _quoted(value)
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, int):
        return str(value) if value.bit_length() < _BITS else "a huge number"
    if isinstance(value, float):
        return float.__repr__(value)
    return "an empty list" if value == [] else _kind(value)


def _quoted(text: str) -> str:
    flat = " ".join(text[:80].split())
    flat = "".join(sign if sign.isprintable() else "\ufffd" for sign in flat)
    return f'"{flat[:50]}…"' if len(flat) > 50 or len(text) > 80 else f'"{flat}"'


def _kind(value: object) -> str:
    told = ((dict, "a table"), (list | tuple | set, "a list"), (date | time, "a date or time"))
    if value is None:
        return "nothing"
    return next((name for kind, name in told if isinstance(value, kind)), _NO_VALUE)


class Page:
    """Faults of one file, gathered.

    Parameters
    ----------
    lines : LineMap
        Where each key stands.
    """

    def __init__(self, lines: LineMap) -> None:
        self._lines = lines
        self._faults: list[Fault] = []
        self._left = _GUESSES
        self._more = False

    def line(self, path: Path) -> int:
        """Give the line of a key."""
        return self._lines.line(path)

    def fault(self, path: Path, message: str) -> None:
        """Note a fault at a key."""
        if len(self._faults) < _MOST_FAULTS:
            self._faults.append(Fault(line=self.line(path), message=message))
        else:
            self._more = True

    def guess(self, word: str, known: Collection[str]) -> str | None:
        """Find the nearest known name, as long as the file has not used up its guesses."""
        if self._left < len(known):
            return None
        self._left -= len(known)
        return nearest(word, known)

    def hint(self, word: str, known: Collection[str], what: str) -> str:
        """Write the end of a sentence about an unknown name: the nearest, or all there are."""
        found = self.guess(word, known)
        if found is not None:
            return f'; did you mean "{found}"?'
        if not known:
            return f"; the file has no {what}"
        if len(known) <= 12:
            return f"; there is {', '.join(shown(name) for name in known)}"
        return ""

    @property
    def count(self) -> int:
        """Tell how many faults there are so far."""
        return len(self._faults)

    @property
    def faults(self) -> tuple[Fault, ...]:
        """Give every fault, in file order; of a file that is no scheme at all the first many."""
        found = sorted(self._faults, key=lambda fault: fault.line)
        if self._more:
            told = f"the file has more than {_MOST_FAULTS:,} faults; these are the first found"
            found.insert(0, Fault(line=0, message=told))
        return tuple(found)


class Node:
    """One value of the file, with its place.

    Parameters
    ----------
    page : Page
        Where faults go.
    path : tuple
        Keys that lead to it.
    value : object
        As TOML gives it.
    place : str
        How a sentence names where it stands.
    """

    __slots__ = ("meant", "page", "path", "place", "value")

    def __init__(self, page: Page, path: Path, value: Any, place: str) -> None:
        self.page = page
        self.path = path
        self.value = value
        self.place = place
        self.meant: dict[str, str | None] = {}

    def child(self, key: str | int, place: str | None = None) -> Node:
        """Give what stands under a key or at a place of the list."""
        path = (*self.path, key)
        return Node(self.page, path, self.value[key], self.place if place is None else place)

    def has(self, key: str) -> bool:
        """Tell whether the table has this key."""
        return key in self.value

    def fault(self, message: str) -> None:
        """Note a fault here."""
        self.page.fault(self.path, f"{self.place}: {message}" if self.place else message)

    @property
    def line(self) -> int:
        """Give its line."""
        return self.page.line(self.path)

    @property
    def key(self) -> str:
        """Give the key it stands under."""
        return next((str(key) for key in reversed(self.path) if isinstance(key, str)), "")

    def is_table(self) -> bool:
        """Tell whether it is a table, and note a fault when it is not."""
        return self.is_a(dict, "a table")

    def is_a(self, kind: type, what: str) -> bool:
        """Tell whether it is of this kind, and note a fault when it is not."""
        if isinstance(self.value, kind) and (kind is bool or not isinstance(self.value, bool)):
            return True
        self.fault(f"{self.key} has to be {what}, not {shown(self.value)}")
        return False

    def only(self, known: Sequence[str], needed: Sequence[str] = ()) -> None:
        """Check the keys of this table; note in `meant` what each unknown one may stand for.

        A key that is not there yet is guessed first, then one that stands beside the misspelt one.
        """
        for key in self.value:
            if key in known:
                continue
            free = [name for name in known if name not in self.value]
            taken = [name for name in known if name in self.value]
            guess = self.page.guess(key, free) or self.page.guess(key, taken)
            self.meant[key] = guess
            hint = f'; did you mean "{guess}"?' if guess else f"; known are {', '.join(known)}"
            self.child(key).fault(f"unknown key {shown(key)}{hint}")
        for key in needed:
            if key not in self.value and self.sound(key):
                self.fault(f"{key} is missing")

    def sound(self, key: str) -> bool:
        """Tell whether a key is not merely misspelt."""
        return key not in self.meant.values()

    def misspelt(self, key: str) -> list[Node]:
        """Give what stands under misspelt forms of a key."""
        return [self.child(form) for form, meant in self.meant.items() if meant == key]

    def text(self, key: str) -> str | None:
        """Give a text, None when it is missing or faulty."""
        return self._typed(key, str, "text in quotes")

    def name(self, key: str) -> str | None:
        """Give a text that names something, None when it is missing or no text."""
        word = self.text(key)
        if word is not None:
            self.child(key).check_name(word)
        return word

    def check_name(self, word: str) -> None:
        """Note a fault when a name told here holds a control character."""
        if _CONTROL.search(word):
            self.fault(f"{shown(word)}: {_NO_CONTROL}")

    def truth(self, key: str, default: bool) -> bool | None:
        """Give true or false, the default when it is missing, None when it is faulty."""
        if not self.has(key):
            return default if self.sound(key) else None
        return self._typed(key, bool, "true or false")

    def whole(self, key: str) -> int | None:
        """Give a whole number, None when it is missing or faulty."""
        number = self._typed(key, int, "a whole number")
        if number is not None and number.bit_length() >= _BITS:
            self.child(key).fault(f"{key} has to be a whole number, not a huge number")
            return None
        return number

    def number(self, key: str) -> float | None:
        """Give a finite number, None when it is missing or faulty."""
        if not self.has(key):
            return None
        return self.child(key).as_number()

    def as_number(self) -> float | None:
        """Give this value as a finite number, None when it is none."""
        value = self.value
        if isinstance(value, float) and value - value == 0:
            return value
        if isinstance(value, int) and not isinstance(value, bool) and value.bit_length() < _BITS:
            return value
        self.fault(f"{self.key} has to be a number, not {shown(value)}")
        return None

    def _typed(self, key: str, kind: type[T], what: str) -> T | None:
        if not self.has(key):
            return None
        child = self.child(key)
        return cast("T", child.value) if child.is_a(kind, what) else None

    def items(self, key: str) -> list[Node]:
        """Give the elements of a list; nothing when it is missing or no list."""
        if not self.has(key):
            return []
        child = self.child(key)
        if not child.is_a(list, "a list"):
            return []
        return [child.child(place) for place in range(len(child.value))]

    def names(self, key: str, *, filled: bool = False) -> list[Node]:
        """Give what `words` gives where each word is a new name, not one told elsewhere."""
        found = self.words(key, filled=filled)
        for word in found:
            word.check_name(word.value)
        return found

    def words(self, key: str, *, filled: bool = False) -> list[Node]:
        """Give the elements of a list of texts, without faulty ones and repeats.

        Parameters
        ----------
        filled : bool
            An empty list is a fault.
        """
        found: list[Node] = []
        seen: set[str] = set()
        items = self.items(key)
        if filled and not items and self.has(key) and isinstance(self.value[key], list):
            self.child(key).fault(f"{key} is empty")
        for item in items:
            if not item.is_a(str, "a list of texts in quotes"):
                continue
            if item.value in seen:
                item.fault(f"{shown(item.value)} stands twice in {key}")
                continue
            seen.add(item.value)
            found.append(item)
        return found
