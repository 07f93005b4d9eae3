"""The same scheme laid out in every way TOML lets a coach lay it out, with remarks all over."""

from __future__ import annotations

import random
from collections.abc import Iterator
from typing import Any

__all__ = ["laid_out", "remarks"]


def laid_out(scheme: dict[str, Any], dice: random.Random) -> str:
    """Write a scheme in a layout thrown by dice; every remark in it stands there once."""
    return _Writer(dice).write(scheme)


def remarks(text: str) -> list[str]:
    """List the remarks of a text, in order."""
    return [part.split("\n")[0].strip() for part in text.split("#remark")[1:]]


class _Writer:
    def __init__(self, dice: random.Random) -> None:
        self._dice = dice
        self._count = 0

    def write(self, scheme: dict[str, Any]) -> str:
        top: list[str] = []
        blocks: list[list[str]] = []
        for section, body in scheme.items():
            if self._dice.random() < 0.15:
                top += self._pair(section, body)
            elif isinstance(body, list):
                blocks.append([self._block(f"[[{section}]]", [section], part) for part in body])
            elif section == "scheme":
                blocks.append([self._block("[scheme]", ["scheme"], body)])
            else:
                blocks.append(self._named(section, body))
        lines = top + list(self._shuffled(blocks))
        text = "".join(lines)
        if self._dice.random() < 0.2:
            text = text.rstrip("\n")
        return text.replace("\n", "\r\n") if self._dice.random() < 0.2 else text

    def _shuffled(self, blocks: list[list[str]]) -> Iterator[str]:
        """Give the blocks of all sections mixed, each section's in its order."""
        mixed = self._dice.random() < 0.5
        queues = [list(queue) for queue in blocks if queue]
        while queues:
            at = self._dice.randrange(len(queues)) if mixed else 0
            yield queues[at].pop(0)
            queues = [queue for queue in queues if queue]

    def _named(self, section: str, body: dict[str, Any]) -> list[str]:
        way = self._dice.choice(["heads", "heads", "section", "dotted"])
        if way == "heads":
            return [
                self._block(f"[{section}.{_key(name)}]", [section, _key(name)], table)
                for name, table in body.items()
            ]
        lines = [f"[{section}]\n"]
        for name, table in body.items():
            if way == "section":
                lines += self._pair(_key(name), table)
            else:
                for key, value in table.items():
                    lines += self._pair(f"{_key(name)}.{_key(key)}", value)
        return ["".join(lines) + "\n"]

    def _block(self, head: str, path: list[str], table: dict[str, Any]) -> str:
        lines = [self._remark("")] if self._dice.random() < 0.3 else []
        lines.append(head + self._trail())
        indent = self._dice.choice(["", "", "  ", "\t"])
        later: list[str] = []
        for key, value in table.items():
            if isinstance(value, dict) and value and self._dice.random() < 0.2:
                later.append(f"[{'.'.join([*path, key])}]\n")
                for inner, part in value.items():
                    later += self._pair(_key(inner), part)
            elif isinstance(value, dict) and value and self._dice.random() < 0.2:
                for inner, part in value.items():
                    lines += self._pair(f"{key}.{_key(inner)}", part, indent)
            else:
                lines += self._pair(_key(key), value, indent)
        gap = "" if self._dice.random() < 0.2 else "\n"
        if self._dice.random() < 0.15:
            gap += self._remark("") + "\n"
        return "".join([*lines, *later, gap])

    def _pair(self, key: str, value: Any, indent: str = "") -> list[str]:
        lines = [self._remark(indent)] if self._dice.random() < 0.08 else []
        equals = self._dice.choice([" = ", " = ", "=", "  =  "])
        return [*lines, f"{indent}{key}{equals}{self._value(value)}{self._trail()}"]

    def _value(self, value: Any) -> str:
        if isinstance(value, list) and value and self._dice.random() < 0.3:
            parts = [f"  {_plain(part)}," + self._trail() for part in value]
            if self._dice.random() < 0.3 and "," not in _plain(value[-1]):
                parts[-1] = parts[-1].replace(",", "", 1)
            return "[" + self._trail() + "".join(parts) + "]"
        return _plain(value)

    def _trail(self) -> str:
        return f"  {self._remark('')}" if self._dice.random() < 0.15 else "\n"

    def _remark(self, indent: str) -> str:
        self._count += 1
        return f"{indent}#remark {self._count}\n"


def _key(name: str) -> str:
    return name if name.replace("_", "").isalnum() else f'"{name}"'


def _plain(value: Any) -> str:
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, str):
        return f'"{value}"'
    if isinstance(value, list):
        return "[" + ", ".join(_plain(part) for part in value) + "]"
    if isinstance(value, dict):
        inner = ", ".join(f"{_key(key)} = {_plain(part)}" for key, part in value.items())
        return "{ " + inner + " }" if inner else "{}"
    return str(value)
