"""Marks on film are stored whole, told what they can't be, and set from play to play."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest

from gradecut.book import Book
from gradecut.errors import BookError
from gradecut.records import Angle, Mark, MarkKey, MarkKind, Player, Rep, StoredFilm
from gradecut.timebase import Pts
from gradecut.workflows.marking import add_mark, copy_mark, drop_mark, names_of_reps
from gradecut.workflows.moments import mark_moment
from gradecut.workflows.roster import told_apart
from tests.workflows.small_week import angle_of, clip_of, pts_of, rep_of, stored
from tests.workflows.test_carried_men import nobody


def ring_on(book: Book, play: int, frames: tuple[int, int], **other: object) -> Mark:
    """Make a ring on the end view of a play, not yet stored."""
    angle = angle_of(book, play)
    first, last = (pts_of(book, angle, frame) for frame in frames)
    made = Mark(angle_id=angle.id, kind="ring", points=((20, 10),), from_pts=first, to_pts=last)
    return replace(made, **other)  # type: ignore[arg-type]


def second_of(book: Book, angle: Angle, pts: Pts) -> Fraction:
    """Return when a timestamp is, in seconds of its film."""
    return book.get(StoredFilm, angle.film_id).time_of(pts)


@pytest.mark.parametrize(
    ("kind", "fewest"), [("arrow", 2), ("ruler", 2), ("path", 2), ("box", 2), ("lane", 3)]
)
def test_a_drawing_needs_its_points(book: Book, kind: MarkKind, fewest: int) -> None:
    """With one too few it is refused in a sentence; with enough it is kept."""
    points = tuple((float(at), 1.0) for at in range(fewest))
    with pytest.raises(BookError, match=f"An? {kind} needs {fewest} points"):
        add_mark(book, ring_on(book, 1, (40, 40), kind=kind, points=points[:-1]))
    add_mark(book, ring_on(book, 1, (40, 40), kind=kind, points=points))
    assert book.count(Mark) == 1


def test_a_drawing_carries_its_author_and_can_be_taken_away(book: Book) -> None:
    """Who drew it is known; taken away it is gone, and undo brings it back."""
    ring = add_mark(book, ring_on(book, 1, (40, 40)))
    assert ring.author == book.author
    drop_mark(book, ring)
    assert book.count(Mark) == 0
    book.undo()
    assert book.find(Mark) == [ring]


@pytest.mark.parametrize(
    ("change", "told"),
    [
        ({"colour": "mauve"}, "can't be mauve; choose one of: yellow"),
        ({"points": ((float("nan"), 1.0),)}, "lies nowhere on the film"),
        ({"from_pts": Pts(10**9)}, "would end before it begins"),
        ({"keys": (MarkKey(pts=Pts(9), by=(0, 0)),) * 2}, "two places on one frame"),
        ({"keys": (MarkKey(pts=Pts(9), by=(float("inf"), 0)),)}, "lies nowhere"),
    ],
)
def test_a_mark_that_cannot_be_painted_is_refused(
    book: Book, change: dict[str, object], told: str
) -> None:
    """One sentence, and nothing is stored."""
    before = stored(book)
    with pytest.raises(BookError, match=told):
        add_mark(book, ring_on(book, 1, (40, 40), **change))
    assert stored(book) == before


def test_a_copy_lies_as_far_from_the_next_plays_snap(book: Book) -> None:
    """Frames are counted in seconds from the snap, also where the films' rates differ.

    Play 1 has 30 frames a second, play 2 has 59.94: half a second before the snap is 15 frames
    of the one and 30 of the other. Arithmetic on the rates, not on our own output.
    """
    for play, frame in ((1, 60), (2, 150)):
        angle = angle_of(book, play)
        mark_moment(book, angle, "snap", pts_of(book, angle, frame))
    here, there = angle_of(book, 1), angle_of(book, 2)
    keys = tuple(MarkKey(pts=pts_of(book, here, at), by=(at / 10, 1)) for at in (50, 60, 75))
    drawn = add_mark(book, ring_on(book, 1, (45, 75), keys=keys, colour="yellow", text="here"))
    copied = copy_mark(book, drawn, clip_of(book, 2))
    assert copied.angle_id == there.id
    assert (copied.from_pts, copied.to_pts) == (pts_of(book, there, 120), pts_of(book, there, 180))
    assert [key.pts for key in copied.keys] == [pts_of(book, there, at) for at in (130, 150, 180)]
    assert [key.by for key in copied.keys] == [key.by for key in keys]
    assert (copied.points, copied.colour, copied.text) == (drawn.points, "yellow", "here")
    assert copied.id != drawn.id
    assert book.get(Mark, drawn.id) == drawn


def test_a_copy_belongs_to_the_man_of_the_same_position(book: Book) -> None:
    """Keel's ring becomes the ring of who plays Keel on that play."""
    for play in (1, 3):
        angle = angle_of(book, play)
        mark_moment(book, angle, "snap", pts_of(book, angle, 60))
    drawn = add_mark(book, ring_on(book, 1, (60, 60), rep_id=rep_of(book, 1, "Keel").id))
    copied = copy_mark(book, drawn, clip_of(book, 3))
    assert copied.rep_id == rep_of(book, 3, "Keel").id


def test_a_copy_belongs_to_the_man_who_stays_in_there(book: Book) -> None:
    """Nobody said who is in on play 2: his rep is made with the mark, and undone with it."""
    nobody(book, 2)
    for play in (1, 2):
        angle = angle_of(book, play)
        mark_moment(book, angle, "snap", pts_of(book, angle, 60))
    drawn = add_mark(book, ring_on(book, 1, (60, 60), rep_id=rep_of(book, 1, "Keel").id))
    copied = copy_mark(book, drawn, clip_of(book, 2))
    assert copied.rep_id == rep_of(book, 2, "Keel").id
    book.undo()
    assert book.find(Mark) == [drawn]
    assert not book.count(Rep, clip_id=clip_of(book, 2).id)


def test_a_copy_is_cut_at_the_plays_edges_or_refused(book: Book) -> None:
    """What is partly in that play is seen there; what lies wholly outside is refused."""
    for play, frame in ((1, 60), (4, 10)):
        angle = angle_of(book, play)
        mark_moment(book, angle, "snap", pts_of(book, angle, frame))
    there = angle_of(book, 4)
    partly = add_mark(book, ring_on(book, 1, (40, 70)))
    copied = copy_mark(book, partly, clip_of(book, 4))
    assert (copied.from_pts, copied.to_pts) == (there.start_pts, pts_of(book, there, 20))
    before = stored(book)
    with pytest.raises(BookError, match="outside that play"):
        copy_mark(
            book, replace(partly, to_pts=pts_of(book, angle_of(book, 1), 45)), clip_of(book, 4)
        )
    assert stored(book) == before


def test_a_copy_needs_both_snaps_and_the_same_view(book: Book) -> None:
    """Without a snap it would be a guess; another camera sees everything elsewhere."""
    drawn = add_mark(book, ring_on(book, 1, (60, 60)))
    with pytest.raises(BookError, match="end view of this play first"):
        copy_mark(book, drawn, clip_of(book, 3))
    mark_moment(book, angle_of(book, 1), "snap", pts_of(book, angle_of(book, 1), 60))
    with pytest.raises(BookError, match="end view of play 4 first"):
        copy_mark(book, drawn, clip_of(book, 4))
    side = angle_of(book, 1, "side")
    seen = add_mark(book, replace(drawn, angle_id=side.id))
    with pytest.raises(BookError, match="no side view"):
        copy_mark(book, seen, clip_of(book, 2))


def test_undo_takes_a_copy_back(book: Book) -> None:
    """A copy is one act of its own."""
    for play in (1, 3):
        angle = angle_of(book, play)
        mark_moment(book, angle, "snap", pts_of(book, angle, 60))
    drawn = add_mark(book, ring_on(book, 1, (60, 60)))
    copy_mark(book, drawn, clip_of(book, 3))
    book.undo()
    assert book.find(Mark) == [drawn]


def test_a_man_has_one_name_on_film(book: Book) -> None:
    """With a game number only he wears that in practice too, on a mark as on the stage."""
    rep = rep_of(book, 1, "Keel")
    man = replace(book.get(Player, rep.player_id), game_number="44", practice_number="")
    with book.act("number him") as act:
        act.put(man)
    assert names_of_reps(book, [rep.id]) == {rep.id: "Keel 44"}
    assert told_apart(man, book.find(Player)) == "44"
