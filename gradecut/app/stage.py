"""The stage: film fit to the window, zoomed and panned, with its marks painted on."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray
from PyQt6.QtCore import QEvent, QPointF, QRectF, QSize, Qt, QTimer, pyqtSignal
from PyQt6.QtGui import QMouseEvent, QPainter, QPaintEvent, QResizeEvent, QWheelEvent
from PyQt6.QtWidgets import QSizePolicy, QWidget

from gradecut.app.fields import NoteField
from gradecut.app.film_image import FilmPicture
from gradecut.app.film_plates import paint_plate, plate_width
from gradecut.app.film_tone import Tones
from gradecut.app.film_view import FilmView
from gradecut.app.labels import button
from gradecut.app.loupe import Loupe
from gradecut.app.marks_over import MarksOver
from gradecut.app.stage_hand import StageHand
from gradecut.app.theme import Dress, as_qcolor, font
from gradecut.app.touch_area import set_words
from gradecut.desk.film_desk import FilmDesk
from gradecut.drawing import ON_FILM, Shape

__all__ = ["Stage"]

_A_NOTCH = 1.2
_A_PUSH = 0.02
"""How far a small step of a key moves zoomed film, as a share of the stage's height."""
_NOTES_PX = 12
_PATIENCE_MS = 350
"""So long the stage stays dark before it says that film is being opened."""
_SAY_MS = 150
"""While the film runs, what is seen is put into words no more often."""

_FAULT_PX = 560.0
_AWAY = "not where it was"
"""What is said of film that was moved or taken away, and not of film that is broken."""


class Stage(QWidget):
    """Shows the frame on stage with its marks; the hand on it draws, chooses or pans.

    Attributes
    ----------
    view : FilmView
        Which part of the film is shown, and how near.
    tone : Tones
        How bright, and with how much contrast.
    loupe : Loupe
    pointer : QPointF or None
        Where it is on the stage; None while it is elsewhere.
    dark : bool
        What lies around the film is dark in either theme.
    told_over, painted_over : list of callable
        Say, and paint on the film, what else is to be read there; the latter return where.

    Signals
    -------
    find_asked
        The film was not found and its folder is to be shown; film is to be added.
    left
        Words for a text mark were written or given up.
    """

    find_asked = pyqtSignal()
    left = pyqtSignal()

    def __init__(self, desk: FilmDesk, dress: Dress) -> None:
        super().__init__()
        self._desk = desk
        self._dress = dress
        self._pixels: NDArray[np.uint8] | None = None
        self._shapes: tuple[Shape, ...] = ()
        self._film = FilmPicture()
        self._marks = MarksOver()
        self.pointer: QPointF | None = None
        self.view = FilmView()
        self.tone = Tones(desk, self.show_picture)
        self.loupe = Loupe(desk, self.show_picture)
        self.dark = False
        self.told_over: list[Callable[[], str]] = []
        self.painted_over: list[Callable[[QPainter], list[QRectF]]] = []
        self._angle = desk.playhead.angle.name if desk.playhead.angle else ""
        self.hand = StageHand(self, desk)
        self.setMouseTracking(True)
        self.setFocusPolicy(Qt.FocusPolicy.ClickFocus)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        self.setAccessibleName("Film")
        self.find_button = button("", "accent")
        self.find_button.setParent(self)
        self.find_button.clicked.connect(self.find_asked)
        self.find_button.hide()
        self.field = NoteField("words on the film, then Enter")
        self.field.setParent(self)
        self.field.setAccessibleName("Words on the film")
        self.field.hide()
        self.field.written.connect(desk.marks.write)
        self.field.left.connect(self._end_text)
        self._patience = self._after(_PATIENCE_MS, self.renew)
        self._patience.start()
        self._saying = self._after(_SAY_MS, self._say)
        desk.playhead.counts_painted = True
        desk.playhead.moved.connect(self._fit_another_angle)
        desk.playhead.pictured.connect(self.show_picture)
        desk.marks.changed.connect(self.show_picture)
        desk.told.changed.connect(self.renew)
        desk.marks.text_wanted.connect(self._ask_text)
        desk.marks.pointing.look_aside = self.look_aside
        dress.changed.connect(self.renew)

    def _after(self, wait_ms: int, do: Callable[[], object]) -> QTimer:
        """Make a clock that does something once, so long after it was started."""
        made = QTimer(self)
        made.setSingleShot(True)
        made.setInterval(wait_ms)
        made.timeout.connect(do)
        return made

    def sizeHint(self) -> QSize:
        """Ask for the usual shape of film."""
        return QSize(960, 540)

    # ------------------------------------------------------------------ what is shown

    def show_picture(self) -> None:
        """Take over the newest picture and its marks."""
        head = self._desk.playhead
        if head.picture is None and self._pixels is not None:
            self._patience.start()
        self._pixels = head.picture
        self._take_shapes()
        missing = head.angle is not None and bool(head.fault) and not head.found
        self.find_button.setVisible(missing)
        self.find_button.setText("Find film …" if self._is_away() else "Find a whole copy …")
        self.find_button.setToolTip(
            "Show the folder the film lies in now" if self._is_away()
            else "Show a folder with a copy of the film that is not broken"
        )  # fmt: skip
        self._place_parts()
        if not (head.playing or head.hurried):
            self._say()
        elif not self._saying.isActive():
            self._saying.start()
        self.update()

    def _say(self) -> None:
        self.setAccessibleDescription(self.words())

    def _take_shapes(self) -> None:
        self._lay()
        there = self._pixels is not None
        self._shapes = self._desk.marks.shapes(self.view.mark_size) if there else ()

    def renew(self) -> None:
        """Paint anew."""
        self.update()

    def words(self) -> str:
        """Say where the film stands and what is drawn on it."""
        head = self._desk.playhead
        if head.fault:
            return self._desk.told.fault_words()
        told = head.readout()
        if told is None or head.film is None:
            return "No film."
        parts = (
            f"Frame {told.words} of {head.film.name}.",
            self._desk.marks.words(),
            f"Zoom {self.zoom:.1f}×." if self.zoom > 1 else "",
            f"Shown with {self.tone.now.words}." if self.tone.now.words else "",
            self.loupe.words(),
            *(told() for told in self.told_over),
        )
        return " ".join(part for part in parts if part)

    def paintEvent(self, _event: QPaintEvent | None) -> None:
        """Paint film and choice, or why there is no film."""
        painter = QPainter(self)
        ground = ON_FILM.ground if self.dark else self._dress.theme.sunk
        painter.fillRect(self.rect(), as_qcolor(ground))
        if self._pixels is not None:
            self._paint_film(painter, self._pixels)
        else:
            self._paint_fault(painter)
            self._paint_over(painter)
        painter.end()
        self._desk.playhead.painted()

    def _paint_film(self, painter: QPainter, pixels: NDArray[np.uint8]) -> None:
        self._lay()
        view, tone = self.view, self.tone.now
        self._film.paint(painter, pixels, view, tone)
        self._marks.paint(painter, self._shapes, view)
        self.hand.paint(painter)
        taken = [*self._paint_notes(painter), *self._paint_over(painter)]
        if self.loupe.on:
            look = self.loupe.place(view, self.loupe.aim(self.pointer, view), taken)
            self.loupe.paint(painter, pixels, view, tone, look)

    def _paint_over(self, painter: QPainter) -> list[QRectF]:
        return [rect for paint in self.painted_over for rect in paint(painter)]

    def _paint_notes(self, painter: QPainter) -> list[QRectF]:
        """Say what is not as filmed and fit, and what takes it back; return where it stands."""
        at, room = QPointF(_NOTES_PX, _NOTES_PX), self.width() - 2 * _NOTES_PX
        rects = []
        for whole in (self.zoom_words(), self.tone_words()):
            fits = plate_width(painter, whole) <= room
            told = whole if fits else whole.partition(" · ")[0]
            if told:
                rects.append(paint_plate(painter, at, (told, ON_FILM.ink), most_px=room))
                at = rects[-1].bottomLeft() + QPointF(0, 5)
        return rects

    def _paint_fault(self, painter: QPainter) -> None:
        theme = self._dress.theme
        title, told = self.fault_words()
        if not told and not self._patience.isActive():
            title = "Opening the film …"
        ink, quiet = (ON_FILM.ink, ON_FILM.quiet) if self.dark else (theme.ink, theme.quiet)
        middle = self.height() / 2
        room = QRectF(0, middle - 50, self.width(), 24)
        set_words(painter, room, title, ink if told else quiet, size="head", weight=600,
                  anchor="centre")  # fmt: skip
        painter.setPen(as_qcolor(quiet))
        painter.setFont(font("body"))
        wide = min(self.width() - 40.0, _FAULT_PX)
        below = QRectF((self.width() - wide) / 2, middle - 20, wide, 50)
        flags = int(Qt.AlignmentFlag.AlignHCenter | Qt.TextFlag.TextWordWrap)
        painter.drawText(below, flags, told)

    def fault_words(self) -> tuple[str, str]:
        """Say what is wrong with the film, in a few words and in full; empty for nothing."""
        told, head = self._desk.told.fault_words(), self._desk.playhead
        if not told:
            return "", ""
        if self._is_away():
            more = "Meanwhile you can grade on by the picture; nothing is lost."
            return "The film is not here", f"{told} {more}"
        name = f"Film “{head.film.name}” " if head.film is not None else "The film "
        return f"{name}can't be shown", told

    def _is_away(self) -> bool:
        """Tell whether the film was moved or taken away, rather than broken."""
        return not self._desk.playhead.found and _AWAY in self._desk.told.fault_words()

    # ------------------------------------------------------------------ zoom

    @property
    def zoom(self) -> float:
        """How near the film is; 1 shows the whole of it."""
        return self.view.zoom

    def zoom_words(self) -> str:
        """Say how near the film is; empty while all of it is shown."""
        return f"zoom {self.zoom:.1f}× · Ctrl+0 fits" if self.zoom > 1 else ""

    def tone_words(self) -> str:
        """Say how the film is shown; empty while it is shown as it was filmed."""
        told = self.tone.now.words
        return f"{told} · Alt+0 as filmed" if told else ""

    def _fit_another_angle(self) -> None:
        """Show the whole film of another camera: what lay where in this one lies elsewhere."""
        angle = self._desk.playhead.angle
        if angle is not None and angle.name != self._angle:
            self._angle = angle.name
            self.fit()

    def fit(self) -> None:
        """Show the whole film."""
        self.view.fit()
        self._show_nearness()

    def nearer(self) -> None:
        """Zoom in about the pointer, or on the middle while it is elsewhere."""
        self._zoom_by(_A_NOTCH, self.pointer or QPointF(self.rect().center()))

    def farther(self) -> None:
        """Zoom out about the pointer."""
        self._zoom_by(1 / _A_NOTCH, self.pointer or QPointF(self.rect().center()))

    def film_point(self, at: QPointF) -> tuple[float, float]:
        """Return the film's pixel under a point of the widget."""
        self._lay()
        there = self.view.film_point(at)
        return there.x(), there.y()

    def on_screen(self, point: tuple[float, float]) -> QPointF:
        """Return where a film pixel lies in the widget."""
        self._lay()
        return self.view.on_screen().map(QPointF(*point))

    def pan(self, before: QPointF, after: QPointF) -> None:
        """Move the film as a hand moves that holds it, from one point of the widget to another."""
        self._lay()
        self.view.pan(before, after)
        self.update()

    def look_aside(self, right: float, down: float) -> bool:
        """Look so many small steps further right and down; tell whether the film is zoomed."""
        if self.zoom <= 1:
            return False
        self.pan(QPointF(right, down) * (_A_PUSH * self.height()), QPointF(0, 0))
        return True

    def _lay(self) -> None:
        """Tell the view how large film and stage are now."""
        film = self._desk.playhead.film
        size = (float(film.width), float(film.height)) if film else (16.0, 9.0)
        room = (float(max(self.width(), 1)), float(max(self.height(), 1)))
        self.view.lay(size, room, self.devicePixelRatioF())

    def _zoom_by(self, factor: float, about: QPointF) -> None:
        """Zoom so that what lies under a point stays under it."""
        self._lay()
        self.view.zoom_by(factor, about)
        self._show_nearness()

    def _show_nearness(self) -> None:
        self._take_shapes()
        self._say()
        self.update()

    # ------------------------------------------------------------------ the hand

    def wheelEvent(self, event: QWheelEvent | None) -> None:
        """Zoom about the pointer."""
        if event is not None and self._pixels is not None:
            self._zoom_by(_A_NOTCH ** (event.angleDelta().y() / 120), event.position())

    def mouseDoubleClickEvent(self, event: QMouseEvent | None) -> None:
        """Show the whole film again."""
        if event is not None:
            self.hand.double_click(event)

    def mousePressEvent(self, event: QMouseEvent | None) -> None:
        """Begin to draw, take hold of a mark, or of the film."""
        if event is not None and self._pixels is not None:
            self.hand.press(event)

    def mouseMoveEvent(self, event: QMouseEvent | None) -> None:
        """Draw, move a mark or pan."""
        if event is None:
            return
        self.pointer = event.position()
        self.hand.move(event)
        if self.loupe.on:
            self.update()

    def leaveEvent(self, event: QEvent | None) -> None:
        """Know that the pointer is elsewhere."""
        super().leaveEvent(event)
        self.pointer = None
        self.hand.leave()
        if self.loupe.on:
            self.update()

    def mouseReleaseEvent(self, event: QMouseEvent | None) -> None:
        """Keep what was drawn."""
        if event is not None:
            self.hand.release(event)

    # ------------------------------------------------------------------ parts on the stage

    def _ask_text(self, at: tuple[float, float]) -> None:
        there = self.on_screen(at)
        wide = 260
        left = min(max(int(there.x()) - wide // 2, 6), max(self.width() - wide - 6, 6))
        self.field.setGeometry(left, int(there.y()) - 16, wide, 32)
        self.field.show_text(self._desk.marks.words_there)
        self.field.show()
        self.field.setFocus()

    def _end_text(self) -> None:
        self.field.hide()
        self._desk.marks.end_words()
        self.left.emit()

    def resizeEvent(self, event: QResizeEvent | None) -> None:
        """Keep film and parts in their places."""
        super().resizeEvent(event)
        self._take_shapes()
        self._place_parts()

    def _place_parts(self) -> None:
        size = self.find_button.sizeHint()
        left, top = (self.width() - size.width()) // 2, self.height() // 2 + 34
        self.find_button.setGeometry(left, top, size.width(), size.height())
