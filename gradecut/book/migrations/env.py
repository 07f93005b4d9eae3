"""Runs the scripts on the connection they are given, inside its open transaction."""

from __future__ import annotations

from alembic import context

context.configure(
    connection=context.config.attributes["connection"],
    render_as_batch=True,
    transactional_ddl=False,
)
context.run_migrations()
