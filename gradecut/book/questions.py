"""Questions put to a book: what is looked for, and what is known already while it is read."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any, TypeVar

from sqlalchemy import Connection

from gradecut.book.codec import Codec

__all__ = ["Reading", "stored_values"]

T = TypeVar("T")


class Reading:
    """One going through the book: its connection, and what was found already."""

    def __init__(self, connection: Connection) -> None:
        self._connection = connection
        self._found: dict[str, Any] = {}

    def answer(self, work: Callable[[Connection], T], kind: type | None, asked: object) -> T:
        """Return what was found for the same question, else find it."""
        if kind is None:
            return work(self._connection)
        question = f"{kind.__name__} {asked!r}"
        if question not in self._found:
            self._found[question] = work(self._connection)
        known: T = self._found[question]
        return known


def stored_values(codec: Codec[Any], equal: Mapping[str, object]) -> dict[str, Any]:
    """Turn values to look for into stored ones; a list for any of several."""
    return {
        name: list(dict.fromkeys(_stored_one(codec, name, item) for item in value))
        if isinstance(value, (list, tuple, set, frozenset))
        else _stored_one(codec, name, value)
        for name, value in equal.items()
    }


def _stored_one(codec: Codec[Any], name: str, value: object) -> Any:
    """Turn one value to look for into a stored one; None stays what it is."""
    return codec.stored(name, value) if value is not None or name not in codec.names else None
