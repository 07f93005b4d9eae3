"""The positions of a scheme file, and sides that follow a fact."""

from __future__ import annotations

from dataclasses import dataclass
from typing import cast

from gradecut.scheme._conditions import FactDrafts, Speech
from gradecut.scheme._page import Node, shown
from gradecut.scheme.parts import FollowedSide, Position, SideRule

__all__ = ["Men", "followed_facts", "read_follower", "read_men"]

_KEYS = ("group", "side", "graded")
_SIDES = ("left", "right", "none", "as aligned")


@dataclass(slots=True)
class Men:
    """The positions of the file.

    Attributes
    ----------
    found : dict of str to Position or None
        None where the man's side is faulty.
    complete : bool
        False where the section itself is faulty.
    """

    found: dict[str, Position | None]
    complete: bool = True

    def speech(self, names: list[str], before: str = "") -> Speech:
        """Say which words for a side a rule for these men may use."""
        known = [man for man in (self.found.get(name) for name in names) if man is not None]
        sided = [man.name for man in known if man.sided]
        free = [man.name for man in known if not man.sided]
        if sided and free:
            because = f"{sided[0]} has a side and {free[0]} has none, so a rule for both names none"
        elif sided:
            because = f"{sided[0]} has a side of his own"
        else:
            because = f"{free[0]} has no side of his own" if free else ""
        return Speech(left_right=not sided, to_away=not free, because=because, before=before)


def read_men(section: Node | None, facts: FactDrafts, *, complete: bool) -> Men:
    """Read the positions; faults are noted."""
    men: dict[str, Position | None] = {}
    if section is not None:
        for name in section.value:
            men[name] = _man(section.child(name, f"position {shown(name)}"), name, facts)
    return Men(men, complete)


def _man(node: Node, name: str, facts: FactDrafts) -> Position | None:
    node.check_name(name)
    if not node.is_table():
        return None
    node.only(_KEYS, needed=("side",))
    group = node.name("group")
    graded = node.truth("graded", default=True)
    if not node.has("side"):
        return None
    side = _side(node.child("side"), facts)
    return (
        None
        if side is None
        else Position(name=name, side=side, group=group, graded=graded is not False)
    )


def _side(node: Node, facts: FactDrafts) -> SideRule | None:
    if isinstance(node.value, dict):
        return read_follower(node, facts, otherwise=True)
    if not isinstance(node.value, str) or node.value not in _SIDES:
        hint = ""
        if isinstance(node.value, str):
            hint = node.page.hint(node.value, list(_SIDES), "sides")
        node.fault(
            "side is left, right, none, as aligned, or follows a fact, "
            f"not {shown(node.value)}{hint}"
        )
        return None
    return node.value


def read_follower(
    node: Node, facts: FactDrafts, *, otherwise: bool, before: str = ""
) -> FollowedSide | None:
    """Read a side that follows a sided fact.

    Parameters
    ----------
    node : Node
        The table.
    facts : FactDrafts
        The facts of the file.
    otherwise : bool
        Whether it may say the side where the fact points to neither.
    before : str
        Why only facts known before the snap may be named; empty when all may.

    Returns
    -------
    FollowedSide or None
        None when it is faulty.
    """
    chain: list[tuple[str, bool]] = []
    end: SideRule | None = None
    here: Node | None = node
    while here is not None:
        step = _step(here, facts, [name for name, _ in chain], otherwise=otherwise, before=before)
        if step is None:
            return None
        chain.append(step)
        last, here = here, None
        if otherwise and last.has("otherwise"):
            here = last.child("otherwise")
            if not isinstance(here.value, dict):
                if here.value not in ("left", "right"):
                    here.fault(
                        "otherwise is left, right, or follows another fact, "
                        f"not {shown(here.value)}"
                    )
                    return None
                end, here = here.value, None
    for fact, opposite in reversed(chain):
        end = FollowedSide(fact=fact, opposite=opposite, otherwise=end)
    return cast("FollowedSide", end)


def _step(
    node: Node, facts: FactDrafts, named: list[str], *, otherwise: bool, before: str
) -> tuple[str, bool] | None:
    keys = ("same_as", "opposite_of", "otherwise") if otherwise else ("same_as", "opposite_of")
    before_faults = node.page.count
    node.only(keys)
    has = [key for key in ("same_as", "opposite_of") if node.has(key)]
    if len(has) == 2:
        later = max(has, key=lambda key: node.child(key).line)
        node.child(later).fault("a side is the same as a fact or opposite of it, not both")
    elif not has and node.sound("same_as") and node.sound("opposite_of"):
        node.fault("a side that follows a fact needs same_as or opposite_of")
    if len(has) != 1:
        return None
    name = node.text(has[0])
    if name is not None:
        _pointer(node.child(has[0]), name, facts, named, before)
    return (
        None if name is None or node.page.count > before_faults else (name, has[0] == "opposite_of")
    )


def _pointer(node: Node, name: str, facts: FactDrafts, named: list[str], before: str) -> None:
    draft = facts.drafts.get(name)
    if draft is None:
        if facts.complete:
            hint = node.page.hint(name, facts.sided_names(), "sided facts")
            node.fault(f"unknown fact {shown(name)}{hint}")
    elif draft.sided is False:
        node.fault(f"{shown(name)} is not a sided fact, so no side can follow it")
    elif name in named:
        node.fault(f"{shown(name)} stands twice in this side, which would depend on itself")
    elif before and draft.known == "after":
        node.fault(f"{shown(name)} is known only after the snap, {before}")


def followed_facts(side: SideRule | None) -> tuple[str, ...]:
    """Give the facts a side follows, in the order they are asked."""
    found: list[str] = []
    while isinstance(side, FollowedSide):
        found.append(side.fact)
        side = side.otherwise
    return tuple(found)
