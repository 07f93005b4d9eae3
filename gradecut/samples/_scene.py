"""One play as it happens: every man, his path, his posture at any time."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from gradecut.samples._concepts import Handling, ball_handling, offence_orders
from gradecut.samples._defence import front_orders
from gradecut.samples._fits import Took, taken_by
from gradecut.samples._linebackers import linebacker_orders
from gradecut.samples._lineup import Spot, line_up, sign_of
from gradecut.samples._moves import Man, Order, Paths, play_out
from gradecut.samples._plays import Play

__all__ = ["LINEBACKERS", "Scene", "build_scene"]

Array = NDArray[np.float64]

LINEBACKERS = ("Keel", "Bow", "Port")
_WEIGHTS = {"Keel": 7.0, "Bow": 7.0, "Port": 7.0, "RB": 2.2, "QB": 2.0, "official": 9.0}
_START_S, _STOP_S = -3.7, 4.2
_FIT_S = 1.5


@dataclass(frozen=True, slots=True, kw_only=True)
class Scene:
    """A play, ready to be filmed from any side.

    Attributes
    ----------
    play : Play
    men : tuple of Man
    paths : Paths
        Yards from the ball, seconds from the snap.
    handling : Handling
    took : dict of str to Took
        What each linebacker does.
    down_s : float
        When the back is stopped.
    """

    play: Play
    men: tuple[Man, ...]
    paths: Paths
    handling: Handling
    took: dict[str, Took]
    down_s: float

    def row_of(self, name: str) -> int:
        """Return the column of a man in the paths."""
        return next(place for place, man in enumerate(self.men) if man.name == name)

    def field_places(self) -> Array:
        """Return everybody's path in field yards, shape (T, P, 2)."""
        moved: Array = self.paths.places + np.array(self.play.ball_yd)
        return moved

    def first_move_s(self, name: str) -> float | None:
        """Return when a man first moves off his spot after the snap; None when he never does.

        He moves when his hips leave the place where they were at the snap faster than 0.35
        yards a second; his lifting foot shows it in the same picture or the next.
        """
        speed = np.linalg.norm(self.paths.velocities[:, self.row_of(name)], axis=1)
        moving = np.flatnonzero((speed > 0.35) & (self.paths.times_s > 0))
        return float(self.paths.times_s[moving[0]]) if moving.size else None


def build_scene(play: Play) -> Scene:
    """Return a play as it happens."""
    rng = np.random.default_rng(7000 + play.order)
    spots = line_up(play)
    took = {position: taken_by(position, play) for position in LINEBACKERS}
    orders = {**offence_orders(play, spots), **front_orders(play, spots)}
    front = _front_at_fit(play, spots, orders, took)
    for position, what in took.items():
        orders[position] = linebacker_orders(position, play, what, spots[position].at, front)
    run = sign_of(play.run)
    orders["official"] = (
        Order(at_s=0.7, to=(-8.4, spots["official"].at[1] + 0.8 * run), pace=1.6, push=3.0),
    )
    before = _before_snap(play, spots, rng)
    men = tuple(
        _man(name, spot, before.get(name), orders.get(name, ()), rng)
        for name, spot in spots.items()
    )
    paths = play_out(men, _START_S, _STOP_S)
    return Scene(
        play=play,
        men=men,
        paths=paths,
        handling=ball_handling(play),
        took=took,
        down_s=2.15 if play.order == 7 else 2.85,
    )


def _front_at_fit(
    play: Play,
    spots: dict[str, Spot],
    orders: dict[str, tuple[Order, ...]],
    took: dict[str, Took],
) -> dict[str, float]:
    """Return where the blockers are, yards left of the ball, when the linebackers arrive."""
    rough = {
        position: linebacker_orders(position, play, what, spots[position].at, None)
        for position, what in took.items()
    }
    men = tuple(
        Man(
            name=name,
            side=spot.side,
            number=spot.number,
            start=spot.at,
            stance=spot.stance,
            orders=(*orders.get(name, ()), *rough.get(name, ())),
            weight=_WEIGHTS.get(name, 1.25 if spot.side == "offence" else 1.0),
        )
        for name, spot in spots.items()
    )
    last = play_out(men, 0.0, _FIT_S).places[-1]
    return {man.name: float(at[1]) for man, at in zip(men, last, strict=True)}


def _man(
    name: str,
    spot: Spot,
    before: tuple[tuple[float, float], tuple[Order, ...]] | None,
    after: tuple[Order, ...],
    rng: np.random.Generator,
) -> Man:
    """Return a man with all his orders."""
    start, early = before or (spot.at, ())
    girth = 1.17 if spot.big else 1.0
    return Man(
        name=name,
        side=spot.side,
        number=spot.number,
        start=start,
        stance=spot.stance,
        orders=(*early, *after),
        weight=_WEIGHTS.get(name, 1.25 if spot.side == "offence" else 1.0),
        bulk=girth * float(rng.uniform(0.94, 1.07)),
        size=float(rng.uniform(0.965, 1.03)),
    )


def _before_snap(
    play: Play, spots: dict[str, Spot], rng: np.random.Generator
) -> dict[str, tuple[tuple[float, float], tuple[Order, ...]]]:
    """Return who starts elsewhere and comes to his spot before the snap.

    A shift settles a second before the snap; a man in motion may still be moving at it.
    """
    found: dict[str, tuple[tuple[float, float], tuple[Order, ...]]] = {}
    for name in (*LINEBACKERS, "FS", "SS"):
        at = spots[name].at
        aside = float(rng.choice([-1, 1]) * rng.uniform(0.35, 0.9))
        when = float(rng.uniform(-2.7, -1.5))
        found[name] = (
            (at[0] + float(rng.uniform(0, 0.5)), at[1] + aside),
            (Order(at_s=when, to=at, pace=1.5, push=4.0),),
        )
    strong = sign_of(play.strength)
    moves: dict[int, tuple[str, tuple[float, float], float, float]] = {
        2: ("S", (-1.6, strong * 10.6), -1.3, 2.4),
        5: ("RB", (-5.3, 1.65), -2.6, 2.6),
        9: ("H", (-2.0, -strong * 5.75), -3.7, 5.4),
        10: ("H", (-2.9, -4.4), -2.4, 4.6),
        11: ("Z", (-1.3, strong * 15.0), -1.2, 2.6),
    }
    if play.order in moves:
        name, start, when, pace = moves[play.order]
        at = spots[name].at
        legs: tuple[Order, ...] = (Order(at_s=when, to=at, pace=pace, push=6.0),)
        if play.order == 9:
            # The wing changes sides between line and quarterback, and is set in time.
            legs = (
                Order(at_s=when, to=(-2.7, 0.0), pace=pace, push=6.0),
                Order(at_s=when + 1.05, to=at, pace=pace, push=6.0),
            )
        found[name] = (start, legs)
    return found
