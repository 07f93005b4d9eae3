from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import pytest

from gradecut.desk.film_desk import FilmDesk
from gradecut.records import Angle
from tests.desk.film_book import press
from tests.desk.playing_books import (
    desk_on,
    make_book,
    make_torture_film,
    number_beside,
    number_shown,
    settle,
)
from tests.desk.small_book import Posted

END_RATE, SIDE_RATE = Fraction(30), Fraction(60000, 1001)
END_SNAP, SIDE_SNAP = 30, 41
HALF_A_FRAME_S = 1 / END_RATE / 2
"""Half a frame of the slower film."""


@pytest.fixture(scope="session")
def two_angles(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    """Write one play at 30 and at 59.94 frames a second, the second camera started later."""
    folder = tmp_path_factory.mktemp("two")
    make_torture_film(folder / "end", "b_frames", count=70)
    make_torture_film(folder / "side", "ntsc", count=120)
    return {"end": folder / "end", "side": folder / "side"}


@pytest.fixture
def desk(
    tmp_path: Path, two_angles: dict[str, Path], posted: Posted, said: list[str]
) -> Iterator[FilmDesk]:
    """Sit down at the play."""
    make_book(tmp_path / "b.gradecut", two_angles)
    with desk_on(tmp_path / "b.gradecut", posted, said) as sat:
        yield sat


def mark_snaps(desk: FilmDesk, posted: Posted) -> None:
    """Mark the snap on both films; the end view is in hand afterwards."""
    desk.playhead.seek(END_SNAP)
    press(desk, "Z", "A")
    desk.playhead.seek(SIDE_SNAP)
    press(desk, "Z", "A")
    settle(desk, posted)


def settle_both(desk: FilmDesk, posted: Posted) -> None:
    """Wait for both pictures."""
    settle(desk, posted)
    posted.until(lambda: desk.second.why != "" or desk.second._lane.idle)


def apart_s(desk: FilmDesk) -> Fraction:
    """Return how far from one moment the two pictures are, by the numbers burnt in."""
    at = {"end": (END_SNAP, END_RATE), "side": (SIDE_SNAP, SIDE_RATE)}
    here, there = desk.playhead.angle, desk.second.place
    assert here is not None
    assert there is not None
    first, second = at[here.name], at[there.angle.name]
    gone_s = (number_shown(desk) - first[0]) / first[1]
    return abs(gone_s - (number_beside(desk) - second[0]) / second[1])


def test_two_angles_show_the_same_moment_to_half_a_frame(desk: FilmDesk, posted: Posted) -> None:
    """30 beside 59.94: from either in hand, never farther apart than half a frame of 30."""
    mark_snaps(desk, posted)
    press(desk, "Alt+A")
    compared = 0
    for _ in range(2):
        for frame in range(desk.playhead.first, desk.playhead.last + 1, 3):
            desk.playhead.seek(frame)
            settle_both(desk, posted)
            if desk.second.picture is not None:
                assert apart_s(desk) <= HALF_A_FRAME_S
                compared += 1
        press(desk, "A")
        settle_both(desk, posted)
    assert compared > 40


def test_each_angle_tells_its_own_frame(desk: FilmDesk, posted: Posted) -> None:
    """The readout beside is the second film's own, and is that of its picture."""
    mark_snaps(desk, posted)
    press(desk, "Alt+A")
    desk.playhead.seek(END_SNAP + 10)
    settle_both(desk, posted)
    told = desk.second.readout()
    assert told is not None
    assert told.frame == number_beside(desk) == SIDE_SNAP + 20
    assert told.from_snap == 20
    assert desk.playhead.readout().frame == number_shown(desk) == 40  # type: ignore[union-attr]


def test_films_not_beside_each_other_are_not_shown_as_if_they_were(
    desk: FilmDesk, posted: Posted
) -> None:
    """No picture but a sentence that says what to do; marking both snaps brings it."""
    press(desk, "Alt+A")
    settle_both(desk, posted)
    assert desk.second.picture is None
    assert "mark the snap on both" in desk.second.fault
    assert "sound" in desk.second.fault
    mark_snaps(desk, posted)
    settle_both(desk, posted)
    assert apart_s(desk) <= HALF_A_FRAME_S


def test_a_moment_the_second_film_misses_is_said(desk: FilmDesk, posted: Posted) -> None:
    """The side camera ran from 0.684 s before the snap: earlier it has no picture."""
    mark_snaps(desk, posted)
    press(desk, "Alt+A", "Home")
    settle_both(desk, posted)
    assert desk.second.picture is None
    assert desk.second.fault == "The side film has no picture of this moment."
    press(desk, "S")
    settle_both(desk, posted)
    assert number_beside(desk) == SIDE_SNAP


def test_a_key_swaps_which_is_in_hand(desk: FilmDesk, posted: Posted) -> None:
    """A takes the other film in hand at the same moment; the first is then beside it."""
    mark_snaps(desk, posted)
    press(desk, "Alt+A", "A")
    settle_both(desk, posted)
    assert desk.playhead.angle is not None
    assert desk.second.place is not None
    assert (desk.playhead.angle.name, desk.second.place.angle.name) == ("side", "end")
    assert (number_shown(desk), number_beside(desk)) == (SIDE_SNAP, END_SNAP)
    press(desk, "Alt+A")
    assert not desk.second.on


def test_the_second_follows_while_it_plays(desk: FilmDesk, posted: Posted) -> None:
    """Both run by one clock."""
    mark_snaps(desk, posted)
    press(desk, "Alt+A", "Space")
    desk.playhead.tick(50.0)
    desk.playhead.tick(50.0 + 12 / 30 + 0.001)
    posted.until(lambda: desk.playhead.shown == END_SNAP + 12)
    posted.until(lambda: desk.second._lane.idle)
    assert apart_s(desk) <= HALF_A_FRAME_S
    press(desk, "Space")
    settle_both(desk, posted)


def test_clocks_that_drift_stay_together(desk: FilmDesk, posted: Posted) -> None:
    """Where one camera's clock runs faster, its scale is followed, not its frame count."""
    mark_snaps(desk, posted)
    book = desk.book
    scale = Fraction(11, 10)
    side = next(one for one in book.find(Angle) if one.name == "side")
    end = next(one for one in book.find(Angle) if one.name == "end")
    offset_s = end.offset_s + END_SNAP / END_RATE - scale * SIDE_SNAP / SIDE_RATE
    with book.act("lay beside each other") as act:
        act.put(replace(side, scale=scale, offset_s=offset_s))
    press(desk, "Alt+A")
    desk.playhead.seek(END_SNAP + 33)
    settle_both(desk, posted)
    gone_s = (number_beside(desk) - SIDE_SNAP) / SIDE_RATE
    assert abs(gone_s * scale - 33 / END_RATE) <= HALF_A_FRAME_S


def test_one_angle_alone_has_none_beside_it(
    tmp_path: Path, two_angles: dict[str, Path], posted: Posted, said: list[str]
) -> None:
    """It says so, and shows nothing else."""
    make_book(tmp_path / "one.gradecut", {"end": two_angles["end"]})
    with desk_on(tmp_path / "one.gradecut", posted, said) as desk:
        press(desk, "Alt+A")
        assert not desk.second.on
        assert said == ["This play has one angle only."]
        settle(desk, posted)


def test_the_second_angle_never_runs_ahead_of_the_stage(
    desk: FilmDesk, posted: Posted, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Its picture is there first: it waits for the stage's, so that both show one moment."""
    mark_snaps(desk, posted)
    desk.second.turn()
    settle_both(desk, posted)
    with monkeypatch.context() as stalled:
        stalled.setattr(desk.playhead._lane, "ask", lambda *_, **__: None)
        desk.playhead.seek(END_SNAP + 20)
        posted.until(lambda: desk.second._lane.idle)
        assert number_shown(desk) == END_SNAP
        assert number_beside(desk) == SIDE_SNAP
    desk.playhead.seek(END_SNAP + 21)
    settle_both(desk, posted)
    assert number_shown(desk) == END_SNAP + 21
    assert apart_s(desk) <= HALF_A_FRAME_S


def test_stopped_in_play_both_stand_at_the_frame_that_is_seen(
    desk: FilmDesk, posted: Posted, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What was due next was asked of both films already; the second comes back from it."""
    mark_snaps(desk, posted)
    desk.second.turn()
    settle_both(desk, posted)
    head = desk.playhead
    head.play()
    head.tick(100.0)
    monkeypatch.setattr(head._lane, "ask", lambda *_, **__: None)
    for gone in (10, 12, 14, 16):
        head.tick(100.0 + gone / 30)
        posted.until(lambda: desk.second._lane.idle)
    monkeypatch.undo()
    head.pause()
    settle_both(desk, posted)
    assert head.frame == number_shown(desk) == END_SNAP
    assert apart_s(desk) <= HALF_A_FRAME_S
