"""What is in a film, and what is wrong with it."""

from __future__ import annotations

import os
from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from os import PathLike
from typing import Any

import av
import numpy as np

from gradecut.errors import FilmError
from gradecut.film.decoding.picture import MATRIX_UNTOLD
from gradecut.film.film import Film, open_film
from gradecut.film.indexing.frame_index import FrameIndex
from gradecut.film.recorded import recorded_at
from gradecut.progress import CancelToken, Progress, silent
from gradecut.records.fingerprint import Fingerprint

__all__ = ["FilmFacts", "describe_film"]

_MATRIX_NAMES = {0: "RGB", 1: "BT.709", 5: "BT.601", 6: "BT.601", 7: "SMPTE 240M", 9: "BT.2020"}
"""MatrixCoefficients of ITU-T H.273, as far as cameras write them."""
_PRIMARIES_NAMES = {1: "BT.709", 5: "BT.601", 6: "BT.601", 9: "BT.2020", 12: "P3"}
"""ColourPrimaries of the same."""
_TRANSFER_NAMES = {
    1: "BT.709",
    6: "BT.601",
    13: "sRGB",
    14: "BT.2020",
    15: "BT.2020",
    16: "PQ",
    18: "HLG",
}
"""TransferCharacteristics of the same."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FilmFacts:
    """A film told to a person.

    Attributes
    ----------
    path : str
        As it was named.
    fingerprint : Fingerprint
        Knows it again.
    size_bytes : int
        Of the file.
    width, height : int
        In pixels, as displayed.
    frame_count : int
        Frames that can be reached.
    duration_s : Fraction
        Seconds to the end of the last frame.
    rate : Fraction or None
        Frames a second; None when it varies.
    slowest_rate, fastest_rate : Fraction or None
        The spread of a rate that varies, from its longest and its shortest frame.
    container, codec, pixel_format, colour : str
        How it is stored; ``colour`` is the matrix and the range.
    primaries, transfer : str
        Colour primaries and transfer as the film tells them; empty when it doesn't.
    bit_depth : int
        Bits of a colour value.
    pixel_aspect : Fraction
        How wide a pixel is for its height; applied in ``width``.
    rotation : int
        Degrees it is turned clockwise to be shown, after mirroring.
    mirrored, interlaced, sound : bool
        Whether it is so.
    top_field_first : bool or None
        Which field is earlier; None when it isn't interlaced, or not told.
    sound_codec : str
        How its sound is stored; empty without.
    sound_channels, sound_rate_hz : int
        0 without sound.
    sound_start_s, sound_length_s : Fraction or None
        When sound begins, in seconds from the first frame (negative: before it), and how
        long it is; None when the container doesn't say.
    recorded_at : str
        When it was filmed, ISO 8601 in UTC; empty when nobody knows.
    video_streams : int
        How many moving pictures it holds; one is shown.
    notes : tuple of str
        Worth telling, nothing wrong.
    faults : tuple of str
        What is wrong.
    cut_off : bool
        Its end is missing.
    """

    path: str
    fingerprint: Fingerprint
    size_bytes: int
    width: int
    height: int
    frame_count: int
    duration_s: Fraction
    rate: Fraction | None
    slowest_rate: Fraction | None
    fastest_rate: Fraction | None
    container: str
    codec: str
    pixel_format: str
    colour: str
    primaries: str
    transfer: str
    bit_depth: int
    pixel_aspect: Fraction
    rotation: int
    mirrored: bool
    interlaced: bool
    top_field_first: bool | None
    sound: bool
    sound_codec: str
    sound_channels: int
    sound_rate_hz: int
    sound_start_s: Fraction | None
    sound_length_s: Fraction | None
    recorded_at: str
    video_streams: int
    notes: tuple[str, ...]
    faults: tuple[str, ...]
    cut_off: bool

    def lines(self) -> list[str]:
        """Return the facts as lines to print, faults last."""
        told = [
            f"Film      {self.path}",
            f"Picture   {self._picture_told()}",
            f"Colour    {self._colour_told()}",
            f"Frames    {self.frame_count}, {self._rate_told()}",
            f"Length    {float(self.duration_s):.3f} s",
            f"Sound     {self._sound_told()}",
            f"Stored    {self.codec} ({self.pixel_format}) in {self.container}, "
            f"{self.size_bytes / 1e6:.1f} MB",
        ]
        told += [f"Dated     {self.recorded_at}"] if self.recorded_at else []
        told += [f"Note      {note}" for note in self.notes]
        told += [f"Fault     {fault}" for fault in self.faults] or ["Faults    none found"]
        return told

    def _picture_told(self) -> str:
        told = f"{self.width} x {self.height} px"
        if self.rotation:
            told += f", turned {self.rotation}°"
        if self.mirrored:
            told += ", mirrored"
        if self.pixel_aspect != 1:
            aspect = self.pixel_aspect
            told += f", its pixels {aspect.numerator}:{aspect.denominator}"
        if self.interlaced:
            first = {True: "the top one first", False: "the bottom one first", None: "order untold"}
            told += f", two fields a frame ({first[self.top_field_first]})"
        return told

    def _colour_told(self) -> str:
        told = f"{self.colour}, {self.bit_depth} bit"
        if self.primaries:
            told += f", primaries {self.primaries}"
        if self.transfer:
            told += f", transfer {self.transfer}"
        return told

    def _sound_told(self) -> str:
        if not self.sound:
            return "none"
        channels = {1: "one channel", 2: "two channels"}
        told = [
            self.sound_codec or "stored in a way we don't know",
            channels.get(self.sound_channels, f"{self.sound_channels} channels"),
            f"{self.sound_rate_hz:,} Hz",
        ]
        if self.sound_start_s:
            where = "before" if self.sound_start_s < 0 else "after"
            told.append(f"begins {abs(float(self.sound_start_s)):.3f} s {where} the picture")
        if self.sound_length_s is not None:
            told.append(f"{float(self.sound_length_s):.3f} s")
        return ", ".join(told)

    def _rate_told(self) -> str:
        if self.rate is not None:
            return f"{_decimal(self.rate)} a second"
        if self.slowest_rate is None or self.fastest_rate is None:
            return "rate unknown"
        return f"{_decimal(self.slowest_rate)} to {_decimal(self.fastest_rate)} a second"

    def as_json(self) -> dict[str, Any]:
        """Return the facts for a machine: fractions as text such as ``30000/1001``."""
        facts: dict[str, Any] = {}
        for name in self.__slots__:
            value = getattr(self, name)
            if isinstance(value, (Fraction, Fingerprint)):
                value = str(value)
            facts[name] = list(value) if isinstance(value, tuple) else value
        return facts


def describe_film(
    path: str | PathLike[str],
    *,
    thorough: bool = False,
    progress: Progress = silent,
    cancel: CancelToken | None = None,
) -> FilmFacts:
    """Say what is in a film and what is wrong with it.

    Parameters
    ----------
    path : path
        The film.
    thorough : bool
        Decode every frame to name the damaged ones; otherwise only the index and both ends
        are looked at.
    progress, cancel
        For the thorough look.

    Raises
    ------
    FilmError
        When it can't be opened at all.
    Cancelled
        When asked to stop.
    """
    with open_film(path) as film:
        damaged = film.find_damaged(progress, cancel) if thorough else ()
        return _facts_of(film, damaged)


def _facts_of(film: Film, damaged: tuple[int, ...]) -> FilmFacts:
    facts = film.index.facts
    slowest, fastest = _spread(film.index) if film.rate is None else (None, None)
    faults = film.index.faults
    if damaged:
        faults = (*faults, f"damaged frames that can't be shown: {_runs(damaged)}")
    return FilmFacts(
        path=film.path,
        fingerprint=film.fingerprint,
        size_bytes=_size_of(film.path),
        width=film.width,
        height=film.height,
        frame_count=film.frame_count,
        duration_s=film.duration_s,
        rate=film.rate,
        slowest_rate=slowest,
        fastest_rate=fastest,
        container=facts.container.split(",")[0],
        codec=facts.codec,
        pixel_format=facts.pixel_format,
        colour=_colour(facts.matrix, facts.full_range),
        primaries=_named(facts.primaries, _PRIMARIES_NAMES),
        transfer=_named(facts.transfer, _TRANSFER_NAMES),
        bit_depth=_bit_depth(facts.pixel_format),
        pixel_aspect=facts.pixel_aspect,
        rotation=90 * facts.quarter_turns,
        mirrored=facts.mirrored,
        interlaced=facts.interlaced,
        top_field_first=facts.top_field_first,
        sound=facts.sound,
        sound_codec=facts.sound_codec,
        sound_channels=facts.sound_channels,
        sound_rate_hz=facts.sound_rate_hz,
        sound_start_s=facts.sound_start_s,
        sound_length_s=facts.sound_length_s,
        recorded_at=recorded_at(film.path),
        video_streams=facts.video_streams,
        notes=film.index.notes,
        faults=faults,
        cut_off=film.index.cut_off,
    )


def _spread(index: FrameIndex) -> tuple[Fraction | None, Fraction | None]:
    """Return the rates of the longest and the shortest frame."""
    if len(index) < 2:
        return None, None
    lengths = np.diff(index.pts)
    longest, shortest = int(lengths.max()), int(lengths.min())
    return 1 / (longest * index.facts.time_base), 1 / (shortest * index.facts.time_base)


def _size_of(path: str) -> int:
    try:
        return os.path.getsize(path)
    except OSError as error:
        raise FilmError(path, "it went away while it was read; look for it and try again.") from (
            error
        )


def _colour(matrix: int, full_range: bool) -> str:
    named = "no colour tag" if matrix == MATRIX_UNTOLD else _MATRIX_NAMES.get(matrix, "colour ?")
    return f"{named}, {'full' if full_range else 'limited'} range"


def _named(told: int, names: Mapping[int, str]) -> str:
    """Name a code of a standard; empty when the film doesn't tell it, else its number."""
    return "" if told in (0, MATRIX_UNTOLD) else names.get(told, f"no. {told}")


def _bit_depth(pixel_format: str) -> int:
    return max(int(component.bits) for component in av.VideoFormat(pixel_format).components)


def _decimal(rate: Fraction) -> str:
    return f"{float(rate):.3f}".rstrip("0").rstrip(".")


def _runs(numbers: tuple[int, ...]) -> str:
    """Write rising numbers as runs: 3 to 5, 9."""
    runs: list[list[int]] = []
    for number in numbers:
        if runs and number == runs[-1][1] + 1:
            runs[-1][1] = number
        else:
            runs.append([number, number])
    return ", ".join(f"{a} to {b}" if b > a else str(a) for a, b in runs)
