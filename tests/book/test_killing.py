"""A book survives a killed program: what was reported done is there, whole."""

from __future__ import annotations

import os
import random
import signal
import sqlite3
import subprocess
import sys
import time
from pathlib import Path

import pytest

from gradecut.book import open_book
from gradecut.records import Act, Change, Clip, FactValue, Session

WRITER = """
import sys
from gradecut.book import open_book
from gradecut.records import Clip, FactValue, Session

book = open_book(sys.argv[1], author="Coach Alder")
session = book.find(Session)[0]
start = book.count(Clip)
for order in range(start + 1, 100_000):
    clip = Clip(session_id=session.id, order=order)
    facts = [FactValue(clip_id=clip.id, reference=f"f{n}", value="x" * 500) for n in range(20)]
    with book.act(f"add clip {order}") as act:
        act.put(clip, *facts)
    print(order, flush=True)
"""


@pytest.mark.parametrize("seed", range(3))
def test_what_was_reported_is_there_after_a_kill(path: Path, seed: int) -> None:
    """Killed at any moment, again and again, no reported act is lost and none is half there."""
    moment = random.Random(seed)
    with open_book(path, create=True) as book, book.act("add") as act:
        act.put(Session(name="Tuesday"))
    for _ in range(2):
        child = subprocess.Popen(
            [sys.executable, "-c", WRITER, str(path)], stdout=subprocess.PIPE, text=True
        )
        assert child.stdout is not None
        reported = int(child.stdout.readline())
        time.sleep(moment.uniform(0.0, 0.15))
        child.send_signal(getattr(signal, "SIGKILL", signal.SIGTERM))
        rest = child.stdout.read().splitlines()
        child.stdout.close()
        child.wait()
        # The last line may be cut; a line is reported when its end came through.
        reported = max([reported, *(int(line) for line in rest[:-1])])
        with open_book(path, author="Coach Alder") as book:
            clips = book.find(Clip)
            assert len(clips) >= reported
            assert [clip.order for clip in clips] == list(range(1, len(clips) + 1))
            assert book.count(FactValue) == 20 * len(clips)
            assert book.count(Act) == 1 + len(clips)
            assert book.count(Change) == 1 + 21 * len(clips)
    looked_at = sqlite3.connect(path)
    assert looked_at.execute("PRAGMA integrity_check").fetchall() == [("ok",)]
    assert looked_at.execute("PRAGMA foreign_key_check").fetchall() == []
    looked_at.close()
    assert os.listdir(path.parent) == [path.name]
