"""The one look whose answer would settle most."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from itertools import islice
from random import Random
from typing import TYPE_CHECKING

from gradecut.scheme.learning._ground import Condition, Line
from gradecut.scheme.learning._lessons import Lesson
from gradecut.scheme.learning._views import Box
from gradecut.scheme.learning.parts import LookToAsk
from gradecut.scheme.parts import Value

if TYPE_CHECKING:
    from gradecut.scheme.scheme import Scheme

__all__ = ["look_to_ask"]

_Look = dict[str, Value]
_MOST = 3000
_POOL = 400
_OFTEN = 0.3
"""How much it counts that a look is met often: 1 asks only for what is common, 0 for anything."""
_NEW = 0.6
"""What it counts that a man was never told on such a look, beside rivals wholly at odds."""


def look_to_ask(
    scheme: Scheme,
    lessons: Sequence[Lesson],
    looks: Sequence[Mapping[str, Value]],
    met: Sequence[Mapping[str, Value]],
) -> LookToAsk | None:
    """Choose the look on which most is open, looks met on film before others.

    A look counts for each man by how many of his rival lists disagree there with the shortest, and
    more where he was never told on a look his rules can't tell from it; and the more, the more
    often its facts are met on film. Where his answers contradict each other it counts nothing: one
    answer more would settle nothing there.
    """
    if not lessons or not looks:
        return None
    seen = [dict(key) for key in dict.fromkeys(map(_key, [*looks, *met]))]
    seen = [look for look in seen if not scheme.look_faults(look)]
    shares = _shares(scheme, [*looks, *met])
    desks = [_Desk(lesson) for lesson in lessons]
    for candidates, on_film in ((seen, True), (_drawn(scheme, shares, len(looks)), False)):
        best = _best(scheme, desks, candidates, shares)
        if best is not None:
            return _asked(scheme, best[1], best[0], on_film=on_film)
    return None


class _Desk:
    """What one man's lists say of a look."""

    def __init__(self, lesson: Lesson) -> None:
        self.lesson = lesson
        self.used = sorted({place for line in lesson.rivals[0] for place, _ in line.condition})
        self._seen = {self._kind(example.box) for example in lesson.ground.examples}
        self._known: dict[Box, tuple[float, tuple[str, ...]]] = {}

    def _kind(self, box: Box) -> tuple[int, ...]:
        return tuple(box[place] for place in self.used)

    def box(self, look: _Look) -> Box | None:
        """Give a look as he sees it; None where he may be standing on either side, or on none."""
        boxes = self.lesson.view.boxes(look, None)
        return boxes[0] if len(boxes) == 1 else None

    def open_on(self, scheme: Scheme, look: _Look, box: Box | None) -> float:
        """Give how open a look is for him."""
        if box is None or box in self.lesson.disputed:
            return 0.0
        found = self.rivals_on(box)[0]
        if found and self.lesson.has_rules and scheme.expect(self.lesson.position, look).settled:
            return 0.0
        return found

    def rivals_on(self, box: Box) -> tuple[float, tuple[str, ...]]:
        """Give how much his rivals are at odds on a look, and what they say."""
        known = self._known.get(box)
        if known is None:
            known = self._known[box] = self._open(box)
        return known

    def _open(self, box: Box) -> tuple[float, tuple[str, ...]]:
        told = [_told(lines, box) for lines in self.lesson.rivals]
        fits = tuple(dict.fromkeys(fit for fit in told if fit is not None))
        new = 0.0 if self._kind(box) in self._seen else _NEW
        if len(fits) == 0:
            return 1.0 + new, fits
        return 1.0 - told.count(told[0]) / len(told) + new, fits


def _told(lines: Sequence[Line], box: Box) -> str | None:
    for line in reversed(lines):
        if _all(line.condition, box):
            return line.fit
    return None


def _all(condition: Condition, box: Box) -> bool:
    return all(not box[place] & ~allowed for place, allowed in condition)


def _key(look: Mapping[str, Value]) -> tuple[tuple[str, Value], ...]:
    return tuple(sorted(look.items()))


_Shares = Mapping[str, Mapping[Value, float]]


def _shares(scheme: Scheme, looks: Iterable[Mapping[str, Value]]) -> _Shares:
    """Give how often each value of each reference is met, none of them never."""
    counts: dict[str, Counter[Value]] = {}
    for look in looks:
        for reference, value in look.items():
            counts.setdefault(reference, Counter())[value] += 1
    shares = {}
    for reference, count in counts.items():
        if reference not in scheme.references:
            continue
        values = scheme.values_of(reference)
        total = sum(count.values()) + 0.5 * len(values)
        shares[reference] = {value: (count[value] + 0.5) / total for value in values}
    return shares


def _drawn(scheme: Scheme, shares: _Shares, count: int) -> Iterator[_Look]:
    """Draw looks whose facts come as often as on film, the same ones for the same answers.

    All facts differ from look to look, those no rule asks for too: an answer there can show that
    a rule asks for the wrong fact.
    """
    rng = Random(count)
    for _ in range(_POOL):
        look = {
            reference: rng.choices(list(values), list(values.values()))[0]
            for reference, values in shares.items()
        }
        yield from _possible(scheme, look)


def _possible(scheme: Scheme, look: _Look) -> Iterator[_Look]:
    """Give a look if it may be, without the facts that do not apply to it any more."""
    if not scheme.look_faults(look):
        yield look
        return
    fewer = {word: value for word, value in look.items() if scheme.fact_of(word).applies is None}
    if len(fewer) < len(look) and not scheme.look_faults(fewer):
        yield fewer


def _best(
    scheme: Scheme, desks: Sequence[_Desk], looks: Iterable[_Look], shares: _Shares
) -> tuple[_Desk, _Look] | None:
    words = _words(scheme, desks)
    found: dict[tuple[tuple[str, Value], ...], tuple[float, _Look]] = {}
    disputed = set()
    for look in islice(looks, _MOST):
        kind = tuple((word, look[word]) for word in words if word in look)
        if kind in found and kind not in disputed:
            continue
        seen = [(desk, desk.box(look)) for desk in desks]
        if any(box in desk.lesson.disputed for desk, box in seen):
            disputed.add(kind)  # a look that differs in other facts may be open
        else:
            disputed.discard(kind)
        total = sum(desk.open_on(scheme, look, box) for desk, box in seen)
        for word, value in kind:
            total *= shares[word].get(value, 0.0) ** _OFTEN
        found[kind] = max((total, look), found.get(kind, (0.0, look)), key=lambda pair: pair[0])
    ranked = sorted(found.values(), key=lambda pair: -pair[0])
    if not ranked or ranked[0][0] <= 0:
        return None
    look = ranked[0][1]
    open_desks = [(desk.open_on(scheme, look, desk.box(look)), desk) for desk in desks]
    return max(open_desks, key=lambda pair: pair[0])[1], look


def _words(scheme: Scheme, desks: Sequence[_Desk]) -> tuple[str, ...]:
    """Give the references the rules ask for, in file order."""
    facts = set()
    for desk in desks:
        for place in desk.used:
            trait = desk.lesson.view.traits[place]
            facts |= {trait.fact, trait.pointer}
    return tuple(
        reference
        for fact in scheme.facts.values()
        if fact.name in facts
        for reference in fact.references
    )


def _spelt(value: Value) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    return str(value)


def _asked(scheme: Scheme, look: _Look, desk: _Desk, *, on_film: bool) -> LookToAsk:
    look = {reference: look[reference] for reference in scheme.references if reference in look}
    name = desk.lesson.position
    fits = desk.rivals_on(desk.lesson.view.boxes(look, None)[0])[1]
    told = ", ".join(f"{reference} {_spelt(value)}" for reference, value in look.items())
    if len(fits) > 1:
        ways = " or ".join(f"“{fit}”" for fit in fits)
        question = f"{ways}? The rules proposed could be either"
    elif fits:
        question = f"“{fits[0]}”? He was never told on a look like it"
    else:
        question = "No rule proposed says"
    return LookToAsk(
        position=name,
        look=look,
        fits=fits,
        message=f"What does {name} owe on {told}: {question}.",
        met=on_film,
    )
