"""Film alone: the stage takes the whole window, and what must be read stands on the film."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PyQt6.QtCore import QEvent, QObject, QPointF, QRectF, Qt, pyqtSignal
from PyQt6.QtGui import QPainter
from PyQt6.QtWidgets import QMainWindow, QWidget

from gradecut.app.ask_strip import AskStrip
from gradecut.app.film_plates import paint_plate, plate_width
from gradecut.app.theme import Size, as_qcolor
from gradecut.desk.film_ticks import Ticks
from gradecut.desk.playing import SPEED_WORDS
from gradecut.drawing import ON_FILM, Colour

if TYPE_CHECKING:
    from gradecut.app.film_page import FilmPage

__all__ = ["FilmAlone"]

_EDGE_PX = 14
_LINE_PX = 3.0
_ASK_PX, _ASK_SHARE, _ASK_LOW_PX = 560, 0.5, 96
_HIGH_PX = 900
"""From this height on it is read from farther away, and told larger."""


class FilmAlone(QObject):
    """Hides all of the window but the stage, and tells on it where the film stands.

    What is said is told on the film until the next act; the question in hand stands on it as
    long as a man is in hand, so that he can be graded here too.

    Attributes
    ----------
    on : bool
    ask : AskStrip
        The question in hand, shown while there is one.

    Signals
    -------
    left
        All of the page is shown again: what is to be seen of it now.
    """

    left = pyqtSignal()

    def __init__(self, page: FilmPage) -> None:
        super().__init__(page)
        self._page = page
        self._hidden: list[QWidget] = []
        self._said = ""
        self.on = False
        self.ask = AskStrip(page.film, page.dress)
        self.ask.setParent(page.stage)
        self.ask.keep_low(True)
        self.ask.hide()
        page.desk.said.connect(self._hear)
        page.desk.acted.connect(self._forget)
        page.film.clip_changed.connect(self._forget)
        page.film.hand.changed.connect(self.place_parts)
        page.film.playhead.play_changed.connect(page.stage.show_picture)
        page.stage.painted_over.append(self.paint)
        page.stage.told_over.append(self.words)
        page.stage.installEventFilter(self)

    def eventFilter(self, _stage: QObject | None, event: QEvent | None) -> bool:
        """Put the question in its place again when the stage has another size."""
        if event is not None and event.type() == QEvent.Type.Resize:
            self.place_parts()
        return False

    def turn(self) -> None:
        """Show the film alone, or all of the page again."""
        if self.on:
            self.leave()
            return
        if self._page.film.clip is None:
            self._page.desk.say("There is no film to show alone yet: add film first.")
            return
        self._turn(True)
        self.keep()
        self._page.desk.say("Film alone: Esc brings the page back.")
        self.place_parts()

    def keep(self) -> None:
        """Hide what has come up around the film since."""
        if self.on:
            come = [one for one in self._around() if one.isVisibleTo(one.parentWidget())]
            self._hidden += [part for part in come if part not in self._hidden]
            for part in come:
                part.hide()

    def leave(self) -> bool:
        """Show all of the page again; tell whether the film was alone."""
        if not self.on:
            return False
        self._turn(False)
        for part in self._hidden:
            part.show()
        self._hidden = []
        self._said = ""
        self.place_parts()
        self._page.stage.show_picture()
        self._page.desk.say("")
        self.left.emit()
        return True

    def _turn(self, on: bool) -> None:
        """Film alone lies in the dark in either theme: light around it dazzles."""
        self.on = self._page.stage.dark = self._page.pair.second.dark = on

    def words(self) -> str:
        """Say what is told on the film beside its frame; empty while it is not alone."""
        return f"{' · '.join(self._ways())}. {self._said}".strip() if self.on else ""

    def place_parts(self) -> None:
        """Put the question where it is needed."""
        if not (self.on or self.ask.isVisible()):
            return
        hand, stage = self._page.film.hand, self._page.stage
        shown = self.on and (bool(hand.position) or hand.busy)
        if shown:
            self.ask.show_ask()
            self.ask.resize(min(_ASK_PX, round(stage.width() * _ASK_SHARE)), 10)
            high = self.ask.sizeHint().height()
            top = stage.height() - high - _ASK_LOW_PX
            self.ask.setGeometry(_EDGE_PX, top, self.ask.width(), high)
        self.ask.setVisible(shown)
        stage.show_picture()

    def paint(self, painter: QPainter) -> list[QRectF]:
        """Paint on the film where it stands, what was said, and the play as one line.

        Returns
        -------
        list of QRectF
            What of the film this covers.
        """
        if not self.on:
            return []
        stage, head = self._page.stage, self._page.film.playhead
        if self._page.ticks.ticks is not None:
            self._paint_line(painter, self._page.ticks.ticks)
        large: Size = "title" if stage.height() >= _HIGH_PX else "lead"
        small: Size = "lead" if stage.height() >= _HIGH_PX else "small"
        at = QPointF(_EDGE_PX, stage.height() - _EDGE_PX - 2 * _LINE_PX)
        rects = []
        told = head.readout()
        if told is not None and not self._page.film.second.on:
            main, _, doubt = told.words.partition(" ± ")
            parts = ((main, ON_FILM.ink), (f"± {doubt}" if doubt else "", ON_FILM.quiet))
            rects.append(paint_plate(painter, at, *parts, size=large, weight=600, rise=True))
        above = rects[0].topLeft() - QPointF(0, 5) if rects else at
        ways = (" · ".join(self._ways()), ON_FILM.ink)
        rects.append(paint_plate(painter, above, ways, size=small, rise=True))
        if self._said:
            beside = QPointF(rects[0].right() + 8, at.y())
            room = stage.width() - _EDGE_PX - beside.x()
            said = (self._said, ON_FILM.accent)
            if plate_width(painter, self._said, size=large) > room:
                top = self.ask.y() if self.ask.isVisible() else rects[-1].top()
                beside = QPointF(_EDGE_PX, min(top, rects[-1].top()) - 5)
                room = stage.width() - 2 * _EDGE_PX
                large = "small"
            rects.append(paint_plate(painter, beside, said, size=large, most_px=room, rise=True))
        if self.ask.isVisible():
            rects.append(QRectF(self.ask.geometry()))
        return rects

    def _around(self) -> list[QWidget]:
        """Return all of the window that stands around the film."""
        page = self._page
        window = page.window()
        central = window.centralWidget() if isinstance(window, QMainWindow) else None
        direct = Qt.FindChildOption.FindDirectChildrenOnly
        frame = central.findChildren(QWidget, options=direct) if central is not None else []
        parts = (*frame, *page.findChildren(QWidget, options=direct))
        film = page.pair
        return [
            one for one in parts if not (one.isWindow() or one is film or one.isAncestorOf(film))
        ]

    def _ways(self) -> list[str]:
        """Return which play this is, from where it is seen and how it plays."""
        film, head = self._page.film, self._page.film.playhead
        angle, man = head.angle, film.hand.man
        parts = (
            f"Play {film.clip.order}" if film.clip else "",
            f"{angle.name} view" if angle else "",
            SPEED_WORDS[head.speed],
            "over and over" if head.looping else "",
            man.who if man else "",
            self._page.bar.state_words(),
        )
        return [part for part in parts if part]

    def _paint_line(self, painter: QPainter, ticks: Ticks) -> None:
        """Paint the play as a line along the bottom: what has run, the loop, the snap."""
        stage, head = self._page.stage, self._page.film.playhead
        wide, top = float(stage.width()), stage.height() - _LINE_PX
        count = max(ticks.last - ticks.first, 1)

        def x_of(frame: int) -> float:
            return (frame - ticks.first) / count * wide

        def bar(left: float, right: float, rise: float, colour: Colour) -> None:
            painter.fillRect(QRectF(left, top - rise, right - left, _LINE_PX + rise),
                             as_qcolor(colour))  # fmt: skip

        bar(0, wide, 1, ON_FILM.ground)
        if ticks.loop is not None:
            bar(x_of(ticks.loop[0]), x_of(ticks.loop[1]), 0, ON_FILM.quiet)
        bar(0, x_of(head.seen), 0, ON_FILM.accent)
        for tick in ticks.moments:
            bar(x_of(tick.frame) - 1, x_of(tick.frame) + 1, 5, ON_FILM.ink)

    def _hear(self, sentence: str) -> None:
        if self.on:
            self._said = str(sentence)
            self._page.stage.show_picture()

    def _forget(self) -> None:
        if self._said:
            self._said = ""
            self._page.stage.show_picture()
