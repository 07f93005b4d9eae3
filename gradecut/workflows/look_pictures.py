"""From the facts of a look to its picture."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TypeVar, cast

from gradecut.records import Side
from gradecut.records.picture import BackSpot, LookPicture, Manned, PictureMan
from gradecut.scheme import Value

__all__ = ["look_picture"]

T = TypeVar("T")


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


def _count(value: Value | None) -> int | None:
    return value if isinstance(value, int) and not isinstance(value, bool) else None


def _flag(value: Value | None) -> bool | None:
    return value if isinstance(value, bool) else None


def _side(value: Value | None) -> Side | None:
    return _one_of(value, cast("tuple[Side, ...]", ("left", "right")))


def _one_of(value: Value | None, known: tuple[T, ...]) -> T | None:
    return next((one for one in known if one == value), None)
