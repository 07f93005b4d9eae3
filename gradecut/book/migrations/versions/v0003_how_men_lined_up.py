"""How men lined up before the snap."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0003"
down_revision = "0002"


def upgrade() -> None:
    """Add a table of what was said of how a man lined up."""
    op.create_table(
        "lined_up",
        sa.Column("id", sa.Text(), nullable=False),
        sa.Column("rep_id", sa.Text(), nullable=False),
        sa.Column("verdict", sa.Text(), nullable=False),
        sa.Column("off", sa.Text(), nullable=False),
        sa.Column("depth_yd", sa.Float(), nullable=True),
        sa.Column("across_yd", sa.Float(), nullable=True),
        sa.Column("source", sa.Text(), nullable=False),
        sa.Column("author", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(["rep_id"], ["reps.id"], initially="DEFERRED", deferrable=True),
        sa.PrimaryKeyConstraint("id"),
    )
    op.create_index("lined_up_once", "lined_up", ["rep_id", "source", "author"], unique=True)
