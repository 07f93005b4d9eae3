"""How each field of a record stands in its column, and comes back as it was.

Whole numbers, yes or no, text and floats stand as themselves; an exact fraction as
``n/d``; a fingerprint as ``algorithm:digest``; tuples, mappings and the value of a
fact as JSON, so that ``1``, ``true`` and ``"1"`` stay three values.
"""

from __future__ import annotations

import dataclasses
import json
import math
import operator
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from fractions import Fraction
from functools import cache, lru_cache
from numbers import Real
from types import NoneType, UnionType
from typing import Any, Generic, Literal, NewType, TypeVar, Union, get_args, get_origin
from typing import get_type_hints as hints_of

from sqlalchemy import Table

from gradecut.book.schema import TABLES
from gradecut.errors import BookError
from gradecut.records import Fingerprint

__all__ = ["Codec", "Row", "codec_of"]

Row = dict[str, Any]
"""One stored row by column, as it also stands in the journal: only what JSON knows."""
Turn = Callable[[Any], Any]
R = TypeVar("R")

_LARGEST = 2**63 - 1
_SCALARS = (str, int, float, bool, Fraction, Fingerprint)


@dataclass(frozen=True, slots=True)
class _Way:
    """One way to keep a value: there, back, and whether it must stand as JSON."""

    there: Turn
    back: Turn | None = None
    compound: bool = False


def _text(value: Any) -> str:
    if not isinstance(value, str):
        raise TypeError(f"{value!r} is not text")
    if "\0" in value or any("\ud800" <= letter <= "\udfff" for letter in value):
        raise ValueError(f"{value!r} holds a character that no file can keep")
    return value


def _whole(value: Any) -> int:
    if isinstance(value, bool):
        raise TypeError(f"{value!r} is not a whole number")
    try:
        number = operator.index(value)
    except TypeError:
        raise TypeError(f"{value!r} is not a whole number") from None
    if abs(number) > _LARGEST:
        raise ValueError(f"{number} is too large")
    return number


def _number(value: Any) -> float:
    if isinstance(value, bool) or not isinstance(value, Real):
        raise TypeError(f"{value!r} is not a number")
    number = float(value)
    if not math.isfinite(number):
        raise ValueError(f"{value!r} is not a finite number")
    return number


def _yes(value: Any) -> bool:
    if not isinstance(value, bool):
        raise TypeError(f"{value!r} is neither True nor False")
    return value


def _fraction(value: Any) -> str:
    if isinstance(value, bool) or not isinstance(value, (int, Fraction)):
        raise TypeError(f"{value!r} is not an exact fraction")
    exact = Fraction(value)
    return f"{exact.numerator}/{exact.denominator}"


@lru_cache(maxsize=4096)
def _fraction_back(text: str) -> Fraction:
    above, _, below = text.partition("/")
    return Fraction(int(above), int(below))


def _fingerprint(value: Any) -> str:
    if not isinstance(value, Fingerprint):
        raise TypeError(f"{value!r} is no fingerprint")
    return _text(str(value))


_SCALAR_WAYS: dict[object, _Way] = {
    str: _Way(_text),
    int: _Way(_whole),
    float: _Way(_number),
    bool: _Way(_yes),
    Fraction: _Way(_fraction, _fraction_back),
    Fingerprint: _Way(_fingerprint, Fingerprint.parse),
}


@cache
def _way(hint: Any) -> _Way:
    """Find how to keep a value of an annotated type."""
    if hint in _SCALAR_WAYS:
        return _SCALAR_WAYS[hint]
    if isinstance(hint, NewType):
        return _way(hint.__supertype__)
    origin, parts = get_origin(hint), get_args(hint)
    if origin is Literal:
        return _one_of(parts)
    if origin in (Union, UnionType):
        return _either(parts)
    if origin is tuple:
        return _row_of(parts)
    if dataclasses.is_dataclass(hint):
        return _part(hint)
    if origin is not None and issubclass(origin, Mapping):
        return _mapping(parts[1])
    raise TypeError(f"A book has no way to keep {hint!r}.")


def _one_of(words: tuple[Any, ...]) -> _Way:
    """Keep one of a few words."""

    def there(value: Any) -> str:
        if value not in words:
            known = ", ".join(f"“{word}”" for word in words)
            raise ValueError(f"{value!r} is none of {known}")
        return str(value)

    return _Way(there)


def _either(hints: tuple[Any, ...]) -> _Way:
    """Keep a value that may be missing, or a fact's value of several types."""
    kinds = tuple(hint for hint in hints if hint is not NoneType)
    if len(kinds) == 1:
        inner = _way(kinds[0])
        back = inner.back
        return _Way(
            lambda value: None if value is None else inner.there(value),
            back and (lambda value: None if value is None else back(value)),
            inner.compound,
        )
    ways = {kind: _way(kind) for kind in kinds}

    def there(value: Any) -> Any:
        if type(value) not in ways:
            raise TypeError(f"{value!r} is neither text, a whole number nor True or False")
        return ways[type(value)].there(value)

    return _Way(there, compound=True)


def _row_of(hints: tuple[Any, ...]) -> _Way:
    """Keep a tuple: of any length when its hint ends in ``...``, else of just these."""
    if hints[-1] is Ellipsis:
        inner = _way(hints[0])

        def there(values: Any) -> list[Any]:
            return [inner.there(value) for value in _items(values)]

        back = inner.back
        return _Way(there, (lambda values: tuple(map(back, values))) if back else tuple, True)
    ways = [_way(hint) for hint in hints]

    def there_each(values: Any) -> list[Any]:
        return [way.there(value) for way, value in zip(ways, _items(values), strict=True)]

    def back_each(values: Any) -> tuple[Any, ...]:
        return tuple(
            way.back(value) if way.back else value for way, value in zip(ways, values, strict=True)
        )

    return _Way(there_each, back_each, True)


def _items(values: Any) -> tuple[Any, ...]:
    """Take the items of a tuple or list, and of nothing else."""
    if not isinstance(values, (tuple, list)):
        raise TypeError(f"{values!r} is no tuple")
    return tuple(values)


def _mapping(hint: Any) -> _Way:
    """Keep a mapping from words."""
    inner = _way(hint)
    back = inner.back

    def there(values: Any) -> dict[str, Any]:
        if not isinstance(values, Mapping):
            raise TypeError(f"{values!r} is no mapping")
        return {_text(key): inner.there(value) for key, value in values.items()}

    def all_back(values: Any) -> dict[str, Any]:
        return {key: back(value) if back else value for key, value in values.items()}

    return _Way(there, all_back, True)


def _part(kind: type) -> _Way:
    """Keep a record inside another."""
    ways = {name: _way(hint) for name, hint in hints_of(kind).items()}

    def there(value: Any) -> dict[str, Any]:
        if not isinstance(value, kind):
            raise TypeError(f"{value!r} is no {kind.__name__.lower()}")
        return {name: way.there(getattr(value, name)) for name, way in ways.items()}

    def back(values: Any) -> Any:
        return kind(
            **{
                name: way.back(values[name]) if way.back else values[name]
                for name, way in ways.items()
            }
        )

    return _Way(there, back, True)


def _json(value: Any) -> str:
    return json.dumps(value, ensure_ascii=False, sort_keys=True, separators=(",", ":"))


def _column_way(hint: Any) -> _Way:
    """Find how a value stands in a column: what is compound, as JSON text."""
    way = _way(hint)
    if not way.compound:
        return way
    back = way.back
    return _Way(
        lambda value: _json(way.there(value)),
        (lambda text: back(json.loads(text))) if back else json.loads,
        True,
    )


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
        hints = hints_of(kind)
        fields = [found.name for found in dataclasses.fields(kind)]  # type: ignore[arg-type]
        self.names = tuple(fields)
        self._ways = {name: _column_way(hints[name]) for name in fields}
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

    def record_of(self, values: tuple[Any, ...]) -> R:
        """Turn a row's values, in the order of ``names``, into a record."""
        fields = list(values)
        for place, back in self._backs:
            fields[place] = back(fields[place])
        return self._kind(**dict(zip(self.names, fields, strict=True)))

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
        except (TypeError, ValueError) as error:
            raise BookError(
                f"“{name}” of this {noun} can't be stored: {error}; correct it and try again."
            ) from error


@cache
def codec_of(kind: type[R]) -> Codec[R]:
    """Return the codec of a kind of record, made at its first use.

    Raises
    ------
    BookError
        When the kind is not kept in a book.
    """
    if kind not in TABLES:
        raise BookError(f"A book keeps no {kind.__name__}; put a record of gradecut.records in it.")
    return Codec(kind)
