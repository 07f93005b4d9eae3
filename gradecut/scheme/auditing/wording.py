"""What an audit says to a coach, one sentence a finding."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from gradecut.records.people import Side
from gradecut.scheme._reading import other
from gradecut.scheme.parts import (
    AlignmentRule,
    Duty,
    Fact,
    FollowedSide,
    Position,
    Rule,
    SideRule,
    Value,
)

if TYPE_CHECKING:
    from gradecut.scheme.scheme import Scheme

__all__ = [
    "dead",
    "duty",
    "hole",
    "idle",
    "masked",
    "overlap",
    "perhaps_idle",
    "perhaps_smaller",
    "told_look",
]

_Look = Mapping[str, Value]
_SIDES: dict[Value, Side] = {"left": "left", "right": "right"}
_GOES = frozenset({"goes", "moves", "went", "does", "did"})
_VERBS = _GOES | {
    "blocks", "comes", "crosses", "keeps", "leads", "pulls", "releases", "stays", "steps", "takes",
}  # fmt: skip


def hole(scheme: Scheme, man: Position, look: _Look, *, sideless: bool) -> str:
    """Say that a man has no answer on a look."""
    who, when = _for(scheme, man, look)
    if sideless:
        end = f" {when}" if when else ""
        return f"{who} has no side{end}, so none of his rules can speak; say otherwise in his side."
    return f"{who} has no rule {when}." if when else f"{who} has no rule, whatever the look."


def overlap(scheme: Scheme, man: Position, rules: Sequence[str], look: _Look) -> str:
    """Say that two rules of one tier disagree."""
    who, when = _for(scheme, man, look)
    items: list[Rule | AlignmentRule] = [*scheme.rules, *scheme.alignments]
    said = [_says(item) for item in items if item.id in rules]
    where = f"{who} {when}" if when else f"{who} on every look"
    named, answers = " and ".join(rules), " or ".join(said)
    return f"{named} are in the same tier and disagree about {where}: {answers}."


def _says(item: Rule | AlignmentRule) -> str:
    if isinstance(item, Rule):
        return f"{item.fit} (right too: {', '.join(item.also)})" if item.also else item.fit
    place = f"{item.depth_yd:g} yd at {item.landmark}"
    if isinstance(item.side, FollowedSide):
        way = "away from" if item.side.opposite else "to"
        place += f" {way} the {_words(item.side.fact)}"
    elif item.side is not None:
        place += " on his side" if item.side == "to" else " on the other side"
    place += f" within {item.tolerance_yd:g} yd" if item.tolerance_yd is not None else ""
    return place + (f", eyes {item.eyes}" if item.eyes else "")


def masked(item: Rule | AlignmentRule) -> str:
    """Say that a rule never is the one that answers."""
    return (
        f"{item.id} never decides anything: another rule always answers first, or contradicts it."
    )


def dead(item: Rule | AlignmentRule) -> str:
    """Say that a rule matches nowhere."""
    return f"{item.id} matches on no look that can be."


def idle(fact: Fact) -> str:
    """Say that nothing depends on a fact."""
    return f"Nothing depends on {_called(fact)}: no man's fit or alignment changes with it."


def perhaps_idle(fact: Fact) -> str:
    """Say that it is not known whether anything depends on a fact."""
    return f"Whether anything depends on {_called(fact)} could not be settled."


def perhaps_smaller(what: str) -> str:
    """Say that a look may not be the smallest that shows a finding."""
    return f"A smaller look may show what is found of {what}; the one shown can't lose a fact."


def _called(fact: Fact) -> str:
    """Give a fact's name as words; in quotes where it is no thing, as "run goes" is not."""
    name = _words(fact.name)
    return f'"{name}"' if name.rpartition(" ")[2] in _VERBS else name


def _words(name: str) -> str:
    return name.replace("_", " ")


def duty(
    scheme: Scheme,
    broken: Duty,
    look: _Look,
    lacking: Sequence[tuple[Side | None, str]] = (),
    *,
    surely: bool = True,
) -> str:
    """Say that a duty is not met on a look, and what of it is not.

    Parameters
    ----------
    lacking : sequence of (side or None, str)
        The gaps without an owner, or what is badly owned, with their sides.
    surely : bool
        All of them are so; else one or another, as the look goes on.
    """
    when = told_look(scheme, look)
    end = f"when {when}" if when else "on any look it asks for"
    what = _wanted(broken, lacking) if broken.owned else _ownerless(broken, lacking, surely)
    return f'"{broken.name}" is not met {end}: {what}.'


def _ownerless(broken: Duty, lacking: Sequence[tuple[Side | None, str]], surely: bool) -> str:
    """Say "C and D on the right have no owner"; "B or D on the right" where it differs by look."""
    word = "and" if surely else "or"
    sides: dict[Side | None, list[str]] = {}
    for side, gap in lacking or [(None, gap) for gap in broken.gaps]:
        sides.setdefault(side, []).append(gap)
    named = [
        _listed(gaps, word) + (f" on the {side}" if side else "") for side, gaps in sides.items()
    ]
    many = surely and len(lacking) > 1
    return f"{_listed(named, word)} {'have' if many else 'has'} no owner"


def _listed(parts: Sequence[str], word: str) -> str:
    if len(parts) == 1:
        return parts[0]
    return f"{', '.join(parts[:-1])} {word} {parts[-1]}"


def _wanted(broken: Duty, lacking: Sequence[tuple[Side | None, str]]) -> str:
    least, most = broken.at_least, broken.at_most
    sides = [side for side, _ in lacking if side]
    place = f" on the {sides[0]}" if len(sides) == 1 else ""
    if most is None:
        return f"{_men(least)} must own {broken.owned}{place}"
    if least == most:
        return f"exactly {_men(least)} must own {broken.owned}{place}"
    return f"{least} to {_men(most)} must own {broken.owned}{place}"


def _men(count: int) -> str:
    return f"{count} man" if count == 1 else f"{count} men"


def _for(scheme: Scheme, man: Position, look: _Look) -> tuple[str, str]:
    """Give a man with his side, and a look as he sees it, without what only tells his side."""
    side, hidden = _side(man, look)
    who = f"{man.name}, on the {side}," if side else man.name
    rest = {ref: value for ref, value in look.items() if ref != hidden}
    words = told_look(scheme, rest, side)
    return who, f"when {words}" if words else ""


def _side(man: Position, look: _Look) -> tuple[Side | None, str | None]:
    """Give the side a man has on a look, where it tells, and the reference that told it last."""
    if man.side == "as aligned":
        reference = f"side.{man.name}"
        told = _SIDES.get(look.get(reference, ""))
        return (told, reference) if told else (None, None)
    rule: SideRule | None = man.side
    while isinstance(rule, FollowedSide):
        points = look.get(rule.fact)
        if points is None:
            return None, None
        side = _SIDES.get(points)
        if side is not None:
            return (other(side) if rule.opposite else side), rule.fact
        rule = rule.otherwise
    return _SIDES.get(rule or ""), None


def told_look(scheme: Scheme, look: _Look, side: Side | None = None) -> str:
    """Say a look in words, in file order; as a man on that side sees it, where one is given."""
    clauses = [
        _clause(scheme, reference, look[reference], side)
        for reference in scheme.references
        if reference in look
    ]
    if len(clauses) < 2:
        return "".join(clauses)
    return f"{', '.join(clauses[:-1])} and {clauses[-1]}"


def _clause(scheme: Scheme, reference: str, value: Value, side: Side | None) -> str:
    if reference.startswith("side."):
        return f"{reference.partition('.')[2]} is on the {value}"
    fact = scheme.fact_of(reference)
    if fact.per_side:
        where = reference.rpartition(".")[2]
        place = f"on the {where}"
        if side is not None:
            place = "on his side" if where == side else "on the other side"
        return f"the {_words(fact.name)} {place} is {_value(value)}"
    noun, _, verb = _words(fact.name).rpartition(" ")
    goes = verb in _GOES and bool(noun)
    if fact.sided and value in _SIDES:
        if goes or fact.known == "after":
            return f"the {noun if goes else _words(fact.name)} {_way(value, side)}"
        place = f"on the {value}"
        if side is not None:
            place = "on his side" if value == side else "on the other side"
        return f"the {_words(fact.name)} is {place}"
    if goes and isinstance(value, str) and value.endswith("s"):
        return f"the {noun} {value}"
    return _plain(fact, value, verb)


def _way(value: Value, side: Side | None) -> str:
    if side is None:
        return f"goes {value}"
    return "comes to him" if value == side else "goes away from him"


def _plain(fact: Fact, value: Value, last: str) -> str:
    name = _words(fact.name)
    if last in _VERBS:  # "keeps" is no thing that could be something
        return f"{_called(fact)} is {_value(value)}"
    if isinstance(value, bool):
        return f"there is {'' if value else 'no '}{name}"
    return f"the {name} is {_value(value)}"


def _value(value: Value) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    return str(value)
