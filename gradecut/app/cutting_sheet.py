"""Over the window: a long recording is cut to plays."""

from __future__ import annotations

import time
from collections.abc import Callable
from os import PathLike
from pathlib import Path
from typing import TYPE_CHECKING

from PyQt6.QtCore import Qt, QTimer
from PyQt6.QtWidgets import QDialog, QHBoxLayout, QProgressBar, QScrollArea, QVBoxLayout, QWidget

from gradecut.app.cutting_key_list import key_list
from gradecut.app.cutting_keys import cutting_actions
from gradecut.app.cutting_picture import CuttingPicture
from gradecut.app.cutting_scale import clock
from gradecut.app.cutting_strip import CuttingStrip
from gradecut.app.labels import button, line_across, words
from gradecut.app.menu import as_key
from gradecut.app.sheet_room import lay_over
from gradecut.app.theme import Dress
from gradecut.desk.cutting_desk import CuttingDesk, Wanted
from gradecut.desk.cutting_steps import kept
from gradecut.desk.jobs import JobRunner
from gradecut.records import SessionKind

if TYPE_CHECKING:
    from gradecut.app.window import MainWindow
    from gradecut.workflows.adding import Added

__all__ = ["CuttingSheet", "open_cutting"]

_SIZE_PX = (1390, 780)
_LEAST_PX = (760, 420)
_PANEL_PX, _BAR_PX = 476, 22
_TICK_MS = 8
_HINT = "Go through them with ↓, correct what is wrong, then add them with Ctrl+Enter."


def open_cutting(
    window: MainWindow,
    path: str | PathLike[str],
    *,
    session: str,
    angle: str,
    kind: SessionKind | None = None,
    day: str = "",
    script: str | None = None,
    on_added: Callable[[Added], object] | None = None,
) -> CuttingSheet | None:
    """Open the strip for one long recording over the window.

    Parameters
    ----------
    session, angle, kind, day, script
        Where its plays go, as for ``add_recording``.
    on_added : callable, optional
        Given what adding them came to, once the coach accepts the plays.

    Returns
    -------
    CuttingSheet or None
        None while no book is open.
    """
    if window.desk is None:
        return None
    wanted = Wanted(session=session, angle=angle, kind=kind, day=day, script=script)
    desk = CuttingDesk(window.desk.book, path, wanted, jobs=window.desk.jobs, post=window.desk.post)
    sheet = CuttingSheet(window, desk, window.desk.jobs, on_added)
    sheet.open()
    desk.start()
    return sheet


class CuttingSheet(QDialog):
    """Shows the recording, the play in hand, all keys, and the strip."""

    def __init__(
        self,
        window: MainWindow,
        desk: CuttingDesk,
        jobs: JobRunner,
        on_added: Callable[[Added], object] | None,
    ) -> None:
        super().__init__(window)
        self.desk = desk
        self._jobs = jobs
        # Held here: whoever asked may have let go of his own form by then.
        self._tell_added = on_added
        dress = window.dress
        self._warned = False
        self.setWindowTitle("Cut the recording to plays")
        self.setMinimumSize(*_LEAST_PX)
        lay_over(self, _SIZE_PX)
        self.strip = CuttingStrip(desk, dress)
        self.strip.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.actions_here = cutting_actions(desk, self.strip, leave=self.leave)
        for action in self.actions_here:
            self.addAction(as_key(action, self))
        self._build(dress)
        self._timer = QTimer(self)
        self._timer.setTimerType(Qt.TimerType.PreciseTimer)
        self._timer.setInterval(_TICK_MS)
        self._timer.timeout.connect(lambda: desk.tick(time.monotonic()))
        for signal in (desk.opened, desk.changed, desk.moved):
            signal.connect(self._show)
        desk.refused.connect(self._refuse)
        desk.added.connect(self._on_added)
        jobs.working.connect(self._show_work)
        self._show()
        self.strip.setFocus()

    # ------------------------------------------------------------------ building

    def _build(self, dress: Dress) -> None:
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 16, 0, 14)
        column.setSpacing(10)
        column.addLayout(self._head())
        middle = QHBoxLayout()
        middle.setContentsMargins(22, 0, 22, 0)
        middle.setSpacing(22)
        self.picture = CuttingPicture(self.desk, dress)
        middle.addWidget(self.picture, 1)
        inside = QWidget()
        inside.setLayout(self._panel())
        panel = QScrollArea()
        panel.setWidget(inside)
        panel.setWidgetResizable(True)
        panel.setFixedWidth(_PANEL_PX + _BAR_PX)
        panel.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        panel.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        panel.setProperty("look", "scrolled")
        panel.setAccessibleName("Play in hand, and all keys")
        middle.addWidget(panel)
        column.addLayout(middle, 1)
        column.addWidget(self.strip)
        column.addWidget(line_across())
        column.addLayout(self._foot())

    def _head(self) -> QHBoxLayout:
        row = QHBoxLayout()
        row.setContentsMargins(22, 0, 22, 0)
        row.addWidget(words(Path(self.desk.path).name, "head", 600, wrap=True), 3)
        row.addSpacing(10)
        self.facts = words("", look="quiet")
        row.addWidget(self.facts)
        row.addSpacing(10)
        self.goes = words(
            f"goes to {self.desk.wanted.session}, as the {self.desk.wanted.angle}",
            look="quiet", wrap=True,
        )  # fmt: skip
        self.goes.setAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
        row.addWidget(self.goes, 2)
        return row

    def _panel(self) -> QVBoxLayout:
        column = QVBoxLayout()
        column.setContentsMargins(7, 3, 5, 3)
        column.setSpacing(3)
        self.which = words("", "head", 600)
        self.edges = words("", look="quiet")
        self.why = words("", "small", look="quiet", wrap=True)
        self.why.setMinimumHeight(34)
        self.why.setAlignment(Qt.AlignmentFlag.AlignTop)
        for label, name in ((self.which, "Play in hand"), (self.edges, "Its times"),
                            (self.why, "What speaks for it")):  # fmt: skip
            label.setAccessibleName(name)
        heading = QHBoxLayout()
        heading.setSpacing(12)
        heading.addWidget(self.which, 0, Qt.AlignmentFlag.AlignBaseline)
        heading.addWidget(self.edges, 1, Qt.AlignmentFlag.AlignBaseline)
        column.addLayout(heading)
        column.addWidget(self.why)
        column.addSpacing(4)
        column.addLayout(key_list(self.actions_here))
        column.addStretch(1)
        return column

    def _foot(self) -> QHBoxLayout:
        row = QHBoxLayout()
        row.setContentsMargins(22, 0, 22, 0)
        row.setSpacing(10)
        self.said = words("", look="quiet", wrap=True)
        self.said.setAccessibleName("What was said last")
        self.progress = QProgressBar()
        self.progress.setAccessibleName("Looking for plays")
        self.progress.setRange(0, 1000)
        self.progress.setTextVisible(False)
        self.progress.setFixedSize(180, 6)
        row.addWidget(self.progress)
        row.addWidget(self.said, 1)
        self.leave_it = button("Don't cut it")
        self.leave_it.setAutoDefault(False)
        self.leave_it.clicked.connect(self.leave)
        self.by_order = button("Give out by order", tip="One after another to plays without film")
        self.by_order.setAutoDefault(False)
        self.by_order.setVisible(False)
        self.by_order.clicked.connect(lambda: self.desk.accept(by_order=True))
        self.add = button("Add the plays", "accent", tip="Ctrl+Enter")
        self.add.setAutoDefault(False)
        self.add.clicked.connect(self.desk.accept)
        for one in (self.leave_it, self.by_order, self.add):
            row.addWidget(one)
        return row

    # ------------------------------------------------------------------ showing

    def _show(self) -> None:
        desk, cut = self.desk, self.desk.cut
        count = len(kept(desk.cuts))
        self.add.setText(f"Add {count} plays" if count != 1 else "Add 1 play")
        self.add.setEnabled(bool(count) and not desk.adding)
        self.progress.setVisible(desk.looking)
        if desk.facts is not None:
            self.facts.setText(clock(desk.facts.length_s))
        if cut is None or desk.in_hand is None:
            self.which.setText("Looking for plays …" if desk.looking else "No play in hand")
            self.edges.setText("")
            hint = "You can look at the film meanwhile, and set plays by hand with N."
            self.why.setText(hint if desk.looking else "Set a play around this frame with N.")
        else:
            number = len(kept(desk.cuts[: desk.in_hand + 1]))
            told = "Dropped; X brings it back" if cut.dropped else f"Play {number} of {count}"
            self.which.setText(told)
            start, stop = desk.time_s(cut.first), desk.time_s(cut.last)
            sure = "" if not cut.why else f" · {round(100 * cut.confidence)} % sure"
            length = stop - start
            self.edges.setText(f"{clock(start)} to {clock(stop)} · {length:.1f} s{sure}")
            self.why.setText(" ".join(cut.why) or "Set by hand.")
        if desk.playing != self._timer.isActive():
            self._timer.start() if desk.playing else self._timer.stop()
        if self._warned and not desk.corrected:
            self._warned = False
        hint = " ".join(desk.notes) or _HINT
        self._say("" if desk.looking or cut is None else hint)

    def _say(self, sentence: str, *, warn: bool = False) -> None:
        self.said.setText(sentence)
        look = "warn" if warn else "quiet"
        if self.said.property("look") != look:
            self.said.setProperty("look", look)
            style = self.said.style()
            if style is not None:
                style.polish(self.said)

    def _refuse(self, sentence: str) -> None:
        self._show()
        self.by_order.setVisible("by order" in sentence)
        self._say(sentence, warn=True)

    def _show_work(self, _name: str, done: float) -> None:
        self.progress.setValue(round(1000 * done))

    # ------------------------------------------------------------------ leaving

    def leave(self) -> None:
        """Close without adding; corrections are given up only when asked a second time."""
        if self.desk.adding:
            self._say("The plays are being added; wait until they are.", warn=True)
            return
        if self.desk.corrected and not self._warned:
            self._warned = True
            self._say(
                "What you corrected is lost if you leave; press Esc again to leave.", warn=True
            )
            return
        self.reject()

    def reject(self) -> None:
        """Close, and let go of the film."""
        self._let_go()
        super().reject()

    def _on_added(self, added: Added) -> None:
        self._let_go()
        self.accept()
        if self._tell_added is not None:
            self._tell_added(added)

    def _let_go(self) -> None:
        self._timer.stop()
        self._jobs.working.disconnect(self._show_work, missing_ok=True)
        self.desk.close()
        self.deleteLater()
