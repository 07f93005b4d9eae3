"""Edges of a play moved after it is in the book."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from gradecut.book import Book
from gradecut.errors import BookError
from gradecut.records import Angle, Clip, Mark, Moment, Piece, StoredFilm
from gradecut.timebase import Frame, Pts
from gradecut.workflows.films import frame_of, frame_times, pts_of_frame
from gradecut.workflows.moments import timeline_of

__all__ = ["move_edge"]


def move_edge(
    book: Book, angle: Angle, *, start_pts: Pts | None = None, stop_pts: Pts | None = None
) -> Angle:
    """Move the first or the last frame of a play's angle, in one act.

    Parameters
    ----------
    angle : Angle
        As it is in the book.
    start_pts, stop_pts : Pts or None
        The new edges, in the film's time base; the nearest frame counts. None leaves an edge.

    Returns
    -------
    Angle
        As it is now.

    Raises
    ------
    BookError
        When something marked would fall outside, the play would run into another one of the
        same film, it would end before it begins, or the edge lies outside the film.
    """
    film = book.get(StoredFilm, angle.film_id)
    clip = book.get(Clip, angle.clip_id)
    times = frame_times(book, [film.id]) if film.rate is None else {}
    last = pts_of_frame(film, Frame(film.frame_count - 1), times)

    def on_frame(pts: Pts | None, stays: Pts) -> Pts:
        if pts is None:
            return stays
        if not film.first_pts <= pts <= last:
            raise BookError(
                f"Play {clip.order} can't reach beyond its film {film.name}; "
                "choose a frame that is in it."
            )
        return pts_of_frame(film, frame_of(film, pts, times), times)

    moved = replace(
        angle,
        start_pts=on_frame(start_pts, angle.start_pts),
        stop_pts=on_frame(stop_pts, angle.stop_pts),
    )
    if moved.start_pts >= moved.stop_pts:
        raise BookError(f"Play {clip.order} would end before it begins; move that edge less far.")
    _check_marks(book, moved, clip)
    _check_pieces(book, angle, moved, clip, film)
    _check_neighbours(book, angle, moved, clip)
    which = "the edges" if moved.start_pts != angle.start_pts else "the end"
    if moved.stop_pts == angle.stop_pts:
        which = "the start"
    with book.act(f"move {which} of play {clip.order}") as act:
        act.put(moved)
    return moved


def _check_marks(book: Book, moved: Angle, clip: Clip) -> None:
    """Refuse an edge that would leave a moment or a mark outside."""
    for moment in book.find(Moment, angle_id=moved.id):
        if not moved.start_pts <= moment.pts <= moved.stop_pts:
            raise BookError(
                f"The {moment.kind} of play {clip.order} would fall outside; "
                "move the edge less far, or take that moment back first."
            )
    for mark in book.find(Mark, angle_id=moved.id):
        if mark.from_pts < moved.start_pts or mark.to_pts > moved.stop_pts:
            raise BookError(
                f"A {mark.kind} drawn on play {clip.order} would fall outside; "
                "move the edge less far, or take that drawing back first."
            )


def _check_pieces(book: Book, angle: Angle, moved: Angle, clip: Clip, film: StoredFilm) -> None:
    """Refuse an edge that would cut into a piece of a reel."""
    pieces = book.find(Piece, angle_id=angle.id)
    snap = timeline_of(book, clip.id).snap(angle) if pieces else None
    if snap is None:
        return
    snap_s = film.time_of(snap)
    old = film.time_of(angle.start_pts), film.time_of(angle.stop_pts)
    new = film.time_of(moved.start_pts), film.time_of(moved.stop_pts)
    for piece in pieces:
        shown: tuple[Fraction, Fraction] = (
            max(snap_s + piece.from_s, old[0]),
            min(snap_s + piece.to_s, old[1]),
        )
        if shown[0] < new[0] or shown[1] > new[1]:
            raise BookError(
                f"A reel shows more of play {clip.order} than would be left; "
                "move the edge less far, or shorten that piece first."
            )


def _check_neighbours(book: Book, angle: Angle, moved: Angle, clip: Clip) -> None:
    """Refuse an edge that would run into another play of the same film."""
    for other in book.find(Angle, film_id=angle.film_id):
        if other.id == angle.id or other.clip_id == clip.id:
            continue
        before = angle.start_pts <= other.stop_pts and other.start_pts <= angle.stop_pts
        now = moved.start_pts <= other.stop_pts and other.start_pts <= moved.stop_pts
        if now and not before:
            order = book.get(Clip, other.clip_id).order
            raise BookError(
                f"Play {clip.order} would run into play {order}; move that play's edge first."
            )
