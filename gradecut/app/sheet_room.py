"""How large a sheet or form may be over its window; what does not fit there is scrolled."""

from __future__ import annotations

from PyQt6.QtCore import QEvent, QObject, QSize, Qt, pyqtSignal
from PyQt6.QtWidgets import QDialog, QFrame, QScrollArea, QSizePolicy, QVBoxLayout, QWidget

__all__ = ["Scrolled", "fit_around", "lay_over", "room_over"]

_EDGE_PX = 24
_FRAME_PX = 40
"""What the screen keeps for the frame a desktop puts around a window."""
_LEAST_PX = (480, 320)
_BAR_PX, _SCROLL_BAR_PX = 12, 9
_SHOWN_PX = 120
"""So much of what is scrolled is always seen."""


def room_over(parent: QWidget) -> QSize:
    """Return the most a sheet may take: inside its window, and on its screen."""
    window = parent.window() or parent
    room = window.size() - QSize(_EDGE_PX, _EDGE_PX)
    screen = window.screen()
    if screen is not None:
        room = room.boundedTo(screen.availableSize() - QSize(_EDGE_PX, _FRAME_PX))
    return room.expandedTo(QSize(*_LEAST_PX))


def lay_over(sheet: QDialog, usual: tuple[int, int]) -> None:
    """Give a sheet its usual size, or what there is room for over its window."""
    over, size = sheet.parentWidget(), QSize(*usual)
    sheet.resize(size.boundedTo(room_over(over)) if over is not None else size)


class _Inside(QWidget):
    """As high as its words need at the width it has, and not as when they are all broken."""

    def minimumSizeHint(self) -> QSize:
        """Ask for width alone where its layout tells the height."""
        least, layout = super().minimumSizeHint(), self.layout()
        told = layout is not None and layout.hasHeightForWidth()
        return QSize(least.width(), 0 if told else least.height())


class Scrolled(QScrollArea):
    """Holds what a form asks: as high as it needs to be, scrolled where there is no room.

    Attributes
    ----------
    inside : QWidget
        What is scrolled.
    column : QVBoxLayout
        Its parts.

    Signals
    -------
    grown
        What is inside needs another height.
    """

    grown = pyqtSignal()

    def __init__(self) -> None:
        super().__init__()
        self.setWidgetResizable(True)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        policy = QSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Expanding)
        policy.setHeightForWidth(True)
        self.setSizePolicy(policy)
        self.inside = _Inside()
        self.column = QVBoxLayout(self.inside)
        self.column.setContentsMargins(0, 0, 0, 0)
        self.setWidget(self.inside)
        self.inside.installEventFilter(self)

    def hasHeightForWidth(self) -> bool:
        """Tell that its height hangs on its width: words wrap."""
        return True

    def heightForWidth(self, wide: int) -> int:
        """Return the height of all of it."""
        if self.column.hasHeightForWidth():
            return self.column.totalHeightForWidth(wide)
        return self.column.sizeHint().height()

    def sizeHint(self) -> QSize:
        """Ask for all of it."""
        return QSize(self.least_px(), self.heightForWidth(self.least_px()))

    def minimumSizeHint(self) -> QSize:
        """Take little height; what is not seen is scrolled."""
        return QSize(self.least_px(), _SHOWN_PX)

    def least_px(self) -> int:
        """Return the least width at which nothing inside is cut."""
        return self.column.minimumSize().width()

    def keep_for_bar(self, there: bool) -> None:
        """Keep the scroll bar away from the fields, where there is one."""
        self.column.setContentsMargins(0, 0, _BAR_PX if there else 0, 0)

    def eventFilter(self, watched: QObject | None, event: QEvent | None) -> bool:
        """Tell when something inside has come or gone."""
        if event is not None and event.type() == QEvent.Type.LayoutRequest:
            self.updateGeometry()
            self.grown.emit()
        return super().eventFilter(watched, event)


def fit_around(sheet: QDialog, scrolled: Scrolled) -> None:
    """Make a sheet as high as what it holds, and no higher than there is room over its window.

    A sheet that is shown already only grows.
    """
    layout, over = sheet.layout(), sheet.parentWidget()
    if layout is None:
        return
    margins = layout.contentsMargins()
    room = room_over(over) if over is not None else QSize(10_000, 10_000)
    scrolled.keep_for_bar(False)
    wide = max(scrolled.least_px() + margins.left() + margins.right(), sheet.minimumWidth())
    wide = max(wide, layout.minimumSize().width())
    layout.activate()
    if layout.totalHeightForWidth(wide) > room.height():
        scrolled.keep_for_bar(True)
        wide += _BAR_PX + _SCROLL_BAR_PX
    wanted = QSize(wide, layout.totalHeightForWidth(wide))
    if sheet.isVisible():
        wanted = wanted.expandedTo(sheet.size())
    sheet.resize(wanted.boundedTo(room))
