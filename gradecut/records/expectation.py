"""What a scheme asks of one man on one look."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Literal

from gradecut.records.people import Side

__all__ = ["Alignment", "Credit", "Expectation", "Option"]

Credit = Literal["half", "wrong"]
Option = tuple[str | None, Side | None]


class _Sentence:
    """A text of a record that may be handed in as a way to make it, and is made when first read.

    Answers are asked for by the thousand and their sentences read by the dozen.
    """

    def __set_name__(self, owner: type, name: str) -> None:
        self._name = name

    def __get__(self, record: object | None, owner: type) -> str:
        if record is None:  # dataclasses asks for the default so
            return ""
        told = record.__dict__[self._name]
        if not isinstance(told, str):
            told = record.__dict__[self._name] = told()
        return str(told)

    def __set__(self, record: object, told: str | Callable[[], str]) -> None:
        record.__dict__[self._name] = told


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


@dataclass(frozen=True, kw_only=True)  # no slots: a sentence made when read needs the dictionary
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
    clash : tuple of str
        Ids of the rules that disagree, in file order, where there is no answer because of them.
    alignment : Alignment or None
        Where he lines up; None when open or when the scheme says nothing.
    graded : bool
        False where there is nothing to grade: the fit is no run job, or the man is not graded.
    reason : str
        One plain sentence for the player. A function without arguments may be handed in for it,
        which is called when the sentence is first read; compared and pickled it is the text.
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
    clash: tuple[str, ...] = ()
    cue: str | None = None
    alignment: Alignment | None = None
    graded: bool = True
    reason: _Sentence = _Sentence()

    def __getstate__(self) -> Mapping[str, object]:
        """Give what is kept of it: the sentence as text, not the way to make it."""
        return {**self.__dict__, "reason": self.reason}

    @property
    def settled(self) -> bool:
        """Tell whether one fit is asked of him."""
        return self.fit is not None
