"""TOML values compared and copied."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

__all__ = ["plain", "same"]


def same(one: Any, other: Any) -> bool:
    """Tell whether two TOML values are the same, by type too: 1, 1.0 and true are three."""
    if type(one) is not type(other):
        return False
    if isinstance(one, dict):
        return one.keys() == other.keys() and all(same(one[key], other[key]) for key in one)
    if isinstance(one, list):
        return len(one) == len(other) and all(map(same, one, other))
    return bool(one == other)


def plain(value: Any) -> Any:
    """Give a copy with mappings as dictionaries and sequences as lists, as TOML reads them."""
    if isinstance(value, str | bytes):  # by far the most, so asked first
        return value
    if isinstance(value, Mapping):
        return {str(key): plain(part) for key, part in value.items()}
    if isinstance(value, Sequence):
        return [plain(part) for part in value]
    return value
