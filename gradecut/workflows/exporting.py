"""One play handed out as film of its own."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import groupby, pairwise
from math import ceil
from os import PathLike
from pathlib import Path

from gradecut.book import Book
from gradecut.counting_words import all_listed
from gradecut.errors import BookError
from gradecut.film import Film, open_film
from gradecut.outfile import check_goal
from gradecut.progress import CancelToken, Progress, silent
from gradecut.records import Angle, Clip, Player, Rep, StoredFilm
from gradecut.reels import Plan, PlannedStep, render
from gradecut.reports.barred import by_age_told
from gradecut.reports.cautions import CONSENT
from gradecut.timebase import Frame
from gradecut.workflows.films import check_no_film_there, path_of_film
from gradecut.workflows.marking import marks_on, names_of_reps, rights_of_reps

__all__ = ["ClipWritten", "angle_called", "consent_line", "steady_beat", "write_clip"]

_USUAL_RATES = (
    (Fraction(24000, 1001), Fraction(24)), (Fraction(25),), (Fraction(30000, 1001), Fraction(30)),
    (Fraction(48),), (Fraction(50),), (Fraction(60000, 1001), Fraction(60)), (Fraction(100),),
    (Fraction(120000, 1001), Fraction(120)), (Fraction(240),),
)  # fmt: skip
"""Rates cameras and players know, rising, near twins together (common practice, no source)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ClipWritten:
    """A play written as film.

    Attributes
    ----------
    path : Path
        Where it lies.
    frame_count : int
        Frames in it.
    rate : Fraction
        Frames a second.
    sound : bool
        Whether it has sound.
    notes : tuple of str
        What is worth telling, one sentence each.
    """

    path: Path
    frame_count: int
    rate: Fraction
    sound: bool
    notes: tuple[str, ...]


def write_clip(
    book: Book,
    clip: Clip,
    angle: Angle,
    out: str | PathLike[str],
    *,
    sound: bool = True,
    marks: bool = False,
    progress: Progress = silent,
    cancel: CancelToken | None = None,
) -> ClipWritten:
    """Write one angle of a play as an mp4 of its own, from its first frame to its last.

    The film is encoded anew, at its displayed size and its own rate, so that it begins and
    ends on the very frames of the clip. Where the film's rate varies, each frame stands at the
    nearest beat of the lowest usual rate at which none is lost, and a note says so.

    Parameters
    ----------
    clip, angle : Clip, Angle
        The play, and which view of it.
    out : path
        Where it goes (.mp4); it appears whole or not at all.
    sound : bool
        Whether to keep the film's sound, where it has any.
    marks : bool
        Whether to paint on what is drawn on this view, each mark on its own frames.

    Raises
    ------
    FilmError
        When its film is away or can't be opened.
    OutputError
        When it can't be written there, or a film of the book lies there.
    Cancelled
        When asked to stop; nothing is left behind.
    """
    goal = check_goal(out, endings=(".mp4",), what="a play's film")
    check_no_film_there(book, goal)
    stored = book.find(StoredFilm, id=angle.film_id)[0]
    path = path_of_film(book, stored)
    with open_film(path) as film:
        planned, notes = _plan_of(film, path, clip, angle)
        if marks:
            planned = _marked(book, planned, film, angle)
        heard = sound and film.index.facts.sound
    if sound and not heard:
        notes = (*notes, f"“{stored.name}” has no sound.")
    render(planned, goal, sound=heard, progress=progress, cancel=cancel)
    return ClipWritten(
        path=goal, frame_count=planned.frame_count, rate=planned.rate, sound=heard, notes=notes
    )


def consent_line(book: Book, clip: Clip) -> str:
    """Return the caution that goes with a play's film: it shows every man, shared or not."""
    in_it = [rep.player_id for rep in book.find(Rep, clip_id=clip.id) if rep.player_id]
    barred = [man for man in book.find(Player, id=in_it) if not man.may_be_shared]
    minors, untold = by_age_told(barred)
    of_age = [f"{all_listed(minors)}, under 18 without consent on file"] if minors else []
    of_age += [f"{all_listed(untold)}, whose age nobody has told"] if untold else []
    among = f", among them {'; and '.join(of_age)}" if barred else ""
    return (
        f"{CONSENT.title}: this film shows every man of the play{among}. Share it only with "
        "consent on file, by no public link."
    )


def angle_called(book: Book, clip: Clip, name: str) -> Angle:
    """Return a play's angle by name; the only one it has when the name is empty.

    Raises
    ------
    BookError
        When it has none of that name, or several and none was named.
    """
    angles = book.find(Angle, clip_id=clip.id)
    named = [angle for angle in angles if name in ("", angle.name)]
    if len(named) == 1:
        return named[0]
    if not angles:
        raise BookError(f"{book.path}: play {clip.order} has no film; add its film first.")
    there = ", ".join(sorted(angle.name for angle in angles))
    asked = f"no angle “{name}”" if name else "more than one angle"
    raise BookError(f"{book.path}: play {clip.order} has {asked}; name one of: {there}.")


def steady_beat(times_s: Sequence[Fraction]) -> tuple[Fraction, list[int]]:
    """Choose a constant rate for frames that come unsteadily, and place them on its beats.

    Every frame goes to the beat nearest to its time. The rate is the lowest usual one that
    gives each frame a beat of its own; of near twins (29.97 and 30) the one that fits better.

    Parameters
    ----------
    times_s : sequence of Fraction
        When each frame begins, in seconds, rising; not empty.

    Returns
    -------
    (Fraction, list of int)
        Frames a second, and each frame's beat, from 0.
    """
    shortest_s = min((later - sooner for sooner, later in pairwise(times_s)), default=Fraction(1))
    for rates in (*_USUAL_RATES, (Fraction(ceil(1 / shortest_s)),)):
        ways = [(rate, _beats(times_s, rate)) for rate in rates]
        fitting = [way for way in ways if all(b > a for a, b in pairwise(way[1]))]
        if fitting:
            break
    return min(fitting, key=lambda way: _astray_s(times_s, *way))


def _beats(times_s: Sequence[Fraction], rate: Fraction) -> list[int]:
    """Return the beat nearest to each time, counted from the first; halves go up."""
    return [int((time_s - times_s[0]) * rate + Fraction(1, 2)) for time_s in times_s]


def _astray_s(times_s: Sequence[Fraction], rate: Fraction, beats: Sequence[int]) -> Fraction:
    """Return how far beats lie from their times, added up."""
    off_s = (
        abs(beat / rate - time_s + times_s[0]) for beat, time_s in zip(beats, times_s, strict=True)
    )
    return sum(off_s, Fraction(0))


def _plan_of(film: Film, path: str, clip: Clip, angle: Angle) -> tuple[Plan, tuple[str, ...]]:
    """Plan the one piece, frame by frame."""
    first, last = film.frame_at_pts(angle.start_pts), film.frame_at_pts(angle.stop_pts)
    rate = film.rate
    notes: tuple[str, ...] = ()
    shown: tuple[int, ...] = tuple(range(first, last + 1))
    if rate is None:
        rate, shown, notes = _steadied(film, first, last)
    name = f"Play {clip.order}"
    step = PlannedStep(
        kind="film", piece_id=clip.id, first_frame=0, frame_count=len(shown), path=path,
        film_frames=shown, sound_from_s=film.time_of(first),
    )  # fmt: skip
    size_px = (film.width + film.width % 2, film.height + film.height % 2)
    planned = Plan(name=name, rate=rate, size_px=size_px, steps=(step,), missing=(), marks={})
    return planned, notes


def _marked(book: Book, planned: Plan, film: Film, angle: Angle) -> Plan:
    """Return the plan with all that is drawn on the angle, cut where other marks are seen."""
    drawn = {mark.id: mark for mark in marks_on(book, [angle])}
    (whole,) = planned.steps
    steps: list[PlannedStep] = []
    at = 0

    def drawn_at(frame: int) -> tuple[str, ...]:
        pts = film.pts_of(frame)
        return tuple(one.id for one in drawn.values() if one.from_pts <= pts <= one.to_pts)

    for mark_ids, run in groupby(whole.film_frames, key=drawn_at):
        frames = tuple(run)
        steps.append(
            replace(
                whole, first_frame=at, frame_count=len(frames), film_frames=frames,
                film_pts=tuple(film.pts_of(frame) for frame in frames), mark_ids=mark_ids,
                sound_from_s=film.time_of(Frame(whole.film_frames[0])) + at / planned.rate,
            )
        )  # fmt: skip
        at += len(frames)
    rep_ids = {mark.rep_id for mark in drawn.values() if mark.rep_id}
    return replace(
        planned, steps=tuple(steps), marks=drawn, names=names_of_reps(book, rep_ids),
        rights=rights_of_reps(book, rep_ids),
    )  # fmt: skip


def _steadied(
    film: Film, first: Frame, last: Frame
) -> tuple[Fraction, tuple[int, ...], tuple[str, ...]]:
    """Return rate, film frame of each beat, and what to say about it."""
    rate, beats = steady_beat(film.times_s[first : last + 1])
    ends_s = film.time_of(last + 1) if last + 1 < film.frame_count else film.duration_s
    stop = int((ends_s - film.time_of(first)) * rate + Fraction(1, 2))
    edges = [*beats, max(stop, beats[-1] + 1)]
    shown = tuple(
        frame
        for frame, (sooner, later) in enumerate(pairwise(edges), start=first)
        for _ in range(sooner, later)
    )
    told = f"{float(rate):.2f}".rstrip("0").rstrip(".")
    return rate, shown, (
        f"The film's rate varies: written at {told} frames a second, no frame lost.",
    )  # fmt: skip
