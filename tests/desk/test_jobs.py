from __future__ import annotations

import threading

from gradecut.desk import JobRunner
from gradecut.errors import BookError
from gradecut.progress import CancelToken, Progress
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
    jobs.start("counting", work, print)
    jobs.start("waiting", work, print)
    assert begun.wait(10)
    jobs.cancel()
    posted.until(lambda: not jobs.busy)
    assert sorted(said) == [
        f"{name}: stopped; nothing was written." for name in ("counting", "rendering", "waiting")
    ]
    assert rested
    jobs.close()
