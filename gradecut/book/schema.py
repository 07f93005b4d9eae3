"""The tables of a book, one for each kind of record, and what must be unique in them.

No row is removed because another is: an act names every row it takes away, so that
undo can bring each one back. Foreign keys are looked at when the act is committed,
so its rows may be given in any order.
"""

from __future__ import annotations

from typing import Any

from sqlalchemy import (
    BigInteger,
    Boolean,
    Column,
    Float,
    ForeignKey,
    Index,
    Integer,
    LargeBinary,
    MetaData,
    Table,
    Text,
    func,
)

from gradecut import records

__all__ = [
    "APPLICATION_ID",
    "METADATA",
    "REVISIONS",
    "TABLES",
    "is_made_anew",
    "noun_of",
    "table_of",
]

APPLICATION_ID = 0x47524443
"""Written into the head of every book's file, so that it is known for one ("GRDC")."""

REVISIONS = ("0001", "0002", "0003", "0004")
"""Every schema there has been, oldest first; the last is the one these tables have."""

METADATA = MetaData()


def _key() -> Column[str]:
    """Make the column of a record's own key."""
    return Column("id", Text, primary_key=True)


def _ref(name: str, goal: str, *, null: bool = False, index: bool = True) -> Column[str]:
    """Make a column that names a row of another table."""
    key: ForeignKey = ForeignKey(f"{goal}.id", deferrable=True, initially="DEFERRED")
    return Column(name, Text, key, nullable=null, index=index)


def _text(name: str, *, null: bool = False, index: bool = False) -> Column[str]:
    """Make a column of text; what is compound stands in it as JSON or as ``n/d``."""
    return Column(name, Text, nullable=null, index=index)


def _whole(name: str, *, null: bool = False) -> Column[int]:
    """Make a column of whole numbers."""
    return Column(name, BigInteger, nullable=null)


def _yes(name: str) -> Column[bool]:
    """Make a column of yes or no."""
    return Column(name, Boolean, nullable=False)


def _table(name: str, noun: str, *columns: Column[Any] | Index, made_anew: bool = False) -> Table:
    """Make a table whose rows a coach calls ``noun``.

    Rows that can be made anew from a film are ``made_anew``: large, the same whoever makes
    them, and so journaled by reference and left where they are when an act is taken back.
    """
    return Table(name, METADATA, *columns, info={"noun": noun, "made_anew": made_anew})


_FILMS = _table(
    "films",
    "film",
    _key(),
    _text("name"),
    _text("fingerprint", index=True),
    _whole("width"),
    _whole("height"),
    _text("rate", null=True),
    _text("time_base"),
    _whole("frame_count"),
    _whole("first_pts"),
    _text("duration_s"),
    _text("recorded_at"),
)
_FILM_FILES = _table(
    "film_files", "film file", _key(), _ref("film_id", "films"), _text("computer"), _text("path")
)
_FRAME_TIMES = _table("frame_times", "frame times", _key(), _ref("film_id", "films"), _text("pts"))
# Names its film without a foreign key: when adding a film is taken back the index stays.
_FRAME_INDEXES = _table(
    "frame_indexes",
    "frame index",
    _key(),
    Column("film_id", Text, nullable=False, unique=True),
    Column("data", LargeBinary, nullable=False),
    made_anew=True,
)
_SESSIONS = _table(
    "sessions", "session", _key(), _text("name"), _text("kind"), _text("day"), _text("level")
)
_SCRIPTS = _table(
    "scripts", "script", _key(), _ref("session_id", "sessions"), _text("name"), _text("text")
)
_CLIPS = _table(
    "clips",
    "clip",
    _key(),
    _ref("session_id", "sessions"),
    _whole("order"),
    _whole("script_number", null=True),
    _text("period"),
    _text("kind"),
    _text("tempo"),
    _text("call"),
    _text("unit"),
    _whole("down", null=True),
    _text("to_go"),
    _text("ball_on"),
    _text("hash"),
    _text("personnel"),
    _text("formation"),
    _whole("yards_gained", null=True),
    _text("note"),
)
_ANGLES = _table(
    "angles",
    "angle",
    _key(),
    _ref("clip_id", "clips"),
    _ref("film_id", "films"),
    _text("name"),
    _whole("start_pts"),
    _whole("stop_pts"),
    _text("scale"),
    _text("offset_s"),
    _whole("turn"),
)
_PLAYERS = _table(
    "players",
    "player",
    _key(),
    _text("name"),
    _text("position"),
    _text("year"),
    _text("game_number"),
    _text("practice_number"),
    _yes("under_18"),
    _yes("consent"),
    _yes("held_out"),
    _text("remark"),
    _yes("unknown"),
)
_LINE_UPS = _table(
    "line_ups",
    "line-up",
    _key(),
    _ref("clip_id", "clips"),
    _text("position"),
    _ref("player_id", "players"),
    _text("side", null=True),
    _text("source"),
)
_FACTS = _table(
    "facts",
    "fact",
    _key(),
    _ref("clip_id", "clips", index=False),
    _text("reference"),
    _text("value"),
    _text("source"),
    _text("author"),
    Index("facts_once", "clip_id", "reference", "source", "author", unique=True),
)
_REPS = _table(
    "reps",
    "rep",
    _key(),
    _ref("clip_id", "clips", index=False),
    _ref("player_id", "players"),
    _text("position"),
    _text("side", null=True),
    Index("reps_once", "clip_id", "position", "player_id", unique=True),
)
_MOMENTS = _table(
    "moments",
    "moment",
    _key(),
    _ref("angle_id", "angles"),
    _text("kind"),
    _whole("pts"),
    _ref("rep_id", "reps", null=True),
    _text("source"),
    _text("author"),
)
# Two rows whose rep is NULL never count as equal, so snap and whistle need the coalesce.
Index(
    "moments_once",
    _MOMENTS.c.angle_id,
    func.coalesce(_MOMENTS.c.rep_id, ""),
    _MOMENTS.c.kind,
    _MOMENTS.c.source,
    _MOMENTS.c.author,
    unique=True,
)
_OWED = _table(
    "owed",
    "word on what was owed",
    _key(),
    _ref("rep_id", "reps", index=False),
    _text("fit"),
    _text("side", null=True),
    _text("reason"),
    _text("author"),
    Index("owed_once", "rep_id", "author", unique=True),
)
_ACTUALS = _table(
    "actuals",
    "actual fit",
    _key(),
    _ref("rep_id", "reps", index=False),
    _text("did"),
    _text("name"),
    _text("side", null=True),
    _text("cause"),
    _text("source"),
    _text("author"),
    Index("actuals_once", "rep_id", "source", "author", unique=True),
)
_LINED_UP = _table(
    "lined_up",
    "word on how he lined up",
    _key(),
    _ref("rep_id", "reps", index=False),
    _text("verdict"),
    _text("off"),
    Column("depth_yd", Float, nullable=True),
    Column("across_yd", Float, nullable=True),
    _text("source"),
    _text("author"),
    Index("lined_up_once", "rep_id", "source", "author", unique=True),
)
_EVENTS = _table("events", "event", _key(), _ref("rep_id", "reps"), _text("name"), _text("author"))
_FLAGS = _table(
    "flags",
    "flag",
    _key(),
    _ref("clip_id", "clips"),
    _ref("rep_id", "reps", null=True),
    _text("author"),
)
_SCHEME_VERSIONS = _table(
    "scheme_versions",
    "scheme",
    _key(),
    _text("sha256", index=True),
    _text("name"),
    _text("version"),
    _text("text"),
    _text("added_at"),
)
_GRADES = _table(
    "grades",
    "grade",
    _key(),
    _ref("rep_id", "reps"),
    _text("author"),
    _text("at"),
    _text("expected_fit", null=True),
    _text("expected_side", null=True),
    _text("expected_also"),
    _text("expected_rule", null=True),
    _text("owed_by"),
    _ref("scheme_id", "scheme_versions", null=True),
    _text("look_digest"),
    _text("did"),
    _text("did_name"),
    _text("did_side", null=True),
    _text("fit_result"),
    Column("fit_points", Float, nullable=True),
    _text("cause"),
    _text("technique"),
    Column("effort", Float, nullable=True),
    _text("cannot"),
    _text("note"),
    _text("how"),
    _ref("supersedes", "grades", null=True),
)
_MARKS = _table(
    "marks",
    "mark",
    _key(),
    _ref("angle_id", "angles"),
    _text("kind"),
    _text("points"),
    _whole("from_pts"),
    _whole("to_pts"),
    _ref("rep_id", "reps", null=True),
    _text("meaning"),
    _text("text"),
    _text("author"),
    _text("colour"),
    _text("keys"),
)
_REELS = _table("reels", "reel", _key(), _text("name"), _text("question"), _text("author"))
_PIECES = _table(
    "pieces",
    "piece",
    _key(),
    _ref("reel_id", "reels"),
    _whole("order"),
    _ref("clip_id", "clips"),
    _ref("angle_id", "angles"),
    _ref("rep_id", "reps", null=True),
    _text("from_s"),
    _text("to_s"),
    _text("speed"),
    _text("freezes"),
    _text("title"),
    _text("caption"),
    _text("mark_ids"),
)
_BOOK = _table(
    "book",
    "book's title",
    _key(),
    _text("name"),
    _text("season"),
    _ref("scheme_id", "scheme_versions", null=True, index=False),
    _text("graded_group"),
    _text("made_at"),
)
_ACTS = _table(
    "acts",
    "act",
    _key(),
    _text("author"),
    _text("computer"),
    _text("at"),
    _text("verb"),
    _text("schema"),
    _ref("undoes", "acts", null=True, index=False),
    # Clocks of two computers differ, so the order of acts is counted, not timed.
    Column("number", Integer, nullable=False, unique=True),
    _yes("taking_back"),
    Index("acts_of_author", "author", "computer", "number"),
)
_CHANGES = _table(
    "changes",
    "change",
    _key(),
    _ref("act_id", "acts"),
    _whole("order"),
    _text("table"),
    _text("row_id"),
    _text("before", null=True),
    _text("after", null=True),
    Index("changes_of_row", "table", "row_id"),
)

TABLES: dict[type, Table] = {
    records.Act: _ACTS,
    records.Actual: _ACTUALS,
    records.Angle: _ANGLES,
    records.BookInfo: _BOOK,
    records.Change: _CHANGES,
    records.Clip: _CLIPS,
    records.Event: _EVENTS,
    records.FactValue: _FACTS,
    records.FilmFile: _FILM_FILES,
    records.FilmIndex: _FRAME_INDEXES,
    records.FrameTimes: _FRAME_TIMES,
    records.Flag: _FLAGS,
    records.Grade: _GRADES,
    records.LineUp: _LINE_UPS,
    records.LinedUp: _LINED_UP,
    records.Mark: _MARKS,
    records.Moment: _MOMENTS,
    records.Owed: _OWED,
    records.Piece: _PIECES,
    records.Player: _PLAYERS,
    records.Reel: _REELS,
    records.Rep: _REPS,
    records.SchemeVersion: _SCHEME_VERSIONS,
    records.Script: _SCRIPTS,
    records.Session: _SESSIONS,
    records.StoredFilm: _FILMS,
}
"""Which table keeps which kind of record."""


def table_of(kind: type) -> str:
    """Return the name of the table that keeps a kind of record, as ``on_change`` tells it.

    >>> from gradecut.records import FactValue
    >>> table_of(FactValue)
    'facts'
    """
    return TABLES[kind].name


def noun_of(table: str) -> str:
    """Return what a coach calls one row of a table."""
    found = METADATA.tables.get(table)
    return str(found.info["noun"]) if found is not None else "row"


def is_made_anew(table: str) -> bool:
    """Tell whether a table's rows can be made anew from a film, and so are no part of undo."""
    found = METADATA.tables.get(table)
    return found is not None and bool(found.info["made_anew"])
