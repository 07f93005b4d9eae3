"""A camera card into the book while it is copied: each film is a play as soon as it is good."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from os import PathLike
from pathlib import Path
from typing import Literal

from gradecut.book import Book
from gradecut.counting_words import counted
from gradecut.errors import BookError, Cancelled, FilmError
from gradecut.film import fingerprint_of, index_films
from gradecut.progress import CancelToken, Progress, silent
from gradecut.records import Angle, Clip, FilmFile, Session, SessionKind, StoredFilm
from gradecut.workflows.adding import Added, add_film, session_there
from gradecut.workflows.card import CardCopied, CopyStopped, copy_planned
from gradecut.workflows.card_plan import CardPlan, plan_card
from gradecut.workflows.card_script import CardScript
from gradecut.workflows.films import read_film
from gradecut.workflows.kept_scripts import keep_script
from gradecut.workflows.pairing import Pairing, PairingAsked, free_plays
from gradecut.workflows.script import check_numbers, match_script, script_lines

__all__ = ["CardAdded", "PairBy", "add_card"]

PairBy = Literal["", "proposed", "order"]


@dataclass(frozen=True, slots=True, kw_only=True)
class CardAdded:
    """What copying and adding a card came to.

    Attributes
    ----------
    copied : CardCopied
    added : Added or None
        None where nothing was added.
    faults : tuple of str
        Why films were not copied or not added, a sentence each.
    """

    copied: CardCopied
    added: Added | None
    faults: tuple[str, ...]


def add_card(
    book: Book,
    card: str | PathLike[str],
    goal_folder: str | PathLike[str],
    *,
    session: str,
    kind: SessionKind | None = None,
    day: str = "",
    angle: str = "end",
    script: str | PathLike[str] | None = None,
    from_play: int | None = None,
    from_number: int | None = None,
    damaged: bool = False,
    pair: PairBy = "",
    progress: Progress = silent,
    cancel: CancelToken | None = None,
) -> CardAdded:
    """Copy a card and add its films to a session, each as soon as its copy is verified.

    A film that can't be copied or read leaves its number free, and comes into it when the
    card is added again. A script is matched as the plays come, and says nothing anew of a
    play that has come before. The films of a further angle are paired with the plays when
    all of them are copied, and not before.

    Parameters
    ----------
    book : Book
        Each film is an act of its author; give it a book without one to keep the acts apart
        from those of whoever grades meanwhile.
    card, goal_folder
        See ``copy_card``.
    session, kind, day, angle, script, from_play, from_number, damaged
        See ``add_film``.
    pair : str
        What to do where order alone does not pair the films of a further angle: "proposed",
        take what is proposed; "order", pair by order; empty: ask.

    Raises
    ------
    FilmError, InputError, BookError, OutputError
        What is copied and added so far stays.
    PairingAsked
        When the films of a further angle are copied, and order alone does not pair them.
    CopyStopped
        When asked to stop.
    """
    try:
        plan = plan_card(card, goal_folder, progress=progress, cancel=cancel)
    except Cancelled as error:
        raise CopyStopped from error
    told = _Told(
        session=session, kind=kind, day=day, angle=angle, damaged=damaged, pair=pair,
        script=script, from_play=from_play, from_number=from_number,
    )  # fmt: skip
    home = session_there(book, session)
    lines = script_lines(book, script, home.kind if home else kind) if script is not None else []
    if from_number is not None and from_number not in {line.number for line in lines}:
        raise BookError(f"The script has no number {from_number} to match from.")
    if home is not None and free_plays(book, home, angle):
        return _add_angle(book, plan, told, progress, cancel)
    adding = _Adding(book, plan, told, CardScript(lines, from_play, from_number), home)

    def tell(done: float, saying: str) -> None:
        progress(done, saying + adding.ready)

    copied = copy_planned(plan, on_film=adding.take, progress=tell, cancel=cancel)
    return adding.result(copied)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Told:
    """What the coach said of the films."""

    session: str
    kind: SessionKind | None
    day: str
    angle: str
    damaged: bool
    pair: PairBy
    script: str | PathLike[str] | None
    from_play: int | None
    from_number: int | None


class _Adding:
    """Adds the films of one card to one session, one at a time."""

    def __init__(
        self, book: Book, plan: CardPlan, told: _Told, script: CardScript, home: Session | None
    ) -> None:
        self._book, self._told, self._script = book, told, script
        self._goals = [film.goal for film in plan.films]
        self._home = home
        self._orders: dict[Path, int] = {}
        self._clips = self._angles = self._scripted = 0
        self._notes: list[str] = []
        self._faults: list[str] = []
        self._kept = False
        if home is not None:
            self._orders = _orders_of(book, home, [film.goal for film in plan.films if film.there])
            own = set(self._orders.values())
            there = {clip.order for clip in book.find(Clip, session_id=home.id)} - own
            script.before = len(there)
            if script.is_of_new_plays:
                check_numbers(book, home, script.lines, there)

    @property
    def ready(self) -> str:
        """How many plays of the card wait in the book."""
        count = len(self._orders)
        return f"; {counted(count, 'play')} ready to grade" if count else ""

    def take(self, path: Path) -> None:
        """Add a film whose copy is good; what is wrong with it is kept for the end."""
        if path in self._orders:
            self._note_place(path)
            return
        faults = index_films([path])  # outside the act: whoever grades does not wait for it
        try:
            if faults:
                raise faults[path]
            self._add(path)
        except FilmError as error:
            self._faults.append(str(error))

    def result(self, copied: CardCopied) -> CardAdded:
        """Tell what it came to."""
        added = None
        if self._home is not None:
            self._tell_of_script(self._home)
            added = Added(
                session=self._home,
                clips=self._clips,
                angles=self._angles,
                scripted=self._scripted,
                notes=(*copied.notes, *self._notes),
            )
        return CardAdded(copied=copied, added=added, faults=(*copied.faults, *self._faults))

    def _note_place(self, path: Path) -> None:
        """Let the book find a film that it has here, where it knew another place of it."""
        if not self._book.count(FilmFile, path=str(path), computer=self._book.computer):
            read = read_film(self._book, path)
            with self._book.act(f"note where {path.stem} lies") as act:
                act.put(*read.rows)

    def _add(self, path: Path) -> None:
        told = self._told
        order = self._number_of(path)
        own = Pairing(angle=told.angle, pairs=((order, path),), certain=True, reasons=())
        with self._book.act(f"add {path.stem} from the card"):
            added = add_film(
                self._book, [path], session=told.session, kind=told.kind, day=told.day,
                angle=told.angle, damaged=told.damaged, pairing=own,
            )  # fmt: skip
            self._notes += added.notes
            if added.angles:
                self._home = added.session
                self._came(path, order, added.session)
            else:
                self._goals.remove(path)  # it is in the book elsewhere, and no number is its own

    def _number_of(self, path: Path) -> int:
        """Return the play a film is: the next one, or the number that was left free for it."""
        place = self._goals.index(path)
        missing, before = _to_known(self._orders, self._goals[:place][::-1])
        missing_after, after = _to_known(self._orders, self._goals[place + 1 :])
        home = self._home
        clips = self._book.find(Clip, session_id=home.id) if home is not None else []
        taken = {clip.order for clip in clips}
        last = max(taken, default=0)
        if after is None:
            return last + 1 + missing
        order = before + missing + 1 if before is not None else after - missing_after - 1
        if order in taken or not 0 < order < after:
            order = last + 1
            self._notes.append(
                f"{path.name} comes late, and no number was left free for it: it is play {order}."
            )
        return order

    def _came(self, path: Path, order: int, home: Session) -> None:
        """Count a film that is in the book now, and say of its play what the script says."""
        self._orders[path] = order
        self._clips += 1
        self._angles += 1
        line = self._script.line_of(order)
        if line is not None:
            self._scripted += match_script(
                self._book, home, [line], from_play=order, from_number=line.number
            )
        if self._told.script is not None and not self._kept:
            keep_script(self._book, home, self._told.script)
            self._kept = True

    def _tell_of_script(self, home: Session) -> None:
        clips = self._book.count(Clip, session_id=home.id)
        if len(self._script) and self._scripted and clips != len(self._script):
            self._notes.append(
                f"The script has {len(self._script)} plays and the film {clips}: check where they "
                "part, then match again from that play."
            )


def _add_angle(
    book: Book,
    plan: CardPlan,
    told: _Told,
    progress: Progress,
    cancel: CancelToken | None,
) -> CardAdded:
    """Copy the films of a further angle, then pair them with the plays."""
    copied = copy_planned(plan, progress=progress, cancel=cancel)
    if copied.left:
        note = f"The {told.angle} films are added when all of them are copied."
        copied = replace(copied, notes=(*copied.notes, note))
        return CardAdded(copied=copied, added=None, faults=copied.faults)

    def add(pairing: Pairing | None) -> Added:
        return add_film(
            book, copied.films, session=told.session, kind=told.kind, day=told.day,
            angle=told.angle, script=told.script, from_play=told.from_play,
            from_number=told.from_number, damaged=told.damaged, pairing=pairing,
            by_order=told.pair == "order",
            progress=progress, cancel=cancel,
        )  # fmt: skip

    try:
        added = add(None)
    except PairingAsked as asked:
        if told.pair != "proposed":
            raise
        added = add(asked.pairing)
    notes = (*copied.notes, *added.notes)
    return CardAdded(copied=copied, added=replace(added, notes=notes), faults=added.faults)


def _to_known(orders: Mapping[Path, int], goals: Sequence[Path]) -> tuple[int, int | None]:
    """Return how many films come before the first that is in the book, and which play that is."""
    for missing, goal in enumerate(goals):
        if goal in orders:
            return missing, orders[goal]
    return len(goals), None


def _orders_of(book: Book, home: Session, paths: Sequence[Path]) -> dict[Path, int]:
    """Return which play of a session each film is, of those that are in it."""
    found: dict[Path, int] = {}
    for path in paths:
        films = book.find(StoredFilm, fingerprint=fingerprint_of(path))
        angles = book.find(Angle, film_id=[film.id for film in films])
        clips = book.find(Clip, id=[one.clip_id for one in angles], session_id=home.id)
        if clips:
            found[path] = clips[0].order
    return found
