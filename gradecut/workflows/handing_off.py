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
from gradecut.errors import BookError
from gradecut.outfile import check_goal, whole_file
from gradecut.records import (
    Angle,
    Clip,
    FactValue,
    Grade,
    LineUp,
    Mark,
    Moment,
    Player,
    Rep,
    SchemeVersion,
    Session,
    StoredFilm,
    now_utc,
)
from gradecut.reports.barred import by_age_told, named
from gradecut.reports.cautions import CONSENT
from gradecut.workflows._hand_off_form import (
    ENDING,
    KIND,
    OWN,
    RESTS_ON,
    VERSION,
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

_PARTS = {
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
    drawings, events and flags; and of plays, angles, films and players what tells a colleague's
    book which they are. No film, no path of a film, no remark on a player.

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
        counts=_own_counts(told.rows, told.grader),
        cautions=cautions_of(told.players),
    )


def hand_off_of(book: Book, *, session_ids: Collection[str] | None = None) -> HandOff:
    """Gather what the book's author would hand over; see ``write_hand_off``."""
    rows, journal = _his_rows(book, session_ids), Journal(book, book.author)
    dropped = journal.dropped([table_of(kind) for kind in OWN])
    if not dropped and not _has_own(rows, book.author):
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
    rows = _his_rows(book, session_ids)
    if not _has_own(rows, book.author):
        hand_off_of(book, session_ids=session_ids)  # refuses, unless he took something back
    counts = _own_counts(rows, book.author)
    return _on_plays(counts, len(rows[Clip])), cautions_of(rows[Player])


def _his_rows(book: Book, session_ids: Collection[str] | None) -> dict[type, tuple[Any, ...]]:
    grader = book.author
    if not grader:
        raise BookError(f"{book.path}: nobody is named as grader; say who grades first.")
    if refusal := why_no_grader(grader, book.find(Player)):
        raise BookError(refusal)
    own: dict[type, list[Any]] = {kind: book.find(kind, author=grader) for kind in OWN}
    return _with_what_they_rest_on(book, own, session_ids)


def _has_own(rows: Mapping[type, Sequence[Any]], grader: str) -> bool:
    return any(row.author == grader for kind in OWN for row in rows[kind])


def _nothing_of(book: Book) -> BookError:
    return BookError(
        f"{book.path}: {book.author} has recorded nothing there yet; grade something first, or "
        "say who grades."
    )


def _on_plays(counts: Mapping[str, int], plays: int) -> str:
    return f"{counted_rows(counts)} on {plays} play{'' if plays == 1 else 's'}"


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
        of_age = [f"Under 18: {named(young)}."] if young else []
        of_age += [f"Nobody has told the age of {named(untold)}."] if untold else []
        told.append(
            f"{' '.join(of_age)} What is said of them goes no further than the staff without a "
            "guardian's consent; consent is never carried in this file."
        )
    return tuple(told)


def _own_counts(rows: Mapping[type, Sequence[Any]], grader: str) -> dict[str, int]:
    """Count a coach's own rows by table; tables without any are left out."""
    counts = {table_of(kind): sum(row.author == grader for row in rows[kind]) for kind in OWN}
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
    return " and ".join(filter(None, [", ".join(parts[:-1]), *parts[-1:]])) or "nothing"


def _with_what_they_rest_on(
    book: Book, own: Mapping[type, list[Any]], session_ids: Collection[str] | None
) -> dict[type, tuple[Any, ...]]:
    """Add the reps, plays, angles, films, men and schemes that some rows speak of."""
    reps = book.find(Rep, id=list(rep_ids_of(row for kind in OWN for row in own[kind])))
    drawn_on = book.find(
        Angle, id=list({row.angle_id for kind in (Moment, Mark) for row in own[kind]})
    )
    named = {rep.clip_id for rep in reps} | {angle.clip_id for angle in drawn_on}
    named |= {row.clip_id for kind in OWN for row in own[kind] if hasattr(row, "clip_id")}
    clips = [
        clip
        for clip in book.find(Clip, id=list(named))
        if session_ids is None or clip.session_id in session_ids
    ]
    ids = {clip.id for clip in clips}
    reps = [rep for rep in reps if rep.clip_id in ids]
    angles = book.find(Angle, clip_id=list(ids))
    homes = {rep.id for rep in reps} | {angle.id for angle in angles} | ids
    kept: dict[type, list[Any]] = {
        kind: [row for row in own[kind] if _home(row) in homes] for kind in OWN
    }
    kept[FactValue] += book.find(FactValue, clip_id=list(ids), source="script")
    in_place = {(rep.clip_id, rep.position, rep.player_id) for rep in reps}
    schemes = {grade.scheme_id for grade in kept[Grade] if grade.scheme_id}
    rests: dict[type, Iterable[Any]] = {
        Clip: clips,
        Rep: reps,
        Angle: angles,
        StoredFilm: book.find(StoredFilm, id=list({angle.film_id for angle in angles})),
        Session: book.find(Session, id=list({clip.session_id for clip in clips})),
        Player: map(told_of, book.find(Player, id=list({rep.player_id for rep in reps}))),
        SchemeVersion: book.find(SchemeVersion, id=list(schemes)),
        LineUp: [
            row
            for row in book.find(LineUp, clip_id=list(ids))
            if (row.clip_id, row.position, row.player_id) in in_place
        ],
    }
    return {kind: tuple(rests.get(kind, kept.get(kind, ()))) for kind in (*RESTS_ON, *OWN)}


def _home(row: Any) -> str:
    """Return the rep a row is about, else its angle, else its play."""
    for name in ("rep_id", "angle_id", "clip_id"):
        if found := getattr(row, name, None):
            return str(found)
    return ""


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
        "changed_at": _by_table(told.changed_at),
        "dropped_at": _by_table(told.dropped_at),
    }


def _by_table(times: Mapping[tuple[str, str], str]) -> dict[str, dict[str, str]]:
    sorted_in: dict[str, dict[str, str]] = {}
    for (table, row_id), at in times.items():
        sorted_in.setdefault(table, {})[row_id] = at
    return sorted_in
