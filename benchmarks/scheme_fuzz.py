"""Spoils the sample scheme in every way it can, for some seconds.

Bytes are changed, cut and doubled, lines are moved, repeated and joined, words are exchanged for
others of the file and for hostile ones. Whatever comes of it has to load, or to be refused with
faults that each have a line and one sentence; a scheme that loads has to answer, or refuse the
look. Anything else is printed with the seed that makes it again, and the script fails.

    python -m benchmarks.scheme_fuzz [--seconds 30] [--seed 1]
"""

from __future__ import annotations

import argparse
import random
import re
import sys
import tempfile
import time
from collections import Counter
from pathlib import Path

from gradecut.errors import LookError, SchemeError
from gradecut.samples import week_folder
from gradecut.scheme import Scheme, Value, load_scheme

__all__ = ["main", "spoil", "try_file"]

SLOW_S = 5.0
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


def main() -> int:
    """Spoil and try until the time is over; give 1 when something came out that may not."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0] if __doc__ else "")
    parser.add_argument("--seconds", type=float, default=30.0)
    parser.add_argument("--seed", type=int, default=1)
    asked = parser.parse_args()
    good = (week_folder() / "harbor.toml").read_bytes()
    found: Counter[str] = Counter()
    end, seed, slowest = time.monotonic() + asked.seconds, asked.seed, 0.0
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "spoilt.toml"
        while time.monotonic() < end:
            draw = random.Random(seed)
            path.write_bytes(spoil(draw, good))
            begun = time.process_time()
            try:
                found[try_file(draw, path)] += 1
            except Exception as error:  # noqa: BLE001 - anything at all is what is looked for
                found["WRONG"] += 1
                print(f"seed {seed}: {type(error).__name__}: {error}")
            took = time.process_time() - begun
            slowest = max(slowest, took)
            if took > SLOW_S:
                found["WRONG"] += 1
                print(f"seed {seed}: {took:.1f} s")
            seed += 1
    told = ", ".join(f"{count} {what}" for what, count in found.most_common())
    print(f"{seed - asked.seed} files: {told}; slowest {slowest:.2f} s")
    return 1 if found["WRONG"] else 0


if __name__ == "__main__":
    sys.exit(main())
