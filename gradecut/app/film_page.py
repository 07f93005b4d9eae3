"""The Film page: film, picture of the look, and the grading of his men."""

from __future__ import annotations

import time
from collections.abc import Callable, Sequence
from datetime import date
from functools import partial, reduce
from typing import Any

from PyQt6.QtCore import Qt, QTimer
from PyQt6.QtGui import QFocusEvent, QKeyEvent, QResizeEvent
from PyQt6.QtWidgets import QHBoxLayout, QVBoxLayout

from gradecut.app.actions import Action
from gradecut.app.ask_strip import AskStrip
from gradecut.app.fact_keys import fact_actions, shifted_letter
from gradecut.app.film_alone import FilmAlone
from gradecut.app.film_doors import FilmDoors
from gradecut.app.first_steps_card import FirstStepsCard
from gradecut.app.labels import line_across, line_down, words
from gradecut.app.left_column import LeftColumn
from gradecut.app.look_widget import LookWidget
from gradecut.app.man_note import ManNote
from gradecut.app.men_table import MenTable
from gradecut.app.owed_part import OwedPart
from gradecut.app.page import Page
from gradecut.app.parts_round import Part
from gradecut.app.plays_strip import PlaysStrip
from gradecut.app.points_row import PointsRow
from gradecut.app.round_strip import RoundStrip
from gradecut.app.second_stage import StagePair
from gradecut.app.sound_out import open_speaker
from gradecut.app.stage import Stage
from gradecut.app.stage_bar import StageBar
from gradecut.app.theme import Dress
from gradecut.app.ticks_strip import TicksStrip
from gradecut.desk import Desk
from gradecut.desk.film_actions import FILM_ACTIONS, FilmAction

__all__ = ["FilmPage"]

_A_TICK_MS = 6
_PAUSE_MS = 1200
_REST_MS = 80
"""No step for so long, and the true picture is asked for, though the key is still held."""
_STEP_KEYS = (Qt.Key.Key_Left, Qt.Key.Key_Right)
_MOVE_KEYS = (*_STEP_KEYS, Qt.Key.Key_Up, Qt.Key.Key_Down)
_PATH_KEY = Qt.Key.Key_Semicolon
_LOW_PX = 680
"""In a page less high than this the picture of the look takes all room the words leave."""
_LEFT_SHARE, _LEFT_LEAST, _LEFT_MOST = 0.323, 440, 660


class FilmPage(Page):
    """Shows one play at a time; every action of FILM_ACTIONS has its key here."""

    def __init__(self, desk: Desk, dress: Dress) -> None:
        super().__init__(desk, dress)
        self.film = desk.film
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setAccessibleName("Film page")
        self.look = LookWidget(self.film, dress)
        self.owed = OwedPart(self.film)
        self.ask = AskStrip(self.film, dress)
        self.men = MenTable(self.film, dress)
        self.points = PointsRow(self.film, dress)
        self.stage = Stage(self.film, dress)
        self.pair = StagePair(self.film, dress, self.stage)
        self.first = FirstStepsCard(dress)
        self.bar = StageBar(self.film, dress)
        self.ticks = TicksStrip(self.film, dress)
        self.plays = PlaysStrip(self.film, dress)
        self.round = RoundStrip(self.film, dress)
        self.note = ManNote("note (N)", dress)
        self.note.setAccessibleName("Note on the man in hand")
        self.events = words("", "small", look="quiet")
        self.doors = FilmDoors(self)
        self._build()
        self.alone = FilmAlone(self)
        self._actions = tuple(self._action(one) for one in FILM_ACTIONS)
        self._playing = QTimer(self)
        self._playing.setTimerType(Qt.TimerType.PreciseTimer)
        self._playing.setInterval(_A_TICK_MS)
        self._playing.timeout.connect(self._tick)
        self._resting = QTimer(self)
        self._resting.setSingleShot(True)
        self._resting.setInterval(_REST_MS)
        self._resting.timeout.connect(self.film.playhead.rest)
        self._typed = QTimer(self)
        self._typed.setSingleShot(True)
        self._typed.setInterval(_PAUSE_MS)
        self._typed.timeout.connect(self._store_note)
        self._connect()
        self._show_clip()
        self.plays.show_plays()

    def actions_here(self) -> Sequence[Action]:
        """Return every action of the page; the facts are those of the scheme in force."""
        return (*self._actions, *fact_actions(self.film))

    def header(self) -> str:
        """Say which session is shown."""
        session = self.film.plays.session
        return f"{_day_words(session.day)}{session.name}" if session else ""

    def enter(self) -> None:
        """Be shown, with the keys."""
        super().enter()
        self.stage.show_picture()

    def parts(self) -> Sequence[Part]:
        """Return the page with its keys, the picture of the look, and the note of the man."""
        there = [Part(self, self.setFocus)]
        if self.film.clip is not None:
            there.append(Part(self.look, self.look.keys.turn))
        if self.note.isEnabled() and self.note.isVisible():
            there.append(Part(self.note, self.write_note))
        return there

    def leave(self) -> None:
        """Stand still while another page is shown."""
        self._end_typing()
        self.stage.hand.end_path()
        self.film.playhead.pause()
        self.alone.leave()

    # ------------------------------------------------------------------ making it

    def _build(self) -> None:
        self._left = LeftColumn()
        self._left.setFixedWidth(470)
        column = self._left.column
        self.title = words("", "head", 600)
        self.situation = words("", look="quiet")
        self.situation.setAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
        top = QHBoxLayout(self.look)
        top.setContentsMargins(0, 0, 0, 0)
        top.setAlignment(Qt.AlignmentFlag.AlignTop)
        top.addWidget(self.title)
        top.addWidget(self.situation, 1)
        self.look.title_px = self.title.sizeHint().height()
        column.addWidget(self.look, 1)
        column.addWidget(self.owed)
        self._left.add_gap(8)
        column.addWidget(self.ask)
        self._left.add_gap(6)
        column.addWidget(self.men)
        self._left.add_gap(8)
        column.addWidget(self.points)
        self._left.add_gap(8)
        last = QHBoxLayout()
        last.setSpacing(10)
        last.addWidget(self.note, 1)
        last.addWidget(self.events)
        column.addLayout(last)
        right = QVBoxLayout()
        right.setSpacing(0)
        for part in (self.pair, self.first, self.bar, line_across(), self.ticks):
            right.addWidget(part)
        right.setStretchFactor(self.pair, 1)
        right.setStretchFactor(self.first, 1)
        upper = QHBoxLayout()
        upper.setSpacing(0)
        upper.addWidget(self._left)
        self._line = line_down()
        upper.addWidget(self._line)
        upper.addLayout(right, 1)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.setSpacing(0)
        whole.addLayout(upper, 1)
        whole.addWidget(line_across())
        whole.addWidget(self.plays)
        whole.addWidget(self.round)

    def _connect(self) -> None:
        film = self.film
        film.clip_changed.connect(self._show_clip)
        film.state_changed.connect(self._show_state)
        film.hand.changed.connect(self._show_hand)
        film.plays.changed.connect(self.plays.show_plays)
        film.rounds.changed.connect(self._show_round)
        film.playhead.play_changed.connect(self._show_playing)
        film.playhead.wished.connect(self._await_rest)
        film.playhead.pictured.connect(self._tick)
        film.hearing.open_sink = open_speaker
        film.fit_asked.connect(self.doors.name_fit)
        self.stage.find_asked.connect(self.doors.find_film)
        self.first.asked.connect(self.doors.begin_with)
        self.stage.left.connect(self.setFocus)
        self.alone.left.connect(self._show_clip)
        self.note.written.connect(film.judging.note)
        self.note.left.connect(self.setFocus)
        self.note.textEdited.connect(lambda _: self._typed.start())

    def _action(self, told: FilmAction) -> Action:
        """Make an action of the window; what is being written is stored before it is done."""
        first, _, rest = told.method.partition(".")
        home: Any = {"page": self, "stage": self.stage, "doors": self.doors}.get(first)
        path = rest if home is not None else told.method
        start: Any = home if home is not None else self.film
        done = reduce(getattr, path.split("."), start)
        return Action(
            name=told.name,
            keys=told.keys,
            group=told.group,
            run=partial(self._run, done),
            repeats=told.repeats,
        )

    def _run(self, done: Callable[[], object]) -> None:
        self._end_typing()
        done()

    # ------------------------------------------------------------------ actions of the page

    def answer_1(self) -> None:
        """Give the first answer; the other number keys come as they are."""
        self.film.hand.answer("1")

    def back(self) -> None:
        """Go back one step: the tool, the list, the cause, the round, the man."""
        steps = (self.film.marks.let_go, self.film.rounds.back, self.film.hand.back)
        if not any(step() for step in steps):
            self.alone.leave()

    def write_note(self) -> None:
        """Go to the note of the man in hand."""
        man = self.film.hand.man
        if man is None or man.player is None:
            self.desk.say("Choose a man first: press his number, or Tab.")
            return
        self.note.setFocus()
        self.note.selectAll()

    def keyPressEvent(self, event: QKeyEvent | None) -> None:
        """Give number keys to the question in hand, and the number pad's Enter to the play.

        A key held too long answers once: what it repeats would answer the next question.
        """
        if event is None:
            return
        text = event.text()
        if event.isAutoRepeat():
            super().keyPressEvent(event)
        elif event.key() == Qt.Key.Key_Enter:
            self.film.pass_clip()
        elif letter := shifted_letter(event):
            self.film.telling.turn_over(letter)
        elif not (len(text) == 1 and text in "0123456789" and self.film.hand.answer(text)):
            super().keyPressEvent(event)

    def keyReleaseEvent(self, event: QKeyEvent | None) -> None:
        """Show the true picture when a step key is let go."""
        if event is None:
            return
        if not event.isAutoRepeat():
            self._let_go(event.key())
        super().keyReleaseEvent(event)

    def focusOutEvent(self, event: QFocusEvent | None) -> None:
        """End what lasts while a key is held: it may be let go elsewhere."""
        super().focusOutEvent(event)
        self.film.marks.pointing.settle()
        self.stage.hand.end_path()

    def _let_go(self, key: int) -> None:
        """End what lasted while a key was held: steps, a mark moved, a path drawn."""
        if key in _STEP_KEYS:
            self.film.playhead.rest()
        if key in _MOVE_KEYS:
            self.film.marks.pointing.settle()
        if key == _PATH_KEY:
            self.stage.hand.end_path()

    def _tick(self) -> None:
        """Ask for what is due, also as soon as a picture has come: before it is painted."""
        self.film.playhead.tick(time.monotonic())

    def _await_rest(self, _frame: object) -> None:
        if self.film.playhead.hurried:
            self._resting.start()

    def _end_typing(self) -> None:
        if self.note.hasFocus() or self.stage.field.hasFocus():
            self.setFocus()

    def _store_note(self) -> None:
        if self.note.hasFocus():
            self.film.judging.note(self.note.text())

    # ------------------------------------------------------------------ showing it

    def _show_clip(self) -> None:
        there = self.film.clip is not None
        for part in (self._left, self._line, self.pair, self.bar, self.ticks):
            part.setVisible(there)
        self.first.setVisible(not there)
        if not there:
            self.first.show_book(self.film.book)
        self._show_round()
        self._show_state()
        self.plays.show_here()
        self.told.emit(self.header())

    def _show_state(self) -> None:
        self._show_title()
        self._show_hand()
        self.stage.show_picture()
        self.bar.show_place()

    def _show_title(self) -> None:
        clip = self.film.clip
        if clip is None:
            self.title.setText("No play yet")
            self.situation.setText("")
            return
        look = self.film.state.look if self.film.state else {}
        run = " ".join(str(look[key]) for key in ("concept", "run") if key in look)
        self.title.setText(f"Play {clip.order}  {run}" if run else f"Play {clip.order}")
        parts = [
            f"script {clip.script_number}" if clip.script_number is not None else "",
            _down_words(clip.down, clip.to_go),
            clip.tempo,
            clip.kind if clip.kind != "run" else "",
        ]
        short, whole = self.film.state.disputed if self.film.state else ("", "")
        told = " · ".join(part for part in (short, *parts) if part)
        self.situation.setText(told)
        self.situation.setToolTip(whole)
        self.situation.setAccessibleName(f"{told}. {whole}" if whole else told)

    def _show_hand(self) -> None:
        self.look.show_look()
        self.owed.show_owed()
        self.ask.show_ask()
        self.men.show_men()
        self.points.show_points()
        self.ticks.show_ticks()
        asked = self.film.hand.ask
        self._left.keep_in_sight(self.ask if asked and asked.kind != "men" else None)
        man = self.film.hand.man
        self.note.show_text(man.grade.note if man and man.grade else "")
        self.note.setToolTip(self.note.text())
        if not self.note.hasFocus():
            self.note.setCursorPosition(0)
        self.note.setEnabled(man is not None and man.player is not None)
        self.note.setVisible(bool(self.film.state and self.film.state.men))
        self.note.setPlaceholderText(f"note on {man.who} (N)" if man else "note: choose a man")
        counted = man.line.events if man and man.line else ()
        told = [
            f"{name} × {counted.count(name)}" if counted.count(name) > 1 else name
            for name in dict.fromkeys(counted)
        ]
        self.events.setText(", ".join(told))
        self.events.setAccessibleName(f"Counted: {', '.join(told)}" if told else "")
        self.events.setVisible(bool(told))

    def _show_round(self) -> None:
        """Show the reps of the round in the place of the plays, while one goes on."""
        there, on = self.film.clip is not None, self.film.rounds.on
        self.plays.setVisible(there and not on)
        self.round.setVisible(there and on)
        self.alone.keep()
        self.round.show_round()

    def _show_playing(self) -> None:
        if self.film.playhead.playing:
            self._playing.start()
        else:
            self._playing.stop()

    def resizeEvent(self, event: QResizeEvent | None) -> None:
        """Give the left column its share."""
        super().resizeEvent(event)
        wide = round(self.width() * _LEFT_SHARE)
        self._left.setFixedWidth(min(max(wide, _LEFT_LEAST), _LEFT_MOST))
        for part in (self.owed, self.ask, self.men, self._left):
            part.keep_low(self.height() < _LOW_PX)


def _down_words(down: int | None, to_go: str) -> str:
    if down is None:
        return ""
    nth = {1: "1st", 2: "2nd", 3: "3rd"}.get(down, f"{down}th")
    return f"{nth} & {to_go}" if to_go else nth


def _day_words(day: str) -> str:
    """Write a date as it is said, with a dot after it: "Tue 6 Oct · "."""
    try:
        told = date.fromisoformat(day)
    except ValueError:
        return f"{day} · " if day else ""
    return f"{told:%a} {told.day} {told:%b} · "
