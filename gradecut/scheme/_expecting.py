"""From a man's picture of answers to what is expected of him."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import TYPE_CHECKING, cast

from gradecut.records.expectation import Alignment, Expectation, Option
from gradecut.records.people import Side
from gradecut.scheme._flips import Flip
from gradecut.scheme._picture import overridden
from gradecut.scheme._product import Set
from gradecut.scheme._questions import Choice
from gradecut.scheme._reasons import because_of, hole, open_still, overlap
from gradecut.scheme._situation import View
from gradecut.scheme.parts import AlignmentRule, Position, Rule

if TYPE_CHECKING:
    from gradecut.scheme.scheme import Scheme

__all__ = ["Asked", "align", "expect_fit"]

_SIDE_ORDER: tuple[Side | None, ...] = ("left", "right", None)


def align(view: View) -> Alignment | None:
    """Give the alignment on which every way the look may still be agrees; None for none."""
    told = view.picture.told
    if view.picture.nothing or not told:
        return None
    items = [cast("AlignmentRule", choice.item) for choice, _, _ in told]
    places = {
        (item.depth_yd, item.landmark, side, item.tolerance_yd)
        for item, (_, side, _) in zip(items, told, strict=True)
    }
    if len(places) > 1:
        return None
    depth_yd, landmark, side, tolerance_yd = places.pop()
    eyes = {item.eyes for item in items}
    return Alignment(
        depth_yd=depth_yd,
        landmark=landmark,
        side=side,
        tolerance_yd=tolerance_yd,
        eyes=eyes.pop() if len(eyes) == 1 else None,
    )


def _options(view: View, order: Iterable[str]) -> dict[Option, Set]:
    found: dict[Option, Set] = {}
    for choice, side, looks in view.picture.told:
        option = (cast("Rule", choice.item).fit, side)
        found[option] = found.get(option, 0) | looks
    if len(found) > 1:
        place = {fit: at for at, fit in enumerate(order)}
        ordered = sorted(found, key=lambda way: (place[str(way[0])], _SIDE_ORDER.index(way[1])))
        found = {option: found[option] for option in ordered}
    if view.picture.nothing:
        found[None, None] = view.picture.nothing
    return found


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """One man on one look, as far as it is worked out.

    Attributes
    ----------
    alignment : Alignment or None
        Where he lines up.
    flip : callable
        Finds the one other value of one fact that would tell most about the answer.
    """

    scheme: Scheme
    man: Position
    view: View
    alignment: Alignment | None
    flip: Callable[[], Flip | None]


def expect_fit(asked: Asked) -> Expectation:
    """Say what is expected of a man, from all answers that are still possible."""
    options = _options(asked.view, asked.scheme.fits)
    if len(options) > 1:
        return _open(asked, options)
    (option,) = options
    if option[0] is not None:
        return _settled(asked, option)
    return Expectation(
        position=asked.man.name,
        options=((None, None),),
        clash=tuple(dict.fromkeys(rule.id for rule in _clash(asked.view))),
        alignment=asked.alignment,
        graded=asked.man.graded,
        reason=_no_answer(asked),
    )


def _with_flip(said: str, flip: Callable[[], Flip | None]) -> str:
    found = flip()
    return f"{said}; {found.words}." if found is not None else f"{said}."


def _clash(view: View) -> list[Rule]:
    """Give the rules that disagree, in file order; none where a hole is among the answers."""
    if view.picture.holes:
        return []
    items = [cast("Rule", choice.item) for choice in view.picture.clash]
    return sorted(items, key=lambda rule: rule.line)


def _no_answer(asked: Asked) -> Callable[[], str]:
    name, picture, flip = asked.man.name, asked.view.picture, asked.flip
    clash = _clash(asked.view)
    if clash:
        said = overlap(
            name,
            list(dict.fromkeys(rule.id for rule in clash)),
            list(dict.fromkeys(rule.fit for rule in clash)),
        )
    else:
        said = hole(name, picture.sideless)
    return lambda: _with_flip(said, flip)


def _open(asked: Asked, options: dict[Option, Set]) -> Expectation:
    scheme, view = asked.scheme, asked.view
    needs = view.needs(tuple(options.values()))
    graded = any(fit is None or scheme.fits[fit].graded for fit, _ in options)
    return Expectation(
        position=asked.man.name,
        options=tuple(options),
        needs=needs,
        alignment=asked.alignment,
        graded=asked.man.graded and graded,
        reason=open_still(tuple(options), [_asks(scheme, reference) for reference in needs]),
    )


def _asks(scheme: Scheme, reference: str) -> str:
    fact = scheme.fact_of(reference)
    return f"{fact.asks} ({reference.rpartition('.')[2]})" if fact.per_side else fact.asks


def _settled(asked: Asked, option: Option) -> Expectation:
    view, flip = asked.view, asked.flip
    fit = asked.scheme.fits[str(option[0])]
    choices = sorted(dict.fromkeys(choice for choice, _, _ in view.picture.told), key=_order)
    rules = [cast("Rule", choice.item) for choice in choices]
    ids = [rule.id for rule in rules]
    tiers = {rule.tier for rule in rules}
    cues = {rule.cue for rule in rules}
    tier = rules[0].tier if len(tiers) == 1 else None
    overrode = _overrode(view)
    told_tier = tier if len(asked.scheme.tiers) > 1 else None
    return Expectation(
        position=asked.man.name,
        fit=fit.name,
        job=fit.job,
        gap=fit.gap,
        side=option[1],
        landmark=fit.landmark,
        steps=fit.steps,
        also=tuple(
            name for name in rules[0].also if all(name in other.also for other in rules[1:])
        ),
        misses=fit.misses,
        options=(option,),
        rule=ids[0] if len(ids) == 1 else None,
        tier=tier,
        overrode=overrode,
        cue=rules[0].cue if len(cues) == 1 else None,
        alignment=asked.alignment,
        graded=asked.man.graded and fit.graded,
        reason=lambda: _with_flip(because_of(option, fit, ids, told_tier, overrode), flip),
    )


def _overrode(view: View) -> tuple[str, ...]:
    everywhere: dict[Choice, Set] = {}
    for choice, looks in overridden(view.picture, view.valid):
        everywhere[choice] = everywhere.get(choice, 0) | looks
    whole = [choice for choice, looks in everywhere.items() if looks == view.valid]
    return tuple(choice.item.id for choice in sorted(whole, key=_order))


def _order(choice: Choice) -> int:
    return choice.order
