"""The lists that move an angle's films along the plays: which angle, which way, how far."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import TYPE_CHECKING

from gradecut.desk.asking import Answer, Ask, numbered
from gradecut.workflows.play_words import plays_told

if TYPE_CHECKING:
    from gradecut.desk.film_desk import FilmDesk

__all__ = ["which_angle"]

_WAYS = (("later", 1), ("earlier", -1))


def which_angle(desk: FilmDesk) -> Ask | None:
    """Ask which angle's films to move along the plays, of all the session has."""
    state = desk.state
    if state is None:
        return None
    answers = []
    for name, orders in desk.telling.paired().items():
        again = partial(desk.hand.open, partial(_which_way, desk, name))
        answers.append(Answer(words=name, hint=plays_told(orders), do=again))
    title = f"Move which films, from play {state.clip.order} on?"
    return Ask(kind="pairing", title=title, answers=tuple(answers))


def _which_way(desk: FilmDesk, angle: str) -> Ask | None:
    """Ask which way to move one angle's films, and how far."""
    state = desk.state
    if state is None:
        return None
    by_one: list[tuple[str, Callable[[], object]]] = [
        (f"one {way}", partial(desk.telling.shift_pairing, angle, by)) for way, by in _WAYS
    ]
    by_more: list[tuple[str, Callable[[], object]]] = [
        (f"{way} by how many", partial(desk.hand.open, partial(_how_far, desk, angle, way, by)))
        for way, by in _WAYS
    ]
    here = next((one for one in state.timeline.angles if one.name == angle), None)
    film = f"film {state.timeline.films[here.film_id].name}" if here else "none"
    title = f"The {angle} films from play {state.clip.order} on (here: {film}):"
    return Ask(kind="pairing", title=title, answers=numbered([*by_one, *by_more]))


def _how_far(desk: FilmDesk, angle: str, way: str, by: int) -> Ask | None:
    """Ask by how many plays to move one angle's films."""
    state = desk.state
    if state is None:
        return None
    title = f"The {angle} films from play {state.clip.order} on: how many plays {way}?"
    options: list[tuple[str, Callable[[], object]]] = [
        (str(count), partial(desk.telling.shift_pairing, angle, by * count))
        for count in range(1, 10)
    ]
    return Ask(kind="pairing", title=title, answers=numbered(options))
