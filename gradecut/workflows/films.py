"""Films of a book: into it, found again on this computer, and counted in frames."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from os import PathLike
from pathlib import Path

from gradecut.book import Book
from gradecut.errors import FilmError, InputError
from gradecut.film import film_files, fingerprint_of, index_films, open_film
from gradecut.progress import CancelToken, Progress, silent
from gradecut.records import FilmFile, FrameTimes, StoredFilm
from gradecut.timebase import Frame, Pts

__all__ = [
    "ReadFilm",
    "find_moved_films",
    "frame_length",
    "frame_length_before",
    "frame_of",
    "frame_times",
    "gather_films",
    "path_of_film",
    "paths_of_films",
    "pts_of_frame",
    "read_film",
]


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadFilm:
    """What the book keeps of one film, not yet put into it.

    Attributes
    ----------
    film : StoredFilm
        As the book knows it, when it does.
    file : FilmFile
        Where it lies on this computer.
    times : FrameTimes or None
        Only where the rate varies and the book does not have them yet.
    last_pts : Pts
        Timestamp of the last displayed frame.
    notes : tuple of str
        What is worth telling about it.
    """

    film: StoredFilm
    file: FilmFile
    times: FrameTimes | None
    last_pts: Pts
    notes: tuple[str, ...]


def gather_films(
    places: Sequence[str | PathLike[str]],
    *,
    damaged: bool = False,
    progress: Progress = silent,
    cancel: CancelToken | None = None,
) -> list[Path]:
    """Return the films of files and folders, in natural order, each one read once.

    Parameters
    ----------
    damaged : bool
        Whether a film whose end is cut off is taken too. The whole film would be another
        one, to which nothing that is marked on the rest belongs.

    Raises
    ------
    FilmError
        When a film can't be taken, or a folder holds none.
    InputError
        When several films can't be taken: one sentence each.
    Cancelled
        When asked to stop.
    """
    paths = list(dict.fromkeys(path.absolute() for place in places for path in film_files(place)))
    faults = index_films(paths, progress, cancel)
    if not damaged:
        faults |= _cut_off([path for path in paths if path not in faults])
    if len(faults) == 1:
        raise next(iter(faults.values()))
    if faults:
        told = [(0, f"{path.name}: {fault.reason}") for path, fault in faults.items()]
        raise InputError(places[0], told)
    return paths


def _cut_off(paths: Sequence[Path]) -> dict[Path, FilmError]:
    """Find films whose end is missing, as after a card was pulled out too soon."""
    found: dict[Path, FilmError] = {}
    for path in paths:
        with open_film(path) as film:
            told = [fault for fault in film.index.faults if fault.startswith("its end is cut off")]
        if told:
            found[path] = FilmError(
                path,
                f"{told[0]}; copy it from the camera again, or add it with --damaged if this is "
                "all there is.",
            )
    return found


def read_film(book: Book, path: Path) -> ReadFilm:
    """Read what the book keeps of a film; a film it knows comes back as it is known.

    Raises
    ------
    FilmError
        When it can't be opened.
    """
    with open_film(path) as film:
        known = book.find(StoredFilm, fingerprint=film.fingerprint)
        stored = (
            known[0]
            if known
            else StoredFilm(
                name=path.stem,
                fingerprint=film.fingerprint,
                width=film.width,
                height=film.height,
                rate=film.rate,
                time_base=film.time_base,
                frame_count=film.frame_count,
                first_pts=film.pts_of(0),
                duration_s=film.duration_s,
            )
        )
        times = None
        if film.rate is None and not book.find(FrameTimes, film_id=stored.id):
            pts = tuple(int(film.pts_of(frame)) for frame in range(film.frame_count))
            times = FrameTimes(film_id=stored.id, pts=pts)
        return ReadFilm(
            film=stored,
            file=_file_here(book, stored, path),
            times=times,
            last_pts=film.pts_of(film.frame_count - 1),
            notes=film.notes,
        )


def _file_here(book: Book, film: StoredFilm, path: Path) -> FilmFile:
    """Say where a film lies on this computer, in the place of what was said before."""
    old = book.find(FilmFile, film_id=film.id, computer=book.computer)
    file = FilmFile(film_id=film.id, computer=book.computer, path=str(path.absolute()))
    return replace(file, id=old[0].id) if old else file


def paths_of_films(book: Book, film_ids: Sequence[str]) -> dict[str, str]:
    """Return where films lie on this computer; those whose file is away are left out."""
    files = book.find(FilmFile, film_id=list(film_ids), computer=book.computer)
    return {file.film_id: file.path for file in files if Path(file.path).is_file()}


def path_of_film(book: Book, film: StoredFilm) -> str:
    """Return where a film lies on this computer.

    Raises
    ------
    FilmError
        When its file is not where it was.
    """
    found = paths_of_films(book, [film.id])
    if film.id not in found:
        known = book.find(FilmFile, film_id=film.id, computer=book.computer)
        last = known[0].path if known else film.name
        raise FilmError(
            last, "the film is not there any more; show gradecut the folder it lies in now."
        )
    return found[film.id]


def find_moved_films(book: Book, folder: str | PathLike[str]) -> int:
    """Find films again by fingerprint in a folder; return how many were found.

    Raises
    ------
    FilmError
        When the folder holds no film.
    """
    known = {film.fingerprint: film for film in book.find(StoredFilm)}
    here = set(paths_of_films(book, [film.id for film in known.values()]))
    found = 0
    with book.act("find films again") as act:
        for path in film_files(folder):
            film = known.get(fingerprint_of(path))
            if film is None or film.id in here:
                continue
            act.put(_file_here(book, film, path))
            found += 1
    return found


def frame_times(book: Book, film_ids: Sequence[str]) -> dict[str, tuple[int, ...]]:
    """Return the timestamps of all frames of those films whose rate varies."""
    return {row.film_id: row.pts for row in book.find(FrameTimes, film_id=list(film_ids))}


def frame_of(film: StoredFilm, pts: Pts, times: Mapping[str, Sequence[int]]) -> Frame:
    """Count the frame that a timestamp belongs to, from 0."""
    if film.rate is not None:
        return Frame(round(film.time_of(pts) * film.rate))
    listed = times[film.id]
    place = bisect_left(listed, pts)
    if place == len(listed) or (place and pts - listed[place - 1] < listed[place] - pts):
        place -= 1
    return Frame(place)


def pts_of_frame(film: StoredFilm, frame: Frame, times: Mapping[str, Sequence[int]]) -> Pts:
    """Return when a frame is shown, in ticks of its film's time base."""
    if film.rate is not None:
        return film.pts_of(frame / film.rate)
    return Pts(times[film.id][frame])


def frame_length(film: StoredFilm, pts: Pts, times: Mapping[str, Sequence[int]]) -> Fraction:
    """Return how long the frame at a timestamp is shown, in seconds."""
    if film.rate is not None:
        return 1 / film.rate
    listed = times[film.id]
    place = min(frame_of(film, pts, times), len(listed) - 2)
    return Fraction(listed[place + 1] - listed[place]) * film.time_base


def frame_length_before(film: StoredFilm, pts: Pts, times: Mapping[str, Sequence[int]]) -> Fraction:
    """Return how long the frame before the one at a timestamp is shown, in seconds.

    What is first seen on a frame happened after the frame before it: this is how surely the
    frame tells when. The first frame of a film has none before it; it gives its own length.
    """
    frame = frame_of(film, pts, times)
    before = pts_of_frame(film, Frame(max(frame - 1, 0)), times)
    return frame_length(film, before, times)
