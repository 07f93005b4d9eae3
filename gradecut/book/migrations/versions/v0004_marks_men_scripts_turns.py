"""Marks coloured and keyed, men not known yet, scripts kept, and how an angle sees the line."""

from __future__ import annotations

from typing import Any

import sqlalchemy as sa
from alembic import op

revision = "0004"
down_revision = "0003"


def upgrade() -> None:
    """Add a table of scripts, and columns to marks, players and angles."""
    op.create_table(
        "scripts",
        sa.Column("id", sa.Text(), nullable=False),
        sa.Column("session_id", sa.Text(), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("text", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(
            ["session_id"], ["sessions.id"], initially="DEFERRED", deferrable=True
        ),
        sa.PrimaryKeyConstraint("id"),
    )
    op.create_index("ix_scripts_session_id", "scripts", ["session_id"], unique=False)
    _add("marks", "colour", sa.Text(), "''")
    _add("marks", "keys", sa.Text(), "'[]'")
    _add("players", "unknown", sa.Boolean(), "0")
    _add("angles", "turn", sa.BigInteger(), "0")


def _add(table: str, name: str, kind: sa.types.TypeEngine[Any], before: str) -> None:
    """Add a column with what it says of the rows there are."""
    op.add_column(table, sa.Column(name, kind, nullable=True))
    op.execute(f"UPDATE {table} SET {name} = {before}")
    # SQLite can't tighten a column in place, so the table is made again around it.
    with op.batch_alter_table(table, recreate="always") as changed:
        changed.alter_column(name, existing_type=kind, nullable=False)
