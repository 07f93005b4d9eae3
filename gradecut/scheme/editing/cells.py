"""Cells and rows of the grid: what one man does on one condition of one tier."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from gradecut.scheme._page import shown
from gradecut.scheme.editing._draft import Draft
from gradecut.scheme.editing._keeping import kept
from gradecut.scheme.editing._rows import Rows
from gradecut.scheme.editing._spelling import refusal
from gradecut.scheme.editing._written import Written, condition_key

__all__ = [
    "change_when",
    "clear_fit",
    "drop_alignment",
    "move_row",
    "set_alignment",
    "set_fit",
]


def set_fit(
    text: str,
    *,
    man: str,
    tier: str,
    when: Written,
    fit: str,
    also: Sequence[str] = (),
    cue: str | None = None,
    id: str | None = None,
) -> str:
    """Say what a man owes on one row of the grid.

    A rule he has alone there is changed where it stands; from one he shares he is split off. He
    joins a rule of the same row that says the same for others, unless an id is asked for; else
    he gets a rule of his own, after the one he left or after his last in the tier. Rules of his
    that contradict each other on this row become one.

    Parameters
    ----------
    text : str
        A whole scheme file; it may have faults elsewhere.
    man, tier : str
        The position and the tier.
    when : dict or list of dict
        The condition as the file writes it; {} always holds.
    fit : str
        What he owes.
    also : sequence of str
        Fits graded as right too.
    cue : str or None
        What the coach says to him; None: nothing.
    id : str or None
        The id the rule is to have; None: it keeps its own, or gets the next like his others.

    Returns
    -------
    str
        The new text; comments, order and layout of all else are as they were.

    Raises
    ------
    SchemeError
        When the text is no TOML, or would have a fault it has not now.
    """
    draft = Draft(text)
    said = {"fit": fit, "also": list(also), "cue": cue}
    say_in_row(Rows(draft), man, tier, when, said, id=id)
    return kept(text, draft)


def clear_fit(text: str, *, man: str, tier: str, when: Written) -> str:
    """Take a man off one row of the grid; a rule without men left goes too.

    Parameters
    ----------
    text, man, tier, when
        As in `set_fit`.

    Raises
    ------
    SchemeError
        As in `set_fit`, and when he has no rule there.
    """
    draft = Draft(text)
    clear_in_row(Rows(draft), man, tier, when)
    return kept(text, draft)


def set_alignment(
    text: str,
    *,
    man: str,
    tier: str,
    when: Written,
    depth_yd: float,
    landmark: str,
    side: Any = None,
    tolerance_yd: float | None = None,
    eyes: str | None = None,
    id: str | None = None,
) -> str:
    """Say where a man lines up on one row of the grid, as `set_fit` does for his job.

    Parameters
    ----------
    text, man, tier, when, id
        As in `set_fit`; the condition names facts known before the snap only.
    depth_yd : float
        Yards from the line of scrimmage, negative is the offence's side.
    landmark : str
        Where across.
    side : str, mapping or None
        As the file writes it; None: no side.
    tolerance_yd : float or None
        Yards off that still count as right.
    eyes : str or None
        What he looks at.

    Raises
    ------
    SchemeError
        As in `set_fit`.
    """
    draft = Draft(text)
    said = {
        "depth_yd": depth_yd,
        "landmark": landmark,
        "side": side,
        "tolerance_yd": tolerance_yd,
        "eyes": eyes,
    }
    say_in_row(Rows(draft, "alignments"), man, tier, when, said, id=id)
    return kept(text, draft)


def drop_alignment(text: str, *, man: str, tier: str, when: Written) -> str:
    """Take a man's alignment off one row; one without men left goes too.

    Raises
    ------
    SchemeError
        As in `clear_fit`.
    """
    draft = Draft(text)
    clear_in_row(Rows(draft, "alignments"), man, tier, when)
    return kept(text, draft)


def change_when(
    text: str,
    *,
    tier: str,
    when: Written,
    new_when: Written,
    men: Sequence[str] | None = None,
    sections: Sequence[str] = ("rules",),
) -> str:
    """Change the condition of a row.

    Parameters
    ----------
    text, tier, when
        The row, as in `set_fit`.
    new_when : dict or list of dict
        The condition it is to have.
    men : sequence of str or None
        Only these men's rules; those they share with others are split. None: the whole row.
    sections : sequence of str
        "rules", "alignments" or both.

    Raises
    ------
    SchemeError
        As in `set_fit`, and when there is no such row.
    """
    draft = Draft(text)
    found = False
    for section in sections:
        rows = Rows(draft, section)
        rows.check(tier)
        for man in men or ():
            rows.check(man=man)
        for id_ in [rows.tables[place].get("id") for place in rows.in_row(tier, when)]:
            place = next(at for at in rows.in_row(tier, when) if rows.tables[at].get("id") == id_)
            at = place if men is None else _split_off(rows, place, men)
            if at is not None:
                rows.put(at, "when", new_when)
                found = True
    if not found:
        raise _no_row(tier)
    return kept(text, draft)


def move_row(
    text: str,
    *,
    tier: str,
    when: Written,
    to_tier: str | None = None,
    before: Written | None = None,
) -> str:
    """Move a row to another place of its tier, or to another tier.

    Parameters
    ----------
    text, tier, when
        The row, as in `set_fit`.
    to_tier : str or None
        The tier it goes to; None: it stays in its own.
    before : dict, list of dict or None
        The condition of the row, in the tier it goes to, that it shall stand before; None: it
        becomes the last of that tier.

    Raises
    ------
    SchemeError
        As in `set_fit`, and when there is no such row.
    """
    draft = Draft(text)
    rows = Rows(draft)
    goal = tier if to_tier is None else to_tier
    rows.check(tier)
    rows.check(goal)
    places = rows.in_row(tier, when)
    if not places:
        raise _no_row(tier)
    if before is not None and not rows.in_row(goal, before):
        raise _no_row(goal)
    if goal != tier:
        for place in places:
            spelled = goal != rows.tiers[0] or rows.tables[place].get("tier") is None
            rows.put(place, "tier", goal if spelled else None)
    movers, anchor = _movers(rows, goal, when, before)
    if movers:
        draft.move_tables("rules", movers, anchor)
    return kept(text, draft)


def _movers(
    rows: Rows, tier: str, when: Written, before: Written | None
) -> tuple[list[int], int | None]:
    """Give the few tables that have to move, and the one they go before (None: to the end).

    A row stands where the first of its rules stands; the others may stay with their men.
    """
    places = rows.in_row(tier, when)
    firsts: dict[str, int] = {}
    for place, table in enumerate(rows.tables):
        if rows.tier_of(table) == tier and place not in places:
            firsts.setdefault(condition_key(table.get("when", {})), place)
    if before is None:
        last = max(firsts.values(), default=-1)
        movers = [place for place in places if place < last]
        return movers, last + 1 if last + 1 < len(rows.tables) else None
    anchor = firsts.get(condition_key(before))
    if anchor is None:
        return [], None
    movers = [place for place in places if place < anchor] or places[:1]
    stands = movers == list(range(anchor - len(movers), anchor))
    return ([] if stands else movers), anchor


def say_in_row(
    rows: Rows,
    man: str,
    tier: str,
    when: Written,
    said: Mapping[str, Any],
    *,
    id: str | None = None,
) -> None:
    """Make one table of this row say this for a man, and no other of the row be for him."""
    rows.check(tier, man)
    his = rows.in_row(tier, when, man)
    rows.leave_all(his[1:], man)
    after = his[0] if his else None
    if after is not None:
        table = rows.tables[after]
        if _says(table, said) and id in (None, table.get("id")):
            return
        if len(set(rows.men_of(table))) == 1:
            for key, value in said.items():
                rows.put(after, key, value)
            if id is not None:
                rows.put(after, "id", id)
            return
        rows.leave(after, man)
    add_in_row(rows, man, tier, when, said, id=id, after=after)


def add_in_row(
    rows: Rows,
    man: str,
    tier: str,
    when: Written,
    said: Mapping[str, Any],
    *,
    id: str | None = None,
    after: int | None = None,
) -> None:
    """Let a man join the table of this row that says this for others, or give him his own."""
    rows.check(tier, man)
    for place in rows.in_row(tier, when):
        table = rows.tables[place]
        if _says(table, said) and id in (None, table.get("id")):
            rows.join(place, man)
            return
    name = rows.free_id(man) if id is None else id
    body = {"id": name, "for": [man], "tier": tier, "when": when, **said}
    rows.add(body, rows.place_for(man, tier) if after is None else after)


def clear_in_row(rows: Rows, man: str, tier: str, when: Written) -> None:
    """Take a man out of every table of a row."""
    rows.check(tier, man)
    his = rows.in_row(tier, when, man)
    if not his:
        raise refusal(f"{man} has nothing to clear on this row of the tier {shown(tier)}")
    rows.leave_all(his, man)


def _split_off(rows: Rows, place: int, men: Sequence[str]) -> int | None:
    """Give the place of a table that is for those of these men alone whom this table is for."""
    table = rows.tables[place]
    leaving = [man for man in rows.men_of(table) if man in men]
    if not leaving:
        return None
    if all(man in men for man in rows.men_of(table)):
        return place
    body = {**table, "id": rows.free_id(leaving[0]), "for": leaving}
    for man in leaving:
        rows.leave(place, man)
    rows.add({"tier": rows.tier_of(table), **body}, place)
    return place + 1


def _says(table: Mapping[str, Any], said: Mapping[str, Any]) -> bool:
    for key, value in said.items():
        there = table.get(key)
        if key == "also":
            if sorted(map(str, there or ())) != sorted(value or ()):
                return False
        elif there != value:
            return False
    return True


def _no_row(tier: str) -> Exception:
    return refusal(f"the tier {shown(tier)} has no row with this condition")
