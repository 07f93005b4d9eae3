"""A scheme file read, with every fault at once."""

from __future__ import annotations

import hashlib
import re
import tomllib
from os import PathLike, fspath
from typing import Any

from gradecut.errors import LookError, SchemeError
from gradecut.scheme._duties import read_duties, read_impossible
from gradecut.scheme._facts import draft_facts, finish_facts
from gradecut.scheme._fits import read_fits
from gradecut.scheme._lines import DEEPEST, MOST_ENTRIES, LineMap, TooDeep, TooMany
from gradecut.scheme._men import read_men
from gradecut.scheme._page import Fault, Node, Page, shown
from gradecut.scheme._remembered import LastRead
from gradecut.scheme._rubric import read_rubric
from gradecut.scheme._rules import Ground, read_alignment, read_rule, refuse_repeats
from gradecut.scheme._ties import Ties, completion
from gradecut.scheme.parts import Fact, Impossible, Position
from gradecut.scheme.scheme import Scheme

__all__ = ["LARGEST_FILE", "load_scheme", "parse_scheme", "read_walked"]

LARGEST_FILE = 2_000_000
"""Most bytes a scheme file may have."""

_SECTIONS = (
    "scheme", "facts", "positions", "fits", "rules", "alignments", "impossible", "duties",
    "rubric",
)  # fmt: skip
_AT_LINE = re.compile(r"\s*\(at (?:line (\d+), column \d+|end of document)\)$")

_HALF = re.compile(r"[\ud800-\udfff]")  # half a character, which no text can be saved with
_NO_TEXT = "the file is not UTF-8 text; save it again as UTF-8"
_LONG_NUMBER = re.compile(r"[0-9_]{4301,}")  # more digits than Python reads
_LAST = LastRead[Scheme]()


def load_scheme(path: str | PathLike[str]) -> Scheme:
    """Read a scheme file.

    Parameters
    ----------
    path : path
        The file: TOML, UTF-8.

    Raises
    ------
    SchemeError
        With every fault of the file in `faults`, each with `line` (from 1; 0 when it is
        the whole file) and `message`.
    """
    try:
        with open(path, "rb") as file:
            raw = file.read(LARGEST_FILE + 1)
    except OSError as refused:
        reason = (refused.strerror or "it can't be read").lower()
        raise _single(path, 0, f"the file can't be read ({reason}); check where it lies") from None
    if len(raw) > LARGEST_FILE:
        raise _too_big(path)
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError as refused:
        line = raw.count(b"\n", 0, refused.start) + 1
        raise _single(path, line, _NO_TEXT) from None
    return parse_scheme(text, fspath(path))


def parse_scheme(text: str, name: str) -> Scheme:
    """Read a scheme from text that is kept elsewhere, such as in a book.

    Parameters
    ----------
    text : str
        A whole scheme file.
    name : str
        How an error names it.

    Raises
    ------
    SchemeError
        As in `load_scheme`.
    """
    found = _LAST.find(text)
    if found is not None:
        return found
    whole = _whole(text, name)
    lines, data = _parse(whole.replace("\r\n", "\n"), name)
    return _read(whole, lines, data, name)


def read_walked(text: str, lines: LineMap, data: dict[str, Any], name: str) -> Scheme:
    """Read a scheme from a text whose lines and data are known already.

    Parameters
    ----------
    text : str
        A whole scheme file.
    lines : LineMap
        Of this text, line ends as one line feed.
    data : dict
        What the text says, as tomllib gives it; it is not changed.
    name : str
        How an error names it.

    Raises
    ------
    SchemeError
        As in `load_scheme`.
    """
    found = _LAST.find(text)
    return _read(_whole(text, name), lines, data, name) if found is None else found


def _whole(text: str, name: str) -> str:
    """Give the text without its mark of Unicode; one too big, or no text, is refused."""
    if len(text) > LARGEST_FILE or len(text.encode("utf-8", "surrogatepass")) > LARGEST_FILE:
        raise _too_big(name)
    text = text.removeprefix("\ufeff")
    half = _HALF.search(text)
    if half is not None:
        line = text.count("\n", 0, half.start()) + 1
        raise _single(name, line, _NO_TEXT)
    return text


def _read(text: str, lines: LineMap, data: dict[str, Any], name: str) -> Scheme:
    page = Page(lines)
    scheme = _build(Node(page, (), data, ""), text)
    if scheme is None:
        raise SchemeError(name, page.faults)
    _LAST.keep(text, scheme)
    return scheme


def _single(path: str | PathLike[str], line: int, message: str) -> SchemeError:
    return SchemeError(path, (Fault(line=line, message=message),))


def _too_big(path: str | PathLike[str]) -> SchemeError:
    return _single(path, 0, "the file is over 2 MB, too big for a scheme")


def _parse(text: str, name: str) -> tuple[LineMap, dict[str, Any]]:
    try:
        lines = LineMap(text)
    except TooDeep as refused:
        told = f"tables and lists are nested more than {DEEPEST} deep"
        raise _single(name, refused.line, told) from None
    except TooMany as refused:
        told = f"the file has more than {MOST_ENTRIES:,} keys and values, too many for a scheme"
        raise _single(name, refused.line, told) from None
    try:
        return lines, tomllib.loads(text)
    except tomllib.TOMLDecodeError as refused:
        line, told = _toml_fault(str(refused), text, lines)
    except (ValueError, RecursionError):
        # A number too long for Python, or a nesting the walk over the lines could not follow.
        line, told = 1, "a value is too long or nested too deep"
        long = _LONG_NUMBER.search(text)
        if long is not None:
            line = text.count("\n", 0, long.start()) + 1
            told = "a number has too many digits"
    raise _single(name, line, f"the file is not TOML: {told}") from None


def _toml_fault(message: str, text: str, lines: LineMap) -> tuple[int, str]:
    found = _AT_LINE.search(message)
    line = text.count("\n") + 1
    if found is not None and found.group(1) is not None:
        line = int(found.group(1))
    told = _AT_LINE.sub("", message)
    told = f"{told[:1].lower()}{told[1:120]}"
    again = [repeat for repeat in lines.repeats if repeat <= line]
    if again and ("twice" in told or "overwrite" in told or "declare" in told):
        return again[-1], "a key or table stands here for the second time"
    return line, told


def _section(root: Node, key: str) -> Node | None:
    return root.child(key) if root.has(key) else None


def _named(root: Node, key: str) -> tuple[Node | None, bool]:
    """Give a section of names, and whether it is sound enough to call a name unknown."""
    section = _section(root, key)
    if section is None:
        return None, root.sound(key)
    tables = all(isinstance(node.value, dict) for node in root.misspelt(key))
    return (section, tables) if section.is_table() else (None, False)


def _misplaced(root: Node, key: str) -> list[str]:
    """Give the names that stand in a section whose own name is misspelt."""
    found = root.misspelt(key)
    return [name for node in found if isinstance(node.value, dict) for name in node.value]


def _list(root: Node, key: str, what: str) -> list[Node]:
    nodes = root.items(key)
    for place, node in enumerate(nodes):
        name = None
        if isinstance(node.value, dict):
            name = node.value.get("id", node.value.get("name"))
        node.place = f"{what} {shown(name) if isinstance(name, str) else place + 1}"
    return nodes


def _build(root: Node, text: str) -> Scheme | None:
    page = root.page
    root.only(_SECTIONS)
    name, version, tiers = _head(root)
    section, complete = _named(root, "facts")
    drafts = draft_facts(section, complete=complete)
    drafts.add_faulty(_misplaced(root, "facts"))
    facts = finish_facts(section, drafts)
    men_section, complete = _named(root, "positions")
    men = read_men(men_section, drafts, complete=complete)
    men.found = dict.fromkeys(_misplaced(root, "positions")) | men.found
    fits_section, complete = _named(root, "fits")
    fits = read_fits(fits_section, drafts, complete=complete)
    fits.found = dict.fromkeys(_misplaced(root, "fits")) | fits.found
    ground = Ground(drafts, men, fits, tiers)
    rule_nodes = _list(root, "rules", "rule")
    alignment_nodes = _list(root, "alignments", "alignment")
    rules = [read_rule(node, ground) for node in rule_nodes]
    alignments = [read_alignment(node, ground) for node in alignment_nodes]
    refuse_repeats(rule_nodes + alignment_nodes)
    barred_nodes = _list(root, "impossible", "impossible")
    impossible = [read_impossible(node, drafts) for node in barred_nodes]
    duties = read_duties(_list(root, "duties", "duty"), drafts)
    rubric_section = _section(root, "rubric")
    if rubric_section is not None:
        rubric_section.place = "rubric"
    rubric = read_rubric(
        rubric_section if rubric_section is None or rubric_section.is_table() else None
    )
    if page.count:
        return None
    positions = {key: man for key, man in men.found.items() if man is not None}
    entries = [entry for entry in impossible if entry is not None]
    references = _references(root, facts, positions)
    ties = Ties(facts, references, entries)
    if not _leaves_looks(ties, entries, facts, references, barred_nodes):
        return None
    return Scheme(
        name=name,
        version=version,
        text=text,
        sha256=hashlib.sha256(text.encode("utf-8")).hexdigest(),
        tiers=tiers or ("base",),
        facts=facts,
        positions=positions,
        fits={key: fit for key, fit in fits.found.items() if fit is not None},
        rules=[rule for rule in rules if rule is not None],
        alignments=[item for item in alignments if item is not None],
        impossible=entries,
        duties=duties,
        rubric=rubric,
        ties=ties,
    )


def _head(root: Node) -> tuple[str, str, tuple[str, ...] | None]:
    head = _section(root, "scheme")
    if head is None:
        return "", "", ("base",) if root.sound("scheme") else None
    if not head.is_table():
        return "", "", None
    head.place = "scheme"
    head.only(("name", "version", "tiers"))
    before = root.page.count
    tiers = tuple(word.value for word in head.names("tiers", filled=True))
    faulty = root.page.count > before and not tiers
    name, version = head.name("name") or "", head.text("version") or ""
    if faulty or not head.sound("tiers") or not root.sound("scheme"):
        return name, version, None
    return name, version, tiers or ("base",)


def _references(
    root: Node, facts: dict[str, Fact], positions: dict[str, Position]
) -> tuple[str, ...]:
    page = root.page
    placed = [(page.line(("facts", fact.name)), fact.references) for fact in facts.values()]
    placed += [
        (page.line(("positions", man.name)), (f"side.{man.name}",))
        for man in positions.values()
        if man.side == "as aligned"
    ]
    placed.sort(key=lambda place: place[0])
    return tuple(reference for _, references in placed for reference in references)


def _leaves_looks(
    ties: Ties,
    entries: list[Impossible],
    facts: dict[str, Fact],
    references: tuple[str, ...],
    nodes: list[Node],
) -> bool:
    """Tell whether any look is left; the fault stands at the entry that takes the last one."""
    if _any_look(ties):
        return True
    few, many = 0, len(entries)  # with `few` entries a look is left, with `many` none is
    while many - few > 1:
        middle = (few + many) // 2
        if _any_look(Ties(facts, references, entries[:middle])):
            few = middle
        else:
            many = middle
    nodes[many - 1].child("when").fault("with this entry no look is left that could be")
    return False


def _any_look(ties: Ties) -> bool:
    ways = ties.ways({})
    try:
        _, members, tied = ties.groups(ways)
    except LookError:  # an entry that always holds
        return False
    try:
        return all(
            completion(references, ways, bound) is not None
            for references, bound in zip(members, tied, strict=True)
        )
    except LookError:  # the search was broken off: nothing is proven, so nothing is refused
        return True
