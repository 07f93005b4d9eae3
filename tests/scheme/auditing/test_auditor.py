"""A scheme proven over every look, against an audit that lists them all."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
from hypothesis import HealthCheck, Phase, assume, given, settings
from hypothesis import strategies as st

from gradecut.errors import SchemeError
from gradecut.scheme import Audit, Scheme, _product, parse_scheme
from gradecut.scheme.auditing import Auditor
from tests.scheme.invented_schemes import audited_schemes, tied_schemes, written
from tests.scheme.plain_audit import PlainAudit

SLOW = settings(
    max_examples=150,
    deadline=None,
    phases=[Phase.explicit, Phase.reuse, Phase.generate],  # to shrink a failure takes minutes
    suppress_health_check=[
        HealthCheck.too_slow,
        HealthCheck.filter_too_much,
        HealthCheck.data_too_large,
    ],
)
MOST = 220  # looks: the plain audit compares all pairs


def _ready(drawn: dict[str, Any]) -> Scheme:
    """Load a drawn scheme; an entry that can never hold is a fault of the file, not our matter."""
    try:
        return parse_scheme(written(drawn), "drawn")
    except SchemeError as refused:
        told = [fault.message for fault in refused.faults]
        assert all("never hold" in message or "no look" in message for message in told), told
        assume(False)
        raise


def _same(found: Audit, plain: PlainAudit) -> None:
    assert found.looks == len(plain.looks)
    assert {finding.position for finding in found.holes} == set(plain.holes)
    pairs = [(finding.position, *finding.rules) for finding in found.overlaps]
    assert set(pairs) == set(plain.overlaps)
    assert len(pairs) == len(set(pairs))
    assert {finding.duty for finding in found.duties} == set(plain.duties)
    assert [finding.rules for finding in found.masked] == [(name,) for name in plain.masked]
    assert [finding.rules for finding in found.dead] == [(name,) for name in plain.dead]
    assert [finding.fact for finding in found.idle] == plain.idle
    assert bool(found) == (not plain.holes and not plain.overlaps and not plain.duties)
    shown = [
        *((finding, plain.holes[str(finding.position)]) for finding in found.holes),
        *((finding, plain.overlaps[str(finding.position), finding.rules[0], finding.rules[1]])
          for finding in found.overlaps),
        *((finding, plain.duties[str(finding.duty)]) for finding in found.duties),
    ]  # fmt: skip
    for finding, looks in shown:
        assert finding.look is not None
        assert plain.shows(dict(finding.look), looks)
        assert len(finding.look) == plain.fewest(looks)
        assert finding.message.endswith(".")


@SLOW
@given(audited_schemes())
def test_findings_are_those_of_the_plain_audit(drawn: dict[str, Any]) -> None:
    """Same findings, and looks of the same size all of whose completions show them."""
    scheme = _ready(drawn)
    found = scheme.audit()
    assume(found.looks <= MOST)
    _same(found, PlainAudit(drawn))


@SLOW
@given(tied_schemes())
def test_facts_tied_by_what_cannot_be_are_told_apart(drawn: dict[str, Any]) -> None:
    """Where what cannot be ties facts: idle ones, and looks that a tie makes smaller."""
    _same(_ready(drawn).audit(), PlainAudit(drawn))


@SLOW
@given(st.one_of(audited_schemes(), tied_schemes()), st.sampled_from([1, 4, 16]))
def test_a_large_product_is_audited_like_a_small_one(drawn: dict[str, Any], leaf: int) -> None:
    """With sets kept as branchings, as they are for large products, the findings are the same."""
    scheme = _ready(drawn)
    plain = scheme.audit()
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(_product, "PLAIN_BITS", 1)
        patch.setattr(_product, "LEAF_BITS", leaf)
        large = scheme.audit()
    sizes = [(finding.kind, len(finding.look or ())) for finding in plain.findings]
    assert [(finding.kind, len(finding.look or ())) for finding in large.findings] == sizes
    assert replace(large, holes=(), overlaps=(), duties=()) == replace(
        plain, holes=(), overlaps=(), duties=()
    )
    if plain.looks <= MOST:
        _same(large, PlainAudit(drawn))


@SLOW
@given(audited_schemes(), st.data())
def test_what_was_proven_before_an_edit_is_still_true_after_it(
    drawn: dict[str, Any], data: st.DataObject
) -> None:
    """Beside edits the findings are those of an audit from nothing."""
    auditor = Auditor()
    scheme = _ready(drawn)
    assert auditor.audit(scheme) == scheme.audit()
    rule = data.draw(st.sampled_from(drawn["rules"]))
    rule["fit"] = data.draw(st.sampled_from(sorted(drawn["fits"])))
    edited = _ready(drawn)
    assert auditor.audit(edited) == edited.audit()
