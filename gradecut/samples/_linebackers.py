"""The linebackers' orders: read step, go, fit, then the ball."""

from __future__ import annotations

from collections.abc import Mapping

from gradecut.samples._fits import Took, owed_by, spot_of
from gradecut.samples._lineup import sign_of
from gradecut.samples._moves import Order
from gradecut.samples._plays import Play

__all__ = ["linebacker_orders"]

_READ_S = 0.24
_PATIENT = {"hang", "cutback", "squeeze", "box"}


def linebacker_orders(
    position: str,
    play: Play,
    took: Took,
    start: tuple[float, float],
    front: Mapping[str, float] | None,
) -> tuple[Order, ...]:
    """Return a linebacker's orders after the snap.

    ``front`` says where the blockers will be, yards left of the ball, when he arrives.
    """
    fit = took.fit or owed_by(position, play)
    spot = _seen_spot(position, play) or spot_of(fit, play, front)
    run = sign_of(play.run)
    read = _read_step(play, start, run, fooled=(play.order, position) == (9, "Keel"))
    go = took.react_s + _READ_S
    patient = fit.job in _PATIENT and took.fit is not None
    orders = [
        Order(at_s=took.react_s, to=read, pace=2.2, push=9.0),
        Order(at_s=go, to=spot, pace=3.9 if patient else 5.6, push=6.5 if patient else 8.0),
    ]
    if (play.order, position) == (12, "Bow"):
        orders.append(Order(at_s=1.55, to=(-0.45, 0.5), who="QB", pace=6.0))
        return tuple(orders)
    carrier = "QB" if play.order == 12 and position == "Bow" else "RB"
    orders.append(
        Order(at_s=1.85 + (0.2 if patient else 0.0), to=(0.5, 0.0), who=carrier, pace=5.4)
    )
    return tuple(orders)


def _read_step(
    play: Play, start: tuple[float, float], run: int, *, fooled: bool
) -> tuple[float, float]:
    """Return where the short first step takes him: with the first move he sees."""
    way = -run if fooled or play.concept == "counter" else run
    if play.concept in {"power", "counter"} and not fooled:
        return start[0] - 0.25, start[1] + 0.12 * way
    return start[0] - 0.15, start[1] + (0.8 if fooled else 0.35) * way


def _seen_spot(position: str, play: Play) -> tuple[float, float] | None:
    """Return where a man ends who played no fit of the scheme."""
    run = sign_of(play.run)
    if (play.order, position) == (11, "Port"):
        return 2.4, run * 4.0
    if (play.order, position) == (12, "Bow"):
        return 0.9, -run * 8.2
    if (play.order, position) == (7, "Port"):
        return 0.5, run * 3.7
    return None
