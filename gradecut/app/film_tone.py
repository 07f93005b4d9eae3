"""Brightness and contrast of the film on screen; the film itself stays as it was filmed."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import TYPE_CHECKING, Any, cast

import cv2
import numpy as np
from numpy.typing import NDArray

if TYPE_CHECKING:
    from gradecut.desk.film_desk import FilmDesk

__all__ = ["AS_FILMED", "MOST_STEPS", "Tone", "Tones", "toned"]

MOST_STEPS = 6
_A_STEP = 0.25
"""Four steps double or halve the slope of a curve."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Tone:
    """How a film is shown.

    Attributes
    ----------
    brightness, contrast : int
        Steps from how it was filmed, -MOST_STEPS to MOST_STEPS.
    """

    brightness: int = 0
    contrast: int = 0

    def brighter(self, by: int) -> Tone:
        """Return it so many steps brighter, as far as that goes."""
        return replace(self, brightness=_inside(self.brightness + by))

    def harder(self, by: int) -> Tone:
        """Return it with so many steps more contrast, as far as that goes."""
        return replace(self, contrast=_inside(self.contrast + by))

    @property
    def words(self) -> str:
        """As it is told: "brightness +2, contrast −1"; empty for as filmed."""
        parts = (("brightness", self.brightness), ("contrast", self.contrast))
        return ", ".join(f"{name} {_signed(steps)}" for name, steps in parts if steps)

    @property
    def table(self) -> NDArray[np.uint8]:
        """What each of the 256 levels is shown as, (256,) uint8, never falling.

        Brightness bends the curve between black and white, which stay where they are, so
        that a night film's shadows open and its lamps do not run together: level ** gamma.
        Contrast turns the curve about its middle.
        """
        return _table(self)


AS_FILMED = Tone()


class Tones:
    """The tone of each camera of each session, as long as the window is open.

    One evening's films of one camera are alike, whichever play they show.

    Parameters
    ----------
    desk : FilmDesk
    show : callable
        Paints anew.
    """

    def __init__(self, desk: FilmDesk, show: Callable[[], object]) -> None:
        self._desk = desk
        self._show = show
        self._of: dict[tuple[str, str], Tone] = {}

    @property
    def now(self) -> Tone:
        """The tone of the angle on stage."""
        angle = self._desk.playhead.angle
        return self.of(angle.name if angle else "")

    def of(self, angle: str) -> Tone:
        """Return the tone of an angle of the session shown."""
        return self._of.get((self._session, angle), AS_FILMED)

    def brighter(self) -> None:
        """Show the film on stage brighter."""
        self._take(self.now.brighter(1), "no brighter")

    def darker(self) -> None:
        """Show it darker."""
        self._take(self.now.brighter(-1), "no darker")

    def harder(self) -> None:
        """Show it with more contrast."""
        self._take(self.now.harder(1), "no further: that is the most contrast")

    def softer(self) -> None:
        """Show it with less contrast."""
        self._take(self.now.harder(-1), "no further: that is the least contrast")

    def as_filmed(self) -> None:
        """Show it as it was filmed."""
        self._take(AS_FILMED, "")

    @property
    def _session(self) -> str:
        session = self._desk.plays.session
        return session.id if session else ""

    def _take(self, tone: Tone, at_end: str) -> None:
        angle = self._desk.playhead.angle
        if angle is None:
            return
        if tone == self.now and at_end:
            self._desk.say(f"It goes {at_end}.")
        self._of[self._session, angle.name] = tone
        self._show()


def toned(pixels: NDArray[Any], tone: Tone) -> NDArray[np.uint8]:
    """Return a picture as a tone shows it; the same array for as filmed, else one of its own.

    Parameters
    ----------
    pixels : (H, W, 3) uint8 array
        RGB; stays as it is.
    """
    if tone == AS_FILMED:
        return pixels
    return cast("NDArray[np.uint8]", cv2.LUT(np.ascontiguousarray(pixels), tone.table))


@lru_cache(maxsize=64)
def _table(tone: Tone) -> NDArray[np.uint8]:
    levels = np.linspace(0.0, 1.0, 256)
    bent = levels**2.0 ** (-_A_STEP * tone.brightness)
    turned = 0.5 + (bent - 0.5) * 2.0 ** (_A_STEP * tone.contrast)
    table: NDArray[np.uint8] = np.rint(np.clip(turned, 0, 1) * 255).astype(np.uint8)
    table.flags.writeable = False
    return table


def _inside(steps: int) -> int:
    return min(max(steps, -MOST_STEPS), MOST_STEPS)


def _signed(steps: int) -> str:
    return f"{'−' if steps < 0 else '+'}{abs(steps)}"
