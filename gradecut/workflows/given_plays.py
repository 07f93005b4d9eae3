"""Which play each film to be put in goes to: by order, or by a pairing that was accepted."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from gradecut.book import Book
from gradecut.errors import BookError
from gradecut.progress import CancelToken, Progress
from gradecut.records import Angle, Clip, Session
from gradecut.workflows.kept_places import Line, Places
from gradecut.workflows.pairing import Pairing, PairingAsked, free_plays, propose_pairing

__all__ = ["PlaysAsked", "give_plays", "take_pairing"]


@dataclass(frozen=True, slots=True, kw_only=True)
class PlaysAsked:
    """How films are to be given to plays; as for ``add_film``."""

    angle: str
    without: Collection[int]
    by_order: bool


def give_plays(
    book: Book,
    home: Session,
    line: Line,
    asked: PlaysAsked,
    *,
    progress: Progress,
    cancel: CancelToken | None,
) -> tuple[Places, list[str]]:
    """Give films to plays by order where it was told or nothing speaks against it.

    Raises
    ------
    PairingAsked
        When order alone does not tell.
    """
    angle, films, waiting, notes = asked.angle, line.films, line.waiting, list[str]()
    free = [
        clip
        for clip in free_plays(book, home, angle)
        if clip.order not in asked.without and clip.order not in line.kept.values()
    ]
    even = len(free) == len(waiting)
    told = asked.by_order or not free or not films or (bool(asked.without) and even)
    if not told:
        own = (
            [clip for clip, path in zip(free, waiting, strict=True) if path in films]
            if even
            else free
        )
        proposed = propose_pairing(
            book, home, films, angle, plays=own, progress=progress, cancel=cancel
        )
        if not proposed.plain:
            raise PairingAsked(proposed)
        notes += [proposed.unchecked] if proposed.unchecked else []
        waiting = waiting if even else films
    goals = _by_order(book, home, waiting, free, asked.without)
    return goals, [*notes, *_left_over(free, len(waiting), angle)]


def _by_order(
    book: Book,
    home: Session,
    paths: Sequence[Path],
    free: Sequence[Clip],
    without: Collection[int],
) -> Places:
    """Give each film the next play that lacks the angle, then new plays."""
    last = max((clip.order for clip in book.find(Clip, session_id=home.id)), default=0)
    goals = [clip.order for clip in free[: len(paths)]]
    goals += _next_plays(last, len(paths) - len(goals), without)
    return dict(zip(paths, goals, strict=True))


def _next_plays(last: int, count: int, without: Collection[int]) -> Iterator[int]:
    """Count on from the last play, past those that have no film."""
    play = last
    for _ in range(count):
        play += 1
        while play in without:
            play += 1
        yield play


def _left_over(free: Sequence[Clip], films: int, angle: str) -> list[str]:
    """Tell which plays got no film when films were paired by order."""
    if not 0 < films < len(free):
        return []
    plays = ", ".join(str(clip.order) for clip in free[films:])
    return [
        f"No {angle} film for play {plays}: paired by order. If another play is the missing "
        "one, move the pairing."
    ]


def take_pairing(
    book: Book, home: Session, line: Line, pairing: Pairing, angle: str
) -> tuple[Places, list[str]]:
    """Take a pairing as it was accepted; refuse one that can't be.

    Raises
    ------
    BookError
        When it is of another angle, gives a film or a play twice, or a play that has one.
    """
    if pairing.angle != angle:
        raise BookError(f"That pairing is of the {pairing.angle} film, not the {angle} film.")
    paths = line.films
    said = [(play, Path(path).absolute()) for play, path in pairing.pairs if path is not None]
    places = {path: play for play, path in said if play is not None and path in paths}
    plays = [play for play, path in said if play is not None and path in paths]
    clips = {clip.id: clip.order for clip in book.find(Clip, session_id=home.id)}
    have = {clips[one.clip_id] for one in book.find(Angle, clip_id=list(clips), name=angle)}
    have.update(line.kept.values())
    twice = sorted({play for play in plays if plays.count(play) > 1 or play in have or play < 1})
    if twice or len(places) != len(plays):
        what = f"play {twice[0]}" if twice else "a film"
        raise BookError(f"The pairing gives {what} more than once, or can't; correct it.")
    notes = [
        f"{path.name} goes with no play and was left out." for path in paths if path not in places
    ]
    lacking = sorted(play for play, path in pairing.pairs if play is not None and path is None)
    if lacking:
        notes.append(f"No {angle} film for play {', '.join(map(str, lacking))}.")
    return places, notes
