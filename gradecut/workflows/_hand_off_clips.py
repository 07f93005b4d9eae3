"""What a play was, by a colleague's book and by this one: each word with who said it last.

Kind, tempo, call, yards and the like stand in the play's one row, which is nobody's own. Whose
word each of them is, and when he said it, is told by the journal.
"""

from __future__ import annotations

import json
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Literal

from gradecut.book import Book
from gradecut.book.schema import table_of
from gradecut.records import Change, Clip
from gradecut.workflows._hand_off_form import ClipWord, HandOff
from gradecut.workflows._hand_off_journal import Journal, stamp_of, taken_from
from gradecut.workflows.kept_scripts import told_by_scripts
from gradecut.workflows.script_cells import BLANK, CLIP_COLUMNS

__all__ = ["CLIP_NAMES", "ClipRow", "hold_clips", "scripts_moved", "words_of"]

CLIP_NAMES: Mapping[str, str] = {
    "script_number": "script number", "kind": "kind of play", "call": "our call",
    "unit": "unit opposite", "yards_gained": "yards gained",
    **{name: name.replace("_", " ") for name in CLIP_COLUMNS
       if name not in ("kind", "call", "unit", "yards_gained")},
}  # fmt: skip
"""Each word of a play that is handed over, as a coach calls it."""
_BLANK: Mapping[str, object] = {"script_number": None, **BLANK}


@dataclass(frozen=True, slots=True, kw_only=True)
class ClipRow:
    """One word on a play in which the two books differ.

    Attributes
    ----------
    standing : word
        As of other rows; "apart" where it is no word of his, so that it is told only.
    clip : Clip
        The play, as it stands here.
    his, here : value
    by : str
        Who said what stands here, where it is conflicting.
    """

    standing: Literal["new", "changed", "conflicting", "apart"]
    clip: Clip
    name: str
    his: Any
    here: Any
    by: str = ""

    @property
    def key(self) -> str:
        """What a person names it by when he chooses."""
        return f"{table_of(Clip)}:{self.clip.id}:{self.name}"


def words_of(
    book: Book, journal: Journal, clips: Sequence[Clip]
) -> dict[tuple[str, str], ClipWord]:
    """Return by (clip id, name) who said each word of some plays, and when.

    What nobody has touched since the play was made is not in it.
    """
    changes = journal.changes(table_of(Clip), [clip.id for clip in clips])
    scripts = {one: told_by_scripts(book, one) for one in {clip.session_id for clip in clips}}
    found: dict[tuple[str, str], ClipWord] = {}
    for clip in clips:
        read = [
            (change, _read(change.before), _read(change.after))
            for change in changes.get((table_of(Clip), clip.id), [])
        ]
        line = scripts[clip.session_id].get(clip.script_number or 0, {})
        for name in CLIP_NAMES:
            moved = {one.id: (one, old, new) for one, old, new in read if old[name] != new[name]}
            change = journal.standing([one for one, _, _ in moved.values()])
            if change is not None:
                told = name in line and line[name] == getattr(clip, name)
                found[clip.id, name] = _word(journal, *moved[change.id], told=told)
    return found


def _word(
    journal: Journal, change: Change, old: Mapping[str, Any], new: Mapping[str, Any], *, told: bool
) -> ClipWord:
    """Say whose a word is: a person's, or a script's that was only brought in.

    A script that a person moved along the plays is his word; what a play was made with is not.
    """
    act = journal.act_of(change)
    number, now = old["script_number"], new["script_number"]
    of_script = change.before is None or (number is None if number != now else told)
    by, stamp = taken_from(act.verb) or (act.author, "")
    return ClipWord(how="script" if of_script and not stamp else "typed", by=by, at=act.at,
                    taken=stamp)  # fmt: skip


def _read(row: str | None) -> Mapping[str, Any]:
    return {**_BLANK, **(json.loads(row) if row else {})}


def hold_clips(
    book: Book, told: HandOff, journal: Journal, clips: Mapping[str, Clip]
) -> list[ClipRow]:
    """Hold what his plays were against what they are here; alike words are not in it.

    Parameters
    ----------
    clips : mapping of his clip id to Clip
        The play here.
    """
    here_said = words_of(book, journal, list(clips.values()))
    found = []
    for his in told.of(Clip):
        here = clips.get(his.id)
        for name in CLIP_NAMES if here is not None else ():
            values = getattr(his, name), getattr(here, name)
            word = told.clip_words.get((his.id, name))
            if here is None or values[0] == values[1] or (word is None and _is_blank(name, his)):
                continue
            said = here_said.get((here.id, name))
            standing, by = _standing(told, word, said, blank=_is_blank(name, here))
            if standing == "changed" and values[1] in (None, ""):
                standing = "new"
            if standing:
                found.append(
                    ClipRow(standing=standing, clip=here, name=name, his=values[0],
                            here=values[1], by=by)
                )  # fmt: skip
    return found


def _standing(
    told: HandOff, word: ClipWord | None, here: ClipWord | None, *, blank: bool
) -> tuple[Literal["new", "changed", "conflicting", "apart", ""], str]:
    """Say how a word of his stands against what stands here; empty where his own is later."""
    if word is None:
        return "apart", ""
    if here is not None and here.by == told.grader and here.how == "typed":
        later = stamp_of(told.made_at) >= here.taken if here.taken else word.at > here.at
        return ("changed" if later else ""), ""
    if here is not None and here.how == "typed" and not (blank and word.how == "script"):
        return ("conflicting", here.by) if word.how == "typed" else ("apart", "")
    if word.how == "script" and not blank:
        return "apart", ""
    return "changed", ""


def _is_blank(name: str, clip: Clip) -> bool:
    return bool(getattr(clip, name) == _BLANK[name])


def scripts_moved(rows: Collection[ClipRow], theirs: Collection[str]) -> set[str]:
    """Return the plays that get another line of the script, so that its look goes with it."""
    coming = (row for row in rows if row.standing in ("new", "changed") or row.key in theirs)
    return {row.clip.id for row in coming if row.name == "script_number"}
