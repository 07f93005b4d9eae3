"""Questions about his front: one at a time, all of them in sight, the front drawn."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial
from typing import TYPE_CHECKING

from PyQt6.QtCore import QSize, Qt
from PyQt6.QtGui import QKeyEvent
from PyQt6.QtWidgets import (
    QButtonGroup,
    QDialog,
    QHBoxLayout,
    QLineEdit,
    QListWidget,
    QPushButton,
    QSizePolicy,
    QVBoxLayout,
    QWidget,
)

from gradecut.app.labels import button, line_down, words
from gradecut.app.painted import PaintedList
from gradecut.app.theme import Dress
from gradecut.desk.scheme_starting import SchemeStarting, all_questions
from gradecut.drawing import Shape, look_shapes, look_words

if TYPE_CHECKING:
    from gradecut.app.scheme_page import SchemePage

__all__ = ["StartForm", "ask_start"]

_SIZE_PX = (980, 640)
_LIST_PX = 288
_LINE_SIZE = QSize(0, 28)
_ROOM_PX = 40
"""Kept free around it in a small window."""


def ask_start(page: SchemePage, *, rules: bool = True) -> None:
    """Ask the questions over the Scheme page; without rules: for a scheme that learns them.

    Parameters
    ----------
    page : SchemePage
    rules : bool
    """
    from gradecut.app.scheme_page import LEARN

    starting = SchemeStarting(page.scheme, rules=rules)
    begun = page.back_to_grid if rules else partial(page.side.show_view, LEARN)
    StartForm(page, starting, page.dress, begun).open()


class StartForm(QDialog):
    """Asks the questions; what they make is a draft, or waits for its rules.

    A number takes an answer and goes on, Enter goes on with the answer there is; Ctrl+Enter
    begins with what is answered so far, Esc leaves everything as it was.

    Parameters
    ----------
    parent : QWidget
    starting : SchemeStarting
    dress : Dress
    begun : callable or None
        Called after the draft was begun.
    """

    def __init__(
        self,
        parent: QWidget,
        starting: SchemeStarting,
        dress: Dress,
        begun: Callable[[], object] | None = None,
    ) -> None:
        super().__init__(parent)
        self.starting = starting
        self._dress = dress
        self._begun = begun
        self._asked = -1
        self.answers: list[QPushButton] = []
        self.setWindowTitle(self._title())
        room = parent.window() or parent
        self.resize(
            min(_SIZE_PX[0], room.width() - _ROOM_PX), min(_SIZE_PX[1], room.height() - _ROOM_PX)
        )
        whole = QHBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.setSpacing(0)
        whole.addLayout(self._left_part())
        whole.addWidget(line_down())
        whole.addLayout(self._right_part(), 1)
        starting.changed.connect(self._show)
        self.finished.connect(lambda _: starting.changed.disconnect(self._show))
        dress.changed.connect(self.picture.renew)
        self._show()

    def _title(self) -> str:
        return f"A scheme from {all_questions()}" if self.starting.rules else "Learn it as I grade"

    # ------------------------------------------------------------------ making it

    def _left_part(self) -> QVBoxLayout:
        column = QVBoxLayout()
        column.setContentsMargins(22, 20, 12, 18)
        column.setSpacing(8)
        column.addWidget(words(self._title(), "head", 600))
        self.about = words(_about(self.starting), "small", look="quiet", wrap=True)
        self.about.setFixedWidth(_LIST_PX)
        column.addWidget(self.about)
        self.list = QListWidget()
        self.list.setFixedWidth(_LIST_PX)
        self.list.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.list.setTextElideMode(Qt.TextElideMode.ElideRight)
        self.list.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        self.list.setAccessibleName("All questions with their answers")
        self.list.addItems([self._line(at) for at in range(len(self.starting.questions))])
        self.list.currentRowChanged.connect(self._go_to)
        column.addWidget(self.list, 1)
        return column

    def _right_part(self) -> QVBoxLayout:
        column = QVBoxLayout()
        column.setContentsMargins(24, 20, 22, 18)
        column.setSpacing(4)
        self.count = words("", "small", look="quiet")
        self.asks = words("", "head", 600, wrap=True)
        self.why = words("", look="quiet", wrap=True)
        for label in (self.count, self.asks, self.why):
            column.addWidget(label)
        column.addSpacing(6)
        self._choices = QVBoxLayout()
        self._choices.setSpacing(2)
        column.addLayout(self._choices)
        self._group = QButtonGroup(self)
        self.field = QLineEdit()
        self.field.textEdited.connect(self.starting.answer)
        column.addWidget(self.field)
        self.refusal = words("", look="warn", wrap=True)
        column.addWidget(self.refusal)
        self.drawn = words("", "small", look="quiet")
        self.picture = PaintedList(self._shapes)
        self.picture.setMinimumHeight(130)
        self.picture.setAccessibleName("The front")
        self.picture.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Ignored)
        column.addWidget(self.picture, 1)
        column.addWidget(self.drawn)
        column.addSpacing(8)
        column.addLayout(self._foot())
        return column

    def _foot(self) -> QHBoxLayout:
        foot = QHBoxLayout()
        foot.setSpacing(8)
        leave = button("Cancel", "plain", tip="Esc; everything stays as it was")
        leave.clicked.connect(self.reject)
        self.before = button("Question before", tip="Page up")
        self.before.clicked.connect(lambda: self.starting.go(-1))
        self.begin = button("Begin with these", tip="Ctrl+Enter")
        self.begin.clicked.connect(self.submit)
        self.next = button("Next question", "accent", tip="Enter, or Page down")
        self.next.clicked.connect(self.go_on)
        for one in (leave, self.before, self.begin, self.next):
            one.setAutoDefault(False)
        foot.addWidget(leave)
        foot.addStretch(1)
        for one in (self.begin, self.before, self.next):
            foot.addWidget(one)
        return foot

    # ------------------------------------------------------------------ what can be done

    def go_on(self) -> None:
        """Go to the next question; after the last one begin."""
        if self.starting.last:
            self.submit()
        else:
            self.starting.go(1)

    def submit(self) -> None:
        """Begin with what is answered."""
        if self.starting.begin():
            self.accept()
            if self._begun is not None:
                self._begun()

    def keyPressEvent(self, event: QKeyEvent | None) -> None:
        """Numbers answer, Enter goes on, Page up and down walk the questions."""
        if event is None:
            return
        key, held = event.key(), event.modifiers()
        if key in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            ctrl = bool(held & Qt.KeyboardModifier.ControlModifier)
            (self.submit if ctrl else self.go_on)()
        elif key == Qt.Key.Key_PageDown:
            self.starting.go(1)
        elif key == Qt.Key.Key_PageUp:
            self.starting.go(-1)
        elif key in (Qt.Key.Key_Down, Qt.Key.Key_Up) and self.answers:
            self._step(1 if key == Qt.Key.Key_Down else -1)
        elif event.text().isdigit() and 0 < int(event.text()) <= len(self.answers):
            self._take(int(event.text()) - 1)
        else:
            super().keyPressEvent(event)

    def _step(self, by: int) -> None:
        """Choose another answer without going on."""
        values = [choice.value for choice in self.starting.question.choices]
        at = values.index(self.starting.answers[self.starting.question.key]) + by
        self.starting.answer(values[min(max(at, 0), len(values) - 1)])

    def _take(self, at: int, _checked: bool = False) -> None:
        self.starting.answer(self.starting.question.choices[at].value)
        if not self.starting.last:
            self.starting.go(1)

    def _choose(self, at: int, _checked: bool = False) -> None:
        self.starting.answer(self.starting.question.choices[at].value)

    def _go_to(self, at: int) -> None:
        if at >= 0 and at != self.starting.at:
            self.starting.go_to(at)

    # ------------------------------------------------------------------ what is shown

    def _line(self, at: int) -> str:
        return f"{self.starting.name_of(at)}:  {self.starting.told(at)}"

    def _show(self) -> None:
        starting = self.starting
        for at in range(len(starting.questions)):
            if (item := self.list.item(at)) is not None:
                item.setText(self._line(at))
                item.setSizeHint(_LINE_SIZE)
        self.list.setCurrentRow(starting.at)
        if self._asked != starting.at:
            self._asked = starting.at
            self._ask()
        value = starting.answers[starting.question.key]
        for made, choice in zip(self.answers, starting.question.choices, strict=True):
            made.setChecked(choice.value == value)
        self.refusal.setText(f"⚠  {starting.refused}" if starting.refused else "")
        self.refusal.setVisible(bool(starting.refused))
        self.drawn.setText(starting.look_words())
        self.begin.setEnabled(not starting.refused)
        self.before.setEnabled(starting.at > 0)
        self.begin.setVisible(not starting.last)
        self.next.setText("Begin with these" if starting.last else "Next question")
        self.picture.renew()
        picture = starting.picture()
        self.picture.setAccessibleDescription(look_words(picture) if picture else "")

    def _ask(self) -> None:
        """Set out the question that is asked now, with the keys on its answers."""
        starting = self.starting
        question = starting.question
        self.count.setText(f"Question {starting.at + 1} of {len(starting.questions)}")
        self.asks.setText(question.asks)
        self.why.setText(question.why)
        while (item := self._choices.takeAt(0)) is not None:
            if (old := item.widget()) is not None:
                self._group.removeButton(old)  # type: ignore[arg-type]  # only buttons are laid here
                old.hide()
                old.deleteLater()
        self.answers = []
        for at, choice in enumerate(question.choices):
            made = button(f"{at + 1}   {choice.words}", "choice")
            made.setStyleSheet("text-align: left; padding: 6px 12px;")
            made.setCheckable(True)
            made.setAutoDefault(False)
            made.setFocusPolicy(Qt.FocusPolicy.NoFocus)
            made.setAccessibleName(choice.words)
            made.clicked.connect(partial(self._choose, at))
            self._group.addButton(made)
            self._choices.addWidget(made)
            self.answers.append(made)
        self.field.setVisible(not question.choices)
        if question.choices:
            self.setFocus()
            return
        self.field.setText(starting.answers[question.key])
        self.field.setAccessibleName(question.asks)
        self.field.setFocus()
        self.field.selectAll()

    def _shapes(self, width_px: float, height_px: float) -> Sequence[Shape]:
        picture = self.starting.picture()
        if picture is None:
            return ()
        return look_shapes(
            picture, size_px=(width_px, height_px), palette=self._dress.theme.drawn
        ).shapes


def _about(starting: SchemeStarting) -> str:
    """Say what the answers make, and whether that is in force."""
    made = (
        "Every question is filled in with the usual answer; change what is different with you."
        if starting.rules
        else "Your men, facts and fits, without a rule: you grade and say what each man owed, "
        "and rules are proposed from that."
    )
    if starting.at_once:
        return f"{made} It is in force at once, so that you can grade by it."
    return f"{made} It makes a draft: nothing is in force until you keep it."
