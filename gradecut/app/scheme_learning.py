"""Learning beside the grid: proposed rules to accept one by one, and the one look to ask."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import partial

from PyQt6.QtCore import QPointF, QSize, pyqtSignal
from PyQt6.QtGui import QPainter, QPaintEvent
from PyQt6.QtWidgets import QHBoxLayout, QPushButton, QVBoxLayout, QWidget

from gradecut.app.drop_down import DropDown
from gradecut.app.grid_pictures import PICTURE_PX, GridPictures
from gradecut.app.labels import button, line_across, words
from gradecut.app.scheme_chips import Flow
from gradecut.app.scheme_side_list import SideView
from gradecut.app.theme import Dress
from gradecut.desk.scheme_learning import SchemeLearning
from gradecut.scheme import Value
from gradecut.scheme.learning import LookToAsk
from gradecut.workflows.rule_words import look_line

__all__ = ["LearningView"]

_MOST_BUTTONS = 4
_ANOTHER = "another fit …"


class LearningView(SideView):
    """Lists what is proposed from what he said, and asks the look that would settle most.

    Signals
    -------
    play_asked : object
        A BesideRow whose plays are to be shown.
    """

    play_asked = pyqtSignal(object)

    def __init__(self, learning: SchemeLearning, dress: Dress) -> None:
        super().__init__(dress, "Rules proposed from what you said")
        self._learning = learning
        self.asked = _AskedLook(learning, dress)
        self.above.addWidget(self.asked)
        self.accept = button("Accept", "accent", tip="Enter")
        self.all_of = button("All of his", tip="Every rule proposed for this man (Shift+Enter)")
        self.later = button("Not now", tip="Delete")
        self.play = button("Show a play", tip="One of the plays behind it, on film (Alt+F)")
        self.back = button("Bring back", "plain", tip="What was put aside, and the look put off")
        for made, run in (
            (self.accept, self.go),
            (self.all_of, self.accept_all_of),
            (self.later, self.drop),
            (self.play, self.show_play),
            (self.back, learning.bring_back),
        ):
            made.clicked.connect(partial(_run, run))
            self.foot.addWidget(made)
        self.list.counted.connect(self.asked.answer_at)
        self.list.currentRowChanged.connect(lambda _: self._show_buttons())
        self.list.itemDoubleClicked.connect(lambda _: self.go())
        learning.changed.connect(self.renew)
        self.renew()

    def renew(self) -> None:
        """Show what was learned last."""
        learning = self._learning
        self.tell(learning.verdict(), learning.beside())
        self.asked.show_look(learning.ask)
        self.list.show_rows(learning.rows)
        if learning.rows and self.list.currentRow() < 0:
            self.list.setCurrentRow(0)
        self._show_buttons()

    def go(self) -> None:
        """Accept the chosen rule."""
        row = self.list.row_in_hand()
        if row is not None:
            self._learning.accept(row)

    def accept_all_of(self) -> None:
        """Accept every rule that is proposed for the man of the chosen one."""
        row = self.list.row_in_hand()
        if row is not None:
            self._learning.accept_all_of(row)

    def drop(self) -> None:
        """Leave the chosen rule out for now."""
        row = self.list.row_in_hand()
        if row is not None:
            self._learning.put_aside(row)

    def show_play(self) -> None:
        """Show one of the plays behind the chosen row."""
        row = self.list.row_in_hand()
        if row is not None:
            self.play_asked.emit(row)

    def _show_buttons(self) -> None:
        row = self.list.row_in_hand()
        rule = row is not None and not row.serious and not row.sign
        several = row is not None and rule and self._learning.count_of(row.position) > 1
        self.accept.setVisible(rule)
        self.later.setVisible(rule)
        self.all_of.setVisible(several)
        if row is not None:
            self.all_of.setText(f"All of {row.position}")
        self.play.setVisible(row is not None and bool(row.clips))
        self.back.setVisible(self._learning.held_back)


class _AskedLook(QWidget):
    """The one look that is asked, drawn, with its answers as buttons."""

    def __init__(self, learning: SchemeLearning, dress: Dress) -> None:
        super().__init__()
        self._learning = learning
        self._asked: LookToAsk | None = None
        self._fits: tuple[str, ...] = ()
        self.buttons: list[QPushButton] = []
        column = QVBoxLayout(self)
        column.setContentsMargins(20, 2, 16, 0)
        column.setSpacing(6)
        self.message = words("", weight=500, wrap=True)
        column.addWidget(self.message)
        row = QHBoxLayout()
        row.setSpacing(10)
        self.picture = _LookPicture(dress)
        self.told = words("", "small", look="quiet", wrap=True)
        row.addWidget(self.picture)
        row.addWidget(self.told, 1)
        column.addLayout(row)
        inside = QWidget()
        self._flow = Flow(inside)
        column.addWidget(inside)
        self.others = DropDown()
        self.others.setAccessibleName("Another fit")
        self.others.activated.connect(self._take_other)
        self.later = button("Ask me later", "plain")
        self.later.clicked.connect(lambda _: learning.put_off())
        column.addSpacing(4)
        column.addWidget(line_across())

    def show_look(self, asked: LookToAsk | None) -> None:
        """Show a look to be answered; None hides all of it."""
        self.setVisible(asked is not None)
        fits = self._learning.fits_to_answer()
        if asked is None or (asked == self._asked and fits == self._fits):
            self._asked = asked
            return
        self._asked, self._fits = asked, fits
        self.message.setText(f"What does {asked.position} owe here?")
        self.message.setToolTip(asked.message)
        self.message.setAccessibleDescription(asked.message)
        self.picture.show_look(asked.look)
        met = "met on film" if asked.met else "not met on film yet"
        self.told.setText(f"{look_line(asked.look)} ({met})")
        for old in self.buttons:
            old.hide()
            old.deleteLater()
        for kept in (self.others, self.later):
            self._flow.removeWidget(kept)
        likely = (asked.fits or fits)[:_MOST_BUTTONS]
        self.buttons = []
        for at, fit in enumerate(likely, start=1):
            made = button(f"{at}  {fit}", tip=f"He owes {fit} there ({at})")
            made.clicked.connect(partial(self._answer, fit))
            self.buttons.append(made)
            self._flow.addWidget(made)
        self.others.clear()
        self.others.addItems([_ANOTHER, *(fit for fit in fits if fit not in likely)])
        for kept in (self.others, self.later):
            self._flow.addWidget(kept)

    def answer_at(self, number: int) -> None:
        """Give the answer under a number."""
        if self._asked is not None and 0 < number <= len(self.buttons):
            self.buttons[number - 1].click()

    def _answer(self, fit: str, _checked: bool = False) -> None:
        self._learning.answer(fit)

    def _take_other(self, at: int) -> None:
        if at > 0:
            self._learning.answer(self.others.itemText(at))


class _LookPicture(QWidget):
    """A look as the rows of the grid draw it."""

    def __init__(self, dress: Dress) -> None:
        super().__init__()
        self._pictures = GridPictures(dress)
        self._look: dict[str, Value] = {}
        self.setFixedSize(QSize(*PICTURE_PX))
        dress.changed.connect(self.update)

    def show_look(self, look: Mapping[str, Value]) -> None:
        """Draw a look."""
        self._look = dict(look)
        self.update()

    def paintEvent(self, _event: QPaintEvent | None) -> None:
        """Paint it."""
        painter = QPainter(self)
        image = self._pictures.picture(self._look, self.devicePixelRatioF())
        painter.drawImage(QPointF(0, 0), image)
        painter.end()


def _run(run: Callable[[], object], _checked: bool = False) -> None:
    run()
