"""Where the sample clips and the sample week lie."""

from __future__ import annotations

from pathlib import Path

__all__ = ["clips_folder", "week_folder"]

_HERE = Path(__file__).resolve().parent


def clips_folder() -> Path:
    """Return the folder of the sample clips, with ``end`` and ``side`` in it.

    An installed gradecut carries them inside itself; in a checkout they lie in
    ``sample_clips`` beside the package.
    """
    packed = _HERE / "clips"
    return packed if packed.is_dir() else _HERE.parents[1] / "sample_clips"


def week_folder() -> Path:
    """Return the folder of the sample week: roster, script, scheme and observations."""
    return _HERE / "week"
