"""The audit of a whole scheme, and what of it stays true from one edit to the next."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterable, Mapping
from typing import TYPE_CHECKING, TypeVar

from gradecut.errors import SchemeError
from gradecut.progress import CancelToken, Progress, silent
from gradecut.scheme._budget import Budget, TooLarge
from gradecut.scheme._page import Fault
from gradecut.scheme._questions import Question, alignment_question, fit_question
from gradecut.scheme._ties import Ties
from gradecut.scheme.auditing import wording
from gradecut.scheme.auditing._answers import Answers, Piece
from gradecut.scheme.auditing._duty import BrokenDuty, Post, Share, owners, prove_duty
from gradecut.scheme.auditing._man import (
    Depends,
    Proven,
    prove,
    prove_changes,
    prove_company,
)
from gradecut.scheme.auditing._problem import Bonds
from gradecut.scheme.auditing._smallest import SmallLook
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
    they are. The findings are those of `audit_scheme`, always; only what it could not settle in
    bounded time may differ.
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
        try:
            return self._audit(scheme, progress or silent, cancel)
        except TooLarge as refused:
            told = (
                f"the scheme can't be audited: {refused}, so nothing is proven; let fewer facts "
                "be tied by what is impossible, or fewer decide in one man's rules"
            )
            raise SchemeError(scheme.name or "scheme", (Fault(line=0, message=told),)) from None

    def _audit(self, scheme: Scheme, progress: Progress, cancel: CancelToken | None) -> Audit:
        for kept in (self._kept, {}):
            run = _Run(scheme, kept, progress, Budget(cancel))
            try:
                found = run.audit()
            except TooLarge:
                self._kept = {}
                if not kept:
                    raise
                # What is kept of many edits can be too much where one audit is not.
                continue
            self._kept = run.used
            return found
        raise AssertionError("the second time nothing is kept")


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
        self.unproven: list[str] = []
        self._refused: dict[Hashable, str] = {}
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
        holes = tuple(self._holes(fits))
        overlaps = tuple(self._overlaps(fits, places))
        duties = tuple(self._duties())
        idle, open_still = self._idle()
        return Audit(
            looks=looks,
            holes=holes,
            overlaps=overlaps,
            masked=tuple(self._silent([*fits, *places], dead=False)),
            dead=tuple(self._silent([*fits, *places], dead=True)),
            idle=tuple(idle),
            duties=duties,
            unproven=(*self.unproven, *open_still),
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
                    look=self._small(proven.hole, question.man.name),
                    message=wording.hole(
                        self._scheme, question.man, proven.hole.look, sideless=proven.sideless
                    ),
                )

    def _overlaps(self, fits: list[Proven], places: list[Proven]) -> Iterable[Finding]:
        order = {item.id: number for number, item in enumerate(self._items())}
        both = [*zip(self._fits, fits, strict=True), *zip(self._alignments, places, strict=True)]
        for question, proven in both:
            pairs: list[tuple[str, str, SmallLook]] = [
                (one, two, look) if order[one] < order[two] else (two, one, look)
                for one, two, look in proven.overlaps
            ]
            for one, two, look in sorted(pairs, key=lambda pair: (order[pair[0]], order[pair[1]])):
                yield Finding(
                    kind="overlap",
                    rules=(one, two),
                    position=question.man.name,
                    look=self._small(look, f"{one} and {two}"),
                    message=wording.overlap(self._scheme, question.man, (one, two), look.look),
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

    def _idle(self) -> tuple[list[Finding], list[str]]:
        """Give the idle facts, and a sentence for each fact of which it could not be settled."""
        found: list[Finding] = []
        open_still: list[str] = []
        for fact in self._scheme.facts.values():
            try:
                with self._budget.at_most(self._budget.left // 2):
                    moves = self._moves(fact.references)
            except TooLarge:
                open_still.append(wording.perhaps_idle(fact))
                continue
            if not moves:
                found.append(Finding(kind="idle", fact=fact.name, message=wording.idle(fact)))
        return found, open_still

    def _moves(self, references: tuple[str, ...]) -> bool:
        """Tell whether a man's answer changes with one of the references, alone or in company."""
        tied: list[tuple[Question, bool]] = []
        refused: TooLarge | None = None
        for questions, fits in ((self._fits, True), (self._alignments, False)):
            for question in questions:
                try:
                    depends = self._depends(question, fits=fits)
                except TooLarge as told:
                    refused = told
                    continue
                if depends.changing.intersection(references):
                    return True
                if depends.tied.intersection(references):
                    tied.append((question, fits))
        for question, fits in tied:
            key = ("company", fits, references, _key(question, self._scheme.fits))
            if self._once(key, self._company(question, references, fits=fits)):
                return True
        if refused is not None:
            raise refused
        return False

    def _depends(self, question: Question, *, fits: bool) -> Depends:
        key = ("depends", fits, _key(question, self._scheme.fits))
        if key in self._refused:
            raise TooLarge(self._refused[key])
        try:
            return self._once(
                key, lambda: prove_changes(self._bonds, question, self._budget, fits=fits)
            )
        except TooLarge as refused:
            self._refused[key] = str(refused)
            raise

    def _company(
        self, question: Question, asked: tuple[str, ...], *, fits: bool
    ) -> Callable[[], frozenset[str]]:
        return lambda: prove_company(self._bonds, question, asked, self._budget, fits=fits)

    def _duties(self) -> Iterable[Finding]:
        self._progress(0.9, "auditing the duties")
        posts = [self._post(duty) for duty in self._scheme.duties]
        shares = self._shares(posts)
        for post, parts in zip(posts, shares, strict=True):
            key = ("duty", _asks(post.duty), tuple(self._man_key(man) for man in post.men))
            found = self._once(key, self._prove_duty(post, parts))
            if found is None:
                continue
            yield Finding(
                kind="duty",
                duty=post.duty.name,
                look=self._small(found.small, post.duty.name),
                message=wording.duty(
                    self._scheme, post.duty, found.small.look, found.lacking, surely=found.surely
                ),
            )

    def _post(self, duty: Duty) -> Post:
        men = owners(duty, self._fits, self._scheme.fits)
        post = Post(self._bonds, duty, men, self._scheme, self._budget)
        post.move(self._once(("space", post.problem.key), lambda: post.problem))
        return post

    def _shares(self, posts: list[Post]) -> list[list[Share]]:
        """Work out where each man does his part, one man after the other, to keep little."""
        found: list[list[Share]] = [[] for _ in posts]
        for man in self._fits:
            told: dict[Hashable, list[Piece]] = {}
            for place, post in enumerate(posts):
                if man in post.men:
                    key = ("share", post.problem.key, _asks(post.duty), self._man_key(man))
                    found[place].append(self._once(key, self._share(post, man, told)))
        return found

    def _share(
        self, post: Post, man: Question, told: dict[Hashable, list[Piece]]
    ) -> Callable[[], Share]:
        def work() -> Share:
            if post.problem.key not in told:
                told[post.problem.key] = Answers(man, post.problem).told
            return post.share(told[post.problem.key])

        return work

    def _prove_duty(self, post: Post, shares: list[Share]) -> Callable[[], BrokenDuty | None]:
        return lambda: prove_duty(post, shares, self._budget)

    def _man_key(self, man: Question) -> Hashable:
        return _key(man, self._scheme.fits)

    def _small(self, found: SmallLook, what: str) -> dict[str, Value]:
        """Give a look in file order, and note when it may not be a smallest one."""
        if not found.proven:
            self.unproven.append(wording.perhaps_smaller(what))
        return self._ordered(found.look)

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


def _asks(duty: Duty) -> Hashable:
    return (duty.when, duty.each_side, duty.gaps, duty.owned, duty.at_least, duty.at_most)


def _owned(fit: str | None, fits: Mapping[str, Fit]) -> Hashable:
    return None if fit is None else (fits[fit].gap, fits[fit].owns)
