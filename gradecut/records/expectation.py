"""What a scheme asks of one man on one look."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from gradecut.records.people import Side

__all__ = ["Alignment", "Credit", "Expectation", "Option"]

Credit = Literal["half", "wrong"]
Option = tuple[str | None, Side | None]


@dataclass(frozen=True, slots=True, kw_only=True)
class Alignment:
    """Where a man lines up before the snap.

    Attributes
    ----------
    depth_yd : float
        From the line of scrimmage in yards; negative is the offence's side.
    landmark : str
        Where across: a gap, or the coach's own words.
    side : "left", "right" or None
        Side of the landmark as the offence faces the line; None when it has none.
    tolerance_yd : float or None
        How far off still counts as right; None when the coach gave none.
    eyes : str or None
        What he looks at; None when the coach gave nothing or the open facts leave it open.
    """

    depth_yd: float
    landmark: str
    side: Side | None = None
    tolerance_yd: float | None = None
    eyes: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Expectation:
    """What the scheme asks of one man on one look, and why.

    Attributes
    ----------
    position : str
        The man.
    fit : str or None
        The fit asked of him; None while facts are open, and where the scheme has no answer.
    job, gap, landmark, steps
        Of that fit; None where it has none or there is no fit.
    side : "left", "right" or None
        Side of the fit as the offence faces the line.
    also : tuple of str
        Fits graded as right too.
    misses : tuple of (str, "half" or "wrong")
        How that fit goes wrong, with the credit of each.
    options : tuple of (str or None, side or None)
        Every answer still possible; a fit of None is a hole or an overlap.
    needs : tuple of str
        References that would settle it, most useful first; empty when nothing is left to ask.
    rule, tier, cue : str or None
        The rule that answers, where every way the look may still be agrees.
    overrode : tuple of str
        Ids of the rules it overrode.
    alignment : Alignment or None
        Where he lines up; None when open or when the scheme says nothing.
    graded : bool
        False where there is nothing to grade: the fit is no run job, or the man is not graded.
    reason : str
        One plain sentence for the player.
    """

    position: str
    fit: str | None = None
    job: str | None = None
    gap: str | None = None
    side: Side | None = None
    landmark: str | None = None
    steps: int | None = None
    also: tuple[str, ...] = ()
    misses: tuple[tuple[str, Credit], ...] = ()
    options: tuple[Option, ...] = ()
    needs: tuple[str, ...] = ()
    rule: str | None = None
    tier: str | None = None
    overrode: tuple[str, ...] = ()
    cue: str | None = None
    alignment: Alignment | None = None
    graded: bool = True
    reason: str = ""

    @property
    def settled(self) -> bool:
        """Tell whether one fit is asked of him."""
        return self.fit is not None
