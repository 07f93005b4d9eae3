from __future__ import annotations

import re
from fractions import Fraction
from html import unescape
from itertools import pairwise
from pathlib import Path

import pytest

from gradecut.errors import OutputError
from gradecut.reels import Plan, PlannedStep, chapters, write_chapters

CUE_TIMES = re.compile(
    r"(\d{2,}):([0-5]\d):([0-5]\d)\.(\d{3}) --> (\d{2,}):([0-5]\d):([0-5]\d)\.(\d{3})"
)


def step(piece: str, first: int, count: int, **other: str) -> PlannedStep:
    """Make a step of film."""
    return PlannedStep(
        kind="film", piece_id=piece, first_frame=first, frame_count=count,
        film_frames=(0,) * count, **other,  # type: ignore[arg-type]
    )  # fmt: skip


PLAN = Plan(
    name="Tuesday",
    rate=Fraction(30000, 1001),
    size_px=(1280, 720),
    steps=(
        step("a", 0, 60, title="Keel 52 · power right"),
        step("a", 60, 90, title="Keel 52 · power right", caption="Owed overlap D."),
        step("b", 150, 30, title="Bow & Port <both> --> D\n\nNOTE"),
        step("c", 180, 100_000, caption="Owed fill A."),
        step("d", 100_180, 1),
    ),
    missing=(),
    marks={},
)


def strictly_parsed(text: str) -> list[tuple[int, int, str]]:
    """Read WebVTT by its syntax (W3C WebVTT): start and end in ms, and the text of each cue."""
    head, *blocks = text.removesuffix("\n").split("\n\n")
    assert head == "WEBVTT"
    cues = []
    for block in blocks:
        name, times, payload = block.split("\n")
        assert "-->" not in name
        found = CUE_TIMES.fullmatch(times)
        assert found is not None, times
        h0, m0, s0, t0, h1, m1, s1, t1 = (int(part) for part in found.groups())
        assert "-->" not in payload
        assert "<" not in payload
        assert not re.search(r"&(?!(amp|lt|gt);)", payload)
        start = ((h0 * 60 + m0) * 60 + s0) * 1000 + t0
        end = ((h1 * 60 + m1) * 60 + s1) * 1000 + t1
        assert end > start
        cues.append((start, end, unescape(payload)))
    starts = [start for start, _, _ in cues]
    assert starts == sorted(starts)
    assert len({block.split("\n")[0] for block in blocks}) == len(blocks)
    return cues


def test_each_piece_is_one_chapter() -> None:
    """A chapter begins with its piece's card and ends where the next begins."""
    found = chapters(PLAN)
    assert [text for _, _, text in found] == [
        "Keel 52 · power right", "Bow & Port <both> --> D\n\nNOTE", "Owed fill A.", "Piece 4",
    ]  # fmt: skip
    assert found[0][:2] == (0, Fraction(150 * 1001, 30000))
    assert all(one[1] == other[0] for one, other in pairwise(found))
    assert found[-1][1] == PLAN.duration_s


def test_chapters_are_written_as_strict_webvtt(tmp_path: Path) -> None:
    """Any player reads the chapters, whatever a title holds.

    Frame 150 at 29.97 is 5.005 s (150 x 1001 / 30000).
    """
    path = write_chapters(PLAN, tmp_path / "reel.vtt")
    cues = strictly_parsed(path.read_bytes().decode("utf-8"))
    assert cues[0] == (0, 5005, "Keel 52 · power right")
    assert cues[1] == (5005, 6006, "Bow & Port <both> --> D NOTE")
    assert cues[2][1] > 3_300_000
    assert len(cues) == 4


def test_chapters_that_cannot_be_written_leave_nothing(tmp_path: Path) -> None:
    """A folder that is a file is refused with a sentence."""
    (tmp_path / "taken").write_text("")
    with pytest.raises(OutputError, match="choose a folder"):
        write_chapters(PLAN, tmp_path / "taken" / "reel.vtt")
    assert [path.name for path in tmp_path.iterdir()] == ["taken"]
