"""The small week for the commands, and ways to run them."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from click.testing import Result
from typer.testing import CliRunner

from gradecut.cli import app
from tests.workflows.conftest import book_path, practice, week_book, week_films

__all__ = ["Run", "book_path", "practice", "run", "week_book", "week_films"]

Run = Callable[..., Result]


@pytest.fixture
def run() -> Run:
    """Run a command in this process; give its result, with stdout and stderr apart."""

    def run_words(*words: object) -> Result:
        return CliRunner().invoke(app, [str(word) for word in words])

    return run_words
