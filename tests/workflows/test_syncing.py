"""Two angles come to lie beside each other by what both cameras heard."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import pytest

from gradecut.book import Book
from gradecut.errors import BookError, Cancelled
from gradecut.progress import CancelToken
from gradecut.records import Angle, Clip, Session
from gradecut.timebase import Pts
from gradecut.workflows.booking import new_book
from gradecut.workflows.films import read_film
from gradecut.workflows.moments import mark_moment, timeline_of
from gradecut.workflows.syncing import Sync, sync_angles, sync_recordings
from tests.film.invented_sounds import scene
from tests.workflows.heard_films import SCENE_HZ, write_heard

LENGTH_S = 120.0
DRIFT = Fraction(120, 1_000_000)
END_BEGAN_S, SIDE_BEGAN_S = 3.0, 14.37
HALF_A_FRAME_S = 0.5 / 60


def side_to_end(side_s: float) -> float:
    """Give the end film's time of a moment of the side film, as the films were made."""
    return side_s * (1 + float(DRIFT)) + SIDE_BEGAN_S - END_BEGAN_S


@pytest.fixture(scope="module")
def recordings(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Path]:
    """Give two recordings of two minutes, of one practice: other start, rate, clock, level."""
    folder = tmp_path_factory.mktemp("recordings")
    heard = scene(LENGTH_S + 20, SCENE_HZ, seed=1)
    end = write_heard(folder / "end.mp4", heard, seconds=LENGTH_S, start_s=END_BEGAN_S, shade=40)
    side = write_heard(
        folder / "side.mp4", heard, seconds=LENGTH_S, rate=Fraction(12_000, 1_001),
        start_s=SIDE_BEGAN_S, ppm=float(DRIFT * 1_000_000), gain=0.1, shade=80,
    )  # fmt: skip
    return end, side


@pytest.fixture
def book(recordings: tuple[Path, Path], tmp_path: Path) -> Iterator[Book]:
    """Give a book of two plays, early and late in the same two recordings."""
    opened = new_book(tmp_path / "heard.gradecut", name="Herons", author="J. Alder")
    reads = [read_film(opened, path) for path in recordings]
    home = Session(name="Tuesday")
    with opened.act("add both") as act:
        act.put(home, *reads[0].rows, *reads[1].rows)
        for order, at_s in ((1, 20), (2, 95)):
            clip = Clip(session_id=home.id, order=order)
            act.put(clip)
            for name, read, early_s in (("end", reads[0], 0), ("side", reads[1], 12)):
                first, last = (
                    read.film.pts_of(Fraction(at_s + more_s - early_s)) for more_s in (0, 10)
                )
                act.put(
                    Angle(
                        clip_id=clip.id, film_id=read.film.id, name=name, start_pts=first,
                        stop_pts=last,
                    )
                )  # fmt: skip
    with opened:
        yield opened


def angles_of(book: Book, play: int) -> tuple[Angle, Angle]:
    """Return a play's end and side angle."""
    clip = next(one for one in book.find(Clip) if one.order == play)
    end, side = timeline_of(book, clip.id).angles
    return end, side


def test_the_map_between_two_recordings_is_right_all_along(
    recordings: tuple[Path, Path],
) -> None:
    """Drift is taken out, to within a fraction of half a frame at 60, there and back."""
    told: list[float] = []
    sync = sync_recordings(*recordings, lambda done, _: told.append(done))
    assert isinstance(sync, Sync)
    for side_s in (0, 50, 108):
        assert float(sync.on_first(Fraction(side_s))) == pytest.approx(
            side_to_end(side_s), abs=HALF_A_FRAME_S / 3
        )
        assert sync.on_second(sync.on_first(Fraction(side_s))) == side_s
    assert abs(sync.scale - 1 - DRIFT) < Fraction(15, 1_000_000)
    assert sync.sigma_s < 0.002
    assert sync.reasons[0].startswith("Both films heard the same at ")
    assert re.match(r"Their clocks part by 0.01[45] s over 2 minutes;", sync.reasons[1])
    assert told == sorted(told)
    assert told[-1] == 1.0


def test_angles_show_the_same_moment_after_syncing(book: Book) -> None:
    """At the first play and at the last one, each frame's moment is the other film's."""
    before = timeline_of(book, book.find(Clip)[0].id)
    assert not before.together(*before.angles)
    done = sync_angles(book, book.find(Session)[0], "side")
    assert [(one.play, one.by) for one in done.plays] == [(1, "sound"), (2, "sound")]
    assert done.missed == ()
    assert any("Sound comes 3 ms later for each metre" in note for note in done.notes)
    for play in (1, 2):
        end, side = angles_of(book, play)
        line = timeline_of(book, end.clip_id)
        assert line.together(end, side)
        for pts in range(side.start_pts, side.stop_pts + 1, 1001 * 7):
            side_s = line.films[side.film_id].time_of(Pts(pts))
            there = line.carry(Pts(pts), side, end)
            end_s = line.films[end.film_id].time_of(there)
            exact_s = (side.scale * side_s + side.offset_s - end.offset_s) / end.scale
            assert abs(float(exact_s) - side_to_end(float(side_s))) < HALF_A_FRAME_S / 2
            assert abs(end_s - exact_s) <= Fraction(1, 20)  # half a frame of the end film
    assert book.undo().verb == "take back “put the side film beside the other by sound”"
    assert [one.offset_s for one in book.find(Angle)] == [0, 0, 0, 0]


def test_a_snap_is_carried_to_the_other_film(book: Book) -> None:
    """Marked on one film only, it stands on the other once both are beside each other."""
    end, side = angles_of(book, 1)
    pts = Pts(end.start_pts + (end.stop_pts - end.start_pts) // 2)
    mark_moment(book, end, "snap", pts)
    assert timeline_of(book, end.clip_id).snap(side) is None
    sync_angles(book, [end.clip_id], "side")
    _, moved = angles_of(book, 1)
    line = timeline_of(book, end.clip_id)
    snap = line.snap(moved)
    assert snap is not None
    seen_s = side_to_end(float(line.films[moved.film_id].time_of(snap)))
    half_a_frame_s = 1001 / 24_000
    assert abs(seen_s - float(line.films[end.film_id].time_of(pts))) < half_a_frame_s + 0.001


def test_snaps_marked_by_hand_outrank_sound(book: Book) -> None:
    """For the play they are marked on; the others go by sound, and the difference is told."""
    end, side = angles_of(book, 1)
    line = timeline_of(book, end.clip_id)
    end_snap = line.films[end.film_id].pts_of(Fraction(25))
    side_snap = line.films[side.film_id].pts_of(Fraction(14))
    mark_moment(book, end, "snap", end_snap)
    mark_moment(book, side, "snap", side_snap)
    done = sync_angles(book, book.find(Session)[0], "side")
    assert [(one.play, one.by) for one in done.plays] == [(1, "snap"), (2, "sound")]
    assert any(note.startswith("Play 1: by sound the films lie 0.3") for note in done.notes)
    end, side = angles_of(book, 1)
    line = timeline_of(book, end.clip_id)
    assert line.carry(side_snap, side, end) == end_snap
    assert line.snap(side) == side_snap


def test_films_of_different_plays_are_told_by_their_sound(book: Book) -> None:
    """Where the recordings match but a play's two stretches don't meet, its pairing is wrong."""
    _, first = angles_of(book, 1)
    _, second = angles_of(book, 2)
    with book.act("pair them the wrong way round") as act:
        act.put(replace(first, clip_id=second.clip_id), replace(second, clip_id=first.clip_id))
    before = book.find(Angle)
    done = sync_angles(book, book.find(Session)[0], "side")
    assert done.plays == ()
    assert [play for play, _ in done.missed] == [1, 2]
    assert all("show different plays; move the pairing" in why for _, why in done.missed)
    assert book.find(Angle) == before


def test_sounds_that_do_not_match_move_nothing(book: Book, tmp_path: Path) -> None:
    """Another practice, and a film without sound, are told play by play with what to try."""
    other = write_heard(
        tmp_path / "other.mp4", scene(30.0, SCENE_HZ, seed=9), seconds=20.0, shade=90
    )
    dumb = write_heard(tmp_path / "dumb.mp4", None, seconds=20.0, shade=120)
    reads = [read_film(book, path) for path in (other, dumb)]
    with book.act("put other films there") as act:
        for play, read in zip((1, 2), reads, strict=True):
            _, side = angles_of(book, play)
            act.put(
                *read.rows,
                replace(
                    side, film_id=read.film.id, start_pts=read.film.first_pts,
                    stop_pts=read.last_pts,
                ),
            )  # fmt: skip
    before = book.find(Angle)
    done = sync_angles(book, book.find(Session)[0], "side")
    assert done.plays == ()
    assert [play for play, _ in done.missed] == [1, 2]
    assert "does not match" in done.missed[0][1]
    assert done.missed[1][1] == "dumb.mp4 has no sound; mark the snap on both films instead."
    assert book.find(Angle) == before
    assert book.history()[0].verb == "put other films there"


def test_what_can_not_be_synced_is_said(book: Book) -> None:
    """No such angle; and stopping leaves everything as it was."""
    home, before = book.find(Session)[0], book.find(Angle)
    with pytest.raises(BookError, match="No play here has tower film beside another"):
        sync_angles(book, home, "tower")
    cancel = CancelToken()
    cancel.cancel()
    with pytest.raises(Cancelled):
        sync_angles(book, home, "side", cancel=cancel)
    assert book.find(Angle) == before
