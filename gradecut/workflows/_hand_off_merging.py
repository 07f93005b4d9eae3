"""What a hand-off would change in a book, worked out row by row before anything is stored.

A row of the coach who hands over is his to change: his newer word takes the place of his older
one. What somebody else has since done to it here, such as settling a dispute, stands until a
person says otherwise. Rows of anybody else are never touched.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Any, Literal
from uuid import UUID, uuid5

from gradecut.book import Book
from gradecut.book.codec import codec_of
from gradecut.book.schema import table_of
from gradecut.records import (
    Actual,
    Clip,
    FactValue,
    Flag,
    Grade,
    LinedUp,
    LineUp,
    Moment,
    Owed,
    Rep,
)
from gradecut.workflows._hand_off_clips import ClipRow, hold_clips, scripts_moved
from gradecut.workflows._hand_off_form import OWN, HandOff
from gradecut.workflows._hand_off_journal import Journal, Touch, stamp_of
from gradecut.workflows._hand_off_men import InPlace, find_in_place
from gradecut.workflows._hand_off_places import Places
from gradecut.workflows.worked_out import find_by_lots

__all__ = ["Merge", "MergeRow", "Standing", "merge_of"]

Standing = Literal["new", "changed", "withdrawn", "conflicting", "same", "kept"]
"""Of a row: not here yet; his newer word; taken back by him; changed here by another and there
by him; alike; his own later word is here already."""

_ONCE: Mapping[type, tuple[str, ...]] = {
    FactValue: ("clip_id", "reference", "source", "author"),
    Moment: ("angle_id", "rep_id", "kind", "source", "author"),
    Owed: ("rep_id", "author"),
    Actual: ("rep_id", "source", "author"),
    LinedUp: ("rep_id", "source", "author"),
    Flag: ("clip_id", "rep_id", "author"),
}
"""What there is one of only, so that it is the same row whatever its id."""
_SPACE = UUID("5f0c6f0e-3d0e-5c7b-9a51-7a0b6f0d9c11")


@dataclass(frozen=True, slots=True, kw_only=True)
class MergeRow:
    """One row of his, held against this book.

    Attributes
    ----------
    his : record or None
        As it would stand here; None where he took it back.
    here : record or None
        As it stands here now.
    by : str
        Who changed it here, where it is conflicting.
    """

    standing: Standing
    his: Any
    here: Any
    by: str = ""

    @property
    def row(self) -> Any:
        """The row to speak of."""
        return self.his if self.his is not None else self.here

    @property
    def key(self) -> str:
        """What a person names it by when he chooses."""
        return f"{table_of(type(self.row))}:{(self.here or self.his).id}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Merge:
    """All that a hand-off would do.

    Attributes
    ----------
    rows : tuple of MergeRow
        His own rows, and what the script says where this book has no word of it.
    reps : mapping of his rep id to Rep
        As it stands, or would stand, in this book.
    in_place : InPlace
        The men put in, and those who leave for them.
    clip_rows : tuple of ClipRow
        In what the plays differ; of "new" and "changed" his word comes in.
    left : mapping of reason to tuple of records
        What can't be taken, by one sentence each.
    """

    told: HandOff
    places: Places
    in_place: InPlace
    rows: tuple[MergeRow, ...]
    clip_rows: tuple[ClipRow, ...] = ()
    left: Mapping[str, tuple[Any, ...]] = field(default_factory=dict)

    @property
    def reps(self) -> Mapping[str, Rep]:
        """His reps, as they are here."""
        return self.in_place.reps

    def of(self, *standings: Standing) -> list[MergeRow]:
        """Return the rows that stand so."""
        return [row for row in self.rows if row.standing in standings]

    def clips_of(self, rows: Iterable[ClipRow]) -> list[Clip]:
        """Return the plays as they are with some of his words on them."""
        changed: dict[str, Clip] = {}
        for row in rows:
            clip = changed.get(row.clip.id, row.clip)
            told: dict[str, Any] = {row.name: row.his}
            changed[clip.id] = replace(clip, **told)
        return list(changed.values())

    def needed(self, coming: Iterable[Any]) -> tuple[list[Any], list[Any]]:
        """Return the men, schemes, reps and line-ups that some rows rest on, and who leaves."""
        rows = list(coming)
        in_place, places = self.in_place, self.places
        reps = {row.rep_id for row in rows if getattr(row, "rep_id", None)}
        put = [rep for rep in in_place.put_reps if rep.id in reps]
        men = {one.player_id for one in (*put, *in_place.named)}
        schemes = {row.scheme_id for row in rows if isinstance(row, Grade)}
        spots = {(rep.clip_id, rep.position, rep.player_id) for rep in put}
        made = {rep.id for rep in put}
        leaving = [*in_place.leaving, *in_place.leaving_line_ups]
        return [
            *(places.players[one] for one in places.new_players if one in men),
            *(one for one in places.coming_schemes() if one.id in schemes),
            *in_place.named,
            *put,
            *(row for row in in_place.put_line_ups if _spot(row) in spots),
        ], [row for row, rep_id in leaving if rep_id in made]


def merge_of(book: Book, told: HandOff, theirs: Collection[str] = ()) -> Merge:
    """Work out what a hand-off would change in a book; nothing is stored.

    Parameters
    ----------
    theirs : collection of str
        Keys of the rows in conflict for which his word counts; with another line of the script
        comes its look.
    """
    places = Places(book, told)
    in_place = find_in_place(book, told, places)
    left: defaultdict[str, list[Any]] = defaultdict(list)
    mapped: dict[type, list[tuple[Any, str]]] = {kind: [] for kind in OWN}
    for kind in OWN:
        for row in told.of(kind):
            turned = _turned(row, places, in_place)
            if isinstance(turned, str):
                left[turned].append(row)
            else:
                mapped[kind].append((turned, row.id))
    journal = Journal(book, told.grader)
    clip_rows = hold_clips(book, told, journal, places.clips)
    moved = scripts_moved(clip_rows, theirs)
    kinds = [_Kind(book, told, journal, kind, moved) for kind in OWN]
    rows = [row for one in kinds for row in one.rows(mapped[one.kind])]
    # A grade names the one it took the place of, which may have got another id here.
    rows = _chained(rows)
    return Merge(
        told=told,
        places=places,
        in_place=in_place,
        rows=tuple(rows),
        clip_rows=tuple(clip_rows),
        left={reason: tuple(some) for reason, some in left.items()},
    )


def _names(kind: type) -> tuple[str, ...]:
    return codec_of(kind).names


def _spot(row: Rep | LineUp) -> tuple[str, str, str]:
    return (row.clip_id, row.position, row.player_id)


def _turned(row: Any, places: Places, in_place: InPlace) -> Any:
    """Turn a row into one of this book, or say why that can't be."""
    changes: dict[str, Any] = {}
    if getattr(row, "rep_id", None):
        if row.rep_id in in_place.refused:
            return in_place.refused[row.rep_id]
        changes["rep_id"] = in_place.reps[row.rep_id].id
    if hasattr(row, "clip_id"):
        clip = places.clips.get(row.clip_id)
        if clip is None:
            return in_place.missing_play(row.clip_id)
        changes["clip_id"] = clip.id
    if hasattr(row, "angle_id"):
        angle = places.angles.get(row.angle_id)
        if angle is None:
            return in_place.missing_angle(row.angle_id)
        if not places.on_film(angle, row):
            return in_place.outside_film(row.angle_id)
        changes["angle_id"] = angle.id
    if isinstance(row, Grade) and row.scheme_id:
        changes["scheme_id"] = places.schemes[row.scheme_id].id
    return replace(row, **changes)


class _Kind:
    """Rows of one kind held against those here."""

    def __init__(
        self, book: Book, told: HandOff, journal: Journal, kind: type, moved: Collection[str]
    ) -> None:
        self._told = told
        self.kind = kind
        self._moved = moved
        self._table = table_of(kind)
        self._book = book
        self._journal = journal
        self._stamp = stamp_of(told.made_at)

    def rows(self, mapped: list[tuple[Any, str]]) -> list[MergeRow]:
        """Say of each how it stands; ``mapped`` holds it with the id it had in the file."""
        mine = self._mine([row for row, _ in mapped])
        by_id = {row.id: row for row in mine}
        by_place = {self._place(row): row for row in mine} if self.kind in _ONCE else {}
        strangers = self._strangers([row.id for row, _ in mapped], by_id)
        pairs: list[tuple[Any, str, Any]] = []
        for given, old_id in mapped:
            row = given
            if row.id in strangers or self._other_home(row, by_id.get(row.id)):
                row = replace(row, id=str(uuid5(_SPACE, f"{self._told.grader}\n{row.id}")))
            here = by_place.get(self._place(row)) if by_place else None
            pairs.append((row, old_id, here if here is not None else self._same(row, by_id)))
        gone = [(key[1], at) for key, at in self._told.dropped_at.items() if key[0] == self._table]
        ids = {row.id for row, _, _ in pairs} | {here.id for *_, here in pairs if here}
        last = self._journal.last(self._table, ids | {row_id for row_id, _ in gone})
        found = [self._row(row, old_id, here, last) for row, old_id, here in pairs]
        kept = {here.id for *_, here in pairs if here}
        # A play with another line of the script has nothing left of the look of its old one.
        found += [
            MergeRow(standing="withdrawn", his=None, here=row)
            for row in mine
            if self.kind is FactValue and row.source == "script" and row.clip_id in self._moved
            and row.id not in kept
        ]  # fmt: skip
        return found + [            MergeRow(standing="withdrawn", his=None, here=by_id[row_id])
            for row_id, at in gone
            if row_id in by_id and row_id not in kept
            and self._is_later(at, last.get((self._table, row_id)))
        ]  # fmt: skip

    def _mine(self, mapped: Sequence[Any]) -> list[Any]:
        """Return what may be meant: his rows of the same men, plays and angles, or so called."""
        home = next(one for one in ("angle_id", "clip_id", "rep_id") if one in _names(self.kind))
        homes = {getattr(row, home) for row in mapped}
        ids = [row.id for row in mapped]
        ids += [key[1] for key in self._told.dropped_at if key[0] == self._table]
        rows = self._find(home, homes, author=self._told.grader)
        rows += self._find("id", ids, author=self._told.grader)
        if self.kind is FactValue:
            rows += self._find("clip_id", {*homes, *self._moved}, source="script")
        return list({row.id: row for row in rows}.values())

    def _find(self, name: str, values: Collection[str], **equal: object) -> list[Any]:
        return find_by_lots(self._book, self.kind, name, values, **equal)

    def _place(self, row: Any) -> tuple[Any, ...]:
        return tuple(getattr(row, name) for name in _ONCE.get(self.kind, ("id",)))

    def _same(self, row: Any, by_id: Mapping[str, Any]) -> Any:
        """Return the row of his here that has the same id, unless that is told by its place."""
        return None if self.kind in _ONCE else by_id.get(row.id)

    def _strangers(self, ids: Collection[str], mine: Mapping[str, Any]) -> set[str]:
        """Return ids that are taken here by what somebody else said."""
        taken = self._find("id", ids)
        return {row.id for row in taken if row.id not in mine}

    def _other_home(self, row: Any, here: Any) -> bool:
        """Tell whether an id is taken here by another word of his, of another man or play."""
        if here is None:
            return False
        if self.kind in _ONCE:
            return self._place(row) != self._place(here)
        return isinstance(here, Grade) and bool(row.rep_id != here.rep_id)

    def _row(
        self, row: Any, old_id: str, here: Any, last: Mapping[tuple[str, str], Touch]
    ) -> MergeRow:
        at = self._told.changed_at.get((self._table, old_id), "")
        if here is None:
            touch = last.get((self._table, row.id))
            standing, by = self._absent(at, touch)
            return MergeRow(standing=standing, his=row, here=None, by=by)
        his = replace(row, id=here.id)
        standing, by = self._differing(his, here, at, last.get((self._table, here.id)))
        return MergeRow(standing=standing, his=his, here=here, by=by)

    def _absent(self, at: str, touch: Touch | None) -> tuple[Standing, str]:
        """Say how a row stands that is not here, or not any more."""
        if touch is None or self._is_later(at, touch):
            return "new", ""
        return ("kept", "") if self._is_his(touch) else ("conflicting", touch.by)

    def _differing(self, his: Any, here: Any, at: str, touch: Touch | None) -> tuple[Standing, str]:
        """Say how a row stands that is here, alike or not."""
        if _alike(his, here):
            return "same", ""
        if his.author != self._told.grader or self.kind is Grade:
            # What the script says here stays, unless the play has another line of it now; a
            # grade that was given is never changed.
            of_line = self.kind is FactValue and his.source == "script"
            return ("changed" if of_line and his.clip_id in self._moved else "kept"), ""
        if touch is not None and self._is_later(at, touch):
            return "changed", ""
        if touch is not None and self._is_his(touch) and at:
            return "kept", ""
        return "conflicting", touch.by if touch else ""

    def _is_his(self, touch: Touch) -> bool:
        return bool(touch.taken) or touch.by == self._told.grader

    def _is_later(self, at: str, touch: Touch | None) -> bool:
        """Tell whether he touched the row in his book after what was last done to it here."""
        if touch is None:
            return False
        if touch.taken:
            return self._stamp >= touch.taken
        return touch.by == self._told.grader and at > touch.at


def _alike(his: Any, here: Any) -> bool:
    if isinstance(his, Grade):
        his = replace(his, supersedes=here.supersedes)
    return bool(his == here)


def _chained(rows: list[MergeRow]) -> list[MergeRow]:
    """Let each new grade name the one it takes the place of as that is called here."""
    called = {
        str(uuid5(_SPACE, f"{row.his.author}\n{old}")): old
        for row in rows
        if isinstance(row.his, Grade)
        for old in [row.his.supersedes]
        if old
    }
    there = {row.his.id for row in rows if isinstance(row.his, Grade)}
    turned = {old: new for new, old in called.items() if new in there and old not in there}
    return [
        replace(row, his=replace(row.his, supersedes=turned[row.his.supersedes]))
        if isinstance(row.his, Grade) and row.his.supersedes in turned
        else row
        for row in rows
    ]
