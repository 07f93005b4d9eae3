"""The orders of the line and the secondary."""

from __future__ import annotations

from collections.abc import Mapping

from gradecut.samples._lineup import Spot, sign_of
from gradecut.samples._moves import Order
from gradecut.samples._plays import Play

__all__ = ["front_orders"]

_STARTS = {"SE": 0.16, "ST": 0.13, "WT": 0.15, "WE": 0.18}


def front_orders(play: Play, spots: Mapping[str, Spot]) -> dict[str, tuple[Order, ...]]:
    """Return the orders of linemen, corners and safeties after the snap."""
    run, strong = sign_of(play.run), sign_of(play.strength)
    orders: dict[str, tuple[Order, ...]] = {}
    flow = {"outside zone": 2.2, "power": 0.3, "counter": 0.2}.get(play.concept, 0.7) * run
    owned = {"SE": 3.75, "ST": 2.25, "WT": -0.75, "WE": -3.9}
    for name, gap in owned.items():
        orders[name] = (
            Order(at_s=_STARTS[name], to=(0.35, strong * gap + flow), pace=2.4, push=9.0),
            Order(at_s=1.75, to=(0.3, 0.0), who="RB", pace=3.4, push=6.0),
        )
    free = _free_end(play)
    if free:
        gap = strong * owned[free]
        orders[free] = (
            Order(at_s=_STARTS[free], to=(-0.5, gap * 0.92), pace=3.0, push=8.0),
            Order(at_s=1.5, to=(0.4, 0.0), who="RB", pace=5.0, push=7.0),
        )
    for name, late, pace in (("SS", 0.6, 4.6), ("FS", 0.75, 5.0)):
        depth, left = spots[name].at
        orders[name] = (
            Order(at_s=late - 0.3, to=(depth - 0.4, left), pace=1.6),
            Order(at_s=late + 0.35, to=(4.6, left * 0.5 + 3.0 * run), pace=pace, push=6.0),
            Order(at_s=1.9, to=(0.9, 0.0), who="RB", pace=5.4),
        )
    for name in ("CL", "CR"):
        depth, left = spots[name].at
        orders[name] = (
            Order(at_s=0.35, to=(depth + 1.6, left), pace=2.6),
            Order(at_s=1.3, to=(5.5, left * 0.86), pace=3.2),
            Order(at_s=2.1, to=(2.0, 0.0), who="RB", pace=4.6),
        )
    return orders


def _free_end(play: Play) -> str | None:
    """Return the end who is left to the kick-out or the read, if any."""
    strong = play.run == play.strength
    if play.concept == "zone read" or (play.concept == "split zone" and strong):
        return "WE" if strong else "SE"
    if play.concept in {"power", "counter"} and not strong:
        return "WE"
    return None
