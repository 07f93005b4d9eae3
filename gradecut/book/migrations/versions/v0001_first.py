"""The first schema."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None


def upgrade() -> None:
    """Make every table of the first schema."""
    _make_what_stands_alone()
    _make_footage()
    _make_what_was_seen()
    _make_grades()
    _make_what_is_shown()


def _names(column: str, table: str) -> sa.ForeignKeyConstraint:
    """Let a column name a row of a table, looked at when the act is committed."""
    return sa.ForeignKeyConstraint([column], [f"{table}.id"], initially="DEFERRED", deferrable=True)


def _make_what_stands_alone() -> None:
    """Make the tables that name no other, the book's own and the journal."""
    op.create_table(
        "acts",
        sa.Column("id", sa.Text(), nullable=False),
        sa.Column("author", sa.Text(), nullable=False),
        sa.Column("computer", sa.Text(), nullable=False),
        sa.Column("at", sa.Text(), nullable=False),
        sa.Column("verb", sa.Text(), nullable=False),
        sa.Column("schema", sa.Text(), nullable=False),
        sa.Column("undoes", sa.Text(), nullable=True),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("taking_back", sa.Boolean(), nullable=False),
        _names("undoes", "acts"),
        sa.PrimaryKeyConstraint("id"),
        sa.UniqueConstraint("number"),
    )
    op.create_index("acts_of_author", "acts", ["author", "computer", "number"])
    op.create_table(
        "films",
        sa.Column("id", sa.Text(), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("fingerprint", sa.Text(), nullable=False),
        sa.Column("width", sa.BigInteger(), nullable=False),
        sa.Column("height", sa.BigInteger(), nullable=False),
        sa.Column("rate", sa.Text(), nullable=True),
        sa.Column("time_base", sa.Text(), nullable=False),
        sa.Column("frame_count", sa.BigInteger(), nullable=False),
        sa.Column("first_pts", sa.BigInteger(), nullable=False),
        sa.Column("duration_s", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("id"),
    )
    op.create_index("ix_films_fingerprint", "films", ["fingerprint"])
    op.create_table(
        "players",
        sa.Column("id", sa.Text(), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("position", sa.Text(), nullable=False),
        sa.Column("year", sa.Text(), nullable=False),
        sa.Column("game_number", sa.Text(), nullable=False),
        sa.Column("practice_number", sa.Text(), nullable=False),
        sa.Column("under_18", sa.Boolean(), nullable=False),
        sa.Column("consent", sa.Boolean(), nullable=False),
        sa.Column("held_out", sa.Boolean(), nullable=False),
        sa.Column("remark", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("id"),
    )
    op.create_table(
        "reels",
        sa.Column("id", sa.Text(), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("question", sa.Text(), nullable=False),
        sa.Column("author", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("id"),
    )
    op.create_table(
        "scheme_versions",
        sa.Column("id", sa.Text(), nullable=False),
        sa.Column("sha256", sa.Text(), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("version", sa.Text(), nullable=False),
        sa.Column("text", sa.Text(), nullable=False),
        sa.Column("added_at", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("id"),
    )
    op.create_index("ix_scheme_versions_sha256", "scheme_versions", ["sha256"])
    op.create_table(
        "sessions",
        sa.Column("id", sa.Text(), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("kind", sa.Text(), nullable=False),
        sa.Column("day", sa.Text(), nullable=False),
        sa.Column("level", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("id"),
    )
    op.create_table(
        "book",
        sa.Column("id", sa.Text(), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("season", sa.Text(), nullable=False),
        sa.Column("scheme_id", sa.Text(), nullable=True),
        sa.Column("graded_group", sa.Text(), nullable=False),
        sa.Column("made_at", sa.Text(), nullable=False),
        _names("scheme_id", "scheme_versions"),
        sa.PrimaryKeyConstraint("id"),
    )
    op.create_table(
        "changes",
        sa.Column("id", sa.Text(), nullable=False),
        sa.Column("act_id", sa.Text(), nullable=False),
        sa.Column("order", sa.BigInteger(), nullable=False),
        sa.Column("table", sa.Text(), nullable=False),
        sa.Column("row_id", sa.Text(), nullable=False),
        sa.Column("before", sa.Text(), nullable=True),
        sa.Column("after", sa.Text(), nullable=True),
        _names("act_id", "acts"),
        sa.PrimaryKeyConstraint("id"),
    )
    op.create_index("changes_of_row", "changes", ["table", "row_id"])
    op.create_index("ix_changes_act_id", "changes", ["act_id"])


def _make_footage() -> None:
    """Make what the film shows and who is in it."""
    op.create_table(
        "clips",
        sa.Column("id", sa.Text(), nullable=False),
        sa.Column("session_id", sa.Text(), nullable=False),
        sa.Column("order", sa.BigInteger(), nullable=False),
        sa.Column("script_number", sa.BigInteger(), nullable=True),
        sa.Column("period", sa.Text(), nullable=False),
        sa.Column("kind", sa.Text(), nullable=False),
        sa.Column("tempo", sa.Text(), nullable=False),
        sa.Column("call", sa.Text(), nullable=False),
        sa.Column("unit", sa.Text(), nullable=False),
        sa.Column("down", sa.BigInteger(), nullable=True),
        sa.Column("to_go", sa.Text(), nullable=False),
        sa.Column("ball_on", sa.Text(), nullable=False),
        sa.Column("hash", sa.Text(), nullable=False),
        sa.Column("personnel", sa.Text(), nullable=False),
        sa.Column("formation", sa.Text(), nullable=False),
        sa.Column("yards_gained", sa.BigInteger(), nullable=True),
        sa.Column("note", sa.Text(), nullable=False),
        _names("session_id", "sessions"),
        sa.PrimaryKeyConstraint("id"),
    )
    op.create_index("ix_clips_session_id", "clips", ["session_id"])
    op.create_table(
        "film_files",
        sa.Column("id", sa.Text(), nullable=False),
        sa.Column("film_id", sa.Text(), nullable=False),
        sa.Column("computer", sa.Text(), nullable=False),
        sa.Column("path", sa.Text(), nullable=False),
        _names("film_id", "films"),
        sa.PrimaryKeyConstraint("id"),
    )
    op.create_index("ix_film_files_film_id", "film_files", ["film_id"])
    op.create_table(
        "frame_times",
        sa.Column("id", sa.Text(), nullable=False),
        sa.Column("film_id", sa.Text(), nullable=False),
        sa.Column("pts", sa.Text(), nullable=False),
        _names("film_id", "films"),
        sa.PrimaryKeyConstraint("id"),
    )
    op.create_index("ix_frame_times_film_id", "frame_times", ["film_id"])
    op.create_table(
        "angles",
        sa.Column("id", sa.Text(), nullable=False),
        sa.Column("clip_id", sa.Text(), nullable=False),
        sa.Column("film_id", sa.Text(), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("start_pts", sa.BigInteger(), nullable=False),
        sa.Column("stop_pts", sa.BigInteger(), nullable=False),
        sa.Column("scale", sa.Text(), nullable=False),
        sa.Column("offset_s", sa.Text(), nullable=False),
        _names("clip_id", "clips"),
        _names("film_id", "films"),
        sa.PrimaryKeyConstraint("id"),
    )
    op.create_index("ix_angles_clip_id", "angles", ["clip_id"])
    op.create_index("ix_angles_film_id", "angles", ["film_id"])
    op.create_table(
        "facts",
        sa.Column("id", sa.Text(), nullable=False),
        sa.Column("clip_id", sa.Text(), nullable=False),
        sa.Column("reference", sa.Text(), nullable=False),
        sa.Column("value", sa.Text(), nullable=False),
        sa.Column("source", sa.Text(), nullable=False),
        sa.Column("author", sa.Text(), nullable=False),
        _names("clip_id", "clips"),
        sa.PrimaryKeyConstraint("id"),
    )
    op.create_index(
        "facts_once", "facts", ["clip_id", "reference", "source", "author"], unique=True
    )
    op.create_table(
        "line_ups",
        sa.Column("id", sa.Text(), nullable=False),
        sa.Column("clip_id", sa.Text(), nullable=False),
        sa.Column("position", sa.Text(), nullable=False),
        sa.Column("player_id", sa.Text(), nullable=False),
        sa.Column("side", sa.Text(), nullable=True),
        sa.Column("source", sa.Text(), nullable=False),
        _names("clip_id", "clips"),
        _names("player_id", "players"),
        sa.PrimaryKeyConstraint("id"),
    )
    op.create_index("ix_line_ups_clip_id", "line_ups", ["clip_id"])
    op.create_index("ix_line_ups_player_id", "line_ups", ["player_id"])
    op.create_table(
        "reps",
        sa.Column("id", sa.Text(), nullable=False),
        sa.Column("clip_id", sa.Text(), nullable=False),
        sa.Column("player_id", sa.Text(), nullable=False),
        sa.Column("position", sa.Text(), nullable=False),
        sa.Column("side", sa.Text(), nullable=True),
        _names("clip_id", "clips"),
        _names("player_id", "players"),
        sa.PrimaryKeyConstraint("id"),
    )
    op.create_index("ix_reps_player_id", "reps", ["player_id"])
    op.create_index("reps_once", "reps", ["clip_id", "position", "player_id"], unique=True)


def _make_what_was_seen() -> None:
    """Make what is said of a rep."""
    op.create_table(
        "actuals",
        sa.Column("id", sa.Text(), nullable=False),
        sa.Column("rep_id", sa.Text(), nullable=False),
        sa.Column("did", sa.Text(), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("side", sa.Text(), nullable=True),
        sa.Column("cause", sa.Text(), nullable=False),
        sa.Column("source", sa.Text(), nullable=False),
        sa.Column("author", sa.Text(), nullable=False),
        _names("rep_id", "reps"),
        sa.PrimaryKeyConstraint("id"),
    )
    op.create_index("actuals_once", "actuals", ["rep_id", "source", "author"], unique=True)
    op.create_table(
        "events",
        sa.Column("id", sa.Text(), nullable=False),
        sa.Column("rep_id", sa.Text(), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("author", sa.Text(), nullable=False),
        _names("rep_id", "reps"),
        sa.PrimaryKeyConstraint("id"),
    )
    op.create_index("ix_events_rep_id", "events", ["rep_id"])
    op.create_table(
        "flags",
        sa.Column("id", sa.Text(), nullable=False),
        sa.Column("clip_id", sa.Text(), nullable=False),
        sa.Column("rep_id", sa.Text(), nullable=True),
        sa.Column("author", sa.Text(), nullable=False),
        _names("clip_id", "clips"),
        _names("rep_id", "reps"),
        sa.PrimaryKeyConstraint("id"),
    )
    op.create_index("ix_flags_clip_id", "flags", ["clip_id"])
    op.create_index("ix_flags_rep_id", "flags", ["rep_id"])
    op.create_table(
        "moments",
        sa.Column("id", sa.Text(), nullable=False),
        sa.Column("angle_id", sa.Text(), nullable=False),
        sa.Column("kind", sa.Text(), nullable=False),
        sa.Column("pts", sa.BigInteger(), nullable=False),
        sa.Column("rep_id", sa.Text(), nullable=True),
        sa.Column("source", sa.Text(), nullable=False),
        sa.Column("author", sa.Text(), nullable=False),
        _names("angle_id", "angles"),
        _names("rep_id", "reps"),
        sa.PrimaryKeyConstraint("id"),
    )
    op.create_index("ix_moments_angle_id", "moments", ["angle_id"])
    op.create_index("ix_moments_rep_id", "moments", ["rep_id"])
    op.create_table(
        "owed",
        sa.Column("id", sa.Text(), nullable=False),
        sa.Column("rep_id", sa.Text(), nullable=False),
        sa.Column("fit", sa.Text(), nullable=False),
        sa.Column("side", sa.Text(), nullable=True),
        sa.Column("reason", sa.Text(), nullable=False),
        sa.Column("author", sa.Text(), nullable=False),
        _names("rep_id", "reps"),
        sa.PrimaryKeyConstraint("id"),
    )
    op.create_index("owed_once", "owed", ["rep_id", "author"], unique=True)


def _make_grades() -> None:
    """Make the grades."""
    op.create_table(
        "grades",
        sa.Column("id", sa.Text(), nullable=False),
        sa.Column("rep_id", sa.Text(), nullable=False),
        sa.Column("author", sa.Text(), nullable=False),
        sa.Column("at", sa.Text(), nullable=False),
        sa.Column("expected_fit", sa.Text(), nullable=True),
        sa.Column("expected_side", sa.Text(), nullable=True),
        sa.Column("expected_also", sa.Text(), nullable=False),
        sa.Column("expected_rule", sa.Text(), nullable=True),
        sa.Column("owed_by", sa.Text(), nullable=False),
        sa.Column("scheme_id", sa.Text(), nullable=True),
        sa.Column("look_digest", sa.Text(), nullable=False),
        sa.Column("did", sa.Text(), nullable=False),
        sa.Column("did_name", sa.Text(), nullable=False),
        sa.Column("did_side", sa.Text(), nullable=True),
        sa.Column("fit_result", sa.Text(), nullable=False),
        sa.Column("fit_points", sa.Float(), nullable=True),
        sa.Column("cause", sa.Text(), nullable=False),
        sa.Column("technique", sa.Text(), nullable=False),
        sa.Column("effort", sa.Float(), nullable=True),
        sa.Column("cannot", sa.Text(), nullable=False),
        sa.Column("note", sa.Text(), nullable=False),
        sa.Column("how", sa.Text(), nullable=False),
        sa.Column("supersedes", sa.Text(), nullable=True),
        _names("rep_id", "reps"),
        _names("scheme_id", "scheme_versions"),
        _names("supersedes", "grades"),
        sa.PrimaryKeyConstraint("id"),
    )
    op.create_index("ix_grades_rep_id", "grades", ["rep_id"])
    op.create_index("ix_grades_scheme_id", "grades", ["scheme_id"])
    op.create_index("ix_grades_supersedes", "grades", ["supersedes"])


def _make_what_is_shown() -> None:
    """Make marks and the pieces of reels."""
    op.create_table(
        "marks",
        sa.Column("id", sa.Text(), nullable=False),
        sa.Column("angle_id", sa.Text(), nullable=False),
        sa.Column("kind", sa.Text(), nullable=False),
        sa.Column("points", sa.Text(), nullable=False),
        sa.Column("from_pts", sa.BigInteger(), nullable=False),
        sa.Column("to_pts", sa.BigInteger(), nullable=False),
        sa.Column("rep_id", sa.Text(), nullable=True),
        sa.Column("meaning", sa.Text(), nullable=False),
        sa.Column("text", sa.Text(), nullable=False),
        sa.Column("author", sa.Text(), nullable=False),
        _names("angle_id", "angles"),
        _names("rep_id", "reps"),
        sa.PrimaryKeyConstraint("id"),
    )
    op.create_index("ix_marks_angle_id", "marks", ["angle_id"])
    op.create_index("ix_marks_rep_id", "marks", ["rep_id"])
    op.create_table(
        "pieces",
        sa.Column("id", sa.Text(), nullable=False),
        sa.Column("reel_id", sa.Text(), nullable=False),
        sa.Column("order", sa.BigInteger(), nullable=False),
        sa.Column("clip_id", sa.Text(), nullable=False),
        sa.Column("angle_id", sa.Text(), nullable=False),
        sa.Column("rep_id", sa.Text(), nullable=True),
        sa.Column("from_s", sa.Text(), nullable=False),
        sa.Column("to_s", sa.Text(), nullable=False),
        sa.Column("speed", sa.Text(), nullable=False),
        sa.Column("freezes", sa.Text(), nullable=False),
        sa.Column("title", sa.Text(), nullable=False),
        sa.Column("caption", sa.Text(), nullable=False),
        sa.Column("mark_ids", sa.Text(), nullable=False),
        _names("reel_id", "reels"),
        _names("clip_id", "clips"),
        _names("angle_id", "angles"),
        _names("rep_id", "reps"),
        sa.PrimaryKeyConstraint("id"),
    )
    op.create_index("ix_pieces_angle_id", "pieces", ["angle_id"])
    op.create_index("ix_pieces_clip_id", "pieces", ["clip_id"])
    op.create_index("ix_pieces_reel_id", "pieces", ["reel_id"])
    op.create_index("ix_pieces_rep_id", "pieces", ["rep_id"])
    op.create_index(
        "moments_once",
        "moments",
        ["angle_id", sa.text("coalesce(rep_id, '')"), "kind", "source", "author"],
        unique=True,
    )
