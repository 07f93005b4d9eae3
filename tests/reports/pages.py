"""Reading a page as a browser would, without one."""

from __future__ import annotations

from html.parser import HTMLParser

VOID = frozenset({"meta", "br", "circle", "path", "img", "input", "link"})


class Page(HTMLParser):
    """A parsed page: its text, its attributes, and whether every element was closed."""

    def __init__(self, text: str) -> None:
        super().__init__(convert_charrefs=True)
        self.open: list[str] = []
        self.unbalanced: list[str] = []
        self.attributes: list[tuple[str, str, str]] = []
        self.words: list[str] = []
        self.feed(text)
        self.close()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Take an element."""
        self.attributes += [(tag, name, value or "") for name, value in attrs]
        if tag not in VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Take an element that closes itself."""
        self.attributes += [(tag, name, value or "") for name, value in attrs]

    def handle_endtag(self, tag: str) -> None:
        """Close an element."""
        if not self.open or self.open.pop() != tag:
            self.unbalanced.append(tag)

    def handle_data(self, data: str) -> None:
        """Take text, but no style."""
        if self.open and self.open[-1] != "style":
            self.words.append(data)

    @property
    def text(self) -> str:
        """All words a reader sees, with single spaces."""
        return " ".join(" ".join(self.words).split())
