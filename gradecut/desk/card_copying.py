"""A camera card copied beside the window: its plays come one by one, and can be graded at once."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from gradecut.counting_words import counted
from gradecut.desk.desk import Desk
from gradecut.progress import CancelToken, Progress
from gradecut.records import SessionKind
from gradecut.workflows.card_adding import CardAdded
from gradecut.workflows.pairing import PairingAsked

__all__ = ["CardWanted", "copy_beside", "told_of_card"]

_FAULTS_TOLD = 3
"""A form has room for so many; the rest are told when the card is copied again."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CardWanted:
    """Which card goes where; as for ``add_card``."""

    card: str
    goal_folder: str
    session: str
    angle: str
    kind: SessionKind | None = None
    day: str = ""
    script: str | None = None
    damaged: bool = False


def copy_beside(
    desk: Desk,
    wanted: CardWanted,
    *,
    on_done: Callable[[CardAdded | PairingAsked], None],
    on_refused: Callable[[str], None],
    on_stopped: Callable[[str], None],
) -> None:
    """Copy a card and add its films while the coach grades those that are there.

    The films come through a second opening of the book, without an author: nobody did this
    by hand, and what the coach takes back is always something he did himself.

    Parameters
    ----------
    on_done : callable
        Gets what it came to; the pairing to look at where films of a further angle are
        copied and order alone does not tell whose they are.
    """
    told_first = False

    def tell_first() -> None:
        nonlocal told_first
        if not told_first:
            told_first = True
            shown = desk.film.plays.session
            there = shown is not None and shown.name.lower() == wanted.session.lower()
            how = "" if there else " (Ctrl+J goes there)"
            desk.say(
                f"{wanted.session}: the first play can be graded while the rest is copied{how}."
            )

    def changed(rows: frozenset[tuple[str, str]]) -> None:
        tables = frozenset(table for table, _ in rows)

        def show() -> None:
            desk.film.refresh()
            desk.book_changed.emit(tables)
            if "clips" in tables:
                tell_first()

        desk.jobs.tell(show)

    def work(progress: Progress, cancel: CancelToken) -> CardAdded | PairingAsked:
        from gradecut.book import open_book
        from gradecut.workflows.card_adding import add_card

        with open_book(desk.book.path) as beside:
            beside.on_change(changed)
            try:
                return add_card(
                    beside, wanted.card, wanted.goal_folder, session=wanted.session,
                    kind=wanted.kind, day=wanted.day, angle=wanted.angle, script=wanted.script,
                    damaged=wanted.damaged, progress=progress, cancel=cancel,
                )  # fmt: skip
            except PairingAsked as asked:
                return asked

    desk.jobs.start("Copying the card", work, on_done, on_refused, on_stopped)


def told_of_card(done: CardAdded, angle: str) -> str:
    """Say in a few sentences what a card came to: what is copied, added and left."""
    told = [done.copied.told()]
    if done.added is not None:
        added = done.added
        plays, films = counted(added.clips, "new play"), counted(added.angles, f"{angle} film")
        told.append(f"{added.session.name}: {plays}, {films}.")
        told += added.notes[:2]
    else:
        told += done.copied.notes[:2]
    more = len(done.faults) - _FAULTS_TOLD
    rest = [f"And {more} more."] if more > 0 else []
    return " ".join([*told, *done.faults[:_FAULTS_TOLD], *rest])
