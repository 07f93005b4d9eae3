"""Conditions as the file writes them, and when two of them are the same row."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping
from typing import Any

from gradecut.scheme.parts import Condition, Entry, FollowedSide, SideRule

__all__ = ["Written", "condition_key", "row_key", "written", "written_side"]

Written = dict[str, Any] | list[dict[str, Any]]
"""A condition as TOML gives it: a table, or a list of tables."""

_MOST = 4_000
_LONGEST = 2_000
_KEYS: dict[str, str] = {}
"""Keys by condition, for every edit asks them of all rules again."""


def written(condition: Condition) -> Written:
    """Give a condition as the file writes it.

    Parameters
    ----------
    condition : Condition
        As a scheme holds it.

    Returns
    -------
    dict or list of dict
        Python values as tomllib gives them; reading it again gives the same condition.

    Examples
    --------
    >>> from gradecut.scheme.parts import Entry
    >>> written(((Entry(fact="run", among=("to",)), Entry(fact="surface", where="to", least=3)),))
    {'run': 'to', 'surface.to': {'min': 3}}
    """
    tables = [{_reference(entry): _test(entry) for entry in all_of} for all_of in condition]
    return tables[0] if len(tables) == 1 else tables


def written_side(side: SideRule | None) -> Any:
    """Give a side as the file writes it; None where none is said."""
    if not isinstance(side, FollowedSide):
        return side
    found: dict[str, Any] = {"opposite_of" if side.opposite else "same_as": side.fact}
    if side.otherwise is not None:
        found["otherwise"] = written_side(side.otherwise)
    return found


def condition_key(when: object) -> str:
    """Give a text that two written conditions share when they ask the same of the same facts.

    The order of alternatives, of entries and of values does not matter, nor whether a single
    value stands in a list. Values keep their type.
    """
    told = repr(when)  # which keeps apart what Python takes as the same: 1, 1.0 and true
    key = _KEYS.get(told)
    if key is None:
        tables = when if isinstance(when, list) else [when]
        key = _plain(sorted({_plain(_sorted(table)) for table in tables}))
        if len(told) <= _LONGEST:
            if len(_KEYS) >= _MOST:
                _KEYS.clear()
            _KEYS[told] = key
    return key


def row_key(tier: str, when: object) -> str:
    """Give the stable short name of a row: sixteen letters of a digest of tier and condition."""
    return hashlib.sha256(
        _plain([tier, condition_key(when)]).encode("utf-8", "replace")
    ).hexdigest()[:16]


def _reference(entry: Entry) -> str:
    return entry.fact if entry.where is None else f"{entry.fact}.{entry.where}"


def _few(values: tuple[Any, ...]) -> Any:
    return values[0] if len(values) == 1 else list(values)


def _test(entry: Entry) -> Any:
    if entry.among is not None:
        return _few(entry.among)
    test: dict[str, Any] = {}
    if entry.barred:
        test["not"] = _few(entry.barred)
    if entry.least is not None:
        test["min"] = entry.least
    if entry.most is not None:
        test["max"] = entry.most
    return test


def _sorted(table: object) -> object:
    if not isinstance(table, Mapping):
        return table
    found: dict[str, Any] = {}
    for reference, test in table.items():
        if isinstance(test, Mapping):
            found[reference] = {
                key: _set(value) if key == "not" else value for key, value in test.items()
            }
        else:
            found[reference] = _set(test)
    return found


def _set(value: object) -> list[str]:
    values = value if isinstance(value, list | tuple) else [value]
    return sorted({_plain(part) for part in values})


def _plain(value: object) -> str:
    return json.dumps(value, sort_keys=True, ensure_ascii=False, default=str)
