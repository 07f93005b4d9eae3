"""Four steps through the Film page, for whoever sees it first; left at once with Esc."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from PyQt6.QtCore import QEvent, QObject, QPoint, QPointF, QRect, QRectF, Qt
from PyQt6.QtGui import QKeyEvent, QMouseEvent, QPainter, QPainterPath, QPaintEvent, QPen
from PyQt6.QtWidgets import QFrame, QHBoxLayout, QVBoxLayout, QWidget

from gradecut.app.film_page import FilmPage
from gradecut.app.labels import KeyHint, button, words
from gradecut.app.theme import Dress, as_qcolor

if TYPE_CHECKING:
    from gradecut.app.window import MainWindow

__all__ = ["STEPS", "Step", "Tour", "show_tour"]

_CARD_PX = 372
_AWAY_PX = 14
_INSET_PX = (12, 4)
"""How far the frame stands from what it frames, at the sides and above and below."""
_VEIL = 0.62


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One step: what is shown, and what is told of it.

    Attributes
    ----------
    parts : tuple of str
        Names of the page's widgets it is about.
    """

    parts: tuple[str, ...]
    title: str
    text: str


STEPS = (
    Step(
        parts=("look",),
        title="The look is drawn for you",
        text="It comes from script, line-up and the last play, and your rules say what each man "
        "owed. All right? Press Enter, and the next play runs. Something wrong? Shift and its "
        "letter.",
    ),
    Step(
        parts=("ask", "men"),
        title="Only what went wrong costs keys",
        text="A man's number, how he missed, and why: three digits. U and a digit where he can't "
        "be graded. E counts an event, F flags it for tomorrow, D says it was no play.",
    ),
    Step(
        parts=("pair", "bar", "ticks"),
        title="Film by the frame",
        text="← and → step, Space plays, S goes to the snap, A shows the other angle. Z marks "
        "the snap, X his first step, C where he goes. M draws on film.",
    ),
    Step(
        parts=("plays",),
        title="Nothing to save, nothing to fear",
        text="Every entry is stored as you make it; Ctrl+Z takes it back, even tomorrow. F9 makes "
        "the staff's page and F7 the players' reel at any moment. ? shows every key.",
    ),
)


class Tour(QWidget):
    """Lies over the window, leaves the part it tells of clear, and goes on with Enter.

    Attributes
    ----------
    step : int
        From 0.
    """

    def __init__(self, page: FilmPage, dress: Dress, over: QWidget) -> None:
        super().__init__(over)
        self._page = page
        self._dress = dress
        self.step = 0
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setAccessibleName("Tour of the Film page")
        self._build()
        over.installEventFilter(self)
        self.setGeometry(over.rect())
        self.show()
        self.raise_()
        self.setFocus()
        self._show_step()

    def _build(self) -> None:
        self.card = QFrame(self)
        self.card.setProperty("look", "card")
        self.card.setFixedWidth(_CARD_PX)
        column = QVBoxLayout(self.card)
        column.setContentsMargins(20, 16, 20, 14)
        column.setSpacing(6)
        self.count = words("", "small", 500, look="quiet")
        self.title = words("", "head", 600)
        self.text = words("", wrap=True)
        for part in (self.count, self.title, self.text):
            column.addWidget(part)
        column.addSpacing(8)
        foot = QHBoxLayout()
        foot.addWidget(KeyHint("Esc", "skip the tour"))
        foot.addStretch(1)
        foot.addWidget(KeyHint("Enter", ""))
        foot.addSpacing(8)
        self.on = button("Next", "accent", tip="Enter; ← goes back")
        self.on.clicked.connect(self.go_on)
        self.on.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        foot.addWidget(self.on)
        column.addLayout(foot)

    # ------------------------------------------------------------------ going on

    def go_on(self) -> None:
        """Show the next step; after the last one leave."""
        if self.step + 1 == len(STEPS):
            self.close()
            return
        self.step += 1
        self._show_step()

    def go_back(self) -> None:
        """Show the step before."""
        self.step = max(self.step - 1, 0)
        self._show_step()

    def keyPressEvent(self, event: QKeyEvent | None) -> None:
        """Go on, back, or leave; nothing of the page is done meanwhile."""
        if event is None:
            return
        keys = Qt.Key
        if event.key() in (keys.Key_Return, keys.Key_Enter, keys.Key_Space, keys.Key_Right):
            self.go_on()
        elif event.key() in (keys.Key_Left, keys.Key_Backspace):
            self.go_back()
        elif event.key() == keys.Key_Escape:
            self.close()

    def event(self, event: QEvent | None) -> bool:
        """Keep the keys: none of them is the page's while the tour lies over it."""
        if event is not None and event.type() == QEvent.Type.ShortcutOverride:
            event.accept()
            return True
        return super().event(event)

    def mousePressEvent(self, event: QMouseEvent | None) -> None:
        """Leave where the page itself is touched."""
        if event is not None:
            self.close()

    def eventFilter(self, watched: QObject | None, event: QEvent | None) -> bool:
        """Cover the window as it grows and shrinks."""
        over = self.parentWidget()
        if event is not None and event.type() == QEvent.Type.Resize and over is not None:
            self.setGeometry(over.rect())
            self._place()
        return super().eventFilter(watched, event)

    # ------------------------------------------------------------------ showing it

    def _show_step(self) -> None:
        step = STEPS[self.step]
        self.count.setText(f"{self.step + 1} of {len(STEPS)}")
        self.title.setText(step.title)
        self.text.setText(step.text)
        self.on.setText("Begin" if self.step + 1 == len(STEPS) else "Next")
        self.setAccessibleDescription(f"{self.count.text()}. {step.title}. {step.text}")
        self._place()

    def _place(self) -> None:
        """Put the card beside what it tells of, inside the window."""
        inner = _CARD_PX - 40
        self.text.setFixedHeight(self.text.heightForWidth(inner))
        self.card.adjustSize()
        there, size, room = self.clear_rect(), self.card.size(), self.rect()
        places = (
            QPoint(there.right() + _AWAY_PX, there.top()),
            QPoint(there.left() - _AWAY_PX - size.width(), there.bottom() - size.height()),
            QPoint(there.left() + 16, there.top() - _AWAY_PX - size.height()),
            QPoint(there.left() + 16, there.bottom() + _AWAY_PX),
        )
        found = (one for one in places if room.contains(QRect(one, size)))
        inside = QPoint(
            max(there.center().x() - size.width() // 2, 0),
            max(there.center().y() - size.height() // 2, 0),
        )
        self.card.move(next(found, inside))
        self.update()

    def clear_rect(self) -> QRect:
        """Return the part of the window that this step tells of, in its own coordinates."""
        parts: Sequence[QWidget] = [getattr(self._page, name) for name in STEPS[self.step].parts]
        rects = [QRect(self.mapFromGlobal(one.mapToGlobal(QPoint(0, 0))), one.size())
                 for one in parts if one.isVisible()]  # fmt: skip
        whole = QRect()
        for rect in rects:
            whole = whole.united(rect)
        x, y = _INSET_PX
        return whole.adjusted(-x, -y, x, y).intersected(self.rect())

    def paintEvent(self, _event: QPaintEvent | None) -> None:
        """Veil all but what is told of, and frame that."""
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        theme, clear = self._dress.theme, QRectF(self.clear_rect())
        veil = QPainterPath()
        veil.addRect(QRectF(self.rect()))
        hole = QPainterPath()
        hole.addRoundedRect(clear, 8, 8)
        shade = as_qcolor(theme.sunk)
        shade.setAlphaF(_VEIL)
        painter.fillPath(veil.subtracted(hole), shade)
        painter.setPen(QPen(as_qcolor(theme.accent), 2))
        painter.drawRoundedRect(clear.adjusted(1, 1, -1, -1), 8, 8)
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(as_qcolor(theme.accent))
        corner = QPointF(self.card.geometry().topLeft())
        painter.drawRoundedRect(
            QRectF(corner, QPointF(self.card.geometry().bottomRight())).adjusted(-1, -1, 2, 2), 9, 9
        )
        painter.end()


def show_tour(window: MainWindow) -> Tour | None:
    """Lie the tour over the Film page; None, and a sentence, while there is no play to show."""
    page = window.pages.page("Film") if window.pages is not None else None
    if not isinstance(page, FilmPage) or page.film.clip is None:
        window.say("The tour goes through the Film page: open a book with plays first.")
        return None
    window.show_page("Film")
    return Tour(page, window.dress, window.centralWidget() or window)
