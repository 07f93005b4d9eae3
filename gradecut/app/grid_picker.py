"""The list of fits of one cell: filtered by what is typed, chosen by Enter or a number."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from PyQt6.QtCore import QEvent, QModelIndex, QRect, QRectF, QSize, Qt, pyqtSignal
from PyQt6.QtGui import QFocusEvent, QFontMetricsF, QKeyEvent, QPainter
from PyQt6.QtWidgets import (
    QFrame,
    QLineEdit,
    QListWidget,
    QListWidgetItem,
    QStyle,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QVBoxLayout,
    QWidget,
)

from gradecut.app.theme import Dress, as_qcolor, font
from gradecut.app.touch_area import set_words
from gradecut.desk.scheme_fits import FitChoice

__all__ = ["FitPicker"]

_ROW_PX, _MOST_SEEN = 27, 9
_WIDE_PX, _EDGE_PX, _AROUND_PX = 330, 8, 90
"""Its least width, what stays free of the page beside it, and of its own beside its words."""
_STEPS = {Qt.Key.Key_Up: -1, Qt.Key.Key_Down: 1, Qt.Key.Key_PageUp: -8, Qt.Key.Key_PageDown: 8}
_NONE = "no fit goes with that"
_NOW = "asked now"
_HELD = (Qt.Key.Key_Control, Qt.Key.Key_Alt, Qt.Key.Key_Shift, Qt.Key.Key_Meta, Qt.Key.Key_AltGr)


class FitPicker(QFrame):
    """Stands below a cell while a fit is chosen, and takes all plain keys.

    Signals
    -------
    chosen : (str, int)
        A fit, and how many men to go on to the right.
    left : bool
        It was left without a choice; by its key, or because the focus went elsewhere.
    """

    chosen = pyqtSignal(str, int)
    left = pyqtSignal(bool)

    def __init__(
        self, find: Callable[[str], Sequence[FitChoice]], dress: Dress, parent: QWidget
    ) -> None:
        super().__init__(parent)
        self._find = find
        self._dress = dress
        self.setObjectName("FitPicker")
        self.setAutoFillBackground(True)
        column = QVBoxLayout(self)
        column.setContentsMargins(7, 7, 7, 7)
        column.setSpacing(5)
        self.typed = _TypedLine(self)
        self.typed.setPlaceholderText("type a fit")
        self.typed.setAccessibleName("Fit for the cell")
        self.typed.textEdited.connect(self._filter)
        column.addWidget(self.typed)
        self.list = QListWidget()
        self.list.setAccessibleName("Fits that go with it")
        self.list.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.list.setVerticalScrollMode(QListWidget.ScrollMode.ScrollPerPixel)
        self.list.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.list.setItemDelegate(_FitDelegate(dress, self.list))
        self.list.itemClicked.connect(lambda item: self._choose(self.list.row(item), 0))
        column.addWidget(self.list)
        self._choices: Sequence[FitChoice] = ()
        self._present = ""
        dress.changed.connect(self._wear)
        self._wear()
        self.hide()

    def open_at(self, cell: QRect, typed: str = "", present: str = "") -> None:
        """Open below a cell, given where it is in the parent, with some letters typed.

        The fit that is there now is marked, and chosen until a letter is typed.
        """
        self._present = present
        self.typed.setText(typed)
        self._filter(typed)
        parent = self.parentWidget()
        if parent is None:
            return
        high = min(max(self.list.count(), 1), _MOST_SEEN) * _ROW_PX + 4
        self.list.setFixedHeight(high)
        wide = min(max(_WIDE_PX, cell.width(), self._widest_px()), parent.width() - 2 * _EDGE_PX)
        self.resize(wide, high + self.typed.sizeHint().height() + 21)
        x = min(cell.left(), parent.width() - self.width() - _EDGE_PX)
        below = cell.bottom() + 2
        fits = below + self.height() <= parent.height()
        y = below if fits else max(cell.top() - self.height() - 2, 0)
        self.move(max(x, 0), y)
        self.show()
        self.raise_()
        self.typed.setFocus()

    def press(self, event: QKeyEvent) -> bool:
        """Take a key before it is written; whether it was taken."""
        key = event.key()
        if key in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self._choose(self.list.currentRow(), 0)
        elif key == Qt.Key.Key_Tab:
            self._choose(self.list.currentRow(), 1)
        elif key == Qt.Key.Key_Escape:
            self.close_it()
        elif key in _STEPS:
            row = self.list.currentRow() + _STEPS[Qt.Key(key)]
            self.list.setCurrentRow(min(max(row, 0), self.list.count() - 1))
        elif event.text().isdigit() and self._numbers(event.text()):
            self._choose(int(event.text()) - 1, 0)
        else:
            return False
        return True

    def close_it(self, *, by_key: bool = True) -> None:
        """Leave without a choice."""
        if self.isVisible():
            self.hide()
            self.left.emit(by_key)

    def _widest_px(self) -> int:
        """Return the width at which no fit is cut."""
        bold, small = QFontMetricsF(font("body", 600)), QFontMetricsF(font("small", 600))
        wide = [
            bold.horizontalAdvance(one.name) + small.horizontalAdvance(one.told)
            + small.horizontalAdvance(_NOW) * (one.name == self._present)
            for one in self._choices
        ]  # fmt: skip
        return round(max(wide, default=0.0)) + _AROUND_PX

    def _numbers(self, digit: str) -> bool:
        """Whether a digit chooses, since no fit goes with it as a letter."""
        at = int(digit) - 1
        return 0 <= at < len(self._choices) and not self._find(self.typed.text() + digit)

    def _choose(self, row: int, on: int) -> None:
        if 0 <= row < len(self._choices):
            self.hide()
            self.chosen.emit(self._choices[row].name, on)

    def _filter(self, typed: str) -> None:
        self._choices = self._find(typed)
        self.list.clear()
        for at, choice in enumerate(self._choices):
            item = QListWidgetItem(choice.name)
            now = choice.name == self._present
            item.setData(Qt.ItemDataRole.UserRole, (at, choice, now))
            told = f"{choice.name}, {_NOW}" if now else choice.name
            item.setData(Qt.ItemDataRole.AccessibleTextRole, f"{told}: {choice.told}")
            self.list.addItem(item)
        if not self._choices:
            self.list.addItem(QListWidgetItem(_NONE))
        names = [choice.name for choice in self._choices]
        stays = not typed and self._present in names
        self.list.setCurrentRow(names.index(self._present) if stays else 0)

    def _wear(self) -> None:
        theme = self._dress.theme
        ground, line = (as_qcolor(one).name() for one in (theme.raised, theme.quiet))
        self.setStyleSheet(
            f"#FitPicker {{ background: {ground}; border: 1px solid {line}; border-radius: 7px; }}"
            f"#FitPicker QListWidget {{ background: {ground}; }}"
            "#FitPicker QListWidget::item { padding: 0px; }"
        )


class _TypedLine(QLineEdit):
    """One line that gives its picker every key first."""

    def __init__(self, picker: FitPicker) -> None:
        super().__init__()
        self._picker = picker

    def event(self, event: QEvent | None) -> bool:
        if isinstance(event, QKeyEvent):
            plain = not event.modifiers() & (
                Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.AltModifier
            )
            if event.type() == QEvent.Type.ShortcutOverride and plain:
                event.accept()
                return True
            if event.type() == QEvent.Type.ShortcutOverride:
                return self._leave_keys(event)
            if event.type() == QEvent.Type.KeyPress and self._picker.press(event):
                return True
        return super().event(event)

    def _leave_keys(self, event: QKeyEvent) -> bool:
        """Close the list for a key of the page: what that does is not to happen beneath it."""
        taken = super().event(event)
        if not event.isAccepted() and event.key() not in _HELD:
            self._picker.close_it()
        return taken

    def focusOutEvent(self, event: QFocusEvent | None) -> None:
        super().focusOutEvent(event)
        self._picker.close_it(by_key=False)


class _FitDelegate(QStyledItemDelegate):
    """Paints a number, a fit, and where it is."""

    def __init__(self, dress: Dress, parent: QWidget) -> None:
        super().__init__(parent)
        self._dress = dress

    def sizeHint(self, option: QStyleOptionViewItem, _index: QModelIndex) -> QSize:
        return QSize(option.rect.width(), _ROW_PX)

    def paint(
        self, painter: QPainter | None, option: QStyleOptionViewItem, index: QModelIndex
    ) -> None:
        if painter is None:
            return
        theme = self._dress.theme
        rect = QRectF(option.rect)
        painter.save()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        told = index.data(Qt.ItemDataRole.UserRole)
        if told is None:
            set_words(painter, rect.adjusted(10, 0, 0, 0), str(index.data()), theme.quiet)
            painter.restore()
            return
        if option.state & QStyle.StateFlag.State_Selected:
            painter.setPen(Qt.PenStyle.NoPen)
            painter.setBrush(as_qcolor(theme.pressed))
            painter.drawRoundedRect(rect.adjusted(0, 1, 0, -1), 5, 5)
        at, choice, now = told
        number = str(at + 1) if at < 9 else ""
        place = QRectF(rect.x() + 4, rect.y(), 16, rect.height())
        set_words(painter, place, number, theme.quiet, size="small", anchor="centre")
        name = rect.adjusted(28, 0, -8, 0)
        wide = set_words(painter, name, choice.name, theme.ink, weight=600 if choice.used else 500)
        rest = name.adjusted(wide + 14, 0, 0, 0)
        if now:
            told_px = set_words(painter, rest, _NOW, theme.accent, size="small", weight=600)
            rest.adjust(told_px + 10, 0, 0, 0)
        if rest.width() > 30:
            set_words(painter, rest, choice.told, theme.quiet, size="small", anchor="right")
        painter.restore()
