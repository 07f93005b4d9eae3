"""Values written as TOML, in the way the sample schemes are laid out."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from typing import Any

from gradecut.errors import SchemeError
from gradecut.scheme._page import Fault

__all__ = ["refusal", "spell_key", "spell_pair", "spell_value"]

_BARE = re.compile(r"[A-Za-z0-9_-]+")
_WIDE = 100
_ESCAPES = {
    '"': '\\"', "\\": "\\\\", "\n": "\\n", "\t": "\\t", "\r": "\\r", "\b": "\\b", "\f": "\\f",
}  # fmt: skip


def refusal(message: str, *, name: str = "the scheme") -> SchemeError:
    """Make the error of an edit that is not possible: one sentence, about no line."""
    return SchemeError(name, (Fault(line=0, message=message),))


def spell_key(word: str) -> str:
    """Write a key, in quotes where it needs them."""
    return word if _BARE.fullmatch(word) else _text(word)


def spell_value(value: Any) -> str:
    """Write a value on one line.

    Raises
    ------
    SchemeError
        When TOML can't hold it.
    """
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, str):
        return _text(value)
    if isinstance(value, int) and value.bit_length() < 64:
        return str(value)
    if isinstance(value, float) and value - value == 0:
        return repr(value)
    if isinstance(value, Mapping):
        inner = ", ".join(f"{spell_key(key)} = {spell_value(part)}" for key, part in value.items())
        return f"{{ {inner} }}" if inner else "{}"
    if isinstance(value, Sequence) and not isinstance(value, bytes):
        return f"[{', '.join(spell_value(part) for part in value)}]"
    raise refusal(f"a value of the kind {type(value).__name__} can't stand in a scheme file")


def spell_pair(key: str, value: Any) -> str:
    """Write a key with its value; a long list gets a line for each of its parts."""
    line = f"{spell_key(key)} = {spell_value(value)}"
    many = isinstance(value, Sequence) and not isinstance(value, str)
    if not many or not value:
        return line
    tables = len(value) > 1 and all(isinstance(part, Mapping) for part in value)
    if not tables and len(line) <= _WIDE:
        return line
    parts = "".join(f"  {spell_value(part)},\n" for part in value)
    return f"{spell_key(key)} = [\n{parts}]"


def _text(text: str) -> str:
    written = []
    for letter in text:
        if letter in _ESCAPES:
            written.append(_ESCAPES[letter])
        elif ord(letter) < 32 or ord(letter) == 127:
            written.append(f"\\u{ord(letter):04X}")
        elif 0xD800 <= ord(letter) <= 0xDFFF:
            raise refusal("a text with half a letter in it can't stand in a scheme file")
        else:
            written.append(letter)
    return f'"{"".join(written)}"'
