"""Keys that any computer can make by itself."""

from __future__ import annotations

from datetime import UTC, datetime

__all__ = ["new_id", "now_utc"]


def new_id() -> str:
    """Make a key: a UUID version 7 (RFC 9562), so that later keys sort behind earlier ones."""
    from uuid6 import uuid7

    return str(uuid7())


def now_utc() -> str:
    """Return this moment as ISO 8601 in UTC, to the millisecond."""
    return datetime.now(UTC).isoformat(timespec="milliseconds")
