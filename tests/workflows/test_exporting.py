"""One play as film of its own: its very frames, its rate, its sound."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.typing import NDArray

from gradecut.book import Book
from gradecut.drawing import MARK_COLOURS
from gradecut.errors import BookError, Cancelled, FilmError, OutputError
from gradecut.film import index_films, open_film, write_film
from gradecut.progress import CancelToken
from gradecut.records import Angle, Clip, FilmFile, Mark, MarkKey, Player, Rep, Session
from gradecut.timebase import Frame
from gradecut.workflows.booking import new_book
from gradecut.workflows.exporting import (
    ClipWritten,
    angle_called,
    consent_line,
    steady_beat,
    write_clip,
)
from gradecut.workflows.films import read_film
from gradecut.workflows.marking import add_mark
from tests.film.outside import heard_by_ffmpeg, seen_by_ffmpeg, told_by_ffprobe
from tests.film.sounding import onsets_s
from tests.reels.numbered_film import SIZE_PX, VARIABLE_TIMES_S, number_on, numbered_frame

RATE = Fraction(60000, 1001)
CLICK_AT = 70
FIRST, LAST = 40, 99


@pytest.fixture(scope="module")
def films(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Path]:
    """Make a film with a click, and a silent one whose rate varies."""
    folder = tmp_path_factory.mktemp("films")
    steady, variable = folder / "steady.mp4", folder / "variable.mp4"
    samples = np.zeros((round(150 / RATE * 48_000), 2), np.float32)
    at = round(CLICK_AT / RATE * 48_000)
    samples[at : at + 96] = 0.9
    frames = [numbered_frame(number) for number in range(150)]
    write_film(steady, frames, rate=RATE, sound=[samples], preset="ultrafast", threads=1)
    write_film(
        variable, frames[:120], rate=Fraction(15), times_s=VARIABLE_TIMES_S, preset="ultrafast",
        threads=1,
    )  # fmt: skip
    assert index_films([steady, variable]) == {}
    return steady, variable


@pytest.fixture
def book(films: tuple[Path, Path], tmp_path: Path) -> Iterator[Book]:
    """Start a book with one play, a stretch of two films: end and side."""
    with new_book(
        tmp_path / "herons.gradecut", name="Cedar Fork Herons", author="J. Alder"
    ) as started:
        session = Session(name="Tuesday")
        clip = Clip(session_id=session.id, order=3)
        with started.act("add a play") as act:
            act.put(session, clip)
            for name, path in zip(("end", "side"), films, strict=True):
                read = read_film(started, path)
                with open_film(path) as film:
                    start_pts, stop_pts = film.pts_of(FIRST), film.pts_of(LAST)
                angle = Angle(
                    clip_id=clip.id, film_id=read.film.id, name=name, start_pts=start_pts,
                    stop_pts=stop_pts,
                )  # fmt: skip
                act.put(*read.rows, angle)
        yield started


def written(book: Book, angle: str, out: Path, *, sound: bool = True) -> ClipWritten:
    """Write the play from an angle."""
    (clip,) = book.find(Clip)
    return write_clip(book, clip, angle_called(book, clip, angle), out, sound=sound)


def test_a_play_is_written_frame_by_frame(book: Book, tmp_path: Path) -> None:
    """FFmpeg's command line finds the clip's first frame to its last, at the film's own rate."""
    done = written(book, "end", tmp_path / "play3.mp4")
    assert (done.frame_count, done.rate, done.sound, done.notes) == (60, RATE, True, ())
    pictures = seen_by_ffmpeg(done.path, *SIZE_PX)
    assert [number_on(picture) for picture in pictures] == list(range(FIRST, LAST + 1))
    assert told_by_ffprobe(done.path)["video"]["r_frame_rate"] == "60000/1001"


def test_what_is_drawn_is_painted_on_when_asked(book: Book, tmp_path: Path) -> None:
    """A ring that goes along is where its keys put it at two frames; unasked there is none.

    Its sound is still heard in step: film cut where marks begin stays one piece.
    """
    (clip,) = book.find(Clip)
    angle = angle_called(book, clip, "end")
    with open_film(book.find(FilmFile, film_id=angle.film_id)[0].path) as film:
        one, two = film.pts_of(Frame(FIRST + 10)), film.pts_of(Frame(FIRST + 40))
    start, gone = (80.0, 90.0), (120.0, 30.0)
    keys = (MarkKey(pts=one, by=(0, 0)), MarkKey(pts=two, by=gone))
    ring = Mark(
        angle_id=angle.id, kind="ring", points=(start,), from_pts=one, to_pts=two, keys=keys,
        colour="yellow",
    )  # fmt: skip
    add_mark(book, ring)
    bare = seen_by_ffmpeg(written(book, "end", tmp_path / "bare.mp4").path, *SIZE_PX)
    done = write_clip(book, clip, angle, tmp_path / "marked.mp4", marks=True)
    marked = seen_by_ffmpeg(done.path, *SIZE_PX)
    assert [number_on(picture) for picture in marked] == list(range(FIRST, LAST + 1))
    assert all(yellow_on(picture) is None for picture in (*bare, marked[9], marked[41]))
    there = (start[0] + gone[0], start[1] + gone[1])
    assert yellow_on(marked[10]) == pytest.approx(start, abs=2)
    assert yellow_on(marked[40]) == pytest.approx(there, abs=2)
    (heard_s,) = onsets_s(heard_by_ffmpeg(done.path, 48_000, 2)[:, 0], 48_000)
    assert abs(heard_s - float((CLICK_AT - FIRST) / RATE)) < float(1 / RATE) / 2


def yellow_on(picture: NDArray[np.uint8]) -> tuple[float, ...] | None:
    """Return the middle of all that is about yellow, the number's cells left out; None if none."""
    there = np.abs(picture[40:].astype(int) - MARK_COLOURS["yellow"][:3]).max(axis=2) < 90
    ys, xs = np.nonzero(there)
    return (float(xs.mean()), float(ys.mean()) + 40) if len(xs) > 8 else None


def test_its_sound_stays_in_step(book: Book, tmp_path: Path) -> None:
    """The click is heard within half a frame of the frame it belongs to."""
    done = written(book, "end", tmp_path / "play3.mp4")
    (heard_s,) = onsets_s(heard_by_ffmpeg(done.path, 48_000, 2)[:, 0], 48_000)
    assert abs(heard_s - float((CLICK_AT - FIRST) / RATE)) < float(1 / RATE) / 2


def test_sound_is_dropped_when_asked(book: Book, tmp_path: Path) -> None:
    """Without sound the file has none; and a silent film says that it has none."""
    done = written(book, "end", tmp_path / "play3.mp4", sound=False)
    assert set(told_by_ffprobe(done.path)) == {"video"}
    silent = written(book, "side", tmp_path / "side.mp4")
    assert not silent.sound
    assert "“variable” has no sound." in silent.notes


def test_a_rate_that_varies_becomes_steady_without_loss(book: Book, tmp_path: Path) -> None:
    """Every frame of the clip is there in order, none is lost, and the rate is said."""
    done = written(book, "side", tmp_path / "side.mp4")
    pictures = seen_by_ffmpeg(done.path, *SIZE_PX)
    numbers = [number_on(picture) for picture in pictures]
    assert numbers == sorted(numbers)
    assert set(numbers) == set(range(FIRST, LAST + 1))
    assert len(pictures) == done.frame_count
    assert done.rate == 30
    assert "written at 30 frames a second, no frame lost" in done.notes[0]
    told = told_by_ffprobe(done.path)["video"]
    assert told["r_frame_rate"] == told["avg_frame_rate"] == "30/1"


@given(st.lists(st.integers(1, 300), min_size=1, max_size=60))
def test_no_beat_is_taken_twice(gaps_ms: list[int]) -> None:
    """Whatever the times, each frame has a beat of its own within half a beat of its time."""
    times_s = [Fraction(sum(gaps_ms[:count]), 1000) for count in range(len(gaps_ms) + 1)]
    rate, beats = steady_beat(times_s)
    assert all(later > sooner for sooner, later in pairwise(beats))
    for time_s, beat in zip(times_s, beats, strict=True):
        assert abs(beat / rate - time_s) <= 1 / (2 * rate)


def test_an_angle_is_known_by_its_name(book: Book) -> None:
    """Of several angles one has to be named, and a name it lacks brings those it has."""
    (clip,) = book.find(Clip)
    assert angle_called(book, clip, "side").name == "side"
    with pytest.raises(BookError, match="more than one angle; name one of: end, side"):
        angle_called(book, clip, "")
    with pytest.raises(BookError, match="no angle “tower”"):
        angle_called(book, clip, "tower")
    bare = Clip(session_id=clip.session_id, order=9)
    with pytest.raises(BookError, match="play 9 has no film"):
        angle_called(book, bare, "")


def test_what_cannot_be_written_is_told(book: Book, tmp_path: Path) -> None:
    """Another ending, a film that is away, a stop half way: one sentence, and no file."""
    with pytest.raises(OutputError, match=r"ends in \.mp4"):
        written(book, "end", tmp_path / "play3.avi")
    (clip,) = book.find(Clip)
    token = CancelToken()
    token.cancel()
    with pytest.raises(Cancelled):
        write_clip(
            book, clip, angle_called(book, clip, "end"), tmp_path / "play3.mp4", cancel=token
        )
    with book.act("the drive is away") as act:
        for file in book.find(FilmFile):
            act.put(replace(file, path=str(tmp_path / "away" / "film.mp4")))
    with pytest.raises(FilmError, match="not there any more"):
        written(book, "end", tmp_path / "play3.mp4")
    assert not list(tmp_path.glob("*.mp4"))


def test_the_caution_names_who_may_not_be_shared(book: Book) -> None:
    """Every man of the play is in its film; one under 18 without consent is named."""
    clip = book.find(Clip)[0]
    assert consent_line(book, clip).startswith("Film of minors needs consent: this film shows ")
    men = [
        Player(name="Cal Teague", under_18=True),
        Player(name="Ben Sorley", under_18=True, consent=True),
    ]
    with book.act("put men in") as act:
        act.put(*men)
        act.put(*(Rep(clip_id=clip.id, player_id=man.id, position="Keel") for man in men[:1]))
        act.put(*(Rep(clip_id=clip.id, player_id=man.id, position="Bow") for man in men[1:]))
    told = consent_line(book, clip)
    assert "every man of the play, among them Cal Teague, under 18 without consent" in told
    assert "Sorley" not in told
    assert "\n" not in told


def test_a_film_of_the_book_is_never_written_over(book: Book, films: tuple[Path, Path]) -> None:
    """A play written onto a film of the book, its own or another's, is refused; the film stays."""
    clip = book.find(Clip)[0]
    angle = angle_called(book, clip, "end")
    for film in films:
        before = film.read_bytes()
        with pytest.raises(OutputError, match=r"film of the book .* choose another name"):
            write_clip(book, clip, angle, film)
        assert film.read_bytes() == before
