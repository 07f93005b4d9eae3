"""What one man's answers come to: his view, his examples, and the lists that tell them."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from gradecut.errors import LookError
from gradecut.scheme.learning._contradictions import gather, part_contradictions
from gradecut.scheme.learning._families import Likeness, with_families
from gradecut.scheme.learning._ground import Ground, Line
from gradecut.scheme.learning._lists import Manner, best_list
from gradecut.scheme.learning._narrowing import narrowed
from gradecut.scheme.learning._views import Box, View
from gradecut.scheme.learning.parts import Contradiction, LeftOut, Said

if TYPE_CHECKING:
    from gradecut.scheme.scheme import Scheme

__all__ = ["Lesson", "fact_costs", "prepare", "study"]

_PURITIES = (0.3, 0.0, 0.1, 0.6, 1.0, 2.0)


@dataclass(slots=True, kw_only=True)
class Lesson:
    """One man's answers, and what was learned of them.

    Attributes
    ----------
    position : str
    view : View
    ground : Ground
    has_rules : bool
        The scheme has rules for him already.
    disputed : frozenset of Box
        Looks on which an answer was set aside: a person is to settle them, not to answer anew.
    rivals : list of list of Line
        Lists that all tell his answers, the shortest first.
    """

    position: str
    view: View
    ground: Ground
    has_rules: bool = False
    contradictions: tuple[Contradiction, ...] = ()
    disputed: frozenset[Box] = frozenset()
    left_out: tuple[LeftOut, ...] = ()
    rivals: list[list[Line]] = field(default_factory=list)


def prepare(scheme: Scheme, position: str, said: Sequence[Said]) -> Lesson:
    """Look at a man's answers through his eyes, and set aside what can't be learned from."""
    man = scheme.positions[position]
    view = View(man, scheme.facts, scheme._ties)
    left_out: list[LeftOut] = []
    answers = []
    given: set[tuple[str, str]] = set()
    for one in said:
        fault = _fault(scheme, one)
        boxes = () if fault else view.boxes(one.look, one.side)
        if not boxes:
            fault = fault or f"{position} has no side on this look, so no rule can speak of him"
            left_out.append(LeftOut(position=position, clip=one.clip, message=fault))
            continue
        if _gives(scheme, one):
            given.add((one.fit, one.clip))
        answers += [(box, one.fit, one.clip) for box in boxes]
    examples, contradictions, disputed = part_contradictions(
        position, gather(answers, given), scheme.fits
    )
    return Lesson(
        position=position,
        view=view,
        ground=Ground(view.traits, examples, scheme.fits),
        has_rules=any(position in rule.men for rule in scheme.rules),
        contradictions=contradictions,
        disputed=disputed,
        left_out=tuple(left_out),
    )


def _gives(scheme: Scheme, said: Said) -> bool:
    """Tell whether the scheme's rules say so already, on whichever side that is."""
    options = scheme.expect(said.position, said.look, said.side).options
    return all(fit == said.fit for fit, _ in options)


def _fault(scheme: Scheme, said: Said) -> str:
    if said.fit not in scheme.fits:
        return f"“{said.fit}” is not among the scheme's fits; add it, or correct the answer"
    try:
        scheme.expect(said.position, said.look, said.side)
    except LookError as error:
        return str(error)
    return ""


def fact_costs(lesson: Lesson, used: Mapping[str, int]) -> dict[int, float]:
    """Give what a condition on each trait costs: less for what other rules ask already.

    A fact seen through another ("surface.back") costs more until rules ask it.
    """
    most = max(used.values(), default=0)
    costs = {}
    for place, trait in enumerate(lesson.view.traits):
        share = used.get(trait.word, 0) / most if most else 0.0
        plain = 0.5 if trait.pointer is None else 0.65
        costs[place] = plain if not most else plain * (1.25 - 0.75 * share)
    return costs


def study(lesson: Lesson, used: Mapping[str, int], check: Callable[[], None]) -> None:
    """Work out the lists that tell a man's answers."""
    costs = fact_costs(lesson, used)
    manners = [Manner(purity=purity, fact_cost=costs) for purity in _PURITIES]
    found = best_list(lesson.ground, manners, check)
    lesson.rivals = list({tuple(lines): lines for lines in found}.values())


def settle(lesson: Lesson, used: Mapping[str, int], alike: Likeness) -> None:
    """Give the lists their last form: no rule too wide, values with those that go with them."""
    costs = fact_costs(lesson, used)
    for at, lines in enumerate(lesson.rivals):
        asked = {place: costs[place] for line in lines for place, _ in line.condition}
        tight = narrowed(lesson.ground, lines, dict(sorted(asked.items())))
        lesson.rivals[at] = with_families(lesson.ground, tight, alike)
