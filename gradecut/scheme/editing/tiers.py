"""The tiers of a scheme file, and its version.

A rule that names no tier is in the lowest. Where an edit puts another tier lowest, the tier is
written at such rules, so that none of them changes its tier unseen.
"""

from __future__ import annotations

from gradecut.hints import nearest
from gradecut.scheme._lines import Path
from gradecut.scheme._page import shown
from gradecut.scheme.editing._draft import Draft
from gradecut.scheme.editing._keeping import kept
from gradecut.scheme.editing._rows import Rows, tiers_of
from gradecut.scheme.editing._spelling import refusal
from gradecut.scheme.editing._uses import tell_uses

__all__ = ["add_tier", "drop_tier", "move_tier", "rename_tier", "set_version"]

_HEAD = ("name", "version", "tiers")
_LIST: Path = ("scheme", "tiers")
_SECTIONS = ("rules", "alignments")


def add_tier(text: str, *, tier: str, place: int | None = None) -> str:
    """Add a tier.

    Parameters
    ----------
    text : str
        A whole scheme file.
    tier : str
        Its name, which must be new.
    place : int or None
        How many tiers shall be below it; None: it becomes the highest.

    Raises
    ------
    SchemeError
        When the name is taken, or the text would have a fault it has not now.
    """
    draft = Draft(text)
    tiers = tiers_of(draft)
    _free(tiers, tier)
    _arrange(draft, _with(tiers, tier, place))
    return kept(text, draft)


def move_tier(text: str, *, tier: str, place: int) -> str:
    """Move a tier among the others.

    Parameters
    ----------
    text, tier
        The file and the tier.
    place : int
        How many tiers shall be below it.

    Raises
    ------
    SchemeError
        When there is no such tier.
    """
    draft = Draft(text)
    tiers = tiers_of(draft)
    _known(tiers, tier)
    _arrange(draft, _with([other for other in tiers if other != tier], tier, place))
    return kept(text, draft)


def rename_tier(text: str, *, tier: str, new: str) -> str:
    """Give a tier another name, in the list of tiers and in every rule and alignment.

    Raises
    ------
    SchemeError
        When there is no such tier, or the new name is taken.
    """
    draft = Draft(text)
    tiers = tiers_of(draft)
    _known(tiers, tier)
    if new != tier:
        _free(tiers, new)
    if draft.get(_LIST) is None:
        _arrange(draft, [new])
    else:
        draft.replace({(*_LIST, draft.get(_LIST).index(tier)): new})
    draft.replace(dict.fromkeys(_written_at(draft, tier), new))
    return kept(text, draft, renamed=(tier, new))


def drop_tier(text: str, *, tier: str, with_uses: bool = False) -> str:
    """Drop a tier.

    Parameters
    ----------
    text, tier
        The file and the tier.
    with_uses : bool
        Drop its rules and alignments too.

    Raises
    ------
    SchemeError
        When there is no such tier, it is the only one, or there are still rules in it.
    """
    draft = Draft(text)
    tiers = tiers_of(draft)
    _known(tiers, tier)
    if len(tiers) == 1:
        raise refusal(f"{shown(tier)} is the only tier; a scheme has one at least")
    uses: list[Path] = [
        (section, place)
        for section in _SECTIONS
        for place, table in enumerate(Rows(draft, section).tables)
        if Rows(draft, section).tier_of(table) == tier
    ]
    if uses and not with_uses:
        raise refusal(f"the tier {shown(tier)} still holds {tell_uses(draft, uses)}")
    for section in _SECTIONS:
        places = [int(path[1]) for path in uses if path[0] == section]
        if places:
            draft.drop_tables(section, places)
    _arrange(draft, [other for other in tiers if other != tier])
    return kept(text, draft)


def set_version(text: str, *, version: str, name: str | None = None) -> str:
    """Write the scheme's version, and its name where one is given.

    Raises
    ------
    SchemeError
        When the text is no TOML.
    """
    draft = Draft(text)
    _ensure_head(draft)
    if name is not None:
        draft.put(("scheme", "name"), name, _HEAD)
    draft.put(("scheme", "version"), version, _HEAD)
    return kept(text, draft)


def _with(tiers: list[str], tier: str, place: int | None) -> list[str]:
    at = len(tiers) if place is None else max(0, min(place, len(tiers)))
    return [*tiers[:at], tier, *tiers[at:]]


def _known(tiers: list[str], tier: str) -> None:
    if tier not in tiers:
        raise refusal(f"the scheme has no tier {shown(tier)}; {nearest(tier, tiers)}")


def _free(tiers: list[str], tier: str) -> None:
    if not tier.strip():
        raise refusal("a tier needs a name")
    if tier in tiers:
        raise refusal(f"there is a tier {shown(tier)} already; choose another name")


def _written_at(draft: Draft, tier: str) -> list[Path]:
    return [
        (section, place, "tier")
        for section in _SECTIONS
        for place, table in enumerate(Rows(draft, section).tables)
        if table.get("tier") == tier
    ]


def _arrange(draft: Draft, tiers: list[str]) -> None:
    """Write the list of tiers, and the tier of rules that would silently change theirs."""
    lowest = tiers_of(draft)[0]
    if tiers[0] != lowest and lowest in tiers:
        for section in _SECTIONS:
            rows = Rows(draft, section)
            bare = [at for at, table in enumerate(rows.tables) if table and "tier" not in table]
            draft.put_new([(section, at, "tier") for at in bare], lowest, rows.keys)
    _ensure_head(draft)
    draft.put(_LIST, tiers, _HEAD)


def _ensure_head(draft: Draft) -> None:
    if "scheme" not in draft.data:
        draft.add_named("scheme", "", {})
    elif not isinstance(draft.data["scheme"], dict):
        raise refusal("scheme has to be a table before anything in it can be changed")
