from __future__ import annotations

from fractions import Fraction
from pathlib import Path

from gradecut.book import open_book
from gradecut.desk.film_desk import FilmDesk
from gradecut.workflows.adding import add_film
from gradecut.workflows.booking import new_book
from tests.desk.film_book import press
from tests.desk.small_book import Posted
from tests.reels.numbered_film import VARIABLE_TIMES_S, make_film, number_on


def shown_number(film: FilmDesk) -> int:
    """Read the number burnt into the picture on stage."""
    assert film.playhead.picture is not None
    return number_on(film.playhead.picture)


def settle(film: FilmDesk, posted: Posted) -> None:
    """Wait until the frame wished for is the one shown."""
    posted.until(lambda: film.playhead.shown == film.playhead.frame)


def test_the_stage_shows_the_frame_it_says(film: FilmDesk, posted: Posted) -> None:
    """Steps of one and ten, start and end: always the very frame."""
    settle(film, posted)
    assert shown_number(film) == film.playhead.frame == 0
    for key, frame in (("Right", 1), ("Shift+Right", 11), ("Left", 10), ("Home", 0), ("Left", 0)):
        press(film, key)
        settle(film, posted)
        assert shown_number(film) == film.playhead.frame == frame
    press(film, "End")
    settle(film, posted)
    assert shown_number(film) == film.playhead.last == 88
    press(film, "Right")
    assert film.playhead.frame == 88


def test_a_held_key_never_queues_up(film: FilmDesk, posted: Posted) -> None:
    """Twenty steps while one frame is on its way: the next picture is the newest wish."""
    settle(film, posted)
    pictures: list[int] = []
    film.playhead.pictured.connect(lambda: pictures.append(shown_number(film)))
    press(film, *["Right"] * 20)
    settle(film, posted)
    assert pictures[-1] == 20
    assert len(pictures) <= 2


def test_the_readout_counts_from_the_snap(film: FilmDesk, posted: Posted) -> None:
    """Frame, frames from the snap and seconds, no closer than a frame."""
    assert film.playhead.readout() is not None
    assert "no snap marked" in film.playhead.readout().words  # type: ignore[union-attr]
    film.playhead.seek(30)
    press(film, "Z", "Shift+Right", "Right", "Right", "Right", "Right")
    settle(film, posted)
    told = film.playhead.readout()
    assert told is not None
    assert (told.frame, told.from_snap, told.from_snap_s) == (44, 14, Fraction(14, 30))
    assert told.words == "44 · snap +14 · +0.467 s ± 0.033"
    press(film, "S", "Left")
    settle(film, posted)
    before = film.playhead.readout()
    assert before is not None
    assert before.words == "29 · snap −1 · −0.033 s ± 0.033"


def test_film_of_varying_rate_is_counted_by_its_own_times(
    tmp_path: Path, posted: Posted, said: list[str]
) -> None:
    """Where frames last differently, seconds come from the frames' own times."""
    make_film(tmp_path / "film" / "1.mp4", 120, Fraction(30), VARIABLE_TIMES_S)
    with new_book(tmp_path / "b.gradecut", name="B", author="Coach Alder") as book:
        add_film(book, [tmp_path / "film"], session="Tuesday")
    with open_book(tmp_path / "b.gradecut", author="Coach Alder") as book:
        film = FilmDesk(book, posted, said.append)
        film.playhead.seek(55)
        press(film, "Z")
        film.playhead.seek(70)
        settle(film, posted)
        told = film.playhead.readout()
        assert told is not None
        assert told.from_snap == 15
        assert told.from_snap_s is not None
        exact = VARIABLE_TIMES_S[70] - VARIABLE_TIMES_S[55]
        assert abs(told.from_snap_s - exact) < Fraction(1, 10_000)
        assert abs(told.frame_s - Fraction(1, 15)) < Fraction(1, 10_000)
        assert shown_number(film) == 70
        film.close()


def tick(film: FilmDesk, posted: Posted, now_s: float, shown: int) -> None:
    """Let the clock stand at a time, and wait for the frame that is due."""
    film.playhead.tick(now_s)
    posted.until(lambda: film.playhead.shown == shown)
    assert shown_number(film) == film.playhead.frame == shown


def test_playing_follows_the_clock_and_skips_when_late(film: FilmDesk, posted: Posted) -> None:
    """At half speed a second of the clock is half a second of film; a late tick skips frames."""
    settle(film, posted)
    film.moving.slower()
    press(film, "Space")
    assert film.playhead.playing
    film.playhead.tick(100.0)
    tick(film, posted, 101.0, 15)
    tick(film, posted, 101.5, 22)
    press(film, "Space")
    film.playhead.tick(150.0)
    assert film.playhead.frame == 22
    settle(film, posted)
    assert shown_number(film) == 22


def test_frames_not_shown_are_counted(film: FilmDesk, posted: Posted) -> None:
    """Frames that were due between two pictures were dropped; the count stands until he moves."""
    settle(film, posted)
    press(film, "Space")
    film.playhead.tick(100.0)
    for frame in (1, 2, 3):
        tick(film, posted, 100.0 + frame / 30 + 0.001, frame)
    assert film.playhead.dropped == 0
    tick(film, posted, 100.0 + 7 / 30 + 0.001, 7)
    assert film.playhead.dropped == 3
    tick(film, posted, 100.0 + 8 / 30 + 0.001, 8)
    film.playhead.tick(200.0)
    settle(film, posted)
    assert film.playhead.dropped == 3 + (88 - 8 - 1), "the end came at once"
    press(film, "Left")
    assert film.playhead.dropped == 0
    settle(film, posted)


def test_the_film_stops_at_the_frame_he_sees(film: FilmDesk, posted: Posted) -> None:
    """A frame that is on its way when he stops it does not come after."""
    settle(film, posted)
    press(film, "Space")
    film.playhead.tick(100.0)
    tick(film, posted, 100.5, 15)
    film.playhead.tick(101.0)
    press(film, "Space")
    assert film.playhead.frame == 15
    press(film, "Right")
    settle(film, posted)
    assert shown_number(film) == film.playhead.frame == 16


def test_playing_ends_at_the_clips_end_and_begins_again(film: FilmDesk, posted: Posted) -> None:
    """At the last frame it stands still; play then starts over."""
    settle(film, posted)
    press(film, "Space")
    film.playhead.tick(10.0)
    film.playhead.tick(60.0)
    assert (film.playhead.frame, film.playhead.playing) == (film.playhead.last, False)
    settle(film, posted)
    press(film, "Space")
    assert film.playhead.frame == film.playhead.first
    settle(film, posted)


def test_speeds_go_from_a_tenth_to_twice(film: FilmDesk) -> None:
    """Two keys go down and up between them and stay inside."""
    speeds = []
    for key in (",", ",", ",", ",", ".", ".", ".", ".", ".", "."):
        press(film, key)
        speeds.append(str(film.playhead.speed))
    assert speeds == ["1/2", "1/4", "1/10", "1/10", "1/4", "1/2", "1", "3/2", "2", "2"]


def test_another_speed_goes_on_from_the_frame_he_sees(film: FilmDesk, posted: Posted) -> None:
    """Turned while it runs, the film neither jumps nor stands still."""
    settle(film, posted)
    press(film, "Space")
    film.playhead.tick(100.0)
    tick(film, posted, 100.5, 15)
    film.playhead.tick(100.6)
    press(film, ".", ".")
    film.playhead.tick(200.0)
    tick(film, posted, 200.0 + 10 / 60 + 0.001, 25)
    assert film.playhead.dropped == 14 + 9


def loop_of(film: FilmDesk) -> tuple[int, int]:
    """Return the looped stretch on the ticks."""
    ticks = film.ticks()
    assert ticks is not None
    assert ticks.loop is not None
    return ticks.loop


def test_a_loop_goes_from_snap_to_whistle(film: FilmDesk, posted: Posted, said: list[str]) -> None:
    """Else from a second before the snap to the end, else over the clip; the strip shows it."""
    press(film, "Y")
    assert loop_of(film) == (0, 88)
    assert said[-1] == "Plays over and over: the whole clip."
    film.playhead.seek(40)
    press(film, "Z")
    assert loop_of(film) == (10, 88)
    film.playhead.seek(60)
    press(film, "B")
    assert loop_of(film) == (40, 60)
    ticks = film.ticks()
    assert ticks is not None
    assert "over and over: the snap to the whistle" in ticks.words
    press(film, "Y")
    assert film.ticks().loop is None  # type: ignore[union-attr]
    settle(film, posted)


def test_a_loop_turns_without_losing_time(film: FilmDesk, posted: Posted) -> None:
    """The last frame is shown its full time, then the first; what was skipped is counted."""
    film.playhead.seek(40)
    press(film, "Z")
    film.playhead.seek(60)
    press(film, "B", "Y", "S")
    settle(film, posted)
    press(film, "Space")
    film.playhead.tick(100.0)
    tick(film, posted, 100.0 + 19.5 / 30, 59)
    tick(film, posted, 100.0 + 20.9 / 30, 60)
    dropped = film.playhead.dropped
    assert dropped == 18
    tick(film, posted, 100.0 + 21.1 / 30, 40)
    tick(film, posted, 100.0 + 22.1 / 30, 41)
    assert film.playhead.dropped == dropped
    assert film.playhead.playing
    press(film, "Space")


def test_the_other_angle_shows_the_same_moment(film: FilmDesk, posted: Posted) -> None:
    """With the snap marked on both, A shows as many frames from it on the other film."""
    film.playhead.seek(30)
    press(film, "Z", "A")
    assert film.playhead.angle is not None
    assert film.playhead.angle.name == "side"
    film.playhead.seek(22)
    press(film, "Z", "Shift+Right")
    settle(film, posted)
    press(film, "A")
    assert film.playhead.frame == 40
    settle(film, posted)
    press(film, "A")
    assert film.playhead.frame == 32
    settle(film, posted)
    press(film, "PgDown")
    assert film.playhead.angle is not None
    assert film.playhead.angle.name == "side", "the next play is shown from the same side"


def test_a_clip_is_entered_a_second_before_its_snap(film: FilmDesk) -> None:
    """He sees the look, then the snap, without searching."""
    film.playhead.seek(45)
    press(film, "Z", "PgDown", "PgUp")
    assert film.playhead.frame == 15


def test_moments_belong_to_clip_or_man(film: FilmDesk) -> None:
    """Snap of the clip, first step of a man: the strip shows both and he jumps to them."""
    film.playhead.seek(30)
    press(film, "Z", "2")
    film.playhead.seek(44)
    press(film, "X", "Home")
    ticks = film.ticks()
    assert ticks is not None
    assert [(tick.kind, tick.frame - ticks.zero) for tick in ticks.moments] == [
        ("snap", 0), ("first step", 14),
    ]  # fmt: skip
    assert "first step +14" in ticks.words
    press(film, "G")
    assert film.playhead.frame == 44
    man = film.hand.man
    assert man is not None
    assert man.line is not None
    assert man.line.reaction is not None
    assert man.line.reaction.frames == 14
    press(film, "Up")
    other = film.ticks()
    assert other is not None
    assert [tick.kind for tick in other.moments] == ["snap"]


def test_marking_the_same_frame_again_takes_it_away(film: FilmDesk, said: list[str]) -> None:
    """One key marks and unmarks; elsewhere it moves the moment."""
    film.playhead.seek(30)
    press(film, "Z", "Right", "Z")
    assert film.playhead.snap == 31
    press(film, "Z")
    assert film.playhead.snap is None
    press(film, "S")
    assert "not marked yet" in said[-1]


def test_a_moment_of_the_other_angle_is_shown_as_carried(film: FilmDesk) -> None:
    """A step marked on the end view stands on the side view too, not as marked there."""
    film.playhead.seek(30)
    press(film, "Z", "2")
    film.playhead.seek(44)
    press(film, "X", "A")
    film.playhead.seek(22)
    press(film, "Z")
    ticks = film.ticks()
    assert ticks is not None
    assert [(tick.kind, tick.frame, tick.certain) for tick in ticks.moments] == [
        ("snap", 22, True), ("first step", 36, False),
    ]  # fmt: skip


def test_angles_without_a_snap_are_not_laid_beside_each_other(
    film: FilmDesk, said: list[str]
) -> None:
    """Two cameras are not started at once: nothing is guessed, and he is told what to mark."""
    film.playhead.seek(30)
    press(film, "Z", "A")
    assert film.playhead.frame == film.playhead.first
    assert film.playhead.snap is None
    assert "mark the snap on both" in said[-1]


def test_without_a_snap_frames_are_counted_plainly(film: FilmDesk) -> None:
    """No "+40" where there is nothing to count from: the film's own frame numbers."""
    press(film, "X")
    ticks = film.ticks()
    assert ticks is not None
    assert not ticks.counted_from_snap
    assert ticks.count(40) == "40"
    film.playhead.seek(30)
    press(film, "Z")
    marked = film.ticks()
    assert marked is not None
    assert (marked.count(40), marked.count(20)) == ("+10", "−10")
