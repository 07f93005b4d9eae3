"""A scheme file spoilt at random: bytes, lines and words changed, and what becomes of it.

Bytes are changed, cut and doubled, lines are moved, repeated and joined, words are exchanged for
others of the file and for hostile ones.
"""

from __future__ import annotations

import random
import re
from pathlib import Path

from gradecut.errors import LookError, SchemeError
from gradecut.scheme import Scheme, Value, load_scheme

__all__ = ["spoil", "try_file"]

_WORD = re.compile(rb"[A-Za-z0-9_.]+|\"[^\"\n]*\"")
_HOSTILE = (
    b"[", b"]", b"{", b"}", b'"', b"'", b"#", b"=", b".", b"\x00", b"\xff", b"\xed\xa0\x80",
    b"\xef\xbb\xbf", b"\r", b"\r\n", b"nan", b"-inf", b"1e999", b"9" * 30, b"9" * 5000,
    b"0x" + b"f" * 5000, b"1979-05-27", b"07:32:00", b"true", b"[]", b"{}", b'""', b"-1", b"0",
    b'"to"', b'"away"', b'"left"', b'"none"', b"{ not = [] }", b"[" * 30, b"a." * 30 + b"a",
    b"\\ud800", b'"""', b"'''", b"had", b"applies", b"otherwise", b"each_side = true",
)  # fmt: skip


def _bytes(draw: random.Random, text: bytes) -> bytes:
    at = draw.randrange(len(text) + 1)
    length = draw.choice((0, 1, 1, 5, 200))
    new = draw.choice((b"", draw.randbytes(1), draw.choice(_HOSTILE), text[at : at + length] * 2))
    return text[:at] + new + text[at + length :]


def _lines(draw: random.Random, text: bytes) -> bytes:
    lines = text.split(b"\n")
    at, other = draw.randrange(len(lines)), draw.randrange(len(lines))
    way = draw.randrange(4)
    if way == 0:
        lines.insert(other, lines[at])
    elif way == 1:
        lines.insert(other, lines.pop(at))
    elif way == 2:
        lines[at] += lines[other]
    else:
        del lines[at : at + draw.randrange(1, 6)]
    return b"\n".join(lines)


def _words(draw: random.Random, text: bytes) -> bytes:
    words = list(_WORD.finditer(text))
    if not words:
        return text
    old = draw.choice(words)
    new = draw.choice((draw.choice(words).group(), draw.choice(_HOSTILE)))
    return text[: old.start()] + new + text[old.end() :]


def spoil(draw: random.Random, text: bytes) -> bytes:
    """Spoil a file in one to four ways."""
    for _ in range(draw.choice((1, 1, 1, 2, 4))):
        text = draw.choice((_bytes, _lines, _words, _words))(draw, text)
    return text


def _ask(draw: random.Random, scheme: Scheme) -> None:
    """Ask a scheme about every man on a random look."""
    look: dict[str, Value] = {
        reference: draw.choice(scheme.values_of(reference))
        for reference in scheme.references
        if draw.random() < 0.9
    }
    try:
        for said in scheme.expect_all(look).values():
            if not said.reason.strip():
                raise ValueError("an answer without a sentence")
    except LookError as refused:
        _sentence(str(refused))


def _sentence(told: str) -> None:
    if not told.strip() or "\n" in told or not told.isprintable():
        raise ValueError(f"no plain sentence: {told!r}")


def try_file(draw: random.Random, path: Path) -> str:
    """Load a file and ask it; tell what became of it.

    Raises
    ------
    ValueError
        On a fault without a sentence, or a line the file does not have.
    """
    try:
        scheme = load_scheme(path)
    except SchemeError as refused:
        most = path.read_bytes().count(b"\n") + 1
        if not refused.faults:
            raise ValueError("refused without a fault") from refused
        for fault in refused.faults:
            _sentence(fault.message)
            if not 0 <= fault.line <= most:
                raise ValueError(f"line {fault.line} of {most}") from refused
        return "one fault" if len(refused.faults) == 1 else "several faults"
    _ask(draw, scheme)
    return "loads"
