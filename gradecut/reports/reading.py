"""How to read the numbers: the same words on the sheet and on the pages."""

from __future__ import annotations

from gradecut.records.rubric import Rubric

__all__ = ["reading_notes"]

_FOR_STAFF = frozenset({"changed since"})


def reading_notes(rubric: Rubric, *, for_player: bool = False) -> tuple[tuple[str, str], ...]:
    """Return (word, meaning) for every kind of number shown, in the order they are met.

    Some are of no use on a player's sheet and are left out there.
    """
    good = f"{100 * rubric.good:.0f} %"
    weighed = [
        (
            "overall",
            "Fit, technique and effort weighed as the rubric says, over the reps in which all "
            "of them were graded; the count beside it says how many those are.",
        )
    ]
    told = (
        ("fit", _fit(rubric)),
        (
            "technique, effort",
            "Points over the top of their scale, over what was graded. Kept apart from the fit, "
            "because the cure differs.",
        ),
        *(weighed if rubric.weights is not None else []),
        ("n", "How many judgements a rate rests on. Nothing is made up for what was not graded."),
        (
            "95 % from, to",
            "Where his true rate may well lie, given so few reps (Wilson 1927). 8 right of 10 "
            "leaves 49 to 94 %. Reps of one practice are not independent, so take it as at least "
            "so wide. Where two intervals overlap, nobody is ranked.",
        ),
        (
            "▼",
            f"The whole interval lies below {good}, the line called good. Of many cells one or "
            "the other is there by luck alone.",
        ),
        (
            "at speed, closely",
            "Let through at speed as right, or looked at closely. Reps at speed are mostly right "
            "because misses are the ones looked at.",
        ),
        ("can't grade", "It has no value and lowers nothing; it is counted, with its reason."),
        (
            "first step",
            "Frames from snap to first step, the middle one of those counted. Each is known to a "
            "frame either way, so at 30 frames a second players a tenth of a second apart can't "
            "be told from a handful of reps.",
        ),
        (
            "lined up right",
            "At the snap he stood where the scheme asks, within its tolerance: so many of those "
            "judged right or off. A count of its own, in no grade and no other rate; what can't "
            "be told from the film is not in it. The interval is of the same kind.",
        ),
        (
            "changed since",
            "The look, the coach's word or the scheme has changed since the grade was given; "
            "grade it again.",
        ),
    )
    return tuple(note for note in told if not (for_player and note[0] in _FOR_STAFF))


def _fit(rubric: Rubric) -> str:
    """Say how a fit's points are counted."""
    half = f"{rubric.half / rubric.right:.2g}" if rubric.right else "0"
    return (
        f"Right counts 1, half counts {half}, wrong counts "
        f"{rubric.wrong / rubric.right if rubric.right else 0:.2g}, over the fits graded. "
        "The outcome of the play never enters."
    )
