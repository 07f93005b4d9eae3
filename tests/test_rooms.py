"""The house stands as drawn: rooms import downwards, and the core lives without Qt."""

from __future__ import annotations

import importlib
import os
import pkgutil
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

import gradecut

HERE = Path(__file__).resolve().parent.parent


def lint_imports(folder: Path) -> subprocess.CompletedProcess[str]:
    """Hold the contracts against the package below a folder."""
    words = [sys.executable, "-c", "from importlinter.cli import lint_imports_command as c; c()"]
    env = {**os.environ, "PYTHONPATH": str(folder), "COLUMNS": "200"}
    return subprocess.run(
        [*words, "--no-cache"], cwd=folder, env=env, capture_output=True, text=True, check=False
    )


@pytest.fixture
def copy_of_the_house(tmp_path: Path) -> Path:
    """Copy the package's Python files and its contracts to where a test may break them."""
    shutil.copytree(
        HERE / "gradecut",
        tmp_path / "gradecut",
        ignore=lambda _, names: [n for n in names if "." in n and not n.endswith(".py")],
    )
    shutil.copy(HERE / ".importlinter", tmp_path / ".importlinter")
    return tmp_path


def test_contracts_hold(copy_of_the_house: Path) -> None:
    """Every import in the package points the way the contracts say."""
    verdict = lint_imports(copy_of_the_house)
    assert verdict.returncode == 0, verdict.stdout + verdict.stderr


@pytest.mark.parametrize(
    ("room", "breach"),
    [
        ("scheme", "from gradecut import workflows"),
        ("grading", "import PyQt6.QtCore"),
        ("drawing", "import gradecut.film"),
    ],
)
def test_a_planted_breach_is_refused(copy_of_the_house: Path, room: str, breach: str) -> None:
    """An import that reaches up, sideways or into Qt is found."""
    (copy_of_the_house / "gradecut" / room / "planted.py").write_text(f"{breach}\n")
    verdict = lint_imports(copy_of_the_house)
    assert verdict.returncode != 0
    assert "planted" in verdict.stdout


def test_the_core_imports_without_qt() -> None:
    """Every module but the window's imports while PyQt6 can't be had.

    Migration scripts are left out: they run only inside a migration.
    """
    names = [
        module.name
        for module in pkgutil.walk_packages(gradecut.__path__, "gradecut.")
        if not module.name.startswith(("gradecut.app", "gradecut.book.migrations."))
        and not module.name.endswith("__main__")
    ]
    assert "gradecut.workflows" in names
    with pytest.raises(ModuleNotFoundError, match="core's tests"):
        importlib.import_module("PyQt6.QtWidgets")
    for name in names:
        importlib.import_module(name)
