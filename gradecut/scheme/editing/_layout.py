"""How a scheme file is laid out in lines: what belongs to a table, and what stands between."""

from __future__ import annotations

import re
from collections.abc import Sequence

from gradecut.scheme._lines import Path
from gradecut.scheme.editing._spans import Head, SpanMap

__all__ = ["Layout", "layout_of"]

# A comment drawn as a line across the page parts the file; it belongs to no table.
_RULER = re.compile(r"#\s*([-=#*_~])\1{2}|#{3}")


class Layout:
    """Lines and blocks of one text.

    Attributes
    ----------
    text : str
        The text, line ends as one line feed.
    spans : SpanMap
        Where its keys stand.
    """

    def __init__(self, text: str, spans: SpanMap) -> None:
        self.text = text
        self.spans = spans

    def line_start(self, at: int) -> int:
        """Give where the line of an offset begins."""
        return self.text.rfind("\n", 0, at) + 1

    def line_stop(self, at: int) -> int:
        """Give where the line of an offset ends, its line feed included."""
        end = self.text.find("\n", at)
        return len(self.text) if end < 0 else end + 1

    def indent(self, at: int) -> str:
        """Give the spaces before an offset when nothing else stands there on its line."""
        before = self.text[self.line_start(at) : at]
        return before if not before.strip() else ""

    def lead(self, at: int) -> int:
        """Give where the comments that stand right above a line begin."""
        start = self.line_start(at)
        while start:
            above = self.line_start(start - 1)
            if not self._comment(above):
                break
            start = above
        return start

    def heads_of(self, path: Path) -> list[list[Head]]:
        """Give the heads of a table and of those in it, in runs that stand together."""
        runs: list[list[Head]] = []
        together = False
        for head in self.spans.heads:
            inside = head.path[: len(path)] == path
            if inside and together:
                runs[-1].append(head)
            elif inside:
                runs.append([head])
            together = inside
        return runs

    def block(self, heads: Sequence[Head]) -> tuple[int, int]:
        """Give a run of heads with all that belongs to it, in whole lines.

        Comments right above the first head belong to it, and those right below its last line
        where a blank line or the end of the file follows them.
        """
        return self.lead(heads[0].start), self.tail(self._body_stop(heads[-1]))

    def blank_stop(self, at: int) -> int:
        """Give where the blank lines that begin at an offset end."""
        while at < len(self.text):
            stop = self.line_stop(at)
            if self.text[at:stop].strip():
                break
            at = stop
        return at

    def blank_start(self, at: int) -> int:
        """Give where the blank lines that end at an offset begin."""
        while at:
            start = self.line_start(at - 1)
            if self.text[start:at].strip():
                break
            at = start
        return at

    def tail(self, at: int) -> int:
        """Give the end of a table whose last word ends at an offset."""
        stop = self.line_stop(at)
        ahead = stop
        while ahead < len(self.text) and self._comment(ahead):
            ahead = self.line_stop(ahead)
        closed = ahead >= len(self.text) or not self.text[ahead : self.line_stop(ahead)].strip()
        return ahead if closed else stop

    def _body_stop(self, head: Head) -> int:
        after = [other.start for other in self.spans.heads if other.start > head.start]
        limit = after[0] if after else len(self.text)
        ends = [pair.stop for pair in self.spans.pairs if head.start < pair.stop <= limit]
        return max([head.stop, *ends])

    def _comment(self, at: int) -> bool:
        line = self.text[at : self.line_stop(at)].strip()
        return line.startswith("#") and _RULER.match(line) is None


def layout_of(text: str, near: Layout | None = None) -> Layout:
    """Walk over a text, whatever its line ends.

    Parameters
    ----------
    text : str
        The text.
    near : Layout or None
        Of a text that shares much with it.

    Raises
    ------
    TooDeep, TooMany
        As `LineMap` does.
    """
    plain_text = text.replace("\r\n", "\n")
    return Layout(plain_text, SpanMap(plain_text, None if near is None else near.spans))
