"""Conditions read from the file and checked against the facts."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from gradecut.scheme._page import Node, shown
from gradecut.scheme._reading import allowed_values
from gradecut.scheme.parts import Condition, Entry, Value

__all__ = ["BOTH", "FactDraft", "FactDrafts", "Speech", "read_condition"]

_TESTS = ("not", "min", "max")
_KIND = {str: "text in quotes", int: "a whole number", bool: "true or false"}


@dataclass(slots=True)
class FactDraft:
    """What is sure of a fact while the file is still read; None where it is faulty."""

    name: str
    values: tuple[Value, ...] | None = None
    sided: bool | None = None
    per_side: bool | None = None
    known: str | None = None
    may_lack: bool = False


@dataclass(slots=True)
class FactDrafts:
    """The facts of the file; `complete` is false where the section itself is faulty."""

    drafts: dict[str, FactDraft]
    complete: bool = True

    def add_faulty(self, names: Iterable[str]) -> None:
        """Take in facts that are declared, but where nothing is sure of them."""
        for name in names:
            self.drafts.setdefault(name, FactDraft(name))

    def sided_names(self) -> list[str]:
        """Give the facts that may point to a side."""
        return [name for name, draft in self.drafts.items() if draft.sided is not False]


@dataclass(frozen=True, slots=True, kw_only=True)
class Speech:
    """Which words for a side a condition may use, and which facts it may name.

    Attributes
    ----------
    left_right, to_away : bool
        Allowed or not.
    because : str
        Why not, as the end of a sentence.
    before : str
        Why only facts known before the snap may be named; empty when all may.
    """

    left_right: bool = True
    to_away: bool = True
    because: str = ""
    before: str = ""

    def refuses(self, word: str) -> bool:
        """Tell whether this word for a side is not for here."""
        return (word in {"left", "right"} and not self.left_right) or (
            word in {"to", "away"} and not self.to_away
        )

    def remedy(self) -> str:
        """Say what to write."""
        if self.left_right:
            return f"write left or right: {self.because}"
        if self.to_away:
            return f"write to or away: {self.because}"
        return self.because

    def words(self) -> list[str]:
        """Give the words for a side that are for here."""
        allowed = ["to", "away"] if self.to_away else []
        return allowed + (["left", "right"] if self.left_right else [])


BOTH = Speech()
"""Where it is not sure what is meant, no word for a side is refused."""


def read_condition(node: Node, facts: FactDrafts, speech: Speech) -> Condition:
    """Read a `when` or an `applies`; what is faulty is noted and left out."""
    if isinstance(node.value, list):
        if not node.value:
            node.fault(f"{node.key} is an empty list and can never hold")
        parts = [node.child(place) for place in range(len(node.value))]
        what = "a list of tables"
    else:
        parts, what = [node], "a table, or a list of tables"
    found: list[tuple[Entry, ...]] = []
    for part in parts:
        if part.is_a(dict, what):
            entries = (_entry(part.child(key), key, facts, speech) for key in part.value)
            found.append(tuple(entry for entry in entries if entry is not None))
    return tuple(found)


def _entry(node: Node, reference: str, facts: FactDrafts, speech: Speech) -> Entry | None:
    named = _fact(node, reference, facts, speech)
    if named is None:
        return None
    draft, where = named
    if speech.before and _after(draft, where, facts):
        node.fault(f"{shown(reference)} is known only after the snap, {speech.before}")
        return None
    tests = _tests(node, draft, speech)
    if tests is None:
        return None
    among, barred, least, most = tests
    entry = Entry(fact=draft.name, where=where, among=among, barred=barred, least=least, most=most)
    sure = draft.values is not None and draft.sided is not None
    if sure and _never(entry, draft, facts):
        node.fault(f"this can never hold: no value of {shown(draft.name)} fits it")
        return None
    return entry


def _after(draft: FactDraft, where: str | None, facts: FactDrafts) -> bool:
    pointer = facts.drafts.get(where) if where else None
    return "after" in {draft.known, pointer.known if pointer else None}


def _never(entry: Entry, draft: FactDraft, facts: FactDrafts) -> bool:
    values = draft.values or ()
    allowed = allowed_values(entry, values, sided=bool(draft.sided), side="left")
    if allowed - {None}:
        return False
    return not (None in allowed and _may_lack(entry, draft, facts))


def _may_lack(entry: Entry, draft: FactDraft, facts: FactDrafts) -> bool:
    if draft.may_lack:
        return True
    pointer = facts.drafts.get(entry.where) if entry.where else None
    if pointer is None:
        return False
    values = pointer.values
    return pointer.may_lack or values is None or set(values) != {"left", "right"}


def _fact(
    node: Node, reference: str, facts: FactDrafts, speech: Speech
) -> tuple[FactDraft, str | None] | None:
    if reference in facts.drafts:
        draft = facts.drafts[reference]
        if draft.per_side:
            node.fault(
                f"{shown(reference)} is recorded for each side; "
                f'write "{reference}.{speech.words()[0] if speech.words() else "…"}" in quotes'
            )
            return None
        return draft, None
    name, dot, where = reference.rpartition(".")
    if not dot or name not in facts.drafts:
        if facts.complete:
            known = facts.drafts
            word = name if dot and name else reference
            node.fault(f"unknown fact {shown(reference)}{node.page.hint(word, known, 'facts')}")
        return None
    draft = facts.drafts[name]
    return (draft, where) if _where(node, draft, where, facts, speech) else None


def _where(node: Node, draft: FactDraft, where: str, facts: FactDrafts, speech: Speech) -> bool:
    if draft.per_side is False:
        node.fault(f"{shown(draft.name)} is not recorded per side; write it without the dot")
        return False
    if where in {"left", "right", "to", "away"}:
        if speech.refuses(where):
            node.fault(f"{shown(node.path[-1])} can't stand here; {speech.remedy()}")
            return False
        return True
    pointer = facts.drafts.get(where)
    if pointer is None:
        if facts.complete:
            hint = node.page.hint(where, speech.words() + facts.sided_names(), "sided facts")
            node.fault(f"{shown(where)} is neither a side nor a sided fact{hint}")
        return False
    if pointer.sided is False:
        node.fault(f"{shown(where)} is not a sided fact, so it points to no side")
        return False
    return True


_Tests = tuple[tuple[Value, ...] | None, tuple[Value, ...], int | None, int | None]


def _tests(node: Node, draft: FactDraft, speech: Speech) -> _Tests | None:
    if not isinstance(node.value, dict):
        among = _values(node, draft, speech)
        return None if among is None else (among, (), None, None)
    unknown = [key for key in node.value if key not in _TESTS]
    for key in unknown:
        hint = node.page.hint(key, list(_TESTS), "tests")
        if key in {"to", "away", "left", "right"}:
            hint = f'; a reference with a dot stands in quotes: "{draft.name}.{key}"'
        node.child(key).fault(f"unknown key {shown(key)}{hint}")
    sound = not unknown
    barred: tuple[Value, ...] | None = ()
    if node.has("not"):
        barred = _values(node.child("not"), draft, speech)
    least, most = node.whole("min"), node.whole("max")
    for key, bound in (("min", least), ("max", most)):
        if node.has(key):
            sound = bound is not None and _counts(node.child(key), draft) and sound
    if barred is None or not sound:
        return None
    return (None, barred, least, most)


def _counts(node: Node, draft: FactDraft) -> bool:
    if draft.values is None or type(draft.values[0]) is int:
        return True
    node.fault(f"{node.key} is for whole numbers, and {shown(draft.name)} has none")
    return False


def _values(node: Node, draft: FactDraft, speech: Speech) -> tuple[Value, ...] | None:
    if isinstance(node.value, list):
        if not node.value:
            node.fault(f"the list for {shown(draft.name)} is empty")
            return None
        parts = [node.child(place) for place in range(len(node.value))]
    else:
        parts = [node]
    sound = [part.value for part in parts if _value(part, draft, speech)]
    return tuple(sound) if len(sound) == len(parts) else None


def _value(node: Node, draft: FactDraft, speech: Speech) -> bool:
    value = node.value
    if type(value) not in _KIND:
        node.fault(
            f"{shown(draft.name)} is asked for a value, a list of values, "
            f"or a table of not, min and max, not {shown(value)}"
        )
        return False
    if draft.values is None or draft.sided is None:
        return True
    if draft.sided and isinstance(value, str) and speech.refuses(value):
        node.fault(f"{shown(value)} can't stand here for {shown(draft.name)}; {speech.remedy()}")
        return False
    known = [way for way in draft.values if not (draft.sided and way in {"left", "right"})]
    if draft.sided:
        known = [*speech.words(), *known]
    if any(type(way) is type(value) and way == value for way in known):
        return True
    kind = type(draft.values[0])
    if type(value) is not kind:
        node.fault(f"{shown(draft.name)} is {_KIND[kind]}, not {shown(value)}")
    elif isinstance(value, str):
        words = [str(way) for way in known]
        hint = node.page.hint(value, words, "values")
        node.fault(f"{shown(draft.name)} has no value {shown(value)}{hint}")
    else:
        ways = ", ".join(shown(way) for way in known)
        node.fault(f"{shown(draft.name)} has no value {shown(value)}; it has {ways}")
    return False
