from __future__ import annotations

import threading
from pathlib import Path

import pytest

from gradecut.desk import JobRunner
from gradecut.errors import BookError
from gradecut.progress import CancelToken, Progress
from gradecut.workflows.card import CardCopied, CopyStopped
from tests.desk.small_book import Posted


def test_work_tells_its_progress_and_hands_over_its_result(posted: Posted) -> None:
    """Progress and result arrive through post, never in the worker's thread."""
    jobs = JobRunner(posted, print)
    told: list[tuple[str, float]] = []
    done: list[tuple[int, str]] = []
    jobs.working.connect(lambda saying, share: told.append((saying, share)))

    def work(progress: Progress, _cancel: CancelToken) -> int:
        progress(0.5, "half way")
        return 7

    jobs.start("counting", work, lambda n: done.append((n, threading.current_thread().name)))
    posted.until(lambda: bool(done) and not jobs.busy)
    assert done == [(7, threading.current_thread().name)]
    assert told == [("counting", 0.0), ("half way", 0.5)]
    jobs.close()


def test_a_refusal_is_said_and_nothing_handed_over(posted: Posted) -> None:
    """Work that is refused ends as one sentence."""
    said: list[str] = []
    done: list[object] = []
    jobs = JobRunner(posted, said.append)

    def work(_progress: Progress, _cancel: CancelToken) -> None:
        raise BookError("No room left.")

    jobs.start("saving", work, done.append)
    posted.until(lambda: bool(said) and not jobs.busy)
    assert said == ["No room left."]
    assert done == []
    jobs.close()


def test_work_that_is_stopped_says_that_nothing_was_written(posted: Posted) -> None:
    """Stopping reaches work that runs and work that waits."""
    said: list[str] = []
    rested: list[bool] = []
    jobs = JobRunner(posted, said.append)
    jobs.rested.connect(lambda: rested.append(True))
    begun = threading.Event()

    def work(_progress: Progress, cancel: CancelToken) -> None:
        begun.set()
        while True:
            cancel.check("rendering")

    jobs.start("rendering", work, print)
    for name in ("counting", "copying", "waiting"):
        jobs.start(name, work, print)
    assert begun.wait(10)
    jobs.cancel()
    posted.until(lambda: not jobs.busy)
    assert sorted(said) == [
        f"{name}: stopped; nothing was written."
        for name in ("copying", "counting", "rendering", "waiting")
    ]
    assert rested
    jobs.close()


def test_work_that_is_stopped_and_leaves_something_says_what(posted: Posted) -> None:
    """Whoever started it is told in the work's own words, and nobody else."""
    said: list[str] = []
    stopped: list[str] = []
    jobs = JobRunner(posted, said.append)
    begun = threading.Event()
    left = CardCopied(films=(), copied=(), already=(), left=(Path("a"),), notes=(), faults=())

    def work(_progress: Progress, cancel: CancelToken) -> None:
        begun.set()
        while not cancel.cancelled:
            begun.wait(0.01)
        raise CopyStopped(left)

    jobs.start("copying", work, print, None, stopped.append)
    assert begun.wait(10)
    jobs.cancel()
    posted.until(lambda: not jobs.busy)
    assert stopped == [
        "Copying was stopped: 0 of 1 films of the card are copied; copy the card again for the "
        "rest."
    ]
    assert said == []
    jobs.close()


def test_the_job_begun_last_tells_how_far_it_is(posted: Posted) -> None:
    """A board that is counted while a card is copied is told; then the copying again."""
    jobs = JobRunner(posted, print)
    told: list[str] = []
    ended: list[str] = []
    jobs.working.connect(lambda saying, _share: told.append(saying))
    counted = threading.Event()

    def copy(progress: Progress, cancel: CancelToken) -> str:
        while not cancel.cancelled:
            progress(0.5, "Copying 1 of 2")
            counted.wait(0.01)
        return "copied"

    def count(progress: Progress, _cancel: CancelToken) -> str:
        progress(0.5, "Counting")
        counted.wait(0.2)
        return "counted"

    jobs.start("card", copy, ended.append)
    posted.until(lambda: "Copying 1 of 2" in told)
    jobs.start("board", count, ended.append)
    posted.until(lambda: ended == ["counted"])
    between = told[told.index("board") :]
    assert "Counting" in between
    assert "Copying 1 of 2" not in between
    told.clear()
    posted.until(lambda: "Copying 1 of 2" in told)
    jobs.cancel()
    posted.until(lambda: not jobs.busy)
    jobs.close()


def test_what_a_job_tells_is_not_told_any_more_once_all_is_closed(posted: Posted) -> None:
    """A book that is closed is not shown anew by a copying that was on its way."""
    done: list[int] = []
    jobs = JobRunner(posted, print)
    jobs.tell(lambda: done.append(1))
    posted.until(lambda: done == [1])
    jobs.tell(lambda: done.append(2))
    jobs.close()
    jobs.tell(lambda: done.append(3))
    last: list[int] = []
    posted(lambda: last.append(1))
    posted.until(lambda: bool(last))
    assert done == [1]


def test_work_that_fails_is_told_to_whom_waits_and_the_error_rises(posted: Posted) -> None:
    """An unexpected error is no silence: who waits hears of it, and the window's hook gets it."""
    told: list[str] = []
    jobs = JobRunner(posted, told.append)

    def work(_progress: Progress, _cancel: CancelToken) -> None:
        raise ZeroDivisionError("a fault of ours")

    jobs.start("counting", work, print, on_failed=lambda: told.append("failed"))
    with pytest.raises(ZeroDivisionError, match="a fault of ours"):
        posted.until(lambda: False)
    assert told == ["failed"]
    assert not jobs.busy
    jobs.close()
