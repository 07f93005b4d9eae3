"""Scheme files that are looked at before they are used."""

from __future__ import annotations

from dataclasses import dataclass
from os import PathLike
from pathlib import Path

from gradecut.counting_words import counted
from gradecut.errors import SchemeError
from gradecut.scheme import Scheme, load_scheme, parse_scheme

__all__ = ["CheckedFile", "first_fault", "look_at_file", "named", "with_next_version"]

_READ = 2_000_000


@dataclass(frozen=True, slots=True, kw_only=True)
class CheckedFile:
    """A scheme file that was looked at.

    Attributes
    ----------
    text : str
        As it stands in the file; empty when it can't be read.
    faults : tuple of (line, sentence)
        In file order; empty when the file is sound.
    scheme : Scheme or None
        None when it has faults.
    """

    path: str
    text: str
    faults: tuple[tuple[int, str], ...]
    scheme: Scheme | None

    @property
    def verdict(self) -> str:
        """One sentence on the file."""
        name = Path(self.path).name
        if self.scheme is None:
            count = len(self.faults)
            return f"{name} has {counted(count, 'fault')}; nothing was changed."
        men, rules = len(self.scheme.positions), len(self.scheme.rules)
        return f"{name} is sound: {rules} rules for {men} men."


def look_at_file(path: str | PathLike[str]) -> CheckedFile:
    """Load a file for its verdict only."""
    try:
        scheme = load_scheme(path)
    except SchemeError as error:
        faults = tuple((fault.line, fault.message) for fault in error.faults)
        return CheckedFile(path=str(path), text=_text_of(path), faults=faults, scheme=None)
    return CheckedFile(path=str(path), text=scheme.text, faults=(), scheme=scheme)


def first_fault(error: SchemeError) -> str:
    """Say why an edit can't be: its first fault, without the line, and how many more there are."""
    told = error.faults[0].message if error.faults else str(error)
    more = len(error.faults) - 1
    rest = f" (and {more} more)" if more > 0 else ""
    return f"{told[:1].upper()}{told[1:].rstrip('.')}{rest}."


def named(scheme: Scheme) -> str:
    """Name a scheme with its version: "Harbor 1"; empty where it says neither."""
    return " ".join(part for part in (scheme.name, scheme.version) if part)


def with_next_version(text: str, before: Scheme | None) -> str:
    """Count the version on, where the coach counts them and has not done so himself."""
    made = parse_scheme(text, "the draft")
    if before is None or made.version != before.version or not made.version.isdigit():
        return text
    from gradecut.scheme.editing import set_version

    return set_version(text, version=str(int(made.version) + 1))


def _text_of(path: str | PathLike[str]) -> str:
    """Return a file's text as far as it is text; empty when it can't be read."""
    try:
        raw = Path(path).read_bytes()[:_READ]
    except OSError:
        return ""
    return raw.decode("utf-8", errors="replace").replace("\r\n", "\n")
