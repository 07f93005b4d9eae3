"""Undo shows where: the play, and the man, that an act was done to."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction

from gradecut.book import Book
from gradecut.records import Act, Piece, Reel
from gradecut.workflows.act_places import place_of
from gradecut.workflows.counting import toggle_flag
from gradecut.workflows.judging import judge
from gradecut.workflows.moments import mark_moment, timeline_of
from gradecut.workflows.passing import pass_clip
from tests.workflows.small_week import clip_of, rep_of


def newest(book: Book) -> Act:
    """Return what was done last."""
    return book.history(1)[0]


def test_a_grade_is_one_mans(book: Book) -> None:
    """Its play and its rep; taken back, the same."""
    rep = rep_of(book, 2, "Keel")
    judge(book, rep)
    assert place_of(book, newest(book)) == (rep.clip_id, rep.id)
    assert place_of(book, book.undo()) == (rep.clip_id, rep.id)


def test_a_passed_play_is_the_plays(book: Book) -> None:
    """Several men of one play: the play, and no man."""
    clip = clip_of(book, 1)
    pass_clip(book, clip)
    assert place_of(book, newest(book)) == (clip.id, "")


def test_a_snap_is_found_by_its_angle(book: Book) -> None:
    """A moment of the play names an angle only."""
    clip = clip_of(book, 2)
    angle = timeline_of(book, clip.id).angles[0]
    mark_moment(book, angle, "snap", angle.start_pts)
    assert place_of(book, newest(book)) == (clip.id, "")


def test_several_plays_or_none_have_no_place(book: Book) -> None:
    """What was brought in for all plays at once, and a play that is gone."""
    places: list[Callable[[], object]] = [
        lambda: toggle_flag(book, clip_of(book, 1)),
        lambda: toggle_flag(book, clip_of(book, 2)),
    ]
    with book.act("flag two"):
        for place in places:
            place()
    assert place_of(book, newest(book)) is None
    book.undo()
    start = book.history(1_000)[-1]
    assert place_of(book, start) is None


def test_a_reel_is_seen_elsewhere(book: Book) -> None:
    """A piece lies on a play, but the Film page does not jump when one is put together."""
    clip = clip_of(book, 1)
    angle = timeline_of(book, clip.id).angles[0]
    reel = Reel(name="Fill A", author=book.author)
    with book.act("put a reel together") as act:
        act.put(reel)
        act.put(
            Piece(
                reel_id=reel.id,
                order=1,
                clip_id=clip.id,
                angle_id=angle.id,
                from_s=Fraction(0),
                to_s=Fraction(1),
            )
        )
    assert place_of(book, newest(book)) is None
