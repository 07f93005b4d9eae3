"""Each man's numbers over all his runs, for sheet and pages alike."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from statistics import median

from gradecut.grading import ALL_RUNS, GROUP, board, lined_up_rate, part_rates, reaction_note
from gradecut.records import Board, BoardCell, PartRate, Player, Reaction, RepLine
from gradecut.records.rubric import Rubric

__all__ = ["MedianReaction", "Standing", "median_reaction", "players_left_out", "standings"]


@dataclass(frozen=True, slots=True, kw_only=True)
class MedianReaction:
    """The middle of a man's counted reactions.

    Attributes
    ----------
    n : int
        Reactions in it.
    frames : float or None
        None where his films have frames of different lengths.
    time_ms, frame_ms : float
        The middle time, and the longest frame among them: each single one is known to
        within a frame either way.
    doubtful : int
        How many are too short to be an answer to the snap; they are in it all the same.
    """

    n: int
    frames: float | None
    time_ms: float
    frame_ms: float
    doubtful: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Standing:
    """One man's numbers, or the group's.

    Attributes
    ----------
    player_id : str or None
        None for the group.
    position, number : str
        As worn on these reps.
    cell : BoardCell
        Fits, technique and effort over all runs.
    overall : PartRate or None
        Only where the rubric has weights.
    reasons : mapping of (part, reason) to count
        Why something could not be graded.
    events : mapping of name to count
        Every event of the rubric, and any other that was recorded.
    stale : int
        Reps whose look, word or scheme has changed since they were graded.
    reaction : MedianReaction or None
        None when no reaction was counted.
    lined_up : PartRate
        How often he lined up right, over the runs judged right or off; in no other number.
    """

    player_id: str | None
    name: str
    position: str
    number: str
    cell: BoardCell
    overall: PartRate | None
    reasons: Mapping[tuple[str, str], int]
    events: Mapping[str, int]
    stale: int
    reaction: MedianReaction | None
    lined_up: PartRate


def standings(
    lines: Sequence[RepLine], rubric: Rubric, players: Sequence[Player] | None = None
) -> tuple[Standing, ...]:
    """Sum up the runs of each man, in the board's order, and of the group, which comes last."""
    whole = board(lines, rubric=rubric, by=(), players=players)
    runs = [line for line in lines if line.clip.kind == "run"]
    men = [_man(row, whole, runs, rubric) for row in whole.rows]
    group = _standing(None, (GROUP, "", ""), whole.group[ALL_RUNS], runs, rubric)
    return (*men, group)


def players_left_out(lines: Sequence[RepLine]) -> tuple[Player, ...]:
    """Return the men whose film may not leave the staff, in roster order."""
    men = {line.player.id: line.player for line in lines if not line.player.may_be_shared}
    return tuple(men[key] for key in sorted(men))


def median_reaction(reactions: Sequence[Reaction]) -> MedianReaction | None:
    """Return the middle of some counted reactions; None when there is none."""
    if not reactions:
        return None
    lengths = [one.frame_ms for one in reactions]
    # Frames of 59.94 and 60 a second count alike; of 30 and 60 they do not.
    alike = max(lengths) - min(lengths) < 0.01 * max(lengths)
    return MedianReaction(
        n=len(reactions),
        frames=float(median(one.frames for one in reactions)) if alike else None,
        time_ms=float(median(one.time_ms for one in reactions)),
        frame_ms=max(lengths),
        doubtful=sum(reaction_note(one) is not None for one in reactions),
    )


def _man(
    row: tuple[str, str, str], whole: Board, runs: Sequence[RepLine], rubric: Rubric
) -> Standing:
    """Sum up one man."""
    key, name, worn = row
    position, space, number = worn.rpartition(" ")
    words = (name, position, number) if space and number.isdigit() else (name, worn, "")
    own = [line for line in runs if line.player.id == key]
    return _standing(key, words, whole.cells[key, ALL_RUNS], own, rubric)


def _standing(
    key: str | None,
    words: tuple[str, str, str],
    cell: BoardCell,
    lines: Sequence[RepLine],
    rubric: Rubric,
) -> Standing:
    """Sum up some reps."""
    name, position, number = words
    seen = Counter(event for line in lines for event in line.events)
    return Standing(
        player_id=key,
        name=name,
        position=position,
        number=number,
        cell=cell,
        overall=part_rates(lines, rubric).get("overall"),
        reasons=Counter(told for line in lines if line.grade for told in line.grade.cannot.items()),
        events={event: seen[event] for event in (*rubric.events, *sorted(seen))},
        stale=sum(line.stale for line in lines),
        reaction=median_reaction([line.reaction for line in lines if line.reaction]),
        lined_up=lined_up_rate([line.lined_up for line in lines]),
    )
