"""Which packet becomes which frame, by the packets' times."""

from __future__ import annotations

from os import PathLike

import numpy as np

from gradecut.errors import FilmError
from gradecut.film.indexing.frame_index import FrameIndex, Keys, StreamFacts, Ticks
from gradecut.film.indexing.packet_table import UNKNOWN, PacketTable
from gradecut.film.opening import NO_FILM

__all__ = ["keys_at", "last_ticks", "order_by_times"]


def order_by_times(
    path: str | PathLike[str], facts: StreamFacts, table: PacketTable
) -> tuple[FrameIndex, int] | None:
    """Put frames in presentation order by their times.

    Returns
    -------
    (FrameIndex, int) or None
        With how many pictures at the start are left out for want of a key before them; None
        when times are missing or two packets have the same.

    Raises
    ------
    FilmError
        When no frame is left to show.
    """
    shown = ~table.discard
    timed = table.pts[shown]
    if (timed == UNKNOWN).any() or len(np.unique(timed)) != len(timed):
        return None
    first_key = table.first_key
    # Before the first key, in decode order or on screen, nothing can be decoded.
    shown &= (np.arange(len(table)) >= first_key) & (table.pts >= table.pts[first_key])
    places = np.flatnonzero(shown)
    places = places[np.argsort(table.pts[places], kind="stable")].astype(np.int64)
    if not len(places):
        raise FilmError(path, f"no frame of it can be shown, so {NO_FILM}.")
    pts = table.pts[places]
    index = FrameIndex(
        facts=facts,
        pts=pts,
        decode_at=places,
        keys=_rising_keys(table, first_key),
        last_ticks=last_ticks(pts, int(table.duration[places[-1]])),
        counted=False,
    )
    return index, len(timed) - len(places)


def _rising_keys(table: PacketTable, first_key: int) -> Keys:
    """Return the keys whose times rise with their places; others are no safe entry."""
    places = np.flatnonzero(table.key & (table.pts != UNKNOWN))
    places = places[places >= first_key]
    if not len(places) or places[0] != first_key:
        places = np.concatenate([[first_key], places])
    pts = table.pts[places]
    before = np.maximum.accumulate(pts)
    rises = np.concatenate([[True], pts[1:] > before[:-1]])
    return keys_at(table, places[rises])


def keys_at(table: PacketTable, places: Ticks) -> Keys:
    """Return the packets at some places as keys."""
    pts, dts = table.pts[places], table.dts[places]
    return Keys(
        decode_at=places.astype(np.int64),
        pts=pts,
        dts=np.where(dts == UNKNOWN, pts, dts),
        pos=table.pos[places],
    )


def last_ticks(pts: Ticks, told: int) -> int:
    """Return how long the last frame stands: as told, or as long as most."""
    if told > 0 or len(pts) < 2:
        return max(told, 1)
    return int(np.median(np.diff(pts)))
