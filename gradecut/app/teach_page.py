"""The Teach page: reels from a question, put in order, looked at, rendered."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from functools import partial

from PyQt6.QtCore import Qt, QTimer
from PyQt6.QtWidgets import (
    QFileDialog,
    QGridLayout,
    QHBoxLayout,
    QListWidget,
    QListWidgetItem,
    QScrollArea,
    QVBoxLayout,
    QWidget,
)

from gradecut.app.actions import Action
from gradecut.app.fields import NoteField
from gradecut.app.labels import button, lead_with, line_across, line_down, words
from gradecut.app.page import Page
from gradecut.app.piece_list import PieceList
from gradecut.app.preview_stage import PreviewStage
from gradecut.app.sharing_form import SharingForm
from gradecut.app.theme import Dress
from gradecut.counting_words import counted
from gradecut.desk import Desk
from gradecut.desk.saying import Refusal

__all__ = ["TeachPage"]

_THINK_MS = 250
_STAGE_PX = 424
_WORDS_PX = 720
"""The most that fields for words take: longer lines are hard to look over."""
_PLAY, _STOP = "▶", "■"


class TeachPage(Page):
    """Shows the book's reels, the pieces of one, and how it will look."""

    def __init__(self, desk: Desk, dress: Dress) -> None:
        super().__init__(desk, dress)
        self.teach = desk.teach
        self._think = QTimer(self)
        self._think.setSingleShot(True)
        self._think.setInterval(_THINK_MS)
        self._think.timeout.connect(self._understand)
        around = QVBoxLayout(self)
        around.setContentsMargins(0, 0, 0, 0)
        self._area = QScrollArea()  # in a window narrower than its parts
        self._area.setWidgetResizable(True)
        self._area.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        around.addWidget(self._area)
        parts = QWidget()
        self._area.setWidget(parts)
        whole = QHBoxLayout(parts)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.setSpacing(0)
        for part in (self._reels_part(), line_down(), self._pieces_part(), line_down()):
            whole.addWidget(part)
        whole.addWidget(self._stage_part(), 1)
        self.teach.reels_changed.connect(self._show_reels)
        self.teach.reel_changed.connect(self._show_reel)
        self.teach.piece_changed.connect(self._show_piece)
        self.teach.lines_changed.connect(self._understand)
        self._show_reels()
        self._show_reel()
        self._show_piece()
        self._understand()

    # ------------------------------------------------------------------ parts

    def _reels_part(self) -> QWidget:
        part = QWidget()
        part.setFixedWidth(322)
        column = QVBoxLayout(part)
        column.setContentsMargins(20, 20, 16, 12)
        column.setSpacing(6)
        column.addWidget(words("What should they see?", "head", 600))
        self.question = NoteField("Keel, right fits on zone to him")
        self.question.setAccessibleName("Question for a reel")
        self.question.textEdited.connect(lambda _: self._think.start())
        self.question.returnPressed.connect(self.build)
        self.question.left.connect(self.setFocus)
        column.addWidget(self.question)
        self.understood = words("", "small", look="quiet", wrap=True)
        self.understood.setMinimumHeight(34)
        self.understood.setAlignment(Qt.AlignmentFlag.AlignTop)
        column.addWidget(self.understood)
        row = QHBoxLayout()
        row.setSpacing(8)
        self.make = button("Build the reel", tip="Enter in the question")
        self.make.clicked.connect(self.build)
        flagged = button("Tomorrow's corrections", tip="Every flagged rep (K)")
        flagged.clicked.connect(self.teach.build_corrections)
        row.addWidget(self.make)
        row.addWidget(flagged)
        row.addStretch(1)
        column.addLayout(row)
        column.addSpacing(16)
        column.addWidget(words("Reels of this book", "small", 600, look="quiet"))
        column.addWidget(line_across())
        self.reels = QListWidget()
        self.reels.setAccessibleName("Reels of this book")
        self.reels.setWordWrap(True)
        self.reels.currentItemChanged.connect(self._choose_reel)
        column.addWidget(self.reels, 1)
        return part

    def _pieces_part(self) -> QWidget:
        part = QWidget()
        part.setFixedWidth(428)
        column = QVBoxLayout(part)
        column.setContentsMargins(14, 20, 10, 12)
        column.setSpacing(4)
        head = QHBoxLayout()
        head.setContentsMargins(8, 0, 0, 0)
        self.reel_name = words("", "head", 600)
        self.away = button("throw away", "plain", tip="The reel goes; its film stays")
        self.away.clicked.connect(self.teach.throw_away)
        head.addWidget(self.reel_name, 1)
        head.addWidget(self.away)
        column.addLayout(head)
        self.reel_told = words("", look="quiet", wrap=True)
        self.reel_told.setContentsMargins(8, 0, 0, 4)
        column.addWidget(self.reel_told)
        self.pieces = PieceList(self.teach.pictures, self.dress)
        self.pieces.setProperty("look", "columns")  # its chosen row tells where the keys are
        self.pieces.reordered.connect(self.teach.put_in_order)
        self.pieces.piece_chosen.connect(self.teach.choose_piece)
        column.addLayout(self._piece_buttons())
        column.addSpacing(4)
        column.addWidget(self.pieces, 1)
        return part

    def _piece_buttons(self) -> QHBoxLayout:
        row = QHBoxLayout()
        row.setContentsMargins(8, 0, 0, 0)
        row.setSpacing(8)
        self.earlier = button("earlier", tip="Alt+↑")
        self.later = button("later", tip="Alt+↓")
        self.take_out = button("take out", tip="Delete")
        self.earlier.clicked.connect(partial(self._move, -1))
        self.later.clicked.connect(partial(self._move, 1))
        self.take_out.clicked.connect(self.teach.drop)
        for made in (self.earlier, self.later, self.take_out):
            row.addWidget(made)
        row.addStretch(1)
        return row

    def _stage_part(self) -> QWidget:
        part = QWidget()
        part.setMinimumWidth(_STAGE_PX)
        around = QVBoxLayout(part)
        around.setContentsMargins(20, 20, 20, 14)
        self.shown = QWidget()  # only while a reel has pieces
        around.addWidget(self.shown)
        column = QVBoxLayout(self.shown)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(8)
        self.stage = PreviewStage(self.teach.preview, self.dress)
        column.addWidget(self.stage)
        row = QHBoxLayout()
        row.setSpacing(8)
        self.play = button(_PLAY, tip="Space")
        self.play.setFixedWidth(44)
        self.play.setAccessibleName("Play")
        self.play.clicked.connect(self.stage.play_or_stop)
        self.stage.played.connect(self._show_playing)
        self.where = words("", look="quiet")
        self.teach.preview.changed.connect(self._show_where)
        self.to_film = button("Render to film …", tip="Write the reel as an mp4 (R)")
        self.to_film.clicked.connect(self.render_reel)
        row.addWidget(self.play)
        row.addWidget(self.where)
        row.addStretch(1)
        row.addWidget(self.to_film)
        column.addLayout(row)
        column.addSpacing(6)
        column.addWidget(line_across())
        column.addSpacing(4)
        column.addLayout(self._fields())
        column.addStretch(1)
        return part

    def _fields(self) -> QGridLayout:
        grid = QGridLayout()
        grid.setHorizontalSpacing(12)
        grid.setVerticalSpacing(7)
        grid.setColumnStretch(1, 4)
        self.title, self.caption = NoteField("no card"), NoteField("no caption")
        self.from_s, self.to_s = NoteField("−2"), NoteField("3")
        self.title.written.connect(lambda text: self.teach.change(title=text))
        self.caption.written.connect(lambda text: self.teach.change(caption=text))
        for field, name in ((self.from_s, "from"), (self.to_s, "to")):
            field.setFixedWidth(70)
            field.setAccessibleName(f"{name}, seconds from the snap")
            field.written.connect(lambda _: self._change_times())
        for field in (self.title, self.caption, self.from_s, self.to_s):
            field.left.connect(self.pieces.setFocus)
        rows = (("title", self.title), ("caption", self.caption))
        grid.setColumnStretch(2, 1)
        for place, (name, field) in enumerate(rows):
            field.setMaximumWidth(_WORDS_PX)
            grid.addWidget(words(name, look="quiet"), place, 0)
            grid.addWidget(field, place, 1)
            field.setAccessibleName(f"{name} of the piece")
        times = QHBoxLayout()
        times.setSpacing(8)
        times.addWidget(self.from_s)
        times.addWidget(words("to", look="quiet"))
        times.addWidget(self.to_s)
        times.addWidget(words("seconds from the snap", look="quiet"))
        times.addStretch(1)
        grid.addWidget(words("from", look="quiet"), 2, 0)
        grid.addLayout(times, 2, 1)
        return grid

    # ------------------------------------------------------------------ what can be done

    def enter(self) -> None:
        """Take the keys."""
        self.pieces.setFocus()

    def leave(self) -> None:
        """Stop playing."""
        self.stage.stop()

    def header(self) -> str:
        """Say how many reels there are."""
        count = len(self.teach.reels)
        return counted(count, "reel") if count else ""

    def actions_here(self) -> Sequence[Action]:
        """Return what can be done with reels."""
        stage = self.stage
        return (
            Action(name="ask for a reel", keys=("/",), group="Reel", run=self._ask),
            Action(
                name="tomorrow's corrections",
                keys=("K",),
                group="Reel",
                run=self.teach.build_corrections,
            ),
            Action(name="render to film", keys=("R",), group="Reel", run=self.render_reel),
            Action(name="throw the reel away", group="Reel", run=self.teach.throw_away),
            Action(
                name="piece earlier", keys=("Alt+Up",), group="Pieces", run=partial(self._move, -1)
            ),
            Action(
                name="piece later", keys=("Alt+Down",), group="Pieces", run=partial(self._move, 1)
            ),
            Action(
                name="take the piece out", keys=("Delete",), group="Pieces", run=self.teach.drop
            ),
            Action(name="write its caption", keys=("N",), group="Pieces", run=self._caption),
            Action(name="play or stop", keys=("Space",), group="Preview", run=stage.play_or_stop),
            Action(
                name="a frame back",
                keys=("Left",),
                group="Preview",
                run=partial(stage.step, -1),
                repeats=True,
            ),
            Action(
                name="a frame on",
                keys=("Right",),
                group="Preview",
                run=partial(stage.step, 1),
                repeats=True,
            ),
        )

    def build(self) -> None:
        """Build the reel that is asked for."""
        self.teach.build(self.question.text())

    def render_reel(self) -> None:
        """Ask where the film goes, name whom it must not show, and render."""
        if self.teach.reel is None:
            self.desk.say(Refusal("Build a reel first."))
            return
        men = self.teach.withheld_men()
        if men:
            form = SharingForm(self, men)
            form.decided.connect(self._choose_place)
            form.open()
        else:
            self._choose_place(False)

    def _choose_place(self, for_staff: bool) -> None:
        reel = self.teach.reel
        if reel is None:
            return
        usual = "".join(c if c.isalnum() or c in " -" else "_" for c in reel.name).strip()
        path, _ = QFileDialog.getSaveFileName(
            self, "Where the film goes", f"{usual or 'reel'}.mp4", "Films (*.mp4)"
        )
        if path:
            goal = path if path.lower().endswith(".mp4") else f"{path}.mp4"
            self.teach.render(goal, for_staff=for_staff)

    # ------------------------------------------------------------------ what is shown

    def _show_reels(self) -> None:
        self.reels.blockSignals(True)
        self.reels.clear()
        for reel in self.teach.reels:
            item = QListWidgetItem(reel.name)
            item.setData(Qt.ItemDataRole.UserRole, reel.id)
            item.setToolTip(reel.question)
            self.reels.addItem(item)
            if self.teach.reel is not None and reel.id == self.teach.reel.id:
                self.reels.setCurrentItem(item)
        self.reels.blockSignals(False)
        self.told.emit(self.header())

    def _show_reel(self) -> None:
        reel, pieces = self.teach.reel, self.teach.pieces
        self.reel_name.setText(reel.name if reel else "No reel yet")
        self.reel_name.setToolTip(reel.name if reel else "")
        lead_with(*((self.to_film, self.make) if pieces else (self.make, self.to_film)))
        told = (
            f"{counted(len(pieces), 'piece')}; drag to reorder"
            if pieces
            else "Ask for one at the left, or take all flagged reps (K)."
        )
        self.reel_told.setText(told)
        self.pieces.show_pieces(pieces, self.teach.piece)
        self.away.setEnabled(reel is not None)
        self.away.setVisible(reel is not None)
        for part in (self.shown, self.earlier, self.later, self.take_out):
            part.setVisible(bool(pieces))
        for made in (self.play, self.to_film):
            made.setEnabled(bool(pieces))

    def _show_piece(self) -> None:
        piece = self.teach.piece
        for field in (self.title, self.caption, self.from_s, self.to_s):
            field.setEnabled(piece is not None)
        place = self.teach.pieces.index(piece) if piece in self.teach.pieces else -1
        self.earlier.setEnabled(place > 0)
        self.later.setEnabled(-1 < place < len(self.teach.pieces) - 1)
        self.take_out.setEnabled(place >= 0)
        self.title.show_text(piece.title if piece else "")
        self.caption.show_text(piece.caption if piece else "")
        self.from_s.show_text(_plain(piece.from_s) if piece else "")
        self.to_s.show_text(_plain(piece.to_s) if piece else "")

    def _show_playing(self, on: bool) -> None:
        self.play.setText(_STOP if on else _PLAY)
        self.play.setAccessibleName("Stop" if on else "Play")

    def _show_where(self) -> None:
        preview = self.teach.preview
        plan = preview.plan
        if plan is None or not preview.frame_count:
            self.where.setText("")
            return
        at, whole = (
            float(Fraction(frames) / plan.rate) for frames in (preview.at, preview.frame_count)
        )
        self.where.setText(f"{at:.1f} of {whole:.1f} s")

    def _understand(self) -> None:
        self.understood.setText(self.teach.understand(self.question.text()))

    def _choose_reel(self, item: QListWidgetItem | None) -> None:
        if item is not None:
            self.teach.choose_reel(item.data(Qt.ItemDataRole.UserRole))

    def _change_times(self) -> None:
        self.teach.change_times(self.from_s.text(), self.to_s.text())

    def _move(self, by: int, _checked: bool = False) -> None:
        self.teach.move(by)

    def _ask(self) -> None:
        self.question.setFocus()
        self.question.selectAll()

    def _caption(self) -> None:
        self.caption.setFocus()
        self.caption.selectAll()


def _plain(time_s: Fraction) -> str:
    return f"{float(time_s):g}".replace("-", "−")
