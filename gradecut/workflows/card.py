"""A camera card copied: every film of it verified, nothing on it touched."""

from __future__ import annotations

import errno
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from os import PathLike
from pathlib import Path

from gradecut.errors import Cancelled, FilmError, OutputError
from gradecut.outfile import make_folder
from gradecut.progress import CancelToken, Progress, silent
from gradecut.workflows.card_plan import CardFilm, CardPlan, plan_card
from gradecut.workflows.pace import CopyPace, size_words
from gradecut.workflows.verified_copy import copy_verified, is_full

__all__ = ["CardCopied", "CopyStopped", "OnFilm", "copy_card", "copy_planned"]

OnFilm = Callable[[Path], None]
"""Gets the copy of a film once it is good, in the order of the card."""

_OF_ONE_FILM = frozenset({errno.EFBIG, errno.EINVAL, errno.EILSEQ, errno.ENAMETOOLONG})
"""What keeps a drive from taking one film, while it takes others."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CardCopied:
    """What copying a card came to.

    Attributes
    ----------
    films : tuple of Path
        The good copies in the order of the card, those that were there before too.
    copied, already : tuple of Path
        Which of them were copied now, and which were there, whole and equal.
    left : tuple of Path
        Films of the card that are not copied.
    notes : tuple of str
        What is worth telling: films that were tried twice, names that were taken.
    faults : tuple of str
        Why films are left, a sentence each; empty when none is.
    """

    films: tuple[Path, ...]
    copied: tuple[Path, ...]
    already: tuple[Path, ...]
    left: tuple[Path, ...]
    notes: tuple[str, ...]
    faults: tuple[str, ...]

    def told(self) -> str:
        """Say in one sentence how far it came."""
        whole = len(self.films) + len(self.left)
        there = f" ({len(self.already)} were there already)" if self.already else ""
        rest = "; copy the card again for the rest" if self.left else ""
        return f"{len(self.films)} of {whole} films of the card are copied{there}{rest}."


class CopyStopped(Cancelled):
    """The person asked copying to stop: what is copied stays.

    Attributes
    ----------
    copied : CardCopied or None
        None when it was stopped before the first film.
    """

    def __init__(self, copied: CardCopied | None = None) -> None:
        super().__init__("Copying")
        self.copied = copied
        if copied is not None:
            self.args = (f"Copying was stopped: {copied.told()}",)


def copy_card(
    card: str | PathLike[str],
    goal_folder: str | PathLike[str],
    *,
    on_film: OnFilm | None = None,
    progress: Progress = silent,
    cancel: CancelToken | None = None,
) -> CardCopied:
    """Copy the films of a camera card one after the other, each read back from the drive.

    They keep the folders they have on the card, their names and their times. A copy
    appears whole or not at all; one that is there already and equal is not made again, so
    that a copying that was broken off is taken up by running it again. A file that has a
    film's name and is another one stays, and the film gets a number. Nothing on the card
    is written, renamed or deleted. A film that fails is tried once more, then left.

    Parameters
    ----------
    card, goal_folder : path
        The goal's folder is made where it is not there.
    on_film : callable or None
        Gets each good copy in the order of the card, at once; what it raises ends the work.

    Returns
    -------
    CardCopied
        Also when films were left: its ``faults`` say why.

    Raises
    ------
    FilmError
        When there is no card, or no film on it.
    OutputError
        When the goal can't be written to, has too little room, or lies on the card.
    CopyStopped
        When asked to stop.
    """
    try:
        plan = plan_card(card, goal_folder, progress=progress, cancel=cancel)
    except Cancelled as error:
        raise CopyStopped from error
    return copy_planned(plan, on_film=on_film, progress=progress, cancel=cancel)


def copy_planned(
    plan: CardPlan,
    *,
    on_film: OnFilm | None = None,
    progress: Progress = silent,
    cancel: CancelToken | None = None,
) -> CardCopied:
    """Copy a card that was looked at; see ``copy_card``."""
    make_folder(plan.goal)
    copying = _Copying(plan, progress, cancel)
    try:
        for place, film in enumerate(plan.films):
            if cancel is not None:
                cancel.check("Copying")
            if copying.copy(film, plan.films[place:]) and on_film is not None:
                on_film(film.goal)
            if copying.over:
                break
    except Cancelled as error:
        raise CopyStopped(copying.result()) from error
    progress(1.0, "Card copied")
    return copying.result()


class _Copying:
    """One run over a card; ``over`` once nothing more can be copied."""

    def __init__(self, plan: CardPlan, progress: Progress, cancel: CancelToken | None) -> None:
        self._plan, self._progress, self._cancel = plan, progress, cancel
        self._films: list[CardFilm] = []
        self._notes = list(plan.notes)
        self._faults: list[str] = []
        self.over = False
        new = [film.size_bytes for film in plan.films if not film.there]
        self._pace = CopyPace(len(new), sum(new))

    def copy(self, film: CardFilm, rest: Sequence[CardFilm]) -> bool:
        """Copy one film, where it is not there; tell whether there is a good copy now."""
        if not film.there:
            self._pace.begin(film.size_bytes)
            self._moved(0)
            error = self._try(film, rest)
            self._pace.end()
            if error is not None:
                ending = self._ending(error, rest)
                self.over = bool(ending)
                self._faults.append(ending or f"{film.source}: {_reason(error)}")
                return False
        self._films.append(film)
        return True

    def result(self) -> CardCopied:
        """Return how far it came."""
        good = {film.source for film in self._films}
        return CardCopied(
            films=tuple(film.goal for film in self._films),
            copied=tuple(film.goal for film in self._films if not film.there),
            already=tuple(film.goal for film in self._films if film.there),
            left=tuple(film.source for film in self._plan.films if film.source not in good),
            notes=tuple(self._notes),
            faults=tuple(self._faults),
        )

    def _try(self, film: CardFilm, rest: Sequence[CardFilm]) -> FilmError | OutputError | None:
        """Copy one film, twice where it fails and there is hope; return why it failed."""
        first = self._once(film)
        if first is None or self._ending(first, rest):
            return first
        self._notes.append(f"{film.source.name} was tried again: {_reason(first)}")
        self._progress(self._pace.done, f"Trying {film.source.name} again")
        self._pace.again()
        return self._once(film)

    def _once(self, film: CardFilm) -> FilmError | OutputError | None:
        try:
            if not self._plan.goal.is_dir():  # else it would be made anew, on another drive
                raise OutputError(self._plan.goal, "the folder is gone.")
            copy_verified(film.source, film.goal, moved=self._moved, cancel=self._cancel)
        except (FilmError, OutputError) as error:
            return error
        return None

    def _moved(self, size_bytes: int) -> None:
        self._pace.move(size_bytes)
        self._progress(self._pace.done, self._pace.saying)

    def _ending(self, error: FilmError | OutputError, rest: Sequence[CardFilm]) -> str:
        """Say why nothing more can be copied; empty where the next film may be."""
        goal, card = self._plan.goal, self._plan.card
        if isinstance(error, FilmError):
            gone = not any(film.source.exists() for film in rest)
            return f"{card}: the card is gone; put it in and copy it again." if gone else ""
        if is_full(error):
            needed = size_words(sum(film.size_bytes for film in rest if not film.there))
            return f"{goal}: the drive is full; free {needed}, then copy the card again."
        if not goal.is_dir():
            return f"{goal}: this folder is gone; connect its drive and copy the card again."
        return "" if _number_of(error) in _OF_ONE_FILM else str(error)


def _reason(error: FilmError | OutputError) -> str:
    if _number_of(error) == errno.EFBIG:
        return "its drive takes no file so large; copy to a drive that is not formatted as FAT."
    return error.reason


def _number_of(error: Exception) -> int | None:
    """Return the system's number of what happened."""
    cause = error.__cause__
    return cause.errno if isinstance(cause, OSError) else None
