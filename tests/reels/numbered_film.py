"""Tiny films whose frames carry their number, and how to read it back."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from pathlib import Path

import cv2
import numpy as np
from numpy.typing import NDArray

from gradecut.film import open_film, write_film
from gradecut.reels import PieceSource

SIZE_PX = (320, 180)
VARIABLE_TIMES_S = tuple(
    Fraction(k, 30) + (Fraction(1, 90) if k % 3 == 1 else Fraction(0)) for k in range(60)
) + tuple(Fraction(2) + Fraction(k, 15) for k in range(60))
"""Unsteady at first, then half the rate."""
_BITS = 10
_CELL_PX = 24


def numbered_frame(number: int) -> NDArray[np.uint8]:
    """Draw a grey frame with its number along the top, white for a one and black for a zero."""
    frame = np.full((SIZE_PX[1], SIZE_PX[0], 3), 96, np.uint8)
    for bit in range(_BITS):
        left = 8 + bit * (_CELL_PX + 4)
        frame[8 : 8 + _CELL_PX, left : left + _CELL_PX] = 235 if number >> bit & 1 else 16
    return frame


def number_on(frame: NDArray[np.uint8]) -> int:
    """Read the number back from a frame of the same size."""
    number = 0
    for bit in range(_BITS):
        left = 8 + bit * (_CELL_PX + 4)
        cell = frame[14 : 2 + _CELL_PX, left + 6 : left + _CELL_PX - 6]
        number |= int(cell.mean() > 128) << bit
    return number


def make_film(
    path: Path, count: int, rate: Fraction, times_s: Sequence[Fraction] | None = None
) -> Path:
    """Write a film of numbered frames."""
    write_film(
        path, (numbered_frame(number) for number in range(count)), rate=rate, times_s=times_s,
        preset="ultrafast", threads=1,
    )  # fmt: skip
    return path


def source_of(path: Path, *, snap: int, start: int = 0, stop: int | None = None) -> PieceSource:
    """Describe a film as a clip from frame to frame with its snap."""
    with open_film(path) as film:
        last = film.frame_count - 1 if stop is None else stop
        return PieceSource(
            path=str(path),
            name=path.name,
            start_pts=film.pts_of(start),
            stop_pts=film.pts_of(last),
            snap_pts=film.pts_of(snap),
        )


def read_with_opencv(path: Path) -> list[NDArray[np.uint8]]:
    """Return every frame of a film, RGB, as another decoder front end hands it out."""
    reader = cv2.VideoCapture(str(path))
    frames: list[NDArray[np.uint8]] = []
    while True:
        good, frame = reader.read()
        if not good:
            break
        frames.append(cv2.cvtColor(frame, cv2.COLOR_BGR2RGB))
    reader.release()
    return frames
