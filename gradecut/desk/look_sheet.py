"""The picture of a play's look as it goes on paper: title, picture, facts, men."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from gradecut.desk.men_drawn import did_words
from gradecut.drawing import seen_from
from gradecut.records.picture import LookPicture

if TYPE_CHECKING:
    from gradecut.desk.clip_state import Man
    from gradecut.desk.film_desk import FilmDesk

__all__ = ["LookSheet", "SheetMan", "read_sheet"]


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetMan:
    """One man's row: who, what he owed, did, and why."""

    who: str
    owed: str
    did: str
    cause: str
    note: str


@dataclass(frozen=True, slots=True, kw_only=True)
class LookSheet:
    """A play on one page.

    Attributes
    ----------
    title, under : str
        The play, and the session it is of.
    picture : LookPicture
        As it is shown, without the letters of keys.
    unseen : str
        Facts film has not confirmed, with where each was taken from; empty for none.
    foot : str
        Where it is seen from, whose grades they are.
    file_name : str
        A name for it as a file, without folder.
    """

    title: str
    under: str
    picture: LookPicture
    unseen: str
    men: tuple[SheetMan, ...]
    foot: str
    file_name: str


def read_sheet(desk: FilmDesk, title: str, under: str) -> LookSheet | None:
    """Gather the page of the play shown; None without a play.

    Parameters
    ----------
    title, under : str
        As the page tells them: "Play 6  power right", "Tue 6 Oct · Inside run · script 6".
    """
    state, picture = desk.state, desk.picture()
    if state is None or picture is None:
        return None
    unseen = [f"{fact.words} ({fact.source})" for fact in picture.facts if fact.seen == "told"]
    return LookSheet(
        title=" ".join(title.split()),
        under=under,
        picture=replace(picture, facts=tuple(replace(fact, letter="") for fact in picture.facts)),
        unseen=f"Not seen on film yet: {', '.join(unseen)}." if unseen else "",
        men=tuple(_row(man) for man in state.men),
        foot=f"Seen from {seen_from(picture.turn)} · graded by {desk.book.author}",
        file_name=f"look of play {state.clip.order}.pdf",
    )


def _row(man: Man) -> SheetMan:
    sign, told = did_words(man)
    side = f" {man.owes_side}" if man.owes_side else ""
    return SheetMan(
        who=man.who,
        owed=f"{man.owes}{side}" if man.owes else ("open" if man.to_grade else "no run fit"),
        did=f"{sign} {told}".strip(),
        cause=man.grade.cause if man.grade else "",
        note=man.grade.note if man.grade else "",
    )
