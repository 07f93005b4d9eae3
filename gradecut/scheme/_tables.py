"""Many readings side by side, so that all that hold on one look are found at once.

Each alternative of each reading is a row, and a row is a bit. For every value of every reference
the rows that do not allow it are kept as one set of bits, so a look rules out rows by one `or` for
each reference, however many rules there are.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence

from gradecut.scheme._reading import Answer, Check, Reading

__all__ = ["Table"]

_Pointed = tuple[str, str, str]


class Table:
    """Readings that are asked together.

    Parameters
    ----------
    readings : sequence of Reading
        What is asked, in order.
    values_of : callable
        Gives the values a reference may have; that it may have none is taken for granted.
    """

    def __init__(
        self, readings: Sequence[Reading], values_of: Callable[[str], Iterable[Answer]]
    ) -> None:
        self._readings = readings
        self._values_of = values_of
        self._places: list[int] | None = None  # rows are laid out when first asked
        self._full = 0
        self._plain: list[tuple[str, dict[Answer, int]]] = []
        self._pointed: list[tuple[_Pointed, dict[Answer, int]]] = []

    def holding(self, values: Mapping[str, Answer]) -> list[int]:
        """Give the places of the readings that hold on one look with every fact known."""
        places = self._places if self._places is not None else self._lay_out()
        barred = 0
        for reference, rows in self._plain:
            barred |= rows[values[reference]]
        for (pointer, left, right), rows in self._pointed:
            side = values[pointer]
            if side == "left":
                barred |= rows[values[left]]
            else:
                barred |= rows[values[right] if side == "right" else None]
        rest = self._full & ~barred
        found: list[int] = []
        while rest:
            row = rest & -rest
            place = places[row.bit_length() - 1]
            if not found or found[-1] != place:
                found.append(place)
            rest ^= row
        return found

    def _lay_out(self) -> list[int]:
        places: list[int] = []
        plain: dict[str, dict[Answer, list[int]]] = {}
        pointed: dict[_Pointed, dict[Answer, list[int]]] = {}
        for place, reading in enumerate(self._readings):
            for checks in reading:
                row = len(places)
                places.append(place)
                for check in checks:
                    if isinstance(check, Check):
                        by_value = plain.setdefault(check.reference, {})
                        named = check.reference
                    else:
                        key = (check.pointer, check.left, check.right)
                        by_value = pointed.setdefault(key, {})
                        named = check.left
                    for value in (*self._values_of(named), None):
                        rows = by_value.setdefault(value, [])
                        if value not in check.allowed:
                            rows.append(row)
        count = len(places)
        self._full = (1 << count) - 1
        self._plain = [(key, _as_sets(rows, count)) for key, rows in plain.items()]
        self._pointed = [(key, _as_sets(rows, count)) for key, rows in pointed.items()]
        self._places = places
        return places


def _as_sets(rows: Mapping[Answer, list[int]], count: int) -> dict[Answer, int]:
    found: dict[Answer, int] = {}
    for value, places in rows.items():
        bits = bytearray(count // 8 + 1)
        for place in places:
            bits[place >> 3] |= 1 << (place & 7)
        found[value] = int.from_bytes(bits, "little")
    return found
