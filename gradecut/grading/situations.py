"""What a rep was against, in the words a board's columns carry."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from difflib import get_close_matches

from gradecut.errors import LookError
from gradecut.records import RepLine

__all__ = ["WORDS", "situations_of"]

ReadValue = Callable[[RepLine], str | None]

_SIDES = frozenset({"left", "right"})


def _owed(line: RepLine) -> str | None:
    """Return what he owed, as it was graded where it was."""
    return line.grade.expected_fit if line.grade else line.expected_fit


def _lined_up(line: RepLine) -> str | None:
    """Return whether he lined up right; None where nobody said."""
    if line.lined_up is None:
        return None
    return {"right": "lined up right", "off": "lined up off"}.get(
        line.lined_up.verdict, "alignment can't be told"
    )


WORDS: dict[str, ReadValue] = {
    "run side": lambda line: line.run_side,
    "position": lambda line: line.rep.position or None,
    "period": lambda line: line.clip.period or None,
    "session": lambda line: line.session.name or None,
    "fit": _owed,
    "lined up": _lined_up,
}
"""What a board can be cut by besides the facts of the look; these words come first."""

_UNKNOWN = {
    "run side": "side not known",
    "position": "no position",
    "period": "no period",
    "session": "no session",
    "fit": "nothing owed",
    "lined up": "alignment not judged",
}


def situations_of(lines: Sequence[RepLine], by: Sequence[str]) -> list[tuple[str, bool]]:
    """Name the situation of each rep: "power", or "power to" by concept and run side.

    Parameters
    ----------
    lines : sequence of RepLine
    by : sequence of str
        Facts of the look, or "run side", "position", "period", "session", "fit", "lined up".

    Returns
    -------
    list of (str, bool)
        One for each line, and whether all of it is known. A value nobody recorded is named
        as such ("concept not known").

    Raises
    ------
    LookError
        When there are reps, and a name is neither such a word nor a fact any look holds.
    """
    readers = [_reader(name, lines) for name in by]
    parts = [[read(line) for read in readers] for line in lines]
    return [(_joined(read), all(known for _, known in read)) for read in parts]


def _joined(parts: Sequence[tuple[str, bool]]) -> str:
    """Join a situation's parts, with a comma before what is not known."""
    told = ""
    for text, known in parts:
        told += text if not told else f" {text}" if known else f", {text}"
    return told


def _reader(name: str, lines: Sequence[RepLine]) -> Callable[[RepLine], tuple[str, bool]]:
    """Return how to read one part of a situation: its text, and whether it is known."""
    if name in WORDS:
        read = WORDS[name]
        return lambda line: _known(read(line), _UNKNOWN[name])
    if lines and not any(name in line.look for line in lines):
        raise LookError(_unknown_name(name, lines))
    seen = {line.look[name] for line in lines if name in line.look}
    # "left" or "3" says nothing on a board without the fact's name; "power" does.
    named = any(not isinstance(value, str) or value in _SIDES for value in seen)
    told = name.replace(".", " ")

    def read_fact(line: RepLine) -> tuple[str, bool]:
        if name not in line.look:
            return (f"{told} not known", False)
        value = line.look[name]
        text = ("yes" if value else "no") if isinstance(value, bool) else str(value)
        return (f"{told} {text}" if named else text, True)

    return read_fact


def _known(value: str | None, otherwise: str) -> tuple[str, bool]:
    """Return a value, or the words for its absence."""
    return (otherwise, False) if value is None else (value, True)


def _unknown_name(name: str, lines: Sequence[RepLine]) -> str:
    """Say that nothing can be cut by a name, and what is nearest."""
    known = [*WORDS, *sorted({fact for line in lines for fact in line.look})]
    near = get_close_matches(name, known, n=1)
    hint = f"did you mean “{near[0]}”?" if near else f"try one of {', '.join(known)}."
    return f"No look of these {len(lines)} reps says anything of “{name}”; {hint}"
