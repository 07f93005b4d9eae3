"""What a book still needs before a play can be graded, in the order a coach would bring it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from gradecut.book import Book
from gradecut.counting_words import counted
from gradecut.records import Clip, Player, Session
from gradecut.workflows.booking import scheme_in_force

__all__ = ["FirstStep", "first_steps", "title_words"]

StepKind = Literal["film", "rules", "roster"]


@dataclass(frozen=True, slots=True, kw_only=True)
class FirstStep:
    """One thing a book needs.

    Attributes
    ----------
    kind : str
    done : bool
        It is there already.
    title, told : str
        What it is, and what it is good for or what is there of it.
    does : str
        What its button says.
    key : str
        The key that brings it, as it stands on a keyboard.
    """

    kind: StepKind
    done: bool
    title: str
    told: str
    does: str
    key: str

    @property
    def words(self) -> str:
        """Say it in one sentence."""
        return f"{self.title}: {'done' if self.done else 'to do'}. {self.told}"


def title_words(book: Book) -> str:
    """Say what is missing on the stage of a book without a play that can be shown."""
    sessions = book.find(Session)
    if not sessions:
        return "No film in this book yet"
    if not book.find(Clip):
        return f"{sessions[-1].name} has no plays yet"
    return "No play in this session"


def first_steps(book: Book) -> tuple[FirstStep, ...]:
    """Return film, rules and roster, each with what is there of it."""
    return (_film(book), _rules(book), _roster(book))


def _film(book: Book) -> FirstStep:
    plays = len(book.find(Clip))
    told = (
        f"{counted(plays, 'play')} in other sessions; Ctrl+J goes there"
        if plays
        else "A folder of plays, a camera card or one long recording; drop it on the window"
    )
    return FirstStep(
        kind="film", done=False, title="Film of a practice", told=f"{told}.", does="Add film …",
        key="Ctrl+Shift+A",
    )  # fmt: skip


def _rules(book: Book) -> FirstStep:
    scheme = scheme_in_force(book)
    if scheme is None:
        told = "Optional: without rules you say yourself what each man owed."
        return FirstStep(kind="rules", done=False, title="Rules: who owes what", told=told,
                         does="To the rules …", key="F2")  # fmt: skip
    graded = sum(position.graded for position in scheme.positions.values())
    return FirstStep(
        kind="rules", done=True, title="Rules: who owes what",
        told=f"{scheme.name}, {counted(graded, 'graded place')}.", does="Look at them", key="F2",
    )  # fmt: skip


def _roster(book: Book) -> FirstStep:
    players = len(book.find(Player))
    if not players:
        told = "Names the men on each play; a CSV with a column “name”."
        return FirstStep(kind="roster", done=False, title="Roster", told=told,
                         does="Bring in a roster …", key="Ctrl+R")  # fmt: skip
    return FirstStep(
        kind="roster", done=True, title="Roster", told=f"{counted(players, 'player')}.",
        does="Bring in more …", key="Ctrl+R",
    )  # fmt: skip
