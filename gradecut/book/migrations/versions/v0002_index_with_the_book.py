"""When a film was filmed, and its frame index, kept with the book."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0002"
down_revision = "0001"


def upgrade() -> None:
    """Add the time of filming, empty for films that are there, and a table of indexes."""
    op.add_column("films", sa.Column("recorded_at", sa.Text(), nullable=True))
    op.execute("UPDATE films SET recorded_at = ''")
    # SQLite can't tighten a column in place, so the table is made again around it.
    with op.batch_alter_table("films", recreate="always") as films:
        films.alter_column("recorded_at", existing_type=sa.Text(), nullable=False)
    op.create_table(
        "frame_indexes",
        sa.Column("id", sa.Text(), nullable=False),
        sa.Column("film_id", sa.Text(), nullable=False),
        sa.Column("data", sa.LargeBinary(), nullable=False),
        sa.PrimaryKeyConstraint("id"),
        sa.UniqueConstraint("film_id"),
    )
