"""Players, and who was in."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal

from gradecut.records.ids import new_id

__all__ = ["AGE_NOT_TOLD", "LineUp", "Player", "Side", "Source"]

Side = Literal["left", "right"]
Source = Literal["marked", "script", "estimated"]
"""Where a value comes from; read in this order, none overwriting another."""

AGE_NOT_TOLD = "age not told yet"
"""Begins the remark on a man who came onto the roster without his age."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Player:
    """One man of the roster.

    Attributes
    ----------
    game_number, practice_number : str
        As worn; empty when he has none. Two men may share a number.
    under_18 : bool
        His film and grades need a guardian's consent before they are shared. A man whose age
        nobody has told counts as under 18, and ``age_told`` says so.
    consent : bool
        The consent is on file. Says nothing for a man of age.
    held_out : bool
        Kept out of contact by the medical staff. gradecut never decides this.
    unknown : bool
        Nobody knows yet who he is; he is named later, everywhere at once.
    """

    id: str = field(default_factory=new_id)
    name: str
    position: str = ""
    year: str = ""
    game_number: str = ""
    practice_number: str = ""
    under_18: bool = False
    consent: bool = False
    held_out: bool = False
    remark: str = ""
    unknown: bool = False

    @property
    def short_name(self) -> str:
        """His last name."""
        return self.name.split()[-1] if self.name.split() else self.name

    @property
    def age_told(self) -> bool:
        """Whether ``under_18`` is known, and not only taken for safety."""
        return not (self.unknown or self.remark.startswith(AGE_NOT_TOLD))

    @property
    def may_be_shared(self) -> bool:
        """Whether his film may leave the staff: of age, or with consent on file."""
        return self.consent or not self.under_18

    def worn(self, *, game: bool) -> str:
        """Return the number he wears; where he has none of that kind, the other one is worn.

        >>> Player(name="T. Okorie", game_number="9").worn(game=False)
        '9'
        """
        first, second = self.practice_number, self.game_number
        return (second or first) if game else (first or second)


@dataclass(frozen=True, slots=True, kw_only=True)
class LineUp:
    """Who stood at one position on one clip.

    Attributes
    ----------
    side : "left", "right" or None
        Where he lined up, as the offence faces the line; None when the scheme says it.
    """

    id: str = field(default_factory=new_id)
    clip_id: str
    position: str
    player_id: str
    side: Side | None = None
    source: Source = "marked"
