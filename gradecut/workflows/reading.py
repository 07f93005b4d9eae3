"""A batch of films read for the book: each once, with what is worth telling of them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import pairwise
from pathlib import Path

from gradecut.book import Book
from gradecut.progress import CancelToken
from gradecut.records import Angle, Clip, Fingerprint, Session, StoredFilm
from gradecut.workflows.aligning import Shot, times_hold
from gradecut.workflows.films import ReadFilm, read_film
from gradecut.workflows.pairing import recorded_s

__all__ = ["read_new"]


def read_new(
    book: Book, paths: Sequence[Path], cancel: CancelToken | None
) -> tuple[dict[Path, ReadFilm], list[str]]:
    """Read films, each once, without those the book has.

    Returns
    -------
    (dict of Path to ReadFilm, list of str)
        The new films in the order given, and what to tell: first films that come twice and
        films the book has already (where they lie now is noted), for of these no play is
        made; then what is to know of each film, and times that contradict the order.

    Raises
    ------
    FilmError
        When a film can't be opened.
    Cancelled
        When asked to stop.
    """
    reads: dict[Path, ReadFilm] = {}
    seen: dict[Fingerprint, Path] = {}
    notes: list[str] = []
    passed_over: list[str] = []
    moved: list[ReadFilm] = []
    for path in paths:
        if cancel is not None:
            cancel.check("Adding film")
        read = read_film(book, path)
        notes += [f"{path.name}: {one}" for one in read.notes]
        twin = seen.setdefault(read.film.fingerprint, path)
        already = book.find(Angle, film_id=read.film.id)
        if twin != path:
            passed_over.append(
                f"{path.name}: this is the same film as {twin.name}; it is taken once."
            )
        elif already:
            passed_over.append(_already(book, path, read.film, already))
            moved.append(read)
        else:
            reads[path] = read
    if moved:
        with book.act("note where films lie") as act:
            for read in moved:
                act.put(*read.rows)
    return reads, [*passed_over, *notes, *_times_against_names(reads)]


def _times_against_names(reads: Mapping[Path, ReadFilm]) -> list[str]:
    """Tell where films were clearly not filmed in the order of their names."""
    shots = [
        Shot(length_s=float(read.film.duration_s), at_s=recorded_s(read.film.recorded_at))
        for read in reads.values()
    ]
    if not times_hold(shots):
        return []
    turned = [
        f"{after.name} was filmed before {one.name}"
        for (one, first), (after, second) in pairwise(zip(reads, shots, strict=True))
        if (second.at_s or 0) < (first.at_s or 0)
    ]
    if not turned:
        return []
    more = f" (and so are {len(turned) - 1} more)" if len(turned) > 1 else ""
    return [
        f"By their times {turned[0]}{more}; the order of the names was kept. If it is wrong, "
        "take this back and add them one after another."
    ]


def _already(book: Book, path: Path, film: StoredFilm, angles: Sequence[Angle]) -> str:
    """Tell where in the book a film is, and under which name if that is another."""
    clips = {clip.id: clip for clip in book.find(Clip, id=[one.clip_id for one in angles])}
    plays = sorted(clips[one.clip_id].order for one in angles)
    session = book.get(Session, clips[angles[0].clip_id].session_id)
    listed = f"play {plays[0]}" if len(plays) == 1 else f"plays {plays[0]} to {plays[-1]}"
    name = f", as “{film.name}”" if film.name != path.stem else ""
    return (
        f"{path.name}: this film is already in the book, as the {angles[0].name} of {listed} of "
        f"{session.name}{name}."
    )
