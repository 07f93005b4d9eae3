"""A rep as one line of a list: play, owed, did, and how it came out."""

from __future__ import annotations

from dataclasses import dataclass

from gradecut.records import RepLine
from gradecut.reports.wording import did_words, owed_words, play_words, result_words

__all__ = ["RepRow", "rep_row"]


@dataclass(frozen=True, slots=True, kw_only=True)
class RepRow:
    """What a list says of a rep.

    Attributes
    ----------
    play : str
        "play 7", with its session where several are listed.
    short_play : str
        "play 7" and nothing more.
    man : str
        Position and last name.
    result : str
        With its sign: "✗ wrong".
    missed : bool
        Came out half or wrong.
    beside : str
        Cause, whether it was graded at speed only, and whether the grade is stale.
    """

    clip_id: str
    rep_id: str
    play: str
    short_play: str
    man: str
    owed: str
    did: str
    result: str
    missed: bool
    beside: str


def rep_row(line: RepLine, *, with_session: bool = False) -> RepRow:
    """Write one rep as a line of a list."""
    grade = line.grade
    beside = [grade.cause, "at speed" if grade.how == "passed" else ""] if grade else []
    if line.stale:
        beside.append("stale: look or rule has changed")
    if line.flagged:
        beside.append("flagged")
    session = f"{line.session.name}, " if with_session else ""
    return RepRow(
        clip_id=line.clip.id,
        rep_id=line.rep.id,
        play=f"{session}{play_words(line)}",
        short_play=f"play {line.clip.order}",
        man=f"{line.rep.position} {line.player.short_name}",
        owed=owed_words(line),
        did=did_words(grade),
        result=result_words(grade),
        missed=grade is not None and grade.missed,
        beside=" · ".join(part for part in beside if part),
    )
