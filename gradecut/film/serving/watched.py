"""What is looked at just now: the playheads, the clips on stage and the one that follows."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace

from gradecut.film.decoding.frame_cache import Rank, weighted_distance

__all__ = ["ClipPlace", "Watched"]

_ONE_KEY_AWAY, _ON_STAGE, _FOLLOWING, _ELSEWHERE = range(4)

RUN_IN = 6
"""So many frames after the one a clip is entered at are as near as that one: it may run at once."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ClipPlace:
    """A clip and where it stands.

    Attributes
    ----------
    path : str
        Its film.
    first, last : int
        Its frames in the film, both in it.
    at : int
        The playhead, or the frame the clip will be entered at.
    """

    path: str
    first: int
    last: int
    at: int

    def __contains__(self, number: int) -> bool:
        return self.first <= number <= self.last

    def is_of(self, other: ClipPlace) -> bool:
        """Whether both are the same clip, wherever they stand."""
        return (self.path, self.first, self.last) == (other.path, other.first, other.last)


@dataclass(frozen=True, slots=True, kw_only=True)
class Watched:
    """A moment's state of what is looked at; replaced whole, never changed.

    Attributes
    ----------
    shown : mapping of str to (str, int)
        Film and frame last asked for, by lane.
    clips : tuple of ClipPlace
        On stage; the one that was moved in last comes first.
    following : ClipPlace or None
        The clip that comes next.
    goals : tuple of (str, int)
        Film and frame that one key leads to, the likeliest first.
    goals_at_rest : tuple of (str, int)
        The same, of the frame the playhead stands at: wanted once it stands.
    entries : tuple of (str, int)
        Film and frame where other clips are entered, the likeliest first: a small copy of each
        is wanted.
    """

    shown: Mapping[str, tuple[str, int]] = field(default_factory=dict)
    clips: tuple[ClipPlace, ...] = ()
    following: ClipPlace | None = None
    goals: tuple[tuple[str, int], ...] = ()
    goals_at_rest: tuple[tuple[str, int], ...] = ()
    entries: tuple[tuple[str, int], ...] = ()
    _entered: frozenset[tuple[str, int]] = frozenset()

    def playheads(self, path: str) -> list[int]:
        """Return where a film was last asked for."""
        return [at for film, at in self.shown.values() if film == path]

    @property
    def paths(self) -> frozenset[str]:
        """The films looked at now, and those one key leads to."""
        following = (self.following.path,) if self.following else ()
        goals = (path for path, _ in (*self.goals, *self.goals_at_rest))
        shown = (path for path, _ in self.shown.values())
        return frozenset((*shown, *(clip.path for clip in self.clips), *following, *goals))

    def rank_of_picture(self, path: str, number: int) -> Rank:
        """Return how far a decoded picture is from use.

        What one key leads to is nearest, the next clip's beginning above all, then the films on
        stage, each frame by its distance from the playhead, then the film that follows, then
        the rest.
        """
        following = self.following
        if following and path == following.path and 0 <= number - following.at <= RUN_IN:
            return (_ONE_KEY_AWAY, number - following.at)
        if (path, number) in self.goals or (path, number) in self.goals_at_rest:
            return (_ONE_KEY_AWAY, RUN_IN)
        places = self.playheads(path)
        places = places or [clip.at for clip in self.clips if clip.path == path]
        if places:
            return (_ON_STAGE, min(weighted_distance(number, at) for at in places))
        if following and path == following.path:
            return (_FOLLOWING, weighted_distance(number, following.at))
        return (_ELSEWHERE, 0)

    def rank_of_copy(self, path: str, number: int) -> Rank:
        """Return how far a small copy is from use.

        Where other clips are entered is nearest, then clips on stage, the next one, the rest.
        """
        if (path, number) in self._entered:
            return (_ONE_KEY_AWAY, 0)
        for clip in self.clips:
            if path == clip.path and number in clip:
                return (_ON_STAGE, weighted_distance(number, clip.at))
        following = self.following
        if following and path == following.path and number in following:
            return (_FOLLOWING, weighted_distance(number, following.at))
        return (_ELSEWHERE, 0)

    def shows(self, path: str, number: int) -> bool:
        """Whether a frame is in a clip on stage or the next one, or some clip is entered at it."""
        return self.rank_of_copy(path, number)[0] != _ELSEWHERE

    def with_clip(self, clip: ClipPlace) -> Watched:
        """Return this with a clip moved, or put on stage beside one still asked for."""
        others = (one for one in self.clips if not one.is_of(clip) and self._is_shown(one))
        return replace(self, clips=(clip, *others))

    def with_shown(self, shown: Mapping[str, tuple[str, int]]) -> Watched:
        """Return this with other frames asked for; clips no longer asked for leave the stage."""
        asked = Watched(shown=shown)
        clips = tuple(one for one in self.clips if asked._is_shown(one))
        return replace(self, shown=shown, clips=clips)

    def with_following(self, following: ClipPlace) -> Watched:
        """Return this with another clip to come next."""
        return replace(self, following=following)

    def with_goals(
        self, goals: tuple[tuple[str, int], ...], at_rest: tuple[tuple[str, int], ...]
    ) -> Watched:
        """Return this with other frames that one key leads to."""
        return replace(self, goals=goals, goals_at_rest=at_rest)

    def with_entries(self, entries: tuple[tuple[str, int], ...]) -> Watched:
        """Return this with other frames where clips are entered."""
        return replace(self, entries=entries, _entered=frozenset(entries))

    def _is_shown(self, clip: ClipPlace) -> bool:
        return any(path == clip.path and at in clip for path, at in self.shown.values())
