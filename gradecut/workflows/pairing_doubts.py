"""What the moments marked on two angles say against how their films were paired.

From snap to whistle a play lasts equally long for every camera. Films that lie one play off
show it once both moments are marked on both angles of a few plays.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from gradecut.book import Book
from gradecut.records import Angle, Clip, Session
from gradecut.workflows.moments import Timeline, timelines_of

__all__ = ["PairingDoubt", "check_pairing"]

_NEAR_S = 0.3
"""Within which two lengths marked by hand are one: a whistle is marked to some 0.2 s."""
_FEWEST = 3
_FARTHEST = 3
_FIT_SHARE = 0.8
_CONTRADICTED_SHARE = 0.6

Lengths = Mapping[int, float]


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
    """

    angle: str
    from_play: int
    by: int
    fits: int
    of: int
    fits_now: int
    of_now: int
    near_s: float = _NEAR_S

    @property
    def what(self) -> str:
        """What is in doubt, the beginning of a sentence."""
        return f"From play {self.from_play} on the {self.angle} films seem to lie {self._plays} off"

    @property
    def evidence(self) -> str:
        """What speaks for it, the end of the sentence."""
        way = "on" if self.by > 0 else "back"
        return (
            f"moved {self._plays} {way}, snap to whistle lasts equally long in {self.fits} of "
            f"{self.of} plays within {self.near_s:.1f} s, against {self.fits_now} of "
            f"{self.of_now} as they lie"
        )

    @property
    def told(self) -> str:
        """The whole sentence."""
        return f"{self.what}: {self.evidence}."

    @property
    def _plays(self) -> str:
        count = abs(self.by)
        return "one play" if count == 1 else f"{count} plays"


def check_pairing(book: Book, session: Session, angle: str) -> PairingDoubt | None:
    """Tell whether what is marked contradicts the pairing of an angle; nothing is moved.

    Parameters
    ----------
    angle : str
        Whose films are in question; they are compared with any other angle of their plays.

    Returns
    -------
    PairingDoubt or None
        The move that agrees best; None while too little is marked, or nothing is contradicted,
        or no move would agree.
    """
    clips = book.find(Clip, session_id=session.id)
    lines = timelines_of(book, [clip.id for clip in clips])
    mine: dict[int, float] = {}
    others: dict[int, float] = {}
    for clip in clips:
        line = lines[clip.id]
        # Of several other angles the one that was there first, where it is marked.
        for one in sorted(line.angles, key=lambda one: one.id):
            length_s = _lasts_s(line, one)
            if length_s is not None:
                (mine if one.name == angle else others).setdefault(clip.order, length_s)
    return _doubt(angle, mine, others)


def _lasts_s(line: Timeline, angle: Angle) -> float | None:
    """Return how long a play lasts by the snap and the whistle marked on an angle."""
    snap, whistle = (line.moment(kind, angle=angle) for kind in ("snap", "whistle"))
    if snap is None or whistle is None or {snap.source, whistle.source} != {"marked"}:
        return None
    film = line.films[angle.film_id]
    lasts_s = float(angle.scale * (film.time_of(whistle.pts) - film.time_of(snap.pts)))
    return lasts_s if lasts_s > 0 else None


def _doubt(angle: str, mine: Lengths, others: Lengths) -> PairingDoubt | None:
    """Try moves from the first play that is contradicted on; give the one that fits most."""
    now = {play: _agree(mine[play], others[play]) for play in sorted(mine) if play in others}
    found: list[tuple[int, int, PairingDoubt]] = []
    for start in [play for play, fits in now.items() if not fits]:
        before = [fits for play, fits in now.items() if play < start]
        after = [fits for play, fits in now.items() if play >= start]
        if not _mostly(before) or after.count(False) < _CONTRADICTED_SHARE * len(after):
            continue
        for by in (step * way for step in range(1, _FARTHEST + 1) for way in (1, -1)):
            moved = [
                _agree(mine[play], others[play + by])
                for play in sorted(mine)
                if play >= start and play + by in others
            ]
            if len(moved) < _FEWEST or not _mostly(moved) or moved.count(True) <= after.count(True):
                continue
            doubt = PairingDoubt(
                angle=angle, from_play=start, by=by, fits=moved.count(True), of=len(moved),
                fits_now=after.count(True), of_now=len(after),
            )  # fmt: skip
            wrong = before.count(False) + moved.count(False)
            found.append((before.count(True) + moved.count(True) - 2 * wrong, -abs(by), doubt))
    return max(found, key=lambda one: one[:2])[2] if found else None


def _agree(first_s: float, second_s: float) -> bool:
    return abs(first_s - second_s) <= _NEAR_S


def _mostly(fits: Sequence[bool]) -> bool:
    return sum(fits) >= _FIT_SHARE * len(fits)
