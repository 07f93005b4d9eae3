"""A coach's rules, ready to be asked."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from functools import partial
from types import MappingProxyType
from typing import TYPE_CHECKING, TypeVar, cast

from gradecut.errors import LookError
from gradecut.records.expectation import Expectation
from gradecut.records.people import Side
from gradecut.records.rubric import Rubric
from gradecut.scheme._expecting import Asked, align, expect_fit
from gradecut.scheme._flips import Flip, Flips
from gradecut.scheme._page import shown
from gradecut.scheme._questions import (
    Question,
    alignment_question,
    fit_question,
    own_side,
)
from gradecut.scheme._refusals import unknown, value_faults
from gradecut.scheme._situation import Situation
from gradecut.scheme._ties import Ties
from gradecut.scheme.parts import (
    AlignmentRule,
    Duty,
    Fact,
    Fit,
    Impossible,
    Position,
    Rule,
    Value,
)

if TYPE_CHECKING:
    from gradecut.scheme.auditing.findings import Audit

__all__ = ["Look", "Scheme"]

Look = Mapping[str, Value]
"""What is known of a look: reference to value; what is missing is unknown."""


class _Questions(dict[str, Question]):
    """What is asked of each man, made ready when it is first asked."""

    def __init__(self, make: Callable[[str], Question]) -> None:
        super().__init__()
        self._make = make

    def __missing__(self, name: str) -> Question:
        found = self[name] = self._make(name)
        return found


_OfMen = TypeVar("_OfMen", Rule, AlignmentRule)


def _by_man(items: Sequence[_OfMen]) -> dict[str, list[_OfMen]]:
    found: dict[str, list[_OfMen]] = {}
    for item in items:
        for name in item.men:
            found.setdefault(name, []).append(item)
    return found


class Scheme:
    """A coach's rules, checked and ready; nothing in it changes once it is made.

    Attributes
    ----------
    name, version : str
        As the file says; empty when it says nothing.
    text, sha256 : str
        The file's text and its SHA-256, in hexadecimal.
    tiers : tuple of str
        From lowest to highest.
    facts : mapping of str to Fact
        In file order, as are the following.
    positions : mapping of str to Position
    fits : mapping of str to Fit
    rules : tuple of Rule
    alignments : tuple of AlignmentRule
    impossible : tuple of Impossible
    duties : tuple of Duty
    rubric : Rubric
    references : tuple of str
        Everything a look may hold, in file order, left before right.
    play_order : tuple of str
        The same in the order a play shows them: what is known before the snap first, else in
        file order.

    Examples
    --------
    >>> from gradecut.scheme import parse_scheme
    >>> scheme = parse_scheme('''
    ... [facts.run]
    ... values = ["left", "right"]
    ... sided = true
    ... [positions.Keel]
    ... side = "left"
    ... [fits."fill A"]
    ... job = "fill"
    ... gap = "A"
    ... [fits."hang A"]
    ... job = "hang"
    ... gap = "A"
    ... [[rules]]
    ... id = "1"
    ... for = ["Keel"]
    ... when = { run = "to" }
    ... fit = "fill A"
    ... [[rules]]
    ... id = "2"
    ... for = ["Keel"]
    ... when = { run = "away" }
    ... fit = "hang A"
    ... ''', "two rules")
    >>> scheme.expect("Keel", {"run": "left"}).fit
    'fill A'
    >>> scheme.expect("Keel", {}).needs
    ('run',)
    """

    def __init__(
        self,
        *,
        name: str,
        version: str,
        text: str,
        sha256: str,
        tiers: Sequence[str],
        facts: Mapping[str, Fact],
        positions: Mapping[str, Position],
        fits: Mapping[str, Fit],
        rules: Sequence[Rule],
        alignments: Sequence[AlignmentRule],
        impossible: Sequence[Impossible],
        duties: Sequence[Duty],
        rubric: Rubric,
        ties: Ties,
    ) -> None:
        self.name = name
        self.version = version
        self.text = text
        self.sha256 = sha256
        self.tiers = tuple(tiers)
        self.facts: Mapping[str, Fact] = MappingProxyType(dict(facts))
        self.positions: Mapping[str, Position] = MappingProxyType(dict(positions))
        self.fits: Mapping[str, Fit] = MappingProxyType(dict(fits))
        self.rules = tuple(rules)
        self.alignments = tuple(alignments)
        self.impossible = tuple(impossible)
        self.duties = tuple(duties)
        self.rubric = rubric
        self.references = ties.references
        self._ties = ties
        self.play_order = tuple(sorted(ties.references, key=self._known_late))
        self._known_values = {reference: ties.values_of(reference) for reference in ties.references}
        rules_of = _by_man(self.rules)
        alignments_of = _by_man(self.alignments)
        self._fit_questions = _Questions(
            lambda name: fit_question(
                self.positions[name], rules_of.get(name, ()), self.fits, self.facts, self.tiers
            )
        )
        self._alignment_questions = _Questions(
            lambda name: alignment_question(
                self.positions[name], alignments_of.get(name, ()), self.facts, self.tiers
            )
        )

    def __repr__(self) -> str:
        return f"<Scheme {self.name!r}: {len(self.rules)} rules for {len(self.positions)} men>"

    def expect(self, position: str, look: Look, side: str | None = None) -> Expectation:
        """Say what the scheme asks of one man on one look.

        Parameters
        ----------
        position : str
            The man.
        look : mapping of str to str, int or bool
            What is known; a reference that is missing may have any of its values.
        side : "left", "right" or None
            The man's side as the offence faces the line, where it was seen; None: not told.

        Returns
        -------
        Expectation
            The fit, or what is still possible and which facts would settle it.

        Raises
        ------
        LookError
            On an unknown position, reference or value, a look that can't be, a side he can't be
            on, or too many open facts to answer exactly.
        """
        self._man(position)
        sides = {} if side is None else {position: side}
        return self._expect(position, self._situation(look, sides), sides)

    def expect_all(
        self, look: Look, sides: Mapping[str, str] | None = None
    ) -> dict[str, Expectation]:
        """Say what the scheme asks of every man on one look, in file order.

        Parameters
        ----------
        look : mapping of str to str, int or bool
            What is known.
        sides : mapping of str to "left" or "right", optional
            Sides that were seen, by position.

        Raises
        ------
        LookError
            As in `expect`.
        """
        if sides is not None and not isinstance(sides, Mapping):
            raise LookError(f"Sides are told by position, not as {shown(sides)}")
        known = dict(sides or {})
        situation = self._situation(look, known)
        return {name: self._expect(name, situation, known) for name in self.positions}

    def flips(self, position: str, look: Look, side: str | None = None) -> tuple[Flip, ...]:
        """Give the changes of one recorded fact that would turn what is asked of a man.

        All else stays as recorded, but for facts that don't apply any more; those are left out.
        Values that make the look impossible are passed over, and so are those that leave the
        answer open, or without one.

        Parameters
        ----------
        position, look, side
            As in `expect`.

        Returns
        -------
        tuple of Flip
            Most telling first: facts that bring back a rule overridden now, other facts the
            answering rule names, then facts known after the snap, then the smallest change.
            Empty while the answer is open.

        Raises
        ------
        LookError
            As in `expect`.
        """
        self._man(position)
        return self._flips(position, look, side).all()

    def audit(self) -> Audit:
        """Prove over every look that each man has one answer and each duty is met.

        Returns
        -------
        Audit
            Holes, overlaps, masked and dead rules, idle facts and broken duties; true when there
            is no hole, no overlap and no broken duty.

        Raises
        ------
        SchemeError
            When the facts hang together in so many ways that nothing can be proven in bounded
            time.
        """
        from gradecut.scheme.auditing.auditor import audit_scheme

        return audit_scheme(self)

    def side_of(self, position: str, look: Look, side: str | None = None) -> Side | None:
        """Give a man's side on a look; None while it is open or where he has none.

        Raises
        ------
        LookError
            As in `expect`.
        """
        man = self._man(position)
        sides = {} if side is None else {position: side}
        situation = self._situation(look, sides)
        question = Question(man=man, choices=(), references=self._side_references(position))
        view = situation.view(question, sides.get(position))
        if view.problem is None:
            return self._told_side(man, own_side(man, situation.values), side)
        found = view.problem.own_sides(man)
        return next(
            (place for place, looks in found.items() if looks & view.valid == view.valid), None
        )

    def fact_of(self, reference: str) -> Fact:
        """Give the fact a reference belongs to.

        The side of a man who lines up on either side counts as a fact of its own.

        Raises
        ------
        LookError
            On an unknown reference.
        """
        if reference not in self.references:
            raise LookError(unknown("reference", reference, self.references))
        fact = self._ties.fact_of(reference)
        if fact is not None:
            return fact
        man = reference.partition(".")[2]
        return Fact(
            name=reference, asks=f"Which side is {man} on?", values=("left", "right"), sided=True
        )

    def values_of(self, reference: str) -> tuple[Value, ...]:
        """Give the values a reference may have, in file order.

        Raises
        ------
        LookError
            On an unknown reference.
        """
        return self.fact_of(reference).values

    @property
    def groups(self) -> dict[str, tuple[str, ...]]:
        """Give the positions of each group, both in file order; "" for men without one."""
        found: dict[str, list[str]] = {}
        for man in self.positions.values():
            found.setdefault(man.group or "", []).append(man.name)
        return {group: tuple(men) for group, men in found.items()}

    @property
    def gaps(self) -> tuple[str, ...]:
        """Give the gaps the fits name, in file order."""
        return tuple(dict.fromkeys(fit.gap for fit in self.fits.values() if fit.gap is not None))

    def look_faults(self, look: Mapping[str, object]) -> tuple[str, ...]:
        """Say everything that is wrong with a look, one sentence each; nothing when it may be."""
        faults = tuple(value_faults(look, self._known_values))
        if faults:
            return faults
        try:
            Situation(self._ties, cast("Look", look))
        except LookError as refused:
            return (str(refused),)
        return ()

    def _expect(self, position: str, situation: Situation, sides: Mapping[str, str]) -> Expectation:
        man = self.positions[position]
        side = sides.get(position)
        view = situation.view(self._fit_questions[position], side)
        if view.problem is None:
            self._told_side(man, own_side(man, situation.values), side)
        aligned = situation.view(self._alignment_questions[position], side)
        flip = partial(self._first_flip, position, situation.look, side)
        asked = Asked(scheme=self, man=man, view=view, alignment=align(aligned), flip=flip)
        return expect_fit(asked)

    def _flips(self, position: str, look: Look, side: str | None) -> Flips:
        question = self._fit_questions[position]
        return Flips(self, position, look, side, ties=self._ties, question=question)

    def _first_flip(self, position: str, look: Look, side: str | None) -> Flip | None:
        return self._flips(position, look, side).first()

    def _known_late(self, reference: str) -> bool:
        fact = self._ties.fact_of(reference)
        return fact is not None and fact.known == "after"

    def _man(self, position: str) -> Position:
        man = self.positions.get(position) if isinstance(position, str) else None
        if man is None:
            raise LookError(unknown("position", position, tuple(self.positions)))
        return man

    def _situation(self, look: Look, sides: Mapping[str, str]) -> Situation:
        faults = tuple(value_faults(look, self._known_values))
        if faults:
            raise LookError(faults[0])
        for position, side in sides.items():
            look = self._with_side(self._man(position), side, look)
        return Situation(self._ties, look)

    def _with_side(self, man: Position, side: str, look: Look) -> Look:
        if side not in ("left", "right"):
            raise LookError(f'{man.name} is on the "left" or the "right", not {shown(side)}')
        if man.side == "none":
            raise LookError(f"{man.name} has no side in this scheme, so he is not on the {side}")
        if man.side in ("left", "right") and man.side != side:
            raise LookError(f"{man.name} is always on the {man.side} in this scheme")
        if man.side != "as aligned":
            return look
        reference = f"side.{man.name}"
        if look.get(reference, side) != side:
            raise LookError(
                f'{man.name} can\'t be on the {side}: the look says "{reference}" is not'
            )
        return {**look, reference: side}

    @staticmethod
    def _told_side(man: Position, found: Side | None, told: str | None) -> Side | None:
        if told is not None and found != told:
            place = f"on the {found}" if found else "without a side"
            raise LookError(f"{man.name} is {place} on this look, not on the {told}")
        return found

    def _side_references(self, position: str) -> frozenset[str]:
        man = self.positions[position]
        return fit_question(man, (), {}, self.facts, self.tiers).references
