"""What a play was: kind, tempo, our call, unit opposite, yards and the situation."""

from __future__ import annotations

from collections.abc import Sequence

from PyQt6.QtCore import Qt
from PyQt6.QtGui import QKeyEvent
from PyQt6.QtWidgets import QCompleter, QGridLayout, QHBoxLayout, QLineEdit, QWidget

from gradecut.app.choice_row import ChoiceRow
from gradecut.app.form import Form
from gradecut.app.labels import KeyHint, button, words
from gradecut.app.page import Page
from gradecut.counting_words import counted
from gradecut.desk.film_desk import FilmDesk
from gradecut.desk.play_facts import PLAY_FACTS, PlayFact, PlayFacts
from gradecut.errors import GradecutError

__all__ = ["PlayFactsForm"]

_WIDE_PX = 620
_SHORT_PX = 84
_NOT_SET, _AS_BEFORE = "not set", "as before"
_TOGETHER = (("yards_gained", "down", "to_go"), ("ball_on", "hash", "personnel"))
"""Short ones that stand beside each other in one row."""


class PlayFactsForm(Form):
    """Asks what a play was; what is carried over is shown as such until the form is taken.

    Enter keeps it for this play, Ctrl+Enter for the rest of its period too.

    Parameters
    ----------
    page : Page
    film : FilmDesk
    facts : PlayFacts
    """

    def __init__(self, page: Page, film: FilmDesk, facts: PlayFacts) -> None:
        clip = facts.clip
        period = f" · {clip.period}" if clip.period else ""
        super().__init__(page, f"Play {clip.order}{period}", "Keep it")
        self.setMinimumWidth(_WIDE_PX)
        self._film, self._facts = film, facts
        self.fields: dict[str, QWidget] = {}
        grouped = {name for group in _TOGETHER for name in group}
        by_field = {fact.field: fact for fact in PLAY_FACTS}
        for fact in PLAY_FACTS:
            if fact.field not in grouped:
                self.add_row(fact.name, self._field(fact), self._carried_words(fact))
            for group in _TOGETHER:
                if fact.field == group[0]:
                    self._add_together([by_field[name] for name in group])
        for field in self.fields.values():
            if isinstance(field, ChoiceRow):
                field.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self._first = self.fields["yards_gained"]
        self.rest = button("Use it for the rest of this period", "plain", tip="Ctrl+Enter")
        self.rest.setAutoDefault(False)
        self.rest.clicked.connect(self.submit_rest)
        foot = QHBoxLayout()
        foot.setContentsMargins(0, 10, 0, 0)
        foot.setSpacing(4)
        foot.addWidget(KeyHint("Ctrl+Enter", ""))
        foot.addWidget(self.rest)
        foot.addStretch(1)
        self.rows.addLayout(foot, self.rows.rowCount(), 1)

    def keyPressEvent(self, event: QKeyEvent | None) -> None:
        """Keep it to the end of the period with Ctrl+Enter."""
        if event is None:
            return
        held = bool(event.modifiers() & Qt.KeyboardModifier.ControlModifier)
        if held and event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.submit_rest()
        else:
            super().keyPressEvent(event)

    def submit(self) -> None:
        """Keep what stands in the fields for this play."""
        self._keep(rest=False)

    def submit_rest(self) -> None:
        """Keep it for this play, and what was changed for the rest of its period too."""
        self._keep(rest=True)

    def _keep(self, *, rest: bool) -> None:
        texts = {name: _text(field) for name, field in self.fields.items()}
        changed: list[int] = []
        refused = ""

        def work() -> None:
            nonlocal refused
            try:
                changed.append(self._facts.keep(texts, rest_of_period=rest))
            except GradecutError as error:
                refused = str(error)

        self._film.do(work, wide=rest)
        if refused:
            self.refuse(refused)
            return
        if rest and changed and changed[0]:
            count = changed[0]
            self._film.say(f"Kept for {counted(count, 'play')} of the period.")
        self.accept()

    # ------------------------------------------------------------------ making it

    def _add_together(self, facts: Sequence[PlayFact]) -> None:
        """Add short fields in one row, each under its own name."""
        together = QWidget()
        grid = QGridLayout(together)
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setHorizontalSpacing(10)
        at = 0
        for fact in facts:
            field = self._field(fact)
            field.setAccessibleName(fact.name)
            if fact is not facts[0]:
                label = words(fact.name, look="quiet")
                label.setBuddy(field)
                grid.addWidget(label, 0, at)
                at += 1
            field.setMaximumWidth(_SHORT_PX if fact.number or fact.field == "to_go" else 130)
            grid.addWidget(field, 0, at)
            at += 1
        grid.setColumnStretch(at, 1)
        first = self.fields[facts[0].field]
        self.add_row(facts[0].name, together)
        together.setFocusProxy(first)

    def _field(self, fact: PlayFact) -> QWidget:
        told = self._facts.text(fact)
        carried = self._facts.carried_text(fact)
        field: QWidget
        if fact.choices:
            left_alone = _AS_BEFORE if carried else _NOT_SET
            choices = fact.choices if fact.field == "kind" else (left_alone, *fact.choices)
            field = ChoiceRow(choices)
            field.choose(choices.index(told) if told in choices else 0)
        else:
            field = QLineEdit(told)
            if carried:
                field.setPlaceholderText(f"{carried}, carried over")
            elif fact.hint:
                field.setPlaceholderText(fact.hint)
            if not fact.number and (said := self._facts.said_before(fact)):
                offered = QCompleter(list(said), field)
                offered.setCaseSensitivity(Qt.CaseSensitivity.CaseInsensitive)
                field.setCompleter(offered)
        self.fields[fact.field] = field
        return field

    def _carried_words(self, fact: PlayFact) -> str:
        carried = self._facts.carried_text(fact)
        if not carried or not fact.choices:
            return ""
        return f"{carried} is carried over from the play before."


def _text(field: QWidget) -> str:
    if isinstance(field, ChoiceRow):
        told = field.buttons[field.place].text()
        return "" if told in (_NOT_SET, _AS_BEFORE) else told
    return field.text() if isinstance(field, QLineEdit) else ""
