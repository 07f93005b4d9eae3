"""The cheat sheet: every action with its keys, from the one table; typing finds one."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from PyQt6.QtCore import QEvent, QObject, Qt
from PyQt6.QtGui import QKeyEvent, QResizeEvent
from PyQt6.QtWidgets import (
    QApplication,
    QDialog,
    QFrame,
    QGridLayout,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QScrollArea,
    QVBoxLayout,
    QWidget,
)

from gradecut.app.actions import Action, by_group, told_keys
from gradecut.app.bottom_fade import BottomFade
from gradecut.app.labels import line_across, words
from gradecut.app.sheet_frame import closing
from gradecut.app.sheet_room import lay_over
from gradecut.app.usual_words import usual_words

__all__ = ["CheatSheet", "answers"]

_SIZE_PX = (1360, 860)
_SIDE_PX, _GAP_PX = 28, 30
_COLUMN_PX, _CAPS_PX = 286, 104
_MOST_COLUMNS = 5
_SHORT = 9
_SCROLLS = frozenset({Qt.Key.Key_Up, Qt.Key.Key_Down, Qt.Key.Key_PageUp, Qt.Key.Key_PageDown})
_CLOSES = frozenset({Qt.Key.Key_Return, Qt.Key.Key_Enter, Qt.Key.Key_F1, Qt.Key.Key_Question})


class CheatSheet(QDialog):
    """Shows all actions by group, those of the page that is shown first.

    What is typed keeps the actions with these words, or with this key; arrows scroll; Esc
    forgets what was typed, then closes.

    Attributes
    ----------
    listed : list of Action
        All there are.
    sought : QLineEdit
        Where it is typed.
    blocks : list of _Block
        The groups, those of the page that is shown first.
    nothing : QLabel
        Says that nothing was found.

    Parameters
    ----------
    pages : mapping of page to actions
        "" for what can be done anywhere.
    """

    def __init__(self, pages: Mapping[str, Sequence[Action]], parent: QWidget) -> None:
        super().__init__(parent)
        self.setWindowTitle("Keys")
        self.listed = [action for actions in pages.values() for action in actions]
        self._dealt_px = 0
        outer = QVBoxLayout(self)
        outer.setContentsMargins(0, 0, 0, 0)
        outer.setSpacing(0)
        outer.addLayout(self._head())
        outer.addWidget(line_across())
        self._area = QScrollArea()
        self._area.setWidgetResizable(True)
        self._area.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self._area.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        BottomFade(self._area)
        outer.addWidget(self._area, 1)
        sheet = QWidget()
        self._area.setWidget(sheet)
        self._across = QHBoxLayout(sheet)
        self._across.setContentsMargins(_SIDE_PX, 16, 0, 20)
        self._across.setSpacing(_GAP_PX)
        self._stacks = [QVBoxLayout() for _ in range(_MOST_COLUMNS)]
        for stack in self._stacks:
            stack.setSpacing(18)
            self._across.addLayout(stack)
        self._across.addStretch(1)
        self.nothing = words("", look="quiet", wrap=True)
        self._stacks[0].addWidget(self.nothing)
        self.blocks = [_Block(heading, found) for heading, found in _blocks(pages)]
        lay_over(self, _SIZE_PX)
        self._deal()
        self.sought.setFocus()

    def _head(self) -> QHBoxLayout:
        head = QHBoxLayout()
        head.setContentsMargins(_SIDE_PX, 14, _SIDE_PX, 12)
        head.setSpacing(16)
        head.addWidget(words("Keys", "title", 600))
        self.sought = QLineEdit()
        self.sought.setPlaceholderText("find: a word, or a key")
        self.sought.setAccessibleName("Find a key by what it does, or what a key does")
        self.sought.setMaximumWidth(360)
        self.sought.textChanged.connect(self._deal)
        self.sought.installEventFilter(self)
        head.addWidget(self.sought, 1)
        self.count = words("", "small", look="quiet")
        head.addWidget(self.count)
        head.addStretch(1)
        head.addWidget(closing(self))
        return head

    def _deal(self) -> None:
        """Deal what is found into columns of about the same height, in order."""
        asked = self.sought.text()
        shown = [block for block in self.blocks if block.keep(asked)]
        for stack in self._stacks:
            while stack.count():
                stack.takeAt(0)
        for block in self.blocks:
            block.setVisible(False)
        columns = self._fitting()
        wide = (self._room() - _GAP_PX * (columns - 1)) // columns
        for stack, blocks in zip(self._stacks, _spread(shown, columns), strict=False):
            for block in blocks:
                block.setFixedWidth(wide)
                stack.addWidget(block)
                block.setVisible(True)
            stack.addStretch(1)
        found = sum(block.shown for block in self.blocks)
        self.nothing.setText("No key does that. Try a shorter word, or one letter for a key.")
        self.nothing.setFixedWidth(wide)
        self._stacks[0].insertWidget(0, self.nothing)
        self.nothing.setVisible(not found)
        self.count.setText(f"{found} of {len(self.listed)}" if asked.strip() else "")
        self.count.setAccessibleName(f"{found} found" if asked.strip() else "")
        self._dealt_px = self.width()
        if (bar := self._area.verticalScrollBar()) is not None:
            bar.setValue(0)

    def _fitting(self) -> int:
        return min(max((self._room() + _GAP_PX) // (_COLUMN_PX + _GAP_PX), 1), _MOST_COLUMNS)

    def _room(self) -> int:
        """Return the width for columns, the same with and without a scroll bar."""
        return self.width() - 2 * _SIDE_PX

    def resizeEvent(self, event: QResizeEvent | None) -> None:
        """Take as many columns as there is room for."""
        super().resizeEvent(event)
        if self.width() != self._dealt_px:
            self._deal()

    def eventFilter(self, watched: QObject | None, event: QEvent | None) -> bool:
        """Scroll from the field; leave with Esc, or with the key that brought it."""
        if isinstance(event, QKeyEvent) and event.type() == QEvent.Type.KeyPress:
            key = event.key()
            if key in _SCROLLS:
                QApplication.sendEvent(self._area.verticalScrollBar(), event)
                return True
            if key == Qt.Key.Key_Escape and self.sought.text():
                self.sought.clear()
                return True
            if key in _CLOSES:
                self.close()
                return True
        return super().eventFilter(watched, event)


class _Block(QWidget):
    """The actions under one heading."""

    def __init__(self, heading: str, found: Sequence[Action]) -> None:
        super().__init__()
        self.heading = heading
        self.shown = len(found)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(5)
        column.addWidget(words(heading, "small", 600, look="quiet"))
        column.addWidget(line_across())
        self._rows = [(action, _row(action)) for action in found]
        for _, row in self._rows:
            column.addWidget(row)

    def kept(self) -> list[Action]:
        """Return the actions that are shown."""
        return [action for action, row in self._rows if not row.isHidden()]

    def keep(self, asked: str) -> bool:
        """Show the rows that answer what was typed; tell whether there are any."""
        self.shown = 0
        for action, row in self._rows:
            kept = answers(action, asked, self.heading)
            row.setVisible(kept)
            self.shown += kept
        return bool(self.shown)


def answers(action: Action, asked: str, heading: str = "") -> bool:
    """Tell whether an action is what is looked for.

    One letter or sign is a key, alone or held with others; longer words are looked for in the
    action's name, its keys, its heading and the words usual for it, and all of them must be
    there.
    """
    asked = asked.strip().casefold()
    keys = [key.casefold() for key in told_keys(action)]
    if len(asked) == 1:
        return any(key == asked or key.endswith(f"+{asked}") for key in keys)
    told = " ".join([action.name.casefold(), heading.casefold(), usual_words(action.name), *keys])
    return all(word in told for word in asked.split())


def _blocks(pages: Mapping[str, Sequence[Action]]) -> list[tuple[str, list[Action]]]:
    """Name the groups, those of the page that is shown before what can be done anywhere."""
    here = [page for page in pages if page]
    return [
        (f"{page} · {group}" if page not in ("", group) else group, found)
        for page in (*here[:1], *(page for page in pages if not page), *here[1:])
        for group, found in by_group(pages[page]).items()
    ]


def _spread(blocks: Sequence[_Block], columns: int) -> list[list[_Block]]:
    heights = [block.shown + 2 for block in blocks]
    room = max(sum(heights) / columns, max(heights, default=0))
    dealt: list[list[_Block]] = [[]]
    used = 0.0
    for block, height in zip(blocks, heights, strict=True):
        if dealt[-1] and used + height / 2 > room and len(dealt) < columns:
            dealt.append([])
            used = 0
        dealt[-1].append(block)
        used += height
    return dealt


def _row(action: Action) -> QFrame:
    row = QFrame()
    grid = QGridLayout(row)
    grid.setContentsMargins(0, 0, 0, 0)
    grid.setHorizontalSpacing(10)
    grid.setColumnStretch(1, 1)
    caps = QWidget()  # also where there is no key: names begin below each other
    caps.setFixedWidth(_CAPS_PX)
    across = QHBoxLayout(caps)
    across.setContentsMargins(0, 0, 0, 0)
    across.setSpacing(4)
    for key in _as_fit(told_keys(action)):
        across.addWidget(_cap(key))
    across.addStretch(1)
    grid.addWidget(caps, 0, 0, Qt.AlignmentFlag.AlignTop)
    grid.addWidget(words(action.name, "small", wrap=True), 0, 1)
    return row


def _cap(key: str) -> QLabel:
    cap = words(key, "small", 600)
    cap.setProperty("look", "key")
    return cap


def _as_fit(keys: Sequence[str]) -> list[str]:
    """Return the first key, and the second where both are short and told apart."""
    told = list(dict.fromkeys(keys))[:2]
    return told if len("".join(told)) <= _SHORT else told[:1]
