"""Ways through the film on stage, one to a key."""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING

from gradecut.desk.playing import SPEEDS

if TYPE_CHECKING:
    from gradecut.desk.film_desk import FilmDesk
    from gradecut.records import MomentKind

__all__ = ["Moving"]


class Moving:
    """Steps, jumps and speeds."""

    def __init__(self, desk: FilmDesk) -> None:
        self._desk = desk

    def forward(self) -> None:
        """One frame on."""
        self._desk.playhead.step(1)

    def backward(self) -> None:
        """One frame back."""
        self._desk.playhead.step(-1)

    def far_forward(self) -> None:
        """Ten frames on."""
        self._desk.playhead.step(10)

    def far_backward(self) -> None:
        """Ten frames back."""
        self._desk.playhead.step(-10)

    def to_start(self) -> None:
        """Go to the clip's first frame."""
        self._desk.playhead.seek(self._desk.playhead.first)

    def to_end(self) -> None:
        """Go to the clip's last frame."""
        self._desk.playhead.pause()
        self._desk.playhead.seek(self._desk.playhead.last)

    def to_snap(self) -> None:
        """Go to the snap."""
        self._to("snap")

    def to_step(self) -> None:
        """Go to the first step of the man in hand."""
        self._to("first step")

    def to_next_moment(self) -> None:
        """Go to the next moment of the play or of the man in hand."""
        self._to_moment(1)

    def to_moment_before(self) -> None:
        """Go to the moment before."""
        self._to_moment(-1)

    def play_or_pause(self) -> None:
        """Play, or stand still."""
        head = self._desk.playhead
        if head.playing:
            head.pause()
        elif not self._desk.running_on.again():
            head.play()

    def slower(self) -> None:
        """Play at the next lower speed, down to a tenth."""
        self._turn(-1)

    def faster(self) -> None:
        """Play at the next higher speed, up to twice the speed of life."""
        self._turn(1)

    def set_speed(self, speed: Fraction) -> None:
        """Play at one of the speeds."""
        self._desk.playhead.set_speed(speed)

    def turn_loop(self) -> None:
        """Play over and over, or once."""
        head = self._desk.playhead
        head.turn_loop()
        ticks = self._desk.ticks()
        if not head.looping:
            self._desk.say("Plays once, to the end of the clip.")
        elif ticks is not None and ticks.loop is not None:
            self._desk.say(f"Plays over and over: {ticks.loop_words}.")

    def _to_moment(self, by: int) -> None:
        head, ticks = self._desk.playhead, self._desk.ticks()
        if ticks is None:
            return
        ahead = [tick for tick in ticks.moments if (tick.frame - head.frame) * by > 0]
        if not ahead:
            where = "later" if by > 0 else "earlier"
            self._desk.say(f"No moment is marked {where} in this play.")
            return
        goal = min(ahead, key=lambda tick: abs(tick.frame - head.frame))
        head.pause()
        head.seek(goal.frame)
        name = f"{goal.kind[:1].upper()}{goal.kind[1:]}"
        if goal.kind == "snap":
            self._desk.say("The snap.")
        elif ticks.counted_from_snap:
            self._desk.say(f"{name}, {ticks.count(goal.frame)} from the snap.")
        else:
            self._desk.say(f"{name}, frame {goal.frame}.")

    def _turn(self, by: int) -> None:
        head = self._desk.playhead
        place = min(max(SPEEDS.index(head.speed) + by, 0), len(SPEEDS) - 1)
        head.set_speed(SPEEDS[place])

    def _to(self, kind: MomentKind) -> None:
        ticks = self._desk.ticks()
        found = [tick for tick in ticks.moments if tick.kind == kind] if ticks else []
        if found:
            self._desk.playhead.pause()
            self._desk.playhead.seek(found[0].frame)
        elif kind == "snap":
            self._desk.say("The snap is not marked yet: go to its frame and press Z.")
        else:
            self._desk.say(
                f"No {kind} is marked here: choose the man, go to its frame and press X."
            )
