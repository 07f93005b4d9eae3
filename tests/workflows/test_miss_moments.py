"""Where the film stops to show how a man fitted: told by what is recorded, the surest first."""

from __future__ import annotations

from dataclasses import replace

import pytest

from gradecut.book import Book
from gradecut.records import FilmFile, Mark, MarkKey, Rep
from gradecut.workflows.films import paths_of_films
from gradecut.workflows.found_snaps import FoundSnaps
from gradecut.workflows.miss_moments import (
    MissMoment,
    frame_words,
    marks_of_frame,
    miss_moment,
    where_drawn,
)
from gradecut.workflows.moments import mark_moment, timeline_of
from tests.workflows.small_week import angle_of, pts_of, rep_of

SNAP = 40


@pytest.fixture
def rep(book: Book) -> Rep:
    """Give Keel's rep on play 1, of which only the snap is marked, on the end film."""
    angle = angle_of(book, 1)
    mark_moment(book, angle, "snap", pts_of(book, angle, SNAP))
    return rep_of(book, 1, "Keel")


def chosen(book: Book, rep: Rep) -> MissMoment:
    """Choose for a rep whose film is here."""
    line = timeline_of(book, rep.clip_id)
    marks = book.find(Mark, angle_id=[angle.id for angle in line.angles])
    found = miss_moment(rep, line, marks, paths_of_films(book, list(line.films)), FoundSnaps())
    assert found is not None
    return found


def frame_of(book: Book, rep: Rep) -> int:
    """Return the frame that is chosen, from 0 in its film."""
    found = chosen(book, rep)
    told = frame_words(timeline_of(book, rep.clip_id), found.angle, found.pts)
    return int(told.split()[1])


def draw(book: Book, rep: Rep | None, kind: str, first: int, last: int) -> None:
    """Draw a mark over some frames of play 1, on a man or on nobody."""
    angle = angle_of(book, 1)
    with book.act("draw") as act:
        act.put(
            Mark(
                angle_id=angle.id, kind=kind, points=((5, 5), (9, 9)),  # type: ignore[arg-type]
                rep_id=rep.id if rep else None,
                from_pts=pts_of(book, angle, first), to_pts=pts_of(book, angle, last),
            )
        )  # fmt: skip


def test_the_surest_thing_that_is_marked_chooses_the_frame(book: Book, rep: Rep) -> None:
    """After the snap, then after his first step, his mark, the frame he goes, his contact."""
    angle = angle_of(book, 1)
    assert frame_of(book, rep) == SNAP + 45
    assert chosen(book, rep).why.startswith("1.5 s after the snap")
    mark_moment(book, angle, "first step", pts_of(book, angle, 48), rep)
    assert frame_of(book, rep) == 78
    assert chosen(book, rep).why.startswith("1 s after his first step")
    draw(book, rep, "ring", 60, 70)
    assert (frame_of(book, rep), chosen(book, rep).why) == (65, "the ring drawn on him")
    mark_moment(book, angle, "go", pts_of(book, angle, 55), rep)
    assert (frame_of(book, rep), chosen(book, rep).why) == (55, "he goes")
    mark_moment(book, angle, "contact", pts_of(book, angle, 80), rep)
    assert (frame_of(book, rep), chosen(book, rep).why) == (80, "contact")


def test_what_is_drawn_at_the_snap_shows_how_he_stood(book: Book, rep: Rep) -> None:
    """Neither that nor a bracket, which says who he is, chooses the frame."""
    draw(book, rep, "ring", SNAP, SNAP)
    draw(book, rep, "bracket", 60, 90)
    assert frame_of(book, rep) == SNAP + 45


def test_what_is_drawn_on_nobody_chooses_the_frame_where_nothing_is_drawn_on_him(
    book: Book, rep: Rep
) -> None:
    """A lane at the miss is what the coach wants seen; his own ring is nearer."""
    draw(book, rep_of(book, 1, "Bow"), "ring", 84, 86)
    draw(book, rep, "bracket", 60, 90)
    draw(book, None, "lane", 50, 54)
    assert (frame_of(book, rep), chosen(book, rep).why) == (52, "the lane drawn on this play")
    draw(book, rep, "ring", 60, 70)
    assert (frame_of(book, rep), chosen(book, rep).why) == (65, "the ring drawn on him")


def test_what_is_drawn_on_nobody_is_shown_as_drawn(book: Book, rep: Rep) -> None:
    """Where the still does not show it, and nothing is drawn on the man himself."""
    angle = angle_of(book, 1)
    draw(book, None, "text", 30, 50)
    marks = book.find(Mark)
    assert where_drawn(marks, rep, pts_of(book, angle, 85)) == pts_of(book, angle, 40)
    assert where_drawn(marks, rep, pts_of(book, angle, 45)) is None
    draw(book, rep, "ring", 60, 70)
    assert where_drawn(book.find(Mark), rep, pts_of(book, angle, 85)) == pts_of(book, angle, 65)


def test_without_a_snap_the_middle_of_the_play_is_told_as_that(book: Book) -> None:
    """Grey frames with a number on them tell no motion, so no snap is found either."""
    rep = rep_of(book, 1, "Keel")
    assert chosen(book, rep).why == (
        "the middle of the play: no snap is marked, and none was found"
    )
    assert frame_of(book, rep) == 74


def test_contact_on_a_film_that_is_away_is_shown_on_the_one_beside_it(book: Book, rep: Rep) -> None:
    """The same moment of the play, a frame apart at most; without any film there is none."""
    side = angle_of(book, 1, "side")
    mark_moment(book, side, "snap", pts_of(book, side, 50))
    mark_moment(book, side, "contact", pts_of(book, side, 95), rep)
    (file,) = book.find(FilmFile, film_id=side.film_id)
    with book.act("lose it") as act:
        act.drop(FilmFile, file.id)
    found = chosen(book, rep)
    assert (found.angle.name, found.why) == ("end", "contact")
    assert frame_of(book, rep) == SNAP + 45
    line = timeline_of(book, rep.clip_id)
    assert miss_moment(rep, line, [], {}, FoundSnaps()) is None


def test_frames_are_told_as_on_the_stage(book: Book, rep: Rep) -> None:
    """The film's own number, then frames and seconds from the snap, before it with a minus sign."""
    line, angle = timeline_of(book, rep.clip_id), angle_of(book, 1)
    told = [frame_words(line, angle, pts_of(book, angle, frame)) for frame in (40, 46, 37)]
    assert told == [
        "frame 40 · snap",
        "frame 46 · snap +6 · +0.200 s",
        "frame 37 · snap −3 · −0.100 s",
    ]


def test_another_mans_marks_are_not_on_his_still(book: Book, rep: Rep) -> None:
    """His own and nobody's are, where their frames cover it."""
    angle, other = angle_of(book, 1), rep_of(book, 1, "Bow")
    draw(book, rep, "arrow", 60, 70)
    draw(book, other, "arrow", 60, 70)
    marks = book.find(Mark, angle_id=angle.id)
    assert [one.rep_id for one in marks_of_frame(marks, rep, angle, pts_of(book, angle, 65))] == [
        rep.id
    ]
    assert marks_of_frame(marks, rep, angle, pts_of(book, angle, 75)) == ()


def test_as_drawn_is_the_frame_it_was_drawn_on(book: Book, rep: Rep) -> None:
    """A mark lies around the frame it was drawn on; one that goes along is shown where it was set.

    Its first frame, half a second before, shows film on which nothing is to be seen yet.
    """
    angle = angle_of(book, 1)
    draw(book, rep, "ring", 29, 59)
    (mark,) = book.find(Mark)
    away = pts_of(book, angle, 85)
    assert where_drawn([mark], rep, away) == pts_of(book, angle, 44)
    keys = tuple(MarkKey(pts=pts_of(book, angle, at), by=(0.0, 0.0)) for at in (54, 58))
    assert where_drawn([replace(mark, keys=keys)], rep, away) == pts_of(book, angle, 54)
    cut = replace(mark, keys=keys, to_pts=pts_of(book, angle, 50))
    assert where_drawn([cut], rep, away) == pts_of(book, angle, 50)
    assert where_drawn([mark], rep, pts_of(book, angle, 50)) is None
