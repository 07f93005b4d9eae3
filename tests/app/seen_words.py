"""Watches what is painted, and tells of words that are cut, lie outside or lie over others."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from itertools import product
from typing import Any

from PyQt6.QtCore import QPoint, QPointF, QRect, QRectF, QSize, Qt
from PyQt6.QtGui import QFontMetrics, QFontMetricsF, QPainter
from PyQt6.QtTest import QTest
from PyQt6.QtWidgets import (
    QAbstractButton,
    QAbstractItemView,
    QAbstractScrollArea,
    QApplication,
    QComboBox,
    QDialog,
    QLabel,
    QLayout,
    QLineEdit,
    QListWidget,
    QPlainTextEdit,
    QScrollArea,
    QScrollBar,
    QSplitterHandle,
    QStackedLayout,
    QStyledItemDelegate,
    QTableWidget,
    QWidget,
)

__all__ = [
    "Fault", "focus_unseen", "shown", "unnamed", "unreached", "watched", "word_faults",
]  # fmt: skip

_LEAST_PX = 1.5
"""Words may touch by so much: what type leaves empty around its letters."""

_CELL_PX = 22
"""What a table's cell keeps free beside its words."""


@dataclass(frozen=True, slots=True)
class Fault:
    """Something a reader would stumble over."""

    where: str
    what: str
    words: str

    def __str__(self) -> str:
        return f"{self.where}: {self.what}: {self.words!r}"


@dataclass(slots=True)
class _Written:
    rect: QRectF
    words: str
    clip: QRectF | None


@dataclass(slots=True)
class Watch:
    """What was painted by the program itself, per widget."""

    written: dict[QWidget, list[_Written]] = field(default_factory=dict)
    cut: dict[QWidget, list[tuple[str, str]]] = field(default_factory=dict)
    shortened: dict[str, str] = field(default_factory=dict)


_WATCHED = (
    (QPainter, "drawText"),
    (QFontMetrics, "elidedText"),
    (QFontMetricsF, "elidedText"),
)


@contextmanager
def watched() -> Iterator[Watch]:
    """Note every word that is painted or shortened by us while this lasts."""
    watch = Watch()
    draw, short, short_f = QPainter.drawText, QFontMetrics.elidedText, QFontMetricsF.elidedText
    kept = [(kind, name, vars(kind)[name]) for kind, name in _WATCHED]

    def draw_text(self: QPainter, *args: Any) -> Any:
        device = self.device()
        if isinstance(device, QWidget):
            rect, words = _placed(self, args)
            if words in watch.shortened:
                watch.cut.setdefault(device, []).append((watch.shortened[words], words))
            if words.strip():
                at = self.transform().mapRect(rect)
                clip = self.transform().mapRect(self.clipBoundingRect()) if self.hasClipping() \
                    else None  # fmt: skip
                watch.written.setdefault(device, []).append(_Written(at, words, clip))
        return draw(self, *args)

    def shortened(plain: Any) -> Any:
        def elide(self: Any, text: str, *args: Any) -> str:
            told: str = plain(self, text, *args)
            if told != text:
                watch.shortened[told] = text
            return told

        return elide

    painter: Any = QPainter
    painter.drawText = draw_text
    QFontMetrics.elidedText = shortened(short)  # type: ignore[method-assign]
    QFontMetricsF.elidedText = shortened(short_f)  # type: ignore[method-assign]
    try:
        yield watch
    finally:
        for kind, name, plain in kept:
            setattr(kind, name, plain)


def _placed(painter: QPainter, args: tuple[Any, ...]) -> tuple[QRectF, str]:
    """Return where words are put, as tight as their type, and the words."""
    words = next(one for one in args if isinstance(one, str))
    first = args[0]
    if isinstance(first, (QRect, QRectF)):
        rect = QRectF(first)
        flags = next((one for one in args[1:] if not isinstance(one, str)), 0)
        number = int(flags.value if hasattr(flags, "value") else flags)
        return QRectF(painter.boundingRect(rect, number, words)), words
    at = QPointF(first) if isinstance(first, (QPoint, QPointF)) else QPointF(first, args[1])
    metrics = QFontMetricsF(painter.font())
    return QRectF(at.x(), at.y() - metrics.ascent(), metrics.horizontalAdvance(words),
                  metrics.height()), words  # fmt: skip


def shown(window: QWidget, size: tuple[int, int]) -> None:
    """Give a window a size and let its layouts settle."""
    window.resize(*size)
    for _ in range(6):
        QApplication.processEvents()
    assert (window.width(), window.height()) == size


# ---------------------------------------------------------------------- what is wrong


def word_faults(top: QWidget) -> list[Fault]:
    """Paint a window once, and return all that is cut, outside or over one another."""
    faults: list[Fault] = []
    for _ in range(4):  # layouts settle in rounds: a scroll bar comes, words wrap anew
        QApplication.processEvents()
    with watched() as watch:
        top.grab()
    for widget, cut in watch.cut.items():
        faults += [Fault(_name(widget), f"cut to {told!r}", text) for text, told in cut]
    for widget, written in watch.written.items():
        faults += _painted_faults(widget, written)
    for widget in [top, *top.findChildren(QWidget)]:
        if widget.isVisible() and widget.window() is top.window():
            faults += _widget_faults(widget)
            faults += _over_each_other(widget)
    return list(dict.fromkeys(faults))


def _painted_faults(widget: QWidget, written: list[_Written]) -> Iterator[Fault]:
    area = widget.parentWidget()
    scrolled = isinstance(area, QAbstractScrollArea) and area.viewport() is widget
    room = QRectF(widget.rect()).adjusted(-1, -1, 1, 1)
    seen = [one for one in written if one.clip is None or one.clip.intersects(one.rect)]
    if scrolled:  # what lies half outside is scrolled in
        never = Qt.ScrollBarPolicy.ScrollBarAlwaysOff
        across = 0 if area.horizontalScrollBarPolicy() == never else 10_000
        room = QRectF(-across, -10_000, room.width() + 2 * across, 20_000)
    for one in seen:
        if one.clip is None and not room.contains(one.rect.adjusted(0, 3, 0, -3)):
            yield Fault(_name(widget), f"outside its {_size(widget.size())}: {_at(one.rect)}",
                        one.words)  # fmt: skip
    for place, one in enumerate(seen):
        for other in seen[place + 1 :]:
            both = _seen(one).intersected(_seen(other))
            same = one.words == other.words
            if not same and both.width() > _LEAST_PX and both.height() > _LEAST_PX:
                yield Fault(_name(widget), "over one another", f"{one.words} | {other.words}")


def _seen(one: _Written) -> QRectF:
    """Return where the letters themselves are seen: without the room above and below them."""
    rise = one.rect.height() * 0.22
    tight = one.rect.adjusted(0, rise, 0, -rise)
    return tight if one.clip is None else tight.intersected(one.clip)


def _item_faults(view: QAbstractItemView) -> Iterator[Fault]:
    """Tell of rows and headings that Qt paints itself, and would shorten."""
    model, port = view.model(), view.viewport()
    if model is None or port is None or not isinstance(view, (QListWidget, QTableWidget)):
        return
    table = isinstance(view, QTableWidget)
    rows, columns = (view.rowCount(), view.columnCount()) if table else (view.count(), 1)
    plain = type(view.itemDelegate()) is QStyledItemDelegate
    for row, column in product(range(rows if plain else 0), range(columns)):
        index = model.index(row, column)
        rect, told = view.visualRect(index), str(index.data() or "")
        if told and rect.intersects(port.rect()):
            if view.horizontalScrollBarPolicy() == Qt.ScrollBarPolicy.ScrollBarAlwaysOff:
                rect.setRight(min(rect.right(), port.width() - 1))
            hint = view.sizeHintForIndex(index)
            if table and view.wordWrap():
                room = QRect(0, 0, rect.width() - _CELL_PX, 10_000)
                wrapped = view.fontMetrics().boundingRect(room, Qt.TextFlag.TextWordWrap, told)
                hint = wrapped.size() + QSize(_CELL_PX, 8)
            if hint.width() > rect.width() + 1 or hint.height() > rect.height() + 1:
                yield Fault(_name(view), f"needs {_size(hint)}, has {_size(rect.size())}", told)
    heads = view.horizontalHeader() if table else None
    for column in range(heads.count() if heads is not None and heads.isVisible() else 0):
        told = str(model.headerData(column, Qt.Orientation.Horizontal) or "")
        wide = heads.fontMetrics().horizontalAdvance(told)
        if told and wide > heads.sectionSize(column) - 8:
            yield Fault(_name(view), f"heading has {heads.sectionSize(column)} px", told)


def _widget_faults(widget: QWidget) -> Iterator[Fault]:
    where = _name(widget)
    if isinstance(widget, QLabel) and widget.text():
        if widget.text().endswith("…") and not widget.text().endswith(" …"):
            yield Fault(where, "cut", widget.text())
        room = widget.contentsRect()
        if widget.wordWrap():
            needs = widget.heightForWidth(widget.width())
            if needs > widget.height() + 1:
                yield Fault(where, f"needs {needs} px of {widget.height()}", widget.text())
        else:
            wide = widget.sizeHint().width()
            if wide > widget.width() + 1 or widget.sizeHint().height() > widget.height() + 1:
                yield Fault(where, f"needs {_size(widget.sizeHint())}, has {_size(room.size())}",
                            widget.text())  # fmt: skip
    elif isinstance(widget, (QAbstractButton, QComboBox)):
        least = widget.sizeHint() if isinstance(widget, QAbstractButton) else QSize(40, 10)
        told = widget.text() if isinstance(widget, QAbstractButton) else widget.currentText()
        if isinstance(widget, QComboBox):
            least = QSize(widget.fontMetrics().horizontalAdvance(told) + 34, 24)
        small = least.width() > widget.width() + 1 or least.height() > widget.height() + 3
        if told and small and widget.property("look") != "key":
            yield Fault(where, f"needs {_size(least)}, has {_size(widget.size())}", told)
    elif isinstance(widget, QLineEdit) and not widget.text():
        wide = widget.fontMetrics().horizontalAdvance(widget.placeholderText())
        if wide > widget.width() - 16:
            yield Fault(where, f"needs {wide + 18} px, has {widget.width()}",
                        widget.placeholderText())  # fmt: skip
    elif isinstance(widget, QAbstractItemView):
        yield from _item_faults(widget)
    yield from _outside(widget, where)


def _outside(widget: QWidget, where: str) -> Iterator[Fault]:
    """Tell of a widget that reaches out of the one it lies in, where nothing scrolls it."""
    parent = widget.parentWidget()
    if parent is None or widget.isWindow() or widget.size().isEmpty():
        return
    area = parent.parentWidget()
    if isinstance(area, QAbstractScrollArea) and area.viewport() is parent:
        if isinstance(area, QScrollArea):
            never = Qt.ScrollBarPolicy.ScrollBarAlwaysOff
            if area.horizontalScrollBarPolicy() == never and widget.width() > parent.width() + 1:
                yield Fault(where, f"wider than what scrolls it: {widget.width()} in "
                            f"{parent.width()}", "")  # fmt: skip
        return
    if isinstance(widget, (QScrollBar, QSplitterHandle)):
        return
    if not parent.rect().adjusted(-1, -1, 1, 1).contains(widget.geometry()):
        yield Fault(where, f"{_at(QRectF(widget.geometry()))} reaches out of "
                    f"{_name(parent)} {_size(parent.size())}", "")  # fmt: skip


def _over_each_other(parent: QWidget) -> Iterator[Fault]:
    """Tell of children that a layout laid over one another."""
    layout = parent.layout()
    if layout is None:
        return
    laid = [one for one in _laid(layout) if one.isVisible() and one.parentWidget() is parent]
    for place, one in enumerate(laid):
        for other in laid[place + 1 :]:
            both = one.geometry().intersected(other.geometry())
            if both.width() > 1 and both.height() > 1:
                yield Fault(_name(parent), f"laid over one another by {_size(both.size())}",
                            f"{_name(one)} | {_name(other)}")  # fmt: skip


def _laid(layout: QLayout) -> Iterator[QWidget]:
    """Return what a layout lays, and the layouts within it."""
    for place in range(layout.count()):
        item = layout.itemAt(place)
        widget, within = (item.widget(), item.layout()) if item is not None else (None, None)
        if isinstance(layout, QStackedLayout):
            continue
        if widget is not None:
            yield widget
        if within is not None:
            yield from _laid(within)


# ---------------------------------------------------------------------- names and focus


def takes_focus(widget: QWidget) -> bool:
    """Tell whether Tab reaches a widget."""
    policy = widget.focusPolicy()
    return (
        widget.isVisible() and widget.isEnabled()
        and bool(policy.value & Qt.FocusPolicy.TabFocus.value)
        and widget.focusProxy() is None
    )  # fmt: skip


def unnamed(top: QWidget) -> list[str]:
    """Return the widgets that take the focus, or are painted by us, and have no name."""
    missing = []
    for widget in [top, *top.findChildren(QWidget)]:
        if not widget.isVisible() or widget.window() is not top.window():
            continue
        own = "paintEvent" in vars(type(widget)) and type(widget).__module__.startswith("gradecut")
        if not (takes_focus(widget) or own) or isinstance(widget, QDialog):
            continue
        if not _called(widget):
            missing.append(_name(widget))
    return missing


def _called(widget: QWidget) -> str:
    if widget.accessibleName():
        return widget.accessibleName()
    if isinstance(widget, QAbstractButton):
        return widget.text()
    window = widget.window()
    labels = window.findChildren(QLabel) if window is not None else []
    return next((one.text() for one in labels if one.buddy() is widget), "")


def unreached(top: QWidget) -> list[str]:
    """Press Tab until it comes round; return the parts it never came to.

    Of buttons of which one is down Tab comes to that one; the arrow keys go on to the others.
    """
    top.activateWindow()
    QApplication.processEvents()
    wanted = [one for one in top.findChildren(QWidget)
              if takes_focus(one) and one.window() is top and not _beside_checked(one)]  # fmt: skip
    reached: list[QWidget] = []
    for _ in range(3 * len(wanted) + 3):
        at = QApplication.focusWidget() or top
        reached.append(at)
        QTest.keyClick(at, Qt.Key.Key_Tab)
    return [_name(one) for one in wanted if one not in reached]


def _beside_checked(widget: QWidget) -> bool:
    if not isinstance(widget, QAbstractButton) or widget.isChecked():
        return False
    group = widget.group()
    return group is not None and group.exclusive() and group.checkedButton() is not None


def focus_unseen(top: QWidget) -> list[str]:
    """Return the widgets that look the same with the focus and without."""
    blind = []
    fields = (QLineEdit, QPlainTextEdit)
    for widget in [top, *top.findChildren(QWidget)]:
        if not takes_focus(widget) or widget.window() is not top.window():
            continue
        if isinstance(widget, fields) and widget.isReadOnly():
            continue
        widget.clearFocus()
        QApplication.processEvents()
        before = widget.grab().toImage()
        widget.setFocus(Qt.FocusReason.TabFocusReason)
        QApplication.processEvents()
        if not widget.hasFocus():
            continue
        model = widget.model() if isinstance(widget, QAbstractItemView) else None
        if model is not None and not model.rowCount():
            continue
        if widget.grab().toImage() == before:
            blind.append(_name(widget))
    return blind


def _name(widget: QWidget) -> str:
    told = widget.accessibleName() or (
        widget.text() if isinstance(widget, (QLabel, QAbstractButton)) else ""
    )
    parents = []
    above = widget.parentWidget()
    while above is not None:
        if type(above).__module__.startswith("gradecut"):
            parents.append(type(above).__name__)
        above = above.parentWidget()
    return f"{'/'.join(reversed(parents[:2]))}/{type(widget).__name__}({told[:30]})"


def _size(size: QSize) -> str:
    return f"{size.width()} x {size.height()}"


def _at(rect: QRectF) -> str:
    return f"{rect.left():.0f},{rect.top():.0f} to {rect.right():.0f},{rect.bottom():.0f}"
