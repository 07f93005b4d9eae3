"""What to drill tomorrow: each with its cause, its doubt, and two plays to show."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial

import numpy as np
from numpy.typing import NDArray
from PyQt6.QtCore import pyqtSignal
from PyQt6.QtGui import QResizeEvent
from PyQt6.QtWidgets import QHBoxLayout, QScrollArea, QVBoxLayout, QWidget

from gradecut.app.labels import button, line_across, words
from gradecut.app.play_picture import PlayPicture
from gradecut.app.theme import Dress
from gradecut.desk.board_desk import BoardDesk
from gradecut.desk.rep_rows import RepRow
from gradecut.records import Drill

__all__ = ["DrillList"]

_SHOWN = 8
_LEAST_PX, _MOST_PX = 110, 170
"""Of a picture."""
_APART_PX, _EDGE_PX = 8, 18
"""Between two pictures; beside them, where the scroll bar stands."""


class DrillList(QScrollArea):
    """Lists the first situations to work on.

    Signals
    -------
    rep_opened : (str, str)
        Clip and rep of a picture that was touched.
    """

    rep_opened = pyqtSignal(str, str)

    def __init__(self, desk: BoardDesk, dress: Dress) -> None:
        super().__init__()
        self._desk, self._dress = desk, dress
        self._shown: list[PlayPicture] = []
        self.setWidgetResizable(True)
        self.setAccessibleName("What to drill tomorrow")

    def show_drills(self, drills: Sequence[Drill]) -> None:
        """List some situations."""
        self._shown = []
        inside = QWidget()
        column = QVBoxLayout(inside)
        column.setContentsMargins(0, 0, 8, 0)
        column.setSpacing(4)
        if not drills:
            column.addWidget(
                words("No situation was missed twice; nothing stands out to drill.", wrap=True)
            )
        for number, drill in enumerate(drills[:_SHOWN], start=1):
            if number > 1:
                column.addSpacing(8)
                column.addWidget(line_across())
                column.addSpacing(8)
            self._add(column, number, drill)
        if len(drills) > _SHOWN:
            column.addSpacing(8)
            column.addWidget(
                words(f"{len(drills) - _SHOWN} more on the report.", "small", look="quiet")
            )
        column.addStretch(1)
        self.setWidget(inside)

    def _add(self, column: QVBoxLayout, number: int, drill: Drill) -> None:
        sign = "▼ " if drill.sure else ""
        who = drill.who.split()[-1] if drill.player_id else "The group"
        of_group = not drill.player_id
        what = self._desk.situation_words(drill.situation, of_group=of_group)
        column.addWidget(words(f"{number}. {sign}{who} on {what}", "lead", 600, wrap=True))
        says = drill.says[:1].upper() + drill.says[1:]
        column.addWidget(words(says, look="quiet", wrap=True))
        row = QHBoxLayout()
        row.setContentsMargins(0, 4, 0, 0)
        row.setSpacing(_APART_PX)
        for told, rep_ids in (("missed", drill.miss_rep_ids), ("done right", drill.right_rep_ids)):
            rep = self._desk.row_of_rep(rep_ids[0]) if rep_ids else None
            if rep is not None:
                row.addWidget(self._shown_rep(f"{told} · {rep.short_play}", rep, of_group=of_group))
        row.addStretch(1)
        column.addLayout(row)

    def _shown_rep(self, told: str, rep: RepRow, *, of_group: bool) -> QWidget:
        """Return his picture where something is drawn at him, else the words alone."""
        opened = partial(self.rep_opened.emit, rep.clip_id, rep.rep_id)
        man = rep.man if of_group else ""
        made = PlayPicture(self._dress, told, man)
        if self._desk.ask_man_picture(rep.rep_id, partial(self._show_frame, made)):
            made.touched.connect(opened)
            made.set_width(self._picture_px())
            self._shown.append(made)
            return made
        made.deleteLater()
        plain = button(f"{told}, {man}" if man else told)
        plain.clicked.connect(opened)
        return plain

    def resizeEvent(self, event: QResizeEvent | None) -> None:
        """Keep two pictures beside each other."""
        super().resizeEvent(event)
        for picture in self._shown:
            picture.set_width(self._picture_px())

    def _picture_px(self) -> int:
        return min(max((self.width() - _EDGE_PX - _APART_PX) // 2, _LEAST_PX), _MOST_PX)

    def _show_frame(self, picture: PlayPicture, frame: NDArray[np.uint8]) -> None:
        """Hand a frame to its picture, unless another board is shown by now."""
        if picture in self._shown:
            picture.show_frame(frame)
