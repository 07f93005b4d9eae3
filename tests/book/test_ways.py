"""What would come back as something else is refused; the rest comes back as it was."""

from __future__ import annotations

from fractions import Fraction
from typing import Any, Literal

import numpy as np
import pytest

from gradecut.book.ways import way_of
from gradecut.records import Fingerprint, Freeze


@pytest.mark.parametrize(
    ("hint", "value"),
    [
        (str, 7),
        (str, "a\0b"),
        (str, "\udcff.mp4"),
        (int, True),
        (int, 1.0),
        (int, "1"),
        (int, 2**63),
        (float, "0.5"),
        (float, float("nan")),
        (float, float("inf")),
        (float, True),
        (bool, 1),
        (bool, "yes"),
        (Fraction, 0.5),
        (Fraction, True),
        (Fingerprint, "blake2b:00"),
        (Literal["left", "right"], "middle"),
        (tuple[str, ...], "abc"),
        (tuple[float, float], (1.0,)),
        (dict[str, int], {"a": "b"}),
        (tuple[Freeze, ...], (1,)),
        (str | int | bool, 1.5),
        (str | int | bool, None),
        (int | None, "x"),
    ],
)
def test_refuses_what_it_could_not_give_back(hint: Any, value: object) -> None:
    """A value of another type, or one no column can hold, is never stored half right."""
    hint = _as_mapping(hint)
    with pytest.raises((TypeError, ValueError)):
        way_of(hint).there(value)


def _as_mapping(hint: Any) -> Any:
    from collections.abc import Mapping

    return Mapping[str, int] if hint == dict[str, int] else hint


@pytest.mark.parametrize(
    ("hint", "value", "back"),
    [
        (int, np.int64(7), 7),
        (float, np.float32(0.5), 0.5),
        (float, 3, 3.0),
        (Fraction, 2, Fraction(2)),
        (Fraction | None, None, None),
        (bytes, b"\x00", b"\x00"),
        (tuple[tuple[float, float], ...], [(1, 2)], ((1.0, 2.0),)),
        (str | int | bool, True, True),
        (str | int | bool, 1, 1),
        (str | int | bool, "1", "1"),
    ],
)
def test_gives_back_plain_values(hint: Any, value: object, back: object) -> None:
    """Numbers of arrays and whole numbers come back as the plain value of the field's type."""
    way = way_of(hint)
    kept = way.there(value)
    found = way.back(kept) if way.back else kept
    assert found == back
    assert type(found) is type(back)


def test_unknown_types_are_a_programmers_fault() -> None:
    """A record with a field nobody said how to keep fails when it is first used."""
    with pytest.raises(TypeError, match="no way to keep"):
        way_of(complex)
