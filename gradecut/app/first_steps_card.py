"""What stands in the place of film in a book that has none: what it needs, each with its key."""

from __future__ import annotations

from PyQt6.QtCore import QPointF, QRectF, QSize, Qt, pyqtSignal
from PyQt6.QtGui import QPainter, QPaintEvent, QPen, QPolygonF
from PyQt6.QtWidgets import QFrame, QHBoxLayout, QScrollArea, QVBoxLayout, QWidget

from gradecut.app.labels import KeyHint, button, line_across, words
from gradecut.app.theme import Dress, as_qcolor
from gradecut.book import Book
from gradecut.desk.first_steps import FirstStep, first_steps, title_words

__all__ = ["FirstStepsCard"]

_WIDE_PX = 640
_SIGN_PX = 22


class FirstStepsCard(QScrollArea):
    """Lists film, rules and roster; what is there has a tick, what is not has its button.

    Signals
    -------
    asked : str
        The kind of a step was asked for.
    """

    asked = pyqtSignal(str)

    def __init__(self, dress: Dress) -> None:
        super().__init__()
        self._dress = dress
        self.setWidgetResizable(True)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.setAccessibleName("What this book needs")
        self.steps: tuple[FirstStep, ...] = ()
        self.title = words("", "title", 600)
        self.told = words(
            "Three things, in any order. Each is stored as soon as it is there.", look="quiet",
            wrap=True,
        )  # fmt: skip
        inside = QWidget()
        across = QHBoxLayout(inside)
        across.addStretch(1)
        middle = QWidget()
        middle.setMaximumWidth(_WIDE_PX)
        middle.setMinimumWidth(min(_WIDE_PX, 460))
        across.addWidget(middle, 8)
        across.addStretch(1)
        column = QVBoxLayout(middle)
        column.setSpacing(6)
        column.addStretch(2)
        column.addWidget(self.title)
        column.addWidget(self.told)
        column.addSpacing(16)
        self._rows = QVBoxLayout()
        self._rows.setSpacing(0)
        column.addLayout(self._rows)
        column.addStretch(3)
        self.setWidget(inside)

    def show_book(self, book: Book) -> None:
        """Show what a book has and needs now."""
        self.title.setText(title_words(book))
        steps = first_steps(book)
        if steps != self.steps:
            self.steps = steps
            while (item := self._rows.takeAt(0)) is not None:
                if (widget := item.widget()) is not None:
                    widget.hide()
                    widget.deleteLater()
            for step in steps:
                self._rows.addWidget(line_across())
                self._rows.addWidget(self._row(step))
            self._rows.addWidget(line_across())
        self.setAccessibleDescription(" ".join(step.words for step in steps))

    def _row(self, step: FirstStep) -> QWidget:
        row = QWidget()
        across = QHBoxLayout(row)
        across.setContentsMargins(0, 12, 0, 12)
        across.setSpacing(14)
        across.addWidget(_Sign(self._dress, done=step.done), 0, Qt.AlignmentFlag.AlignTop)
        told = QVBoxLayout()
        told.setSpacing(2)
        told.addWidget(words(step.title, "lead", 600))
        told.addWidget(words(step.told, look="quiet", wrap=True))
        across.addLayout(told, 1)
        across.addWidget(KeyHint(step.key, ""))
        look = "accent" if step.kind == "film" else "plain" if step.done else ""
        made = button(step.does, look)  # type: ignore[arg-type]  # three of the looks there are
        made.setMinimumWidth(150)
        made.setAccessibleDescription(step.words)
        made.clicked.connect(lambda _=False, kind=step.kind: self.asked.emit(kind))
        across.addWidget(made)
        return row


class _Sign(QWidget):
    """A tick in a disc for what is there, a hollow ring for what is not."""

    def __init__(self, dress: Dress, *, done: bool) -> None:
        super().__init__()
        self._dress, self._done = dress, done
        self.setFixedSize(QSize(_SIGN_PX, _SIGN_PX))
        self.setAccessibleName("there" if done else "to do")

    def paintEvent(self, _event: QPaintEvent | None) -> None:
        """Paint it in the theme worn."""
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        drawn = self._dress.theme.drawn
        rect = QRectF(self.rect()).adjusted(3, 3, -3, -3)
        hue = drawn.right_text if self._done else drawn.quiet
        painter.setPen(QPen(as_qcolor(hue), 1.6))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawEllipse(rect)
        if self._done:
            at = rect.center()
            painter.drawPolyline(
                QPolygonF([at + QPointF(-3.5, 0), at + QPointF(-1, 3), at + QPointF(4, -3)])
            )
        painter.end()
