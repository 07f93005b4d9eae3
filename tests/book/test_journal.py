"""The journal is read by row: who did what to it, also where it is gone."""

from __future__ import annotations

from gradecut.book import Book, table_of
from gradecut.records import Clip, Flag, Session


def fill(book: Book) -> tuple[Clip, Flag]:
    """Put a play in, change it, and flag it."""
    session = Session(name="Tuesday")
    clip = Clip(session_id=session.id, order=1)
    flag = Flag(clip_id=clip.id, author="Coach Alder")
    with book.act("add") as act:
        act.put(session, clip)
    with book.act("flag") as act:
        act.put(flag)
    return clip, flag


def test_acts_come_in_order_each_with_its_changes(book: Book) -> None:
    """Only the rows asked for, the oldest act first."""
    clip, flag = fill(book)
    both = {(table_of(Clip), clip.id), (table_of(Flag), flag.id)}
    found = book.journal(both)
    assert [(act.verb, [one.row_id for one in changes]) for act, changes in found] == [
        ("add", [clip.id]),
        ("flag", [flag.id]),
    ]
    assert book.journal([]) == []


def test_what_is_gone_is_found_by_what_it_spoke_of(book: Book) -> None:
    """A flag taken off has no row any more; its play still leads to both its acts."""
    clip, flag = fill(book)
    assert book.journal([], about=[clip.id]) == []
    with book.act("take the flag off") as act:
        act.drop(Flag, flag.id)
    found = book.journal([], about=[clip.id])
    assert [act.verb for act, _ in found] == ["flag", "take the flag off"]


def test_many_rows_are_read_together(book: Book) -> None:
    """More rows than one statement takes: one act, all its changes in order."""
    session = Session(name="Tuesday")
    clips = [Clip(session_id=session.id, order=order) for order in range(1, 451)]
    with book.act("add") as act:
        act.put(session, *clips)
    ((act_done, changes),) = book.journal([(table_of(Clip), clip.id) for clip in clips])
    assert act_done.verb == "add"
    assert [change.row_id for change in changes] == [clip.id for clip in clips]


def test_undo_goes_past_what_is_named(book: Book) -> None:
    """Acts named are left alone, and the one before is taken back."""
    fill(book)
    newest = book.can_undo()
    assert newest is not None
    first = book.can_undo(past=[newest.id])
    assert first is not None
    assert (newest.verb, first.verb) == ("flag", "add")
    with book.act("another") as act:
        act.put(Session(name="Wednesday"))
    another = book.can_undo()
    assert another is not None
    assert book.undo(past=[another.id]).verb == "take back “flag”"
    assert book.find(Flag) == []
    assert book.count(Session) == 2
