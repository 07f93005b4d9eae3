"""The values two rules that disagree leave to some references: nothing else need be looked at."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from itertools import product
from math import prod

from gradecut.scheme._questions import Choice
from gradecut.scheme._reading import Answer, Check
from gradecut.scheme.auditing._problem import Bonds

__all__ = ["box_of", "meets_box"]

_MOST = 64  # conditions with more ways to hold are not boxed

_Box = dict[str, frozenset[Answer]]


def box_of(bonds: Bonds, one: Choice, two: Choice) -> _Box:
    """Give the references that any look in which two rules match tells, with their values.

    Only references that nothing ties are among them: what ties others could tell their value.

    Parameters
    ----------
    bonds : Bonds
        The facts of the scheme.
    one, two : Choice
        The rules.
    """
    whole: _Box | None = None
    for own in one.readings:
        pair = (one.readings[own], two.readings[own])
        if prod(len(reading) for reading in pair) > _MOST:
            return {}
        for all_of in product(*pair):
            box = _joined(check for checks in all_of for check in checks)
            if box is not None:
                whole = box if whole is None else _spanned(whole, box)
    return {ref: allowed for ref, allowed in (whole or {}).items() if _less(bonds, ref, allowed)}


def _joined(checks: Iterable[object]) -> _Box | None:
    box: _Box = {}
    for check in checks:
        if isinstance(check, Check):
            allowed = box.get(check.reference, check.allowed) & check.allowed
            if not allowed:
                return None
            box[check.reference] = allowed
    return box


def _spanned(one: _Box, two: _Box) -> _Box:
    return {ref: one[ref] | two[ref] for ref in one if ref in two}


def _less(bonds: Bonds, reference: str, allowed: frozenset[Answer]) -> bool:
    group = bonds.group_of.get(reference)
    if group is None or bonds.tied[group]:
        return False
    return not allowed.issuperset(bonds.ways[reference])


def meets_box(choice: Choice, box: Mapping[str, frozenset[Answer]]) -> bool:
    """Tell whether a rule may match where some references have only these values."""
    return any(
        all(
            not isinstance(check, Check)
            or check.reference not in box
            or not check.allowed.isdisjoint(box[check.reference])
            for check in checks
        )
        for reading in choice.readings.values()
        for checks in reading
    )
