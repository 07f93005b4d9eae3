"""From pieces to a plan: which film frame every frame of a reel shows."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import groupby
from math import ceil

from gradecut.errors import FilmError
from gradecut.film import Film, open_film
from gradecut.progress import Progress, silent
from gradecut.records.marks import Mark
from gradecut.records.teaching import Freeze, Piece, Reel
from gradecut.reels.planned import PieceSource, Plan, PlannedStep
from gradecut.timebase import Pts, frame_showing

__all__ = ["plan"]

_CARD_S = Fraction(2)
_ROUNDED_TICK_S = Fraction(1, 1000)
"""The clock of Matroska and its kin rounds every frame's time to a millisecond; taken at
its word, a frame would now and then seem to begin just after the moment it is asked for."""


def plan(
    reel: Reel,
    pieces: Sequence[Piece],
    sources: Mapping[str, PieceSource],
    marks: Sequence[Mark],
    *,
    rate: Fraction = Fraction(30),
    size_px: tuple[int, int] = (1280, 720),
    rights: Mapping[str, bool] | None = None,
    names: Mapping[str, str] | None = None,
    progress: Progress = silent,
) -> Plan:
    """Work out a reel to the frame.

    A piece is a title card of 2 s (when it has a title), then its film, clipped to the
    edges of its clip, standing still where it has freezes. Every frame of the reel shows
    the film frame on screen at that time by its presentation time, counted from the snap
    and at the piece's speed; so frames repeat or drop where the rates differ. A freeze lasts
    its hold to the nearest frame and stands just before its own moment; one beyond the
    piece's ends stands at that end.

    While a piece stands still all its marks are painted: each on the freezes its frames
    cover, or else on the nearest one. While film runs, marks that last more than one frame
    are painted on theirs. A mark that goes along with a man is where it is at each frame's own
    timestamp. The caption stands from the first freeze on, so that the look is
    seen first; without a freeze from the start.

    Parameters
    ----------
    reel : Reel
        Its name.
    pieces : sequence of Piece
        In any order; shown by their ``order``.
    sources : mapping of angle id to PieceSource
        Where the film of each angle lies.
    marks : sequence of Mark
        Those the pieces name; others are ignored.
    rate : Fraction
        Frames a second of the reel.
    size_px : (width, height)
        Of the reel's picture; both even.
    rights : mapping of rep id to bool, optional
        Whether each graded rep was right: its marks then stand in the hue of right.
    names : mapping of rep id to str, optional
        Who each man is, such as "Keel 52": it stands below a bracket that says nothing else.

    Returns
    -------
    Plan
        What can't be shown is told in ``missing``, one sentence each.

    Raises
    ------
    ValueError
        For a rate that isn't positive or a size that isn't even.
    """
    if rate <= 0:
        raise ValueError(f"A rate is a positive number of frames a second, not {rate}.")
    if any(side <= 0 or side % 2 for side in size_px):
        raise ValueError(f"A reel's sides are even numbers of pixels, not {size_px}.")
    steps: list[PlannedStep] = []
    missing: list[str] = []
    known = {mark.id: mark for mark in marks}
    ordered = sorted(pieces, key=lambda piece: (piece.order, piece.id))
    with _OneFilm() as films:
        for number, piece in enumerate(ordered, start=1):
            progress((number - 1) / len(ordered), f"Planning piece {number} of {len(ordered)}")
            called = f"Piece {number}" + (f" (“{piece.title}”)" if piece.title else "")
            try:
                stretch = _stretch(piece, sources.get(piece.angle_id), films, rate)
            except _LeftOut as reason:
                missing.append(f"{called} is left out: {reason}")
                continue
            usable, untold = _usable_marks(piece, known)
            missing.extend(f"{called}: {sentence}" for sentence in untold)
            first = steps[-1].first_frame + steps[-1].frame_count if steps else 0
            steps.extend(_number(_steps(piece, stretch, usable, rate), first))
    progress(1.0, "Reel planned")
    shown = {mark_id: known[mark_id] for step in steps for mark_id in step.mark_ids}
    return Plan(
        name=reel.name, rate=rate, size_px=size_px, steps=tuple(steps), rights=dict(rights or {}),
        missing=tuple(missing), marks=shown, names=dict(names or {}),
    )  # fmt: skip


class _LeftOut(Exception):
    """A piece can't be shown; its text says why."""


class _OneFilm:
    """Keeps the last film open, since pieces of one film often follow each other."""

    def __init__(self) -> None:
        self._film: Film | None = None

    def __enter__(self) -> _OneFilm:
        return self

    def __exit__(self, *_: object) -> None:
        if self._film is not None:
            self._film.close()

    def open(self, path: str) -> Film:
        """Return the film, open."""
        if self._film is None or self._film.path != path:
            if self._film is not None:
                self._film.close()
                self._film = None
            self._film = open_film(path)
        return self._film


@dataclass(frozen=True, slots=True, kw_only=True)
class _Stretch:
    """The film of one piece, on the reel's own beat.

    Beat ``j`` is the time ``snap + j * speed / rate``; beat 0 is the snap, so that it is
    always shown exactly.
    """

    path: str
    times_s: Sequence[Fraction]
    pts: Sequence[Pts]
    first: int
    last: int
    snap_s: Fraction
    beat_s: Fraction
    beats: range
    slack_s: Fraction

    def frame(self, after_snap_s: Fraction) -> int:
        """Return the film frame on screen at a time from the snap, within the clip."""
        shown = frame_showing(self.times_s, self.snap_s + after_snap_s + self.slack_s)
        return min(max(shown, self.first), self.last)

    def pts_of(self, frame: int) -> Pts:
        """Return the timestamp of a film frame within the clip."""
        return self.pts[frame - self.first]

    def beat_of(self, freeze: Freeze) -> int:
        """Return the beat a freeze stands before, within the piece."""
        beat = ceil(freeze.at_s / self.beat_s)
        return min(max(beat, self.beats.start), self.beats.stop)

    def frozen_frame(self, freeze: Freeze) -> int:
        """Return the film frame a freeze shows, within the piece."""
        shown = self.frame(freeze.at_s)
        return min(
            max(shown, self.frame(self.beats.start * self.beat_s)),
            self.frame((self.beats.stop - 1) * self.beat_s),
        )


def _stretch(piece: Piece, source: PieceSource | None, films: _OneFilm, rate: Fraction) -> _Stretch:
    """Find a piece in its film."""
    if source is None:
        raise _LeftOut("its film is not in the book; add the film again.")
    if source.path is None:
        raise _LeftOut(
            f"the film “{source.name}” was not found on this computer; show where it lies."
        )
    if source.snap_pts is None:
        raise _LeftOut(f"no snap is marked in “{source.name}”; mark it and plan again.")
    try:
        film = films.open(source.path)
    except FilmError as error:
        raise _LeftOut(f"the film “{source.name}” can't be used: {error.reason}") from error
    first, last = film.frame_at_pts(source.start_pts), film.frame_at_pts(source.stop_pts)
    snap_s = film.time_of(film.frame_at_pts(source.snap_pts))
    beat_s = piece.speed / rate
    ends_s = film.time_of(last + 1) if last + 1 < film.frame_count else film.duration_s
    from_s = max(piece.from_s, film.time_of(first) - snap_s)
    to_s = min(piece.to_s, ends_s - snap_s)
    beats = range(ceil(from_s / beat_s), ceil(to_s / beat_s))
    if not beats:
        raise _LeftOut("nothing of it lies within its clip; choose another stretch.")
    tick_s = film.time_base
    return _Stretch(
        path=source.path, times_s=film.times_s,
        pts=[film.pts_of(number) for number in range(first, last + 1)],
        first=first, last=last, snap_s=snap_s, beat_s=beat_s, beats=beats,
        slack_s=tick_s if tick_s == _ROUNDED_TICK_S else Fraction(0),
    )  # fmt: skip


def _usable_marks(piece: Piece, known: Mapping[str, Mark]) -> tuple[list[Mark], list[str]]:
    """Return the marks of a piece, and a sentence for each that can't be painted."""
    usable: list[Mark] = []
    untold: list[str] = []
    for mark_id in piece.mark_ids:
        mark = known.get(mark_id)
        if mark is None:
            untold.append("a mark of it is no longer in the book and is not painted.")
        elif mark.angle_id != piece.angle_id:
            one = "an" if mark.kind == "arrow" else "a"
            untold.append(f"{one} {mark.kind} was drawn on another angle and is not painted.")
        else:
            usable.append(mark)
    return usable, untold


def _steps(
    piece: Piece, stretch: _Stretch, marks: Sequence[Mark], rate: Fraction
) -> Iterable[PlannedStep]:
    """Yield the steps of one piece, not yet numbered."""
    if piece.title:
        yield PlannedStep(
            kind="card", piece_id=piece.id, first_frame=0, frame_count=_beats_in(_CARD_S, rate),
            title=piece.title,
        )  # fmt: skip
    freezes = sorted(piece.freezes, key=lambda freeze: freeze.at_s)
    painted = _marks_of_freezes(freezes, stretch, marks)
    caption = "" if freezes else piece.caption
    beat = stretch.beats.start
    for freeze, mark_ids in zip(freezes, painted, strict=True):
        stop = stretch.beat_of(freeze)
        yield from _film_steps(piece, stretch, marks, range(beat, stop), caption)
        beat, caption = stop, piece.caption
        count = _beats_in(freeze.hold_s, rate)
        if count > 0:
            yield PlannedStep(
                kind="freeze", piece_id=piece.id, first_frame=0, frame_count=count,
                path=stretch.path, film_frames=(stretch.frozen_frame(freeze),) * count,
                film_pts=(stretch.pts_of(stretch.frozen_frame(freeze)),) * count,
                mark_ids=mark_ids, title=piece.title, caption=caption,
            )  # fmt: skip
    yield from _film_steps(piece, stretch, marks, range(beat, stretch.beats.stop), caption)


def _beats_in(length_s: Fraction, rate: Fraction) -> int:
    """Return a length in frames of the reel, to the nearest; halves go up."""
    return int(length_s * rate + Fraction(1, 2))


def _marks_of_freezes(
    freezes: Sequence[Freeze], stretch: _Stretch, marks: Sequence[Mark]
) -> list[tuple[str, ...]]:
    """Give every mark to the freezes its frames cover, or else to the nearest one."""
    at = [stretch.pts_of(stretch.frozen_frame(freeze)) for freeze in freezes]
    given: list[list[str]] = [[] for _ in freezes]
    for mark in marks if freezes else ():
        away = [max(mark.from_pts - pts, pts - mark.to_pts, 0) for pts in at]
        nearest = min(away)
        for place, distance in enumerate(away):
            if distance == 0 or (distance == nearest and place == away.index(nearest)):
                given[place].append(mark.id)
    return [tuple(ids) for ids in given]


def _film_steps(
    piece: Piece, stretch: _Stretch, marks: Sequence[Mark], beats: range, caption: str
) -> Iterable[PlannedStep]:
    """Yield running film, cut where the painted marks change."""
    lasting = [mark for mark in marks if mark.from_pts < mark.to_pts]

    def painted(frame: int) -> tuple[str, ...]:
        pts = stretch.pts_of(frame)
        return tuple(mark.id for mark in lasting if mark.from_pts <= pts <= mark.to_pts)

    frames = [stretch.frame(beat * stretch.beat_s) for beat in beats]
    at_s = stretch.snap_s + beats.start * stretch.beat_s
    for mark_ids, run in groupby(frames, key=painted):
        film_frames = tuple(run)
        yield PlannedStep(
            kind="film", piece_id=piece.id, first_frame=0, frame_count=len(film_frames),
            path=stretch.path, film_frames=film_frames, mark_ids=mark_ids, title=piece.title,
            film_pts=tuple(stretch.pts_of(frame) for frame in film_frames), caption=caption,
            sound_from_s=at_s if piece.speed == 1 else None,
        )  # fmt: skip
        at_s += len(film_frames) * stretch.beat_s


def _number(steps: Iterable[PlannedStep], first_frame: int) -> Iterable[PlannedStep]:
    """Yield steps with their place in the reel."""
    for step in steps:
        yield replace(step, first_frame=first_frame)
        first_frame += step.frame_count
