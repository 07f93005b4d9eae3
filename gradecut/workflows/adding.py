"""Film into the book: clips, angles, and which angle belongs to which play."""

from __future__ import annotations

import re
from collections.abc import Collection, Mapping, Sequence
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
from gradecut.workflows.films import ReadFilm
from gradecut.workflows.gathered_films import gather_films
from gradecut.workflows.given_plays import PlaysAsked, give_plays, take_pairing
from gradecut.workflows.kept_places import (
    Places,
    again_words,
    keep_places,
    passed_over_words,
)
from gradecut.workflows.kept_scripts import keep_script
from gradecut.workflows.look_pictures import turn_of
from gradecut.workflows.pairing import Pairing
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
    faults : tuple of str
        Films that were passed over, a sentence each.
    """

    session: Session
    clips: int
    angles: int
    scripted: int
    notes: tuple[str, ...]
    faults: tuple[str, ...] = ()


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
    What is no film or can't be opened is told and passed over; its play is kept, without film,
    and filled when the same is added again.

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
        When no film can be taken among others; the book then stays as it was.
    """
    gathered = gather_films(places, damaged=damaged, progress=progress, cancel=cancel)
    home, is_new = session_called(book, session, kind, day)
    lines = None if script is None else script_lines(book, script, home.kind)
    reads, notes = read_new(book, gathered.films, cancel)
    line = keep_places(book, home, gathered, reads, angle)
    if pairing is None:
        asked = PlaysAsked(angle=angle, without=without, by_order=by_order)
        goals, more = give_plays(book, home, line, asked, progress=progress, cancel=cancel)
    else:
        goals, more = take_pairing(book, home, line, pairing, angle)
    goals = line.kept | goals
    angles = sum(path in reads for path in goals)
    notes += more
    scripted = 0
    before = {clip.order for clip in book.find(Clip, session_id=home.id)}
    with book.act(f"add the {angle} film of {home.name}") as act:
        act.put(home)
        clips = _put_films(book, home, reads, goals, angle)
        if is_new and not angles:
            act.drop(Session, home.id)
            notes.append(f"Nothing is new, so no session “{home.name}” was made.")
        elif lines is not None and (from_play is not None or from_number is not None):
            scripted = match_script(
                book, home, lines, from_play=from_play or 1, from_number=from_number
            )
        elif lines is not None:
            scripted = match_new_plays(book, home, lines, there=before)
            notes += uneven_script(book, home, lines)
        if script is not None and book.count(Session, id=home.id):
            keep_script(book, home, script)
    progress(1.0, "Film added")
    notes += again_words(sum(path in goals for path in gathered.faults))
    return Added(
        session=home, clips=clips, angles=angles, scripted=scripted, notes=tuple(notes),
        faults=passed_over_words(gathered.faults, goals, angle),
    )  # fmt: skip


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
    """Match a script sheet to the clips of a session, and keep it; see ``match_script``."""
    home = find_session(book, session)
    lines = script_lines(book, script, home.kind)
    with book.act(f"match the script of {home.name}"):
        matched = match_script(book, home, lines, from_play=from_play, from_number=from_number)
        keep_script(book, home, script)
    return matched


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
        last = max(order_to_id, default=0)
        # Numbers may be missing before the last play too: a film that could not be taken has
        # none, and a sheet of plays may have lines taken out.
        wanted = set(range(last + 1, max(goals.values()) + 1)) | set(goals.values())
        for order in sorted(wanted - order_to_id.keys()):
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


def _put_films(
    book: Book, home: Session, reads: Mapping[Path, ReadFilm], places: Places, angle: str
) -> int:
    """Put films to their plays, making the plays that are not there; return how many were made.

    A path of which nothing was read has a play, but no film in it.
    """
    clips = {clip.order: clip for clip in book.find(Clip, session_id=home.id)}
    made, turn = 0, turn_of(book, home.id, angle)
    with book.act("add angles") as act:
        for path, play in places.items():
            if play not in clips:
                clips[play] = Clip(session_id=home.id, order=play)
                made += 1
            act.put(clips[play])
            if path in reads:
                act.put(*reads[path].rows, _whole_film(clips[play], reads[path], angle, turn))
    return made


def _whole_film(clip: Clip, read: ReadFilm, angle: str, turn: int) -> Angle:
    """Make an angle of all a film shows."""
    return Angle(
        clip_id=clip.id,
        film_id=read.film.id,
        name=angle,
        start_pts=read.film.first_pts,
        stop_pts=read.last_pts,
        turn=turn,
    )
