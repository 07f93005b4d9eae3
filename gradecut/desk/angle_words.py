"""How a camera's view is called in the window."""

from __future__ import annotations

from collections.abc import Mapping

__all__ = ["view_words"]

_PLACES: Mapping[str, str] = {"end": "end zone", "side": "sideline"}
"""Where the camera of an angle stands that has its usual name."""


def view_words(name: str, *, short: bool = False) -> str:
    """Name an angle by where its camera stands: "end zone view", short "end zone".

    An angle the coach named himself keeps his word.

    Examples
    --------
    >>> view_words("end"), view_words("side", short=True), view_words("tower")
    ('end zone view', 'sideline', 'tower view')
    """
    place = _PLACES.get(name, name)
    return place if short else f"{place} view"
