"""Moves men over the grass: each follows his orders, none runs through another.

Places are yards from the ball: downfield first, then to the offence's left.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

__all__ = ["STEP_S", "Man", "Order", "Paths", "play_out"]

Array = NDArray[np.float64]

STEP_S = 1 / 120
_ROOM_YD = 0.78
_TURN_RADS = 9.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Order:
    """What a man does from one time on.

    Attributes
    ----------
    at_s : float
        From the snap.
    to : tuple of float
        A place; with ``who``, an offset from him.
    who : str or None
        Go where this man is.
    pace, push : float
        Top speed (yards a second) and acceleration (yards a second, squared).
    """

    at_s: float
    to: tuple[float, float]
    who: str | None = None
    pace: float = 5.0
    push: float = 7.5


@dataclass(frozen=True, slots=True, kw_only=True)
class Man:
    """One man on the field.

    Attributes
    ----------
    name : str
        His place in the play: LT, QB, Keel ...
    side : str
        "offence", "defence" or "official".
    number : str
        What his shirt says.
    start : tuple of float
        Where he lines up first.
    stance : str
        A pose.
    orders : tuple of Order
        In order of time.
    weight : float
        How little he gives way when men meet.
    bulk, size : float
        Girth and height as shares of the common ones.
    """

    name: str
    side: str
    number: str
    start: tuple[float, float]
    stance: str
    orders: tuple[Order, ...] = ()
    weight: float = 1.0
    bulk: float = 1.0
    size: float = 1.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Paths:
    """Where everybody was.

    Attributes
    ----------
    times_s : ndarray, shape (T,)
        From the snap.
    places, velocities : ndarray, shape (T, P, 2)
    facing_rad : ndarray, shape (T, P)
    met : ndarray, shape (T, P)
        Whether he is in contact with an opponent, 0 or 1.
    """

    times_s: Array
    places: Array
    velocities: Array
    facing_rad: Array
    met: Array


def play_out(men: Sequence[Man], start_s: float, stop_s: float) -> Paths:
    """Return the paths of everybody from one time to another, the snap at 0."""
    count = round((stop_s - start_s) / STEP_S) + 1
    times: Array = start_s + np.arange(count, dtype=np.float64) * STEP_S
    index = {man.name: place for place, man in enumerate(men)}
    place = np.array([man.start for man in men], dtype=np.float64)
    speed = np.zeros_like(place)
    ahead = np.array([np.pi if man.side == "defence" else 0.0 for man in men])
    facing = ahead.copy()
    weight = np.array([man.weight for man in men])
    foes = _foes(men)
    shape = (count, len(men))
    places, velocities = np.zeros((*shape, 2)), np.zeros((*shape, 2))
    facings, met = np.zeros(shape), np.zeros(shape)
    for step, now in enumerate(times):
        wish, push = _wishes(men, index, place, float(now))
        change = wish - speed
        size = np.linalg.norm(change, axis=1, keepdims=True)
        speed = speed + change * np.minimum(1, push[:, None] * STEP_S / np.maximum(size, 1e-9))
        before = place
        place = place + speed * STEP_S
        if now >= 0:
            place, touching = _part(place, weight, foes)
            met[step] = touching
            # Men who meet lose the speed they could not keep.
            kept = (place - before) / STEP_S
            speed = np.where(touching[:, None] > 0, 0.75 * speed + 0.25 * kept, speed)
        facing = _turned(facing, ahead, speed)
        places[step], velocities[step], facings[step] = place, speed, facing
    return Paths(times_s=times, places=places, velocities=velocities, facing_rad=facings, met=met)


def _foes(men: Sequence[Man]) -> NDArray[np.bool_]:
    """Return which pairs are opponents."""
    side = np.array([man.side for man in men])
    playing = side != "official"
    foes: NDArray[np.bool_] = (side[:, None] != side[None, :]) & playing[:, None] & playing[None, :]
    return foes


def _wishes(
    men: Sequence[Man], index: Mapping[str, int], place: Array, now: float
) -> tuple[Array, Array]:
    """Return the velocity each man wants, and how hard he may push for it."""
    wish, push = np.zeros_like(place), np.full(len(men), 8.0)
    for row, man in enumerate(men):
        order = None
        for candidate in man.orders:
            if candidate.at_s > now:
                break
            order = candidate
        if order is None:
            continue
        goal = np.array(order.to)
        if order.who is not None:
            goal = goal + place[index[order.who]]
        way = goal - place[row]
        far = float(np.hypot(*way))
        push[row] = order.push
        if far > 0.03:
            wish[row] = way / far * min(order.pace, np.sqrt(2 * 0.8 * order.push * far), far * 9)
    return wish, push


def _part(place: Array, weight: Array, foes: NDArray[np.bool_]) -> tuple[Array, Array]:
    """Move men apart who stand in one another, and say who touches an opponent."""
    placed = place.copy()
    for _ in range(2):
        gap = placed[:, None] - placed[None, :]
        far = np.linalg.norm(gap, axis=2)
        np.fill_diagonal(far, np.inf)
        room = np.where(foes, _ROOM_YD, 0.62)
        over = np.clip(room - far, 0, None)
        share = weight[None, :] / (weight[:, None] + weight[None, :])
        move = gap / np.maximum(far, 1e-6)[..., None] * (0.5 * over * share)[..., None]
        placed = placed + move.sum(axis=1)
    touching = ((far < _ROOM_YD + 0.12) & foes).any(axis=1).astype(np.float64)
    return placed, touching


def _turned(facing: Array, ahead: Array, speed: Array) -> Array:
    """Turn men towards where they run; slow men square up to the other side."""
    pace = np.linalg.norm(speed, axis=1)
    run = np.clip((pace - 1.8) / 2.2, 0, 1)
    course = np.arctan2(speed[:, 1], speed[:, 0])
    wide = (course - ahead + np.pi) % (2 * np.pi) - np.pi
    # Men on the defence keep the chest to the ball while they run across.
    wish = ahead + wide * run * np.where(np.abs(wide) > 2.4, 0.1, 0.85)
    turn = (wish - facing + np.pi) % (2 * np.pi) - np.pi
    turned: Array = facing + np.clip(turn, -_TURN_RADS * STEP_S, _TURN_RADS * STEP_S)
    return turned
