"""How a value of each type is kept, and comes back as it was.

Whole numbers, yes or no, text, bytes and floats stand as themselves; an exact fraction as
``n/d``; a fingerprint as ``algorithm:digest``; tuples, mappings and the value of a
fact as JSON, so that ``1``, ``true`` and ``"1"`` stay three values. What would come
back as something else is refused.
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
from typing import Any, Literal, NewType, Union, get_args, get_origin, get_type_hints

from gradecut.records import Fingerprint

__all__ = ["Way", "way_of"]

Turn = Callable[[Any], Any]

_SORTED = json.JSONEncoder(ensure_ascii=False, sort_keys=True, separators=(",", ":"))
_LARGEST = 2**63 - 1


@dataclass(frozen=True, slots=True)
class Way:
    """One way to keep a value: there, back, and whether it must stand as JSON."""

    there: Turn
    back: Turn | None = None
    compound: bool = False


def _text(value: Any) -> str:
    if not isinstance(value, str):
        raise TypeError(f"{value!r} is not text")
    if "\0" in value or not _encodes(value):
        raise ValueError(f"{value!r} holds a character that no file can keep")
    return value


def _encodes(text: str) -> bool:
    """Whether text is whole: half of a character outside the basic plane is not."""
    try:
        text.encode()
    except UnicodeEncodeError:
        return False
    return True


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


def _bytes(value: Any) -> bytes:
    if not isinstance(value, bytes):
        raise TypeError("what should be bytes is not")
    return value


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


_SCALAR_WAYS: dict[object, Way] = {
    str: Way(_text),
    int: Way(_whole),
    float: Way(_number),
    bool: Way(_yes),
    bytes: Way(_bytes),
    Fraction: Way(_fraction, _fraction_back),
    Fingerprint: Way(_fingerprint, Fingerprint.parse),
}


@cache
def _way(hint: Any) -> Way:
    """Find how to keep a value of an annotated type."""
    if hint in _SCALAR_WAYS:
        return _SCALAR_WAYS[hint]
    if isinstance(hint, NewType):
        return _way(hint.__supertype__)
    if isinstance(hint, type) and dataclasses.is_dataclass(hint):
        return _part(hint)
    made_by = _COMPOUND_WAYS.get(get_origin(hint))
    if made_by is None:
        raise TypeError(f"A book has no way to keep {hint!r}.")
    return made_by(get_args(hint))


def _one_of(words: tuple[Any, ...]) -> Way:
    """Keep one of a few words."""

    def there(value: Any) -> str:
        if value not in words:
            known = ", ".join(f"“{word}”" for word in words)
            raise ValueError(f"{value!r} is none of {known}")
        return str(value)

    return Way(there)


def _either(hints: tuple[Any, ...]) -> Way:
    """Keep a value that may be missing, or a fact's value of several types."""
    kinds = tuple(hint for hint in hints if hint is not NoneType)
    if len(kinds) == 1:
        inner = _way(kinds[0])
        back = inner.back
        return Way(
            lambda value: None if value is None else inner.there(value),
            back and (lambda value: None if value is None else back(value)),
            inner.compound,
        )
    ways = {kind: _way(kind) for kind in kinds}

    def there(value: Any) -> Any:
        if type(value) not in ways:
            raise TypeError(f"{value!r} is neither text, a whole number nor True or False")
        return ways[type(value)].there(value)

    return Way(there, compound=True)


def _row_of(hints: tuple[Any, ...]) -> Way:
    """Keep a tuple: of any length when its hint ends in ``...``, else of just these."""
    if hints[-1] is Ellipsis:
        inner = _way(hints[0])

        def there(values: Any) -> list[Any]:
            return [inner.there(value) for value in _items(values)]

        back = inner.back
        return Way(there, (lambda values: tuple(map(back, values))) if back else tuple, True)
    ways = [_way(hint) for hint in hints]

    def there_each(values: Any) -> list[Any]:
        return [way.there(value) for way, value in zip(ways, _items(values), strict=True)]

    def back_each(values: Any) -> tuple[Any, ...]:
        return tuple(
            way.back(value) if way.back else value for way, value in zip(ways, values, strict=True)
        )

    return Way(there_each, back_each, True)


def _items(values: Any) -> tuple[Any, ...]:
    """Take the items of a tuple or list, and of nothing else."""
    if not isinstance(values, (tuple, list)):
        raise TypeError(f"{values!r} is no tuple")
    return tuple(values)


def _mapping(hints: tuple[Any, ...]) -> Way:
    """Keep a mapping from words."""
    inner = _way(hints[1])
    back = inner.back

    def there(values: Any) -> dict[str, Any]:
        if not isinstance(values, Mapping):
            raise TypeError(f"{values!r} is no mapping")
        return {_text(key): inner.there(value) for key, value in values.items()}

    def all_back(values: Any) -> dict[str, Any]:
        return {key: back(value) if back else value for key, value in values.items()}

    return Way(there, all_back, True)


def _part(kind: type) -> Way:
    """Keep a record inside another."""
    ways = {name: _way(hint) for name, hint in get_type_hints(kind).items()}

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

    return Way(there, back, True)


_COMPOUND_WAYS: dict[object, Callable[[tuple[Any, ...]], Way]] = {
    Literal: _one_of,
    Union: _either,
    UnionType: _either,
    tuple: _row_of,
    Mapping: _mapping,
}


def _json(value: Any) -> str:
    return _SORTED.encode(value)


def way_of(hint: Any) -> Way:
    """Find how a field stands in its column, by its annotated type.

    Raises
    ------
    TypeError
        When there is no way to keep such a type.
    """
    way = _way(hint)
    if not way.compound:
        return way
    back = way.back
    return Way(
        lambda value: _json(way.there(value)),
        (lambda text: back(json.loads(text))) if back else json.loads,
        True,
    )
