"""What a hand-off would change, in the words of a coach, before anything is stored."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any, Literal

from gradecut.book import Book
from gradecut.book.schema import table_of
from gradecut.records import (
    Actual,
    Angle,
    Clip,
    Event,
    FactValue,
    Flag,
    Grade,
    LinedUp,
    Mark,
    Moment,
    Owed,
    Player,
    Rep,
)
from gradecut.reports.wording import did_words, lined_up_words, result_words, with_side
from gradecut.scheme import fact_words
from gradecut.workflows._hand_off_clips import CLIP_NAMES
from gradecut.workflows._hand_off_form import HandOff
from gradecut.workflows._hand_off_merging import Merge, MergeRow, Standing, merge_of
from gradecut.workflows._hand_off_notes import notes_of
from gradecut.workflows.handing_off import cautions_of, counted_rows
from gradecut.workflows.looks import same_value, spell_value
from gradecut.workflows.roster import by_staff

__all__ = ["Difference", "Differences", "Kind", "differences", "grade_words"]

Kind = Literal["new", "changed", "withdrawn", "conflicting", "disputed", "judged otherwise"]
"""Not here yet; his newer word; taken back by him; changed here by another and there by him; he
and somebody here tell the look otherwise; he and this grader judged a man otherwise."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Difference:
    """One thing in which a hand-off and this book differ.

    Attributes
    ----------
    clip_id : str
        The play here.
    session, play : str, int
        "Tuesday", 7.
    who : str
        "Keel Okorie"; empty for what is of the play.
    what : str
        "grade", "drawing", or the fact as it is asked.
    his, here : str
        What he says, and what stands here; empty where there is nothing.
    says : str
        Whose word that is which stands here; empty where it is his own.
    key : str
        Names it, where there is something to choose.
    """

    kind: Kind
    clip_id: str
    session: str
    play: int
    who: str
    what: str
    his: str
    here: str = ""
    says: str = ""
    key: str = ""

    @property
    def words(self) -> str:
        """The difference in one line."""
        about = ", ".join(filter(None, [f"Play {self.play}", self.who, self.what]))
        if self.kind == "new":
            return f"{about}: {self.his}"
        if self.kind == "withdrawn":
            return f"{about}: {self.here}, taken back by him"
        here = f"{self.says} says {self.here}" if self.says else f"here {self.here}"
        if not self.here:
            here = f"taken out here by {self.says}" if self.says else "taken out here"
        return f"{about}: he says {self.his}; {here}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Differences:
    """A hand-off held against a book.

    Attributes
    ----------
    grader, book_name, made_at : str
        Whose it is, from which book, when it was made (ISO 8601 in UTC).
    new, changed, withdrawn : tuple of Difference
        What taking it would put in, bring up to date, and take out: all his own rows.
    conflicting : tuple of Difference
        Rows of his that somebody else has changed here since; they stay unless chosen.
    disputed : tuple of Difference
        Facts that he and somebody here tell otherwise; both are kept, and either may settle it.
    otherwise : tuple of Difference
        Men he and this grader judged otherwise; both judgements are kept.
    same : int
        Rows of his that are here already.
    counts : mapping of standing to (mapping of table to int)
        Of "new", "changed" and "withdrawn".
    left : tuple of str
        What can't be taken, and what to do, one sentence each.
    notes, cautions : tuple of str
        What to know of it; what to heed about the players in it.
    """

    grader: str
    book_name: str
    made_at: str
    new: tuple[Difference, ...]
    changed: tuple[Difference, ...]
    withdrawn: tuple[Difference, ...]
    conflicting: tuple[Difference, ...]
    disputed: tuple[Difference, ...]
    otherwise: tuple[Difference, ...]
    same: int
    counts: Mapping[str, Mapping[str, int]]
    left: tuple[str, ...]
    notes: tuple[str, ...]
    cautions: tuple[str, ...]

    @property
    def nothing(self) -> bool:
        """Whether taking it would change nothing, whatever is chosen."""
        return not (self.new or self.changed or self.withdrawn or self.conflicting)

    @property
    def words(self) -> tuple[str, ...]:
        """What taking it comes to, a sentence each."""
        told = [
            f"{counted_rows(self.counts['new'])} new" if self.new else "nothing new",
            f"{counted_rows(self.counts['changed'])} changed since" if self.changed else "",
            f"{counted_rows(self.counts['withdrawn'])} taken back" if self.withdrawn else "",
            f"{self.same} rows here already" if self.same else "",
        ]
        sentences = [f"{self.grader}, {self.book_name}: {', '.join(filter(None, told))}."]
        if self.disputed:
            many = len(self.disputed)
            facts = "One fact of a look is" if many == 1 else f"{many} facts of looks are"
            sentences.append(f"{facts} told otherwise here: both stay, either of you settles it.")
        if self.otherwise:
            many = len(self.otherwise)
            men = "One man is" if many == 1 else f"{many} reps are"
            sentences.append(f"{men} judged otherwise by you: both grades stay.")
        if self.conflicting:
            many = len(self.conflicting)
            rows = "One row of his was" if many == 1 else f"{many} rows of his were"
            sentences.append(f"{rows} changed here by somebody else: they stay unless you choose.")
        return tuple(sentences)


def differences(book: Book, hand_off: HandOff) -> Differences:
    """Hold a hand-off against a book; nothing is stored."""
    return _Telling(book, hand_off, merge_of(book, hand_off)).told()


def word_said(value: object) -> str:
    """Say a word on what a play was."""
    return "nothing" if value in (None, "") else str(value)


def grade_words(grade: Grade) -> str:
    """Say a judgement in a few words: "✗ wrong: ran past it (eyes)"."""
    result = result_words(grade)
    if grade.did == "cannot grade":
        return f"{result}: {grade.cannot.get('fit', grade.did_name)}"
    if grade.did == "as owed" or grade.fit_result == "not graded":
        return result
    cause = f" ({grade.cause})" if grade.cause else ""
    return f"{result}: {did_words(grade)}{cause}"


def _fact_said(fact: FactValue) -> str:
    return f"{spell_value(fact.value)}{' (script)' if fact.source == 'script' else ''}"


_CALLED: Mapping[type, str] = {
    Owed: "owed", LinedUp: "lined up", Event: "counted", Flag: "flag", Actual: "did",
}  # fmt: skip
_SAID: Mapping[type, Callable[[Any], str]] = {
    Grade: grade_words,
    Actual: lambda said: said.name or said.did,
    FactValue: _fact_said,
    Owed: lambda word: with_side(word.fit, word.side),
    LinedUp: lined_up_words,
    Event: lambda event: str(event.name),
    Mark: lambda mark: mark.text or "drawn",
    Flag: lambda _: "to show",
}


class _Telling:
    """Puts a merge into words."""

    def __init__(self, book: Book, told: HandOff, merge: Merge) -> None:
        self._book, self._his, self._merge = book, told, merge
        places = merge.places
        self._clips = {clip.id: clip for clip in places.clips.values()}
        self._angles = {angle.id: angle for angle in places.angles.values()}
        self._reps = {rep.id: rep for rep in merge.reps.values()}
        men = [man.id for man in places.players.values()]
        self._men = {man.id: man for man in (*book.find(Player, id=men), *places.players.values())}
        self._staff = book.find(Player)

    def told(self) -> Differences:
        merge = self._merge
        rows = {
            kind: (*self._words(kind), *self._rows(kind, merge.of(kind)))
            for kind in ("new", "changed", "withdrawn", "conflicting")
        }
        return Differences(
            grader=self._his.grader,
            book_name=self._his.book_name,
            made_at=self._his.made_at,
            new=rows["new"],
            changed=rows["changed"],
            withdrawn=rows["withdrawn"],
            conflicting=rows["conflicting"],
            disputed=self._disputed(),
            otherwise=self._otherwise(),
            same=sum(row.his.author == self._his.grader for row in merge.of("same")),
            counts={kind: self._counts(kind) for kind in ("new", "changed", "withdrawn")},
            left=tuple(merge.left),
            notes=tuple(notes_of(self._book, self._merge)),
            cautions=cautions_of(self._his.players),
        )

    def _counts(self, kind: Standing) -> dict[str, int]:
        found = Counter(table_of(type(row.row)) for row in self._merge.of(kind))
        found[table_of(Clip)] = sum(row.standing == kind for row in self._merge.clip_rows)
        return {table: count for table, count in found.items() if count}

    def _words(self, kind: Any) -> Iterator[Difference]:
        """Return the words on what plays were that stand so."""
        for row in self._merge.clip_rows:
            if row.standing == kind:
                yield Difference(
                    kind=kind,
                    clip_id=row.clip.id,
                    session=self._merge.places.sessions[row.clip.session_id].name,
                    play=row.clip.order,
                    who="",
                    what=CLIP_NAMES[row.name],
                    his=word_said(row.his),
                    here="" if kind == "new" else word_said(row.here),
                    says=row.by,
                    key=row.key if kind == "conflicting" else "",
                )

    def _rows(self, kind: Any, rows: Iterable[MergeRow]) -> tuple[Difference, ...]:
        grades: defaultdict[str, list[MergeRow]] = defaultdict(list)
        told: list[Difference] = []
        for row in rows:
            if isinstance(row.row, Grade) and kind == "new":
                grades[row.row.rep_id].append(row)
            elif not isinstance(row.row, Actual):  # what a grade says of him stands in the grade
                told.append(self._row(kind, row))
        # Of a chain of grades the last one is what he says.
        told += [self._row(kind, chain[-1], len(chain)) for chain in grades.values()]
        return tuple(sorted(told, key=lambda one: (one.session, one.play, one.who, one.what)))

    def _row(self, kind: Any, row: MergeRow, chain: int = 1) -> Difference:
        his = self._said(row.his) if row.his is not None else ""
        again = f", judged {chain} times" if chain > 1 else ""
        return self._difference(
            kind,
            row.row,
            his=f"{his}{again}",
            here=self._said(row.here) if row.here is not None else "",
            says=row.by if kind == "conflicting" else "",
            key=row.key if kind == "conflicting" else "",
        )

    def _difference(self, kind: Any, row: Any, **said: str) -> Difference:
        clip = self._clip(row)
        return Difference(
            kind=kind,
            clip_id=clip.id,
            session=self._merge.places.sessions[clip.session_id].name,
            play=clip.order,
            who=self._who(row),
            what=self._what(row),
            **said,
        )

    def _clip(self, row: Any) -> Clip:
        clip_id = getattr(row, "clip_id", None)
        if clip_id is None and getattr(row, "angle_id", None):
            clip_id = self._angle(row.angle_id).clip_id
        if clip_id is None:
            clip_id = self._rep(row.rep_id).clip_id
        if clip_id not in self._clips:
            self._clips[clip_id] = self._book.get(Clip, clip_id)
        return self._clips[clip_id]

    def _angle(self, angle_id: str) -> Angle:
        if angle_id not in self._angles:
            self._angles[angle_id] = self._book.get(Angle, angle_id)
        return self._angles[angle_id]

    def _rep(self, rep_id: str) -> Rep:
        if rep_id not in self._reps:
            self._reps[rep_id] = self._book.get(Rep, rep_id)
        return self._reps[rep_id]

    def _who(self, row: Any) -> str:
        rep_id = getattr(row, "rep_id", None)
        if not rep_id:
            return ""
        rep = self._rep(rep_id)
        if rep.player_id not in self._men:
            self._men[rep.player_id] = self._book.get(Player, rep.player_id)
        return f"{rep.position} {self._men[rep.player_id].short_name}"

    def _what(self, row: Any) -> str:
        if isinstance(row, FactValue):
            return fact_words(row.reference)
        if isinstance(row, Moment | Mark):
            return row.kind
        return _CALLED.get(type(row), "")

    def _said(self, row: Any) -> str:
        """Say what a row says."""
        return self._time(row) if isinstance(row, Moment) else _SAID[type(row)](row)

    def _time(self, row: Moment) -> str:
        angle = self._angle(row.angle_id)
        film = self._merge.places.films[angle.film_id]
        return f"at {float(film.time_of(row.pts)):.2f} s of the {angle.name} film"

    def _disputed(self) -> tuple[Difference, ...]:
        """Return the facts that he and others of the staff tell otherwise."""
        his = [
            row.his
            for row in self._merge.rows
            if isinstance(row.his, FactValue)
            and row.his.source == "marked"
            and (row.here is not None or row.standing == "new")
        ]
        here = by_staff(
            self._book.find(FactValue, clip_id=list({row.clip_id for row in his}), source="marked"),
            self._staff,
        )
        others: defaultdict[tuple[str, str], list[FactValue]] = defaultdict(list)
        for fact in here:
            if fact.author != self._his.grader:
                others[fact.clip_id, fact.reference].append(fact)
        return tuple(
            self._difference(
                "disputed", row, his=self._said(row), here=self._said(other), says=other.author
            )
            for row in his
            for other in others[row.clip_id, row.reference]
            if not same_value(other.value, row.value)
        )

    def _otherwise(self) -> tuple[Difference, ...]:
        """Return the men he and this grader judged otherwise."""
        me = self._book.author
        if me == self._his.grader:
            return ()
        standing = {row.his.rep_id: row.his for row in self._merge.rows if _is_grade(row.his)}
        mine = {
            grade.rep_id: grade
            for grade in self._book.find(Grade, rep_id=list(standing), author=me)
        }
        return tuple(
            self._difference(
                "judged otherwise",
                his,
                his=grade_words(his),
                here=grade_words(mine[rep_id]),
                says=me,
            )
            for rep_id, his in standing.items()
            if rep_id in mine and his.verdict != mine[rep_id].verdict
        )


def _is_grade(row: Any) -> bool:
    return isinstance(row, Grade)
