"""Rules asked side by side answer as each asked by itself."""

from __future__ import annotations

from itertools import product
from typing import Any

from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

from gradecut.errors import SchemeError
from gradecut.scheme import parse_scheme
from gradecut.scheme._reading import holds, read
from gradecut.scheme._tables import Table
from tests.scheme.invented_schemes import schemes, written


@settings(
    max_examples=60,
    deadline=None,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.filter_too_much],
)
@given(st.data())
def test_all_that_hold_are_found_at_once_and_in_order(data: st.DataObject) -> None:
    """On every assignment of values, none among them: the readings that hold, in file order."""
    drawn: dict[str, Any] = data.draw(schemes())
    try:
        scheme = parse_scheme(written(drawn), "drawn")
    except SchemeError:
        assume(False)
    readings = [read(rule.when, scheme.facts, "left") for rule in scheme.rules]
    table = Table(readings, scheme.values_of)
    ways = [(*scheme.values_of(one), None) for one in scheme.references]
    for row in product(*ways):
        values = dict(zip(scheme.references, row, strict=True))
        assert table.holding(values) == [
            place for place, reading in enumerate(readings) if holds(reading, values)
        ]
