"""What a reel will show, frame by frame, before a single one is written."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from fractions import Fraction
from typing import Literal

from gradecut.drawing import bracket_name, mark_at
from gradecut.records.marks import Mark
from gradecut.timebase import Pts

__all__ = ["PieceSource", "Plan", "PlannedStep"]


@dataclass(frozen=True, slots=True, kw_only=True)
class PieceSource:
    """Where the film of one angle lies, and which stretch of it is the clip.

    Attributes
    ----------
    path : str or None
        The film's file on this computer; None when it is not known here.
    name : str
        The film as the coach calls it, for sentences.
    start_pts, stop_pts : Pts
        First and last frame of the clip, both in it, in the film's time base.
    snap_pts : Pts or None
        The snap in the same film; None when nobody has marked it.
    """

    path: str | None
    name: str
    start_pts: Pts
    stop_pts: Pts
    snap_pts: Pts | None


@dataclass(frozen=True, slots=True, kw_only=True)
class PlannedStep:
    """A run of frames of the reel that are made in one way.

    Attributes
    ----------
    kind : "card", "film" or "freeze"
        A title card, film that runs, or film that stands still.
    piece_id : str
        The piece it belongs to.
    first_frame, frame_count : int
        Frames of the reel, from 0.
    path : str or None
        The film; None for a card.
    film_frames : tuple of int
        For each frame of the step the film's frame to show, from 0; empty for a card.
    film_pts : tuple of Pts
        The timestamps of those frames, where there are marks: some are elsewhere at each.
    mark_ids : tuple of str
        Marks painted on every frame of the step.
    title, caption : str
        The piece's title, and the sentence below the film (empty: none here).
    sound_from_s : Fraction or None
        Where film runs at its own speed: the time of its first frame in the film, in seconds
        from the film's first; its sound is heard from there. None: silent.
    """

    kind: Literal["card", "film", "freeze"]
    piece_id: str
    first_frame: int
    frame_count: int
    path: str | None = None
    film_frames: tuple[int, ...] = ()
    film_pts: tuple[Pts, ...] = ()
    mark_ids: tuple[str, ...] = ()
    title: str = ""
    caption: str = ""
    sound_from_s: Fraction | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    """A reel worked out to the frame.

    Attributes
    ----------
    name : str
        The reel's.
    rate : Fraction
        Frames a second.
    size_px : (width, height)
        Of the picture; both even.
    steps : tuple of PlannedStep
        In order, without a gap.
    missing : tuple of str
        One sentence for every piece or mark that can't be shown, with its reason.
    marks : mapping of id to Mark
        The marks that are painted.
    rights : mapping of rep id to bool
        Whether a rep was graded right; reps nobody has graded are left out.
    names : mapping of rep id to str
        Who a man is, such as "Keel 52", where brackets are to say it.
    """

    name: str
    rate: Fraction
    size_px: tuple[int, int]
    steps: tuple[PlannedStep, ...]
    missing: tuple[str, ...]
    marks: Mapping[str, Mark]
    rights: Mapping[str, bool] = field(default_factory=dict)
    names: Mapping[str, str] = field(default_factory=dict)

    def right(self, mark: Mark) -> bool | None:
        """Tell whether the rep a mark belongs to was graded right; None while not known."""
        return self.rights.get(mark.rep_id) if mark.rep_id else None

    def name_on(self, mark: Mark) -> str | None:
        """Return the name that stands on a mark; None where its own words do."""
        return bracket_name(mark, self.names)

    def marks_of(self, step: PlannedStep, at: int) -> tuple[Mark, ...]:
        """Return the marks painted on one frame of a step, each where it is then.

        Parameters
        ----------
        at : int
            Counted from the step's first frame.
        """
        return tuple(mark_at(self.marks[key], step.film_pts[at]) for key in step.mark_ids)

    @property
    def frame_count(self) -> int:
        """How many frames the reel has."""
        return sum(step.frame_count for step in self.steps)

    @property
    def duration_s(self) -> Fraction:
        """How long the reel is, in seconds."""
        return self.frame_count / self.rate
