"""Long recordings drawn in code: men who stand, burst and walk back, and a camera that pans."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from fractions import Fraction

import cv2
import numpy as np
from numpy.typing import NDArray

Grey = NDArray[np.uint8]


@dataclass(frozen=True, kw_only=True)
class Recording:
    """How a recording is made; every length is seconds or pixels of its own pictures.

    A yard is ``yard_px`` pixels at zoom 1; men run about 5 yards a second and walk about 1.3.
    """

    seed: int
    size_px: tuple[int, int] = (240, 135)
    rate: float = 5.0
    plays: int = 8
    men: int = 22
    yard_px: float = 4.0
    set_s: tuple[float, float] = (2.0, 5.0)
    play_s: tuple[float, float] = (3.0, 7.0)
    between_s: tuple[float, float] = (8.0, 15.0)
    run_yd_s: tuple[float, float] = (3.0, 7.0)
    walk_yd_s: float = 1.3
    pan_yd: float = 14.0
    follows: float = 0.6
    zooms: float = 0.0
    wobble_px: float = 0.0
    flicker: float = 0.0
    grain: float = 2.0
    contrast: float = 1.0
    in_motion: bool = False
    cuts: tuple[int, ...] = ()
    pauses: tuple[int, ...] = ()
    texture_px: float = 2.0
    lines: bool = True
    shirts: tuple[int, int] = (40, 215)


@dataclass(frozen=True, kw_only=True)
class Truth:
    """When each play was snapped and blown dead, seconds; and where the film paused."""

    plays: tuple[tuple[float, float], ...]
    pauses: tuple[tuple[float, float], ...]
    length_s: float


@dataclass
class _Man:
    at: NDArray[np.float64]
    shirt: int
    goal: NDArray[np.float64] = field(default_factory=lambda: np.zeros(2))
    speed: NDArray[np.float64] = field(default_factory=lambda: np.zeros(2))


def draw_recording(made: Recording) -> tuple[Iterator[tuple[Fraction, Grey]], Truth]:
    """Return the pictures with their times, drawn as they are asked for, and the truth."""
    rng = np.random.default_rng(made.seed)
    acts = _acts(made, rng)
    plays, pauses, clock = [], [], 0.0
    for number, (set_s, play_s, between_s) in enumerate(acts, start=1):
        plays.append((clock + set_s, clock + set_s + play_s))
        clock += set_s + play_s + between_s
        if number in made.pauses:
            pauses.append((clock - 1 / made.rate, clock + 20.0))
            clock += 20.0
    truth = Truth(plays=tuple(plays), pauses=tuple(pauses), length_s=clock)
    return _pictures(made, acts, rng), truth


def _acts(made: Recording, rng: np.random.Generator) -> list[tuple[float, ...]]:
    step = 1.0 / made.rate
    lengths = rng.uniform(
        (made.set_s[0], made.play_s[0], made.between_s[0]),
        (made.set_s[1], made.play_s[1], made.between_s[1]),
        (made.plays, 3),
    )
    # Whole pictures, so that the truth and the pictures keep one clock.
    return [tuple(float(part) for part in np.round(row / step) * step) for row in lengths]


def _pictures(
    made: Recording, acts: list[tuple[float, ...]], rng: np.random.Generator
) -> Iterator[tuple[Fraction, Grey]]:
    field_of = [_turf(made, made.seed + shift) for shift in (0, 77)]
    step = 1.0 / made.rate
    line = np.array([70.0, 27.0])  # yards
    men = [
        _Man(at=spot, shirt=int(made.shirts[order % 2] + rng.integers(-12, 13)))
        for order, spot in enumerate(_line_up(made, line, rng))
    ]
    camera, zoom, paused, place = line.copy(), 1.0, 0.0, 0
    count = 0
    for number, (set_s, play_s, between_s) in enumerate(acts, start=1):
        after = line + np.array([rng.uniform(-1, 1) * made.pan_yd, 0.0])
        if abs(after[0] - 70) > 40:
            after[0] = 70.0
        spots = _line_up(made, after, rng)
        last_s = set_s + play_s + between_s
        begun = count * step
        while count * step - begun < last_s - step / 2:
            now = count * step - begun
            running = set_s <= now < set_s + play_s
            for order, man in enumerate(men):
                going = _Going(
                    spot=spots[order], since_snap=now - set_s, play_s=play_s, between_s=between_s
                )
                _move(made, man, order, going, rng)
            middle = np.mean([man.at for man in men], axis=0)
            wanted = after if now > set_s + play_s + 1.0 else line
            if running:
                wanted = line + made.follows * (middle - line)
            camera += np.clip(wanted - camera, -9 * step, 9 * step) * min(1.0, 2.5 * step)
            zoom_to = 1 + made.zooms * (1.0 if running else 0.0)
            zoom += (zoom_to - zoom) * min(1.0, 1.2 * step)
            at = Fraction(count, 1) / Fraction(made.rate).limit_denominator(1000)
            matrix = _view(made, camera, zoom, count * step, rng)
            light = np.sin(9.3 * count * step) + 0.5 * np.sin(2.1 * count * step)
            shot = _shot(made, field_of[place], men, matrix) * (1 + made.flicker * light)
            grainy = shot + rng.normal(0, made.grain, shot.shape)
            grey = np.asarray(np.clip(grainy, 0, 255), dtype=np.uint8)
            yield at + Fraction(paused).limit_denominator(1000), grey
            count += 1
        line = after
        if number in made.cuts:
            place = 1 - place
            line = np.array([70.0 + rng.uniform(-20, 20), 27.0])
            camera = line.copy()
            for man, spot in zip(men, _line_up(made, line, rng), strict=True):
                man.at = spot
        if number in made.pauses:
            paused += 20.0
            for man, spot in zip(men, _line_up(made, line, rng), strict=True):
                man.at = spot
            camera = line.copy()


def _line_up(
    made: Recording, line: NDArray[np.float64], rng: np.random.Generator
) -> list[NDArray[np.float64]]:
    """Return where the men stand at a line of scrimmage, yards."""
    spots = []
    for order in range(made.men):
        side = 1 if order % 2 else -1
        deep = 0.8 if order < 10 else rng.uniform(2, 9)
        across = (order // 2 - 2) * 1.7 if order < 10 else rng.uniform(-14, 14)
        spots.append(line + np.array([side * deep, across]))
    return spots


@dataclass(frozen=True, kw_only=True)
class _Going:
    """Where a man stands in the course of a play, and where he is to line up next."""

    spot: NDArray[np.float64]
    since_snap: float
    play_s: float
    between_s: float


def _move(made: Recording, man: _Man, order: int, going: _Going, rng: np.random.Generator) -> None:
    """Move a man by one step: still, running, slowing down, or on his way to the next line."""
    step, since_snap, play_s = 1.0 / made.rate, going.since_snap, going.play_s
    if since_snap < 0:
        if made.in_motion and order == 15 and since_snap > -1.5:
            man.at = man.at + np.array([0.0, 2.5 * step])
        man.speed = np.zeros(2)
        return
    if since_snap < play_s:
        if not man.speed.any() or rng.random() < 0.6 * step:
            turn = rng.uniform(0, 2 * np.pi)
            man.speed = rng.uniform(*made.run_yd_s) * np.array([np.cos(turn), np.sin(turn)])
        tempo = min(1.0, since_snap / 0.4 + 0.2) * (0.35 if order < 10 else 1.0)
        man.at = man.at + man.speed * step * tempo
        return
    if since_snap < play_s + 0.8:
        man.speed *= 0.6
        man.at = man.at + man.speed * step * 0.5
        return
    way = going.spot - man.at
    far = float(np.hypot(*way))
    left = play_s + going.between_s - since_snap
    pace = max(made.walk_yd_s, far / max(left - 1.0, 0.5) if left > 1.0 else far / step)
    man.at = man.at + way / max(far, 1e-6) * min(far, pace * step)


def _turf(made: Recording, seed: int) -> NDArray[np.float32]:
    """Return the field, 140 by 54 yards, seen from above at four pixels a yard."""
    rng = np.random.default_rng(seed)
    scale = made.yard_px
    size = (int(140 * scale), int(70 * scale))
    rough = cv2.GaussianBlur(
        rng.normal(0, 1, size[::-1]).astype(np.float32), (0, 0), made.texture_px
    )
    turf = np.clip(95 + 9 * made.contrast * rough / float(rough.std()), 0, 255).astype(np.uint8)
    if made.lines:
        for yard in range(0, 140, 5):
            x = int(yard * scale)
            turf[:, x : x + 2] = 95 + int(70 * made.contrast)
        for across in (8, 62):
            y = int(across * scale)
            turf[y : y + 2] = 95 + int(80 * made.contrast)
        for yard in range(0, 140, 10):
            cv2.putText(
                turf, str(seed % 7 + yard), (int(yard * scale) + 4, int(18 * scale)), 0, 0.5,
                (95 + 60 * made.contrast,), 1,
            )  # fmt: skip
    return np.asarray(turf, dtype=np.float32)


def _view(
    made: Recording,
    camera: NDArray[np.float64],
    zoom: float,
    time_s: float,
    rng: np.random.Generator,
) -> NDArray[np.float64]:
    """Return the map from the turf's pixels to the picture's, the camera a little shaken."""
    width, height = made.size_px
    shaken = made.wobble_px * np.array(
        [np.sin(5.1 * time_s) + rng.normal(0, 0.4), np.cos(3.7 * time_s) + rng.normal(0, 0.4)]
    )
    middle = (camera + np.array([0.0, 8.0])) * made.yard_px
    return np.array(
        [
            [zoom, 0, width / 2 - zoom * middle[0] + shaken[0]],
            [0, zoom, height / 2 - zoom * middle[1] + shaken[1]],
        ]
    )


def _shot(
    made: Recording,
    turf: NDArray[np.float32],
    men: list[_Man],
    matrix: NDArray[np.float64],
) -> NDArray[np.float32]:
    """Return the picture the camera takes."""
    scale, zoom = made.yard_px, float(matrix[0, 0])
    picture = cv2.warpAffine(turf, matrix, made.size_px, borderMode=cv2.BORDER_REFLECT)
    for man in men:
        x, y = matrix @ ((man.at[0]) * scale, (man.at[1] + 8.0) * scale, 1.0)
        tall, wide = 1.9 * scale * zoom, 0.8 * scale * zoom
        corner = (int(16 * (x - wide / 2)), int(16 * (y - tall)))
        far = (int(16 * (x + wide / 2)), int(16 * y))
        cv2.rectangle(picture, corner, far, (float(man.shirt),), -1, cv2.LINE_AA, 4)
        head = (int(16 * x), int(16 * (y - tall)))
        cv2.circle(picture, head, int(16 * wide * 0.4), (200.0,), -1, cv2.LINE_AA, 4)
    return np.asarray(picture, dtype=np.float32)
