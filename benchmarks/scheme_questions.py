"""How many questions a clip of the sample week needs, against recording every fact of its look.

Each clip is asked about as the Film page asks: one fact at a time, only facts that can still
change what a graded man owes, until every graded man is settled. The answers are those of the
sample week's script. Told is the mean over the clips in the order a play shows the facts (what the
window does), and in the order in which they settle most (fewer questions, but the play runs back
and forth), starting from nothing, from what the script says of the look before the snap, and from
all the script says.

    python -m benchmarks.scheme_questions
"""

from __future__ import annotations

import csv
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from statistics import mean

from gradecut.records import Expectation
from gradecut.samples import week_folder
from gradecut.scheme import Look, Scheme, Value, load_scheme

__all__ = ["Asking", "ask_week", "main"]

Order = Callable[[Scheme, Mapping[str, Expectation]], str]


@dataclass(frozen=True, slots=True, kw_only=True)
class Asking:
    """What asking came to over the clips of a week.

    Attributes
    ----------
    start, order : str
        What was known at first, and how the next question was chosen.
    clips : int
    questions : float
        Mean questions a clip.
    facts : float
        Mean facts of a clip's look that were not known at first and have a value.
    """

    start: str
    order: str
    clips: int
    questions: float
    facts: float


def _play_order(scheme: Scheme, asked: Mapping[str, Expectation]) -> str:
    needs = {need for one in asked.values() for need in one.needs}
    return min(needs, key=scheme.play_order.index)


def _most_useful(_: Scheme, asked: Mapping[str, Expectation]) -> str:
    first = [one.needs[0] for one in asked.values() if one.needs]
    return max(dict.fromkeys(first), key=first.count)


_ORDERS: dict[str, Order] = {
    "in the order of the play": _play_order,
    "what settles most first": _most_useful,
}


def _week(scheme: Scheme) -> list[tuple[dict[str, Value], list[str]]]:
    """Read the look and the graded men of each clip."""
    found = []
    with open(week_folder() / "script.csv", encoding="utf-8", newline="") as file:
        for row in csv.DictReader(file):
            look: dict[str, Value] = {}
            for reference in scheme.references:
                told = row.get(reference)
                if told:
                    whole = isinstance(scheme.values_of(reference)[0], int)
                    look[reference] = int(told) if whole else told
            men = [name for name, man in scheme.positions.items() if man.graded and row.get(name)]
            found.append((look, men))
    return found


def _count(
    scheme: Scheme, truth: Look, known: Look, men: list[str], order: Order
) -> tuple[int, int]:
    """Ask until every man is settled; give the questions, and the facts there were to record."""
    look = dict(known)
    questions = 0
    while True:
        asked = {name: scheme.expect(name, look) for name in men}
        if all(one.settled or not one.needs for one in asked.values()):
            return questions, len(truth) - len(known)
        reference = order(scheme, asked)
        look[reference] = truth[reference]
        questions += 1


def ask_week(scheme: Scheme) -> list[Asking]:
    """Ask about every clip of the sample week, from each start and in each order."""
    early = {one for one in scheme.references if scheme.fact_of(one).known == "before"}
    starts: dict[str, set[str]] = {
        "from nothing": set(),
        "from the script's facts before the snap": early,
        "from all the script says": set(scheme.references),
    }
    found = []
    week = _week(scheme)
    for start, known in starts.items():
        for name, order in _ORDERS.items():
            counts = []
            for told, men in week:
                before = {ref: value for ref, value in told.items() if ref in known}
                # The script does not tell of the blocker off the ball, and no fit asks for him.
                counts.append(_count(scheme, {**told, "wing": "none"}, before, men, order))
            found.append(
                Asking(
                    start=start,
                    order=name,
                    clips=len(counts),
                    questions=mean(questions for questions, _ in counts),
                    facts=mean(facts for _, facts in counts),
                )
            )
    return found


def main() -> None:
    """Print the table."""
    scheme = load_scheme(week_folder() / "harbor.toml")
    for row in ask_week(scheme):
        print(
            f"{row.start}, {row.order}: {row.questions:.2f} questions a clip, "
            f"{row.facts:.2f} to record every fact ({row.clips} clips)"
        )


if __name__ == "__main__":
    main()
