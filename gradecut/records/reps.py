"""One player on one clip: what was seen, what was said, how it was graded."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

from gradecut.records.ids import new_id, now_utc
from gradecut.records.people import Side, Source
from gradecut.timebase import Pts

__all__ = [
    "FITTED",
    "MISSED",
    "Actual",
    "Did",
    "Event",
    "FactValue",
    "FitResult",
    "Flag",
    "Grade",
    "How",
    "LinedUp",
    "LinedUpVerdict",
    "Moment",
    "MomentKind",
    "Owed",
    "Rep",
]

MomentKind = Literal["snap", "first step", "go", "contact", "whistle"]
Did = Literal["as owed", "fit", "miss", "cannot grade"]
"""What he did: the fit he owed, another fit of the scheme, a miss of it, or unknown."""
FitResult = Literal["right", "half", "wrong", "cannot grade", "not graded"]
"""How a fit came out; "not graded" where the scheme has no run job for him."""
MISSED: tuple[FitResult, ...] = ("half", "wrong")
FITTED: tuple[FitResult, ...] = ("right", *MISSED)
How = Literal["passed", "examined"]
"""Let through at speed as right, or looked at closely."""
LinedUpVerdict = Literal["right", "off", "cannot grade"]
"""How a man stood at the snap against where he should have."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FactValue:
    """One answer about a look; (clip, reference, source, author) is unique."""

    id: str = field(default_factory=new_id)
    clip_id: str
    reference: str
    value: str | int | bool
    source: Source = "marked"
    author: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Rep:
    """One player on one clip; (clip, position, player) is unique."""

    id: str = field(default_factory=new_id)
    clip_id: str
    player_id: str
    position: str
    side: Side | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Moment:
    """Something that happens at one frame.

    Attributes
    ----------
    rep_id : str or None
        None for what belongs to the clip: snap and whistle.
    pts : Pts
        Presentation timestamp in the film of the angle it was marked on.
    """

    id: str = field(default_factory=new_id)
    angle_id: str
    kind: MomentKind
    pts: Pts
    rep_id: str | None = None
    source: Source = "marked"
    author: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Owed:
    """The coach's word on what a man owed, where the scheme is silent or the call was another."""

    id: str = field(default_factory=new_id)
    rep_id: str
    fit: str
    side: Side | None = None
    reason: str = ""
    author: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Actual:
    """What one person says a man did; (rep, source, author) is unique.

    Attributes
    ----------
    name : str
        The other fit, or the miss, or why it can't be graded; empty for "as owed".
    side : "left", "right" or None
        Of another fit, where it has one.
    """

    id: str = field(default_factory=new_id)
    rep_id: str
    did: Did
    name: str = ""
    side: Side | None = None
    cause: str = ""
    source: Source = "marked"
    author: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class LinedUp:
    """How one person says a man lined up; (rep, source, author) is unique.

    Counted by itself, and never part of fit, technique or effort.

    Attributes
    ----------
    off : tuple of str
        In which ways he was off: "too deep", "too shallow", "too wide", "too tight",
        "wrong side"; empty unless the verdict is "off".
    depth_yd : float or None
        How deep he stood, from the line of scrimmage, negative on the offence's side; None
        when nobody measured it.
    across_yd : float or None
        How far he stood from his landmark, positive further from the ball; None when nobody
        measured it.
    """

    id: str = field(default_factory=new_id)
    rep_id: str
    verdict: LinedUpVerdict
    off: tuple[str, ...] = ()
    depth_yd: float | None = None
    across_yd: float | None = None
    source: Source = "marked"
    author: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Event:
    """Something counted beside the grade, from the rubric's list."""

    id: str = field(default_factory=new_id)
    rep_id: str
    name: str
    author: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Flag:
    """To be shown at tomorrow's meeting: a clip, or one rep of it."""

    id: str = field(default_factory=new_id)
    clip_id: str
    rep_id: str | None = None
    author: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Grade:
    """One grader's judgement of one rep, frozen with all it was judged by.

    Append-only: a new judgement names the one it supersedes.

    Attributes
    ----------
    expected_fit : str or None
        What he owed; None when neither scheme nor coach could say.
    owed_by : "scheme" or "coach"
        Whose word that is.
    scheme_id : str or None
        The scheme version it was judged by.
    look_digest : str
        Digest of the look at that time; another digest today marks the grade stale.
    fit_points : float or None
        By the rubric; None when not graded.
    technique : mapping of item to points
        Only the items that were graded.
    effort : int or None
        None when not graded.
    cannot : mapping of part ("fit", "technique", "effort") to reason
        What could not be graded, and why.
    supersedes : str or None
        The judgement of the same author on the same rep that this one replaces.
    """

    id: str = field(default_factory=new_id)
    rep_id: str
    author: str
    at: str = field(default_factory=now_utc)
    expected_fit: str | None = None
    expected_side: Side | None = None
    expected_also: tuple[str, ...] = ()
    expected_rule: str | None = None
    owed_by: Literal["scheme", "coach"] = "scheme"
    scheme_id: str | None = None
    look_digest: str = ""
    did: Did = "as owed"
    did_name: str = ""
    did_side: Side | None = None
    fit_result: FitResult = "right"
    fit_points: float | None = None
    cause: str = ""
    technique: Mapping[str, float] = field(default_factory=dict)
    effort: float | None = None
    cannot: Mapping[str, str] = field(default_factory=dict)
    note: str = ""
    how: How = "passed"
    supersedes: str | None = None

    @property
    def fitted(self) -> bool:
        """Whether it says how he fitted: right, half or wrong."""
        return self.fit_result in FITTED

    @property
    def missed(self) -> bool:
        """Whether it says that he did not fit, or only half."""
        return self.fit_result in MISSED

    @property
    def verdict(self) -> tuple[str, str, str]:
        """What it says of the fit, to be held against another's."""
        return (self.fit_result, self.did, self.did_name)
