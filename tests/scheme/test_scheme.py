"""What a scheme answers."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, cast

import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

from gradecut.errors import LookError, SchemeError
from gradecut.scheme import Scheme, _product, _situation, parse_scheme
from tests.scheme import plain_reading as plain
from tests.scheme.invented_schemes import looks, schemes, tied_schemes, written

SLOW = settings(
    max_examples=150,
    deadline=None,
    suppress_health_check=[
        HealthCheck.too_slow,
        HealthCheck.filter_too_much,
        HealthCheck.data_too_large,
    ],
)
MOST = 220  # completions: the plain reading compares all pairs


@pytest.fixture(autouse=True, scope="module", params=[None, (1 << 16, 1), (1, 1), (1, 8)])
def ways(request: pytest.FixtureRequest) -> Iterator[None]:
    """Ask as small looks are asked, and as large ones are: like values merged, sets in branches."""
    with pytest.MonkeyPatch.context() as patch:
        if request.param is not None:
            patch.setattr(_situation, "_PLAIN", 0)
            patch.setattr(_situation, "_PLAIN_BITS", request.param[0])
            patch.setattr(_product, "LEAF_BITS", request.param[1])
        yield


def _ready(drawn: dict[str, Any]) -> tuple[Scheme, list[dict[str, Any]]]:
    """Load a drawn scheme; an entry that can never hold is a fault of the file, not our matter."""
    try:
        scheme = parse_scheme(written(drawn), "drawn")
    except SchemeError as refused:
        told = [fault.message for fault in refused.faults]
        assert all("never hold" in message or "no look" in message for message in told), told
        assume(False)
    return scheme, plain.completions(drawn, {})


def _same_answer(
    scheme: Scheme, drawn: dict[str, Any], position: str, look: dict[str, Any]
) -> None:
    whole = plain.completions(drawn, look)
    assume(len(whole) <= MOST)
    answers = [plain.answer(drawn, position, one) for one in whole]
    options = [answer["option"] if answer else (None, None) for answer in answers]
    said = scheme.expect(position, look)
    assert set(said.options) == set(options)
    assert len(said.options) == len(set(options))
    if len(set(options)) > 1:
        assert said.fit is None
        assert (said.rule, said.tier, said.cue, said.also, said.overrode) == (
            None,
            None,
            None,
            (),
            (),
        )
        assert list(said.needs) == plain.needs(drawn, whole, options)
    elif None in answers:
        assert said.fit is None
        assert said.needs == ()
    else:
        assert (said.fit, said.side) == options[0]
        assert said.needs == ()
        for key in ("rule", "tier"):
            agreed = {answer[key] for answer in answers if answer}
            assert getattr(said, key) == (agreed.pop() if len(agreed) == 1 else None)
        for key in ("also", "overrode"):
            shared = set.intersection(*(answer[key] for answer in answers if answer))
            assert set(getattr(said, key)) == shared
    places = {plain.alignment(drawn, position, one) for one in whole}
    place = places.pop() if len(places) == 1 else None
    got = said.alignment
    assert (
        None if got is None else (got.depth_yd, got.landmark, got.side, got.tolerance_yd)
    ) == place
    sides = {plain.own_side(drawn, position, one) for one in whole}
    assert scheme.side_of(position, look) == (sides.pop() if len(sides) == 1 else None)


@SLOW
@given(st.data())
def test_answers_are_those_of_the_plain_reading(data: st.DataObject) -> None:
    """On any part of any look: options, fit, rule, overrides, needs and their order."""
    drawn = data.draw(schemes())
    scheme, whole = _ready(drawn)
    assume(whole)
    for position in ("Keel", "Port"):
        _same_answer(scheme, drawn, position, data.draw(looks(whole, plain.references(drawn))))


@SLOW
@given(st.data())
def test_facts_that_change_only_in_company_are_named_together(data: st.DataObject) -> None:
    """Where what cannot be ties facts, needs holds the members of the smallest changes."""
    drawn = data.draw(tied_schemes())
    scheme, whole = _ready(drawn)
    assume(whole)
    for position in ("Keel", "Port"):
        _same_answer(scheme, drawn, position, data.draw(looks(whole, plain.references(drawn))))


@SLOW
@given(st.data())
def test_a_look_that_can_not_be_is_refused_and_no_other(data: st.DataObject) -> None:
    """Any mapping of references to values is answered if, and only if, it has a completion."""
    drawn = data.draw(schemes())
    scheme, _ = _ready(drawn)
    names = data.draw(st.sets(st.sampled_from(plain.references(drawn))))
    look = {name: data.draw(st.sampled_from(scheme.values_of(name))) for name in sorted(names)}
    if plain.completions(drawn, look):
        assert scheme.look_faults(look) == ()
        scheme.expect("Keel", look)
    else:
        assert len(scheme.look_faults(look)) == 1
        with pytest.raises(LookError):
            scheme.expect("Keel", look)


ASKED = """
[facts.wing]
values = ["left", "right", "none"]
sided = true
[facts.count]
values = [1, 2]
[facts.tied]
values = [true, false]
[positions.Bow]
side = "as aligned"
[fits.sink]
job = "sink"
[[rules]]
id = "1"
for = ["Bow"]
fit = "sink"
"""


@pytest.mark.parametrize(
    ("look", "said"),
    [
        ({"wing": ["left"]}, '"wing" can\'t be a list'),
        ({"wing": ("left",)}, '"wing" can\'t be a list'),
        ({"wing": {"left"}}, '"wing" can\'t be a list'),
        ({"tied": {}}, '"tied" can\'t be a table'),
        ({"tied": None}, '"tied" can\'t be nothing'),
        ({"tied": 1}, '"tied" has no value 1;'),
        ({"count": 1.0}, '"count" can\'t be 1.0;'),
        ({"count": 0.5}, '"count" can\'t be 0.5;'),
        ({"count": b"1"}, '"count" can\'t be something'),
        ({"wing": bytearray(b"left")}, '"wing" can\'t be something'),
        ({None: 1}, "A reference is told by its name, not as nothing"),
        ({("wing",): 1}, "A reference is told by its name, not as a list"),
        (None, "it can't be nothing"),
        ([], "it can't be an empty list"),
        ("wing", 'it can\'t be "wing"'),
        (3, "it can't be 3"),
    ],
)
def test_a_look_of_the_wrong_kind_is_refused_in_one_sentence(look: Any, said: str) -> None:
    """Whatever is asked with, the answer is a sentence that names what was told."""
    scheme = parse_scheme(ASKED, "asked")
    for ask in (
        lambda: scheme.expect("Bow", look),
        lambda: scheme.expect("Bow", look, "left"),
        lambda: scheme.expect_all(look),
        lambda: scheme.flips("Bow", look),
        lambda: scheme.flips("Bow", look, "left"),
        lambda: scheme.side_of("Bow", look),
    ):
        with pytest.raises(LookError) as refused:
            ask()
        assert said in str(refused.value)
        assert "\n" not in str(refused.value)
    assert said in scheme.look_faults(look)[0]


@pytest.mark.parametrize("man", [["K"], None, {}, 1.0, ("Bow",)])
def test_a_man_of_the_wrong_kind_is_unknown(man: Any) -> None:
    """A position that is no text is refused as an unknown one is."""
    scheme = parse_scheme(ASKED, "asked")
    for side in (None, "left"):
        for ask in (scheme.expect, scheme.flips, scheme.side_of):
            with pytest.raises(LookError, match="A position is told by its name, not as"):
                ask(man, {}, side)


@pytest.mark.parametrize("side", [["left"], {"left": 1}, 1.0, "to"])
def test_a_side_of_the_wrong_kind_is_refused(side: Any) -> None:
    """A side that is neither left nor right is told, and so are sides that name no men."""
    scheme = parse_scheme(ASKED, "asked")
    for ask in (scheme.expect, scheme.flips, scheme.side_of):
        with pytest.raises(LookError, match='on the "left" or the "right"'):
            ask("Bow", {}, side)
    with pytest.raises(LookError, match='on the "left" or the "right"'):
        scheme.expect_all({}, {"Bow": side})
    for sides in (3, ["left"], "left"):
        with pytest.raises(LookError, match="Sides are told by position"):
            scheme.expect_all({}, cast("Any", sides))
