"""What a changed scheme does to reps already graded, in sentences."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from typing import TYPE_CHECKING

from gradecut.counting_words import counted

if TYPE_CHECKING:
    from gradecut.workflows.scheme_effects import Effects

__all__ = ["effects_words"]


def effects_words(effects: Effects) -> Iterator[str]:
    """Tell what turns, what stands, and what can't be read, the weightiest first."""
    turned, every = len(effects.turned), effects.graded
    if not every:
        yield "Nothing is graded yet, so no grade turns."
    elif not turned:
        yield f"No grade turns: all {every} stay as they are." if every > 1 else "No grade turns."
    else:
        what = "grades turns" if turned == 1 else "grades turn"
        yield (
            f"{turned} of {every} {what}, on {counted(effects.clips, 'play')}, of "
            f"{counted(effects.players, 'player')}: {'; '.join(_ways(effects))}."
        )
    if effects.holes:
        yield f"{counted(effects.holes, 'graded rep')} would have no answer at all."
    if effects.opened:
        yield f"{counted(effects.opened, 'graded rep')} would be open: a fact is not told."
    if effects.stale_already:
        yield f"{counted(effects.stale_already, 'grade')} stale now would stay so."
    if effects.freshened:
        yield f"{counted(effects.freshened, 'grade')} stale now would be fresh again."
    yield from (one.message for one in effects.unread)


def _ways(effects: Effects) -> Iterator[str]:
    """Say each way grades turn once, the most first: results that come to one are added up."""
    found: Counter[str] = Counter()
    for (was, now), count in effects.results.items():
        if now is None:
            found["to be judged again"] += count
        else:
            found[f"still {was}" if was == now else f"from {was} to {now}"] += count
    yield from (f"{count} {way}" for way, count in found.most_common())
