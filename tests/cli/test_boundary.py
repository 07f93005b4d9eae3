"""Commands as a shell runs them: pipes that close, keys that stop, letters that are missing."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
from pathlib import Path

import pytest

from gradecut.cli import bringing
from gradecut.cli.boundary import told
from gradecut.counting_words import counted
from gradecut.errors import InputError, LookError
from tests.cli.conftest import Run
from tests.workflows.small_week import HARBOR

COMMAND = (sys.executable, "-m", "gradecut")


def environment(**changes: str) -> dict[str, str]:
    """Return this environment without a display, changed."""
    away = ("DISPLAY", "WAYLAND_DISPLAY", "QT_QPA_PLATFORM")
    return {key: value for key, value in os.environ.items() if key not in away} | changes


def test_without_a_display_one_sentence_is_said() -> None:
    """The window needs a display; without one no Qt message and no traceback appears."""
    done = subprocess.run(
        COMMAND, env=environment(), capture_output=True, text=True, check=False, timeout=120
    )
    if sys.platform.startswith("linux"):
        assert (done.returncode, done.stdout) == (1, "")
        assert len(done.stderr.splitlines()) == 1
        assert "display" in done.stderr or "window" in done.stderr


@pytest.mark.parametrize(("letters", "said"), [("ascii", "“up”".encode()), ("latin-1", b"?up?")])
def test_letters_a_terminal_lacks_do_not_stop_an_answer(letters: str, said: bytes) -> None:
    """A quote that can't be shown is a question mark; plain ASCII is taken for UTF-8."""
    plain = environment(LC_ALL="C", PYTHONCOERCECLOCALE="0", PYTHONUTF8="0") | {
        "PYTHONIOENCODING": letters
    }
    table = subprocess.run(
        (*COMMAND, "expect", str(HARBOR), "concept=power"),
        env=plain, capture_output=True, check=False, timeout=120,
    )  # fmt: skip
    assert (table.returncode, table.stderr) == (0, b"")
    assert b"Keel" in table.stdout
    failed = subprocess.run(
        (*COMMAND, "expect", str(HARBOR), "back=up"),
        env=plain, capture_output=True, check=False, timeout=120,
    )  # fmt: skip
    assert failed.returncode == 1
    assert b"Traceback" not in failed.stderr
    assert said in failed.stderr


def test_a_pipe_that_closes_is_no_accident() -> None:
    """``gradecut … | head -1`` ends quietly."""
    with subprocess.Popen(
        (*COMMAND, "expect", str(HARBOR)),
        env=environment(), stdout=subprocess.PIPE, stderr=subprocess.PIPE,
    ) as work:  # fmt: skip
        assert work.stdout is not None
        assert work.stderr is not None
        work.stdout.close()
        said = work.stderr.read()
    assert said == b""


def test_a_key_that_stops_the_work_is_answered(
    run: Run, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    """Ctrl+C ends a command with a sentence, exit 1 and no book.

    Python's own answer to the key is put in place first: where the tests run in the
    background the shell may have them ignore it.
    """

    def stopped() -> str:
        signal.raise_signal(signal.SIGINT)
        return "never"

    monkeypatch.setattr(bringing, "computer_user", stopped)
    before = signal.signal(signal.SIGINT, signal.default_int_handler)
    try:
        done = run("new", tmp_path / "herons.gradecut")
    finally:
        signal.signal(signal.SIGINT, before)
    assert (done.exit_code, done.stderr) == (1, "Stopped; nothing was left half-done.\n")
    assert list(tmp_path.iterdir()) == []


def test_each_fault_is_a_sentence_with_its_line() -> None:
    """A sentence ends as one, wherever it comes from."""
    faults = InputError("s.csv", [(0, "is empty."), (3, "“x” is no play")])
    assert told(faults) == ["s.csv: is empty.", "s.csv, line 3: “x” is no play."]
    assert told(LookError("No such fact; did you mean “back”?")) == [
        "No such fact; did you mean “back”?"
    ]


def test_things_are_counted_in_words() -> None:
    """One film, two films, no films."""
    assert [counted(n, "film") for n in (0, 1, 2)] == ["0 films", "1 film", "2 films"]
