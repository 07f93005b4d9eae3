"""Where men stand on the picture of a look."""

from __future__ import annotations

from collections.abc import Mapping

from gradecut.records import Expectation, Side
from gradecut.records.picture import Manned
from gradecut.scheme import Scheme, Value

__all__ = ["front_of", "stands_at"]

_GAPS = "ABCDE"
_ACROSS_YD = (0.73, 2.2, 3.6, 5.1, 6.5)
"""Middles of the gaps from the ball at usual splits; the picture is a diagram, not a map."""


def front_of(scheme: Scheme, expected: Mapping[str, Expectation]) -> tuple[Manned, ...]:
    """Return the gaps the linemen hold: ungraded men with a gap who are not the force."""
    return tuple(
        (asked.gap, asked.side)
        for position, asked in expected.items()
        if not scheme.positions[position].graded
        and asked.fit is not None
        and asked.gap is not None
        and asked.side is not None
        and "force" not in scheme.fits[asked.fit].owns
    )


def stands_at(expected: Expectation, look: Mapping[str, Value]) -> tuple[float, float] | None:
    """Return where a man lines up, in yards across and deep; None where the scheme is silent.

    A landmark that is no gap is taken as outside the surface on its side.
    """
    asked = expected.alignment
    if asked is None:
        return None
    if asked.side is None:
        return None
    gap = asked.landmark if asked.landmark in _GAPS else _outside(look, asked.side)
    if not gap:
        return None
    across = _ACROSS_YD[_GAPS.index(gap)]
    return (-across if asked.side == "left" else across, asked.depth_yd)


def _outside(look: Mapping[str, Value], side: Side) -> str:
    """Return the gap outside everyone attached; empty while that is not known."""
    surface = look.get(f"surface.{side}")
    return _GAPS[surface] if type(surface) is int and 0 <= surface < len(_GAPS) else ""
