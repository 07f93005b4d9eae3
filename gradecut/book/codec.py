"""Records turned into rows of their tables, and back."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterable
from typing import Any, Generic, TypeVar, get_type_hints

from sqlalchemy import Table

from gradecut.book.schema import TABLES
from gradecut.book.ways import way_of
from gradecut.errors import BookError

__all__ = ["Codec", "Row", "codec_of"]

Row = dict[str, Any]
"""One stored row by column, as it also stands in the journal: only what JSON knows."""
R = TypeVar("R")

_NOT_AS_STORED = (
    ArithmeticError, AttributeError, LookupError, RecursionError, TypeError, ValueError,
)  # fmt: skip
"""What turning text back into fractions, tuples and parts raises where it is no such text."""


class Codec(Generic[R]):
    """Turns records of one kind into rows of their table and back.

    Attributes
    ----------
    table : Table
        Where they are kept.
    names : tuple of str
        The record's fields, in order; each is a column of the same name.
    """

    def __init__(self, kind: type[R]) -> None:
        self._kind = kind
        self.table: Table = TABLES[kind]
        hints = get_type_hints(kind)
        fields = [found.name for found in dataclasses.fields(kind)]  # type: ignore[arg-type]  # every kind is a dataclass
        self.names = tuple(fields)
        self._ways = {name: way_of(hints[name]) for name in fields}
        self._fills = tuple(kind.__dict__[name].__set__ for name in fields)
        self._backs = tuple(
            (place, way.back) for place, way in enumerate(self._ways.values()) if way.back
        )

    def row_of(self, record: R) -> Row:
        """Turn a record into its row.

        Raises
        ------
        BookError
            When a field holds what its column can't keep.
        """
        return {name: self.stored(name, getattr(record, name)) for name in self.names}

    def record_of(self, values: Iterable[Any]) -> R:
        """Turn a row's values, in the order of ``names``, into a record.

        Raises
        ------
        BookError
            When a value is not one its column keeps.
        """
        fields = list(values)
        place = 0
        try:
            for place, back in self._backs:
                fields[place] = back(fields[place])
        except _NOT_AS_STORED as error:
            raise BookError(
                f"“{self.names[place]}” of this {self.table.info['noun']} is not as a book keeps "
                "it; restore the book from its last backup."
            ) from error
        # What is stored went through the constructor once; filling the slots straight
        # halves the time of reading ten thousand clips.
        record = object.__new__(self._kind)
        for fill, value in zip(self._fills, fields, strict=True):
            fill(record, value)
        return record

    def stored(self, name: str, value: object) -> Any:
        """Turn one field's value into what stands in its column.

        Raises
        ------
        BookError
            When the kind has no such field, or the column can't keep the value.
        """
        noun = self.table.info["noun"]
        if name not in self._ways:
            raise BookError(f"A {noun} has no “{name}”; it has {', '.join(self.names)}.")
        try:
            return self._ways[name].there(value)
        except (AttributeError, TypeError, ValueError) as error:
            raise BookError(
                f"“{name}” of this {noun} can't be stored: {error}; correct it and try again."
            ) from error


_MADE: dict[type, Codec[Any]] = {}


def codec_of(kind: type[R]) -> Codec[R]:
    """Return the codec of a kind of record, made at its first use.

    Raises
    ------
    BookError
        When the kind is not kept in a book.
    """
    if kind not in TABLES:
        raise BookError(f"A book keeps no {kind.__name__}; put a record of gradecut.records in it.")
    if kind not in _MADE:
        _MADE[kind] = Codec(kind)
    return _MADE[kind]
