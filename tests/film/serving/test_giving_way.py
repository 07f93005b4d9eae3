from __future__ import annotations

import os
import sys
from threading import Thread, get_native_id

import pytest

from gradecut.film.serving.giving_way import give_way


@pytest.mark.skipif(sys.platform != "linux", reason="a thread's own niceness is Linux's")
def test_only_the_thread_that_gives_way_waits_for_others() -> None:
    """What it starts waits with it (clone(2)); the thread that made it goes on as before."""
    nice: list[int] = []

    def note() -> None:
        nice.append(os.getpriority(os.PRIO_PROCESS, get_native_id()))

    def work() -> None:
        note()
        give_way()
        note()
        inner = Thread(target=note)
        inner.start()
        inner.join()

    worker = Thread(target=work)
    worker.start()
    worker.join()
    note()
    before, given, inherited, outside = nice
    assert before == outside
    assert before < given == inherited
