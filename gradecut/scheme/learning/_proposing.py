"""Proposals: lists become rules in tiers, with the clips for and against each."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from gradecut.scheme.learning._ground import Ground, Line
from gradecut.scheme.learning._lessons import Lesson
from gradecut.scheme.learning._standing import Standing, standing_rules
from gradecut.scheme.learning._tiers import levels_of, tier_names
from gradecut.scheme.learning._views import written_when
from gradecut.scheme.learning.parts import Proposal

if TYPE_CHECKING:
    from gradecut.scheme.scheme import Scheme

__all__ = ["propose"]


def propose(scheme: Scheme, lessons: Sequence[Lesson]) -> tuple[Proposal, ...]:
    """Give the proposals of all men, lowest tier first; men with the same rule share it."""
    drafts: list[tuple[int, Proposal]] = []
    for lesson in lessons:
        drafts += _of_man(scheme, lesson)
    names = tier_names(scheme.tiers, 1 + max((level for level, _ in drafts), default=0))
    merged: dict[str, tuple[int, Proposal]] = {}
    for level, draft in drafts:
        man = scheme.positions[draft.men[0]]
        key = json.dumps([level, man.sided, sorted(draft.when.items()), draft.fit])
        shared = _shared(merged[key][1], draft) if key in merged else draft
        tier = names[level]
        merged[key] = (level, replace(shared, tier=tier, new_tier=tier not in scheme.tiers))
    ordered = sorted(merged.values(), key=lambda pair: pair[0])
    return tuple(proposal for _, proposal in ordered)


def _shared(one: Proposal, two: Proposal) -> Proposal:
    return replace(
        one,
        men=(*one.men, *two.men),
        clips=tuple(dict.fromkeys((*one.clips, *two.clips))),
        against=tuple(dict.fromkeys((*one.against, *two.against))),
    )


def _of_man(scheme: Scheme, lesson: Lesson) -> list[tuple[int, Proposal]]:
    ground, lines = lesson.ground, lesson.rivals[0]
    own = standing_rules(lesson.view, scheme._fit_questions[lesson.position].choices)
    levels = levels_of(lines, lambda line, level: _free(ground, own, line, level))
    drafts = []
    told = 0
    for line, level in reversed(list(zip(lines, levels, strict=True))):
        inside = ground.inside(line.condition)
        mine = inside & ground.saying[line.fit] & ~told
        against = ground.touch(line.condition) & ~ground.saying[line.fit]
        told |= inside
        drafts.append(
            (
                level,
                Proposal(
                    men=(lesson.position,),
                    tier="",
                    when=written_when(ground.traits, dict(line.condition)),
                    fit=line.fit,
                    clips=_clips(ground, mine),
                    against=_clips(ground, against),
                ),
            )
        )
    drafts.reverse()
    return drafts


def _clips(ground: Ground, bits: int) -> tuple[str, ...]:
    found: dict[str, None] = {}
    for place, example in enumerate(ground.examples):
        if bits >> place & 1:
            found.update(dict.fromkeys(example.clips))
    return tuple(found)


def _free(ground: Ground, own: Sequence[Standing], line: Line, level: int) -> int:
    """Give the lowest tier, from a level on, in which a line overlaps none of his own rules."""
    in_the_way = [rule for rule in own if rule.meets(line)]
    needed = ground.inside(line.condition) & ground.saying[line.fit] & ~ground.given
    for rule in in_the_way:
        if needed & rule.touches(ground):
            level = max(level, rule.rank + 1)
    taken = {rule.rank for rule in in_the_way}
    while level in taken:
        level += 1
    return level
