"""Where times lie on the strip on which a recording is cut."""

from __future__ import annotations

from dataclasses import dataclass, replace

from PyQt6.QtCore import QRectF

__all__ = ["CuttingScale", "clock"]

SIDE_PX = 22.0
TOP_PX, HIGH_PX = 10.0, 76.0
BRACKET_PX, LABEL_PX = 100.0, 106.0
TICKS_PX = 130.0
WHOLE_PX, WHOLE_HIGH_PX = 156.0, 20.0
HEIGHT_PX = 184
SPAN_S, _LEAST_SPAN_S = 60.0, 4.0


def clock(seconds: float) -> str:
    """Write seconds as a coach reads a clock: 2:03.4, and 1:02:03 from an hour on."""
    tenths = round(seconds * 10)
    minutes, rest = divmod(tenths, 600)
    hours, minutes = divmod(minutes, 60)
    if hours:
        return f"{hours}:{minutes:02d}:{rest // 10:02d}"
    return f"{minutes}:{rest // 10:02d}.{rest % 10}"


@dataclass(frozen=True, slots=True, kw_only=True)
class CuttingScale:
    """Which stretch of a recording the pictures show, and the whole below them.

    Attributes
    ----------
    from_s, span_s : float
        The stretch shown in pictures.
    longest_s : float
        The recording.
    width_px : float
        The strip with its margins.
    """

    from_s: float = 0.0
    span_s: float = SPAN_S
    longest_s: float = SPAN_S
    width_px: float = 1200.0

    @property
    def to_s(self) -> float:
        """Where the stretch shown ends."""
        return self.from_s + self.span_s

    @property
    def room_px(self) -> float:
        """How wide the pictures are."""
        return max(self.width_px - 2 * SIDE_PX, 60.0)

    @property
    def row(self) -> QRectF:
        """Where the pictures lie."""
        return QRectF(SIDE_PX, TOP_PX, self.room_px, HIGH_PX)

    @property
    def whole(self) -> QRectF:
        """Where the line of the whole recording lies."""
        return QRectF(SIDE_PX, WHOLE_PX, self.room_px, WHOLE_HIGH_PX)

    def x_of(self, time_s: float) -> float:
        """Return where a time lies in the pictures, pixels."""
        return SIDE_PX + (time_s - self.from_s) / self.span_s * self.room_px

    def time_at(self, x_px: float) -> float:
        """Return the time at a place in the pictures, seconds; none beyond their edges."""
        inside = min(max(x_px, SIDE_PX), SIDE_PX + self.room_px)
        return self.from_s + (inside - SIDE_PX) / self.room_px * self.span_s

    def whole_x_of(self, time_s: float) -> float:
        """Return where a time lies on the line of the whole recording, pixels."""
        return SIDE_PX + time_s / self.longest_s * self.room_px

    def whole_time_at(self, x_px: float) -> float:
        """Return the time at a place on that line, seconds."""
        return min(max((x_px - SIDE_PX) / self.room_px, 0.0), 1.0) * self.longest_s

    def ends(self, start_s: float, stop_s: float) -> tuple[float, float]:
        """Return where a play begins and ends in the pictures, pixels; always to be seen."""
        start = self.x_of(start_s)
        return start, max(self.x_of(stop_s), start + 2.0)

    def of_film(self, length_s: float) -> CuttingScale:
        """Show the beginning of a recording."""
        longest_s = max(length_s, _LEAST_SPAN_S)
        return replace(self, from_s=0.0, span_s=min(SPAN_S, longest_s), longest_s=longest_s)

    def beginning(self, from_s: float) -> CuttingScale:
        """Show another stretch of the same length, inside the recording."""
        return replace(self, from_s=min(max(from_s, 0.0), max(self.longest_s - self.span_s, 0.0)))

    def zoomed(self, times: float, around_s: float) -> CuttingScale:
        """Show a stretch so many times longer; what is shown of a time stays at its place."""
        share = min(max((around_s - self.from_s) / self.span_s, 0.0), 1.0)
        span_s = min(max(self.span_s * times, _LEAST_SPAN_S), self.longest_s)
        return replace(self, span_s=span_s).beginning(around_s - share * span_s)
