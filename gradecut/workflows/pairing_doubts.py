"""What the moments marked on two angles say against how their films were paired.

From snap to whistle a play lasts equally long for every camera, and about the snap both heard
the same. Films that lie one play off show it once a few plays are marked on both angles.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

import numpy as np
from numpy.typing import NDArray

from gradecut.book import Book
from gradecut.progress import CancelToken, Progress, silent
from gradecut.records import Angle, Clip, Session
from gradecut.timebase import Pts
from gradecut.workflows.films import paths_of_films
from gradecut.workflows.moments import Timeline, timelines_of

__all__ = ["PairingDoubt", "check_pairing"]

_NEAR_S = 0.3
"""Within which two lengths marked by hand are one: a whistle is marked to some 0.2 s."""
_FEWEST = 3
_FARTHEST = 3
_FIT_SHARE = 0.8
_CONTRADICTED_SHARE = 0.6

_HEARD_BEFORE_S, _HEARD_AFTER_S = 5, 8
_APART_S = 8.0

Agree = Mapping[tuple[int, int], bool]
"""For a play's film of the angle and another play, whether what is marked agrees."""
_Heard = tuple[NDArray[np.float32], float]
"""The sound about a snap, and when in it the snap comes, in seconds."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PairingDoubt:
    """A pairing that what is marked contradicts, and the move that would agree.

    Attributes
    ----------
    angle : str
    from_play, by : int
        As for ``shift_pairing``.
    fits, of : int
        In how many plays the lengths agree once moved, and in how many they can be compared.
    fits_now, of_now : int
        The same as the films lie now, from that play on.
    near_s : float
        Within which lengths agree.
    heard : bool
        Whether sounds were compared too.
    """

    angle: str
    from_play: int
    by: int
    fits: int
    of: int
    fits_now: int
    of_now: int
    near_s: float = _NEAR_S
    heard: bool = False

    @property
    def what(self) -> str:
        """What is in doubt, the beginning of a sentence."""
        return f"From play {self.from_play} on the {self.angle} films seem to lie {self._plays} off"

    @property
    def evidence(self) -> str:
        """What speaks for it, the end of the sentence."""
        way = "on" if self.by > 0 else "back"
        what = (
            "the sound about the snap or snap to whistle agrees"
            if self.heard
            else ("snap to whistle lasts equally long")
        )
        return (
            f"moved {self._plays} {way}, {what} in {self.fits} of {self.of} plays within "
            f"{self.near_s:.1f} s, against {self.fits_now} of {self.of_now} as they lie"
        )

    @property
    def told(self) -> str:
        """The whole sentence."""
        return f"{self.what}: {self.evidence}."

    @property
    def _plays(self) -> str:
        count = abs(self.by)
        return "one play" if count == 1 else f"{count} plays"


def check_pairing(
    book: Book,
    session: Session,
    angle: str,
    *,
    listen: bool = False,
    progress: Progress = silent,
    cancel: CancelToken | None = None,
) -> PairingDoubt | None:
    """Tell whether what is marked contradicts the pairing of an angle; nothing is moved.

    Parameters
    ----------
    angle : str
        Whose films are in question; they are compared with any other angle of their plays.
    listen : bool
        Compare what was heard about the snap too, where the whistle is not marked on both.

    Returns
    -------
    PairingDoubt or None
        The move that agrees best; None while too little is marked, or nothing is contradicted,
        or no move would agree.

    Raises
    ------
    Cancelled
        When asked to stop.
    """
    clips = book.find(Clip, session_id=session.id)
    lines = timelines_of(book, [clip.id for clip in clips])
    mine: dict[int, _Marked] = {}
    others: dict[int, _Marked] = {}
    for clip in clips:
        # Of several other angles the one that was there first, where it is marked.
        for view in sorted(lines[clip.id].angles, key=lambda view: view.id):
            marked = _marked(lines[clip.id], view)
            if marked is not None:
                (mine if view.name == angle else others).setdefault(clip.order, marked)
    near = [(one, two) for one in sorted(mine) for two in others if abs(one - two) <= _FARTHEST]
    agree: dict[tuple[int, int], bool] = {}
    for one, two in near:
        first_s, second_s = mine[one].lasts_s, others[two].lasts_s
        if first_s is not None and second_s is not None:
            agree[one, two] = abs(first_s - second_s) <= _NEAR_S
    if not listen:
        return _doubt(angle, agree)
    sounds = _Sounds(book, [*mine.values(), *others.values()])
    by_sound = {}
    for number, (one, two) in enumerate(near):
        if cancel is not None:
            cancel.check("Checking the pairing")
        progress(number / len(near), f"Listening to play {one}")
        if (one, two) not in agree and (heard := sounds.agree(mine[one], others[two])) is not None:
            by_sound[one, two] = heard
    progress(1.0, "Pairing checked")
    return _doubt(angle, agree | by_sound, heard=bool(by_sound))


@dataclass(frozen=True, slots=True, kw_only=True)
class _Marked:
    """One angle of a play with its snap marked, and how long the play lasts by its whistle."""

    line: Timeline
    angle: Angle
    snap: Pts
    lasts_s: float | None


def _marked(line: Timeline, angle: Angle) -> _Marked | None:
    snap, whistle = (line.moment(kind, angle=angle) for kind in ("snap", "whistle"))
    if snap is None or snap.source != "marked":
        return None
    film = line.films[angle.film_id]
    lasts_s = None
    if whistle is not None and whistle.source == "marked" and whistle.pts > snap.pts:
        lasts_s = float(angle.scale * (film.time_of(whistle.pts) - film.time_of(snap.pts)))
    return _Marked(line=line, angle=angle, snap=snap.pts, lasts_s=lasts_s)


class _Sounds:
    """What was heard about the snap of each angle, read once."""

    def __init__(self, book: Book, marked: Sequence[_Marked]) -> None:
        self._paths = paths_of_films(book, [one.angle.film_id for one in marked])
        self._read: dict[str, _Heard | None] = {}

    def agree(self, first: _Marked, second: _Marked) -> bool | None:
        """Tell whether the snaps are one moment by sound; None where either has no sound."""
        here, there = self._about(first), self._about(second)
        if here is None or there is None:
            return None
        return _sound_alike(here, there)

    def _about(self, one: _Marked) -> _Heard | None:
        if one.angle.id not in self._read:
            film = one.line.films[one.angle.film_id]
            start_s, snap_s, stop_s = (
                film.time_of(pts) for pts in (one.angle.start_pts, one.snap, one.angle.stop_pts)
            )
            start_s = max(start_s, snap_s - Fraction(_HEARD_BEFORE_S))
            stop_s = min(stop_s, snap_s + Fraction(_HEARD_AFTER_S))
            path = self._paths.get(film.id)
            sound = None if path is None else _hear(path, start_s, stop_s)
            told = None if sound is None else (sound, float(snap_s - start_s))
            self._read[one.angle.id] = told
        return self._read[one.angle.id]


def _hear(path: str, start_s: Fraction, stop_s: Fraction) -> NDArray[np.float32] | None:
    from gradecut.workflows.syncing import hear_play

    return hear_play(path, start_s, stop_s)


def _sound_alike(here: _Heard, there: _Heard) -> bool:
    from gradecut.film.hearing.sound_offset import offset_between
    from gradecut.workflows.syncing import HEARD_HZ

    place = offset_between(here[0], there[0], HEARD_HZ, reach_s=_APART_S)
    return place is not None and abs(place.offset_s - (here[1] - there[1])) <= _NEAR_S


def _doubt(angle: str, agree: Agree, *, heard: bool = False) -> PairingDoubt | None:
    """Try moves from the first play that is contradicted on; give the one that fits most."""
    plays = sorted({one for one, _ in agree})
    now = {play: agree[play, play] for play in plays if (play, play) in agree}
    found: list[tuple[int, int, PairingDoubt]] = []
    for start in [play for play, fits in now.items() if not fits]:
        before = [fits for play, fits in now.items() if play < start]
        after = [fits for play, fits in now.items() if play >= start]
        if not _mostly(before) or after.count(False) < _CONTRADICTED_SHARE * len(after):
            continue
        for by in (step * way for step in range(1, _FARTHEST + 1) for way in (1, -1)):
            moved = [
                agree[play, play + by]
                for play in plays
                if play >= start and (play, play + by) in agree
            ]
            if len(moved) < _FEWEST or not _mostly(moved) or moved.count(True) <= after.count(True):
                continue
            doubt = PairingDoubt(
                angle=angle, from_play=start, by=by, fits=moved.count(True), of=len(moved),
                fits_now=after.count(True), of_now=len(after), heard=heard,
            )  # fmt: skip
            wrong = before.count(False) + moved.count(False)
            found.append((before.count(True) + moved.count(True) - 2 * wrong, -abs(by), doubt))
    return max(found, key=lambda one: one[:2])[2] if found else None


def _mostly(fits: Sequence[bool]) -> bool:
    return sum(fits) >= _FIT_SHARE * len(fits)
