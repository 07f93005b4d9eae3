from __future__ import annotations

import random
from collections.abc import Iterator
from pathlib import Path

import pytest

from gradecut.desk.film_desk import FilmDesk
from tests.desk.film_book import press
from tests.desk.playing_books import (
    LOST,
    desk_on,
    make_book,
    make_damaged,
    make_torture_film,
    number_shown,
    settle,
)
from tests.desk.small_book import Posted

KINDS = ("b_frames", "long_group", "open_group", "variable", "interlaced", "refreshed")
COUNTS = {"variable": 40}


@pytest.fixture(scope="session")
def torture_books(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    """Start a book of one play for each kind of film, and one whose film is damaged."""
    folder = tmp_path_factory.mktemp("held")
    books: dict[str, Path] = {}
    for kind in KINDS:
        make_torture_film(folder / kind / "end", kind, count=COUNTS.get(kind, 60))
        books[kind] = folder / f"{kind}.gradecut"
        make_book(books[kind], {"end": folder / kind / "end"})
    make_damaged(folder / "damaged")
    books["damaged"] = folder / "damaged.gradecut"
    make_book(books["damaged"], {"end": folder / "damaged" / "end"})
    return books


def watch(desk: FilmDesk) -> list[tuple[int, int]]:
    """Gather, at each picture, the number burnt in and the frame the readout tells."""
    seen: list[tuple[int, int]] = []

    def look() -> None:
        told = desk.playhead.readout()
        if desk.playhead.picture is not None and told is not None:
            seen.append((number_shown(desk), told.frame))

    desk.playhead.pictured.connect(look)
    return seen


@pytest.mark.parametrize("kind", KINDS)
def test_the_readout_is_never_over_another_frames_picture(
    kind: str, torture_books: dict[str, Path], posted: Posted, said: list[str]
) -> None:
    """Storms of held keys, jumps and loops: the number burnt in is always the one told."""
    chance = random.Random(kind)
    keys = ["Right"] * 6 + ["Left"] * 8 + ["Shift+Left", "Shift+Right", "Home", "End"]
    with desk_on(torture_books[kind], posted, said) as desk:
        seen = watch(desk)
        for _ in range(25):
            press(desk, *[chance.choice(keys)] * chance.randint(1, 9))
            if chance.random() < 0.7:
                posted.until(lambda: desk.playhead.shown is not None)
                told = desk.playhead.readout()
                assert told is not None
                assert number_shown(desk) == told.frame
            if chance.random() < 0.5:
                desk.playhead.rest()
        desk.playhead.rest()
        settle(desk, posted)
        assert number_shown(desk) == desk.playhead.frame
        assert not desk.playhead.rough
        assert seen
        assert all(number == frame for number, frame in seen)


@pytest.fixture
def damaged(torture_books: dict[str, Path], posted: Posted, said: list[str]) -> Iterator[FilmDesk]:
    """Sit down at the damaged film."""
    with desk_on(torture_books["damaged"], posted, said) as desk:
        settle(desk, posted)
        yield desk


def test_a_lost_frame_says_why_and_is_stepped_past(damaged: FilmDesk, posted: Posted) -> None:
    """On it there is no picture but a sentence; a held key comes out on the other side."""
    damaged.playhead.seek(LOST[0])
    posted.until(lambda: bool(damaged.playhead.fault))
    assert "step past it" in damaged.playhead.fault
    assert damaged.playhead.picture is None
    assert damaged.playhead.readout().frame == LOST[0]  # type: ignore[union-attr]
    press(damaged, *["Right"] * len(LOST))
    settle(damaged, posted)
    assert number_shown(damaged) == damaged.playhead.frame == LOST[-1] + 1
    assert damaged.playhead.fault == ""
    for frame in reversed(LOST):
        press(damaged, "Left")
        posted.until(lambda frame=frame: damaged.playhead.shown == frame)  # type: ignore[misc]
        assert damaged.playhead.fault
    press(damaged, "Left")
    settle(damaged, posted)
    assert number_shown(damaged) == LOST[0] - 1


def test_the_ticks_show_which_frames_are_lost(damaged: FilmDesk, posted: Posted) -> None:
    """Once known, as a stretch and in words."""
    damaged.playhead.seek(LOST[0])
    posted.until(lambda: bool(damaged.playhead.fault))
    ticks = damaged.ticks()
    assert ticks is not None
    assert ticks.lost == ((LOST[0], LOST[-1]),)
    assert "Frames 18 to 23 can't be shown." in ticks.words
    told = damaged.told.fault_words()
    assert told.startswith("Frame 18 is damaged")
    assert told.endswith("Frames 18 to 23 can't be shown.")
    assert "frames 18 to 23 can't be shown" in damaged.told.notes()


def test_playing_passes_over_lost_frames_and_counts_them(damaged: FilmDesk, posted: Posted) -> None:
    """The last good picture stays until the next one; the lost ones are dropped frames."""
    damaged.playhead.seek(15)
    settle(damaged, posted)
    seen = watch(damaged)
    press(damaged, "Space")
    damaged.playhead.tick(10.0)
    for frame in range(16, 30):
        damaged.playhead.tick(10.0 + (frame - 15) / 30 + 0.001)
        if frame not in LOST:
            posted.until(lambda frame=frame: damaged.playhead.shown == frame)  # type: ignore[misc]
    assert damaged.playhead.playing
    assert damaged.playhead.dropped == len(LOST)
    assert all(number == frame for number, frame in seen)
    press(damaged, "Space")


def test_playing_can_begin_on_a_lost_frame(damaged: FilmDesk, posted: Posted) -> None:
    """It runs from the first frame after the stretch that can be shown."""
    damaged.playhead.seek(LOST[0])
    posted.until(lambda: bool(damaged.playhead.fault))
    press(damaged, "Space")
    for now in range(40):
        damaged.playhead.tick(10.0 + now / 30)
        posted.until(lambda: damaged.playhead._lane.idle)
    assert damaged.playhead.frame > LOST[-1]
    assert number_shown(damaged) == damaged.playhead.shown
    press(damaged, "Space")


def test_what_is_marked_while_a_key_is_held_is_the_frame_seen(
    torture_books: dict[str, Path], posted: Posted, said: list[str]
) -> None:
    """The wish may lead the picture; the snap goes to the picture the coach has before him."""
    with desk_on(torture_books["b_frames"], posted, said) as desk:
        posted.until(lambda: desk.playhead.shown is not None)
        press(desk, *["Right"] * 7)
        seen = number_shown(desk)
        assert seen < desk.playhead.frame
        press(desk, "Z")
        assert desk.playhead.snap == seen
        desk.playhead.rest()
        settle(desk, posted)
        assert number_shown(desk) == seen == desk.playhead.frame


def test_what_is_marked_after_a_jump_is_where_it_leads(
    torture_books: dict[str, Path], posted: Posted, said: list[str]
) -> None:
    """A jump names its frame, and so does a key that was let go, before the picture comes."""
    with desk_on(torture_books["b_frames"], posted, said) as desk:
        posted.until(lambda: desk.playhead.shown is not None)
        desk.playhead.seek(41)
        press(desk, "Z")
        assert desk.playhead.snap == 41
        press(desk, "Right", "Right")
        desk.playhead.rest()
        press(desk, "Z")
        assert desk.playhead.snap == 43
