"""How a film runs: by which clock, how fast, over which stretch, and what was not shown."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction

from gradecut.desk.film_place import FilmPlace
from gradecut.timebase import Frame

__all__ = ["SPEEDS", "SPEED_WORDS", "Due", "Playing"]

SPEEDS = (
    Fraction(1, 10), Fraction(1, 4), Fraction(1, 2), Fraction(1), Fraction(3, 2), Fraction(2),
)  # fmt: skip
SPEED_WORDS = {
    Fraction(1, 10): "1/10 speed",
    Fraction(1, 4): "¼ speed",
    Fraction(1, 2): "½ speed",
    Fraction(1): "full speed",
    Fraction(3, 2): "1½ speed",
    Fraction(2): "2× speed",
}
_LATE_S = Fraction(3, 20)
"""So far behind the clock, quick copies do until it stops or turns back."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Due:
    """What is to be shown now.

    Attributes
    ----------
    turned : bool
        It has gone back to the beginning of its loop.
    ended : bool
        It is the clip's last frame.
    """

    frame: Frame
    turned: bool = False
    ended: bool = False


class Playing:
    """The clock of a film that runs; shows nothing itself.

    Attributes
    ----------
    on : bool
    speed : Fraction
        1 is the speed of life.
    looping : bool
        At the end of the loop it begins there again.
    dropped : int
        Frames that were due since it began to run, and were not shown.
    late : bool
        Pictures come so late that quick copies should be asked for.
    heard_s : callable
        Returns the film's time by the sound that is heard now, in seconds from the first
        frame; None while none is heard. The picture follows it.

    Parameters
    ----------
    ran : callable
        Told each time the film begins to run, or runs from another place: the film's time.
    """

    def __init__(self, ran: Callable[[Fraction], None]) -> None:
        self._ran = ran
        self._began: tuple[float, Fraction] | None = None
        self._due = Frame(0)
        self._accounted = Frame(0)
        self._counting = False
        self.on = False
        self.speed = Fraction(1)
        self.looping = False
        self.dropped = 0
        self.late = False
        self.heard_s: Callable[[], Fraction | None] = lambda: None

    def begin(self, frame: Frame) -> None:
        """Run from a frame, once it is shown."""
        self.on, self.dropped = True, 0
        self.go_on_from(frame)

    def go_on_from(self, frame: Frame, *, dropped: int = 0) -> None:
        """Run on from another frame, once it is shown; ``dropped`` more were not shown."""
        self._began = None
        self.dropped += dropped
        self._due = frame
        self._accounted = Frame(frame - 1)
        self._counting, self.late = True, False

    def waits_for(self, frame: Frame) -> bool:
        """Whether the clock stands still until a frame is shown."""
        return self.on and self._began is None and self._due == frame

    def stop(self, *, at_end: bool = False) -> None:
        """Stand still; at the end of the clip its last picture is still waited for."""
        self.on, self._began, self.late = False, None, False
        self._counting = at_end

    def forget_dropped(self) -> None:
        """Begin to count anew."""
        self.dropped, self._counting = 0, False

    def set_speed(self, speed: Fraction, frame: Frame) -> None:
        """Run at another speed from here on."""
        self.speed = speed
        if self.on:
            self.go_on_from(frame)

    def showed(self, frame: Frame) -> None:
        """Take note that a frame was shown: those before it that were due were not."""
        if self._counting and frame > self._accounted:
            self.dropped += frame - self._accounted - 1
            self._accounted = frame
            self._counting = self.on

    def next_due(self, now_s: float, place: FilmPlace, shown: Frame | None) -> Due | None:
        """Return what is to be shown now; None while nothing new is due.

        Parameters
        ----------
        now_s : float
            Of a clock that only goes forward, in seconds.
        shown : Frame or None
            What is on stage.
        """
        if self._began is None:
            if shown == self._due:
                self._accounted = shown
                self._run(now_s, place.time_of(self._due))
            return None
        film_s = self._film_s(now_s, place)
        first, last = place.looped if self.looping else (place.first, place.last)
        if self.looping and film_s >= place.time_of(last) + place.length_of(last):
            return self._turn(now_s, film_s, place, first, last)
        due = min(place.frame_at_time(film_s), last)
        if due <= self._due:
            return None
        self._due = due
        self._see_lateness(place, shown)
        return Due(frame=due, ended=not self.looping and due >= last)

    def _film_s(self, now_s: float, place: FilmPlace) -> Fraction:
        """Return the film's time now: by the sound where it is heard, to within half a frame."""
        at, from_s = self._began or (now_s, Fraction(0))
        film_s = from_s + Fraction(now_s - at) * self.speed
        heard_s = self.heard_s()
        if heard_s is not None and abs(heard_s - film_s) > place.length_of(self._due) / 2:
            self._began = now_s, heard_s
            return heard_s
        return film_s

    def _turn(
        self, now_s: float, film_s: Fraction, place: FilmPlace, first: Frame, last: Frame
    ) -> Due:
        """Go back to the loop's beginning, as far into it as the clock has run past its end."""
        self.dropped += max(last - max(self._accounted, first - 1), 0)
        begin_s = place.time_of(first)
        end_s = place.time_of(last) + place.length_of(last)
        over_s = min(max(film_s - end_s, Fraction(0)), place.length_of(first) / 2)
        self._due, self._accounted = first, Frame(first - 1)
        self._counting, self.late = True, False
        self._run(now_s, begin_s + over_s)
        return Due(frame=first, turned=True)

    def _run(self, now_s: float, film_s: Fraction) -> None:
        self._began = now_s, film_s
        self._ran(film_s)

    def _see_lateness(self, place: FilmPlace, shown: Frame | None) -> None:
        if shown is not None and shown < self._due:
            behind_s = (place.time_of(self._due) - place.time_of(shown)) / self.speed
            self.late = self.late or behind_s > _LATE_S
