"""His men on this play: what each owed, did, why, and when he moved."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial

from PyQt6.QtCore import QPointF, QRectF, QSize, Qt
from PyQt6.QtGui import QFontMetricsF, QPainter, QPaintEvent, QPolygonF
from PyQt6.QtWidgets import QSizePolicy

from gradecut.app.theme import Dress, as_qcolor, font
from gradecut.app.touch_area import Spot, TouchArea, key_cap, set_whole, set_words, words_width
from gradecut.desk.clip_state import Man
from gradecut.desk.film_desk import FilmDesk
from gradecut.desk.men_drawn import did_words, lined_up_sign
from gradecut.drawing import Colour
from gradecut.reports.wording import lined_up_words

__all__ = ["MenTable"]

_HEAD = 22
_ROW, _LOW_ROW = 28, 26
_FEWEST = 3
_COLUMNS = (("man", 0.2), ("owed", 0.21), ("did", 0.0), ("cause", 0.22), ("step", 0.145))
"""Each column with the largest share of the width it may take; "did" takes what is left."""
_LINED_UP = ("lined up", 0.125)
"""A sign behind what he owed, as soon as it is told of one of them; both under one heading."""
_OWED_TOO = "owed, lined up"
_BETWEEN_PX = 7.0
_LEAST_CAUSE = 0.15
"""The share of the width a cause keeps where what he did would have little room."""
_LEAST_DID = 0.365
"""The share of the width that is kept for what he did, as far as causes give way."""
_KEYS_PX, _FLAG_PX = 28.0, 16.0
_AT_SPEED = "· at speed"
"""Beside what was let through with the whole play, where there is room for it."""


class MenTable(TouchArea):
    """One row a man; a touch takes him in hand."""

    def __init__(self, desk: FilmDesk, dress: Dress) -> None:
        super().__init__(dress)
        self._desk = desk
        self._row_px = _ROW
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setAccessibleName("The men on this play")

    def keep_low(self, low: bool) -> None:
        """Set the rows closer in a low window."""
        self._row_px = _LOW_ROW if low else _ROW
        self.updateGeometry()

    def show_men(self) -> None:
        """Take over how the men stand now."""
        self.setAccessibleDescription(self.words())
        self.updateGeometry()
        self.update()

    def words(self) -> str:
        """Say all rows, for whoever can't see them."""
        return " ".join(_row_words(man) for man in self._men())

    def sizeHint(self) -> QSize:
        """Ask for a row a man, three at least."""
        return QSize(300, _HEAD + self._row_px * max(len(self._men()), _FEWEST))

    def _men(self) -> tuple[Man, ...]:
        return self._desk.state.men if self._desk.state else ()

    def _columns(self) -> tuple[tuple[str, float], ...]:
        """Return the columns shown; how men lined up takes its room from steps nobody counted."""
        men = self._men()
        if not any(lined_up_sign(man) for man in men):
            return _COLUMNS
        steps = any(man.line and man.line.reaction for man in men)
        return (*_COLUMNS[:2], _LINED_UP, *(_COLUMNS[2:] if steps else _COLUMNS[2:-1]))

    def places(self) -> dict[str, tuple[float, float]]:
        """Return left and width of each column in pixels; "did" takes what the others leave.

        They are as wide as the scheme's own words ask, whatever stands there on this play, so
        that each column keeps its place from play to play.
        """
        columns = self._columns()
        room = self.width() - _KEYS_PX - _FLAG_PX
        men = self._men()
        plain, bold = QFontMetricsF(font("body")), QFontMetricsF(font("body", 600))
        told = {
            "man": [bold.horizontalAdvance(f"{man.position} ") + 4
                    + plain.horizontalAdvance(max(man.number, "00", key=len)) for man in men],
            "owed": [plain.horizontalAdvance(name) for name in _fits_told(men)],
            "cause": [plain.horizontalAdvance(cause) for cause in _causes_told(men)],
            "step": [plain.horizontalAdvance(words) for words in _steps_told(men)],
        }  # fmt: skip
        wide = {
            name: min(max([plain.horizontalAdvance(name), *told.get(name, ())]) + 2, most * room)
            for name, most in columns
        }
        if _LINED_UP[0] in wide:
            head = QFontMetricsF(font("small")).horizontalAdvance(_OWED_TOO) + 2
            wide[_LINED_UP[0]] = max(head - wide["owed"] - _BETWEEN_PX, 14.0)
        gaps = _BETWEEN_PX * (len(columns) - 1)
        wide["did"] = 0.0
        given = max(_LEAST_DID * room - (room - gaps - sum(wide.values())), 0.0)
        wide["cause"] -= min(given, max(wide["cause"] - _LEAST_CAUSE * room, 0.0))
        wide["did"] = max(room - gaps - sum(wide.values()), 0.0)
        places, left = {}, _KEYS_PX
        for name, _ in columns:
            places[name] = (left, wide[name])
            left += wide[name] + _BETWEEN_PX
        return places

    def paintEvent(self, _event: QPaintEvent | None) -> None:
        """Paint heading and rows, and note where each takes a touch."""
        self.spots = []
        painter = self.painter()
        places = self.places()
        for name, (left, wide) in places.items() if self._men() else ():
            if name == _LINED_UP[0]:
                continue
            rect = QRectF(left, 0, wide + 6, _HEAD)
            head = name
            if name == "owed" and _LINED_UP[0] in places:
                head, rect = _OWED_TOO, rect.adjusted(0, 0, places[_LINED_UP[0]][1] + 7, 0)
            set_words(painter, rect, head, self.theme.quiet, size="small")
        ask = self._desk.hand.ask
        counted = ask is not None and ask.kind == "men"
        for place, man in enumerate(self._men()):
            self._paint_row(painter, place, man, places, counted=counted and place < 9)
        painter.end()

    def _paint_row(
        self,
        painter: QPainter,
        place: int,
        man: Man,
        places: dict[str, tuple[float, float]],
        *,
        counted: bool,
    ) -> None:
        theme, top = self.theme, float(_HEAD + place * self._row_px)
        row = QRectF(0, top, self.width(), self._row_px)
        painter.fillRect(QRectF(0, top, self.width(), 1), as_qcolor(theme.hairline))
        if man.position == self._desk.hand.position:
            painter.setPen(Qt.PenStyle.NoPen)
            painter.setBrush(as_qcolor(theme.raised))
            painter.drawRoundedRect(row.adjusted(0, 2, 0, -1), 5, 5)
            painter.setBrush(as_qcolor(theme.drawn.accent))
            painter.drawRoundedRect(QRectF(0, top + 6, 3, self._row_px - 11), 1.5, 1.5)
        if counted:
            key_cap(painter, QPointF(5, top + self._row_px / 2 + 0.5), str(place + 1), theme)
        self.spots.append(Spot(row, partial(self._desk.hand.choose, man.position), _row_words(man)))
        rects = {
            name: QRectF(left, top + 1, wide, self._row_px) for name, (left, wide) in places.items()
        }
        self._paint_man(painter, man, rects)

    def _paint_man(self, painter: QPainter, man: Man, rects: dict[str, QRectF]) -> None:
        theme, drawn = self.theme, self.theme.drawn
        ink: Colour = theme.ink if man.rep and man.to_grade else theme.quiet
        self._paint_who(painter, man, rects["man"], ink)
        owes = man.owes or "open"
        by_word = drawn.accent_text if man.asked.owed else ink
        set_whole(painter, rects["owed"], owes, by_word if man.owes else theme.quiet)
        if sign := lined_up_sign(man):
            hue = {"✓": drawn.right_text, "✕": drawn.did_text}.get(sign, theme.quiet)
            set_words(painter, rects[_LINED_UP[0]], sign, hue, weight=600)
        self._paint_did(painter, man, rects["did"])
        cause = man.grade.cause if man.grade else ""
        colour = theme.ink if cause else theme.quiet
        set_whole(painter, rects["cause"], cause or "–", colour)
        if "step" in rects:
            self._paint_step(painter, man, rects["step"])
        if man.flagged:
            self._paint_flag(painter, rects["did"], man)

    def _paint_who(self, painter: QPainter, man: Man, rect: QRectF, ink: Colour) -> None:
        """Set his position and number, one below the other where he is known by no number."""
        bold, plain = QFontMetricsF(font("body", 600)), QFontMetricsF(font("body"))
        used = bold.horizontalAdvance(man.position) + 5
        if used + plain.horizontalAdvance(man.number) > rect.width() + 1:
            set_whole(painter, rect, man.who, ink)
            return
        set_words(painter, rect, man.position, ink, weight=600)
        set_words(painter, rect.adjusted(used, 0, 0, 0), man.number, self.theme.quiet)

    def _paint_did(self, painter: QPainter, man: Man, rect: QRectF) -> None:
        sign, words = did_words(man)
        drawn = self.theme.drawn
        colour = {"✓": drawn.right_text, "✕": drawn.did_text, "½": drawn.did_text}.get(
            sign, self.theme.quiet
        )
        set_words(painter, rect, sign, colour, weight=600)
        told = f"{words} (look again)" if man.stale else words
        room = rect.adjusted(15 if sign else 0, 0, 0, 0)
        used = set_whole(painter, room, told, colour, weight=500)
        if _was_passed(man):
            rest = room.adjusted(used + 5, 0, 0, 0)
            if words_width(painter, _AT_SPEED, size="small") <= rest.width():
                set_words(painter, rest, _AT_SPEED, self.theme.quiet, size="small")

    def _paint_step(self, painter: QPainter, man: Man, rect: QRectF) -> None:
        theme = self.theme
        reaction = man.line.reaction if man.line else None
        if reaction is not None:
            set_words(painter, rect, _step_words(man), theme.ink)
        else:
            set_words(painter, rect, "–", theme.quiet)

    def _paint_flag(self, painter: QPainter, rect: QRectF, man: Man) -> None:
        """Set a flag at the row's end: to be shown."""
        x, y = self.width() - 9.0, rect.center().y()
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(as_qcolor(self.theme.drawn.accent))
        painter.drawPolygon(
            QPolygonF([QPointF(x - 5, y - 6), QPointF(x + 5, y - 6), QPointF(x + 5, y + 6)])
        )
        spot = QRectF(x - 8, rect.top(), 17, self._row_px)
        self.spots.append(
            Spot(spot, partial(self._unflag, man.position), "flagged to show tomorrow")
        )

    def _unflag(self, position: str) -> None:
        self._desk.hand.choose(position)
        self._desk.judging.flag()


def _was_passed(man: Man) -> bool:
    """Tell whether he was let through with the whole play, and not looked at by himself."""
    return man.grade is not None and man.grade.how == "passed"


def _step_words(man: Man) -> str:
    reaction = man.line.reaction if man.line else None
    return f"{reaction.time_ms / 1000:+.2f} s" if reaction is not None else "–"


def _fits_told(men: Sequence[Man]) -> set[str]:
    """Return what stands under "owed" on any play: the fits the rules know for these men."""
    rules = {man.position: man.asked.scheme.rules for man in men if man.asked.scheme}
    known = {rule.fit for at, found in rules.items() for rule in found if at in rule.men}
    return {"open", *known, *(man.owes for man in men)}


def _causes_told(men: Sequence[Man]) -> set[str]:
    """Return the causes of the rubric, and those that were given."""
    given = {man.grade.cause for man in men if man.grade}
    return given.union(*(man.asked.rubric.causes for man in men))


def _steps_told(men: Sequence[Man]) -> set[str]:
    return {"+0.00 s", *(_step_words(man) for man in men)}


def _row_words(man: Man) -> str:
    sign, words = did_words(man)
    del sign
    parts = [f"{man.who}: owes {man.owes or 'what is open'}", words]
    if man.grade and man.grade.cause:
        parts.append(f"cause {man.grade.cause}")
    if man.line and man.line.lined_up:
        parts.append(f"lined up: {lined_up_words(man.line.lined_up)}")
    if man.line and man.line.reaction:
        parts.append(f"first step {_step_words(man)} ({man.line.reaction.frames:+d} frames)")
    if _was_passed(man):
        parts.append("graded at speed, with the whole play")
    if man.stale:
        parts.append("to be looked at again")
    if man.flagged:
        parts.append("flagged")
    return f"{', '.join(parts)}."
