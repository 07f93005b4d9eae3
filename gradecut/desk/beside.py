"""One play as two graders see it: the facts they tell otherwise, the men they judged."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass

from gradecut.book import Book
from gradecut.counting_words import counted
from gradecut.records import Clip, Grade, Player, Rep
from gradecut.scheme import Value, fact_words
from gradecut.workflows.agreeing import agreement_of
from gradecut.workflows.booking import scheme_in_force
from gradecut.workflows.differences import grade_words
from gradecut.workflows.disputes import Dispute, disputes_of
from gradecut.workflows.looks import spell_value
from gradecut.workflows.roster import by_staff

__all__ = ["Beside", "BesideRow", "differing_plays", "read_beside"]

_NOT_YET = "not graded"


@dataclass(frozen=True, slots=True, kw_only=True)
class BesideRow:
    """A fact or a man, as the two see it.

    Attributes
    ----------
    reference : str
        The fact; empty for a man.
    my_value, his_value : value or None
        What each says of the fact.
    """

    what: str
    mine: str
    his: str
    differs: bool
    reference: str = ""
    my_value: Value | None = None
    his_value: Value | None = None

    def words(self, me: str, him: str) -> str:
        """Say the row in one sentence, for whoever can't see it."""
        verdict = "otherwise" if self.differs else "alike"
        return f"{self.what}, {verdict}: {me} {self.mine}; {him} {self.his}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Beside:
    """A play laid out for two.

    Attributes
    ----------
    told : str
        What differs on this play, and in the session.
    agreement : tuple of str
        How far the two agree in this session, with n.
    """

    clip: Clip
    me: str
    him: str
    rows: tuple[BesideRow, ...]
    told: str
    agreement: tuple[str, ...]


def read_beside(book: Book, clip: Clip, him: str, *, blind_until: str = "") -> Beside:
    """Read one play as the book's author and a colleague see it."""
    facts = [_fact(one, book.author, him) for one in disputes_of(book, clip_ids=[clip.id])]
    rows = (*(one for one in facts if one is not None), *_men(book, clip, him))
    here = sum(row.differs for row in rows)
    plays = differing_plays(book, clip.session_id)
    told = "Alike on this play" if not here else f"{here} told otherwise on this play"
    some = counted(len(plays), "play")
    count = agreement_of(
        book, book.author, him, session_id=clip.session_id, blind_until=blind_until
    )
    return Beside(
        clip=clip,
        me=book.author,
        him=him,
        rows=rows,
        told=f"{told}; {some} of this session differ." if plays else f"{told}.",
        agreement=count.words,
    )


def differing_plays(book: Book, session_id: str) -> dict[str, str]:
    """Return the plays of a session on which anybody differs from the book's author, and on what.

    A fact two of the staff tell otherwise counts whoever the two are. While he grades blind
    there are none.
    """
    if book.blind:
        return {}
    found: defaultdict[str, list[str]] = defaultdict(list)
    for dispute in disputes_of(book, session_ids=[session_id]):
        found[dispute.clip_id].append(f"{fact_words(dispute.reference)}: {dispute.words}")
    clips = [clip.id for clip in book.find(Clip, session_id=session_id)]
    reps = {rep.id: rep for rep in book.find(Rep, clip_id=clips)}
    standing = _standing(book, list(reps))
    for rep_id, by_whom in standing.items():
        mine = by_whom.get(book.author)
        for who, grade in by_whom.items():
            if mine is not None and who != book.author and grade.verdict != mine.verdict:
                rep = reps[rep_id]
                found[rep.clip_id].append(
                    f"{rep.position}: you {grade_words(mine)}, {who} {grade_words(grade)}"
                )
    return {clip_id: "; ".join(told) for clip_id, told in found.items()}


def _fact(dispute: Dispute, me: str, him: str) -> BesideRow | None:
    said = dict(dispute.said)
    mine, his = said.get(me), said.get(him)
    if him not in said:
        return None
    others = [who for who in said if who not in (me, him)]
    shown = "" if mine is None else spell_value(mine)
    return BesideRow(
        what=fact_words(dispute.reference),
        mine=shown or f"nothing ({others[0]}: {spell_value(said[others[0]])})",
        his=spell_value(said[him]),
        differs=True,
        reference=dispute.reference,
        my_value=mine,
        his_value=his,
    )


def _men(book: Book, clip: Clip, him: str) -> list[BesideRow]:
    scheme = scheme_in_force(book)
    order = list(scheme.positions) if scheme else []
    reps = book.find(Rep, clip_id=clip.id)
    reps.sort(key=lambda rep: order.index(rep.position) if rep.position in order else len(order))
    names = {man.id: man.short_name for man in book.find(Player)}
    standing = _standing(book, [rep.id for rep in reps])
    rows = []
    for rep in reps:
        mine, his = standing[rep.id].get(book.author), standing[rep.id].get(him)
        if mine is None and his is None:
            continue
        both = mine is not None and his is not None
        rows.append(
            BesideRow(
                what=f"{rep.position} {names[rep.player_id]}",
                mine=grade_words(mine) if mine else _NOT_YET,
                his=grade_words(his) if his else _NOT_YET,
                differs=both and mine is not None and his is not None
                and mine.verdict != his.verdict,
            )
        )  # fmt: skip
    return rows


def _standing(book: Book, rep_ids: list[str]) -> Mapping[str, dict[str, Grade]]:
    """Return each grader's standing judgement of some reps, players' own left out."""
    found: defaultdict[str, dict[str, Grade]] = defaultdict(dict)
    for grade in by_staff(book.find(Grade, rep_id=rep_ids), book.find(Player)):
        found[grade.rep_id][grade.author] = grade
    return found
