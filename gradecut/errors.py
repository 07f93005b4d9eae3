"""Every error gradecut raises on purpose, as one tree.

GradecutError
├── FilmError            a film can't be opened, read or found
├── SchemeError          a scheme file has faults (all of them, each with its line)
├── LookError            a question about a look that can't be answered
├── GradeError           a grade that the scheme or its rubric does not allow
├── BookError            the store can't be opened, read or written
│   └── UndoRefused      an act can't be taken back, because a row has moved on
├── InputError           a sheet a person keeps (roster, script, observations) has a fault
├── OutputError          a file can't be written where it was asked for
├── RenderError          a reel can't be made
├── CalibrationError     field and picture can't be brought together
└── Cancelled            the person asked long work to stop

Each message is one sentence: what, where, what to try. The facts stand as attributes
beside it, so that callers never take a message apart.
"""

from __future__ import annotations

from collections.abc import Sequence
from os import PathLike, fspath
from typing import Protocol

__all__ = [
    "BookError",
    "CalibrationError",
    "Cancelled",
    "FilmError",
    "GradeError",
    "GradecutError",
    "InputError",
    "LookError",
    "OutputError",
    "RenderError",
    "SchemeError",
    "UndoRefused",
]


class GradecutError(Exception):
    """Anything gradecut refuses, with a sentence a coach can act on."""


class FilmError(GradecutError, ValueError):
    """A film that can't be opened, read or found.

    Attributes
    ----------
    path : str
        The film as it was named by the caller.
    reason : str
        What is wrong and what to try, without the path.
    """

    def __init__(self, path: str | PathLike[str], reason: str) -> None:
        self.path = fspath(path)
        self.reason = reason
        super().__init__(f"{self.path}: {reason}")

    def __reduce__(self) -> tuple[type[FilmError], tuple[str, str]]:
        """Keep both arguments when the error crosses a process."""
        return (FilmError, (self.path, self.reason))


class FaultLike(Protocol):
    """What SchemeError needs of a fault."""

    @property
    def line(self) -> int:
        """Line of the file, from 1; 0 when it is the whole file."""

    @property
    def message(self) -> str:
        """One sentence."""


class SchemeError(GradecutError, ValueError):
    """A scheme file with faults.

    Attributes
    ----------
    path : str
        The file as it was named by the caller.
    faults : tuple
        Every fault, in file order; each has ``line`` (from 1; 0 when it is the whole
        file) and ``message``.
    """

    def __init__(self, path: str | PathLike[str], faults: Sequence[FaultLike]) -> None:
        self.path = fspath(path)
        self.faults = tuple(faults)
        told = "; ".join(
            f"line {fault.line}: {fault.message}" if fault.line else fault.message
            for fault in self.faults
        )
        super().__init__(f"{self.path}: {told}")


class LookError(GradecutError, ValueError):
    """A question about a look that names something unknown, or a look that can't be."""


class GradeError(GradecutError, ValueError):
    """A grade that names something the scheme or its rubric lacks, or contradicts itself.

    Attributes
    ----------
    rep_id : str
        The rep; empty where none was named.
    """

    def __init__(self, said: str, *, rep_id: str = "") -> None:
        self.rep_id = rep_id
        super().__init__(said)


class BookError(GradecutError):
    """The store can't be opened, read or written."""


class UndoRefused(BookError):
    """An act can't be taken back, because what it changed has moved on since."""


class InputError(GradecutError, ValueError):
    """A fault in a sheet a person keeps: roster, script, observations.

    Attributes
    ----------
    path : str
        The sheet.
    faults : tuple of (int, str)
        Every fault with its line in the file (from 1; 0 when it is the whole file).
    """

    def __init__(self, path: str | PathLike[str], faults: Sequence[tuple[int, str]]) -> None:
        self.path = fspath(path)
        self.faults = tuple(faults)
        told = "; ".join(f"line {line}: {said}" if line else said for line, said in self.faults)
        super().__init__(f"{self.path}: {told}")


class OutputError(GradecutError, OSError):
    """A file can't be written where it was asked for.

    Attributes
    ----------
    path : str
        Where it was to be written.
    reason : str
        What is wrong and what to try, without the path.
    """

    def __init__(self, path: str | PathLike[str], reason: str) -> None:
        self.path = fspath(path)
        self.reason = reason
        super().__init__(f"{self.path}: {reason}")


class RenderError(GradecutError):
    """A reel can't be made."""


class CalibrationError(GradecutError, ValueError):
    """Field and picture can't be brought together."""


class Cancelled(GradecutError):
    """The person asked long work to stop; nothing was left behind."""

    def __init__(self, what: str = "The work") -> None:
        super().__init__(f"{what} was stopped; nothing was written.")
