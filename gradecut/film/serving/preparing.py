"""What to prepare next, so that no key has to wait."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Protocol

from gradecut.film.serving.watched import RUN_IN, ClipPlace, Watched

if TYPE_CHECKING:
    from gradecut.film.indexing.frame_index import FrameIndex

__all__ = ["Have", "Job", "jobs"]

_COVERED_BEHIND = 90
"""Frames behind the playhead that can be shown at once: three seconds of a held key."""

_TRUE_BEHIND = 20
_TRUE_AHEAD = 6
_LOOK_AHEAD = 30
"""A gap so many frames ahead is filled where a decoder would have to go back to its key."""

_COPIES_BEHIND = 1800
_COPIES_AHEAD = 900

(
    _OPEN, _ENTRY, _ENTRIES_NEXT, _GOAL, _COVER, _BEHIND, _AHEAD, _ENTRIES, _COPIES, _COPIES_NEXT
) = range(10)  # fmt: skip

_NEXT = 4
"""Into so many clips he may go on one after another, before anything else was prepared."""


class Have(Protocol):
    """What there is already, by film and frame."""

    def index(self, path: str) -> FrameIndex | None:
        """Return a film's index; None while it was not opened."""

    def picture(self, path: str, number: int) -> bool:
        """Whether a decoded picture is kept."""

    def copy(self, path: str, number: int) -> bool:
        """Whether a small copy is kept."""

    def room_for_copy(self, path: str, number: int) -> bool:
        """Whether a small copy more would stay."""

    def room_for_picture(self, path: str, number: int) -> bool:
        """Whether a decoded picture more would stay."""

    def stands_before(self, path: str, number: int) -> bool:
        """Whether a decoder stands so that a frame is the next it gives."""

    def is_lost(self, path: str, number: int) -> bool:
        """Whether a frame can't be decoded."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Job:
    """One thing to prepare.

    Attributes
    ----------
    urgency : int
        The least is done first.
    path : str
    number : int
        The frame to decode to, everything from its key on comes by; -1 only opens the film.
    copies : bool
        Small copies are wanted: of all that comes by, not just of what is not kept.
    """

    urgency: int
    path: str
    number: int
    copies: bool = False

    def goes_on_as(self, other: Job, group_of: Callable[[str, int], int]) -> bool:
        """Whether going on with this is right when ``other`` is what is wanted now."""
        if other.path == self.path and group_of(*other.place) == group_of(*self.place):
            return True
        # To go on to the end of the group costs less than to come back to it.
        return self.copies and other.copies and other.urgency >= self.urgency

    @property
    def lasting(self) -> bool:
        """Whether it stays what it is when the playhead moves."""
        return self.copies or self.number < 0

    @property
    def may_not_wait(self) -> bool:
        """Whether it is done also while the foreground works."""
        return self.urgency <= _ENTRIES_NEXT

    @property
    def place(self) -> tuple[str, int]:
        """Film and frame."""
        return self.path, self.number


def jobs(watched: Watched, have: Have, *, at_rest: bool) -> Iterator[Job]:
    """Yield what is worth preparing, the most urgent first; only the first is meant.

    While the playhead moves, pictures behind it are not decoded for their own sake where
    small copies can be shown instead.
    """
    clips = [clip for clip in watched.clips if have.index(clip.path) is not None]
    for clip in watched.clips:
        if clip not in clips:
            yield Job(urgency=_OPEN, path=clip.path, number=-1)
    following = watched.following
    # Before all that the playhead wants anew with every frame while it plays: he may go on at once.
    if following is not None:
        if have.index(following.path) is None:
            yield Job(urgency=_OPEN, path=following.path, number=-1)
        else:
            yield from _entry(following, have)
    yield from _entries(watched.entries[:_NEXT], have, _ENTRIES_NEXT)
    yield from _goals(watched.goals, have)
    for clip in clips:
        yield from _cover(clip, have)
    for clip in clips:
        if at_rest:
            yield from _goals(watched.goals_at_rest, have)
            yield from _true_behind(clip, have)
        yield from _true_ahead(clip, have)
    yield from _entries(watched.entries[_NEXT:], have, _ENTRIES)
    for clip in clips:
        yield from _copies(clip, have, _COPIES)
    if following is not None and have.index(following.path) is not None:
        yield from _copies(following, have, _COPIES_NEXT)


def _there(have: Have, path: str, number: int) -> bool:
    return have.picture(path, number) or have.is_lost(path, number)


def _entry(clip: ClipPlace, have: Have) -> Iterator[Job]:
    """Decode the first picture of the next clip, and the few after it that it runs on with."""
    for number in range(clip.at, min(clip.last, clip.at + RUN_IN) + 1):
        if not _there(have, clip.path, number):
            yield Job(urgency=_ENTRY, path=clip.path, number=number)
            return


def _entries(entries: Sequence[tuple[str, int]], have: Have, urgency: int) -> Iterator[Job]:
    """Make small copies of where other clips are entered: a jump to one shows it at once."""
    for path, number in entries:
        missing = not have.copy(path, number) and not have.is_lost(path, number)
        if missing and have.room_for_copy(path, number):
            yield Job(urgency=urgency, path=path, number=number, copies=True)


def _goals(goals: Sequence[tuple[str, int]], have: Have) -> Iterator[Job]:
    """Decode what one key leads to; a film that was not opened yet is opened for it."""
    for path, number in goals:
        if have.index(path) is None:
            yield Job(urgency=_GOAL, path=path, number=-1)
        elif not _there(have, path, number):
            yield Job(urgency=_GOAL, path=path, number=number)


def _cover(clip: ClipPlace, have: Have) -> Iterator[Job]:
    """Fill the nearest gap behind in which nothing at all could be shown."""
    path = clip.path
    for number in range(clip.at - 1, max(clip.first, clip.at - _COVERED_BEHIND) - 1, -1):
        if not (have.copy(path, number) or _there(have, path, number)):
            yield Job(urgency=_COVER, path=path, number=number)
            return


def _true_behind(clip: ClipPlace, have: Have) -> Iterator[Job]:
    for number in range(clip.at - 1, max(clip.first, clip.at - _TRUE_BEHIND) - 1, -1):
        if not _there(have, clip.path, number):
            yield Job(urgency=_BEHIND, path=clip.path, number=number)
            return


def _true_ahead(clip: ClipPlace, have: Have) -> Iterator[Job]:
    """Decode a little ahead where the true picture is what is shown."""
    if not _there(have, clip.path, clip.at):
        return
    for number in range(clip.at + 1, min(clip.last, clip.at + _TRUE_AHEAD) + 1):
        if not _there(have, clip.path, number):
            yield Job(urgency=_AHEAD, path=clip.path, number=number)
            return
    for number in range(clip.at + _TRUE_AHEAD + 1, min(clip.last, clip.at + _LOOK_AHEAD) + 1):
        if not _there(have, clip.path, number):
            far = not have.stands_before(clip.path, number)
            if far and have.room_for_picture(clip.path, number):
                yield Job(urgency=_AHEAD, path=clip.path, number=number)
            return


def _copies(clip: ClipPlace, have: Have, urgency: int) -> Iterator[Job]:
    """Make the nearest small copy that is missing, behind first, then ahead."""
    path = clip.path
    behind = range(min(clip.at, clip.last), max(clip.first, clip.at - _COPIES_BEHIND) - 1, -1)
    ahead = range(clip.at + 1, min(clip.last, clip.at + _COPIES_AHEAD) + 1)
    for number in _missing(path, behind, have):
        yield Job(urgency=urgency, path=path, number=number, copies=True)
        break
    index = have.index(path)
    for number in _missing(path, ahead, have):
        if index is not None and not have.picture(path, number):
            same = [one for one in ahead if index.key_of[one] == index.key_of[number]]
            number = max(same)  # noqa: PLW2901  # to the end of the group in one go
        yield Job(urgency=urgency, path=path, number=number, copies=True)
        break


def _missing(path: str, numbers: range, have: Have) -> Iterator[int]:
    for number in numbers:
        if not have.copy(path, number) and not have.is_lost(path, number):
            if have.room_for_copy(path, number):
                yield number
            return
