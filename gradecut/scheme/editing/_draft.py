"""A scheme file being edited: its data, its text, and the strokes that change both.

A stroke cuts from the text and writes into it, and does the same to the data. What lies between
is never written anew, so comments, order and layout stay. At the end the new text is read and has
to say what the data say: a layout that a stroke did not understand costs a sentence, never a
scheme that means something else.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from gradecut.scheme._lines import Path
from gradecut.scheme.editing._draft_text import DraftText, by_hand
from gradecut.scheme.editing._said import Unreadable, read_said
from gradecut.scheme.editing._spelling import refusal, spell_key, spell_pair, spell_value
from gradecut.scheme.editing._values import plain, same
from gradecut.scheme.reader import parse_scheme

__all__ = ["Draft"]


class Draft:
    """One text and the strokes on it.

    Parameters
    ----------
    text : str
        A whole scheme file. It may have faults, but has to be TOML.

    Attributes
    ----------
    data : dict
        What it says, with the strokes so far.

    Raises
    ------
    SchemeError
        When it is no TOML, or too big.
    """

    def __init__(self, text: str) -> None:
        try:
            said = read_said(text)
        except Unreadable:
            parse_scheme(text, "the scheme")
            raise refusal("the file can't be read as TOML; correct it by hand") from None
        self.data: dict[str, Any] = plain(said.data)
        self._text = DraftText(text, said.layout)

    @property
    def text(self) -> str:
        """The text, with the strokes so far."""
        return self._text.text

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
            if path in self._text.spans.values:
                self.replace({path: value})
                return
            self.take_out(path)
            table = self.get(path[:-1])
        self._text.splice(self._text.add(path[:-1], str(key), value, order))
        table[key] = value

    def put_new(self, paths: Sequence[Path], value: Any, order: Sequence[str] = ()) -> None:
        """Set one key, that none of them has, in several tables at once."""
        value = plain(value)
        found = [self._text.add(path[:-1], str(path[-1]), value, order) for path in paths]
        self._text.splice([splice for splices in found for splice in splices])
        for path in paths:
            self.get(path[:-1])[path[-1]] = value

    def drop_tables(self, section: str, places: Sequence[int]) -> None:
        """Take several tables out of a list, with the comments that belong to them."""
        tables = self.data[section]
        if len(places) == len(tables):
            self.take_out((section,))
            return
        runs = [self._text.layout.heads_of((section, place)) for place in places]
        if any(len(run) != 1 for run in runs):
            for place in sorted(places, reverse=True):
                self.take_out((section, place))
            return
        blocks = [self._text.layout.block(run[0]) for run in runs]
        self._text.splice([cut for block in blocks for cut in self._text.cut_block(*block)])
        tables[:] = [table for place, table in enumerate(tables) if place not in set(places)]

    def replace(self, values: Mapping[Path, Any]) -> None:
        """Write other values in the place of those that stand there."""
        splices = []
        laid_out = {pair.path for pair in self._text.spans.pairs if not pair.inline}
        for path, value in values.items():
            new = plain(value)
            start, stop = self._text.span(path)
            word = path[-1]
            written = spell_value(new)
            if isinstance(word, str) and path in laid_out:
                written = spell_pair(word, new).removeprefix(f"{spell_key(word)} = ")
            splices.append((start, stop, written))
            self.get(path[:-1])[path[-1]] = new
        self._text.splice(splices)

    def rename(self, names: Iterable[tuple[Path, str]]) -> None:
        """Give keys other names, wherever they are written."""
        splices = []
        for path, new in names:
            spans = self._text.spans.words.get(path)
            table = self.get(path[:-1])
            if not spans or not isinstance(table, dict):
                raise by_hand(path)
            splices += [(start, stop, spell_key(new)) for start, stop in spans]
            items = [(new if key == path[-1] else key, value) for key, value in table.items()]
            table.clear()
            table.update(items)
        self._text.splice(splices)

    def take_out(self, path: Path) -> None:
        """Take out a key, a table or an element of a list, with the comments that belong to it."""
        found = False
        while self._text.take_once(path):
            found = True
            if isinstance(path[-1], int):
                break
        if not found:
            raise by_hand(path)
        holder = self.get(path[:-1])
        del holder[path[-1]]
        if not holder and path[:-1] not in self._text.spans.values and self._text.gone(path[:-1]):
            self._forget(path[:-1])

    def insert(self, path: Path, place: int, value: Any) -> None:
        """Write an element into a list in brackets, before the one at a place."""
        value = plain(value)
        start, stop = self._text.span(path)
        elements = self.get(path)
        if not elements:
            self._text.splice([(start + 1, start + 1, spell_value(value))])
        elif place < len(elements):
            at = self._text.span((*path, place))[0]
            own_line = self._text.layout.indent(at)
            between = f",\n{own_line}" if self._text.starts_line(at) else ", "
            self._text.splice([(at, at, spell_value(value) + between)])
        else:
            self._text.append(self._text.span((*path, len(elements) - 1)), stop, spell_value(value))
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
        if (section,) in self._text.spans.values:
            self.insert((section,), len(tables or ()) if after is None else after + 1, value)
            return
        block = "".join(f"{spell_pair(key, part)}\n" for key, part in value.items())
        block = f"[[{section}]]\n{block}"
        place = len(tables or ()) if after is None else after + 1
        self._text.add_block(block, (section, place - 1) if place else (section,))
        self.data.setdefault(section, []).insert(place, value)

    def add_named(self, section: str, name: str, table: Mapping[str, Any]) -> None:
        """Add a table with a name to a section, after those it has."""
        value = plain(table)
        if (section,) in self._text.spans.values:
            self.put((section, name), value)
            return
        block = "".join(f"{spell_pair(key, part)}\n" for key, part in value.items())
        head = f"[{section}.{spell_key(name)}]" if name else f"[{section}]"
        self._text.add_block(f"{head}\n{block}", (section,))
        if name:
            self.data.setdefault(section, {})[name] = value
        else:
            self.data[section] = value

    def move_tables(self, section: str, places: Sequence[int], before: int | None) -> None:
        """Move tables of a list before another of it, or to its end."""
        tables = self.data[section]
        moved = [tables[place] for place in places]
        if (section,) in self._text.spans.values:
            anchor = None if before is None else tables[before]
            for place in sorted(places, reverse=True):
                self.take_out((section, place))
            at = len(self.data[section])
            if anchor is not None:
                at = next(n for n, table in enumerate(self.data[section]) if table is anchor)
            for number, table in enumerate(moved):
                self.insert((section,), at + number, table)
            return
        self._text.move_blocks(section, places, before, len(tables))
        rest = [table for place, table in enumerate(tables) if place not in places]
        at = len(rest)
        if before is not None:
            at = next(n for n, table in enumerate(rest) if table is tables[before])
        tables[:] = [*rest[:at], *moved, *rest[at:]]

    def _forget(self, path: Path) -> None:
        holder = self.get(path[:-1])
        del holder[path[-1]]
        written = path[:-1] in self._text.spans.values or not path[:-1]
        if not holder and not written and self._text.gone(path[:-1]):
            self._forget(path[:-1])
