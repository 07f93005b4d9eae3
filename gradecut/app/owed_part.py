"""What the man in hand owes, by which rule, and why."""

from __future__ import annotations

from PyQt6.QtCore import QRect, Qt
from PyQt6.QtGui import QResizeEvent
from PyQt6.QtWidgets import QHBoxLayout, QLabel, QVBoxLayout, QWidget

from gradecut.app.labels import words
from gradecut.counting_words import all_listed
from gradecut.desk.clip_state import ClipState, Man, question_words
from gradecut.desk.film_desk import FilmDesk
from gradecut.desk.men_drawn import alignment_line
from gradecut.scheme import fact_words
from gradecut.workflows.looks import spell_value

__all__ = ["OwedPart"]

_HOW = "Alt+L says how he lined up"
_MOST_LINES = 2


class OwedPart(QWidget):
    """Head, rule, alignment and reason; without a man in hand, what is known of the play."""

    def __init__(self, desk: FilmDesk) -> None:
        super().__init__()
        self._desk = desk
        self.head = words("", "head", 600)
        self.rule = words("", look="quiet")
        self.rule.setAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
        self.lines_up = words("", "small", 500, wrap=True)
        self.reason = words("", look="quiet", wrap=True)
        self._low = False
        self._alignment, self._why, self._open = "", "", ""
        self.reason.setAlignment(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignTop)
        top = QHBoxLayout()
        top.setSpacing(10)
        top.addWidget(self.head)
        top.addWidget(self.rule, 1)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 4, 0, 0)
        column.setSpacing(4)
        column.addLayout(top)
        column.addWidget(self.lines_up)
        column.addWidget(self.reason)
        self._keep_room()

    def keep_low(self, low: bool) -> None:
        """Keep room for two lines of reason, or in a low window for those there are."""
        self._low = low
        self._keep_room()

    def _keep_room(self) -> None:
        """Set the alignment as long as there is room, and keep what the words usually need.

        Room stays the same from man to man, so that the picture above does not jump; in a
        low window it goes to the picture.
        """
        told = self._alignment
        if self._low:
            shorter = (told, told.partition("; eyes")[0], told.partition("; asked")[0])
            told = next(
                (one for one in shorter if self._lines(self.lines_up, one) < 2), shorter[-1]
            )
        self.lines_up.setText(told)
        self.lines_up.setToolTip(self._alignment and f"{self._alignment}\n{_HOW}")
        self.lines_up.setVisible(bool(told))
        above = self._lines(self.lines_up, told)
        self.lines_up.setFixedHeight(above * self.lines_up.fontMetrics().lineSpacing() + 2)
        told = next(
            (one for one in self._forms() if self._lines(self.reason, one) <= _MOST_LINES),
            self._forms()[-1],
        )
        self.reason.setText(told)
        lines = min(self._lines(self.reason, told), _MOST_LINES)
        if not self._low:
            lines = max(lines, (3 if self._aligns() else 2) - above)
        line = self.reason.fontMetrics().lineSpacing()
        self.reason.setFixedHeight(lines * line + 2 if lines else 0)

    def _forms(self) -> tuple[str, ...]:
        """Return the reason, and shorter forms for where there is less and less room."""
        return (self._why, self._open) if self._open else _shorter(self._why)

    def _lines(self, label: QLabel, text: str) -> int:
        """Count the lines a text takes at this width."""
        if not text:
            return 0
        metrics = label.fontMetrics()
        room = QRect(0, 0, max(self.width(), 50), 10 * metrics.lineSpacing())
        flags = int(Qt.TextFlag.TextWordWrap)
        return round(metrics.boundingRect(room, flags, text).height() / metrics.lineSpacing())

    def _aligns(self) -> bool:
        """Tell whether the scheme asks alignments at all."""
        state = self._desk.state
        return bool(state and state.scheme and state.scheme.alignments)

    def resizeEvent(self, event: QResizeEvent | None) -> None:
        """Break the words anew."""
        super().resizeEvent(event)
        self._keep_room()

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
        self._why = reason
        self._open = _open_words(man) if man is not None else ""
        self.reason.setToolTip(reason)
        told = alignment_line(man) if man is not None else ""
        self._alignment = told.replace(" yd", "\N{NO-BREAK SPACE}yd")
        self._keep_room()
        self.setAccessibleName(" ".join(part for part in (head, rule, told, reason) if part))


def _shorter(why: str) -> tuple[str, ...]:
    """Return a reason, and what is left of it where there is less and less room.

    What would have been so otherwise goes first, then the rule: it is named at the right.
    """
    first, had, _ = why.partition("; had ")
    return (why, f"{first}." if had else why, why.partition(". Rule ")[0].rstrip(".") + ".")


def _open_words(man: Man) -> str:
    """Count what is still possible, and ask what settles most; empty where nothing is asked."""
    expected, scheme = man.asked.expectation, man.asked.scheme
    if man.asked.owed or expected.settled or not expected.needs or scheme is None:
        return ""
    first = question_words(expected.needs[0], scheme.fact_of(expected.needs[0]))
    return f"{len(expected.options)} fits possible. First: {first}"


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
        why = f"{expected.cue.rstrip('.')}. {why}"
    if not expected.graded:
        return f"{man.position} has no run fit", rule, why
    if not expected.settled:
        fits = list(dict.fromkeys(fit or "nothing" for fit, _ in expected.options))
        if 1 < len(fits) <= 4:
            return f"{man.position} owes {' or '.join(fits)}", rule, expected.reason
        return f"{man.position}: open", rule, expected.reason
    also = f" (or {', '.join(expected.also)})" if expected.also else ""
    return f"{man.position} owes {expected.fit}{side}{also}", rule, why


def _of_play(state: ClipState) -> tuple[str, str, str]:
    """Say what is known of the play beside its look."""
    if state.question is not None:
        waiting = state.question.men
        who = "they owe" if len(waiting) > 1 else "he owes"
        return f"{all_listed(waiting)}: open", "", f"What {who} hangs on the question below."
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
    parts = (told, _taken_over(state), clip.note)
    return shown, called, " ".join(part for part in parts if part)


def _taken_over(state: ClipState) -> str:
    """Say what is as on the last play until Enter says that it is so here; empty for nothing."""
    if state.clip.kind == "no play":
        return ""
    facts = [
        f"{fact_words(reference)} {spell_value(state.look[reference])}"
        for reference, source in state.sources.items()
        if source == "last play"
    ]
    facts += [str(value) for value in state.taken_over.values()]
    if any(man.staying for man in state.men):
        facts.insert(0, "the men")
    return f"As on the last play, until Enter: {', '.join(facts)}." if facts else ""
