"""What a changed scheme does, in sentences."""

from __future__ import annotations

from dataclasses import replace

from gradecut.records import FitResult
from gradecut.workflows.scheme_effects import Effects, Turned

ONE = Turned(
    rep_id="r", session_id="s", clip_id="c", play=1, player="Dez Pike", player_id="p",
    position="Keel", author="Coach", was="fill A", now="hang A", result_was="right",
    result_now=None,
)  # fmt: skip


def test_each_way_is_told_once() -> None:
    """Grades to be judged again are added up, whatever they are now."""
    ways: list[tuple[FitResult, FitResult | None]] = [
        ("right", "wrong"), ("right", None), ("right", None), ("right", None), ("wrong", None),
    ]  # fmt: skip
    told = Effects(
        turned=tuple(replace(ONE, result_was=was, result_now=now) for was, now in ways),
        unchanged=0, stale_already=0, freshened=0, clips=1, players=1, unread=(),
    )  # fmt: skip
    assert told.words[0].endswith(": 4 to be judged again; 1 from right to wrong.")
