"""A long recording becomes plays of a session without a frame being written anew."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import pytest

from gradecut.book import Book
from gradecut.errors import BookError, Cancelled, InputError
from gradecut.film import open_film
from gradecut.progress import CancelToken
from gradecut.records import Angle, Clip, Mark, Session, StoredFilm, Stretch
from gradecut.timebase import Pts
from gradecut.workflows.booking import new_book
from gradecut.workflows.cutting import (
    add_recording,
    carry_stretches,
    move_edge,
    propose_plays,
    read_stretches,
    write_stretches,
)
from gradecut.workflows.moments import mark_moment
from tests.film.torture import Making, make_film
from tests.motion.drawn_recording import Recording
from tests.motion.recorded_film import write_recording


@pytest.fixture(scope="module")
def practice(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Give a recording of 12 s at 30 a second."""
    making = Making(count=360, options={"g": "30", "bf": "0"})
    return make_film(tmp_path_factory.mktemp("practice") / "practice.mp4", making)


@pytest.fixture
def bare(tmp_path: Path) -> Iterator[Book]:
    """Give a new book with nothing in it."""
    with new_book(tmp_path / "bare.gradecut", name="Herons", author="J. Alder") as book:
        yield book


def cut_at(path: Path, *edges: tuple[int, int]) -> tuple[Stretch, ...]:
    """Return plays by their first and last frames."""
    with open_film(path) as film:
        return tuple(
            Stretch(start_pts=film.pts_of(first), stop_pts=film.pts_of(last))
            for first, last in edges
        )


PLAYS = ((0, 80), (100, 200), (201, 300))


def edges_of(book: Book, angle: str = "end") -> dict[int, tuple[int, int]]:
    """Return the edges of each play's angle."""
    orders = {clip.id: clip.order for clip in book.find(Clip)}
    return {
        orders[one.clip_id]: (one.start_pts, one.stop_pts) for one in book.find(Angle, name=angle)
    }


def test_the_plays_of_a_drawn_practice_are_proposed(tmp_path: Path) -> None:
    """From the film itself: three plays, a pause among them, each from snap to whistle."""
    made = Recording(
        seed=9,
        size_px=(240, 136),
        plays=3,
        rate=10,
        pauses=(1,),
        between_s=(6, 9),
        play_s=(3, 5),
        wobble_px=0.8,
    )
    truth = write_recording(tmp_path / "practice.mp4", made)
    seen: list[Pts] = []
    plays = propose_plays(
        tmp_path / "practice.mp4", on_picture=lambda pts, _picture: seen.append(pts)
    )
    with open_film(tmp_path / "practice.mp4") as film:
        stamps = {int(pts) for pts in film.index.pts}
        times = [
            tuple(film.time_of(film.frame_at_pts(pts)) for pts in (one.start_pts, one.stop_pts))
            for one in plays
        ]
    assert all({one.start_pts, one.stop_pts} <= stamps for one in plays)
    for snap_s, whistle_s in truth.plays:
        assert sum(start <= snap_s and whistle_s <= stop for start, stop in times) == 1
    assert len(plays) <= 5
    assert seen == sorted(seen)


def test_a_recording_becomes_plays_of_one_film_in_one_act(bare: Book, practice: Path) -> None:
    """The film lies in the book once, each play is a range of it, and one undo takes all back."""
    plays = cut_at(practice, *PLAYS)
    added = add_recording(bare, practice, plays, session="Tuesday", day="2026-10-06")
    assert (added.clips, added.angles) == (3, 3)
    assert len(bare.find(StoredFilm)) == 1
    assert edges_of(bare) == {
        number: (one.start_pts, one.stop_pts) for number, one in enumerate(plays, 1)
    }
    bare.undo()
    assert (bare.find(Clip), bare.find(Angle), bare.find(Session)) == ([], [], [])


def test_the_same_recording_twice_is_noticed(bare: Book, practice: Path) -> None:
    """Plays that are there are told and not doubled; one that was missed comes after them."""
    add_recording(bare, practice, cut_at(practice, *PLAYS), session="Tuesday")
    again = add_recording(bare, practice, cut_at(practice, *PLAYS, (310, 350)), session="tuesday")
    assert (again.clips, again.angles) == (1, 1)
    assert any("3 of these plays are in the book already" in note for note in again.notes)
    assert sorted(edges_of(bare)) == [1, 2, 3, 4]
    nothing = add_recording(bare, practice, cut_at(practice, *PLAYS), session="Wednesday")
    assert nothing.angles == 0
    assert [one.name for one in bare.find(Session)] == ["Tuesday"]


def test_a_second_angle_goes_to_the_same_plays(bare: Book, practice: Path, tmp_path: Path) -> None:
    """In order; a play it does not show is left without it."""
    add_recording(bare, practice, cut_at(practice, *PLAYS), session="Tuesday")
    side = make_film(tmp_path / "side.mp4", Making(count=300, first_number=500))
    first, _, third = cut_at(side, (10, 60), (61, 90), (150, 240))
    added = add_recording(bare, side, [first, None, third], session="Tuesday", angle="side")
    assert (added.clips, added.angles) == (0, 2)
    assert sorted(edges_of(bare, "side")) == [1, 3]


def test_a_second_angle_with_other_plays_is_asked_about(
    bare: Book, practice: Path, tmp_path: Path
) -> None:
    """One play too few shifts all that follow, so it is never done silently."""
    add_recording(bare, practice, cut_at(practice, *PLAYS), session="Tuesday")
    side = make_film(tmp_path / "side.mp4", Making(count=300, first_number=500))
    two = cut_at(side, (10, 60), (150, 240))
    with pytest.raises(BookError, match="2 plays, and 3 plays"):
        add_recording(bare, side, two, session="Tuesday", angle="side")
    assert edges_of(bare, "side") == {}
    add_recording(bare, side, two, session="Tuesday", angle="side", by_order=True)
    assert sorted(edges_of(bare, "side")) == [1, 2]


def test_what_can_not_be_added_leaves_the_book_alone(bare: Book, practice: Path) -> None:
    """No plays, plays over each other, plays beyond the film, another kind, or a stop."""
    plays = cut_at(practice, *PLAYS)
    beyond = replace(plays[2], stop_pts=Pts(plays[2].stop_pts * 10))
    stopped = CancelToken()
    stopped.cancel()
    for refused in ((), (None,), (plays[1], plays[0]), (plays[0], beyond)):
        with pytest.raises(BookError):
            add_recording(bare, practice, refused, session="Tuesday")
    with pytest.raises(Cancelled):
        add_recording(bare, practice, plays, session="Tuesday", cancel=stopped)
    assert bare.find(Session) == []
    add_recording(bare, practice, plays[:1], session="Tuesday")
    with pytest.raises(BookError, match="practice"):
        add_recording(bare, practice, plays[1:], session="Tuesday", kind="game")


def test_a_sheet_of_plays_comes_back_as_it_was(practice: Path, tmp_path: Path) -> None:
    """Times in thousandths find their frames again, and a play without film keeps its line."""
    first, second, third = cut_at(practice, *PLAYS)
    sheet = tmp_path / "plays.csv"
    write_stretches(sheet, [first, None, second, third], practice)
    assert sheet.read_text().splitlines()[1].startswith("1,0:00:00.000,0:00:02.667")
    assert read_stretches(sheet, practice).plays == (first, None, second, third)
    assert read_stretches(sheet, practice).notes == ()


def test_a_line_taken_out_of_a_sheet_is_a_play_dropped(practice: Path, tmp_path: Path) -> None:
    """Those after it count on, and that is told by one of them; emptied times keep a number."""
    first, second, third = cut_at(practice, *PLAYS)
    sheet = tmp_path / "plays.csv"
    write_stretches(sheet, [first, None, second, third], practice)
    lines = sheet.read_text().splitlines(keepends=True)
    sheet.write_text("".join([lines[0], *lines[2:]]))
    read = read_stretches(sheet, practice)
    assert read.plays == (None, second, third)
    (said,) = read.notes
    assert said.startswith(
        "Play 1 of plays.csv was taken out, and those after count on: play 2 of the sheet is "
        "play 1 now."
    )
    renumbered = [
        f"{one}{line[1:]}" for one, line in zip((1, 3, 7), (lines[1], *lines[3:]), strict=True)
    ]
    sheet.write_text("".join([lines[0], *renumbered]))
    read = read_stretches(sheet, practice)
    assert read.plays == (first, second, third)
    assert read.notes[0].startswith("Plays 2 and 4 to 6 of plays.csv were taken out")
    assert "play 3 of the sheet is play 2 now" in read.notes[0]


def test_every_fault_of_a_sheet_is_told_with_its_line(practice: Path, tmp_path: Path) -> None:
    """Times that are none, that run backwards, over each other or past the end; lost count."""
    sheet = tmp_path / "plays.csv"
    sheet.write_text("play,from,to\n1,0:01,soon\n2,5,3\n2,0:06,0:08\n4,0:07,0:09\n5,0:10,1:00:00\n")
    with pytest.raises(InputError) as refused:
        read_stretches(sheet, practice)
    lines = [line for line, _ in refused.value.faults]
    assert lines == [2, 3, 4, 5, 6]


def test_plays_are_carried_to_the_other_camera(practice: Path, tmp_path: Path) -> None:
    """Through its own clock; what it never filmed stays empty, what it filmed in part is cut."""
    plays = cut_at(practice, *PLAYS)
    side = make_film(tmp_path / "side.mp4", Making(count=240, rate=Fraction(25)))
    with open_film(practice) as film_a, open_film(side) as film_b:
        carried = carry_stretches(plays, film_a, film_b, Fraction(1), Fraction(-3))
        assert carried[0] is None
        assert carried[1] is not None
        assert carried[2] is not None
        start = film_b.time_of(film_b.frame_at_pts(carried[1].start_pts))
        assert abs(start - (Fraction(100, 30) - 3)) < Fraction(1, 25)
        assert carried[2].start_pts > carried[1].stop_pts
        back = carry_stretches(carried, film_b, film_a, Fraction(1), Fraction(3))
        edge = film_a.time_of(film_a.frame_at_pts(back[1].start_pts)) if back[1] else None
        assert edge is not None
        assert abs(edge - Fraction(100, 30)) <= Fraction(1, 25)
        with pytest.raises(ValueError, match="forward"):
            carry_stretches(plays, film_a, film_b, Fraction(0), Fraction(0))


@pytest.fixture
def cut(bare: Book, practice: Path) -> Angle:
    """Give play 2 of three, with its snap marked at frame 130."""
    add_recording(bare, practice, cut_at(practice, *PLAYS), session="Tuesday")
    clip = bare.find(Clip, order=2)[0]
    angle = bare.find(Angle, clip_id=clip.id)[0]
    with open_film(practice) as film:
        mark_moment(bare, angle, "snap", film.pts_of(130))
    return angle


def test_an_edge_moves_and_is_taken_back(bare: Book, cut: Angle, practice: Path) -> None:
    """As every act."""
    with open_film(practice) as film:
        goal = film.pts_of(90)
    moved = move_edge(bare, cut, start_pts=Pts(goal + 1))
    assert (moved.start_pts, moved.stop_pts) == (goal, cut.stop_pts)
    assert bare.get(Angle, cut.id) == moved
    assert bare.can_undo() is not None
    assert bare.can_undo().verb == "move the start of play 2"  # type: ignore[union-attr]  # just said
    bare.undo()
    assert bare.get(Angle, cut.id) == cut


@pytest.mark.parametrize(
    ("edges", "said"),
    [
        ((140, None), "snap of play 2 would fall outside"),
        ((None, 120), "snap of play 2 would fall outside"),
        ((60, None), "run into play 1"),
        ((None, 250), "run into play 3"),
        ((200, 100), "end before it begins"),
        ((None, 100_000), "beyond its film"),
    ],
)
def test_an_edge_that_would_lose_something_is_refused(
    bare: Book, cut: Angle, practice: Path, edges: tuple[int | None, int | None], said: str
) -> None:
    """With a sentence that names what; the play stays as it was."""
    with open_film(practice) as film:
        tick = film.pts_of(1) - film.pts_of(0)
        start, stop = (None if one is None else Pts(film.pts_of(0) + one * tick) for one in edges)
    with pytest.raises(BookError, match=said):
        move_edge(bare, cut, start_pts=start, stop_pts=stop)
    assert bare.get(Angle, cut.id) == cut


def test_a_drawing_holds_the_edge(bare: Book, cut: Angle) -> None:
    """What is drawn on film is never cut off."""
    with bare.act("draw") as act:
        act.put(
            Mark(
                angle_id=cut.id, kind="ring", points=((1.0, 2.0),),
                from_pts=cut.start_pts, to_pts=cut.start_pts,
            )
        )  # fmt: skip
    with pytest.raises(BookError, match="ring drawn on play 2"):
        move_edge(bare, cut, start_pts=Pts(cut.start_pts + 5000))
