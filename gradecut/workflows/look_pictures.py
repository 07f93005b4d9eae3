"""From the facts of a look to its picture: who stands where on it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Literal, TypeVar, cast

from gradecut.book import Book
from gradecut.drawing import seen_from
from gradecut.records import Angle, Clip, Expectation, Side
from gradecut.records.picture import BackSpot, LookPicture, Manned, PictureMan
from gradecut.scheme import Scheme, Value

__all__ = [
    "Turn", "front_of", "look_picture", "quarter_on", "stands_at", "turn_of", "turn_pictures",
]  # fmt: skip

Turn = Literal[0, 90, 180, 270]
"""How far a picture is turned, in degrees clockwise from the sight behind the offence."""
_TURNS: tuple[Turn, ...] = (0, 90, 180, 270)

T = TypeVar("T")

_GAPS = "ABCDE"
_ACROSS_YD = (0.73, 2.2, 3.6, 5.1, 6.5)
"""Middles of the gaps from the ball at usual splits; the picture is a diagram, not a map."""


def look_picture(
    look: Mapping[str, Value],
    men: Sequence[PictureMan] = (),
    *,
    front: Sequence[Manned] = (),
    question: str | None = None,
) -> LookPicture:
    """Draw what is known of a look, with his men and the front where they are given.

    Facts are read by the names ``surface.left`` and ``surface.right``, ``wing``, ``back``,
    ``under_centre``, ``strength``, ``run`` and ``concept``; what a scheme calls otherwise is
    left to be told in words.
    """
    return LookPicture(
        surface_left=_count(look.get("surface.left")),
        surface_right=_count(look.get("surface.right")),
        wing=_one_of(look.get("wing"), ("left", "right", "none")),
        back=cast(
            "BackSpot | None", _one_of(look.get("back"), ("left", "right", "behind", "none"))
        ),
        under_centre=_flag(look.get("under_centre")),
        strength=_side(look.get("strength")),
        run_side=_side(look.get("run")),
        concept=str(look.get("concept", "")),
        front=tuple(front),
        men=tuple(men),
        question=question,
    )


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


def stands_at(
    expected: Expectation, look: Mapping[str, Value], side: Side | None = None
) -> tuple[float, float] | None:
    """Return where a man lines up, in yards across and deep; None where the scheme is silent.

    A landmark that is no gap is taken as outside the surface on its side.

    Parameters
    ----------
    side : "left", "right" or None
        The side he was seen to line up at; None: the one the scheme asks.
    """
    asked = expected.alignment
    stood = side or (asked.side if asked else None)
    if asked is None or stood is None:
        return None
    gap = asked.landmark if asked.landmark in _GAPS else _outside(look, stood)
    if not gap:
        return None
    across = _ACROSS_YD[_GAPS.index(gap)]
    return (-across if stood == "left" else across, asked.depth_yd)


def quarter_on(turn: int) -> Turn:
    """Return the turn a quarter further on.

    >>> quarter_on(90), quarter_on(270)
    (180, 0)
    """
    return _TURNS[(turn // 90 + 1) % len(_TURNS)]


def turn_pictures(book: Book, session_id: str, name: str, turn: Turn) -> int:
    """Turn the picture of the look as an angle sees it, on every play of a session.

    Parameters
    ----------
    name : str
        The angle's, such as "end"; every play's angle of that name is turned, in one act.
    turn : Turn
        Degrees clockwise from the sight behind the offence: 0, 90, 180 or 270.

    Returns
    -------
    int
        How many angles were turned; those that were so already are left alone.
    """
    clips = [clip.id for clip in book.find(Clip, session_id=session_id)]
    others = [angle for angle in book.find(Angle, clip_id=clips, name=name) if angle.turn != turn]
    if others:
        with book.act(f"see looks from {seen_from(turn)}") as act:
            for angle in others:
                act.put(replace(angle, turn=turn))
    return len(others)


def _outside(look: Mapping[str, Value], side: Side) -> str:
    """Return the gap outside everyone attached; empty while that is not known."""
    surface = look.get(f"surface.{side}")
    return _GAPS[surface] if type(surface) is int and 0 <= surface < len(_GAPS) else ""


def _count(value: Value | None) -> int | None:
    return value if isinstance(value, int) and not isinstance(value, bool) else None


def _flag(value: Value | None) -> bool | None:
    return value if isinstance(value, bool) else None


def _side(value: Value | None) -> Side | None:
    return _one_of(value, cast("tuple[Side, ...]", ("left", "right")))


def _one_of(value: Value | None, known: tuple[T, ...]) -> T | None:
    return next((one for one in known if one == value), None)


def turn_of(book: Book, session_id: str, name: str) -> int:
    """Return how an angle of a name sees the looks of a session; 0 while there is none."""
    clips = [clip.id for clip in book.find(Clip, session_id=session_id)]
    return next((angle.turn for angle in book.find(Angle, clip_id=clips, name=name)), 0)
