"""What is counted beside the grades: events of a rep, and flags for tomorrow's meeting."""

from __future__ import annotations

from collections.abc import Sequence

from gradecut.book import Book
from gradecut.errors import GradecutError
from gradecut.hints import nearest
from gradecut.records import Clip, Event, Flag, Rep, Rubric
from gradecut.workflows.booking import scheme_in_force

__all__ = ["add_event", "drop_event", "set_events", "toggle_flag"]


def add_event(book: Book, rep: Rep, name: str) -> Event:
    """Count something beside the grade.

    Raises
    ------
    GradecutError
        When the rubric does not list it.
    """
    scheme = scheme_in_force(book)
    events = scheme.rubric.events if scheme else Rubric().events
    if name not in events:
        raise GradecutError(f"“{name}” is no event of this rubric; {nearest(name, events)}")
    event = Event(rep_id=rep.id, name=name, author=book.author)
    with book.act(f"count a {name}") as act:
        act.put(event)
    return event


def set_events(book: Book, rep: Rep, names: Sequence[str]) -> None:
    """Count exactly these events for a rep, in the place of what its author counted before.

    Raises
    ------
    GradecutError
        When the rubric does not list one.
    """
    with book.act(f"count what {rep.position} did") as act:
        act.drop_all(book.find(Event, rep_id=rep.id, author=book.author))
        for name in names:
            add_event(book, rep, name)


def drop_event(book: Book, rep: Rep, name: str) -> None:
    """Take the newest count of an event back."""
    mine = book.find(Event, rep_id=rep.id, name=name, author=book.author)
    if mine:
        with book.act(f"take a {name} back") as act:
            act.drop(Event, mine[-1].id)


def toggle_flag(book: Book, clip: Clip, rep: Rep | None = None) -> bool:
    """Flag a clip, or one rep of it, for tomorrow's meeting, or take the flag off.

    Returns
    -------
    bool
        Whether it is flagged now.
    """
    rep_id = rep.id if rep else None
    old = book.find(Flag, clip_id=clip.id, rep_id=rep_id, author=book.author)
    with book.act("take the flag off" if old else "flag for tomorrow") as act:
        act.drop_all(old)
        if not old:
            act.put(Flag(clip_id=clip.id, rep_id=rep_id, author=book.author))
    return not old
