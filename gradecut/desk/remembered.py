"""What this computer remembers between starts: who grades, recent books, the theme."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import asdict, dataclass, field, replace
from pathlib import Path
from typing import Literal

import platformdirs

from gradecut.desk.grader_ways import Ways, read_ways
from gradecut.errors import OutputError
from gradecut.outfile import whole_file

__all__ = [
    "TEXT_SIZES",
    "Remembered",
    "log_file",
    "memory_file",
    "recall",
    "remember",
    "sample_book_file",
]

_MOST_RECENT = 8
TEXT_SIZES = (100, 115, 130, 150)
"""In per cent."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Remembered:
    """Kept as a small file of its own; losing it loses no work.

    Attributes
    ----------
    grader : str
        Who graded last; empty until somebody has said his name.
    graders, names : mapping of path to str
        Who graded last in each of the recent books, and what they are called.
    recent : tuple of str
        Paths of books, the last one opened first.
    cautions_shown : bool
        The cautions were read once on this computer.
    plays_run : bool
        Plays gone on to run by themselves, angle after angle.
    ways : mapping of path to (mapping of grader to GraderWays)
        How each grader works in each book; kept for books no longer recent too, so that nobody
        sees by chance what he was not to see.
    tour_seen : bool
        The tour was shown once on this computer.
    text_percent : int
        How large text is shown, one of TEXT_SIZES.
    """

    grader: str = ""
    recent: tuple[str, ...] = ()
    graders: Mapping[str, str] = field(default_factory=dict)
    names: Mapping[str, str] = field(default_factory=dict)
    theme: Literal["dark", "light"] = "dark"
    cautions_shown: bool = False
    plays_run: bool = True
    ways: Ways = field(default_factory=dict)
    tour_seen: bool = False
    text_percent: int = 100

    def with_book(self, path: str, name: str = "") -> Remembered:
        """Put a book first among the recent ones."""
        rest = tuple(one for one in self.recent if one != path)
        recent = (path, *rest)[:_MOST_RECENT]
        names = {**self.names, path: name} if name else self.names
        return replace(
            self, recent=recent, names=_of(recent, names), graders=_of(recent, self.graders)
        )

    def with_grader(self, name: str, path: str = "") -> Remembered:
        """Keep who grades, in the book at a path too."""
        graders = {**self.graders, path: name} if path else self.graders
        return replace(self, grader=name, graders=graders)


def memory_file() -> Path:
    """Return where it is kept."""
    return Path(platformdirs.user_config_dir("gradecut", appauthor=False)) / "window.json"


def log_file() -> Path:
    """Return where unexpected errors are written down."""
    return Path(platformdirs.user_log_dir("gradecut", appauthor=False)) / "errors.log"


def sample_book_file() -> Path:
    """Return where the sample week's book is built."""
    folder = Path(platformdirs.user_data_dir("gradecut", appauthor=False))
    return folder / "sample week.gradecut"


def recall(path: Path) -> Remembered:
    """Read what is remembered; whatever can't be read is forgotten."""
    try:
        told = json.loads(path.read_text(encoding="utf-8"))
    except (OSError, ValueError):
        return Remembered()
    if not isinstance(told, dict):
        return Remembered()
    recent = told.get("recent")
    paths = tuple(str(one) for one in recent) if isinstance(recent, list) else ()
    return Remembered(
        grader=str(told.get("grader", "")),
        recent=paths,
        graders=_of(paths, told.get("graders")),
        names=_of(paths, told.get("names")),
        theme="light" if told.get("theme") == "light" else "dark",
        cautions_shown=told.get("cautions_shown") is True,
        plays_run=told.get("plays_run") is not False,
        ways=read_ways(told.get("ways")),
        tour_seen=told.get("tour_seen") is True,
        text_percent=told["text_percent"] if told.get("text_percent") in TEXT_SIZES else 100,
    )


def remember(path: Path, told: Remembered) -> str:
    """Keep it, whole or not at all; return one sentence when that can't be done, else nothing."""
    try:
        with whole_file(path) as draft:
            draft.write_text(json.dumps(asdict(told), indent=1), encoding="utf-8")
    except OutputError as error:
        return f"Recent books are not remembered: {error}"
    return ""


def _of(paths: tuple[str, ...], told: object) -> dict[str, str]:
    """Keep what is told of some paths; nothing where that can't be read."""
    if not isinstance(told, Mapping):
        return {}
    return {path: str(told[path]) for path in paths if told.get(path)}
