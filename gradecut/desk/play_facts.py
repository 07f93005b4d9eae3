"""What a play was besides its look, as it is typed: kind, call, tempo, unit, yards and the rest."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Literal, get_args

from gradecut.book import Book
from gradecut.errors import GradecutError
from gradecut.records import Clip, ClipKind, Tempo
from gradecut.workflows.clip_facts import CARRIED, carried_clip_facts, say_clip_facts

__all__ = ["PLAY_FACTS", "PlayFact", "PlayFacts"]

Told = Literal["", "carried", "told"]


@dataclass(frozen=True, slots=True, kw_only=True)
class PlayFact:
    """One thing that can be said of a play.

    Attributes
    ----------
    field : str
        The clip's own field.
    name : str
        What a coach calls it.
    choices : tuple of str
        The words it may be; empty where any word may stand.
    number : bool
        It is a whole number.
    hint : str
    """

    field: str
    name: str
    choices: tuple[str, ...] = ()
    number: bool = False
    hint: str = ""


PLAY_FACTS = (
    PlayFact(field="yards_gained", name="yards gained", number=True, hint="4 or -2"),
    PlayFact(field="down", name="down", number=True),
    PlayFact(field="to_go", name="to go"),
    PlayFact(field="kind", name="kind", choices=get_args(ClipKind)),
    PlayFact(field="tempo", name="tempo", choices=tuple(filter(None, get_args(Tempo)))),
    PlayFact(field="call", name="our call"),
    PlayFact(field="unit", name="unit opposite"),
    PlayFact(field="ball_on", name="ball on"),
    PlayFact(field="hash", name="hash"),
    PlayFact(field="personnel", name="personnel"),
    PlayFact(field="formation", name="formation"),
    PlayFact(field="period", name="period"),
)
"""In the order they are typed in: what is another on every play first."""


class PlayFacts:
    """What is said of one play, what is carried over to it, and what was said in its session.

    Attributes
    ----------
    clip : Clip
    carried : mapping of field to value
        Shown as carried until it is confirmed.
    """

    def __init__(self, book: Book, clip: Clip) -> None:
        self._book, self.clip = book, clip
        self.carried: Mapping[str, Any] = carried_clip_facts(book, clip)

    def text(self, fact: PlayFact) -> str:
        """Return what is told of the play, as it is typed; empty where nothing is."""
        value = getattr(self.clip, fact.field)
        return "" if value is None else str(value)

    def carried_text(self, fact: PlayFact) -> str:
        """Return what is carried over; empty where the play has its own word."""
        return str(self.carried.get(fact.field, ""))

    def said_before(self, fact: PlayFact) -> tuple[str, ...]:
        """Return what was said of other plays of the session, the newest first."""
        plays = self._book.find(Clip, session_id=self.clip.session_id)
        said = [str(getattr(one, fact.field)) for one in plays if getattr(one, fact.field)]
        return tuple(dict.fromkeys(reversed(said)))

    def keep(self, texts: Mapping[str, str], *, rest_of_period: bool = False) -> int:
        """Keep what was typed; return how many plays it changed.

        What is carried and was left alone is kept with it: he has seen it.

        Raises
        ------
        GradecutError
            When a number is none.
        """
        told = {fact.field: _read(fact, texts[fact.field]) for fact in PLAY_FACTS
                if fact.field in texts}  # fmt: skip
        with self._book.act(f"say what play {self.clip.order} was"):
            # Told meanwhile by somebody else, it is carried over no longer.
            now = self._book.get(Clip, self.clip.id)
            for name, value in self.carried.items():
                if name in told and not told[name] and not getattr(now, name):
                    told[name] = value
            said = {one: word for one, word in told.items() if word != getattr(self.clip, one)}
            if rest_of_period and not said:
                said = {name: told[name] for name in CARRIED if told.get(name)}
            return say_clip_facts(self._book, self.clip, said, rest_of_period=rest_of_period)


def _read(fact: PlayFact, text: str) -> str | int | None:
    told = text.strip()
    if not fact.number:
        return told
    if not told:
        return None
    digits = told.removeprefix("-").removeprefix("+").removeprefix("−")
    if not (digits.isascii() and digits.isdecimal() and len(digits) < 4):
        raise GradecutError(f"“{told}” in {fact.name} is no whole number; write it as 4 or -2.")
    return -int(digits) if told[0] in "-−" else int(digits)
