"""Learning beside the grid: what he said men owed, the rules proposed from it, the look to ask."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

from gradecut.counting_words import counted
from gradecut.desk.saying import Refusal, says
from gradecut.desk.scheme_answers import answers_file, read_answers, store_answers
from gradecut.desk.scheme_beside import BesideRow, FoundBeside, PlayNames
from gradecut.desk.scheme_grid import condition_of
from gradecut.progress import CancelToken, Progress
from gradecut.scheme import Scheme
from gradecut.workflows.rule_words import look_line, rule_when

if TYPE_CHECKING:
    from gradecut.desk.scheme_desk import SchemeDesk
    from gradecut.scheme.learning import Contradiction, Learned, LookToAsk, Proposal, Said

__all__ = ["SchemeLearning"]


class SchemeLearning(FoundBeside["tuple[Learned, int, PlayNames]"]):
    """Proposes rules from what he said; each one accepted is an edit of the draft.

    Rows are proposals in the order they are best accepted, then where he said it both ways, then
    what could not be used. A proposal's key is the Proposal.

    Attributes
    ----------
    ask : LookToAsk or None
        The one look whose answer would settle most.
    said : int
        How many answers of his there are, those given without film too.
    aside : int
        How many proposals were put aside.
    """

    work_name = "Learning from what you said"

    def __init__(self, desk: SchemeDesk) -> None:
        super().__init__(desk)
        self._file = answers_file(desk.book.path)
        self._answers: tuple[Said, ...] = read_answers(self._file)
        self._learned: Learned | None = None
        self._aside: set[object] = set()
        self._skipped: LookToAsk | None = None
        self.said = 0

    # ------------------------------------------------------------------ learning

    def learn(self) -> None:
        """Learn from what he has said up to now; what runs already is followed by it."""
        self._find_out()

    def _work(
        self, scheme: Scheme
    ) -> Callable[[Progress, CancelToken], tuple[Learned, int, PlayNames]]:
        answers, book = self._answers, self._desk.book

        def work(progress: Progress, cancel: CancelToken) -> tuple[Learned, int, PlayNames]:
            from gradecut.workflows.learning import learn_from_book, said_in

            said = len(said_in(book)) + len(answers)
            learned = learn_from_book(book, scheme, more=answers, progress=progress, cancel=cancel)
            return learned, said, PlayNames(book)

        return work

    def _take(self, scheme: Scheme, found: tuple[Learned, int, PlayNames]) -> None:
        self._learned, self.said, names = found
        self.rows = self._rows_of(scheme, names)

    def _forget(self) -> None:
        self._learned = None

    @property
    def ask(self) -> LookToAsk | None:
        """The one look whose answer would settle most; None where it was put off."""
        asked = self._learned.ask if self._learned is not None else None
        return None if asked is None or asked == self._skipped else asked

    @property
    def aside(self) -> int:
        """How many of the proposals were put aside."""
        proposals = self._learned.proposals if self._learned is not None else ()
        return sum(_key(one) in self._aside for one in proposals)

    def proposals(self) -> tuple[Proposal, ...]:
        """Return the proposals that are listed."""
        found = self._learned.proposals if self._learned is not None else ()
        return tuple(one for one in found if _key(one) not in self._aside)

    def count_of(self, position: str) -> int:
        """Return how many rules are proposed for a man."""
        return sum(position in one.men for one in self.proposals())

    @property
    def held_back(self) -> bool:
        """Whether something was put aside or put off, and can be brought back."""
        return self.aside > 0 or (self._skipped is not None and self.ask is None)

    def verdict(self) -> str:
        """Say in one sentence how far learning is."""
        if self.refused:
            return self.refused
        if self._learned is None:
            return "Learning …" if self.running else ""
        if not self.said:
            return "You have not said yet what a man owed."
        proposed = len(self.proposals())
        told = counted(self.said, "answer")
        if proposed:
            return f"{counted(proposed, 'rule')} proposed from {told}."
        if self._learned.proposals:
            return f"All that is proposed from {told} is put aside."
        return (
            f"The rules give every one of {told}." if self.said > 1 else f"The rules give {told}."
        )

    def beside(self) -> str:
        """Say what there is beside the proposals, or how to begin."""
        if self._learned is None:
            return ""
        if not self.said:
            return (
                "Grade on the Film page: pick a man and choose what he owed. "
                "Rules are then proposed here."
            )
        parts = [
            _both_ways(len(self._learned.contradictions)),
            f"{self.aside} put aside" if self.aside else "",
            f"{counted(len(self._learned.left_out), 'answer')} can't be used"
            if self._learned.left_out
            else "",
        ]
        return " · ".join(part for part in parts if part)

    # ------------------------------------------------------------------ what can be done

    def accept(self, row: BesideRow) -> bool:
        """Take a proposed rule into the draft."""
        from gradecut.scheme.learning import Proposal

        if not isinstance(row.key, Proposal):
            self._desk.say(Refusal(_NO_RULE))
            return False
        return self._accept([row.key], f"{row.name} accepted")

    def accept_all_of(self, row: BesideRow) -> bool:
        """Take every rule that is proposed for a man into the draft, as one edit."""
        wanted = [one for one in self.proposals() if row.position in one.men]
        if not wanted:
            self._desk.say(Refusal(_NO_RULE))
            return False
        return self._accept(wanted, f"{counted(len(wanted), 'rule')} accepted for {row.position}")

    def put_aside(self, row: BesideRow) -> bool:
        """Leave a proposed rule out for now."""
        from gradecut.scheme.learning import Proposal

        if not isinstance(row.key, Proposal):
            self._desk.say(Refusal(_NO_RULE))
            return False
        self._aside.add(_key(row.key))
        self.rows = tuple(one for one in self.rows if one.key != row.key)
        self.changed.emit()
        return True

    def bring_back(self) -> None:
        """List again what was put aside, and ask again what was put off."""
        self._aside.clear()
        self._skipped = None
        self.learn()

    def answer(self, fit: str) -> None:
        """Answer the look that is asked; it counts like an answer on film, and is kept."""
        from gradecut.scheme.learning import Said

        asked = self.ask
        if asked is None:
            return
        number = 1 + max((int(one.clip.rpartition(" ")[2]) for one in self._answers), default=0)
        said = Said(
            position=asked.position, look=dict(asked.look), fit=fit, clip=f"answer {number}"
        )
        self._keep((*self._answers, said))
        self._desk.say(f"{asked.position} owes {fit} there: learned from as from a play.")
        self.learn()

    def put_off(self) -> None:
        """Leave the look that is asked for later."""
        self._skipped = self.ask
        self.changed.emit()

    @says
    def take_answer_back(self) -> None:
        """Forget the answer given last without film."""
        if not self._answers:
            self._desk.say(Refusal("There is no answer without film to take back."))
            return
        last = self._answers[-1]
        self._keep(self._answers[:-1])
        self._desk.say(f"Taken back: {last.position} owes {last.fit} on {look_line(last.look)}.")
        self.learn()

    def fits_to_answer(self) -> tuple[str, ...]:
        """Return the fits that may be answered, those that are likely first."""
        scheme, asked = self._desk.shown, self.ask
        if scheme is None or asked is None:
            return ()
        his = [one.fit for one in self.proposals() if asked.position in one.men]
        his += [rule.fit for rule in scheme.rules if asked.position in rule.men]
        return tuple(dict.fromkeys((*asked.fits, *his, *scheme.fits)))

    # ------------------------------------------------------------------ inside

    def say(self, sentence: str) -> None:
        """Say a sentence."""
        self._desk.say(sentence)

    def _accept(self, proposals: Sequence[Proposal], words: str) -> bool:
        from gradecut.workflows.learning import accept

        def change(text: str) -> str:
            for one in proposals:
                text = accept(text, one)
            return text

        taken = set(map(_key, proposals))
        done = self._desk.edit(words, change)
        if done:
            self.rows = tuple(row for row in self.rows if _key(row.key) not in taken)
            self.changed.emit()
        return done

    def _keep(self, answers: tuple[Said, ...]) -> None:
        self._answers = answers
        if refused := store_answers(self._file, answers):
            self._desk.say(Refusal(refused))

    def _rows_of(self, scheme: Scheme, names: PlayNames) -> tuple[BesideRow, ...]:
        learned = self._learned
        if learned is None:
            return ()
        left_out = [
            BesideRow(
                key=one, name=f"{one.position}: not used", sign="△", words=one.message,
                columns=(("on", names.one(one.clip)),), clips=(one.clip,), position=one.position,
            )
            for one in learned.left_out
        ]  # fmt: skip
        return (
            *(_proposed(scheme, one, names) for one in self.proposals()),
            *(_both(one, names) for one in learned.contradictions),
            *left_out,
        )


_NO_RULE = "That is no proposed rule; choose one, or show its plays and say it one way."


def _key(proposal: object) -> object:
    """Return what makes a proposal the same one when it is proposed again."""
    from gradecut.scheme.learning import Proposal

    if not isinstance(proposal, Proposal):
        return None
    return proposal.men, proposal.tier, repr(proposal.when), proposal.fit


def _proposed(scheme: Scheme, proposal: Proposal, names: PlayNames) -> BesideRow:
    from gradecut.scheme.grid import row_look

    when = condition_of(dict(proposal.when))
    man = proposal.men[0]
    columns = [("said on", names.several(proposal.clips))]
    if proposal.against:
        columns.append(("another answer on", names.several(proposal.against)))
    return BesideRow(
        key=proposal,
        name=f"{', '.join(proposal.men)}: {proposal.fit}",
        at_right=f"{'new ' if proposal.new_tier else ''}tier {proposal.tier}",
        look=row_look(scheme, when, man),
        told_look=rule_when(when),
        columns=tuple(columns),
        clips=(*proposal.clips, *proposal.against),
        position=man,
    )


def _both(found: Contradiction, names: PlayNames) -> BesideRow:
    return BesideRow(
        key=found,
        name=f"{found.position}: {' or '.join(found.fits)}",
        at_right="said both ways",
        sign="✗",
        serious=True,
        words=found.message,
        columns=tuple(
            (fit, names.several(clips)) for fit, clips in zip(found.fits, found.clips, strict=True)
        ),
        clips=tuple(clip for clips in found.clips for clip in clips),
        position=found.position,
    )


def _both_ways(count: int) -> str:
    return f"{counted(count, 'look')} said both ways" if count else ""
