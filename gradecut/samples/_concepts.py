"""The offence's orders by concept: who blocks whom, who pulls, where the ball goes.

``run`` is +1 when the run goes left. Linemen are named by the side of the run: P for the play
side, B for the back side.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from gradecut.samples._lineup import Spot, sign_of
from gradecut.samples._moves import Order
from gradecut.samples._plays import Play

__all__ = ["Handling", "ball_handling", "offence_orders"]

Orders = dict[str, tuple[Order, ...]]


@dataclass(frozen=True, slots=True, kw_only=True)
class Handling:
    """Who has the ball when.

    Attributes
    ----------
    caught_s : float
        The quarterback has it.
    given_s : float or None
        The back has it; None when the quarterback keeps it.
    """

    caught_s: float
    given_s: float | None


def ball_handling(play: Play) -> Handling:
    """Return who has the ball when."""
    under = play.formation in {"I right", "Heavy right"}
    if play.order == 12:
        return Handling(caught_s=0.42, given_s=None)
    given = {"power": 0.95, "counter": 1.0, "zone read": 1.0, "outside zone": 0.8}
    return Handling(caught_s=0.12 if under else 0.4, given_s=given.get(play.concept, 0.85))


def offence_orders(play: Play, spots: Mapping[str, Spot]) -> Orders:
    """Return the orders of the eleven after the snap."""
    run = sign_of(play.run)
    orders: Orders = {}
    orders.update(_receivers(spots))
    orders.update(_line(play, spots, run))
    orders.update(_ball(play, spots, run))
    return orders


def _block(who: str, at_s: float = 0.1, *, lead: float = 0.15, pace: float = 3.6) -> Order:
    """Return an order to block a man, a little to one side of him."""
    return Order(at_s=at_s, to=(-0.74, lead), who=who, pace=pace, push=8.0)


def _receivers(spots: Mapping[str, Spot]) -> Orders:
    """Return receivers who run off and then block their man."""
    orders: Orders = {}
    for name, late in (("X", 0.18), ("Z", 0.22), ("S", 0.2)):
        if name not in spots:
            continue
        left = spots[name].at[1]
        foe = "SS" if name == "S" else ("CL" if left > 0 else "CR")
        orders[name] = (
            Order(at_s=late, to=(5.0, left * 0.97), pace=4.6, push=5.0),
            Order(at_s=1.25, to=(-0.9, -0.2 if left > 0 else 0.2), who=foe, pace=3.4),
        )
    return orders


def _line(play: Play, spots: Mapping[str, Spot], run: int) -> Orders:
    """Return the line's orders."""
    p, b = ("L", "R") if run > 0 else ("R", "L")
    strong = play.run == play.strength
    ends = {"PE": "TE" if strong else "Y", "BE": "Y" if strong else "TE"}
    names = {"PT": f"{p}T", "PG": f"{p}G", "C": "C", "BG": f"{b}G", "BT": f"{b}T", **ends}
    if play.concept in {"power", "counter"}:
        plan = (_power if play.concept == "power" else _counter)(run, strong=strong)
    else:
        plan = _zone(play, run, strong=strong)
    orders = {names[role]: told for role, told in plan.items() if role in names}
    orders.update({name: told for name, told in plan.items() if name in {"H", "FB"}})
    return {name: told for name, told in orders.items() if name in spots}


def _zone(play: Play, run: int, *, strong: bool) -> Orders:
    """Return zone blocking: everybody steps with the run, two climb to linebackers."""
    stretch = play.concept == "outside zone"
    lead = (0.42 if stretch else 0.2) * run
    pace = 4.4 if stretch else 3.4

    def step(
        name: str, climbs: str | None = None, at_s: float = 0.75, *, inside: bool = False
    ) -> tuple[Order, ...]:
        first = _block(name, lead=lead, pace=pace)
        if climbs is None:
            return (first,)
        # A play-side climber reaches the linebacker from inside: he can't get round him.
        return first, _block(climbs, at_s, lead=-0.3 * run if inside else lead * 1.4)

    plan = (
        {
            "PE": step("SE"),
            "PT": step("ST", "Keel", 0.8, inside=True),
            "PG": step("ST"),
            "C": step("WT", "Port", 0.95),
            "BG": step("WT"),
            "BT": step("WE"),
            "BE": step("WE", "Port"),
            "H": (Order(at_s=0.1, to=(-0.5, 0.4 * run), who="Bow", pace=4.2),),
        }
        if strong
        else {
            "PE": step("WE", "Port", 0.6),
            "PT": step("WE"),
            "PG": step("WT", "Port", 0.7, inside=True),
            "C": step("WT"),
            "BG": step("ST"),
            "BT": step("ST", "Keel", 0.85),
            "BE": step("SE"),
        }
    )
    if play.concept == "zone read":
        free = {"BE": step("Keel", at_s=0.1), "BT": step("Keel")}
        plan.update(free if not strong else {"BT": step("Port"), "BE": step("Port")})
        if not strong:
            plan["BT"] = step("ST")
            plan["BE"] = (Order(at_s=0.12, to=(3.5, 4.0 * run * -1 + 1.6 * run), pace=3.8),)
    if play.concept == "split zone":
        target = "WE" if strong else "Bow"
        plan["H"] = (
            Order(at_s=0.12, to=(-2.3, -1.5 * run), pace=5.4, push=8.0),
            Order(at_s=0.85, to=(-0.4, 0.25 * run), who=target, pace=5.6, push=9.0),
        )
        if strong:
            plan["BT"] = step("Port")
    return plan


def _power(run: int, *, strong: bool) -> Orders:
    """Return power: down blocks, the back-side guard pulls, a kick-out at the end."""
    down = -0.25 * run
    pull = (
        Order(at_s=0.1, to=(-2.2, -0.2 * run), pace=4.6, push=9.0),
        Order(at_s=0.62, to=(-1.6, 3.6 * run), pace=6.0, push=9.0),
    )
    if strong:
        return {
            "PE": (_block("SE", lead=down),),
            "PT": (_block("ST", lead=down), _block("Port", 1.0, lead=down)),
            "PG": (_block("ST", lead=0.1 * run),),
            "C": (_block("WT", lead=down),),
            "BG": (
                *pull,
                Order(at_s=1.3, to=(0.6, 4.7 * run), pace=5.6),
                Order(at_s=1.65, to=(-0.5, 0.0), who="Keel", pace=5.0),
            ),
            "BT": (_block("WE", lead=-down),),
            "FB": (
                Order(at_s=0.12, to=(-1.8, 4.0 * run), pace=5.6, push=8.0),
                Order(at_s=0.75, to=(-0.25, 0.5 * run), who="Bow", pace=5.4, push=8.0),
            ),
        }
    return {
        "PE": (_block("Port", lead=down, pace=3.0),),
        "PT": (_block("WT", lead=down),),
        "PG": (_block("WT", lead=down), _block("Keel", 1.2, lead=down)),
        "C": (_block("ST", lead=down),),
        "BG": (*pull, Order(at_s=1.1, to=(-0.4, 0.25 * run), who="WE", pace=5.6, push=9.0)),
        "BT": (_block("ST", lead=-down),),
        "BE": (_block("SE", lead=-down),),
        "H": (
            Order(at_s=0.15, to=(-2.6, 1.0 * run), pace=5.8, push=8.0),
            Order(at_s=1.25, to=(0.1, 4.4 * run), pace=5.6, push=8.0),
            Order(at_s=1.7, to=(-0.4, 0.0), who="Port", pace=5.0),
        ),
    }


def _counter(run: int, *, strong: bool) -> Orders:
    """Return counter: the back-side guard kicks out, a second man pulls through the hole."""
    down = -0.25 * run
    edge = "Bow" if strong else "WE"
    kick = (
        Order(at_s=0.1, to=(-1.9, 0.2 * run), pace=4.6, push=9.0),
        Order(at_s=0.6, to=(-1.2, 3.6 * run), pace=6.0, push=9.0),
        Order(at_s=1.05, to=(-0.35, -0.3 * run), who=edge, pace=5.8, push=9.0),
    )
    wrap = (
        Order(at_s=0.14, to=(-2.7, -0.6 * run), pace=4.8, push=9.0),
        Order(at_s=0.75, to=(-2.2, 2.6 * run), pace=6.0, push=9.0),
        Order(at_s=1.35, to=(0.4, 4.0 * run), pace=5.8, push=9.0),
        Order(at_s=1.8, to=(-0.5, 0.0), who="Keel" if strong else "Port", pace=5.4),
    )
    plan: Orders = {
        "PT": (_block("ST" if strong else "WT", lead=down),),
        "PG": (_block("ST" if strong else "WT", lead=down),),
        "C": (_block("WT" if strong else "ST", lead=down),),
        "BG": kick,
    }
    if strong:
        plan.update({"PE": (_block("SE", lead=down),), "BT": wrap})
    else:
        plan.update({"BT": (_block("ST", lead=down),), "BE": (_block("SE", lead=0.1),), "H": wrap})
    return plan


def _ball(play: Play, spots: Mapping[str, Spot], run: int) -> Orders:
    """Return the quarterback's and the back's orders."""
    back, quarter = spots["RB"].at, spots["QB"].at
    path = _back_path(play, run, back)
    handling = ball_handling(play)
    mesh = (quarter[0] - (0.35 if play.back != "behind" else -0.1), 0.45 * run)
    if play.formation in {"I right", "Heavy right"}:
        mesh = (-4.2, 0.9 * run)
    if play.formation in {"I right", "Heavy right"} or play.back == "behind":
        mesh = (min(mesh[0], -4.3), mesh[1])
    away: tuple[Order, ...] = (
        Order(at_s=0.3, to=mesh, pace=3.4, push=7.0),
        Order(at_s=(handling.given_s or 1.1) + 0.12, to=(mesh[0] - 1.0, -3.8 * run), pace=3.6),
    )
    if handling.given_s is None:
        away = (
            Order(at_s=0.45, to=(quarter[0], 0.2 * run), pace=1.0),
            Order(at_s=1.05, to=(-3.6, -8.6 * run), pace=6.2, push=8.0),
            Order(at_s=2.1, to=(2.0, -10.2 * run), pace=5.2),
            Order(at_s=2.75, to=(0.0, 0.0), who="QB", pace=0.5),
        )
    return {"RB": path, "QB": away}


def _back_path(play: Play, run: int, start: tuple[float, float]) -> tuple[Order, ...]:
    """Return the back's way, from his first step to the tackle."""
    legs: dict[str, tuple[tuple[float, float, float, float], ...]] = {
        "inside zone": ((0.22, -4.6, 0.7, 4.6), (0.8, -1.2, 1.3, 5.6), (1.25, 3.5, 1.8, 5.4)),
        "split zone": ((0.22, -4.8, 0.5, 4.8), (0.8, -1.2, 0.9, 5.6), (1.25, 3.5, 0.8, 5.4)),
        "zone read": ((0.3, -4.9, 0.9, 4.0), (0.95, -1.2, 1.4, 5.6), (1.4, 3.5, 1.9, 5.4)),
        "outside zone": (
            (0.18, -5.0, 2.8, 5.4),
            (0.85, -2.6, 5.4, 6.2),
            (1.5, 0.4, 6.4, 5.8),
            (1.9, 4.0, 6.8, 5.4),
        ),
        "power": (
            (0.2, -5.0, 1.1, 5.0),
            (0.9, -2.2, 3.6, 5.8),
            (1.4, -0.2, 5.6, 5.6),
            (1.8, 4.0, 6.6, 5.4),
        ),
        "counter": (
            (0.15, start[0] + 0.2, start[1] * run - 0.9, 3.6),
            (0.55, -4.9, 0.6, 4.8),
            (1.0, -2.2, 3.4, 5.9),
            (1.5, 0.4, 4.9, 5.6),
            (1.9, 4.0, 5.6, 5.4),
        ),
    }
    chosen = legs[play.concept]
    if play.order in {2, 11}:
        # The bend-back stood open: he plants his foot and takes it.
        turn = (1.3, 0.6, -0.8, 5.4) if play.order == 2 else (1.15, 0.4, -0.1, 6.2)
        first = chosen[:2] if play.order == 2 else (chosen[0], (0.85, -3.6, 3.4, 5.4))
        chosen = (*first, turn, (1.85, 5.0, turn[2] - 0.6, 5.4))
    if play.order == 7:
        chosen = ((0.2, -5.0, 1.1, 5.0), (0.9, -2.0, 3.2, 5.8), (1.35, 1.2, 4.5, 5.0))
    if play.order == 5:
        chosen = (*chosen[:3], (1.5, 1.2, 4.0, 5.8), (1.9, 5.0, 4.4, 5.4))
    path = [Order(at_s=at, to=(x, w * run), pace=pace, push=7.5) for at, x, w, pace in chosen]
    last = {7: 1.95, 6: 2.35}.get(play.order, 2.6)
    path.append(Order(at_s=last, to=(0.15, 0.0), who="RB", pace=0.5, push=6.0))
    return tuple(path)
