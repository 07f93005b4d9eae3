"""What an audit says where it may not work any longer: it stays exact, and names what is open."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import HealthCheck, Phase, assume, given, settings
from hypothesis import strategies as st

from gradecut.errors import SchemeError
from gradecut.scheme import Scheme, _budget, _changes, parse_scheme
from gradecut.scheme.auditing import _hitting, _smallest
from gradecut.scheme.auditing.findings import Audit
from tests.scheme.invented_schemes import audited_schemes, written
from tests.scheme.plain_audit import PlainAudit

MOST = 150  # looks: the plain audit compares all pairs

TIED = """
[facts.a]
values = [0, 1]
[facts.b]
values = [0, 1]
[facts.c]
values = [0, 1]
[positions.Keel]
side = "none"
[fits.fill]
job = "fill"
[fits.sink]
job = "sink"
[[rules]]
id = "R1"
for = ["Keel"]
when = { a = 1 }
fit = "fill"
[[rules]]
id = "R2"
for = ["Keel"]
when = { a = 0 }
fit = "sink"
[[impossible]]
when = { a = 0, b = 1 }
[[impossible]]
when = { a = 1, b = 0 }
"""


def _ready(drawn: dict[str, Any]) -> Scheme:
    try:
        return parse_scheme(written(drawn), "drawn")
    except SchemeError:
        assume(False)
        raise


@settings(
    max_examples=60,
    deadline=None,
    phases=[Phase.explicit, Phase.reuse, Phase.generate],
    suppress_health_check=list(HealthCheck),
)
@given(audited_schemes(), st.sampled_from([1, 4]))
def test_a_look_that_may_not_be_the_smallest_shows_the_finding_all_the_same(
    drawn: dict[str, Any], leaf: int
) -> None:
    """Every look of the audit shows its finding, loses it with any fact less, and is named."""
    scheme = _ready(drawn)
    whole = scheme.audit()
    assume(whole.looks <= MOST and whole.findings)
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(_smallest, "_STEPS", 0)
        patch.setattr(_budget, "_CHECKED_EVERY", 1)
        patch.setattr("gradecut.scheme._product.PLAIN_BITS", 1)
        patch.setattr("gradecut.scheme._product.LEAF_BITS", leaf)
        short = scheme.audit()
    names = [(one.kind, one.rules, one.position, one.duty) for one in short.findings]
    assert names == [(one.kind, one.rules, one.position, one.duty) for one in whole.findings]
    plain = PlainAudit(drawn)
    for found, looks in _shown(short, plain):
        assert plain.shows(found, looks)
        for reference in found:
            fewer = {ref: value for ref, value in found.items() if ref != reference}
            assert not plain.shows(fewer, looks)
    if any(one.look for one in short.findings):
        assert all(sentence.endswith(".") for sentence in short.unproven)


def _shown(audit: Audit, plain: PlainAudit) -> list[tuple[dict[str, Any], set[int]]]:
    return [
        *((dict(one.look or {}), plain.holes[str(one.position)]) for one in audit.holes),
        *(
            (dict(one.look or {}), plain.overlaps[str(one.position), one.rules[0], one.rules[1]])
            for one in audit.overlaps
        ),
        *((dict(one.look or {}), plain.duties[str(one.duty)]) for one in audit.duties),
    ]


def test_an_open_question_of_idleness_is_named_and_refuses_nothing() -> None:
    """Holes, overlaps and duties stand; the fact is not called idle, but told as open."""
    scheme = parse_scheme(TIED, "tied")
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(_changes, "_MOST_SEARCHED", 0)
        audit = scheme.audit()
    assert audit
    assert [one.fact for one in audit.idle] == ["c"]
    assert audit.unproven == (
        "Whether anything depends on a could not be settled.",
        "Whether anything depends on b could not be settled.",
    )
    settled = scheme.audit()
    assert [one.fact for one in settled.idle] == ["c"]
    assert settled.unproven == ()


@given(
    st.lists(
        st.tuples(st.frozensets(st.integers(0, 5), min_size=1), st.frozensets(st.integers(0, 5))),
        max_size=8,
    )
)
def test_the_fewest_that_meet_every_clause_are_found(
    clauses: list[tuple[frozenset[int], frozenset[int]]],
) -> None:
    """As by trying all sets of six, the smallest first; none where none meets them all."""
    hitting = _hitting.Hitting(_budget.Budget())
    pairs = [(_mask(told), _mask(kept - told)) for told, kept in clauses]
    for pair in pairs:
        hitting.add(pair)
    fitting = [
        told for told in range(64) if all(told & one or ~told & other for one, other in pairs)
    ]
    found = hitting.smallest(6)
    if not fitting:
        assert found is None
        return
    assert found in fitting
    assert found is not None
    assert found.bit_count() == min(told.bit_count() for told in fitting)


def _mask(levels: frozenset[int]) -> int:
    return sum(1 << level for level in levels)
