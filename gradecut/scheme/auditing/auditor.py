"""The audit of a whole scheme, and what of it stays true from one edit to the next."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterable, Mapping
from typing import TYPE_CHECKING, TypeVar

from gradecut.errors import SchemeError
from gradecut.progress import CancelToken, Progress, silent
from gradecut.scheme._page import Fault
from gradecut.scheme._questions import Question, alignment_question, fit_question
from gradecut.scheme._ties import Ties
from gradecut.scheme.auditing import wording
from gradecut.scheme.auditing._budget import Budget, TooLarge
from gradecut.scheme.auditing._duty import owners, prove_duty
from gradecut.scheme.auditing._man import Proven, prove, prove_company
from gradecut.scheme.auditing._problem import Bonds
from gradecut.scheme.auditing.findings import Audit, Finding
from gradecut.scheme.parts import AlignmentRule, Duty, Fit, Rule, Value

if TYPE_CHECKING:
    from gradecut.scheme.scheme import Scheme

__all__ = ["Auditor", "audit_scheme"]

_T = TypeVar("_T")
_Look = Mapping[str, Value]


def audit_scheme(
    scheme: Scheme, *, progress: Progress | None = None, cancel: CancelToken | None = None
) -> Audit:
    """Prove a scheme over every look that can be.

    Completeness and overlap are meant as in the OMG DMN standard's hit policies and in Calvanese
    et al. 2016 (arXiv:1603.07466).

    Parameters
    ----------
    scheme : Scheme
        The rules.
    progress : Progress, optional
        Told after each man and duty.
    cancel : CancelToken, optional
        Asked in between.

    Returns
    -------
    Audit
        All findings; true when the scheme is sound.

    Raises
    ------
    SchemeError
        When the facts hang together in so many ways that nothing can be proven in bounded time.
    Cancelled
        When the person asked to stop.
    """
    return Auditor().audit(scheme, progress=progress, cancel=cancel)


class Auditor:
    """Audits one scheme after another, and works out only what an edit has touched.

    What was proven of a man is kept for as long as his rules, their fits and the facts stay as
    they are. The findings are those of `audit_scheme`, always.
    """

    def __init__(self) -> None:
        self._kept: dict[Hashable, object] = {}

    def audit(
        self,
        scheme: Scheme,
        *,
        progress: Progress | None = None,
        cancel: CancelToken | None = None,
    ) -> Audit:
        """Prove a scheme over every look that can be.

        Parameters
        ----------
        scheme, progress, cancel
            As in `audit_scheme`.

        Raises
        ------
        SchemeError, Cancelled
            As in `audit_scheme`.
        """
        run = _Run(scheme, self._kept, progress or silent, Budget(cancel))
        try:
            found = run.audit()
        except TooLarge as refused:
            told = (
                f"the scheme can't be audited: {refused}, so nothing is proven; let fewer facts "
                "be tied by what is impossible, or fewer decide in one man's rules"
            )
            raise SchemeError(scheme.name or "scheme", (Fault(line=0, message=told),)) from None
        self._kept = run.used
        return found


class _Run:
    """One audit of one scheme."""

    def __init__(
        self, scheme: Scheme, kept: Mapping[Hashable, object], progress: Progress, budget: Budget
    ) -> None:
        self._scheme = scheme
        self._kept = kept
        self.used: dict[Hashable, object] = {}
        self._progress = progress
        self._budget = budget
        ties = Ties(scheme.facts, scheme.references, scheme.impossible)
        self._bonds = Bonds(ties)
        self._ground = _ground(scheme)
        men = scheme.positions.values()
        self._fits = [
            fit_question(man, scheme.rules, scheme.fits, scheme.facts, scheme.tiers) for man in men
        ]
        self._alignments = [
            alignment_question(man, scheme.alignments, scheme.facts, scheme.tiers) for man in men
        ]

    def _once(self, key: Hashable, work: Callable[[], _T]) -> _T:
        whole = (self._ground, key)
        if whole not in self.used:
            self.used[whole] = self._kept[whole] if whole in self._kept else work()
        return self.used[whole]  # type: ignore[return-value]

    def audit(self) -> Audit:
        looks = self._once("looks", lambda: self._bonds.count(self._budget))
        if not looks:
            raise TooLarge("no look is left that could be")
        fits = [self._prove(question, fits=True) for question in self._fits]
        places = [self._prove(question, fits=False) for question in self._alignments]
        return Audit(
            looks=looks,
            holes=tuple(self._holes(fits)),
            overlaps=tuple(self._overlaps(fits, places)),
            masked=tuple(self._silent([*fits, *places], dead=False)),
            dead=tuple(self._silent([*fits, *places], dead=True)),
            idle=tuple(self._idle([*fits, *places])),
            duties=tuple(self._duties()),
        )

    def _prove(self, question: Question, *, fits: bool) -> Proven:
        man = question.man.name
        done = len(self.used) / (len(self._scheme.positions) * 2 + 2)
        self._progress(min(done, 0.9), f"auditing {man}")
        return self._once(
            (fits, _key(question, self._scheme.fits)),
            lambda: prove(self._bonds, question, self._budget, fits=fits),
        )

    def _holes(self, fits: list[Proven]) -> Iterable[Finding]:
        for question, proven in zip(self._fits, fits, strict=True):
            if proven.hole is not None:
                yield Finding(
                    kind="hole",
                    position=question.man.name,
                    look=self._ordered(proven.hole),
                    message=wording.hole(
                        self._scheme, question.man, proven.hole, sideless=proven.sideless
                    ),
                )

    def _overlaps(self, fits: list[Proven], places: list[Proven]) -> Iterable[Finding]:
        order = {item.id: number for number, item in enumerate(self._items())}
        both = [*zip(self._fits, fits, strict=True), *zip(self._alignments, places, strict=True)]
        for question, proven in both:
            pairs: list[tuple[str, str, _Look]] = [
                (one, two, look) if order[one] < order[two] else (two, one, look)
                for one, two, look in proven.overlaps
            ]
            for one, two, look in sorted(pairs, key=lambda pair: (order[pair[0]], order[pair[1]])):
                yield Finding(
                    kind="overlap",
                    rules=(one, two),
                    position=question.man.name,
                    look=self._ordered(look),
                    message=wording.overlap(self._scheme, question.man, (one, two), look),
                )

    def _items(self) -> list[Rule | AlignmentRule]:
        items: list[Rule | AlignmentRule] = [*self._scheme.rules, *self._scheme.alignments]
        return sorted(items, key=lambda item: item.line)

    def _silent(self, all_proven: list[Proven], *, dead: bool) -> Iterable[Finding]:
        matched = frozenset[str]().union(*(proven.matched for proven in all_proven))
        answered = frozenset[str]().union(*(proven.answered for proven in all_proven))
        for item in self._items():
            if item.id in answered or (item.id in matched) == dead:
                continue
            yield Finding(
                kind="dead" if dead else "masked",
                rules=(item.id,),
                message=wording.dead(item) if dead else wording.masked(item),
            )

    def _idle(self, all_proven: list[Proven]) -> Iterable[Finding]:
        changing = frozenset[str]().union(*(proven.changing for proven in all_proven))
        for fact in self._scheme.facts.values():
            if changing.intersection(fact.references) or self._in_company(fact.references):
                continue
            yield Finding(kind="idle", fact=fact.name, message=wording.idle(fact))

    def _in_company(self, references: tuple[str, ...]) -> bool:
        for questions, fits in ((self._fits, True), (self._alignments, False)):
            for question in questions:
                asked = references
                if not self._prove(question, fits=fits).tied.intersection(asked):
                    continue
                key = ("company", fits, asked, _key(question, self._scheme.fits))
                if self._once(key, self._company(question, asked, fits=fits)):
                    return True
        return False

    def _company(
        self, question: Question, asked: tuple[str, ...], *, fits: bool
    ) -> Callable[[], frozenset[str]]:
        return lambda: prove_company(self._bonds, question, asked, self._budget, fits=fits)

    def _duties(self) -> Iterable[Finding]:
        for duty in self._scheme.duties:
            look = self._broken(duty)
            if look is not None:
                yield Finding(
                    kind="duty",
                    duty=duty.name,
                    look=self._ordered(look),
                    message=wording.duty(self._scheme, duty, look),
                )

    def _broken(self, duty: Duty) -> _Look | None:
        scheme = self._scheme
        self._progress(0.9, f"auditing {duty.name}")
        men = owners(duty, self._fits, scheme.fits)
        asked = (duty.when, duty.each_side, duty.gaps, duty.owned, duty.at_least, duty.at_most)
        keys = tuple(_key(question, scheme.fits) for question in men)
        return self._once(
            ("duty", asked, keys),
            lambda: prove_duty(self._bonds, duty, men, scheme, self._budget),
        )

    def _ordered(self, look: _Look) -> dict[str, Value]:
        return {ref: look[ref] for ref in self._scheme.references if ref in look}


def _ground(scheme: Scheme) -> Hashable:
    """Give what every proof rests on: the facts, the sides to be told, and what cannot be."""
    return (
        tuple(
            (fact.name, type(fact.values[0]), fact.values, fact.sided, fact.per_side, fact.applies)
            for fact in scheme.facts.values()
        ),
        scheme.references,
        tuple((entry.when, entry.each_side) for entry in scheme.impossible),
    )


def _key(question: Question, fits: Mapping[str, Fit]) -> Hashable:
    """Give what a proof of one man's rules rests on besides the ground."""
    return (
        question.man.name,
        question.man.side,
        tuple(
            (
                choice.item.id,
                choice.rank,
                choice.item.when,
                choice.answer,
                choice.side,
                _owned(getattr(choice.item, "fit", None), fits),
            )
            for choice in question.choices
        ),
    )


def _owned(fit: str | None, fits: Mapping[str, Fit]) -> Hashable:
    return None if fit is None else (fits[fit].gap, fits[fit].owns)
