"""What the man in hand owes, by which rule, and why."""

from __future__ import annotations

from PyQt6.QtCore import QRect, Qt
from PyQt6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from gradecut.app.labels import words
from gradecut.desk.clip_state import ClipState, Man
from gradecut.desk.film_desk import FilmDesk

__all__ = ["OwedPart"]


class OwedPart(QWidget):
    """Head, rule and reason; without a man in hand, what is known of the play."""

    def __init__(self, desk: FilmDesk) -> None:
        super().__init__()
        self._desk = desk
        self.head = words("", "head", 600)
        self.rule = words("", look="quiet")
        self.rule.setAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
        self.reason = words("", look="quiet", wrap=True)
        self._low = False
        self.reason.setAlignment(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignTop)
        top = QHBoxLayout()
        top.setSpacing(10)
        top.addWidget(self.head)
        top.addWidget(self.rule, 1)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 4, 0, 0)
        column.setSpacing(4)
        column.addLayout(top)
        column.addWidget(self.reason)
        self._keep_room()

    def keep_low(self, low: bool) -> None:
        """Keep room for two lines of reason, or in a low window for those there are."""
        self._low = low
        self._keep_room()

    def _keep_room(self) -> None:
        line = self.reason.fontMetrics().lineSpacing()
        lines = 2
        if self._low and self.width() > 50:
            room = QRect(0, 0, self.width(), 10 * line)
            flags = int(Qt.TextFlag.TextWordWrap)
            told = self.reason.fontMetrics().boundingRect(room, flags, self.reason.text())
            lines = min(round(told.height() / line), 2) if self.reason.text() else 0
        self.reason.setFixedHeight(lines * line + 2 if lines else 0)

    def show_owed(self) -> None:
        """Take over the man in hand, or the play."""
        man, state = self._desk.hand.man, self._desk.state
        if man is not None:
            head, rule, reason = _of_man(man)
        elif state is not None:
            head, rule, reason = _of_play(state)
        else:
            head, rule, reason = "", "", ""
        self.head.setText(head)
        self.rule.setText(rule)
        self.reason.setText(reason)
        self.reason.setToolTip(reason)
        self._keep_room()
        self.setAccessibleName(" ".join(part for part in (head, rule, reason) if part))


def _of_man(man: Man) -> tuple[str, str, str]:
    """Say what a man owes, by which rule, and why."""
    asked = man.asked
    side = f" {man.owes_side}" if man.owes_side else ""
    if asked.owed is not None:
        rule = f"your word; the scheme: {asked.expectation.fit or 'open'}"
        return f"{man.position} owes {man.owes}{side}", rule, asked.owed.reason
    expected = asked.expectation
    rule = " · ".join(part for part in (expected.rule, expected.tier) if part)
    why = expected.reason
    if expected.cue:
        why = f"{expected.cue.rstrip('.')}. {why if expected.overrode else ''}".strip()
    if not expected.settled:
        fits = list(dict.fromkeys(fit or "nothing" for fit, _ in expected.options))
        if 1 < len(fits) <= 4:
            return f"{man.position} owes {' or '.join(fits)}", rule, expected.reason
        return f"{man.position}: open", rule, expected.reason
    if not expected.graded:
        return f"{man.position} has no run fit", rule, why
    also = f" (or {', '.join(expected.also)})" if expected.also else ""
    return f"{man.position} owes {expected.fit}{side}{also}", rule, why


def _of_play(state: ClipState) -> tuple[str, str, str]:
    """Say what is known of the play beside its look."""
    if state.question is not None:
        waiting = state.question.men
        names = " and ".join(part for part in (", ".join(waiting[:-1]), waiting[-1]) if part)
        who = "they owe" if len(waiting) > 1 else "he owes"
        return f"{names}: open", "", f"What {who} hangs on the question below."
    clip = state.clip
    shown = " · ".join(
        part for part in (clip.formation, clip.personnel and f"{clip.personnel} personnel") if part
    )
    called = f"our call: {clip.call}" if clip.call else ""
    where = ", ".join(
        part
        for part in (
            f"ball on {clip.ball_on}" if clip.ball_on else "",
            f"{clip.hash} hash" if clip.hash in ("left", "right") else clip.hash,
            f"{clip.yards_gained} yards gained" if clip.yards_gained is not None else "",
        )
        if part
    )
    told = f"{where[:1].upper()}{where[1:]}." if where else ""
    return shown or "This play", called, f"{told} {clip.note}".strip()
