"""One clip with all that the Film page shows of it, read from the book at once."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Literal

from gradecut.book import Book
from gradecut.desk.disputed import disputed_words
from gradecut.desk.fact_letters import fact_letters
from gradecut.errors import LookError
from gradecut.records import (
    Clip,
    Expectation,
    FactValue,
    Flag,
    Grade,
    LineUp,
    Mark,
    Player,
    Rep,
    RepLine,
    Session,
    Side,
    Source,
)
from gradecut.scheme import Fact, Scheme, Value
from gradecut.workflows.booking import graded_group, graded_positions, scheme_in_force
from gradecut.workflows.carried_looks import carried_look
from gradecut.workflows.carried_men import carried_men
from gradecut.workflows.clip_facts import carried_clip_facts
from gradecut.workflows.expecting import expect_clip
from gradecut.workflows.films import paths_of_films
from gradecut.workflows.lines import rep_lines
from gradecut.workflows.looks import merge_facts, read_by
from gradecut.workflows.marking import marks_on
from gradecut.workflows.moments import Timeline, timeline_of
from gradecut.workflows.rep_asked import RepAsked, ask_reps
from gradecut.workflows.roster import told_apart

__all__ = [
    "ClipState",
    "FactSource",
    "Man",
    "OpenQuestion",
    "question_words",
    "read_clip",
]

FactSource = Literal["marked", "script", "estimated", "last play"]
"""Where a fact of the look was taken from; only what is marked was confirmed by a person."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Man:
    """One of the men who are graded, on one clip.

    Attributes
    ----------
    line : RepLine or None
        His rep; None while nobody is named at his position.
    staying : Player or None
        Where nobody is: who was in on the last play, and is taken to be in until something
        else is said; his rep is made as soon as he is judged.
    asked : RepAsked
        What he is judged by; its rep is a stand-in while there is none.
    flagged : bool
        His rep, not the whole clip.
    """

    position: str
    line: RepLine | None
    asked: RepAsked
    number: str = ""
    flagged: bool = False
    staying: Player | None = None

    @property
    def rep(self) -> Rep | None:
        """His rep, where somebody is named."""
        return self.line.rep if self.line else None

    @property
    def player(self) -> Player | None:
        """Who he is, as named here or as on the last play."""
        return self.line.player if self.line else self.staying

    @property
    def grade(self) -> Grade | None:
        """What this grader judged, as it stands."""
        return self.line.grade if self.line else None

    @property
    def stale(self) -> bool:
        """Whether today's look, word or scheme would judge him by something else."""
        return bool(self.line and self.line.stale)

    @property
    def who(self) -> str:
        """His position and number, such as "Keel 52"."""
        return f"{self.position} {self.number}".strip()

    @property
    def owes(self) -> str:
        """The fit he owes; empty while that is open."""
        return self.asked.owes or ""

    @property
    def owes_side(self) -> Side | None:
        """Side of that fit."""
        return self.asked.owed.side if self.asked.owed else self.asked.expectation.side

    @property
    def to_grade(self) -> bool:
        """Whether there is something to grade: the coach's word, or a run job of the scheme."""
        return self.asked.owed is not None or self.asked.expectation.graded

    @property
    def wrong(self) -> bool:
        """Whether he was judged, and not as right."""
        return self.grade is not None and self.grade.missed


@dataclass(frozen=True, slots=True, kw_only=True)
class OpenQuestion:
    """The one fact to ask now.

    Attributes
    ----------
    values : tuple
        The answers that can be on this look.
    men : tuple of str
        The positions it matters for.
    """

    reference: str
    fact: Fact
    values: tuple[Value, ...]
    men: tuple[str, ...]

    @property
    def words(self) -> str:
        """The question as the coach put it; which side, where it is asked of each."""
        return question_words(self.reference, self.fact)


@dataclass(frozen=True, slots=True, kw_only=True)
class ClipState:
    """One clip as it stands in the book.

    Attributes
    ----------
    look : mapping of reference to value
        All that is told, also what the scheme does not know, and what is taken over from the
        last play.
    sources : mapping of reference to FactSource
        Where each known fact was taken from; "last play": known before the snap, told by
        nothing of this play, and taken from the last play of its period that told it.
    taken_over : mapping of field to value
        What the play takes over from those before it beside its look, by the clip's fields:
        tempo, our call, unit. Enter stores it.
    fact_letters : mapping of reference to str
        The capital letter that turns a fact over with Shift; the same on every play.
    men : tuple of Man
        Those who are graded, in the scheme's order.
    front : mapping of position to Expectation
        Every man of the scheme; empty when the look can't be.
    paths : mapping of film id to path
        Films that were found on this computer.
    flagged : bool
        The clip as a whole.
    disputed : (str, str)
        Which of its facts graders tell otherwise, in a word, and who says what; empty for none.
    """

    session: Session
    clip: Clip
    scheme: Scheme | None
    look: Mapping[str, Value]
    sources: Mapping[str, FactSource]
    taken_over: Mapping[str, Any]
    fact_letters: Mapping[str, str]
    line_ups: Sequence[LineUp]
    men: tuple[Man, ...]
    front: Mapping[str, Expectation]
    timeline: Timeline
    marks: tuple[Mark, ...]
    paths: Mapping[str, str]
    flagged: bool
    question: OpenQuestion | None
    disputed: tuple[str, str]

    def man(self, position: str) -> Man | None:
        """Return the man at a position; None where there is none."""
        return next((man for man in self.men if man.position == position), None)

    def man_of_rep(self, rep_id: str | None) -> Man | None:
        """Return the man of a rep; None where there is none."""
        return next((man for man in self.men if man.rep and man.rep.id == rep_id), None)


def question_words(reference: str, fact: Fact) -> str:
    """Write a fact's question, with the side where it is asked of each side."""
    asks = fact.asks or f"What about {fact.name}?"
    if not fact.per_side:
        return asks
    side = reference.rpartition(".")[2]
    return f"{side.capitalize()}: {asks[:1].lower()}{asks[1:]}"


def read_clip(book: Book, clip_id: str) -> ClipState:
    """Read a clip.

    Raises
    ------
    BookError
        When it is not in the book.
    """
    return book.reading(lambda: _read_clip(book, clip_id))


def _read_clip(book: Book, clip_id: str) -> ClipState:
    clip = book.get(Clip, clip_id)
    session = book.get(Session, clip.session_id)
    scheme = scheme_in_force(book)
    facts = book.find(FactValue, clip_id=clip_id)
    told = merge_facts(facts, book.author)
    carried = carried_look(book, clip, told)
    look = {**carried, **told}
    line_ups = book.find(LineUp, clip_id=clip_id)
    flags = book.find(Flag, clip_id=clip_id, author=book.author)
    men = _men(book, clip, session, scheme, carried=carried, flags=flags)
    timeline = timeline_of(book, clip_id)
    reps = [man.rep for man in men if man.rep]
    return ClipState(
        session=session,
        clip=clip,
        scheme=scheme,
        look=look,
        sources=_sources(facts, told, book.author) | dict.fromkeys(carried, "last play"),
        taken_over=carried_clip_facts(book, clip),
        fact_letters=fact_letters(scheme) if scheme else {},
        line_ups=line_ups,
        men=men,
        front=_front(scheme, look, reps, line_ups),
        timeline=timeline,
        marks=marks_on(book, timeline.angles),
        paths=paths_of_films(book, list(timeline.films)),
        flagged=any(flag.rep_id is None for flag in flags),
        question=_question(scheme, look, men),
        disputed=disputed_words(book, clip),
    )


def _men(
    book: Book,
    clip: Clip,
    session: Session,
    scheme: Scheme | None,
    *,
    carried: Mapping[str, Value],
    flags: Sequence[Flag],
) -> tuple[Man, ...]:
    """Return the men who are graded, with a place for each position nobody is named at."""
    graded = graded_positions(scheme, graded_group(book))
    lines = [
        line
        for line in rep_lines(book, clip_ids=[clip.id], author=book.author)
        if scheme is None or line.rep.position in graded
    ]
    by_rep = {line.rep.id: line for line in lines}
    manned = {line.rep.position for line in lines}
    staying = {one.position: one.player_id for one in carried_men(book, clip)}
    stand_ins = [
        Rep(clip_id=clip.id, player_id=staying.get(position, ""), position=position)
        for position in graded
        if position not in manned
    ]
    flagged = {flag.rep_id for flag in flags}
    players, game = book.find(Player), session.kind == "game"
    order = list(scheme.positions) if scheme else []
    found: list[Man] = []
    reps = [*(line.rep for line in lines), *stand_ins]
    for asked in ask_reps(book, clip, reps, carried=carried):
        line = by_rep.get(asked.rep.id)
        player = next((one for one in players if one.id == asked.rep.player_id), None)
        found.append(
            Man(
                position=asked.rep.position,
                line=line,
                asked=asked,
                number=told_apart(player, players, game=game) if player else "",
                flagged=line is not None and asked.rep.id in flagged,
                staying=None if line else player,
            )
        )
    found.sort(key=lambda one: order.index(one.position) if one.position in order else len(order))
    return tuple(found)


def _sources(
    facts: Sequence[FactValue], told: Mapping[str, Value], author: str
) -> dict[str, FactSource]:
    """Say where each fact that was told of this play was taken from."""
    found: dict[str, FactSource] = {}
    sources: tuple[Source, ...] = ("estimated", "script", "marked")
    for source in sources:
        only = merge_facts([fact for fact in facts if fact.source == source], author)
        found |= {reference: source for reference in only if reference in told}
    return found


def _front(
    scheme: Scheme | None,
    look: Mapping[str, Value],
    reps: Sequence[Rep],
    line_ups: Sequence[LineUp],
) -> dict[str, Expectation]:
    if scheme is None:
        return {}
    try:
        return expect_clip(scheme, look, reps, line_ups)
    except LookError:
        return {}


def _question(
    scheme: Scheme | None, look: Mapping[str, Value], men: Sequence[Man]
) -> OpenQuestion | None:
    """Choose what to ask: of the facts that matter to a man, the one a play shows first.

    Where no rule speaks for a man, every fact is asked in turn: his rules are learned from
    looks that are told.
    """
    if scheme is None:
        return None
    told = read_by(scheme, look)
    needs: dict[str, list[str]] = {}
    unruled: list[str] = []
    for man in men:
        if not man.asked.settled and man.to_grade:
            for reference in man.asked.expectation.needs:
                needs.setdefault(reference, []).append(man.position)
            if not any(man.position in rule.men for rule in scheme.rules):
                unruled.append(man.position)
    waiting = sorted(needs, key=scheme.play_order.index)
    if unruled:
        waiting += [one for one in scheme.play_order if one not in told and one not in needs]
    for reference in waiting:
        fact = scheme.fact_of(reference)
        values = tuple(
            value for value in fact.values if not scheme.look_faults({**told, reference: value})
        )
        if values or reference in needs:
            return OpenQuestion(
                reference=reference,
                fact=fact,
                values=values or fact.values,
                men=tuple(needs.get(reference, unruled)),
            )
    return None
