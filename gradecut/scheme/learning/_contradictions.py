"""Different answers on looks that nothing recorded tells apart."""

from __future__ import annotations

from collections.abc import Container, Iterable, Mapping, Sequence
from dataclasses import replace

from gradecut.scheme.learning._ground import Example
from gradecut.scheme.learning._views import Box
from gradecut.scheme.learning.parts import Contradiction

__all__ = ["gather", "part_contradictions"]


def gather(
    answers: Iterable[tuple[Box, str, str]], given: Container[tuple[str, str]]
) -> list[Example]:
    """Bring answers of the same look and fit together, in the order they came.

    Parameters
    ----------
    answers : iterable of (Box, str, str)
        Look, fit and clip.
    given : container of (str, str)
        Fit and clip of the answers the scheme's own rules give already.
    """
    clips: dict[tuple[Box, str], dict[str, None]] = {}
    for box, fit, clip in answers:
        clips.setdefault((box, fit), {})[clip] = None
    return [
        Example(
            box=box,
            fit=fit,
            clips=tuple(found),
            given=any((fit, clip) in given for clip in found),
        )
        for (box, fit), found in clips.items()
    ]


def part_contradictions(
    position: str, examples: Sequence[Example], fits: Mapping[str, object]
) -> tuple[list[Example], tuple[Contradiction, ...], frozenset[Box]]:
    """Part the answers that contradict each other from those to learn from.

    Of two that contradict, the one that the scheme's own rules give stays, so that no rule learned
    from the rest turns it; else the one that says less of its look is set aside; both, where
    neither says all that the other does. Two that the rules give are at odds on no look that may
    be.

    Returns
    -------
    tuple
        The examples to learn from, the contradictions in the order they came, and the looks that
        were set aside.
    """
    pairs = [
        (one, two)
        for one, two in _pairs(examples)
        if not (examples[one].given and examples[two].given)
    ]
    aside = {
        at
        for one, two in pairs
        for at, other in ((one, two), (two, one))
        if _gives_way(examples[at], examples[other])
    }
    # A clip whose man may stand on either side has two looks: neither is learned without the other.
    gone = {(examples[at].fit, clip) for at in aside for clip in examples[at].clips}
    kept = []
    for example in examples:
        clips = tuple(clip for clip in example.clips if (example.fit, clip) not in gone)
        if clips:
            kept.append(replace(example, clips=clips))
    disputed = frozenset(examples[at].box for at in aside)
    return kept, tuple(_told(position, examples, pairs, fits)), disputed


def _gives_way(one: Example, two: Example) -> bool:
    """Tell whether the first of two that contradict is set aside."""
    if one.given or two.given:
        return not one.given
    return one.box == two.box or not all(a & b == a for a, b in zip(one.box, two.box, strict=True))


def _pairs(examples: Sequence[Example]) -> Iterable[tuple[int, int]]:
    whole: dict[Box, list[int]] = {}
    loose: list[int] = []
    for at, example in enumerate(examples):
        if all(allowed & (allowed - 1) == 0 for allowed in example.box):
            whole.setdefault(example.box, []).append(at)
        else:
            loose.append(at)
    for same in whole.values():
        yield from ((a, b) for a in same for b in same if a < b)
    known = set(loose)
    for one in loose:
        for two, example in enumerate(examples):
            if (two in known and two <= one) or example.fit == examples[one].fit:
                continue
            if all(a & b for a, b in zip(examples[one].box, example.box, strict=True)):
                yield one, two


def _told(
    position: str,
    examples: Sequence[Example],
    pairs: Sequence[tuple[int, int]],
    fits: Mapping[str, object],
) -> Iterable[Contradiction]:
    home = {at: at for pair in pairs for at in pair}

    def root(at: int) -> int:
        while home[at] != at:
            at = home[at]
        return at

    for one, two in pairs:
        first, second = sorted((root(one), root(two)))
        home[second] = first
    members: dict[int, list[int]] = {}
    for at in sorted(home):
        members.setdefault(root(at), []).append(at)
    for places in members.values():
        said: dict[str, dict[str, None]] = {}
        for at in places:
            said.setdefault(examples[at].fit, {}).update(dict.fromkeys(examples[at].clips))
        names = tuple(fit for fit in fits if fit in said)
        clips = tuple(tuple(said[fit]) for fit in names)
        count = len({clip for group in clips for clip in group})
        told = " and ".join(
            f"“{fit}” {_times(len(group))}" for fit, group in zip(names, clips, strict=True)
        )
        yield Contradiction(
            position=position,
            fits=names,
            clips=clips,
            message=(
                f"On {count} clips that nothing recorded tells apart, {position} owed {told}: "
                "record what differs, or correct an answer."
            ),
        )


def _times(count: int) -> str:
    return {1: "once", 2: "twice"}.get(count, f"{count} times")
