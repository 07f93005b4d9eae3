"""A smallest look that shows something: the fewest references, in all of whose completions it is.

References are told or left open. Leaving one open loses, of the looks that can be and of those
among them that do not show it, the difference in that reference; telling will do when something
is left of the first that is not in the second. Which references are left open decides that, not
their values: all values are tried at once, as sets. Open references that will not do are cut down
to as few as will not do either; every look that does tells one of these. So a smallest set of
references that meets all that was found so far is tried, until one does: as the hitting sets of
Reiter 1987, as far as remembered.
"""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass

from gradecut.scheme._budget import Budget, TooLarge
from gradecut.scheme._product import Product, Set, less
from gradecut.scheme.auditing._hitting import Clause, Hitting
from gradecut.scheme.parts import Value

__all__ = ["SmallLook", "smallest_look"]

_KEPT_BITS = 1 << 30
_STEPS = 120_000
_TURNS = 12


def smallest_look(
    product: Product,
    valid: Set,
    shown: Set,
    budget: Budget,
    must: Collection[str] = (),
) -> SmallLook | None:
    """Give a look of the fewest references all of whose completions show something.

    Parameters
    ----------
    product : Product
        The combinations.
    valid : Set
        Those that can be.
    shown : Set
        Those among them that show it.
    budget : Budget
        What the work is counted on.
    must : collection of str
        References that any such look tells.

    Returns
    -------
    SmallLook or None
        None when nothing shows it.
    """
    if not shown:
        return None
    unlike = less(valid, shown)
    try:
        with budget.at_most(min(_STEPS, budget.left // 2)):
            search = _Search(product, valid, shown, budget, must)
            return SmallLook(look=search.look(), proven=True)
    except TooLarge:
        product.forget()
        return SmallLook(look=_short(product, shown, unlike, must), proven=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class SmallLook:
    """A look, and whether none that shows the same has fewer references.

    Where that could not be settled in bounded time no reference of it can be left out.
    """

    look: dict[str, Value]
    proven: bool


def _short(product: Product, shown: Set, unlike: Set, must: Collection[str]) -> dict[str, Value]:
    """Give a look that shows something and of which no reference can be left out."""
    whole = product.any_of(shown)
    best = dict(whole)
    levels = [level for level in sorted(whole) if product.references[level] not in must]
    for turn in range(_TURNS):
        told = {level: place for level, place in whole.items() if _has(product, level, place)}
        for level in levels[turn:] + levels[:turn]:
            fewer = {one: place for one, place in told.items() if one != level}
            if not product.meets(unlike, fewer):
                told = fewer
        if len(told) < len(best):
            best = told
    return {product.references[level]: _way(product, level, best[level]) for level in sorted(best)}


def _has(product: Product, level: int, place: int) -> bool:
    return product.ways[level][place] is not None


def _way(product: Product, level: int, place: int) -> Value:
    way = product.ways[level][place]
    assert way is not None
    return way


@dataclass(frozen=True, slots=True)
class _State:
    """What is left after some references were left open: where it shows whatever they are.

    Where some looks can't be, `some` is what can be with any of their values and `unlike` what
    does not show it with any of them; else `some` is what shows it with all.
    """

    some: Set
    unlike: Set

    def __bool__(self) -> bool:
        return bool(less(self.some, self.unlike) if self.unlike else self.some)


class _Search:
    def __init__(
        self, product: Product, valid: Set, shown: Set, budget: Budget, must: Collection[str]
    ) -> None:
        self._product = product
        self._budget = budget
        self._levels = range(len(product.references))
        self._whole = valid == product.full
        start = _State(shown, 0) if self._whole else _State(valid, less(valid, shown))
        self._known: dict[int, _State] = {0: start}
        self._most_known = max(16, _KEPT_BITS // product.size)
        self._partial = sum(1 << level for level in self._levels if None in product.ways[level])
        self._must = [level for level, ref in self._named() if ref in must]
        self._order = self._ordered()

    def _ordered(self) -> list[int]:
        """Order levels so that what is left gets less soon."""
        ones = {ref: (1,) * len(self._product.ways[level]) for level, ref in self._named()}
        left = {}
        for level in self._levels:
            if level in self._must:
                left[level] = 0
                continue
            state = self._open(0, level)
            rest = less(state.some, state.unlike) if state.unlike else state.some
            left[level] = self._product.count(rest, ones) if rest else 0
            if not self._product.tops:
                left[level] *= len(self._product.ways[level])
        return sorted(self._levels, key=left.__getitem__)

    def _named(self) -> list[tuple[int, str]]:
        return list(enumerate(self._product.references))

    def look(self) -> dict[str, Value]:
        """Find it."""
        everything = (1 << len(self._levels)) - 1
        hitting = Hitting(self._budget)
        best: int | None = None
        for level in self._order:
            if level in self._must or not self._open(0, level):
                hitting.add((1 << level, 0))
        while True:
            most = len(self._levels) if best is None else best.bit_count() - 1
            told = hitting.smallest(most)
            if told is None:
                assert best is not None
                return self._shown(best)
            while (clause := self._conflict(everything & ~told, told & self._partial)) is not None:
                hitting.add(clause)
                if not clause[0] & ~told:
                    break
                told |= clause[0]
            else:
                if best is None or told.bit_count() < best.bit_count():
                    best = told

    def _conflict(self, opened: int, told: int) -> Clause | None:
        """Cut references that will not do, open or told, down to few that will not do either."""
        opened_core = told_core = 0
        left = opened, told
        while self._left(opened_core, told_core):
            found = self._until_nothing(opened_core, told_core, left)
            if found is None:
                return None
            kind, level, left = found
            if kind:
                told_core |= 1 << level
            else:
                opened_core |= 1 << level
        return opened_core, told_core

    def _until_nothing(
        self, opened: int, told: int, more: tuple[int, int]
    ) -> tuple[int, int, tuple[int, int]] | None:
        """Add references one by one until nothing is left; give the last, and those before it."""
        passed = [0, 0]
        for kind, levels in enumerate(more):
            for level in self._order:
                one = 1 << level
                if not levels & one or (opened, told)[kind] & one:
                    continue
                if kind:
                    told |= one
                else:
                    opened |= one
                if not self._left(opened, told):
                    return kind, level, (passed[0], passed[1])
                passed[kind] |= one
        return None

    def _left(self, opened: int, told: int) -> Set:
        state = self._state(opened)
        some = state.some
        for level in self._levels:
            if told >> level & 1:
                some = some & self._valued(level)
        return less(some, state.unlike) if state.unlike else some

    def _valued(self, level: int) -> Set:
        ways = self._product.ways[level]
        return self._product.where(
            self._product.references[level], frozenset(way for way in ways if way is not None)
        )

    def _state(self, opened: int) -> _State:
        found = self._known.get(opened)
        if found is not None:
            return found
        last = next(level for level in reversed(self._order) if opened >> level & 1)
        return self._open(opened & ~(1 << last), last)

    def _open(self, opened: int, level: int) -> _State:
        key = opened | 1 << level
        found = self._known.get(key)
        if found is None:
            state = self._state(opened)
            opened_at = self._product.opened
            found = _State(
                opened_at(level, state.some, every=self._whole),
                opened_at(level, state.unlike, every=False) if state.unlike else 0,
            )
            if len(self._known) > self._most_known:
                start = self._known[0]
                self._known.clear()
                self._known[0] = start
            self._known[key] = found
        return found

    def _shown(self, told: int) -> dict[str, Value]:
        everything = (1 << len(self._levels)) - 1
        left = self._left(everything & ~told, told & self._partial)
        places = self._product.any_of(left)
        found: dict[str, Value] = {}
        for level, reference in self._named():
            if told >> level & 1:
                found[reference] = _way(self._product, level, places[level])
        return found
