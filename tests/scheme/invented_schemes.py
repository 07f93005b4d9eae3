"""Small random schemes, as dictionaries and as the file a coach would have written."""

from __future__ import annotations

from typing import Any

from hypothesis import strategies as st

__all__ = ["audited_schemes", "looks", "schemes", "tied_schemes", "written"]

FACTS: dict[str, dict[str, Any]] = {
    "back": {"values": ["left", "right", "behind"], "sided": True},
    "run": {"values": ["left", "right"], "sided": True, "known": "after"},
    "pull": {"values": ["left", "right", "none"], "sided": True},
    "surface": {"values": [2, 3], "per_side": True},
    "motion": {"values": [True, False]},
    "concept": {"values": ["zone", "power", "pass"], "known": "after"},
}


def _word(value: Any) -> str:
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, str):
        return '"' + value + '"'
    if isinstance(value, list):
        return "[" + ", ".join(_word(part) for part in value) + "]"
    if isinstance(value, dict):
        return "{ " + ", ".join(f'"{key}" = {_word(part)}' for key, part in value.items()) + " }"
    return str(value)


def written(scheme: dict[str, Any]) -> str:
    """Write a scheme as TOML."""
    lines = []
    for section, body in scheme.items():
        if isinstance(body, list):
            tables = [(f"[[{section}]]", table) for table in body]
        elif section == "scheme":
            tables = [("[scheme]", body)]
        else:
            tables = [(f'[{section}."{name}"]', table) for name, table in body.items()]
        for head, table in tables:
            lines += [head, *(f"{key} = {_word(value)}" for key, value in table.items()), ""]
    return "\n".join(lines)


def _seen(fact: dict[str, Any], mode: str) -> list[Any]:
    """List the values a condition may write for a fact."""
    if not fact.get("sided"):
        return list(fact["values"])
    rest = [value for value in fact["values"] if value not in ("left", "right")]
    return {"own": ["to", "away"], "field": ["left", "right"], "neither": []}[mode] + rest


@st.composite
def _entry(draw: st.DrawFn, facts: dict[str, Any], names: list[str], mode: str) -> Any:
    ready = [name for name in names if _seen(facts[name], mode)]
    name = draw(st.sampled_from(ready))
    fact = facts[name]
    reference = name
    if fact.get("per_side"):
        words = {"own": ["to", "away"], "field": ["left", "right"], "neither": []}[mode]
        words = words + [other for other in names if facts[other].get("sided")]
        if not words:
            return None
        reference = f"{name}.{draw(st.sampled_from(words))}"
    seen = _seen(fact, mode)
    few = st.lists(st.sampled_from(seen), min_size=1, max_size=2, unique=True)
    if type(seen[0]) is int and draw(st.booleans()):
        return reference, {draw(st.sampled_from(["min", "max"])): draw(st.sampled_from(seen))}
    if len(fact["values"]) > 2 and draw(st.booleans()):
        return reference, {"not": draw(few)}
    if draw(st.integers(0, 3)) == 0:
        return reference, {"not": draw(st.sampled_from(seen))}
    return reference, draw(st.one_of(st.sampled_from(seen), few))


@st.composite
def _condition(draw: st.DrawFn, facts: dict[str, Any], names: list[str], mode: str) -> Any:
    tables = []
    for _ in range(draw(st.sampled_from([1, 1, 1, 2]))):
        table = {}
        for _ in range(draw(st.sampled_from([1, 1, 2]))):
            pair = draw(_entry(facts, names, mode))
            if pair is not None:
                table[pair[0]] = pair[1]
        tables.append(table)
    return tables if len(tables) > 1 else tables[0]


@st.composite
def _facts(draw: st.DrawFn) -> dict[str, Any]:
    names = draw(st.lists(st.sampled_from(sorted(FACTS)), min_size=2, max_size=4, unique=True))
    facts = {name: dict(FACTS[name]) for name in names}
    for place, name in enumerate(names):
        ready = [other for other in names[:place] if facts[other].get("known") != "after"]
        if facts[name].get("known") == "after":
            ready = names[:place]
        if ready and draw(st.booleans()):
            facts[name]["applies"] = draw(_condition(facts, ready, "field"))
    order = draw(st.permutations(names))
    return {name: facts[name] for name in order}


def _man(sided: list[str]) -> st.SearchStrategy[Any]:
    sides: list[Any] = ["left", "right", "none", "as aligned"]
    for name in sided:
        sides += [
            {"same_as": name},
            {"opposite_of": name, "otherwise": "left"},
            {"same_as": name, "otherwise": "right"},
        ]
    if len(sided) > 1:
        sides.append({"opposite_of": sided[0], "otherwise": {"same_as": sided[1]}})
    return st.sampled_from(sides)


@st.composite
def schemes(draw: st.DrawFn) -> dict[str, Any]:
    """Draw a small scheme: two to four facts, two men, up to six rules."""
    facts = draw(_facts())
    sided = [name for name in facts if facts[name].get("sided")]
    before = [name for name in facts if facts[name].get("known") != "after"]
    men = {"Keel": {"side": draw(_man(sided))}, "Port": {"side": draw(_man(sided))}}
    fits: dict[str, Any] = {
        "fill A": {"job": "fill", "gap": "A"},
        "spill C": {"job": "spill", "gap": "C"},
        "sink": {"job": "sink", "graded": False},
    }
    if sided:
        fits["chase B"] = {"job": "chase", "gap": "B", "side": {"same_as": sided[0]}}
        fits["hold"] = {"job": "hold", "side": {"opposite_of": sided[-1]}}
    tiers = draw(st.sampled_from([["base"], ["base", "pull"]]))
    scheme = {"scheme": {"tiers": tiers}, "facts": facts, "positions": men, "fits": fits}
    scheme["rules"] = [
        draw(_rule(scheme, f"R{number}")) for number in range(draw(st.integers(1, 6)))
    ]
    follows = [side for side in (men["Keel"]["side"],) if isinstance(side, dict)]
    late = {"run"} & {str(value) for side in follows for value in _flat(side)}
    if before and not late and draw(st.booleans()):
        scheme["alignments"] = [
            draw(_alignment(scheme, f"A{number}", before)) for number in range(2)
        ]
    names = list(facts)
    scheme["impossible"] = []
    for _ in range(draw(st.sampled_from([0, 0, 1, 1, 2]))):
        each_side = draw(st.booleans())
        when = draw(_condition(facts, names, "own" if each_side else "field"))
        scheme["impossible"].append({"when": when, "each_side": each_side})
    if not scheme["impossible"]:
        del scheme["impossible"]
    return scheme


def _flat(side: Any) -> list[Any]:
    found = []
    while isinstance(side, dict):
        found += [value for value in side.values() if isinstance(value, str)]
        side = side.get("otherwise")
    return found


def _mode(scheme: dict[str, Any], men: list[str]) -> str:
    kinds = {scheme["positions"][man]["side"] == "none" for man in men}
    if len(kinds) == 2:
        return "neither"
    return "field" if kinds == {True} else "own"


@st.composite
def _rule(draw: st.DrawFn, scheme: dict[str, Any], name: str) -> dict[str, Any]:
    men = draw(st.sampled_from([["Keel"], ["Keel"], ["Port"], ["Keel", "Port"]]))
    mode = _mode(scheme, men)
    facts = scheme["facts"]
    names = list(facts)
    rule: dict[str, Any] = {"id": name, "for": men}
    if any(_seen(facts[fact], mode) for fact in names) and draw(st.integers(0, 4)):
        rule["when"] = draw(_condition(facts, names, mode))
    if draw(st.booleans()):
        rule["tier"] = draw(st.sampled_from(scheme["scheme"]["tiers"]))
    fits = sorted(scheme["fits"])
    rule["fit"] = draw(st.sampled_from(fits))
    if draw(st.integers(0, 3)) == 0:
        rule["also"] = draw(st.lists(st.sampled_from(fits), min_size=1, max_size=2, unique=True))
    return rule


@st.composite
def _alignment(
    draw: st.DrawFn, scheme: dict[str, Any], name: str, before: list[str], man: str = "Keel"
) -> dict[str, Any]:
    mode = _mode(scheme, [man])
    entry = {
        "id": name,
        "for": [man],
        "depth_yd": draw(st.sampled_from([4, 5])),
        "landmark": draw(st.sampled_from(["A", "B"])),
    }
    facts = scheme["facts"]
    pointers = [fact for fact in before if facts[fact].get("sided")]
    if any(_seen(facts[fact], mode) for fact in before) and draw(st.booleans()):
        entry["when"] = draw(_condition(facts, before, mode))
    if mode == "own":
        entry["side"] = draw(st.sampled_from(["to", "away"]))
    elif pointers:
        entry["side"] = {"same_as": pointers[0]}
    return entry


@st.composite
def audited_schemes(draw: st.DrawFn) -> dict[str, Any]:
    """Draw a small scheme with duties, and with alignments for both men where it may have them."""
    scheme = draw(schemes())
    facts, fits = scheme["facts"], scheme["fits"]
    for name in sorted(fits):
        if draw(st.integers(0, 2)) == 0:
            fits[name]["owns"] = draw(
                st.sampled_from([["force"], ["cutback"], ["force", "cutback"]])
            )
    scheme["duties"] = [
        draw(_duty(facts, f"duty {number}")) for number in range(draw(st.integers(0, 3)))
    ]
    before = [name for name in facts if facts[name].get("known") != "after"]
    side = scheme["positions"]["Port"]["side"]
    if before and not set(_flat(side)) & {"run", "concept"} and draw(st.booleans()):
        more = [draw(_alignment(scheme, f"B{number}", before, "Port")) for number in range(2)]
        scheme["alignments"] = [*scheme.get("alignments", []), *more]
    for entry in scheme.get("alignments", []):
        if draw(st.integers(0, 3)) == 0:
            entry["eyes"] = draw(st.sampled_from(["guard", "back"]))
        if draw(st.integers(0, 3)) == 0:
            entry["tier"] = draw(st.sampled_from(scheme["scheme"]["tiers"]))
    return {key: part for key, part in scheme.items() if part or key != "duties"}


@st.composite
def _duty(draw: st.DrawFn, facts: dict[str, Any], name: str) -> dict[str, Any]:
    duty: dict[str, Any] = {"name": name}
    gaps = draw(st.booleans())
    each_side = gaps or draw(st.booleans())
    if each_side:
        duty["each_side"] = True
    if draw(st.integers(0, 3)):
        duty["when"] = draw(_condition(facts, list(facts), "own" if each_side else "field"))
    if gaps:
        duty["gaps"] = draw(st.sampled_from([["A"], ["C"], ["A", "C"], ["B"]]))
        return duty
    duty["owned"] = draw(st.sampled_from(["force", "cutback", "quarterback"]))
    if draw(st.booleans()):
        duty["at_least"] = draw(st.integers(0, 2))
    if draw(st.booleans()):
        duty["at_most"] = draw(st.integers(duty.get("at_least", 1), 2))
    return duty


@st.composite
def looks(draw: st.DrawFn, whole: list[dict[str, Any]], names: list[str]) -> dict[str, Any]:
    """Draw a part of one of these complete looks."""
    full = draw(st.sampled_from(whole))
    kept = draw(st.sets(st.sampled_from(names)))
    return {name: value for name, value in full.items() if name in kept}


@st.composite
def tied_schemes(draw: st.DrawFn) -> dict[str, Any]:
    """Draw a scheme whose facts are so tied by what cannot be that several change in company."""
    names = ["a", "b", "c", "d"][: draw(st.integers(3, 4))]
    facts: dict[str, Any] = {name: {"values": [0, 1]} for name in names}
    if draw(st.booleans()):
        facts["e"] = {"values": ["x", "y", "z"], "applies": {draw(st.sampled_from(names)): 1}}
    men = {"Keel": {"side": "none"}, "Port": {"side": "as aligned"}}
    fits = {"fill A": {"job": "fill", "gap": "A"}, "sink": {"job": "sink"}, "stay": {"job": "stay"}}
    signs = st.dictionaries(st.sampled_from(names), st.integers(0, 1), min_size=1, max_size=2)
    one, two = names[0], names[1]
    barred = draw(
        st.sampled_from(
            [
                [{one: 0, two: 0}, {one: 1, two: 1}],
                [{one: 0, two: 1}, {one: 1, two: 0}],
                [{one: 0, two: 1, names[2]: 0}, {one: 1, two: 0}],
                # Two pairs that each change in company, when there are four facts.
                [{one: way, two: way} for way in (0, 1)]
                + [{names[2]: way, names[-1]: 1 - way} for way in (0, 1) if len(names) > 3],
            ]
        )
    )
    barred = barred + draw(st.lists(signs.filter(lambda table: len(table) == 2), max_size=2))
    rules = [
        {"id": f"R{number}", "for": ["Keel", "Port"], "when": when, "fit": fit, "tier": tier}
        for number, (when, fit, tier) in enumerate(
            draw(
                st.lists(
                    st.tuples(
                        signs, st.sampled_from(sorted(fits)), st.sampled_from(["one", "two"])
                    ),
                    min_size=1,
                    max_size=5,
                )
            )
        )
    ]
    return {
        "scheme": {"tiers": ["one", "two"]},
        "facts": facts,
        "positions": men,
        "fits": fits,
        "rules": rules,
        "impossible": [{"when": when} for when in barred],
    }
