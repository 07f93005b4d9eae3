"""A hand-off file read and checked to the last row before anything is done with it."""

from __future__ import annotations

import dataclasses
import json
from collections.abc import Callable, Collection, Mapping
from datetime import datetime
from os import PathLike, fspath
from pathlib import Path
from typing import Any, NoReturn

from gradecut.book.codec import Codec, codec_of
from gradecut.book.schema import noun_of, table_of
from gradecut.errors import BookError, InputError, SchemeError
from gradecut.records import (
    Angle,
    Clip,
    FactValue,
    Flag,
    Grade,
    Mark,
    Moment,
    Player,
    Rep,
    SchemeVersion,
    Session,
    StoredFilm,
)
from gradecut.scheme import parse_scheme
from gradecut.workflows._hand_off_clips import CLIP_NAMES
from gradecut.workflows._hand_off_form import (
    KIND,
    OWN,
    RESTS_ON,
    VERSION,
    ClipWord,
    HandOff,
    is_own,
)
from gradecut.workflows.marking import why_not_drawable
from gradecut.workflows.roster import is_on_roster

__all__ = ["LARGEST_FILE", "read_hand_off"]

LARGEST_FILE = 100_000_000
"""Most bytes a hand-off may have: some twenty seasons of one coach."""
_LONGEST_ID = 64
_FARTHEST_PX = 1e5
_GOALS: Mapping[str, type] = {
    "film_id": StoredFilm, "session_id": Session, "clip_id": Clip, "angle_id": Angle,
    "player_id": Player, "rep_id": Rep, "scheme_id": SchemeVersion, "supersedes": Grade,
}  # fmt: skip
"""Which field names a row of which kind."""
_ASK = "ask for the file again"


def read_hand_off(path: str | PathLike[str]) -> HandOff:
    """Read a colleague's hand-off; nothing is put into a book.

    Raises
    ------
    InputError
        One sentence, when it can't be read, is none, is of a newer gradecut, or is not whole:
        of the first thing that is wrong.
    """
    return _Reading(path).hand_off()


class _Reading:
    """One file being read."""

    def __init__(self, path: str | PathLike[str]) -> None:
        self._path = path

    def hand_off(self) -> HandOff:
        """Read it all."""
        told = self._whole()
        if told.get("kind") != KIND:
            self._refuse("is no hand-off of a coach's grades; choose a file ending in .hand.")
        version = told.get("version")
        if type(version) is not int or version < 1:
            self._refuse(f"says no version of its form; {_ASK}.")
        if version > VERSION:
            self._refuse("was written by a newer gradecut; bring yours up to date first.")
        grader, made_at = self._text(told, "grader"), self._text(told, "made_at")
        if not grader.strip() or not _is_time(made_at):
            self._refuse(f"does not say who handed it over and when; {_ASK}.")
        rows = self._rows(told.get("rows"))
        self._check(rows, grader)
        return HandOff(
            path=fspath(self._path),
            grader=grader,
            book_name=self._text(told, "book"),
            made_at=made_at,
            rows=rows,
            clip_words=self._clip_words(told.get("clip_words", {}), rows[Clip], grader),
            changed_at=self._times(told.get("changed_at")),
            dropped_at=self._times(told.get("dropped_at")),
        )

    def _refuse(self, said: str) -> NoReturn:
        raise InputError(self._path, [(0, said)])

    def _whole(self) -> dict[str, Any]:
        try:
            with Path(self._path).open("rb") as file:
                raw = file.read(LARGEST_FILE + 1)
        except (OSError, ValueError) as error:
            reason = getattr(error, "strerror", None) or "it can't be read"
            self._refuse(f"{reason.lower()}; choose a hand-off that can be read.")
        if len(raw) > LARGEST_FILE:
            self._refuse(f"is larger than any hand-off ({len(raw) // 10**6} MB and more); {_ASK}.")
        try:
            told = json.loads(raw.decode("utf-8-sig"), parse_constant=_no_number)
        except (ValueError, RecursionError):
            self._refuse(f"is no whole hand-off: it is cut short or something else; {_ASK}.")
        if not isinstance(told, dict):
            self._refuse("is no hand-off of a coach's grades; choose a file ending in .hand.")
        return told

    def _text(self, told: Mapping[str, Any], name: str) -> str:
        value = told.get(name)
        if not isinstance(value, str) or len(value) > 500 or not value.isprintable():
            self._refuse(f"does not say its “{name}” as it should; {_ASK}.")
        return value

    def _rows(self, told: Any) -> dict[type, tuple[Any, ...]]:
        kinds = {table_of(kind): kind for kind in (*RESTS_ON, *OWN)}
        if not isinstance(told, dict):
            self._refuse(f"holds no rows; {_ASK}.")
        if strange := sorted(set(told) - set(kinds)):
            self._refuse(f"holds “{strange[0][:40]}”, which no hand-off carries; {_ASK}.")
        found: dict[type, tuple[Any, ...]] = {}
        for table, kind in kinds.items():
            listed = told.get(table, [])
            if not isinstance(listed, list):
                self._refuse(f"holds no list of {table}; {_ASK}.")
            read = _reader_of(kind)
            records = []
            for number, row in enumerate(listed, start=1):
                record = read(row)
                if record is None:
                    self._refuse(
                        f"{noun_of(table)} {number} in it is not written as it should be; {_ASK}."
                    )
                records.append(record)
            if len({record.id for record in records}) < len(records):
                self._refuse(f"holds one {noun_of(table)} twice; {_ASK}.")
            found[kind] = tuple(records)
        return found

    def _check(self, rows: Mapping[type, tuple[Any, ...]], grader: str) -> None:
        if is_on_roster(grader, rows[Player]):
            self._refuse(f"{grader} is a player in it, not a coach; {_ASK}.")
        ids = {kind: {record.id for record in records} for kind, records in rows.items()}
        for kind, records in rows.items():
            named = [field.name for field in dataclasses.fields(kind) if field.name in _GOALS]
            for record in records:
                self._check_names(record, named, ids)
                if kind in OWN and not (is_own(record, grader) or _is_of_script(record)):
                    self._refuse(f"holds what others than {grader} said; {_ASK}.")
        self._check_homes(rows)
        self._check_chains(rows[Grade])
        for mark in rows[Mark]:
            if not _is_drawable(mark):
                self._refuse(f"holds a {mark.kind} that can't be drawn; {_ASK}.")
        for version in rows[SchemeVersion]:
            self._check_scheme(version)

    def _check_names(
        self, record: Any, named: Collection[str], ids: Mapping[type, set[str]]
    ) -> None:
        for name in named:
            goal, row_id = _GOALS[name], getattr(record, name)
            if row_id is not None and row_id not in ids[goal]:
                self._refuse(
                    f"{_one(type(record))} in it names {_one(goal)} that is not in it; {_ASK}."
                )

    def _check_homes(self, rows: Mapping[type, tuple[Any, ...]]) -> None:
        """See that a man's moment, drawing or flag is on the play he is on."""
        clip_of = {row.id: row.clip_id for kind in (Rep, Angle) for row in rows[kind]}
        for kind in (Moment, Mark, Flag):
            for row in rows[kind]:
                home = row.clip_id if kind is Flag else clip_of[row.angle_id]
                if row.rep_id is not None and clip_of[row.rep_id] != home:
                    self._refuse(f"{_one(kind)} in it is of a man on another play; {_ASK}.")

    def _check_chains(self, grades: tuple[Grade, ...]) -> None:
        by_id = {grade.id: grade for grade in grades}
        settled: set[str] = set()
        for grade in grades:
            walked: set[str] = set()
            one: Grade | None = grade
            while one is not None and one.id not in settled:
                before = by_id.get(one.supersedes or "")
                walked.add(one.id)
                if before is not None and (before.id in walked or before.rep_id != one.rep_id):
                    self._refuse(
                        f"a grade in it takes the place of one it can't take it of; {_ASK}."
                    )
                one = before
            settled |= walked

    def _check_scheme(self, version: SchemeVersion) -> None:
        try:
            scheme = parse_scheme(version.text, version.name or "the scheme")
        except SchemeError:
            scheme = None
        if scheme is None or scheme.sha256 != version.sha256:
            self._refuse(f"the scheme in it is not the one its grades were given by; {_ASK}.")

    def _clip_words(
        self, told: Any, clips: tuple[Clip, ...], grader: str
    ) -> dict[tuple[str, str], ClipWord]:
        """Read what he said himself of plays; a file from before that was told has nothing."""
        ids = {clip.id for clip in clips}
        found: dict[tuple[str, str], ClipWord] = {}
        for clip_id, words in told.items() if isinstance(told, dict) else ():
            if clip_id not in ids or not isinstance(words, dict):
                self._refuse(f"says not who said what its plays were; {_ASK}.")
            for name, said in words.items():
                match said:
                    case ["typed" | "script" as how, str(at)] if name in CLIP_NAMES and _is_time(
                        at
                    ):
                        found[clip_id, name] = ClipWord(how=how, by=grader, at=at)
                    case _:
                        self._refuse(f"says not who said what its plays were; {_ASK}.")
        if not isinstance(told, dict):
            self._refuse(f"says not who said what its plays were; {_ASK}.")
        return found

    def _times(self, told: Any) -> dict[tuple[str, str], str]:
        tables = {table_of(kind) for kind in OWN}
        found: dict[tuple[str, str], str] = {}
        for table, times in told.items() if isinstance(told, dict) else ():
            if table not in tables or not isinstance(times, dict):
                self._refuse(f"says not when its rows were written; {_ASK}.")
            for row_id, at in times.items():
                if not isinstance(at, str) or not _is_time(at):
                    self._refuse(f"says not when its rows were written; {_ASK}.")
                found[table, row_id] = at
        if not isinstance(told, dict):
            self._refuse(f"says not when its rows were written; {_ASK}.")
        return found


def _reader_of(kind: type) -> Callable[[Any], Any]:
    """Return what turns a row of a file into a record; None for one that is not as stored.

    A row is turned into its record and back: only what comes back as it was can be stored.
    """
    codec: Codec[Any] = codec_of(kind)
    plain = {
        field.name: codec.stored(field.name, field.default)
        for field in dataclasses.fields(kind)
        if field.default is not dataclasses.MISSING
    }

    def read(row: Any) -> Any:
        if not isinstance(row, dict) or not row.keys() <= set(codec.names):
            return None
        whole = {**plain, **row}
        if whole.keys() != set(codec.names):
            return None
        try:
            record = codec.record_of(whole[name] for name in codec.names)
            same = codec.row_of(record) == whole
        except BookError:
            return None
        return record if same and 0 < len(whole["id"]) <= _LONGEST_ID else None

    return read


def _one(kind: type) -> str:
    """Name one row of a kind: "an angle"."""
    noun = noun_of(table_of(kind))
    return f"{'an' if noun[0] in 'aeiou' else 'a'} {noun}"


def _is_of_script(record: Any) -> bool:
    """Tell whether a row is what the script says of a look, which is nobody's own."""
    return isinstance(record, FactValue) and (record.source, record.author) == ("script", "")


def _is_drawable(mark: Mark) -> bool:
    far = [abs(side) for point in mark.points for side in point]
    far += [abs(side) for key in mark.keys for side in key.by]
    return max(far, default=0) <= _FARTHEST_PX and not why_not_drawable(mark)


def _is_time(text: str) -> bool:
    """Tell whether a text is a moment as ``now_utc`` writes it."""
    try:
        return datetime.fromisoformat(text).isoformat(timespec="milliseconds") == text and (
            text.endswith("+00:00")
        )
    except ValueError:
        return False


def _no_number(name: str) -> NoReturn:
    raise ValueError(f"{name} is no number")
