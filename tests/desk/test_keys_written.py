from __future__ import annotations

import ast
import re
from pathlib import Path

import gradecut

SPACED = re.compile(r"\b(Ctrl|Alt|Shift) (?:[A-Z]\b|Enter|Tab|[↑↓←→])|\b(Ctrl|Alt|Shift) $")


def test_keys_are_written_one_way_wherever_they_are_told() -> None:
    """Whatever is said, a key held with another stands as on the keys sheet: Ctrl+Z, Alt+↑."""
    said = [
        (path.name, node.value)
        for path in sorted(Path(gradecut.__file__).parent.rglob("*.py"))
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
        if isinstance(node, ast.Constant) and isinstance(node.value, str)
    ]
    assert len(said) > 1000
    assert [(name, text) for name, text in said if SPACED.search(text)] == []
