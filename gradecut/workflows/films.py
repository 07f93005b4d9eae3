"""Films of a book: into it, found again on this computer, and counted in frames."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from os import PathLike
from pathlib import Path
from weakref import WeakKeyDictionary

from gradecut.book import Book
from gradecut.errors import FilmError, OutputError
from gradecut.progress import CancelToken, Progress, silent
from gradecut.records import FilmFile, FilmIndex, FrameTimes, StoredFilm
from gradecut.timebase import Frame, Pts

__all__ = [
    "ReadFilm",
    "check_no_film_there",
    "find_moved_films",
    "frame_length",
    "frame_length_before",
    "frame_of",
    "frame_times",
    "keep_indexes",
    "offer_indexes",
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
    index : FilmIndex or None
        Only where the book does not have it yet.
    last_pts : Pts
        Timestamp of the last displayed frame.
    notes : tuple of str
        What is worth telling about it.
    """

    film: StoredFilm
    file: FilmFile
    times: FrameTimes | None
    index: FilmIndex | None
    last_pts: Pts
    notes: tuple[str, ...]

    @property
    def rows(self) -> tuple[object, ...]:
        """All that goes into the book of the film itself."""
        rows = (self.film, self.file, self.times, self.index)
        return tuple(row for row in rows if row is not None)


def read_film(book: Book, path: Path) -> ReadFilm:
    """Read what the book keeps of a film; a film it knows comes back as it is known.

    Raises
    ------
    FilmError
        When it can't be opened.
    """
    from gradecut.film import open_film, recorded_at

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
        if not stored.recorded_at:
            stored = replace(stored, recorded_at=recorded_at(path))
        times = None
        if film.rate is None and not book.find(FrameTimes, film_id=stored.id):
            pts = tuple(int(film.pts_of(frame)) for frame in range(film.frame_count))
            times = FrameTimes(film_id=stored.id, pts=pts)
        return ReadFilm(
            film=stored,
            file=_file_here(book, stored, path),
            times=times,
            index=_new_index(book, stored),
            last_pts=film.pts_of(film.frame_count - 1),
            notes=film.notes,
        )


def _new_index(book: Book, film: StoredFilm) -> FilmIndex | None:
    """Return a film's index for the book, unless the book has it or it is not known here."""
    return None if book.count(FilmIndex, film_id=film.id) else _index_here(film)


def _index_here(film: StoredFilm) -> FilmIndex | None:
    """Return a film's index as this computer knows it."""
    from gradecut.film import packed_index

    data = packed_index(film.fingerprint)
    return FilmIndex(film_id=film.id, data=data) if data is not None else None


def keep_indexes(book: Book, film_ids: Sequence[str]) -> int:
    """Put the indexes of films read on this computer into the book; return how many were new.

    What can be made anew from a film is no act of anybody's: there is nothing to undo.
    """
    there = book.count(FilmIndex, film_id=list(film_ids))
    if there == len(film_ids):
        return 0
    films = book.find(StoredFilm, id=list(film_ids))
    made = (_new_index(book, film) if there else _index_here(film) for film in films)
    new = [index for index in made if index is not None]
    if new:
        with book.act("keep where the frames lie") as act:
            act.put(*new)
    return len(new)


def offer_indexes(book: Book, film_ids: Sequence[str]) -> int:
    """Give this computer the book's indexes of films; asking for their paths does so too.

    A film added on another computer then opens at once. What comes with a book comes from
    outside: an index that is damaged, or speaks of another film, is passed over, and the
    film is read when it is opened.

    Returns
    -------
    int
        How many of the films this computer now has an index of.
    """
    from gradecut.film import offer_index

    films = {film.id: film for film in book.find(StoredFilm, id=list(film_ids))}
    taken = 0
    for film in films.values():
        for index in book.find(FilmIndex, film_id=film.id):
            taken += _is_of(film, index.data) and offer_index(film.fingerprint, index.data)
    return taken


def _is_of(film: StoredFilm, data: bytes) -> bool:
    """Tell whether packed bytes are an index of a film, as far as the book knows the film."""
    from gradecut.film.indexing.index_bytes import unpack

    try:
        index = unpack(data)
    except ValueError:
        return False
    return (
        len(index) == film.frame_count
        and int(index.pts[0]) == film.first_pts
        and index.facts.time_base == film.time_base
    )


def _file_here(book: Book, film: StoredFilm, path: Path) -> FilmFile:
    """Say where a film lies on this computer, in the place of what was said before."""
    old = book.find(FilmFile, film_id=film.id, computer=book.computer)
    file = FilmFile(film_id=film.id, computer=book.computer, path=str(path.absolute()))
    return replace(file, id=old[0].id) if old else file


_OFFERED: WeakKeyDictionary[Book, set[str]] = WeakKeyDictionary()
"""Films of each open book whose indexes were offered already: once is enough."""


def paths_of_films(book: Book, film_ids: Sequence[str]) -> dict[str, str]:
    """Return where films lie on this computer; those whose file is away are left out.

    Whoever asks is about to open them, so the book's indexes of them are offered first.
    """
    found = _paths_here(book, film_ids)
    offered = _OFFERED.setdefault(book, set())
    new = [film_id for film_id in found if film_id not in offered]
    if new:
        offer_indexes(book, new)
        offered.update(new)
    return found


def _paths_here(book: Book, film_ids: Sequence[str]) -> dict[str, str]:
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


def check_no_film_there(book: Book, goal: Path) -> None:
    """Refuse to write over a film of the book: the coach's own film can't be made again.

    Raises
    ------
    OutputError
        When one of its films lies there.
    """
    films = [Path(file.path) for file in book.find(FilmFile, computer=book.computer)]
    if goal.exists() and any(film.exists() and goal.samefile(film) for film in films):
        raise OutputError(
            goal, "this is a film of the book and would be lost; choose another name."
        )


def find_moved_films(
    book: Book,
    folder: str | PathLike[str],
    *,
    progress: Progress = silent,
    cancel: CancelToken | None = None,
) -> int:
    """Find films again by fingerprint in a folder and all below it; return how many were found.

    Each is opened from its new place on this computer from then on; other computers keep
    theirs. Files that can't be read are passed over.

    Raises
    ------
    FilmError
        When there is no film in the folder or below it.
    Cancelled
        When asked to stop; the book then stays as it was.
    """
    from gradecut.film import find_films, fingerprint_of

    known = {film.fingerprint: film for film in book.find(StoredFilm)}
    here = _paths_here(book, [film.id for film in known.values()])
    missing = {mark: film for mark, film in known.items() if film.id not in here}
    paths = find_films(folder)
    found: list[FilmFile] = []
    for number, path in enumerate(paths):
        if not missing:
            break
        if cancel is not None:
            cancel.check("Looking for films")
        progress(number / len(paths), f"Looking at {path.name}")
        try:
            film = missing.pop(fingerprint_of(path), None)
        except FilmError:
            continue
        if film is not None:
            found.append(_file_here(book, film, path))
    if found:
        with book.act("find films again") as act:
            act.put(*found)
    progress(1.0, "Looked through the folder")
    return len(found)


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
