"""Handing one coach's grades over to another: one file, whole or not at all, without film."""

from __future__ import annotations

import json
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from os import PathLike
from pathlib import Path
from typing import Any

from gradecut.book import Book
from gradecut.book.codec import codec_of
from gradecut.book.schema import table_of
from gradecut.counting_words import all_listed, counted
from gradecut.errors import BookError
from gradecut.outfile import check_goal, whole_file
from gradecut.records import (
    Angle,
    Clip,
    FactValue,
    Grade,
    LineUp,
    Player,
    Rep,
    SchemeVersion,
    Session,
    StoredFilm,
    now_utc,
)
from gradecut.reports.barred import by_age_told
from gradecut.reports.cautions import CONSENT
from gradecut.workflows._hand_off_clips import words_of
from gradecut.workflows._hand_off_form import (
    ENDING,
    KIND,
    OWN,
    RESTS_ON,
    VERSION,
    ClipWord,
    HandOff,
    rep_ids_of,
    told_of,
)
from gradecut.workflows._hand_off_journal import Journal
from gradecut.workflows.booking import book_info
from gradecut.workflows.roster import why_no_grader

__all__ = [
    "ENDING",
    "HandedOff",
    "cautions_of",
    "counted_rows",
    "hand_off_of",
    "handed_words",
    "write_hand_off",
]

ClipWords = Mapping[tuple[str, str], ClipWord]
_PARTS = {
    "clips": ("word on what a play was", "words on what plays were"),
    "facts": ("fact", "facts"), "moments": ("moment", "moments"), "marks": ("drawing", "drawings"),
    "owed": ("word on what was owed", "words on what was owed"),
    "actuals": ("said fit", "said fits"),
    "lined_up": ("word on how a man lined up", "words on how men lined up"),
    "events": ("event", "events"), "flags": ("flag", "flags"), "grades": ("grade", "grades"),
}  # fmt: skip
"""What one and several rows of a table are called."""


@dataclass(frozen=True, slots=True, kw_only=True)
class HandedOff:
    """What was written.

    Attributes
    ----------
    path : Path
    grader : str
        Whose.
    plays, men : int
        How many it is about.
    counts : mapping of table to int
        Rows of his own.
    cautions : tuple of str
        What must be heeded about the players in it, one sentence each.
    """

    path: Path
    grader: str
    plays: int
    men: int
    counts: Mapping[str, int]
    cautions: tuple[str, ...]

    @property
    def words(self) -> str:
        """What is in it: "40 grades and 3 flags on 20 plays"."""
        return _on_plays(self.counts, self.plays)


def write_hand_off(
    book: Book, path: str | PathLike[str], *, session_ids: Collection[str] | None = None
) -> HandedOff:
    """Write all that the book's author has recorded into a file for a colleague.

    Grades with their whole chain, what men did and owed and how they lined up, facts, moments,
    drawings, events and flags, and what he typed of plays; and of plays, angles, films and
    players what tells a colleague's book which they are. No film, no path of a film, no remark
    on a player.

    Parameters
    ----------
    path : path
        Ends in ``.hand``; a file there is replaced.
    session_ids : collection of str or None
        Only these sessions; None: all.

    Raises
    ------
    BookError
        When nobody is named as grader, or he has recorded nothing there.
    OutputError
        When it can't be written there; what stood there before stays.
    """
    goal = check_goal(path, endings=(ENDING,), what="a hand-off")
    told = hand_off_of(book, session_ids=session_ids)
    with whole_file(goal) as draft:
        draft.write_text(json.dumps(_document(told), ensure_ascii=False, indent=0), "utf-8")
    return HandedOff(
        path=goal,
        grader=told.grader,
        plays=len(told.of(Clip)),
        men=len(told.players),
        counts=_own_counts(told.rows, told.clip_words, told.grader),
        cautions=cautions_of(told.players),
    )


def hand_off_of(book: Book, *, session_ids: Collection[str] | None = None) -> HandOff:
    """Gather what the book's author would hand over; see ``write_hand_off``."""
    (rows, words), journal = _his_rows(book, session_ids), Journal(book, book.author)
    dropped = journal.dropped([table_of(kind) for kind in OWN])
    if not dropped and not _own_counts(rows, words, book.author):
        raise _nothing_of(book)
    changed = {
        key: at
        for kind in OWN
        for key, at in journal.touched(table_of(kind), [row.id for row in rows[kind]]).items()
    }
    return HandOff(
        grader=book.author,
        book_name=book_info(book).name,
        made_at=now_utc(),
        rows=rows,
        clip_words=words,
        changed_at=changed,
        dropped_at=dropped,
    )


def handed_words(
    book: Book, session_ids: Collection[str] | None = None
) -> tuple[str, tuple[str, ...]]:
    """Say what would be handed over, and what must be heeded about the players in it.

    Raises
    ------
    BookError
        As ``write_hand_off``.
    """
    rows, words = _his_rows(book, session_ids)
    counts = _own_counts(rows, words, book.author)
    if not counts:
        hand_off_of(book, session_ids=session_ids)  # refuses, unless he took something back
    return _on_plays(counts, len(rows[Clip])), cautions_of(rows[Player])


def _his_rows(
    book: Book, session_ids: Collection[str] | None
) -> tuple[dict[type, tuple[Any, ...]], ClipWords]:
    """Return his rows with what they rest on, and his words on what those plays were."""
    grader = book.author
    if not grader:
        raise BookError(f"{book.path}: nobody is named as grader; say who grades first.")
    if refusal := why_no_grader(grader, book.find(Player)):
        raise BookError(refusal)
    found: dict[type, dict[str, Any]] = {kind: {} for kind in (*RESTS_ON, *OWN)}
    words: dict[tuple[str, str], ClipWord] = {}
    # By lots: a question is answered while the window waits, and a season is a long answer.
    for session in book.find(Session):
        if session_ids is None or session.id in session_ids:
            clips = book.find(Clip, session_id=session.id)
            said = words_of(book, Journal(book, grader), clips)
            his = {key: word for key, word in said.items() if word.by == grader}
            typed = {clip_id for (clip_id, _), word in his.items() if word.how == "typed"}
            for kind, rows in _of_session(book, session, clips, typed).items():
                found[kind].update((row.id, row) for row in rows)
            words |= {key: word for key, word in his.items() if key[0] in found[Clip]}
    return {kind: tuple(rows[key] for key in sorted(rows)) for kind, rows in found.items()}, words


def _nothing_of(book: Book) -> BookError:
    return BookError(
        f"{book.path}: {book.author} has recorded nothing there yet; grade something first, or "
        "say who grades."
    )


def _on_plays(counts: Mapping[str, int], plays: int) -> str:
    return f"{counted_rows(counts)} on {counted(plays, 'play')}"


def cautions_of(players: Iterable[Player]) -> tuple[str, ...]:
    """Say what must be heeded where grades of these men are handed on."""
    men = list(players)
    young, untold = by_age_told(man for man in men if man.under_18)
    count = "one player" if len(men) == 1 else f"{len(men)} players"
    told = [
        f"It carries the grades of {count} by name. It is for the staff only: hand it to a coach, "
        "by no public link, and delete it once it is taken."
    ]
    if young or untold:
        of_age = [f"Under 18: {all_listed(young)}."] if young else []
        of_age += [f"Nobody has told the age of {all_listed(untold)}."] if untold else []
        told.append(
            f"{' '.join(of_age)} What is said of them goes no further than the staff without a "
            "guardian's consent; consent is never carried in this file."
        )
    return tuple(told)


def _own_counts(
    rows: Mapping[type, Sequence[Any]], words: ClipWords, grader: str
) -> dict[str, int]:
    """Count a coach's own rows by table, and what he typed of plays; none are left out."""
    counts = {table_of(kind): sum(row.author == grader for row in rows[kind]) for kind in OWN}
    counts[table_of(Clip)] = sum(word.how == "typed" for word in words.values())
    return {table: count for table, count in counts.items() if count}


def counted_rows(counts: Mapping[str, int]) -> str:
    """Write counts of rows as a coach says them, grades first.

    >>> counted_rows({"facts": 1, "grades": 2})
    '2 grades and 1 fact'
    """
    parts = [
        f"{counts[table]} {_PARTS[table][counts[table] != 1]}"
        for table in reversed(_PARTS)
        if counts.get(table) and table != "actuals"
    ]
    return all_listed(parts) or "nothing"


def _of_session(
    book: Book, session: Session, plays: Sequence[Clip], typed: Collection[str]
) -> dict[type, Iterable[Any]]:
    """Return what the book's author said in one session, and what that rests on.

    Parameters
    ----------
    typed : collection of str
        Ids of plays he typed something of.
    """
    clips = {clip.id: clip for clip in plays}
    reps = {rep.id: rep for rep in book.find(Rep, clip_id=list(clips))}
    angles = {angle.id: angle for angle in book.find(Angle, clip_id=list(clips))}
    homes: dict[str, Collection[str]] = {"angle_id": angles, "clip_id": clips, "rep_id": reps}
    own: dict[type, list[Any]] = {}
    for kind in OWN:
        name = next(name for name in homes if name in codec_of(kind).names)
        own[kind] = book.find(kind, author=book.author, **{name: list(homes[name])})
    rows = [row for kind in OWN for row in own[kind]]
    told = [reps[rep_id] for rep_id in rep_ids_of(rows)]
    drawn_on = {row.angle_id for row in rows if hasattr(row, "angle_id")}
    ids = {rep.clip_id for rep in told} | {angles[one].clip_id for one in drawn_on}
    ids |= {row.clip_id for row in rows if hasattr(row, "clip_id")} | {*typed}
    own[FactValue] += book.find(FactValue, clip_id=list(ids), source="script")
    shown = [angle for angle in angles.values() if angle.clip_id in ids]
    return {
        **own,
        **_around(book, told, shown),
        Session: [session] if ids else [],
        Clip: [clip for clip in clips.values() if clip.id in ids],
        SchemeVersion: book.find(SchemeVersion, id=list({one.scheme_id for one in own[Grade]})),
    }


def _around(book: Book, reps: Sequence[Rep], angles: Sequence[Angle]) -> dict[type, Iterable[Any]]:
    """Return some reps and angles, and the men and films of them."""
    in_place = {(rep.clip_id, rep.position, rep.player_id) for rep in reps}
    rows = book.find(LineUp, clip_id=list({rep.clip_id for rep in reps}))
    men = book.find(Player, id=list({rep.player_id for rep in reps}))
    return {
        Rep: reps,
        LineUp: [row for row in rows if (row.clip_id, row.position, row.player_id) in in_place],
        Player: [told_of(man) for man in men],
        Angle: angles,
        StoredFilm: book.find(StoredFilm, id=list({angle.film_id for angle in angles})),
    }


def _document(told: HandOff) -> dict[str, Any]:
    rows = {
        table_of(kind): [codec_of(kind).row_of(record) for record in told.of(kind)]
        for kind in (*RESTS_ON, *OWN)
    }
    return {
        "kind": KIND,
        "version": VERSION,
        "for": f"The staff only. {CONSENT.text}",
        "grader": told.grader,
        "book": told.book_name,
        "made_at": told.made_at,
        "rows": rows,
        "clip_words": _by_clip(told.clip_words),
        "changed_at": _by_table(told.changed_at),
        "dropped_at": _by_table(told.dropped_at),
    }


def _by_clip(words: ClipWords) -> dict[str, dict[str, list[str]]]:
    sorted_in: dict[str, dict[str, list[str]]] = {}
    for (clip_id, name), word in words.items():
        sorted_in.setdefault(clip_id, {})[name] = [word.how, word.at]
    return sorted_in


def _by_table(times: Mapping[tuple[str, str], str]) -> dict[str, dict[str, str]]:
    sorted_in: dict[str, dict[str, str]] = {}
    for (table, row_id), at in times.items():
        sorted_in.setdefault(table, {})[row_id] = at
    return sorted_in
