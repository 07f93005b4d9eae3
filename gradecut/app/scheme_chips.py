"""Facts with their values as buttons to press, so that a condition is built without typing."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from PyQt6.QtCore import QPoint, QRect, QSize, Qt, pyqtSignal
from PyQt6.QtWidgets import QGridLayout, QLayout, QLayoutItem, QPushButton, QWidget

from gradecut.app.labels import button, words
from gradecut.desk.scheme_conditions import AskedFact, admitted
from gradecut.scheme import Value
from gradecut.workflows.rule_words import value_words

__all__ = ["FactChips", "Flow"]


class Flow(QLayout):
    """Lays widgets in lines, as words are set."""

    def __init__(self, parent: QWidget | None = None, gap_px: int = 5) -> None:
        super().__init__(parent)
        self._items: list[QLayoutItem] = []
        self._gap_px = gap_px
        self.setContentsMargins(0, 0, 0, 0)

    def addItem(self, item: QLayoutItem | None) -> None:
        """Take an item."""
        if item is not None:
            self._items.append(item)

    def count(self) -> int:
        """Return how many there are."""
        return len(self._items)

    def itemAt(self, index: int) -> QLayoutItem | None:
        """Return one of them."""
        return self._items[index] if 0 <= index < len(self._items) else None

    def takeAt(self, index: int) -> QLayoutItem | None:
        """Give one back."""
        return self._items.pop(index) if 0 <= index < len(self._items) else None

    def hasHeightForWidth(self) -> bool:
        """Say that it grows higher where it is narrow."""
        return True

    def heightForWidth(self, width: int) -> int:
        """Return how high it is at a width."""
        return self._lay(QRect(0, 0, width, 0), place=False)

    def setGeometry(self, rect: QRect) -> None:
        """Lay them out."""
        super().setGeometry(rect)
        self._lay(rect, place=True)

    def sizeHint(self) -> QSize:
        """Ask for one line."""
        wide = sum(item.sizeHint().width() + self._gap_px for item in self._items)
        return QSize(min(wide, 480), self.heightForWidth(480))

    def minimumSize(self) -> QSize:
        """Need the widest of them."""
        sizes = [item.minimumSize() for item in self._items]
        return QSize(
            max((size.width() for size in sizes), default=0),
            max((size.height() for size in sizes), default=0),
        )

    def _lay(self, rect: QRect, *, place: bool) -> int:
        x, y, high = rect.x(), rect.y(), 0
        for item in self._items:
            size = item.sizeHint()
            if x > rect.x() and x + size.width() > rect.right() + 1:
                x, y, high = rect.x(), y + high + self._gap_px, 0
            if place:
                item.setGeometry(QRect(QPoint(x, y), size))
            x += size.width() + self._gap_px
            high = max(high, size.height())
        return y + high - rect.y()


class FactChips(QWidget):
    """A line for each fact: its name, and a button for each value; those pressed are let through.

    Parameters
    ----------
    facts : sequence of AskedFact
    named : bool
        Whether their names are written.

    Attributes
    ----------
    names_px : int
        How wide the names are.

    Signals
    -------
    changed : (object, object)
        A fact, and its pressed values.
    """

    changed = pyqtSignal(object, object)

    def __init__(self, facts: Sequence[AskedFact], *, named: bool = True) -> None:
        super().__init__()
        self.facts = tuple(facts)
        self.buttons: dict[tuple[str, Value], QPushButton] = {}
        self.names_px = 0
        grid = QGridLayout(self)
        grid.setContentsMargins(0, 0, 10, 0)
        grid.setHorizontalSpacing(14)
        grid.setVerticalSpacing(7)
        grid.setColumnStretch(1, 1)
        for row, fact in enumerate(facts):
            name = words(fact.name, look="quiet")
            name.setToolTip(fact.asks)
            name.setContentsMargins(0, 4, 0, 0)
            if named:
                grid.addWidget(name, row, 0, Qt.AlignmentFlag.AlignTop)
                self.names_px = max(self.names_px, name.sizeHint().width())
            inside = QWidget()
            flow = Flow(inside)
            for value in fact.values:
                made = button(value_words(value), "choice")
                made.setCheckable(True)
                made.setAutoDefault(False)
                made.setAccessibleName(f"{fact.name} {value_words(value)}")
                made.clicked.connect(lambda _, fact=fact: self._tell(fact))
                self.buttons[fact.reference, value] = made
                flow.addWidget(made)
            grid.addWidget(inside, row, 1)

    def show_way(self, way: Mapping[str, object]) -> None:
        """Press what a condition lets through; of a fact it does not name, nothing."""
        for fact in self.facts:
            entry = way.get(fact.reference)
            let = admitted(entry, fact.values) if entry is not None else ()
            for value in fact.values:
                self.buttons[fact.reference, value].setChecked(value in let)

    def chosen(self, fact: AskedFact) -> list[Value]:
        """Return the pressed values of a fact."""
        return [v for v in fact.values if self.buttons[fact.reference, v].isChecked()]

    def _tell(self, fact: AskedFact) -> None:
        self.changed.emit(fact, self.chosen(fact))
