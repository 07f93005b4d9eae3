"""The film's sound: read beside the window, heard only at the speed of life."""

from __future__ import annotations

from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from fractions import Fraction
from typing import TYPE_CHECKING, Protocol

import numpy as np
from numpy.typing import NDArray
from psygnal import Signal

from gradecut.desk.jobs import Post
from gradecut.desk.playhead import Playhead
from gradecut.errors import FilmError

if TYPE_CHECKING:
    from gradecut.film import Sound

__all__ = ["Hearing", "SoundSink"]

RATE_HZ = 48_000
_MOST_S = Fraction(120)
"""Of a longer clip so much is read at once."""
_NO_SPEAKER = "gradecut finds no loudspeaker on this computer; the film plays without sound."


class SoundSink(Protocol):
    """What makes samples heard."""

    def start(self, samples: NDArray[np.float32]) -> None:
        """Begin with the first of (N, 2) samples in -1 to 1 at 48,000 Hz; what was heard ends."""

    def stop(self) -> None:
        """Be silent."""

    def played_s(self) -> float | None:
        """Return how many seconds of the samples were heard; None before the first."""


class Hearing:
    """Lets the sound be heard with the picture, and gives the picture its clock.

    Attributes
    ----------
    on : bool
        Off until a key turns it on.
    open_sink : callable
        Makes the sink; returns None where nothing can be heard.

    Signals
    -------
    changed
        It was turned on or off.
    """

    changed = Signal()

    def __init__(self, head: Playhead, post: Post, say: Callable[[str], None]) -> None:
        self._head = head
        self._post = post
        self._say = say
        self._sink: SoundSink | None = None
        self._sound: Sound | None = None
        self._path: str | None = None
        self._silent: set[str] = set()
        self._from_s: Fraction | None = None
        self._reading: tuple[str, Fraction] | None = None
        self._pool: ThreadPoolExecutor | None = None
        self.on = False
        self.open_sink: Callable[[], SoundSink | None] = lambda: None
        head.ran.connect(self._run_from)
        head.play_changed.connect(self._see_playing)
        head.running.heard_s = self.heard_s

    def close(self) -> None:
        """Be silent and stop reading."""
        self.on = False
        self._hush()
        if self._pool is not None:
            self._pool.shutdown(wait=True, cancel_futures=True)
            self._pool = None

    def turn(self) -> None:
        """Turn the sound on or off."""
        if self.on:
            self.on = False
            self._hush()
        else:
            self._sink = self._sink or self.open_sink()
            if self._sink is None:
                self._say(_NO_SPEAKER)
                return
            self.on = True
            self._silent.clear()
            if self._head.playing:
                self._run_from(self._head.time_of(self._head.frame))
            elif (path := self._path_now()) is not None:
                self._read(path, self._head.time_of(self._head.frame))
        self.changed.emit()

    def heard_s(self) -> Fraction | None:
        """Return the film's time by the sound that is heard; None while none is."""
        if self._from_s is None or self._sink is None or self._sound is None:
            return None
        played_s = self._sink.played_s()
        if played_s is None:
            return None
        now_s = self._from_s + Fraction(played_s)
        if now_s < self._sound.stop_s:
            return now_s
        self._hush()
        if (path := self._path_now()) is not None:
            self._read(path, self._sound.stop_s)
        return None

    # ------------------------------------------------------------------ with the film

    def _path_now(self) -> str | None:
        place = self._head.place
        return place.path if place is not None and self._head.found else None

    def _see_playing(self) -> None:
        if not self._audible():
            self._hush()

    def _audible(self) -> bool:
        return self.on and self._head.playing and self._head.speed == 1

    def _hush(self) -> None:
        if self._from_s is not None and self._sink is not None:
            self._sink.stop()
        self._from_s = None

    def _run_from(self, film_s: Fraction) -> None:
        """Be heard from a time of the film on; what is not read yet is read, and joins in."""
        self._hush()
        path, sound = self._path_now(), self._sound
        if not self._audible() or path is None or self._sink is None:
            return
        if sound is None or self._path != path or not sound.start_s <= film_s < sound.stop_s:
            self._read(path, film_s)
            return
        skipped = round((film_s - sound.start_s) * sound.rate_hz)
        self._from_s = film_s
        self._sink.start(sound.samples[skipped:])

    def _read(self, path: str, from_s: Fraction) -> None:
        place = self._head.place
        if place is None or path in self._silent or self._reading is not None:
            return
        first_s = place.time_of(place.first)
        stop_s = place.time_of(place.last) + place.length_of(place.last)
        if from_s >= stop_s:
            return
        if stop_s - first_s > _MOST_S:
            first_s, stop_s = from_s, min(stop_s, from_s + _MOST_S)
        self._reading = path, first_s
        if self._pool is None:
            self._pool = ThreadPoolExecutor(max_workers=1, thread_name_prefix="sound")
        self._pool.submit(self._fetch, path, first_s, stop_s)

    def _fetch(self, path: str, start_s: Fraction, stop_s: Fraction) -> None:
        from gradecut.film import read_sound

        try:
            sound = read_sound(path, start_s=start_s, stop_s=stop_s, rate_hz=RATE_HZ, channels=2)
        except FilmError as error:
            said = error.reason
            self._post(lambda: self._refuse(path, said))
        else:
            self._post(lambda: self._take(path, sound))

    def _take(self, path: str, sound: Sound) -> None:
        self._reading = None
        self._path, self._sound = path, sound
        if self._from_s is None and self._audible():
            self._run_from(self._head.time_of(self._head.frame))

    def _refuse(self, path: str, why: str) -> None:
        self._reading = None
        self._silent.add(path)
        if self.on and path == self._path_now():
            self._say(f"No sound with this film: {why}")
        elif self._audible():
            self._run_from(self._head.time_of(self._head.frame))
