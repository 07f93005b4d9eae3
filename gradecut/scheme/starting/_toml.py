"""Pieces of a scheme file as text."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

__all__ = ["heading", "inline", "quoted", "table"]

_ESCAPES = {'"': '\\"', "\\": "\\\\"}


def quoted(text: str) -> str:
    r"""Write a text as a TOML string.

    >>> quoted('a "b" \\ c')
    '"a \\"b\\" \\\\ c"'
    """
    return '"' + "".join(_ESCAPES.get(letter, letter) for letter in text) + '"'


def inline(value: object) -> str:
    """Write a value on one line.

    >>> inline({"run": "to", "surface.run": [3, 4]})
    '{ run = "to", "surface.run" = [3, 4] }'
    """
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, str):
        return quoted(value)
    if isinstance(value, Mapping):
        inside = ", ".join(f"{_key(str(key))} = {inline(one)}" for key, one in value.items())
        return f"{{ {inside} }}"
    if isinstance(value, Sequence):
        return f"[{', '.join(inline(one) for one in value)}]"
    return str(value)


def _key(key: str) -> str:
    bare = key.isascii() and key.replace("_", "").replace("-", "").isalnum()
    return key if bare else quoted(key)


def table(path: Sequence[str], entries: Mapping[str, object], *, listed: bool = False) -> str:
    """Write a table under its head; what is None is left out.

    Parameters
    ----------
    path : sequence of str
        The keys of its head.
    entries : mapping
        What stands in it.
    listed : bool
        It is one of a list of tables.
    """
    head = ".".join(_key(part) for part in path)
    lines = [f"[[{head}]]" if listed else f"[{head}]"]
    lines += [
        f"{_key(key)} = {_spread(value)}" for key, value in entries.items() if value is not None
    ]
    return "\n".join(lines) + "\n"


def _spread(value: object) -> str:
    """Give a list of tables a line for each table."""
    many = isinstance(value, Sequence) and not isinstance(value, str) and bool(value)
    if many and all(isinstance(one, Mapping) for one in value):  # type: ignore[attr-defined]
        inside = "".join(f"  {inline(one)},\n" for one in value)  # type: ignore[attr-defined]
        return f"[\n{inside}]"
    return inline(value)


def heading(title: str, *remarks: str) -> str:
    """Write a comment that heads a part of the file."""
    lines = [f"# {'-' * 16} {title}", *(f"# {remark}" for remark in remarks)]
    return "\n".join(lines) + "\n"
