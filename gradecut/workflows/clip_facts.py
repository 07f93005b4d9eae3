"""What a play is besides its look: typed once, and carried on until it changes."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from itertools import chain
from typing import Any

from gradecut.book import Book
from gradecut.records import Clip
from gradecut.workflows.periods import plays_before, plays_of_period

__all__ = ["CARRIED", "carried_clip_facts", "say_clip_facts"]

CARRIED = ("period", "tempo", "call", "unit")
"""What stays as it was typed for the plays that follow; the rest is each play's own."""
_TOLD_ON = (*CARRIED, "kind")
"""What can be said of all that is left of a period at once."""
_OF_A_PERIOD = ("tempo", "unit")


def carried_clip_facts(book: Book, clip: Clip) -> dict[str, Any]:
    """Return what a play takes over from the plays before it in its session and period.

    A value that a person typed stays until he types another one, to the end of the period.
    What the script told of one play is that play's alone; only where a play has no line of
    its own does it take over the tempo and the unit of the play before, scripted or not.

    Returns
    -------
    dict
        By the clip's own field names, of CARRIED; only what is not told of this play, and is
        told of an earlier one. Nothing of it is stored before he passes the play.
    """
    from gradecut.workflows.kept_scripts import told_by_scripts

    blank = [name for name in CARRIED if not getattr(clip, name)]
    if not blank or clip.order == 1:
        return {}
    carried: dict[str, Any] = {}
    of_scripts = told_by_scripts(book, clip.session_id)
    whole = ("period", *(_OF_A_PERIOD if clip.script_number is None else ()))
    for one in chain.from_iterable(plays_before(book, clip, off_film=True)):
        for name in blank:
            value = getattr(one, name)
            typed = name in whole or not _by_script(one, name, of_scripts)
            if value and typed and name not in carried:
                carried[name] = value
    return carried


def say_clip_facts(
    book: Book, clip: Clip, told: Mapping[str, Any], *, rest_of_period: bool = False
) -> int:
    """Keep what a person types of a play, in one act; return how many plays it changed.

    Parameters
    ----------
    clip : Clip
        As he saw it; what else was said of the play since then stays.
    told : mapping of the clip's own field names to values
        What is as he saw it is no word on anything.
    rest_of_period : bool
        Period, kind, tempo, call and unit are said of the plays after it in its period too,
        up to one where a person typed something else. What the script says gives way; of
        what was no play the period alone is said.
    """
    changed = {name: value for name, value in told.items() if getattr(clip, name) != value}
    if not changed and not rest_of_period:
        return 0
    onwards = {name: told[name] for name in _TOLD_ON if name in told}
    with book.act(f"say what play {clip.order} was") as act:
        # Something else may have been said of the play since the clip at hand was read.
        now = book.get(Clip, clip.id)
        following = plays_of_period(book, now)[1:] if rest_of_period else []
        plays = [replace(now, **changed)] if changed else []
        plays += _told_on(book, now, following, onwards)
        act.put(*plays)
    return len(plays)


def _told_on(
    book: Book, clip: Clip, following: Sequence[Clip], told: Mapping[str, Any]
) -> list[Clip]:
    """Say the same of the plays that follow, each word up to where another was typed."""
    from gradecut.workflows.kept_scripts import told_by_scripts
    from gradecut.workflows.script_cells import BLANK

    of_scripts = told_by_scripts(book, clip.session_id)
    open_words = dict(told)
    changed = []
    for one in following:
        # It lies in the period all the same: left out, it would part it in two.
        here = ["period"] if one.kind == "no play" else list(open_words)
        for name in [name for name in here if name in open_words]:
            usual = getattr(one, name) in (BLANK[name], getattr(clip, name), told[name])
            if not usual and not _by_script(one, name, of_scripts):
                del open_words[name]
        said = replace(one, **{name: open_words[name] for name in here if name in open_words})
        if said != one:
            changed.append(said)
    return changed


def _by_script(clip: Clip, name: str, told: Mapping[int, Mapping[str, object]]) -> bool:
    """Tell whether a value is the script's word; where no script was kept, all of them are."""
    if clip.script_number is None:
        return False
    line = told.get(clip.script_number)
    return line is None or line.get(name) == getattr(clip, name)
