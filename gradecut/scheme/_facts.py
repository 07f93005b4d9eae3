"""The facts of a scheme file, read and checked."""

from __future__ import annotations

from typing import Literal, cast

from gradecut.scheme._conditions import FactDraft, FactDrafts, Speech, read_condition
from gradecut.scheme._page import Node, shown
from gradecut.scheme._reasons import written_value
from gradecut.scheme.parts import Condition, Fact, Value

__all__ = ["draft_facts", "finish_facts"]

_KEYS = ("asks", "values", "sided", "per_side", "known", "applies", "had")
_SHAPES = ("sided", "per_side")
MOST_VALUES = 200
"""Most values of one fact; a jersey number has half as many."""
_TAKEN = ("left", "right", "to", "away", "side")


def draft_facts(section: Node | None, *, complete: bool) -> FactDrafts:
    """Read what conditions have to know of each fact: its values, its shape, when it is known.

    Parameters
    ----------
    section : Node or None
        The table of facts; None when the file has none.
    complete : bool
        False when the section is faulty, so that no name can be called unknown.
    """
    drafts: dict[str, FactDraft] = {}
    if section is not None:
        for name in section.value:
            drafts[name] = _draft(section.child(name, f"fact {shown(name)}"), name)
    return FactDrafts(drafts, complete)


def _draft(node: Node, name: str) -> FactDraft:
    draft = FactDraft(name)
    node.check_name(name)
    if "." in name or name in _TAKEN:
        node.fault(
            f"a fact can't be called {shown(name)}: a name has no dot and is no word for a side"
        )
    if not node.is_table():
        return draft
    node.only(_KEYS, needed=("values",))
    node.text("asks")
    if "." in name or name in _TAKEN:
        return draft
    draft.known = _known(node)
    draft.may_lack = node.has("applies") or not node.sound("applies")
    draft.sided = node.truth("sided", default=False)
    draft.per_side = node.truth("per_side", default=False)
    values = _values(node)
    _doubt_shape(node, draft, sure=values is not None)
    if draft.sided and draft.per_side:
        later = max(("sided", "per_side"), key=lambda key: node.child(key).line)
        node.child(later).fault("a fact is sided or recorded per side, not both")
        draft.per_side = None
    if values is not None and draft.sided:
        values = _sided_values(node, values)
    draft.values = values
    _check_had(node, draft)
    return draft


def _doubt_shape(node: Node, draft: FactDraft, *, sure: bool) -> None:
    """Leave open what an unsound fact does not say: what hangs on its shape is not told again."""
    if sure and not any(meant in {None, *_SHAPES} for meant in node.meant.values()):
        return
    if not node.has("sided") and draft.per_side is not True:
        draft.sided = None
    if not node.has("per_side") and draft.sided is not True:
        draft.per_side = None


def _check_had(node: Node, draft: FactDraft) -> None:
    if not node.has("had") or not node.child("had").is_table():
        return
    table = node.child("had")
    known = [written_value(value) for value in draft.values or ()]
    if draft.sided:
        known += ["to", "away"]
    for key in table.value:
        if draft.values is not None and draft.sided is not None and key not in known:
            hint = node.page.hint(key, known, "values")
            table.child(key).fault(f"had tells of values, and there is none {shown(key)}{hint}")
        elif (text := table.text(key)) is not None and not text.strip():
            table.child(key).fault('had needs words, such as "had the guard not pulled"')


def _known(node: Node) -> str | None:
    if not node.has("known"):
        return "before" if node.sound("known") else None
    word = node.text("known")
    if word is not None and word not in {"before", "after"}:
        node.child("known").fault(f'known is "before" or "after" the snap, not {shown(word)}')
        return None
    return word


def _values(node: Node) -> tuple[Value, ...] | None:
    if not node.has("values"):
        return None
    items = node.items("values")
    if not isinstance(node.value["values"], list):
        return None
    sound = True
    seen: set[Value] = set()
    kinds = [type(item.value) for item in items if type(item.value) in {str, int, bool}]
    for item in items:
        value = item.value
        if type(value) not in {str, int, bool} or shown(value) == "a huge number":
            item.fault(f"values are texts, whole numbers, or true and false, not {shown(value)}")
        elif type(value) is not kinds[0]:
            item.fault(f"values are all of one type, and {shown(value)} is of another")
        elif value in seen:
            item.fault(f"{shown(value)} stands twice in values")
        else:
            seen.add(value)
            if isinstance(value, str):
                item.check_name(value)
            continue
        sound = False
    if sound and len(items) > MOST_VALUES:
        node.child("values").fault(f"a fact has at most {MOST_VALUES} values")
        sound = False
    if sound and len(items) < 2:
        node.child("values").fault("a fact has at least two values")
        sound = False
    return tuple(item.value for item in items) if sound else None


def _sided_values(node: Node, values: tuple[Value, ...]) -> tuple[Value, ...] | None:
    sound = True
    lacking = [side for side in ("left", "right") if side not in values]
    if lacking:
        node.child("values").fault(f"a sided fact has {' and '.join(lacking)} among its values")
        sound = False
    for place, value in enumerate(values):
        if value in ("to", "away"):
            node.child("values").child(place).fault(
                f"a sided fact is recorded as left or right, so {shown(value)} can't be a value"
            )
            sound = False
    return values if sound else None


def finish_facts(section: Node | None, drafts: FactDrafts) -> dict[str, Fact]:
    """Read where each fact applies, and make the facts; faulty ones are left out.

    Parameters
    ----------
    section : Node or None
        The table of facts.
    drafts : FactDrafts
        What `draft_facts` found.
    """
    facts: dict[str, Fact] = {}
    applies: dict[str, Condition] = {}
    for name, draft in drafts.drafts.items():
        if section is None or not isinstance(section.value.get(name), dict):
            continue
        node = section.child(name, f"fact {shown(name)}")
        if node.has("applies"):
            applies[name] = _applies(node, draft, drafts)
        if None not in (draft.values, draft.sided, draft.per_side, draft.known):
            facts[name] = Fact(
                name=name,
                asks=str(node.value.get("asks", name)),
                values=draft.values or (),
                sided=bool(draft.sided),
                per_side=bool(draft.per_side),
                known=cast("Literal['before', 'after']", draft.known),
                applies=applies.get(name),
                had=_had(node),
            )
    if section is not None:
        _refuse_loops(section, applies)
    return facts


def _had(node: Node) -> tuple[tuple[str, str], ...]:
    table = node.value.get("had")
    return tuple(table.items()) if isinstance(table, dict) else ()


def _applies(node: Node, draft: FactDraft, drafts: FactDrafts) -> Condition:
    before = "and this fact is known before it" if draft.known == "before" else ""
    speech = Speech(
        to_away=False,
        because="where a fact applies is told as the offence faces the line",
        before=before,
    )
    return read_condition(node.child("applies"), drafts, speech)


def _refuse_loops(section: Node, applies: dict[str, Condition]) -> None:
    leads = {
        name: {
            word
            for all_of in condition
            for entry in all_of
            for word in (entry.fact, entry.where)
            if word in applies
        }
        for name, condition in applies.items()
    }
    order = {name: place for place, name in enumerate(leads)}
    for loop in _loops(leads):
        first = min(loop, key=order.__getitem__)
        place = section.child(first, f"fact {shown(first)}").child("applies")
        place.fault("applies leads back to its own fact; let one of them apply always")


def _loops(leads: dict[str, set[str]]) -> list[set[str]]:
    """Give the sets of facts that lead back to each other (Tarjan 1972, without recursion)."""
    found: list[set[str]] = []
    number: dict[str, int] = {}
    lowest: dict[str, int] = {}
    trail: list[str] = []
    on_trail: set[str] = set()
    for start, follows in leads.items():
        work = [(start, iter(follows))] if start not in number else []
        while work:
            name, rest = work[-1]
            if name not in number:
                number[name] = lowest[name] = len(number)
                trail.append(name)
                on_trail.add(name)
            follow = next(rest, None)
            if follow is not None:
                if follow not in number:
                    work.append((follow, iter(leads[follow])))
                elif follow in on_trail:
                    lowest[name] = min(lowest[name], number[follow])
                continue
            work.pop()
            if work:
                lowest[work[-1][0]] = min(lowest[work[-1][0]], lowest[name])
            if lowest[name] == number[name]:
                at = _last_at(trail, name)
                loop = set(trail[at:])
                del trail[at:]
                on_trail -= loop
                if len(loop) > 1 or name in leads[name]:
                    found.append(loop)
    return found


def _last_at(trail: list[str], name: str) -> int:
    at = len(trail) - 1
    while trail[at] != name:
        at -= 1
    return at
