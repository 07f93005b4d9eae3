"""A pytest plugin that makes PyQt6 impossible to import, as on a machine that lacks it.

The core's tests run with it: whatever they import must work without the window's library.
"""

from __future__ import annotations

import sys
from collections.abc import Sequence
from importlib.machinery import ModuleSpec
from types import ModuleType


class RefuseQt:
    """An import finder that answers for PyQt6 alone, with a refusal."""

    def find_spec(
        self, name: str, _path: Sequence[str] | None = None, _target: ModuleType | None = None
    ) -> ModuleSpec | None:
        """Refuse PyQt6 and leave everything else to the others."""
        if name == "PyQt6" or name.startswith("PyQt6."):
            raise ModuleNotFoundError(f"{name} is not there in the core's tests", name=name)
        return None


sys.meta_path.insert(0, RefuseQt())
