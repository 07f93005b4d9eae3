"""When a film was filmed."""

from __future__ import annotations

import os
from datetime import UTC, datetime
from os import PathLike

from gradecut.errors import FilmError
from gradecut.film.opening import open_container

__all__ = ["recorded_at"]

_FIRST_YEAR = 1990
"""Clocks that were never set say 1904 or 1970, and some cameras 1980."""


def recorded_at(path: str | PathLike[str]) -> str:
    """Say when a film was filmed, as its camera says, else as its file says.

    Returns
    -------
    str
        ISO 8601 in UTC to the second, as ``2026-10-06T19:30:05Z``; empty when neither the
        film nor its file has a believable time.
    """
    return _as_camera_says(path) or _as_file_says(path)


def _as_camera_says(path: str | PathLike[str]) -> str:
    try:
        with open_container(path) as container:
            told = [container.metadata, *(stream.metadata for stream in container.streams)]
    except FilmError:
        return ""
    for tags in told:
        for name in ("com.apple.quicktime.creationdate", "creation_time", "date"):
            when = _believable(_parsed(tags.get(name, "")))
            if when:
                return when
    return ""


def _parsed(text: str) -> datetime | None:
    """Read a time with its zone, or taken as UTC without one; a bare day is no time."""
    text = text.strip()
    if ":" not in text:
        return None
    try:
        when = datetime.fromisoformat(text)
    except ValueError:
        return None
    return when if when.tzinfo else when.replace(tzinfo=UTC)


def _as_file_says(path: str | PathLike[str]) -> str:
    try:
        return _believable(datetime.fromtimestamp(os.stat(path).st_mtime, UTC))
    except (OSError, ValueError, OverflowError):
        return ""


def _believable(when: datetime | None) -> str:
    """Write a time in UTC; empty when no camera of ours can have been there."""
    if when is None:
        return ""
    in_utc = when.astimezone(UTC)
    if not _FIRST_YEAR <= in_utc.year <= datetime.now(UTC).year + 1:
        return ""
    return in_utc.strftime("%Y-%m-%dT%H:%M:%SZ")
