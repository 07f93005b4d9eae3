from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any, cast

import numpy as np
import pytest

from gradecut.film.indexing.frame_index import FrameIndex
from gradecut.film.serving.preparing import Job, jobs
from gradecut.film.serving.watched import ClipPlace, Watched

GROUP = 30
COUNT = 600


class Grouped:
    """As much of an index as planning looks at: a key every thirty frames."""

    key_of = np.arange(COUNT) // GROUP


@dataclass
class Shelf:
    """What is there, as a test sets it up."""

    pictures: set[tuple[str, int]] = field(default_factory=set)
    copies: set[tuple[str, int]] = field(default_factory=set)
    lost: set[tuple[str, int]] = field(default_factory=set)
    standing: set[tuple[str, int]] = field(default_factory=set)
    unopened: set[str] = field(default_factory=set)
    room: bool = True

    def index(self, path: str) -> FrameIndex | None:
        """Return the index of every film but the unopened."""
        return None if path in self.unopened else cast(Any, Grouped())

    def picture(self, path: str, number: int) -> bool:
        """Whether there is a picture."""
        return (path, number) in self.pictures

    def copy(self, path: str, number: int) -> bool:
        """Whether there is a copy."""
        return (path, number) in self.copies

    def room_for_copy(self, _path: str, _number: int) -> bool:
        """Whether copies still fit."""
        return self.room

    def room_for_picture(self, _path: str, _number: int) -> bool:
        """Whether pictures still fit."""
        return self.room

    def stands_before(self, path: str, number: int) -> bool:
        """Whether a decoder stands there."""
        return (path, number) in self.standing

    def is_lost(self, path: str, number: int) -> bool:
        """Whether a frame is lost."""
        return (path, number) in self.lost


@pytest.fixture
def shelf() -> Shelf:
    """Give a shelf with nothing on it."""
    return Shelf()


def on_stage(at: int, first: int = 0, last: int = COUNT - 1) -> Watched:
    """One clip on stage."""
    return Watched().with_clip(ClipPlace(path="end.mp4", first=first, last=last, at=at))


def first_of(watched: Watched, shelf: Shelf, *, at_rest: bool = True) -> Job | None:
    """Return the most urgent job."""
    return next(jobs(watched, shelf, at_rest=at_rest), None)


def frames(numbers: range, path: str = "end.mp4") -> set[tuple[str, int]]:
    """Name frames of a film, the one on stage unless another is named."""
    return {(path, number) for number in numbers}


def test_the_nearest_gap_behind_comes_first(shelf: Shelf) -> None:
    """With the group in hand decoded, the one before it is fetched, up to the gap."""
    shelf.pictures = frames(range(90, 104))
    job = first_of(on_stage(103), shelf)
    assert job is not None
    assert (job.path, job.number, job.copies) == ("end.mp4", 89, False)


def test_a_lost_frame_leaves_no_gap(shelf: Shelf) -> None:
    """What can't be decoded is not tried for again and again."""
    shelf.pictures = frames(range(90, 110))
    shelf.lost = frames(range(89, 90))
    job = first_of(on_stage(103), shelf)
    assert job is not None
    assert job.number == 88


def test_small_copies_behind_will_do_while_the_playhead_moves(shelf: Shelf) -> None:
    """True pictures behind are decoded when it rests, not while a key is held."""
    shelf.copies = frames(range(104))
    resting = first_of(on_stage(103), shelf, at_rest=True)
    moving = first_of(on_stage(103), shelf, at_rest=False)
    assert resting is not None
    assert (resting.number, resting.copies) == (102, False)
    assert moving is not None
    assert moving.copies


def test_a_little_is_decoded_ahead(shelf: Shelf) -> None:
    """Frames right ahead follow once those behind are there."""
    shelf.pictures = frames(range(104))
    job = first_of(on_stage(103), shelf)
    assert job is not None
    assert (job.number, job.copies) == (104, False)


def test_a_gap_ahead_is_filled_before_the_playhead_gets_there(shelf: Shelf) -> None:
    """Where seen frames end some way ahead, a decoder is brought there in time, once."""
    shelf.pictures = frames(range(120))
    job = first_of(on_stage(103), shelf)
    assert job is not None
    assert (job.number, job.copies) == (120, False)
    shelf.standing = frames(range(120, 121))
    job = first_of(on_stage(103), shelf)
    assert job is not None
    assert job.copies


def test_the_next_clips_first_picture_comes_before_copies(shelf: Shelf) -> None:
    """The clip that follows is opened, its first pictures are decoded, then copies made."""
    shelf.pictures = frames(range(60, 120))
    watched = on_stage(103, first=60, last=119).with_following(
        ClipPlace(path="next.mp4", first=0, last=99, at=40)
    )
    shelf.unopened = {"next.mp4"}
    opened = first_of(watched, shelf)
    assert opened is not None
    assert (opened.path, opened.number) == ("next.mp4", -1)
    shelf.unopened = set()
    entry = first_of(watched, shelf)
    assert entry is not None
    assert (entry.path, entry.number) == ("next.mp4", 40)
    shelf.pictures |= frames(range(40, 47), "next.mp4")
    copy = first_of(watched, shelf)
    assert copy is not None
    assert (copy.path, copy.number, copy.copies) == ("end.mp4", 103, True)


def test_the_next_clip_comes_before_what_the_playhead_wants_anew(shelf: Shelf) -> None:
    """While it plays, pictures ahead are wanted with every frame; he may go on at any of them."""
    shelf.pictures = frames(range(60, 104))
    watched = on_stage(103, first=60, last=299).with_following(
        ClipPlace(path="next.mp4", first=0, last=99, at=40)
    )
    entry = first_of(watched, shelf)
    assert entry is not None
    assert (entry.path, entry.number) == ("next.mp4", 40)


def test_copies_are_made_behind_first_then_ahead_then_of_the_next_clip(shelf: Shelf) -> None:
    """Order of the copies; ahead, a whole group in one go."""
    shelf.pictures = frames(range(60, 120))
    shelf.standing = frames(range(120, 121))
    shelf.copies = frames(range(104))
    watched = on_stage(103, first=60, last=299).with_following(
        ClipPlace(path="next.mp4", first=0, last=99, at=40)
    )
    shelf.pictures |= frames(range(40, 47), "next.mp4")
    kept = first_of(watched, shelf)
    assert kept is not None
    assert (kept.number, kept.copies) == (104, True)
    shelf.copies |= frames(range(120))
    ahead = first_of(watched, shelf)
    assert ahead is not None
    assert (ahead.number, ahead.copies) == (149, True)
    shelf.copies |= frames(range(300))
    following = first_of(watched, shelf)
    assert following is not None
    assert (following.path, following.copies) == ("next.mp4", True)


def test_nothing_is_made_that_would_not_stay(shelf: Shelf) -> None:
    """When no more copies fit, the background rests."""
    shelf.pictures = frames(range(COUNT))
    shelf.room = False
    assert first_of(on_stage(103), shelf) is None


def test_work_goes_on_in_the_same_group() -> None:
    """A step does not throw away a group half decoded; a jump does."""

    def group_of(_path: str, number: int) -> int:
        return number // GROUP

    job = Job(urgency=1, path="end.mp4", number=89)
    assert job.goes_on_as(Job(urgency=1, path="end.mp4", number=70), group_of)
    assert not job.goes_on_as(Job(urgency=1, path="end.mp4", number=400), group_of)
    assert not job.goes_on_as(Job(urgency=1, path="side.mp4", number=89), group_of)


def test_what_one_key_leads_to_is_decoded_once_the_next_clip_can_begin(shelf: Shelf) -> None:
    """First the next clip's beginning, then the snap, then what lies round the playhead."""
    following = ClipPlace(path="next.mp4", first=0, last=90, at=30)
    watched = on_stage(103).with_following(following).with_goals((("end.mp4", 200),), ())
    for number in range(30, 37):
        job = first_of(watched, shelf)
        assert job is not None
        assert (job.place, job.may_not_wait) == (("next.mp4", number), True)
        shelf.pictures.add(("next.mp4", number))
    job = first_of(watched, shelf)
    assert job is not None
    assert (job.place, job.may_not_wait) == (("end.mp4", 200), False)
    shelf.pictures.add(("end.mp4", 200))
    job = first_of(watched, shelf)
    assert job is not None
    assert job.number < 103


def test_the_other_angles_same_moment_is_decoded_once_the_playhead_stands(shelf: Shelf) -> None:
    """While it moves, the moment is another with every frame."""
    shelf.copies = frames(range(COUNT))
    shelf.pictures = frames(range(90, 110))
    watched = on_stage(103).with_goals((), (("side.mp4", 55),))
    moving, standing = (first_of(watched, shelf, at_rest=at_rest) for at_rest in (False, True))
    assert moving is None or moving.path == "end.mp4"
    assert standing is not None
    assert standing.place == ("side.mp4", 55)


def test_a_film_that_one_key_leads_to_is_opened(shelf: Shelf) -> None:
    """Another angle's film may not have been looked at yet."""
    shelf.unopened = {"side.mp4"}
    job = first_of(on_stage(0).with_goals((("side.mp4", 55),), ()), shelf)
    assert job is not None
    assert job.place == ("side.mp4", -1)


def test_where_other_clips_are_entered_comes_before_copies_of_the_whole_clip(shelf: Shelf) -> None:
    """Once what a key on this clip may ask for is there; each once, a lost one never."""
    shelf.pictures = frames(range(134))
    shelf.copies = frames(range(800, 808))
    later = [("end.mp4", number) for number in (*range(800, 808), 700, 500, 600)]
    watched = on_stage(103).with_entries(tuple(later))
    shelf.lost = frames(range(700, 701))
    job = first_of(watched, shelf)
    assert job is not None
    assert (job.number, job.copies, job.may_not_wait) == (500, True, False)
    shelf.copies |= frames(range(500, 501))
    job = first_of(watched, shelf)
    assert job is not None
    assert (job.number, job.copies) == (600, True)
    shelf.copies |= frames(range(600, 601))
    job = first_of(watched, shelf)
    assert job is not None
    assert job.number < 500


def test_a_gap_near_the_playhead_comes_before_where_other_clips_are_entered(shelf: Shelf) -> None:
    """What he may step to next is not kept waiting for plays he may never turn to."""
    later = tuple(("end.mp4", number) for number in range(700, 709))
    shelf.copies = frames(range(700, 708))
    job = first_of(on_stage(103).with_entries(later), shelf)
    assert job is not None
    assert (job.number, job.copies) == (102, False)


def test_the_next_clips_beginnings_come_before_all_else_and_do_not_wait(shelf: Shelf) -> None:
    """Whoever goes on again and again sees each play, also while the film runs."""
    later = tuple(("end.mp4", number) for number in (700, 800))
    watched = on_stage(103).with_entries(later).with_goals((("end.mp4", 300),), ())
    job = first_of(watched, shelf)
    assert job is not None
    assert (job.number, job.copies, job.may_not_wait) == (700, True, True)
