"""What to drill tomorrow: each with its cause, its doubt, and two plays to show."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial

import numpy as np
from numpy.typing import NDArray
from PyQt6.QtCore import pyqtSignal
from PyQt6.QtWidgets import QHBoxLayout, QScrollArea, QVBoxLayout, QWidget

from gradecut.app.labels import line_across, words
from gradecut.app.play_picture import PlayPicture
from gradecut.app.theme import Dress
from gradecut.desk.board_desk import BoardDesk
from gradecut.records import Drill

__all__ = ["DrillList"]

_SHOWN = 8


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
        self._shown: set[PlayPicture] = set()
        self.setWidgetResizable(True)
        self.setAccessibleName("What to drill tomorrow")

    def show_drills(self, drills: Sequence[Drill]) -> None:
        """List some situations."""
        self._shown = set()
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
        what = self._desk.situation_words(drill.situation, of_group=not drill.player_id)
        column.addWidget(words(f"{number}. {sign}{who} on {what}", "lead", 600, wrap=True))
        says = drill.says[:1].upper() + drill.says[1:]
        column.addWidget(words(says, look="quiet", wrap=True))
        row = QHBoxLayout()
        row.setContentsMargins(0, 4, 0, 0)
        row.setSpacing(8)
        for told, rep_ids in (("miss", drill.miss_rep_ids), ("done right", drill.right_rep_ids)):
            if rep_ids:
                row.addWidget(self._picture(told, rep_ids[0]))
        row.addStretch(1)
        column.addLayout(row)

    def _picture(self, told: str, rep_id: str) -> PlayPicture:
        rep = self._desk.row_of_rep(rep_id)
        if rep is None:
            return PlayPicture(self._dress, told)
        made = PlayPicture(self._dress, f"{told} · {rep.short_play}")
        made.touched.connect(lambda: self.rep_opened.emit(rep.clip_id, rep.rep_id))
        self._shown.add(made)
        self._desk.pictures.ask(rep.clip_id, partial(self._show_frame, made))
        return made

    def _show_frame(self, picture: PlayPicture, frame: NDArray[np.uint8]) -> None:
        """Hand a frame to its picture, unless another board is shown by now."""
        if picture in self._shown:
            picture.show_frame(frame)
