"""The line at the bottom: what was said, what undo would take back, work that goes on."""

from __future__ import annotations

from PyQt6.QtCore import QEvent, QObject, Qt, QTimer, pyqtSignal
from PyQt6.QtWidgets import QHBoxLayout, QProgressBar, QSizePolicy, QWidget

from gradecut.app.labels import button, fit_words, words
from gradecut.desk.saying import Refusal

__all__ = ["SaidLine"]

_PATIENCE_MS = 300
_HIGH_PX = 32
"""Two lines of a sentence."""
_REFUSED_SIGN = "⚠"


class SaidLine(QWidget):
    """Shows sentences without ever taking the focus.

    Work that ends within a blink shows no progress.

    Attributes
    ----------
    refused : bool
        What is said is why something was not done.

    Signals
    -------
    stop_asked
        Work that goes on is to stop.
    """

    stop_asked = pyqtSignal()

    def __init__(self) -> None:
        super().__init__()
        self.setFixedHeight(_HIGH_PX)
        self.setAccessibleName("What was said")
        row = QHBoxLayout(self)
        row.setContentsMargins(14, 0, 14, 0)
        row.setSpacing(10)
        self._sentence = ""
        self.refused = False
        self.said = words("", "small", wrap=True)
        self.said.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Preferred)
        self.said.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        self.said.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.said.installEventFilter(self)
        row.addWidget(self.said, 1)
        self.work = words("", "small", look="quiet")
        self.bar = QProgressBar()
        self.bar.setRange(0, 1000)
        self.bar.setTextVisible(False)
        self.bar.setFixedSize(130, 6)
        self.stop = button("stop", "plain", tip="Stop the work (Ctrl+.)")
        self.stop.clicked.connect(self.stop_asked)
        self.undo = words("", "small", look="quiet")
        for part in (self.work, self.bar, self.stop, self.undo):
            row.addWidget(part)
        self._show_work(False)
        self._patience = QTimer(self)
        self._patience.setSingleShot(True)
        self._patience.setInterval(_PATIENCE_MS)
        self._patience.timeout.connect(self._lose_patience)

    @property
    def sentence(self) -> str:
        """What was said last."""
        return self._sentence

    def say(self, sentence: str) -> None:
        """Show a sentence until the next one; a refusal with its sign, in its own colour."""
        self._sentence = sentence
        self.refused = isinstance(sentence, Refusal) and bool(sentence)
        self.said.setProperty("look", "warn" if self.refused else "")
        if (style := self.said.style()) is not None:
            style.polish(self.said)
        self.undo.setVisible(self.bar.isHidden())
        self._set_text()

    def clear(self) -> None:
        """Show no sentence any more."""
        if self._sentence:
            self.say("")

    def show_undo(self, verb: str) -> None:
        """Show what undo would take back."""
        self.undo.setText(f"Ctrl+Z takes back: {verb}" if verb else "")

    def show_progress(self, saying: str, done: float) -> None:
        """Show how far work is."""
        self.work.setText(saying)
        self.bar.setValue(round(1000 * done))
        if not (self.bar.isVisible() or self._patience.isActive()):
            self._patience.start()

    def end_progress(self) -> None:
        """Show no work any more."""
        self._patience.stop()
        self._show_work(False)

    def eventFilter(self, watched: QObject | None, event: QEvent | None) -> bool:
        """Set the sentence anew where its room has changed."""
        if watched is self.said and event is not None and event.type() == QEvent.Type.Resize:
            self._set_text()
        return super().eventFilter(watched, event)

    def _set_text(self) -> None:
        told = f"{_REFUSED_SIGN}  {self._sentence}" if self.refused else self._sentence
        if not fit_words(self.said, told, _HIGH_PX):
            self.undo.setVisible(False)  # what is said goes first, until the next sentence
        self.said.setAccessibleName(self._sentence)

    def _lose_patience(self) -> None:
        self._show_work(True)

    def _show_work(self, shown: bool) -> None:
        for part in (self.work, self.bar, self.stop):
            part.setVisible(shown)
        self.undo.setVisible(not shown)
