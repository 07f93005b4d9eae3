"""A condition as one line a coach can read and type, both ways.

    concept inside zone | split zone; run to; surface.run >= 3; back not behind | none

Entries are parted by a semicolon and all must hold; values by a bar and one will do; conditions
of which any will do by the word "or". The words of the grid are read too: "run to him",
"surface 3 or more where the run goes", "no motion". A value or a name in quotes is taken as it
stands, so that every condition can be written.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from typing import Any

from gradecut.errors import SchemeError
from gradecut.hints import nearest
from gradecut.scheme._conditions import FactDraft, FactDrafts, Speech, read_condition
from gradecut.scheme._lines import LineMap
from gradecut.scheme._page import Fault, Node, Page, shown
from gradecut.scheme.editing._grid_words import (
    named_fact,
    plain_tokens,
    side_word,
    without_no,
    without_place,
)
from gradecut.scheme.editing._spelling import refusal
from gradecut.scheme.editing._written import Written
from gradecut.scheme.parts import Fact
from gradecut.scheme.scheme import Scheme

__all__ = ["read_condition_text", "read_names", "spell_condition", "spell_names"]

_ALWAYS = "always"
_ANY = "any"
_NAME = re.compile(r"[^\W\d][\w-]*(?:\.[^\W\d][\w-]*)?")
_NUMBER = re.compile(r"-?\d+")
_SPECIAL = re.compile(r",\s|,$|[|;·\"\\<>≥≤\x00-\x1f\x7f]|^\s|\s$|\s\s|[^\S ]")
_WORDS = frozenset({_ANY, "not", "or", "true", "false", "yes", "no", ""})
_QUOTED = re.compile(r'"((?:[^"\\]|\\.)*)"', re.DOTALL)
_TOKEN = re.compile(r'"(?:[^"\\]|\\.)*"|[;|]|>=|<=|≥|≤|[^\s;|"<>≥≤]+|[<>]', re.DOTALL)
_IN_QUOTES = re.compile(r'write "(\S+)" in quotes')
_LONGEST = 20_000


def spell_condition(when: Written) -> str:
    """Write a condition on one line.

    Parameters
    ----------
    when : dict or list of dict
        The condition as the file writes it.

    Returns
    -------
    str
        `read_condition_text` gives the same condition back.

    Examples
    --------
    >>> spell_condition({"concept": ["inside zone", "split zone"], "surface.run": {"min": 3}})
    'concept inside zone | split zone; surface.run >= 3'
    >>> spell_condition([{"motion": True}, {"back": {"not": "none"}}]), spell_condition({})
    ('motion yes or back not none', 'always')
    """
    tables = when if isinstance(when, list) else [when]
    return " or ".join(
        "; ".join(f"{_spell_name(name)} {_spell_test(test)}" for name, test in table.items())
        or _ALWAYS
        for table in tables
    )


def _spell_name(name: str) -> str:
    return name if _NAME.fullmatch(name) and name not in _WORDS else _quote(name)


def _quote(text: str) -> str:
    plain = text.replace("\\", "\\\\").replace('"', '\\"')
    return '"' + plain.replace("\n", "\\n").replace("\r", "\\r").replace("\t", "\\t") + '"'


def _spell_value(value: object) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    if not isinstance(value, str):
        return str(value)
    words = value.lower().split(" ")
    odd = _SPECIAL.search(value) or _NUMBER.fullmatch(value) or value.lower() in _WORDS
    return _quote(value) if odd or "or" in words or words[0] == "not" else value


def _spell_values(values: object) -> str:
    few = values if isinstance(values, list | tuple) else [values]
    return " | ".join(_spell_value(value) for value in few)


def _spell_test(test: object) -> str:
    if not isinstance(test, Mapping):
        return _spell_values(test)
    parts = []
    if "not" in test:
        parts.append(f"not {_spell_values(test['not'])}")
    if "min" in test:
        parts.append(f">= {test['min']}")
    if "max" in test:
        parts.append(f"<= {test['max']}")
    return " ".join(parts) or _ANY


def read_condition_text(
    text: str, scheme: Scheme, *, sided: bool | None, because: str = ""
) -> Written:
    """Read a condition from one line.

    Parameters
    ----------
    text : str
        As `spell_condition` writes it; empty or "always" always holds.
    scheme : Scheme
        Its facts.
    sided : bool or None
        For men with a side (to and away), without one (left and right), or both (neither).
    because : str
        Why those words are due, as the end of a sentence; empty: the men are such.

    Returns
    -------
    dict or list of dict
        The condition as the file writes it.

    Raises
    ------
    SchemeError
        With one sentence for each fault.
    """
    if len(text) > _LONGEST:
        raise refusal("this condition is far too long for one line", name="the condition")
    tokens = plain_tokens(_tokens(text), scheme.facts)
    tables = [_read_table(part, scheme.facts) for part in _parted(tokens, "or", of_words=True)]
    when: Written = tables[0] if len(tables) == 1 else tables
    _check(when, scheme, sided, because)
    return when


def _tokens(text: str) -> list[str]:
    found: list[str] = []
    at = 0
    for token in _TOKEN.finditer(text):
        if text[at : token.start()].strip():
            break
        found.append(token.group())
        at = token.end()
    if text[at:].strip():
        raise _fault('a quotation mark (") is open; close it')
    return found


def _parted(tokens: list[str], mark: str, *, of_words: bool = False) -> list[list[str]]:
    parts: list[list[str]] = [[]]
    for token in tokens:
        if (token.lower() if of_words else token) == mark:
            parts.append([])
        else:
            parts[-1].append(token)
    return parts


def _read_table(tokens: list[str], facts: Mapping[str, Fact]) -> dict[str, Any]:
    if not tokens or [token.lower() for token in tokens] == [_ALWAYS]:
        return {}
    table: dict[str, Any] = {}
    for part in _parted(tokens, ";"):
        if not part:
            continue
        name, rest = _entry(part, facts)
        if name in table:
            raise _fault(f"{shown(name)} stands twice; write its values with a bar between them")
        table[name] = _read_test(name, rest, _fact(name, facts))
    return table


def _entry(part: list[str], facts: Mapping[str, Fact]) -> tuple[str, list[str]]:
    """Part an entry into what it asks of, with its side, and what it asks."""
    denied = without_no(part, facts)
    if denied is not None and named_fact(part, facts) is None:
        return denied, ["no"]
    name, rest = _reference(part, facts)
    fact = facts.get(name)
    if fact is not None and fact.per_side:
        rest, where = without_place(rest)
        name = name if where is None else f"{name}.{_pointer(where, facts)}"
    if not rest and fact is not None and type(fact.values[0]) is bool:
        return name, ["yes"]
    return name, rest


def _pointer(where: str, facts: Mapping[str, Fact]) -> str:
    named = where.replace(" ", "_")
    return named if where not in facts and named in facts else where


def _fault(message: str) -> SchemeError:
    return refusal(message, name="the condition")


def _unquoted(token: str) -> str:
    found = _QUOTED.fullmatch(token)
    if found is None:
        return token
    signs = {"n": "\n", "r": "\r", "t": "\t"}
    return re.sub(
        r"\\(.)", lambda sign: signs.get(sign.group(1), sign.group(1)), found.group(1),
        flags=re.DOTALL,
    )  # fmt: skip


def _fact(name: str, facts: Mapping[str, Fact]) -> Fact | None:
    return facts.get(name) or facts.get(name.rpartition(".")[0])


def _reference(part: list[str], facts: Mapping[str, Fact]) -> tuple[str, list[str]]:
    """Part an entry into the reference it begins with and the rest."""
    first = _unquoted(part[0])
    quoted = part[0].startswith('"')
    # a name with spaces need not stand in quotes
    named = named_fact([first] if quoted else [_unquoted(token) for token in part], facts)
    if named is not None:
        name, rest = named
        return name, part[1:] if quoted else part[len(part) - len(rest) :]
    word = first.rpartition(".")[0] or first
    if any(word in fact.values for fact in facts.values() if word not in ("to", "away")):
        raise _fault(
            f"{shown(word)} is a value, not a fact; write the fact before it, "
            "and a bar ( | ) between values"
        )
    raise _fault(f"the scheme has no fact {shown(word)}; {nearest(word, facts)}")


_BOUNDS = {">=": "min", "≥": "min", "<=": "max", "≤": "max"}


def _read_test(name: str, tokens: list[str], fact: Fact | None) -> Any:
    head: list[str] = []
    bounds: dict[str, Any] = {}
    rest = list(tokens)
    while rest and rest[0] not in _BOUNDS:
        head.append(rest.pop(0))
    while rest:
        sign = rest.pop(0)
        if sign not in _BOUNDS or not rest or not _NUMBER.fullmatch(rest[0]) or len(rest[0]) > 18:
            raise _fault(f"after {sign} for {shown(name)} a whole number is missing")
        if _BOUNDS[sign] in bounds:
            raise _fault(f"{sign} stands twice for {shown(name)}")
        bounds[_BOUNDS[sign]] = int(rest.pop(0))
    if "<" in head or ">" in head:
        raise _fault(f"for {shown(name)} write >= or <=, with the number included")
    if head and head[0].lower() == "not":
        return {"not": _read_values(name, head[1:], fact), **bounds}
    if [token.lower() for token in head] == [_ANY] and not bounds:
        return {}
    if head and bounds:
        raise _fault(f"{shown(name)} is asked for a value or for >= and <=, not for both")
    return bounds or _read_values(name, head, fact)


def _read_values(name: str, tokens: list[str], fact: Fact | None) -> Any:
    values = [
        _read_value(name, piece, fact)
        for part in _parted(tokens, "|")
        for piece in _between_commas(part, fact)
    ]
    return values[0] if len(values) == 1 else values


def _between_commas(part: list[str], fact: Fact | None) -> list[list[str]]:
    """Part values between commas, as the grid writes them, where each of them is one."""
    if fact is None or not any(token.endswith(",") for token in part[:-1]):
        return [part]
    pieces: list[list[str]] = [[]]
    for token in part:
        pieces[-1].append(token.removesuffix(","))
        if token.endswith(","):
            pieces.append([])
    known = {str(value) for value in fact.values}
    plain = " ".join(part) not in known and all(
        " ".join(piece) in known or side_word(piece) for piece in pieces
    )
    return pieces if plain else [part]


def _read_value(name: str, tokens: list[str], fact: Fact | None) -> Any:
    if not tokens:
        raise _fault(f"a value for {shown(name)} is missing")
    word = " ".join(_unquoted(token) for token in tokens)
    if len(tokens) == 1 and tokens[0].startswith('"'):
        return word
    if fact is not None and fact.sided and word not in fact.values:
        word = side_word([_unquoted(token) for token in tokens]) or word
    kind = type(fact.values[0]) if fact is not None else str
    if kind is bool and word.lower() in ("yes", "true", "no", "false"):
        return word.lower() in ("yes", "true")
    if kind is int and _NUMBER.fullmatch(word) and len(word) <= 18:
        return int(word)
    return word


def spell_names(names: Iterable[str]) -> str:
    """Write some names with bars between them, as the values of a condition are written."""
    return _spell_values(list(names))


def read_names(text: str) -> tuple[str, ...]:
    """Read names with bars between them, as `spell_names` writes them.

    Raises
    ------
    SchemeError
        When a name is missing or a quotation mark is open.
    """
    if not text.strip():
        return ()
    parts = _parted(_tokens(text), "|")
    if not all(parts):
        raise _fault("a name is missing beside a bar ( | )")
    return tuple(" ".join(_unquoted(token) for token in part) for part in parts)


def _check(when: Written, scheme: Scheme, sided: bool | None, because: str) -> None:
    page = Page(LineMap(""))
    drafts = {
        fact.name: FactDraft(
            name=fact.name,
            values=fact.values,
            sided=fact.sided,
            per_side=fact.per_side,
            known=fact.known,
            may_lack=fact.applies is not None,
        )
        for fact in scheme.facts.values()
    }
    because = (
        because
        or {
            True: "these men have a side of their own",
            False: "this man has no side of his own",
            None: "some of these men have a side and some have none, so name none",
        }[sided]
    )
    speech = Speech(left_right=sided is False, to_away=sided is True, because=because)
    read_condition(Node(page, ("when",), when, ""), FactDrafts(drafts), speech)
    if page.faults:
        told = [_IN_QUOTES.sub(r"write \1", fault.message) for fault in page.faults]
        raise SchemeError("the condition", [Fault(line=0, message=said) for said in told])
