"""Looks of which little is known: counted a second time, over arrays of every completion.

The count here reads the file's own tables and shares no code with gradecut.scheme.
"""

from __future__ import annotations

import random
import tomllib
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from gradecut.errors import LookError
from gradecut.scheme import Scheme, load_scheme, parse_scheme
from tests.scheme import plain_reading

MILLRACE = Path(__file__).parent / "data" / "millrace.toml"
FLIP = {"left": "right", "right": "left"}
LOOKS: list[dict[str, Any]] = [
    {},
    {"strength": "left", "wing": "left"},
    {"back": "behind"},
    {"concept": "option", "strength": "right"},
]


@pytest.fixture(scope="module")
def millrace() -> Scheme:
    """Give the second whole scheme."""
    return load_scheme(MILLRACE)


@pytest.fixture(scope="module")
def written(millrace: Scheme) -> dict[str, Any]:
    """Give the file as TOML reads it."""
    return tomllib.loads(millrace.text)


class Count:
    """Every completion of a look that one man's rules can tell apart, as columns.

    A column gives for each value where a reference has it. What his rules do not name and
    nothing hangs on only makes a completion count more often.
    """

    def __init__(self, scheme: dict[str, Any], man: str, look: dict[str, Any]) -> None:
        self.scheme, self.man = scheme, man
        self.named = self._named()
        self.rows = 1
        self.values: dict[str, list[Any]] = {}
        self.columns: dict[str, Any] = {}
        self.weight = np.ones(1, dtype=np.int64)
        waiting = [ref for ref in plain_reading.references(scheme) if not ref.startswith("side.")]
        # Nothing here hangs on what hangs on something, and no side is a fact told for each rep.
        waiting.sort(key=lambda ref: "applies" in scheme["facts"][ref.partition(".")[0]])
        for reference in waiting:
            self._add(reference, look)
        for entry in scheme["impossible"]:
            for side in ("left", "right") if entry.get("each_side") else (None,):
                self._keep(~self.holds(entry["when"], side))

    def _named(self) -> set[str]:
        names: set[str] = set()
        for entry in self.scheme["impossible"]:
            names.update(reference.partition(".")[0] for reference in entry["when"])
        for fact in self.scheme["facts"].values():
            names.update(fact.get("applies", {}))
        for rule in self.scheme["rules"]:
            if self.man in rule["for"]:
                when = rule.get("when", {})
                for table in when if isinstance(when, list) else [when]:
                    names.update(part for key in table for part in key.split("."))
                side = self.scheme["fits"][rule["fit"]].get("side")
                names.update(side.values() if isinstance(side, dict) else ())
        side = self.scheme["positions"][self.man]["side"]
        names.update(side.values() if isinstance(side, dict) else ())
        return names

    def _add(self, reference: str, look: dict[str, Any]) -> None:
        fact = self.scheme["facts"][reference.partition(".")[0]]
        values = [look[reference]] if reference in look else list(fact["values"])
        applies = self.holds(fact.get("applies", {}), None)
        if reference in look:
            self._keep(applies)
            applies = applies[applies]
        if reference.partition(".")[0] not in self.named:
            self.weight = self.weight * np.where(applies, len(values), 1)
            return
        times = np.where(applies, len(values), 1)
        where = np.repeat(np.arange(self.rows), times)
        starts = np.repeat(np.cumsum(times) - times, times)
        place = (np.arange(len(where)) - starts).astype(np.int8)
        self._take(where)
        self.columns[reference] = np.where(applies[where], place, np.int8(-1)).astype(np.int8)
        self.values[reference] = values

    def _keep(self, mask: Any) -> None:
        self._take(np.flatnonzero(mask))

    def _take(self, where: Any) -> None:
        self.columns = {ref: column[where] for ref, column in self.columns.items()}
        self.weight = self.weight[where]
        self.rows = len(where)

    def has(self, reference: str, wanted: list[Any]) -> Any:
        """Tell where a reference has one of some values."""
        found = np.zeros(self.rows, dtype=bool)
        for place, value in enumerate(self.values[reference]):
            if value in wanted:
                found |= self.columns[reference] == place
        return found

    def _test(self, reference: str, test: Any, side: str | None) -> Any:
        fact = self.scheme["facts"][reference.partition(".")[0]]
        seen = {"to": side, "away": FLIP[side]} if side and fact.get("sided") else {}
        if not isinstance(test, dict):
            wanted = test if isinstance(test, list) else [test]
            return self.has(reference, [seen.get(value, value) for value in wanted])
        found = np.ones(self.rows, dtype=bool)
        if "not" in test:
            barred = test["not"] if isinstance(test["not"], list) else [test["not"]]
            found &= ~self.has(reference, [seen.get(value, value) for value in barred])
        least, most = test.get("min", -99), test.get("max", 99)
        if "min" in test or "max" in test:
            found &= self.has(reference, [way for way in fact["values"] if least <= way <= most])
        return found

    def holds(self, when: Any, side: str | None) -> Any:
        """Tell where a condition holds, seen from a side."""
        found = np.zeros(self.rows, dtype=bool)
        for table in when if isinstance(when, list) else [when]:
            here = np.ones(self.rows, dtype=bool)
            for reference, test in table.items():
                name, _, where = reference.partition(".")
                if where in ("to", "away") and side is not None:
                    where = side if where == "to" else FLIP[side]
                if not where or where in FLIP:
                    here &= self._test(f"{name}.{where}" if where else name, test, side)
                    continue
                points = {way: self.has(where, [way]) for way in FLIP}
                nowhere = ~(points["left"] | points["right"])
                pointed = nowhere & (isinstance(test, dict) and list(test) == ["not"])
                for way, at in points.items():
                    pointed |= at & self._test(f"{name}.{way}", test, side)
                here &= pointed
            found |= here
        return found

    def own(self) -> dict[str | None, Any]:
        """Give where the man is on each side."""
        side = self.scheme["positions"][self.man]["side"]
        if isinstance(side, dict):
            assert "otherwise" not in side
            fact = side.get("same_as", side.get("opposite_of"))
            flip = "opposite_of" in side
            return {way: self.has(fact, [FLIP[way] if flip else way]) for way in FLIP}
        everywhere = np.ones(self.rows, dtype=bool)
        return {side if side in FLIP else None: everywhere}

    def options(self) -> tuple[list[Any], Any]:
        """Give the options, and which of them each completion has."""
        listed: list[Any] = [(None, None)]
        found = np.zeros(self.rows, dtype=np.int16)
        for own, place in self.own().items():
            open_still = place.copy()
            for tier in reversed(self.scheme["scheme"]["tiers"]):
                matched = np.zeros(self.rows, dtype=bool)
                for rule in self.scheme["rules"]:
                    if self.man not in rule["for"] or rule.get("tier", "base") != tier:
                        continue
                    here = open_still & self.holds(rule.get("when", {}), own)
                    if not here.any():
                        continue
                    matched |= here
                    for side, at in self._sides(rule["fit"], own).items():
                        if (rule["fit"], side) not in listed:
                            listed.append((rule["fit"], side))
                        found[here & at] = listed.index((rule["fit"], side))
                open_still &= ~matched
        return listed, found

    def _sides(self, name: str, own: str | None) -> dict[str | None, Any]:
        fit = self.scheme["fits"][name]
        side = fit.get("side", "to" if "gap" in fit and own is not None else None)
        if not isinstance(side, dict):
            told = {"to": own, "away": FLIP.get(own or "")}.get(side or "")
            return {told: np.ones(self.rows, dtype=bool)}
        fact = side.get("same_as", side.get("opposite_of"))
        flip = "opposite_of" in side
        ways: dict[str | None, Any] = {
            way: self.has(fact, [FLIP[way] if flip else way]) for way in FLIP
        }
        ways[None] = ~(ways["left"] | ways["right"])
        return ways

    def left_once_known(self, reference: str, found: Any) -> int:
        """Sum, over all completions, the options left once a reference is known."""
        total = 0
        for place in range(-1, len(self.values[reference])):
            here = self.columns[reference] == place
            total += int(self.weight[here].sum()) * len(np.unique(found[here]))
        return total


@pytest.mark.parametrize("look", LOOKS, ids=str)
@pytest.mark.parametrize("man", ["Hopper", "Chute", "Stone", "Bran", "Race", "Reed", "Sluice"])
def test_open_looks_of_a_whole_scheme_are_answered_as_counted(
    millrace: Scheme, written: dict[str, Any], man: str, look: dict[str, Any]
) -> None:
    """Every option and no other, and the open facts by how many options each would leave."""
    count = Count(written, man, look)
    listed, found = count.options()
    said = millrace.expect(man, look)
    assert set(said.options) == {listed[number] for number in np.unique(found)}
    assert not set(said.needs) & set(look)
    left = {reference: count.left_once_known(reference, found) for reference in said.needs}
    order = [reference for reference in millrace.references if reference in left]
    assert list(said.needs) == sorted(order, key=left.__getitem__)


def test_what_is_needed_of_an_open_look_turns_answers_and_the_rest_does_not(
    millrace: Scheme, written: dict[str, Any]
) -> None:
    """Whole looks that differ in one reference alone: each needed one turns some, no other does."""
    chance = random.Random(7)
    for man in ("Hopper", "Stone", "Flume"):
        needs = set(millrace.expect(man, {}).needs)
        turned: set[str] = set()
        for _ in range(4000):
            one = _drawn(written, {}, chance)
            if one is None:
                continue
            reference = chance.choice(sorted(one))
            if reference in turned:
                continue
            others = {name: value for name, value in one.items() if name != reference}
            two = _drawn(written, others, chance, but=(reference, one[reference]))
            if two is None or reference not in two:
                continue
            first, second = (plain_reading.answer(written, man, each) for each in (one, two))
            if (first and first["option"]) != (second and second["option"]):
                turned.add(reference)
        assert turned == needs, man


def _drawn(
    written: dict[str, Any],
    like: dict[str, Any],
    chance: random.Random,
    but: tuple[str, Any] | None = None,
) -> dict[str, Any] | None:
    """Draw a whole look that has the values of another where they apply; None if it can't be."""
    look: dict[str, Any] = {}
    references = plain_reading.references(written)
    references.sort(key=lambda ref: "applies" in written["facts"].get(ref.partition(".")[0], {}))
    for reference in references:
        fact = written["facts"].get(reference.partition(".")[0], {"values": ["left", "right"]})
        if plain_reading.holds(written, look, fact.get("applies", {}), None):
            values = [way for way in fact["values"] if but != (reference, way)]
            look[reference] = like.get(reference, chance.choice(values))
    return look if plain_reading.may_be(written, look) else None


def _forty(rules: list[str], impossible: list[str]) -> Scheme:
    """Make a scheme of forty facts with three values each: 10^19 looks."""
    facts = [f"[facts.f{number}]\nvalues = [0, 1, 2]" for number in range(40)]
    head = ['[scheme]\ntiers = ["base", "over"]', '[positions.Keel]\nside = "none"']
    fits = [f'[fits."job {number}"]\njob = "job {number}"' for number in range(6)]
    return parse_scheme("\n".join([*head, *facts, *fits, *rules, *impossible]), "forty facts")


def _rule(number: int, when: str, fit: int, tier: str = "base") -> str:
    head = f'[[rules]]\nid = "R{number}"\nfor = ["Keel"]\ntier = "{tier}"'
    return f'{head}\nwhen = {{ {when} }}\nfit = "job {fit}"'


def test_a_vast_product_with_a_shape_is_answered() -> None:
    """Forty facts asked one after the other, neighbours tied: every fact can matter, in order.

    After f0 is known to be 1 or 2 one option is left; the later a fact is asked the less it tells.
    """
    rules = [
        _rule(at, ", ".join([*(f"f{one} = 0" for one in range(at)), f"f{at} = [1, 2]"]), at % 6)
        for at in range(40)
    ]
    impossible = [f"[[impossible]]\nwhen = {{ f{at} = 0, f{at + 1} = 2 }}" for at in range(39)]
    scheme = _forty(rules, impossible)
    said = scheme.expect("Keel", {})
    assert set(said.options) == {*((f"job {one}", None) for one in range(6)), (None, None)}
    assert set(said.needs) == set(scheme.references)
    assert said.needs[0] == "f0"
    settled = scheme.expect("Keel", {f"f{at}": 0 for at in range(7)} | {"f7": 1})
    assert (settled.fit, settled.rule) == ("job 1", "R7")


def test_a_vast_product_without_a_shape_is_refused_in_a_sentence() -> None:
    """Three hundred rules over any five of forty facts: not answered, and not forever tried."""
    chance = random.Random(3)
    rules = []
    for number in range(300):
        named = chance.sample(range(40), 5)
        when = ", ".join(f"f{one} = {chance.choice([0, 1, [0, 2]])}" for one in named)
        rules.append(_rule(number, when, chance.randrange(6), chance.choice(["base", "over"])))
    scheme = _forty(rules, [])
    with pytest.raises(LookError, match="too many to answer exactly; record some of them first"):
        scheme.expect("Keel", {})
    # Of what is recorded enough, all is answered.
    assert scheme.expect("Keel", {f"f{at}": 2 for at in range(34)}).options
