"""Moments marked on both angles contradict a pairing that is off, and say where."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from gradecut.book import Book
from gradecut.records import Angle, Clip, Fingerprint, Moment, MomentKind, Session, StoredFilm
from gradecut.timebase import Pts
from gradecut.workflows.adding import add_film, shift_pairing
from gradecut.workflows.booking import new_book
from gradecut.workflows.moments import mark_moment
from gradecut.workflows.pairing_doubts import _doubt, check_pairing
from tests.film.invented_sounds import scene
from tests.workflows.heard_films import SCENE_HZ, write_heard

LASTS_S = (4.1, 6.3, 3.2, 5.0, 7.4, 2.6, 5.9, 4.5)


@pytest.fixture
def book(tmp_path: Path) -> Iterator[Book]:
    """Start a book without film on this computer: only what is marked counts."""
    with new_book(tmp_path / "b.gradecut", name="Herons", author="J. Alder") as opened:
        yield opened


def mark(book: Book, shown: Mapping[int, int], *, angle: str, late_s: float = 0.0) -> Session:
    """Give plays an angle whose film shows the play of another number, and mark it."""
    home = next(iter(book.find(Session)), None) or Session(name="Tuesday")
    with book.act("mark") as act:
        act.put(home)
        clips = {clip.order: clip for clip in book.find(Clip, session_id=home.id)}
        for order, play in shown.items():
            clip = clips.get(order) or Clip(session_id=home.id, order=order)
            film = StoredFilm(
                name=f"{angle} {order}", fingerprint=a_fingerprint(f"{angle} {order}"), width=64,
                height=48, rate=Fraction(30), time_base=Fraction(1, 3000), frame_count=600,
                first_pts=Pts(0), duration_s=Fraction(20),
            )  # fmt: skip
            view = Angle(
                clip_id=clip.id, film_id=film.id, name=angle, start_pts=Pts(0), stop_pts=Pts(59_900)
            )
            act.put(clip, film, view)
            over_s = 3.0 + LASTS_S[play - 1] + late_s
            moments: tuple[tuple[MomentKind, float], ...] = (("snap", 3.0), ("whistle", over_s))
            for kind, at_s in moments:
                pts = Pts(round(at_s * 3000))
                act.put(Moment(angle_id=view.id, kind=kind, pts=pts, author=book.author))
    return home


def a_fingerprint(name: str) -> Fingerprint:
    """Make a fingerprint nobody else has."""
    return Fingerprint(algorithm="invented", digest=name.encode().hex())


def test_a_pairing_that_is_off_is_told_with_its_evidence(book: Book) -> None:
    """The side camera missed play 4: from there on its films lie one play early."""
    mark(book, {play: play for play in range(1, 9)}, angle="end")
    home = mark(book, {1: 1, 2: 2, 3: 3, 4: 5, 5: 6, 6: 7, 7: 8}, angle="side", late_s=0.15)
    doubt = check_pairing(book, home, "side")
    assert doubt is not None
    assert (doubt.from_play, doubt.by) == (4, 1)
    assert doubt.told == (
        "From play 4 on the side films seem to lie one play off: moved one play on, snap to "
        "whistle lasts equally long in 4 of 4 plays within 0.3 s, against 0 of 4 as they lie."
    )
    assert len(book.find(Angle, name="side")) == 7
    shift_pairing(book, home, "side", from_play=doubt.from_play, by=doubt.by)
    assert check_pairing(book, home, "side") is None


def test_a_pairing_that_holds_is_not_doubted(book: Book) -> None:
    """Marked a little late throughout, or once quite wrongly: that is no doubt."""
    mark(book, {play: play for play in range(1, 9)}, angle="end")
    home = mark(book, {1: 1, 2: 2, 3: 4, 4: 4, 5: 5, 6: 6}, angle="side", late_s=0.2)
    assert check_pairing(book, home, "side") is None
    assert check_pairing(book, home, "tower") is None


def test_too_little_marked_says_nothing(book: Book) -> None:
    """Two plays that fit elsewhere may be chance."""
    mark(book, {play: play for play in range(1, 9)}, angle="end")
    home = mark(book, {1: 2, 2: 3}, angle="side")
    assert check_pairing(book, home, "side") is None


def test_sound_about_the_snap_tells_too(book: Book, tmp_path: Path) -> None:
    """Without a whistle: what both cameras heard, where each has its snap."""
    scenes = [scene(9.0, SCENE_HZ, seed=seed) for seed in range(1, 6)]
    for angle, shown in (("end", (1, 2, 3, 4, 5)), ("side", (2, 3, 4, 5))):
        films = [
            write_heard(
                tmp_path / angle / f"{place}.mp4", scenes[play - 1], seconds=7.0,
                start_s=0.4 if angle == "side" else 0.0, shade=10 * play + len(angle),
            )
            for place, play in enumerate(shown, start=1)
        ]  # fmt: skip
        add_film(book, films, session="Tuesday", angle=angle, by_order=True)
    home = book.find(Session)[0]
    for one in book.find(Angle):
        film = book.get(StoredFilm, one.film_id)
        late_s = Fraction(2, 5) if one.name == "side" else Fraction(0)
        mark_moment(book, one, "snap", film.pts_of(3 - late_s))
    assert check_pairing(book, home, "side") is None
    doubt = check_pairing(book, home, "side", listen=True)
    assert doubt is not None
    assert (doubt.from_play, doubt.by, doubt.fits, doubt.of) == (1, 1, 4, 4)
    assert "the sound about the snap or snap to whistle agrees in 4 of 4 plays" in doubt.told


@given(
    st.lists(st.floats(2, 9), min_size=3, max_size=12),
    st.lists(st.floats(-0.14, 0.14), min_size=12, max_size=12),
)
def test_what_agrees_is_never_doubted(lengths: list[float], off: list[float]) -> None:
    """However the plays last, and however they are marked within the frame or so of a hand."""
    mine = dict(enumerate(lengths, start=1))
    agree = {
        (one, two): abs(mine[one] - mine[two] - off[two - 1]) <= 0.3 for one in mine for two in mine
    }
    assert _doubt("side", agree) is None
