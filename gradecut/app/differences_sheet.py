"""A colleague's hand-off before it is taken: what is new, what differs, what to heed."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PyQt6.QtCore import Qt
from PyQt6.QtGui import QKeySequence, QShortcut
from PyQt6.QtWidgets import QDialog, QHBoxLayout, QVBoxLayout

from gradecut.app.columns_list import Cell, Column, ColumnsList, Row
from gradecut.app.labels import KeyHint, button, line_across, words
from gradecut.app.sheet_frame import closing, footed, listed, titled, whole_of
from gradecut.desk.colleagues import Colleagues, Held, Section
from gradecut.workflows.differences import Difference

if TYPE_CHECKING:
    from gradecut.app.window import MainWindow

__all__ = ["DifferencesSheet"]

_WIDE_PX, _MOST_PX = 1080, 860
_AROUND_PX, _ROW_PX, _FEWEST = 304, 32, 3
_FRAME_PX = 60
_MOST = 500
"""So many rows of a kind are listed; the counts above say the rest."""
_HIS, _STAYS = "☑", "☐"


class DifferencesSheet(QDialog):
    """Lists what differs, what asks something first; nothing is stored before Enter.

    Parameters
    ----------
    window : MainWindow
    colleagues : Colleagues
    held : Held
    """

    def __init__(self, window: MainWindow, colleagues: Colleagues, held: Held) -> None:
        super().__init__(window)
        self._colleagues, self._held = colleagues, held
        self._theirs: set[str] = set()
        self._listed: list[Difference | None] = []
        self.setWindowTitle(held.title)
        room = window.size()
        rows = len(held.left) + sum(len(one.rows) + 1 for one in held.sections)
        high = _AROUND_PX + _ROW_PX * max(rows, _FEWEST)
        self.resize(
            min(_WIDE_PX, room.width() - _FRAME_PX), min(high, _MOST_PX, room.height() - _FRAME_PX)
        )
        self.list = ColumnsList(
            window.dress,
            (
                Column(head="", wide_px=14),
                Column(head="play", wide_px=32, anchor="right"),
                Column(head="", wide_px=230),
                Column(head="he says"),
                Column(head="here"),
            ),
            "What differs",
        )
        self._build()
        # Only while the list has the keys: on a button Space is the button's.
        turning = QShortcut(QKeySequence("Space"), self.list, self.turn)
        turning.setContext(Qt.ShortcutContext.WidgetShortcut)
        self.list.itemDoubleClicked.connect(lambda _: self.turn())
        self._show()
        first = next((n for n, one in enumerate(self._listed) if one is not None), 0)
        self.list.setCurrentRow(first)
        self.list.setFocus()

    def take(self) -> None:
        """Take it, with what was chosen."""
        if not self.do.isEnabled():
            return
        self.accept()
        self._colleagues.take(self._held, self._theirs)

    def turn(self) -> None:
        """Choose his word, or what stands here, where somebody else has changed his row."""
        at = self.list.currentRow()
        one = self._listed[at] if 0 <= at < len(self._listed) else None
        if one is None or not one.key:
            return
        self._theirs ^= {one.key}
        self._show()

    def _build(self) -> None:
        held = self._held
        whole = whole_of(self)
        head = QVBoxLayout()
        head.setContentsMargins(24, 18, 24, 12)
        head.setSpacing(4)
        head.addLayout(titled(held.title, held.beneath))
        head.addSpacing(4)
        for place, sentence in enumerate(held.told):
            head.addWidget(words(sentence, "body", 600 if place == 0 else 400, wrap=True))
        whole.addLayout(head)
        whole.addWidget(line_across())
        whole.addLayout(listed(self.list), 1)
        whole.addWidget(line_across())
        heed = QVBoxLayout()
        heed.setContentsMargins(24, 10, 24, 0)
        heed.setSpacing(3)
        for sentence in held.heed:
            heed.addWidget(words(sentence, "small", look="quiet", wrap=True))
        whole.addLayout(heed)
        whole.addLayout(self._foot())

    def _foot(self) -> QHBoxLayout:
        self.choose = KeyHint("Space", "his word, or what is here")
        self.choose.setVisible(bool(self._held.differences.conflicting and self._held.sections))
        nothing = self._held.differences.nothing
        leave = closing(self, "Close" if nothing else "Cancel", tip="Esc; nothing is stored")
        self.do = button("Bring it into this book", "accent", tip="Enter; one act, to be undone")
        self.do.setDefault(True)
        self.do.clicked.connect(self.take)
        self.do.setEnabled(not nothing)
        self.do.setVisible(not nothing)
        self.list.heads.setVisible(bool(self._held.sections))
        return footed(self.choose, right=(leave, self.do))

    def _show(self) -> None:
        rows: list[Row] = []
        self._listed = []
        if self._held.left:
            self._add(rows, _heading("Can't be taken now"), None)
            for sentence in self._held.left:
                self._add(rows, _sentence(sentence), None)
        for section in self._held.sections:
            self._add_section(rows, section)
        if not rows:
            self._add(rows, _sentence(self._nothing_listed()), None)
        self.list.show_rows(rows)
        for place, one in enumerate(self._listed):
            item = self.list.item(place)
            if one is None and item is not None:
                item.setFlags(item.flags() & ~Qt.ItemFlag.ItemIsSelectable)

    def _add_section(self, rows: list[Row], section: Section) -> None:
        self._add(rows, _heading(f"{section.heading} · {len(section.rows)}"), None)
        several = len({one.session for one in section.rows}) > 1
        for one in section.rows[:_MOST]:
            self._add(rows, self._row(one, several=several), one)
        if len(section.rows) > _MOST:
            self._add(rows, _sentence(f"and {len(section.rows) - _MOST} more"), None)

    def _add(self, rows: list[Row], row: Row, one: Difference | None) -> None:
        rows.append(row)
        self._listed.append(one)

    def _row(self, one: Difference, *, several: bool) -> Row:
        his = one.key in self._theirs
        sign = "" if not one.key else _HIS if his else _STAYS
        session = f"{one.session} · " if several else ""
        here = f"{one.says}: {one.here or 'taken out'}" if one.says else one.here
        counts = not one.key or his
        return Row(
            cells=(
                Cell(sign, "accent" if his else "ink"),
                Cell(str(one.play), "ink", 600),
                Cell(f"{session}{' · '.join(part for part in (one.who, one.what) if part)}"),
                Cell(one.his or "–", "ink" if counts else "quiet"),
                Cell(here or "–", "quiet" if his or not here else "ink"),
            ),
            words=f"{one.words}{'; his is taken' if his else ''}",
        )

    def _nothing_listed(self) -> str:
        if self._held.differences.nothing:
            return "Nothing differs: this book has it all."
        return "What he judged is hidden from you; it is taken all the same, and stays hidden."


def _heading(text: str) -> Row:
    return Row(across=Cell(text, "ink", 600), words=text)


def _sentence(text: str) -> Row:
    return Row(across=Cell(text, "quiet"), words=text)
