"""A further camera's recording: its plays come from the first camera's, by sound."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import pytest

from gradecut.book import Book
from gradecut.errors import BookError
from gradecut.film import open_film
from gradecut.records import Angle, Clip, Session, StoredFilm, Stretch
from gradecut.records.estimate import Miss
from gradecut.workflows.booking import new_book
from gradecut.workflows.cutting import add_recording
from gradecut.workflows.moments import timeline_of
from gradecut.workflows.second_adding import NumbersAsked, add_second
from gradecut.workflows.second_recording import Beside, lay_beside, propose_second
from gradecut.workflows.syncing import Sync
from tests.workflows.practice_films import DRIFT_PPM, Practice

HALF_A_FRAME_S = 0.5 / 12


@pytest.fixture
def book(practice: Practice, tmp_path: Path) -> Iterator[Book]:
    """Give a book whose six plays were cut from the end recording."""
    with new_book(tmp_path / "b.gradecut", name="Herons", author="J. Alder") as opened:
        add_recording(opened, practice.end, practice.cut(), session="Tuesday")
        yield opened


@pytest.fixture(scope="module")
def laid(practice: Practice, tmp_path_factory: pytest.TempPathFactory) -> Sync:
    """Give what the sounds tell, compared once."""
    path = tmp_path_factory.mktemp("laid") / "b.gradecut"
    with new_book(path, name="Herons", author="J. Alder") as book:
        add_recording(book, practice.end, practice.cut(), session="Tuesday")
        found = lay_beside(book, practice.side, session="tuesday", angle="side")
    assert found is not None
    assert isinstance(found.sync, Sync)
    return found.sync


def beside(book: Book, path: Path, sync: Sync | Miss) -> Beside:
    """Give the second recording beside the first, as this book has it."""
    angles = sorted(book.find(Angle, name="end"), key=lambda one: one.start_pts)
    with open_film(path) as film:
        return Beside(
            first=book.find(StoredFilm)[0], angles=tuple(angles), fingerprint=film.fingerprint,
            sync=sync,
        )  # fmt: skip


def sides(book: Book) -> dict[int, Angle]:
    """Return the side angles by their play."""
    orders = {clip.id: clip.order for clip in book.find(Clip)}
    return {orders[one.clip_id]: one for one in book.find(Angle, name="side")}


def test_the_recording_is_told_in_words(practice: Practice, laid: Sync, book: Book) -> None:
    """When it began, how far the clocks part, how sure, and what it does not show."""
    plays = propose_second(book, practice.side, beside(book, practice.side, laid))
    began = re.match(r"side\.mp4 begins (\d+\.\d{3}) s after end; ", plays.notes[0])
    assert began is not None
    assert float(began[1]) == pytest.approx(practice.side_to_end(0), abs=0.005)
    ppm = re.search(r"runs (\d+) ppm slow .* \((0\.\d\d) s in an hour\)", plays.notes[0])
    assert ppm is not None
    assert int(ppm[1]) == pytest.approx(DRIFT_PPM, abs=25)
    assert re.match(r"Both films heard the same at \d+ of \d+ places", plays.notes[1])
    assert "side.mp4 does not show play 1." in plays.notes
    assert "side.mp4 shows play 6 only in part." in plays.notes


def test_plays_are_carried_over_whole(practice: Practice, laid: Sync, book: Book) -> None:
    """Each holds its play from before the snap to after the whistle, and says where it is from."""
    found = propose_second(book, practice.side, beside(book, practice.side, laid)).plays
    assert [one is None for one in found] == [True, False, False, False, False, False]
    with open_film(practice.side) as film:
        for number, (one, (snap_s, over_s)) in enumerate(
            zip(found, practice.plays, strict=True), start=1
        ):
            if one is None:
                continue
            edges = [
                practice.side_to_end(float(film.time_of(film.frame_at_pts(pts)))) + 0.5
                for pts in (one.start_pts, one.stop_pts)
            ]
            assert edges[0] < snap_s
            assert edges[1] > over_s or number == 6
            assert one.why[0] == f"Play {number} of end, laid here by what both heard."


def test_both_angles_show_one_moment_from_then_on(
    practice: Practice, laid: Sync, book: Book
) -> None:
    """In one act the plays are there and lie side by side, to well within half a frame."""
    way = beside(book, practice.side, laid)
    plays = propose_second(book, practice.side, way).plays
    added = add_second(book, practice.side, plays, way, session="Tuesday", angle="side")
    assert (added.clips, added.angles) == (0, 5)
    assert "side.mp4 does not show play 1." in added.notes
    assert sorted(sides(book)) == [2, 3, 4, 5, 6]
    for side in sides(book).values():
        line = timeline_of(book, side.clip_id)
        end = next(one for one in line.angles if one.name == "end")
        assert line.together(end, side)
        for pts in (side.start_pts, side.stop_pts):
            side_s = line.films[side.film_id].time_of(pts)
            end_s = (side.scale * side_s + side.offset_s - end.offset_s) / end.scale
            assert abs(float(end_s) - practice.side_to_end(float(side_s))) < HALF_A_FRAME_S / 4
    book.undo()
    assert sides(book) == {}


def test_corrected_plays_find_their_own(practice: Practice, laid: Sync, book: Book) -> None:
    """One dropped, one moved, one set by hand where the first has none: no pairing shifts."""
    way = beside(book, practice.side, laid)
    found = propose_second(book, practice.side, way).plays
    second, _, fourth, fifth, _ = (one for one in found if one is not None)
    with open_film(practice.side) as film:
        between = Stretch(
            start_pts=film.pts_of(film.frame_at_pts(fifth.stop_pts) + 5),
            stop_pts=film.pts_of(film.frame_at_pts(fifth.stop_pts) + 20),
        )
        later = film.pts_of(film.frame_at_pts(fourth.start_pts) + 6)
    mine = (second, replace(fourth, start_pts=later), fifth, between)
    added = add_second(book, practice.side, mine, way, session="Tuesday", angle="side")
    assert sorted(sides(book)) == [2, 4, 5, 7]
    assert sides(book)[4].start_pts == later
    assert "side.mp4 does not show plays 1, 3 and 6." in added.notes
    assert any("shows one play that end does not" in note for note in added.notes)
    again = add_second(book, practice.side, found, way, session="Tuesday", angle="side")
    assert again.angles == 2
    assert sorted(sides(book)) == [2, 3, 4, 5, 6, 7]
    assert any("3 of these plays are in the book already" in note for note in again.notes)


def test_two_plays_in_one_are_refused(practice: Practice, laid: Sync, book: Book) -> None:
    """A play of the first that is split on the second can't be two plays."""
    way = beside(book, practice.side, laid)
    one = next(one for one in propose_second(book, practice.side, way).plays if one is not None)
    with open_film(practice.side) as film:
        middle = film.frame_at_pts(one.start_pts) + 20
        parts = (
            replace(one, stop_pts=film.pts_of(middle)),
            replace(one, start_pts=film.pts_of(middle + 1)),
        )
    with pytest.raises(BookError, match="lie in play 2; join them, or drop one"):
        add_second(book, practice.side, parts, way, session="Tuesday", angle="side")
    assert sides(book) == {}


def test_without_sound_plays_go_by_number_only_when_confirmed(
    practice: Practice, book: Book
) -> None:
    """Found in its own pictures; as many as there are, and somebody says so, or nothing."""
    way = lay_beside(book, practice.dumb, session="Tuesday", angle="side")
    assert way is not None
    assert isinstance(way.sync, Miss)
    found = propose_second(book, practice.dumb, way)
    assert "dumb.mp4 has no sound" in found.notes[0]
    assert len(found.plays) >= 4
    with open_film(practice.dumb) as film:
        six = [
            Stretch(start_pts=film.pts_of(at), stop_pts=film.pts_of(at + 30))
            for at in range(0, 600, 100)
        ]
    for confirmed in (False, True):
        with pytest.raises(BookError, match=r"5 plays, and 6 plays .* until they agree"):
            add_second(book, practice.dumb, six[:5], way, session="Tuesday", confirmed=confirmed)
    with pytest.raises(NumbersAsked, match=r"no sound.* by order"):
        add_second(book, practice.dumb, six, way, session="Tuesday")
    assert sides(book) == {}
    add_second(book, practice.dumb, six, way, session="Tuesday", confirmed=True)
    assert sorted(sides(book)) == [1, 2, 3, 4, 5, 6]
    assert {one.offset_s for one in sides(book).values()} == {Fraction(0)}


def test_there_is_nothing_to_lay_a_first_recording_beside(practice: Practice, book: Book) -> None:
    """A new session, the recording itself, and plays of no long recording."""
    assert lay_beside(book, practice.side, session="Wednesday", angle="side") is None
    assert lay_beside(book, practice.end, session="Tuesday", angle="side") is None
    assert lay_beside(book, practice.side, session="Tuesday", angle="end") is None
    assert len(book.find(Session)) == 1
