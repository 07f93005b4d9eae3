from __future__ import annotations

from gradecut.workflows.pace import CopyPace


class Clock:
    """A clock that is set by hand."""

    def __init__(self) -> None:
        self.now_s = 0.0

    def __call__(self) -> float:
        """Tell the time."""
        return self.now_s


def test_rate_and_time_left_are_those_of_the_card() -> None:
    """Each film is read twice, from the card and back: 200 MB in 10 s is 10 MB/s of card.

    Worked by hand: 4 films of 100 MB are 800 MB to read; after 200 MB in 10 s, 600 MB are
    left at 20 MB/s: 30 s.
    """
    clock = Clock()
    pace = CopyPace(4, 400_000_000, clock)
    pace.begin(100_000_000)
    assert pace.saying == "Copying 1 of 4"
    clock.now_s = 10
    pace.move(200_000_000)
    assert pace.done == 0.25
    assert pace.saying == "Copying 1 of 4, 10 MB/s, under a minute left"


def test_hours_are_told_as_hours() -> None:
    """64 GB at 10 MB/s of card, a tenth done in 640 s: 5760 s are left, 1 h 36 min."""
    clock = Clock()
    pace = CopyPace(1, 64_000_000_000, clock)
    pace.begin(64_000_000_000)
    clock.now_s = 640
    pace.move(12_800_000_000)
    assert pace.saying == "Copying 1 of 1, 10 MB/s, 1 h 36 min left"


def test_a_film_that_is_begun_again_counts_again() -> None:
    """The share goes on slower, and ends at one."""
    pace = CopyPace(1, 100, Clock())
    pace.begin(100)
    pace.move(100)
    pace.again()
    assert pace.done == 100 / 300
    pace.move(200)
    pace.end()
    assert pace.done == 1.0


def test_a_film_that_is_given_up_is_work_that_falls_away() -> None:
    """What is left is only the other film."""
    pace = CopyPace(2, 200, Clock())
    pace.begin(100)
    pace.move(50)
    pace.end()
    assert pace.done == 50 / 250
