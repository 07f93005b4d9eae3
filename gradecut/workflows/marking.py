"""Marks on film: drawn, changed, taken away, set from play to play."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from math import isfinite

from gradecut.book import Book
from gradecut.drawing import MARK_COLOURS, POINTS_NEEDED
from gradecut.errors import BookError
from gradecut.records import (
    Angle,
    Clip,
    Grade,
    Mark,
    MarkKey,
    MarkKind,
    Player,
    Rep,
    Session,
    StoredFilm,
)
from gradecut.timebase import Pts
from gradecut.workflows.blind import seen
from gradecut.workflows.carried_men import carried_men, rep_in
from gradecut.workflows.films import frame_of, pts_of_frame
from gradecut.workflows.moments import timeline_of
from gradecut.workflows.roster import by_staff

__all__ = [
    "FilmMoment",
    "a_mark",
    "add_mark",
    "copy_mark",
    "drop_mark",
    "marks_of_rep",
    "marks_on",
    "names_of_reps",
    "rights_of_reps",
    "set_over",
    "why_not_drawable",
]


@dataclass(frozen=True, slots=True, kw_only=True)
class FilmMoment:
    """A moment of one film.

    Attributes
    ----------
    times : sequence of int
        Timestamps of all its frames where its rate varies; empty where it does not.
    """

    film: StoredFilm
    pts: Pts
    times: Sequence[int] = ()

    def frame_after(self, source: FilmMoment, pts: Pts) -> Pts:
        """Return the frame as long after this moment as a timestamp is after another film's."""
        gone_s = source.film.time_of(pts) - source.film.time_of(source.pts)
        wished = self.film.pts_of(self.film.time_of(self.pts) + gone_s)
        times: Mapping[str, Sequence[int]] = {self.film.id: self.times} if self.times else {}
        return pts_of_frame(self.film, frame_of(self.film, wished, times), times)


def add_mark(book: Book, mark: Mark, *, doing: str = "") -> Mark:
    """Put a drawing on film, or change one.

    Parameters
    ----------
    doing : str
        What the act is called, before the kind of mark: "move the"; empty: it is drawn.

    Raises
    ------
    BookError
        When it has too few points for its kind, or a colour or a stretch that can't be.
    """
    if why := why_not_drawable(mark):
        raise BookError(why)
    kept = replace(mark, author=mark.author or book.author)
    with book.act(f"{doing} {mark.kind}" if doing else f"draw {a_mark(mark.kind)}") as act:
        act.put(kept)
    return kept


def a_mark(kind: MarkKind) -> str:
    """Name a mark of a kind in a sentence: "an arrow", "words"."""
    return {"arrow": "an arrow", "text": "words"}.get(kind, f"a {kind}")


def why_not_drawable(mark: Mark) -> str:
    """Say in a sentence why a mark can't be painted; empty where it can."""
    fewest = POINTS_NEEDED.get(mark.kind, 1)
    if len(mark.points) < fewest:
        called = a_mark(mark.kind)
        return f"{called[0].upper()}{called[1:]} needs {fewest} points; draw it again."
    moves = [key.by for key in mark.keys]
    if not all(isfinite(number) for point in (*mark.points, *moves) for number in point):
        return f"A point of the {mark.kind} lies nowhere on the film; draw it again."
    if mark.colour and mark.colour not in MARK_COLOURS:
        known = ", ".join(MARK_COLOURS)
        return f"A mark can't be {mark.colour}; choose one of: {known}."
    if mark.from_pts > mark.to_pts:
        return f"The {mark.kind} would end before it begins; set its first frame anew."
    if any(later.pts <= sooner.pts for sooner, later in pairwise(mark.keys)):
        return f"The {mark.kind} would be in two places on one frame; set it anew."
    return ""


def drop_mark(book: Book, mark: Mark) -> None:
    """Take a drawing away."""
    with book.act(f"take the {mark.kind} away") as act:
        act.drop(Mark, mark.id)


def set_over(
    mark: Mark, angle: Angle, source: FilmMoment, goal: FilmMoment, *, rep_id: str | None
) -> Mark:
    """Return a new mark that stands to one moment of an angle as a mark does to another here.

    Its place is kept as a share of the picture where the films differ in size; its frames are
    counted from the moment in seconds and cut at the angle's edges.

    Raises
    ------
    BookError
        When no frame of it would lie in the play.
    """
    first, last = (goal.frame_after(source, pts) for pts in (mark.from_pts, mark.to_pts))
    if last < angle.start_pts or first > angle.stop_pts:
        raise BookError(
            f"The {mark.kind} would lie outside that play: it is seen too early or late."
        )
    wide, high = goal.film.width / source.film.width, goal.film.height / source.film.height
    keys = {goal.frame_after(source, key.pts): key.by for key in mark.keys}
    fresh = Mark(
        angle_id=angle.id, kind=mark.kind, from_pts=Pts(max(first, angle.start_pts)),
        to_pts=Pts(min(last, angle.stop_pts)), meaning=mark.meaning, text=mark.text,
        colour=mark.colour, rep_id=rep_id,
        points=tuple((x * wide, y * high) for x, y in mark.points),
    )  # fmt: skip
    moved = ((pts, (dx * wide, dy * high)) for pts, (dx, dy) in sorted(keys.items()))
    return replace(fresh, keys=tuple(MarkKey(pts=pts, by=by) for pts, by in moved))


def copy_mark(book: Book, mark: Mark, clip: Clip) -> Mark:
    """Set a mark on another play: the same place, and as far from its snap.

    It goes to the angle of the same name, and to the man who plays the same position there.

    Raises
    ------
    BookError
        When that play has no such angle, either snap is not known, or it would lie outside.
    """
    here = book.get(Angle, mark.angle_id)
    source_line, goal_line = timeline_of(book, here.clip_id), timeline_of(book, clip.id)
    there = next((one for one in goal_line.angles if one.name == here.name), None)
    if there is None:
        raise BookError(f"Play {clip.order} has no {here.name} view to copy the {mark.kind} to.")
    moments = []
    for line, angle in ((source_line, here), (goal_line, there)):
        snap = line.snap(angle)
        if snap is None:
            which = "this play" if angle is here else f"play {clip.order}"
            raise BookError(
                f"A mark is copied by the snap: mark it on the {angle.name} view of {which} first."
            )
        film = line.films[angle.film_id]
        moments.append(FilmMoment(film=film, pts=snap, times=line.times.get(film.id, ())))
    with book.act(f"copy the {mark.kind} to play {clip.order}") as act:
        copied = set_over(mark, there, *moments, rep_id=_same_man(book, mark, clip))
        copied = replace(copied, author=book.author)
        act.put(copied)
    return copied


def marks_on(book: Book, angles: Sequence[Angle]) -> tuple[Mark, ...]:
    """Return what is drawn on some angles, in the order it was drawn; blind, one's own only."""
    return tuple(seen(book, book.find(Mark, angle_id=[angle.id for angle in angles])))


def marks_of_rep(book: Book, rep_id: str) -> tuple[Mark, ...]:
    """Return what is drawn at the man of a rep, over all angles; blind, one's own only."""
    return tuple(seen(book, book.find(Mark, rep_id=[rep_id])))


def names_of_reps(book: Book, rep_ids: Collection[str]) -> dict[str, str]:
    """Name the men of reps as brackets do: "Keel 52", by the number worn in that session."""
    reps = book.find(Rep, id=list(rep_ids))
    men = {man.id: man for man in book.find(Player, id=[rep.player_id for rep in reps])}
    clips = {clip.id: clip for clip in book.find(Clip, id=[rep.clip_id for rep in reps])}
    wanted = [clip.session_id for clip in clips.values()]
    games = {one.id for one in book.find(Session, id=wanted) if one.kind == "game"}
    named = {}
    for rep in reps:
        man, game = men.get(rep.player_id), clips[rep.clip_id].session_id in games
        named[rep.id] = f"{rep.position} {man.worn(game=game) if man else ''}".strip()
    return named


def rights_of_reps(book: Book, rep_ids: Collection[str]) -> dict[str, bool]:
    """Tell of each rep the staff has graded whether its newest grade says right."""
    grades = by_staff(seen(book, book.find(Grade, rep_id=list(rep_ids))), book.find(Player))
    return {grade.rep_id: grade.fit_result == "right" for grade in grades if grade.fitted}


def _same_man(book: Book, mark: Mark, clip: Clip) -> str | None:
    """Return the rep of the position a mark's man plays, on another play; None without one.

    A man who only stays in there gets his with this.
    """
    if mark.rep_id is None:
        return None
    position = book.get(Rep, mark.rep_id).position
    found = book.find(Rep, clip_id=clip.id, position=position)
    if not found and any(one.position == position for one in carried_men(book, clip)):
        found = [rep_in(book, clip, position)]
    return found[0].id if found else None
