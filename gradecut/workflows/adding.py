"""Film into the book: clips, angles, and which angle belongs to which play."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from os import PathLike
from pathlib import Path

from gradecut.book import Book
from gradecut.errors import BookError
from gradecut.progress import CancelToken, Progress, silent
from gradecut.records import (
    Angle,
    Clip,
    Mark,
    Moment,
    Piece,
    Session,
    SessionKind,
)
from gradecut.workflows.films import ReadFilm, gather_films
from gradecut.workflows.pairing import (
    Pairing,
    PairingAsked,
    free_plays,
    propose_pairing,
)
from gradecut.workflows.reading import read_new
from gradecut.workflows.script import match_new_plays, match_script, script_lines, uneven_script

__all__ = [
    "Added",
    "add_film",
    "find_session",
    "read_plays",
    "script_session",
    "session_called",
    "session_there",
    "shift_pairing",
]


@dataclass(frozen=True, slots=True, kw_only=True)
class Added:
    """What adding film came to.

    Attributes
    ----------
    session : Session
    clips, angles, scripted : int
        New clips, new angles, and clips that were matched to the script.
    notes : tuple of str
        What the coach should know: films already there, varying rates, missing plays.
    """

    session: Session
    clips: int
    angles: int
    scripted: int
    notes: tuple[str, ...]


def session_there(book: Book, name: str) -> Session | None:
    """Return the session of a name, however it is capitalised; None when there is none."""
    return next((one for one in book.find(Session) if one.name.lower() == name.lower()), None)


def find_session(book: Book, name: str) -> Session:
    """Return the session of a name.

    Raises
    ------
    BookError
        When there is none; tells which there are.
    """
    found = session_there(book, name)
    if found is not None:
        return found
    there = ", ".join(session.name for session in book.find(Session)) or "none yet"
    raise BookError(f"{book.path}: there is no session “{name}” in this book; there is {there}.")


def read_plays(text: str) -> tuple[int, ...]:
    """Read plays as a coach writes them: ``2-4, 7``.

    Raises
    ------
    BookError
        When it is anything else.
    """
    plays: list[int] = []
    joined = re.sub(r"\s*[-–]\s*", "-", text)
    for part in filter(None, re.split(r"[,;\s]+", joined)):
        first, dash, last = part.partition("-")
        ends = [first, last if dash else first]
        if not all(end.isascii() and end.isdecimal() and len(end) < 5 for end in ends):
            raise BookError(f"“{part}” is no play; write plays as 2-4,7.")
        if int(ends[1]) < int(ends[0]):
            raise BookError(f"“{part}” runs backwards; write plays as 2-4,7.")
        plays += range(int(ends[0]), int(ends[1]) + 1)
    return tuple(plays)


def add_film(
    book: Book,
    places: Sequence[str | PathLike[str]],
    *,
    session: str,
    kind: SessionKind | None = None,
    day: str = "",
    angle: str = "end",
    script: str | PathLike[str] | None = None,
    from_play: int | None = None,
    from_number: int | None = None,
    without: Collection[int] = (),
    pairing: Pairing | None = None,
    by_order: bool = False,
    damaged: bool = False,
    progress: Progress = silent,
    cancel: CancelToken | None = None,
) -> Added:
    """Add films, one a play, to a session; the first angle makes its clips.

    A further angle's films go to the plays after its last that still lack it: by order where
    there are as many and nothing speaks against that. Where there is a film too few or too
    many, or lengths, times or sounds fit better otherwise, a pairing is proposed and the book
    stays as it was. Film that is in the book already, or comes twice, is told and not doubled.

    Parameters
    ----------
    places : sequence of path
        Files and folders, in order; a folder's films in natural order.
    session : str
        Its name; a session that is not there yet is made when a film is new.
    kind : str or None
        What a new session is (None: a practice); one that is there must agree.
    day : str
        Its date, ISO 8601; a session that is there must agree, or has none yet and gets it.
    angle : str
        "end", "side" or the coach's own word.
    script : path or None
        A script sheet to match to the new clips: by its lines of the same places, or from
        its first line where it is a sheet of the new plays only.
    from_play, from_number : int or None
        Where to match the script from instead; see ``match_script``.
    without : collection of int
        Plays this angle has no film of, so that the pairing skips them.
    pairing : Pairing or None
        A pairing that was proposed, as it was or corrected. Films it gives no play are left
        out; a play that is not there yet is made.
    by_order : bool
        Pair by order, whatever speaks against it.
    damaged : bool
        Whether films are taken whose end is cut off.

    Raises
    ------
    PairingAsked
        When order alone does not tell which film is whose; carries a proposal.
    FilmError, InputError, BookError, Cancelled
        The book then stays as it was.
    """
    paths = gather_films(places, damaged=damaged, progress=progress, cancel=cancel)
    home, is_new = session_called(book, session, kind, day)
    lines = None if script is None else script_lines(book, script, home.kind)
    reads, notes = read_new(book, paths, cancel)
    free = [clip for clip in free_plays(book, home, angle) if clip.order not in without]
    told = by_order or not free or not reads or (bool(without) and len(free) == len(reads))
    if pairing is None and not told:
        proposed = propose_pairing(
            book, home, list(reads), angle, plays=free, progress=progress, cancel=cancel
        )
        if not proposed.plain:
            raise PairingAsked(proposed)
        notes += [proposed.unchecked] if proposed.unchecked else []
    scripted = 0
    with book.act(f"add the {angle} film of {home.name}") as act:
        act.put(home)
        if pairing is None:
            places_of = _by_order(book, home, list(reads), free, without)
            more = _left_over(free, len(reads), angle)
        else:
            places_of, more = _as_paired(book, home, list(reads), pairing, angle)
        clips = _put_films(book, home, reads, places_of, angle)
        angles = len(places_of)
        notes += more
        if is_new and not angles:
            act.drop(Session, home.id)
            notes.append(f"Nothing is new, so no session “{home.name}” was made.")
        elif lines is not None and (from_play is not None or from_number is not None):
            scripted = match_script(
                book, home, lines, from_play=from_play or 1, from_number=from_number
            )
        elif lines is not None:
            scripted = match_new_plays(book, home, lines, new=clips)
            notes += uneven_script(len(book.find(Clip, session_id=home.id)), len(lines))
    progress(1.0, "Film added")
    return Added(session=home, clips=clips, angles=angles, scripted=scripted, notes=tuple(notes))


def session_called(
    book: Book, name: str, kind: SessionKind | None = None, day: str = ""
) -> tuple[Session, bool]:
    """Return the session of a name with its day filled in, and whether it is a new one.

    Raises
    ------
    BookError
        When one that is there is of another kind or day.
    """
    home = session_there(book, name)
    if home is None:
        return Session(name=name, kind=kind or "practice", day=day), True
    for told, known, what in ((kind, home.kind, f"a {home.kind}"), (day, home.day, home.day)):
        if told and known and told != known:
            raise BookError(
                f"{book.path}: “{home.name}” is {what} in this book, not {told}; leave that out, "
                "or name another session."
            )
    return replace(home, day=home.day or day), False


def script_session(
    book: Book,
    session: str,
    script: str | PathLike[str],
    *,
    from_play: int = 1,
    from_number: int | None = None,
) -> int:
    """Match a script sheet to the clips of a session; see ``match_script``."""
    home = find_session(book, session)
    lines = script_lines(book, script, home.kind)
    return match_script(book, home, lines, from_play=from_play, from_number=from_number)


def shift_pairing(book: Book, session: Session, angle: str, *, from_play: int, by: int) -> int:
    """Move one angle's films along the plays, from a play on; return how many moved.

    This is the one act for a camera that missed a play (``by=1``) or filmed one twice.
    Plays that are not there yet are made at the end.

    Raises
    ------
    BookError
        When there is nothing to move, a film would come to a play that has one, or what is
        said of a man already rests on a film that would move.
    """
    clips = book.find(Clip, session_id=session.id)
    by_id = {clip.id: clip for clip in clips}
    mine = book.find(Angle, clip_id=list(by_id), name=angle)
    moving = [one for one in mine if by_id[one.clip_id].order >= from_play]
    standing = {by_id[one.clip_id].order for one in mine if one not in moving}
    if not moving or by == 0:
        raise BookError(f"{session.name} has no {angle} film from play {from_play} on to move.")
    _check_nothing_rests_on(book, moving, f"the {angle} film from play {from_play} on")
    goals = {one.id: by_id[one.clip_id].order + by for one in moving}
    clash = sorted(standing.intersection(goals.values()))
    if min(goals.values()) < 1 or clash:
        where = f"play {clash[0]}, which has one" if clash else "before the first play"
        raise BookError(f"The {angle} film would come to {where}; move it less far.")
    with book.act(f"move the {angle} film by {by} from play {from_play}") as act:
        order_to_id = {clip.order: clip.id for clip in clips}
        for order in range(max(order_to_id, default=0) + 1, max(goals.values()) + 1):
            extra = Clip(session_id=session.id, order=order)
            act.put(extra)
            order_to_id[order] = extra.id
        for one in moving:
            goal_id = order_to_id[goals[one.id]]
            # It no longer lies beside anything: it was laid beside another play's films.
            act.put(replace(one, clip_id=goal_id, scale=Fraction(1), offset_s=Fraction(0)))
    return len(moving)


def _check_nothing_rests_on(book: Book, moving: Sequence[Angle], what: str) -> None:
    """Refuse to move films on which something of a man, or of a reel, is kept."""
    ids = [angle.id for angle in moving]
    resting = (
        ("First steps are marked", [m for m in book.find(Moment, angle_id=ids) if m.rep_id]),
        ("Men are marked", [m for m in book.find(Mark, angle_id=ids) if m.rep_id]),
        ("Reels rest", book.find(Piece, angle_id=ids)),
    )
    for said, found in resting:
        if found:
            raise BookError(f"{said} on {what}; take them back before you move it.")


Places = dict[Path, int]
"""Which film goes to which play."""


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


def _as_paired(
    book: Book, home: Session, paths: Sequence[Path], pairing: Pairing, angle: str
) -> tuple[Places, list[str]]:
    """Take a pairing as it was accepted; refuse one that can't be.

    Raises
    ------
    BookError
        When it is of another angle, gives a film or a play twice, or a play that has one.
    """
    if pairing.angle != angle:
        raise BookError(f"That pairing is of the {pairing.angle} film, not the {angle} film.")
    said = [(play, Path(path).absolute()) for play, path in pairing.pairs if path is not None]
    places = {path: play for play, path in said if play is not None and path in paths}
    plays = [play for play, path in said if play is not None and path in paths]
    clips = {clip.id: clip.order for clip in book.find(Clip, session_id=home.id)}
    have = {clips[one.clip_id] for one in book.find(Angle, clip_id=list(clips), name=angle)}
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


def _put_films(
    book: Book, home: Session, reads: Mapping[Path, ReadFilm], places: Places, angle: str
) -> int:
    """Put films to their plays, making the plays that are not there; return how many were made."""
    clips = {clip.order: clip for clip in book.find(Clip, session_id=home.id)}
    made = 0
    with book.act("add angles") as act:
        for path, play in places.items():
            read = reads[path]
            if play not in clips:
                clips[play] = Clip(session_id=home.id, order=play)
                made += 1
            act.put(clips[play], *read.rows, _whole_film(clips[play], read, angle))
    return made


def _whole_film(clip: Clip, read: ReadFilm, angle: str) -> Angle:
    """Make an angle of all a film shows."""
    return Angle(
        clip_id=clip.id,
        film_id=read.film.id,
        name=angle,
        start_pts=read.film.first_pts,
        stop_pts=read.last_pts,
    )
