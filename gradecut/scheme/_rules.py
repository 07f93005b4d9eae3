"""The rules and alignments of a scheme file, read and checked."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import cast

from gradecut.scheme._conditions import BOTH, FactDrafts, read_condition
from gradecut.scheme._fits import Fits, read_place_side
from gradecut.scheme._men import Men, followed_facts
from gradecut.scheme._page import Node, shown
from gradecut.scheme.parts import AlignmentRule, Condition, Rule, SideRule

__all__ = ["Ground", "read_alignment", "read_rule", "refuse_repeats"]

_RULE = ("id", "for", "tier", "when", "fit", "also", "cue")
_ALIGNMENT = ("id", "for", "tier", "when", "depth_yd", "landmark", "side", "tolerance_yd", "eyes")
_BEFORE = "and an alignment is judged before it"


@dataclass(frozen=True)
class Ground:
    """What rules stand on; `tiers` is None where the list of tiers is faulty."""

    facts: FactDrafts
    men: Men
    fits: Fits
    tiers: tuple[str, ...] | None

    @cached_property
    def known_tiers(self) -> frozenset[str]:
        """Give the tiers to look a name up in."""
        return frozenset(self.tiers or ())


def refuse_repeats(nodes: list[Node]) -> None:
    """Note a fault at each id that another rule or alignment before it in the file has."""
    seen: set[str] = set()
    tables = [node for node in nodes if isinstance(node.value, dict)]
    ids = [node.child("id") for node in tables if isinstance(node.value.get("id"), str)]
    for node in sorted(ids, key=lambda node: node.line):
        if node.value in seen:
            node.fault(f"the id {shown(node.value)} is taken by another rule or alignment")
        seen.add(node.value)


def read_rule(node: Node, ground: Ground) -> Rule | None:
    """Read one rule; None when it is no table."""
    if not node.is_table():
        return None
    node.only(_RULE, needed=("id", "for", "fit"))
    men = _men(node, ground)
    fit = node.text("fit")
    if fit is not None:
        _known_fit(node.child("fit"), ground, men)
    also = node.words("also")
    for word in also:
        _known_fit(word, ground, men)
    return Rule(
        id=node.name("id") or "",
        men=men,
        tier=_tier(node, ground),
        when=_when(node, ground, men),
        fit=fit or "",
        also=tuple(word.value for word in also),
        cue=node.text("cue"),
        line=node.line,
    )


def read_alignment(node: Node, ground: Ground) -> AlignmentRule | None:
    """Read one alignment; None when it is no table."""
    if not node.is_table():
        return None
    node.only(_ALIGNMENT, needed=("id", "for", "depth_yd", "landmark"))
    men = _men(node, ground, before=True)
    side: SideRule | None = None
    if node.has("side"):
        side = read_place_side(node.child("side"), ground.facts, _BEFORE)
        _sided_enough(node.child("side"), side, ground, men)
    return AlignmentRule(
        id=node.name("id") or "",
        men=men,
        tier=_tier(node, ground),
        when=_when(node, ground, men, before=_BEFORE),
        depth_yd=node.number("depth_yd") or 0,
        landmark=node.text("landmark") or "",
        side=side,
        tolerance_yd=_tolerance(node),
        eyes=node.text("eyes"),
        line=node.line,
    )


def _tolerance(node: Node) -> float | None:
    tolerance = node.number("tolerance_yd")
    if tolerance is not None and tolerance < 0:
        node.child("tolerance_yd").fault("a tolerance is not negative")
    return tolerance


def _men(node: Node, ground: Ground, *, before: bool = False) -> tuple[str, ...]:
    words = node.words("for", filled=True)
    for word in words:
        if word.value not in ground.men.found:
            if ground.men.complete:
                hint = node.page.hint(word.value, ground.men.found, "positions")
                word.fault(f"unknown position {shown(word.value)}{hint}")
        elif before:
            _side_known_before(word, ground)
    return tuple(word.value for word in words)


def _side_known_before(word: Node, ground: Ground) -> None:
    man = ground.men.found[word.value]
    for fact in followed_facts(man.side) if man is not None else ():
        draft = ground.facts.drafts.get(fact)
        if draft is not None and draft.known == "after":
            word.fault(
                f"the side of {shown(word.value)} follows {shown(fact)}, "
                f"which is known only after the snap, {_BEFORE}"
            )


def _tier(node: Node, ground: Ground) -> str:
    tiers = ground.tiers
    if not node.has("tier"):
        return tiers[0] if tiers else ""
    tier = node.text("tier")
    if tier is not None and tiers is not None and tier not in ground.known_tiers:
        hint = node.page.hint(tier, tiers, "tiers")
        node.child("tier").fault(f"unknown tier {shown(tier)}{hint}")
    return tier or ""


def _when(node: Node, ground: Ground, men: tuple[str, ...], before: str = "") -> Condition:
    if not node.has("when"):
        return ((),)
    known = any(ground.men.found.get(name) for name in men)
    speech = ground.men.speech(list(men), before) if known or before else BOTH
    return read_condition(node.child("when"), ground.facts, speech)


def _known_fit(node: Node, ground: Ground, men: tuple[str, ...]) -> None:
    name = cast("str", node.value)
    if name not in ground.fits.found:
        if ground.fits.complete:
            hint = node.page.hint(name, ground.fits.found, "fits")
            node.fault(f"unknown fit {shown(name)}{hint}")
        return
    fit = ground.fits.found[name]
    if fit is not None:
        _sided_enough(node, fit.side, ground, men)


def _sided_enough(node: Node, side: SideRule | None, ground: Ground, men: tuple[str, ...]) -> None:
    if side not in ("to", "away"):
        return
    for name in men:
        man = ground.men.found.get(name)
        if man is not None and not man.sided:
            node.fault(f"{shown(name)} has no side of his own, so nothing is {shown(side)} for him")
            return
