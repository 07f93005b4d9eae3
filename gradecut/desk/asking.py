"""One question at a time, its answers under keys: what the number keys mean now."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

__all__ = ["Answer", "Ask", "Shown", "numbered"]

_A_PAGE = 9
_MORE = "0"


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """One answer.

    Attributes
    ----------
    words : str
    hint : str
        A word that stands back, such as what holds now; may be empty.
    tip : str
        What the hint means, for whoever points at it; may be empty.
    key : str
        Its key where it is not simply counted; empty: counted.
    chosen : bool
        It is what is recorded now.
    do : callable
        Gives it.
    """

    words: str
    do: Callable[[], object]
    hint: str = ""
    tip: str = ""
    key: str = ""
    chosen: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Shown:
    """An answer under the key it has now."""

    key: str
    answer: Answer


@dataclass(frozen=True, slots=True, kw_only=True)
class Ask:
    """A question with its answers.

    Attributes
    ----------
    kind : str
        "question", "men", "miss", "cause", or what was opened by a key.
    page : int
        Which nine answers are shown, from 0.
    also : tuple of Shown
        What else can be done now, under keys that are the page's own.
    then : str
        What an answer leads to, where the answers are shown elsewhere; may be empty.
    """

    kind: str
    title: str
    answers: tuple[Answer, ...]
    page: int = 0
    also: tuple[Shown, ...] = ()
    then: str = ""

    @property
    def pages(self) -> int:
        """How many times nine answers there are."""
        return max(-(-len(self.answers) // _A_PAGE), 1)

    def shown(self) -> tuple[Shown, ...]:
        """Return what is shown now, each under its key; "0" turns the page."""
        if any(answer.key for answer in self.answers):
            return tuple(Shown(key=answer.key, answer=answer) for answer in self.answers)
        start = self.page * _A_PAGE
        some = self.answers[start : start + _A_PAGE]
        return tuple(
            Shown(key=str(number), answer=answer) for number, answer in enumerate(some, start=1)
        )

    def answer_of(self, key: str) -> Answer | None:
        """Return the answer under a key; None where there is none."""
        return next((shown.answer for shown in self.shown() if shown.key == key), None)

    def turns(self, key: str) -> bool:
        """Tell whether a key turns the page."""
        return key == _MORE and self.pages > 1 and self.answer_of(key) is None


def numbered(
    options: Sequence[tuple[str, Callable[[], object]]], *, chosen: str = ""
) -> tuple[Answer, ...]:
    """Make counted answers of words and what they do."""
    return tuple(Answer(words=words, do=do, chosen=words == chosen) for words, do in options)
