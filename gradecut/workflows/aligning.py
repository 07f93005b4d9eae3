"""Two rows of clips of the same plays laid along each other, where either may lack some.

Each pair is weighed by how much better its lengths, times and sounds fit than those of two
clips that have nothing to do with each other (a logarithm of a likelihood ratio); leaving a
clip alone costs. How much longer one camera runs, and how far its clock is off, is found
along the way from several beginnings, so that no single guess decides.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

__all__ = ["Aligned", "Shot", "align", "align_named", "times_hold"]

Numbers = NDArray[np.float64]
Pairs = tuple[tuple[int | None, int | None], ...]

_ALONE = 3.5
"""What leaving one clip alone costs: one in thirty is missing, about."""
_SURE = 6.0
"""How much better than the next a pairing must be to be certain: some 400 to 1."""
_SURE_IN_ORDER = 4.0
"""The same where every clip has its own in order: one odd length then asks nothing."""
_ODD_LENGTH, _ODD_TIME = 0.06, 0.02
"""Share of true pairs that fit no better than chance: a camera that was started late."""
_TIMES_SPREAD_S = 3.0
_HEARD, _NOT_HEARD = 10.0, -1.5
_NAMED, _NAMED_OTHERWISE = 2.0, -1.0
_SPARE = 2


@dataclass(frozen=True, slots=True, kw_only=True)
class Shot:
    """What is known of one clip beside its picture.

    Attributes
    ----------
    length_s : float
    at_s : float or None
        When it was filmed by its camera's clock, in seconds from any one time.
    """

    length_s: float
    at_s: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Aligned:
    """One row of clips laid along another.

    Attributes
    ----------
    pairs : tuple of (int or None, int or None)
        Places in the first row and in the second, in order; None where the other has none.
    certain : bool
        Whether every other pairing is far worse.
    margin : float
        How much worse the next pairing is, as the logarithm of a likelihood ratio.
    longer_s : float
        By how much the second row's clips are longer throughout.
    near_s : float
        Within which difference lengths count as the same.
    clock_s : float or None
        By how much the second row's clock is ahead; None where times decided nothing.
    by_lengths : bool
        Whether nothing but lengths, or not even those, spoke: no times, and most was not heard.
    """

    pairs: Pairs
    certain: bool
    margin: float
    longer_s: float
    near_s: float
    clock_s: float | None
    by_lengths: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class _Measure:
    """A way lengths may go together: so many seconds longer, or so many times as long."""

    first: Numbers
    second: Numbers
    finest: float
    usual: float


@dataclass(frozen=True, slots=True, kw_only=True)
class _Found:
    total: float
    pairs: Pairs
    margin: float
    more: float
    spread: float
    clock_s: float | None


def times_hold(shots: Sequence[Shot]) -> bool:
    """Tell whether the times can be those of filming, in whatever order.

    Files that were copied carry the times of copying: nearer together than the clips are
    long.
    """
    timed = sorted((shot.at_s, shot.length_s) for shot in shots if shot.at_s is not None)
    if len(timed) < max(len(shots), 2):
        return False
    return all(after[0] - one[0] >= 0.8 * one[1] - 1 for one, after in pairwise(timed))


def align(
    first: Sequence[Shot],
    second: Sequence[Shot],
    heard: Mapping[tuple[int, int], bool] | None = None,
    named: Mapping[int, int] | None = None,
) -> Aligned:
    """Lay two rows of clips along each other, in order.

    Parameters
    ----------
    first, second : sequence of Shot
        Neither is empty.
    heard : mapping of (int, int) to bool
        For pairs whose sounds were compared, whether they are of one scene.
    named : mapping of int to int, optional
        For clips of the second row whose names tell of one of the first, which; weighed less
        than a length that fits or does not.
    """
    lengths = [np.array([shot.length_s for shot in row]) for row in (first, second)]
    few = min(len(first), len(second)) < 6
    measures = (
        _Measure(first=lengths[0], second=lengths[1], finest=0.6 if few else 0.35, usual=2.0),
        _Measure(
            first=np.log(lengths[0]), second=np.log(lengths[1]), finest=0.07 if few else 0.045,
            usual=0.25,
        ),
    )  # fmt: skip
    times = None
    in_order = all(
        after.at_s is not None and one.at_s is not None and after.at_s > one.at_s
        for row in (first, second)
        for one, after in pairwise(row)
    )
    if in_order and times_hold(first) and times_hold(second):
        times = tuple(np.array([shot.at_s for shot in row]) for row in (first, second))
    sound = np.zeros((len(first), len(second)))
    for (one, other), same in (heard or {}).items():
        sound[one, other] = _HEARD if same else _NOT_HEARD
    told = sound.copy()
    for other, one in (named or {}).items():
        told[:, other] += _NAMED_OTHERWISE
        told[one, other] += _NAMED - _NAMED_OTHERWISE
    beginnings = _beginnings(len(first), len(second))
    if named:
        beginnings.append([(one, other) for other, one in named.items()])
    found = [
        _settle(measure, times, told, matched) for measure in measures for matched in beginnings
    ]
    best = max(found, key=lambda one: one.total)
    others = [best.total - one.total for one in found if one.pairs != best.pairs]
    margin = min([best.margin, *others])
    in_step = all(one == other for one, other in best.pairs)
    matched = [(one, other) for one, other in best.pairs if one is not None and other is not None]
    differences = np.array([lengths[1][other] - lengths[0][one] for one, other in matched])
    longer_s = float(np.median(differences)) if matched else 0.0
    off = np.abs(differences - longer_s)
    return Aligned(
        pairs=best.pairs,
        certain=margin >= (_SURE_IN_ORDER if in_step else _SURE)
        and not _odd(best, lengths, times, sound),
        margin=margin,
        longer_s=longer_s,
        near_s=max(0.3, round(2 * float(np.median(off)), 1)) if matched else 0.3,
        clock_s=best.clock_s,
        by_lengths=best.clock_s is None and not _mostly_heard(matched, sound),
    )


def align_named(
    first: Sequence[Shot],
    second: Sequence[Shot],
    heard: Mapping[tuple[int, int], bool],
    named: Mapping[int, int],
) -> tuple[Aligned, Aligned]:
    """Lay two rows of clips along each other with what names tell, and without.

    Parameters
    ----------
    first, second, heard, named
        As for ``align``.

    Returns
    -------
    Aligned, Aligned
        The first is certain only where the second, without names, is certain of the same and
        no name speaks against it. Where the second is certain of another, it is the first too,
        uncertain: one slip in numbering makes all names mislead at once.
    """
    unnamed = align(first, second, heard)
    if not named:
        return unnamed, unnamed
    aligned = align(first, second, heard, named)
    as_named = {(one, other) for other, one in named.items()} <= set(aligned.pairs)
    agree = as_named and aligned.pairs == unnamed.pairs
    if unnamed.certain and not agree:
        return replace(unnamed, certain=False), unnamed
    return replace(aligned, certain=agree and unnamed.certain), unnamed


def _mostly_heard(matched: Sequence[tuple[int, int]], sound: Numbers) -> bool:
    """Tell whether most pairs were heard to be of one scene."""
    return sum(bool(sound[pair] > 0) for pair in matched) > len(matched) / 2


def _odd(
    found: _Found,
    lengths: Sequence[Numbers],
    times: Sequence[Numbers] | None,
    sound: Numbers,
) -> bool:
    """Tell whether too many pairs fit nothing: another pairing may be worse, and this wrong."""
    matched = [(one, two) for one, two in found.pairs if one is not None and two is not None]
    if not matched:
        return True
    if _mostly_heard(matched, sound):
        return False
    few = len(matched) // 10 + (1 if len(matched) >= 10 else 0)
    if times is not None and found.clock_s is not None:
        ahead = np.array([times[1][two] - times[0][one] for one, two in matched])
        return int((np.abs(ahead - found.clock_s) > 4 * _TIMES_SPREAD_S).sum()) > few
    more = np.array([lengths[1][two] - lengths[0][one] for one, two in matched])
    off = np.abs(more - np.median(more))
    chance = float(np.sqrt(lengths[0].var() + lengths[1].var()))
    spread = max(1.5 * float(np.median(off)), 0.5)
    in_step = all(one == two for one, two in found.pairs)
    # Order itself speaks for pairs in order, so that their lengths may be looser.
    apart = spread > (0.85 if in_step else 0.6) * chance or not _go_together(lengths, matched)
    return (chance > 1.0 and apart) or int((off > 3 * spread).sum()) > few


def _go_together(lengths: Sequence[Numbers], matched: Sequence[tuple[int, int]]) -> bool:
    """Tell whether a long clip of one row has a long one of the other, by and large."""
    one, two = (lengths[row][[pair[row] for pair in matched]] for row in (0, 1))
    if len(matched) < 3 or not (one.std() and two.std()):
        return True
    return bool(np.corrcoef(one, two)[0, 1] > 0.5)


def _beginnings(rows: int, columns: int) -> list[list[tuple[int, int]]]:
    """Return the pairs to begin with: the second row some places earlier than the first."""
    more = rows - columns
    shifts = range(min(more, 0) - _SPARE, max(more, 0) + _SPARE + 1)
    return [
        [(one, one - shift) for one in range(rows) if 0 <= one - shift < columns]
        for shift in shifts
    ]


def _settle(
    measure: _Measure,
    times: tuple[Numbers, ...] | None,
    told: Numbers,
    matched: Sequence[tuple[int, int]],
) -> _Found:
    """Begin with some pairs, and better them until they stand."""
    rows = len(told)
    found: _Found | None = None
    for _ in range(6):
        scores = told.copy()
        more, spread = _lengths_go(measure, matched)
        apart = measure.second - measure.first[:, None] - more
        scores += _weigh(apart, spread, _chance(measure), _ODD_LENGTH)
        clock_s = None
        if times is not None and matched:
            ahead = times[1] - times[0][:, None]
            clock_s = float(np.median([ahead[pair] for pair in matched]))
            gap_s = float(np.median(np.diff(times[0]))) if rows > 1 else 30.0
            scores += _weigh(ahead - clock_s, _TIMES_SPREAD_S, max(gap_s, 10.0), _ODD_TIME)
        pairs, total, margin = _best_path(scores)
        total -= 0.5 * (more / measure.usual) ** 2
        if found is not None and total <= found.total + 1e-9:
            return found
        found = _Found(
            total=total, pairs=pairs, margin=margin, more=more, spread=spread, clock_s=clock_s
        )
        matched = [(one, two) for one, two in pairs if one is not None and two is not None]
    assert found is not None
    return found


def _lengths_go(measure: _Measure, matched: Sequence[tuple[int, int]]) -> tuple[float, float]:
    """Return how much more the second row has, and by how much pairs differ from that."""
    if not matched:
        return 0.0, measure.finest
    more = np.array([measure.second[two] - measure.first[one] for one, two in matched])
    middle = float(np.median(more))
    return middle, max(1.5 * float(np.median(np.abs(more - middle))), measure.finest)


def _chance(measure: _Measure) -> float:
    """Return by how much two clips of different plays differ."""
    return float(np.sqrt(measure.first.var() + measure.second.var()))


def _weigh(apart: Numbers, spread: float, chance: float, odd: float) -> Numbers:
    """Weigh differences: above 0 where they speak for a pair, below where against it."""
    if chance <= spread:
        return np.zeros_like(apart)
    like = np.exp(-0.5 * (apart / spread) ** 2) / spread
    unlike = np.exp(-0.5 * (apart / chance) ** 2) / chance
    weighed: Numbers = np.log((1 - odd) * like / np.maximum(unlike, 1e-12) + odd)
    return np.where(unlike < 1e-12, np.log(odd), weighed)


def _best_path(scores: Numbers) -> tuple[Pairs, float, float]:
    """Return the best pairing in order, its weight, and how much worse the next one is."""
    rows, columns = scores.shape
    before = _sums(scores)
    after = _sums(scores[::-1, ::-1])[::-1, ::-1]
    total = float(before[rows, columns])
    pairs: list[tuple[int | None, int | None]] = []
    row, column = rows, columns
    while row or column:
        here = before[row, column]
        # Of pairings that weigh the same, the one that leaves the last alone is order's own.
        if row and here == before[row - 1, column] - _ALONE:
            row -= 1
            pairs.append((row, None))
        elif column and here == before[row, column - 1] - _ALONE:
            column -= 1
            pairs.append((None, column))
        else:
            row, column = row - 1, column - 1
            pairs.append((row, column))
    pairs.reverse()
    through = before[:-1, :-1] + scores + after[1:, 1:]
    alone = (before[:, :-1] - _ALONE + after[:, 1:]).max(axis=0)
    worst = np.inf
    for one, two in pairs:
        if two is None:
            continue
        others = np.delete(through[:, two], one) if one is not None else through[:, two]
        next_best = max([*others.tolist(), *([] if one is None else [float(alone[two])])])
        worst = min(worst, total - next_best)
    return tuple(pairs), total, float(worst)


def _sums(scores: Numbers) -> Numbers:
    """(R + 1, C + 1): the best weight of the first so many of either row."""
    rows, columns = scores.shape
    best = np.empty((rows + 1, columns + 1))
    best[0] = -_ALONE * np.arange(columns + 1)
    best[:, 0] = -_ALONE * np.arange(rows + 1)
    weights = scores.tolist()
    above = best[0].tolist()
    for row in range(1, rows + 1):
        line = [-_ALONE * row]
        for column, weight in enumerate(weights[row - 1], start=1):
            line.append(max(above[column - 1] + weight, above[column] - _ALONE, line[-1] - _ALONE))
        best[row] = above = line
    return best
