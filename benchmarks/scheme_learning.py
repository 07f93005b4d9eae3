"""Count the clips after which learning reproduces a scheme it was never shown.

Hidden schemes answer what each man owed on looks met as often as on film; learning (with no rule
of its own) and the tool a user would take instead, scikit-learn's DecisionTreeClassifier on
one-hot facts, are given the same clips and asked about the same looks they have not seen.

    python benchmarks/scheme_learning.py            # everything, some minutes
    python benchmarks/scheme_learning.py --quick    # two schemes, no asking
"""

from __future__ import annotations

import argparse
import random
import time
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from importlib.resources import files
from typing import Any

import numpy as np
from numpy.typing import NDArray

from gradecut.scheme import Scheme, Value, parse_scheme
from gradecut.scheme.learning import Proposal, Said, learn

COUNTS = (10, 20, 40, 80, 120, 200, 400)
UNSEEN = 600
ASKED = 120
GOAL = 0.95
Look = dict[str, Value]

FACTS = """
[facts.strength]
values = ["left", "right"]
sided = true
[facts.surface]
values = [2, 3, 4]
per_side = true
[facts.back]
values = ["left", "right", "behind", "none"]
sided = true
[facts.wing]
values = ["left", "right", "none"]
sided = true
[facts.motion]
values = [true, false]
[facts.concept]
values = [
  "inside zone", "split zone", "mid zone", "outside zone", "power", "counter", "trap", "lead",
  "zone read", "toss",
]
known = "after"
[facts.run]
values = ["left", "right"]
sided = true
known = "after"
[facts.pull]
values = ["left", "right", "none"]
sided = true
known = "after"
"""
MEN: Mapping[str, str] = {
    "Bow": '{ same_as = "strength" }',
    "Keel": '{ same_as = "strength" }',
    "Port": '{ opposite_of = "strength" }',
    "Stern": '{ opposite_of = "strength" }',
}
JOBS = ("fill", "hang", "spill", "box", "force", "fold", "scrape", "squeeze", "cutback", "overlap")
OFTEN: Mapping[str, Sequence[float]] = {
    "surface": (5, 4, 1),
    "back": (3, 3, 3, 1),
    "wing": (1, 1, 3),
    "motion": (1, 3),
    "concept": (20, 9, 8, 16, 12, 8, 4, 5, 10, 8),
    "pull": (1, 1, 5),
}
HARBOR_OFTEN: Mapping[str, Sequence[float]] = {
    "surface": (5, 4, 1),
    "concept": (20, 9, 8, 16, 12, 8, 4, 5, 2, 8, 8, 0),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Hidden:
    """A scheme to be found out.

    Attributes
    ----------
    name : str
    scheme, blank : Scheme
        As it is, and without its rules.
    men : tuple of str
        Those whose answers are given.
    rules : int
        How many of its rules are theirs.
    often : mapping of str to weights
        How often each value of a fact is met; alike where nothing is said.
    """

    name: str
    scheme: Scheme
    blank: Scheme
    men: tuple[str, ...]
    rules: int
    often: Mapping[str, Sequence[float]]

    def look(self, rng: random.Random) -> Look:
        """Meet a look."""
        while True:
            look: Look = {}
            for fact in self.scheme.facts.values():
                for reference in fact.references:
                    weights = self.often.get(fact.name)
                    look[reference] = rng.choices(fact.values, weights)[0]
            if not self.scheme.look_faults(look):
                return look

    def answers(self, look: Look) -> dict[str, str]:
        """Say what each man owes."""
        return {man: str(self.scheme.expect(man, look).fit) for man in self.men}


def harbor() -> Hidden:
    """Give Harbor's three graded linebackers: 33 rules."""
    text = (files("gradecut.samples") / "week" / "harbor.toml").read_text(encoding="utf-8")
    men = ("Bow", "Keel", "Port")
    scheme = parse_scheme(text, "Harbor")
    bare = text[: text.index("[[rules]]")] + text[text.index("[[impossible]]") :]
    blank = parse_scheme(bare, "Harbor without rules")
    ours = [rule for rule in scheme.rules if rule.id.startswith("R")]
    return Hidden(
        name="Harbor", scheme=scheme, blank=blank, men=men, rules=len(ours), often=HARBOR_OFTEN
    )


def made_scheme(seed: int) -> Hidden:
    """Make a scheme of about 30 rules as a coach might write it.

    Four men; families of concepts that the men share but for one that each parts on his own; run
    to and away; the surface where the ball goes for some; overrides by motion, wing and back in
    the tier "flow", by pullers in the tier "pull".
    """
    rng = random.Random(seed)
    rules: list[tuple[str, str, str, str]] = []
    for man in MEN:
        rules += _base(rng, man, _families(rng))
    overrides: list[tuple[str, str, str, str]] = []
    men = list(MEN)
    while len(rules) + len(overrides) < 30 or len(overrides) < 4:
        man = men[len(overrides) % len(men)]
        tier, when = rng.choice(_OVERRIDES)
        if not any((man, tier) == (known[0], known[1]) for known in overrides):
            overrides.append((man, tier, when, _fit(rng)))
        elif len(overrides) >= 8:
            break
    head = '[scheme]\nname = "made"\ntiers = ["base", "flow", "pull"]\n' + FACTS
    head += "".join(
        f'[positions.{man}]\ngroup = "linebackers"\nside = {side}\n' for man, side in MEN.items()
    )
    head += "".join(
        f'[fits."{job} {gap}"]\njob = "{job}"\ngap = "{gap}"\n' for job in JOBS for gap in "ABCD"
    )
    every = rules + overrides
    body = "".join(
        f'[[rules]]\nid = "{number}"\nfor = ["{man}"]\ntier = "{tier}"\nwhen = {{ {when} }}\n'
        f'fit = "{fit}"\n'
        for number, (man, tier, when, fit) in enumerate(every)
    )
    return Hidden(
        name=f"made {seed}",
        scheme=parse_scheme(head + body, "made"),
        blank=parse_scheme(head, "made without rules"),
        men=tuple(MEN),
        rules=len(every),
        often=OFTEN,
    )


_OVERRIDES = (
    ("flow", 'motion = true, run = "away"'),
    ("flow", 'wing = "to", run = "to"'),
    ("flow", 'back = "none"'),
    ("flow", 'motion = true, wing = "away"'),
    ("pull", 'pull = "to"'),
    ("pull", 'pull = "away", run = "away"'),
    ("pull", 'pull = "to", "surface.to" = { min = 3 }'),
)


def _families(rng: random.Random) -> list[list[str]]:
    families = [
        ["inside zone", "split zone", "mid zone"],
        ["outside zone", "toss"],
        ["power", "counter"],
        ["trap", "lead", "zone read"],
    ]
    one, two = sorted(rng.sample(range(len(families)), 2))
    families[one] += families.pop(two)  # this man takes two families as one
    if rng.random() < 0.6:  # and parts one concept from its family
        families.append([rng.choice(families).pop()])
    return families


def _base(
    rng: random.Random, man: str, families: list[list[str]]
) -> list[tuple[str, str, str, str]]:
    rules = []
    for family in families:
        concepts = ", ".join(f'"{concept}"' for concept in family)
        kind = rng.random()
        if kind < 0.35:
            rules.append((man, "base", f"concept = [{concepts}]", _fit(rng)))
            continue
        for way in ("to", "away"):
            when = f'concept = [{concepts}], run = "{way}"'
            if way == "to" and kind > 0.8:
                rules.append((man, "base", f'{when}, "surface.run" = 2', _fit(rng)))
                when += ', "surface.run" = { min = 3 }'
            rules.append((man, "base", when, _fit(rng)))
    return rules


def _fit(rng: random.Random) -> str:
    return f"{rng.choice(JOBS)} {rng.choice('ABCD')}"


def accepted(blank: Scheme, proposals: Sequence[Proposal]) -> Scheme:
    """Make the scheme of all proposals."""
    tiers = list(dict.fromkeys([*blank.tiers, *(proposal.tier for proposal in proposals)]))
    lines = []
    for line in blank.text.splitlines():
        lines.append(f"tiers = {_word(tiers)}" if line.startswith("tiers = ") else line)
    for number, rule in enumerate(proposals):
        lines += [
            "[[rules]]",
            f'id = "L{number}"',
            f"for = {_word(list(rule.men))}",
            f"tier = {_word(rule.tier)}",
            f"when = {_word(dict(rule.when))}",
            f"fit = {_word(rule.fit)}",
        ]
    return parse_scheme("\n".join(lines), "learned")


def _word(value: Any) -> str:
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, str):
        return f'"{value}"'
    if isinstance(value, list):
        return f"[{', '.join(map(_word, value))}]"
    if isinstance(value, dict):
        return f"{{ {', '.join(f'{_word(key)} = {_word(part)}' for key, part in value.items())} }}"
    return str(value)


@dataclass(frozen=True, slots=True, kw_only=True)
class Exam:
    """Looks nobody has shown, with their answers."""

    hidden: Hidden
    looks: list[Look]
    answers: list[dict[str, str]]

    def share(self, said: Callable[[str, Sequence[Look]], Sequence[object]]) -> float:
        """Give the share of answers told rightly."""
        right = 0
        for man in self.hidden.men:
            told = said(man, self.looks)
            right += sum(one == truth[man] for one, truth in zip(told, self.answers, strict=True))
        return right / len(self.looks) / len(self.hidden.men)


def exam_of(hidden: Hidden, seed: int = 1000) -> Exam:
    """Draw the looks of an exam."""
    rng = random.Random(seed)
    looks = [hidden.look(rng) for _ in range(UNSEEN)]
    return Exam(hidden=hidden, looks=looks, answers=[hidden.answers(look) for look in looks])


def ours(exam: Exam, proposals: Sequence[Proposal]) -> float:
    """Examine proposals, all accepted."""
    scheme = accepted(exam.hidden.blank, proposals)
    return exam.share(lambda man, looks: [scheme.expect(man, look).fit for look in looks])


def said_on(hidden: Hidden, looks: Sequence[Look]) -> list[Said]:
    """Let the coach say what every man owed."""
    return [
        Said(position=man, look=look, fit=fit, clip=f"{number:03}")
        for number, look in enumerate(looks, 1)
        for man, fit in hidden.answers(look).items()
    ]


def tree(exam: Exam, looks: Sequence[Look], *, from_the_man: bool) -> float:
    """Examine a decision tree for each man on one-hot facts.

    With `from_the_man` it is handed to and away, and the surface where the ball goes, as well:
    more than a user would have.
    """
    from sklearn.tree import DecisionTreeClassifier  # type: ignore[import-untyped]

    answers = [exam.hidden.answers(look) for look in looks]

    def said(man: str, asked: Sequence[Look]) -> Sequence[object]:
        grown = DecisionTreeClassifier(random_state=0).fit(
            _one_hot(exam.hidden, man, looks, from_the_man),
            [answer[man] for answer in answers],
        )
        return list(grown.predict(_one_hot(exam.hidden, man, asked, from_the_man)))

    return exam.share(said)


def _one_hot(
    hidden: Hidden, man: str, looks: Sequence[Look], from_the_man: bool
) -> NDArray[np.float64]:
    columns = [
        (reference, value)
        for reference in hidden.scheme.references
        for value in hidden.scheme.values_of(reference)
    ]
    rows = [[float(look.get(word) == value) for word, value in columns] for look in looks]
    if from_the_man:
        rows = [row + _seen(hidden, man, look) for row, look in zip(rows, looks, strict=True)]
    return np.array(rows)


def _seen(hidden: Hidden, man: str, look: Look) -> list[float]:
    own = hidden.scheme.side_of(man, look)
    away = {"left": "right", "right": "left"}[str(own)]
    found: list[float] = []
    for fact in hidden.scheme.facts.values():
        if fact.sided:
            found += [float(look.get(fact.name) == side) for side in (own, away)]
        if fact.per_side:
            for side in (own, away, look.get("run", own)):
                found += [float(look[f"{fact.name}.{side}"] == value) for value in fact.values]
    return found


def first_to(goal: float, curve: Mapping[int, float]) -> str:
    """Give the first count from which the goal was reached."""
    reached = [count for count, share in curve.items() if share >= goal]
    return str(reached[0]) if reached else f"over {max(curve)}"


def measure_random(hidden: Hidden, seeds: Sequence[int]) -> dict[str, dict[int, float]]:
    """Print the learning curves of clips in random order, means over several orders."""
    exam = exam_of(hidden)
    curves: dict[str, dict[int, float]] = {"gradecut": {}, "tree": {}, "tree, from the man": {}}
    for count in COUNTS:
        shares: dict[str, list[float]] = {name: [] for name in curves}
        rules, taken_s = [], []
        for seed in seeds:
            rng = random.Random(seed)
            looks = [hidden.look(rng) for _ in range(count)]
            said = said_on(hidden, looks)
            begin = time.perf_counter()
            learned = learn(hidden.blank, said)
            taken_s.append(time.perf_counter() - begin)
            rules.append(len(learned.proposals))
            shares["gradecut"].append(ours(exam, learned.proposals))
            shares["tree"].append(tree(exam, looks, from_the_man=False))
            shares["tree, from the man"].append(tree(exam, looks, from_the_man=True))
        for name, found in shares.items():
            curves[name][count] = float(np.mean(found))
        print(
            f"{hidden.name:>8} {count:4} clips: gradecut {curves['gradecut'][count]:6.1%} with "
            f"{np.mean(rules):4.1f} rules ({max(taken_s):.1f} s); "
            f"tree {curves['tree'][count]:6.1%}; "
            f"tree, from the man {curves['tree, from the man'][count]:6.1%}",
            flush=True,
        )
    return curves


def measure_asking(hidden: Hidden, seed: int) -> dict[int, float]:
    """Print the learning curve where the coach answers the look asked for."""
    exam = exam_of(hidden)
    rng = random.Random(seed)
    looks = [hidden.look(rng)]
    curve: dict[int, float] = {}
    while len(looks) <= ASKED:
        learned = learn(hidden.blank, said_on(hidden, looks))
        if len(looks) % 10 == 0:
            curve[len(looks)] = ours(exam, learned.proposals)
        looks.append(dict(learned.ask.look) if learned.ask else hidden.look(rng))
    told = ", ".join(f"{count}: {share:.0%}" for count, share in curve.items())
    print(f"{hidden.name:>8} asked for: {told}", flush=True)
    return curve


def main() -> None:
    """Measure and print."""
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--quick", action="store_true", help="two schemes, no asking")
    quick = asked.parse_args().quick
    schemes = [harbor(), *(made_scheme(seed) for seed in ((1,) if quick else (1, 2, 3, 4)))]
    reached = []
    for hidden in schemes:
        print(f"{hidden.name}: {hidden.rules} rules for {len(hidden.men)} men", flush=True)
        curves = measure_random(hidden, (1,) if quick else (1, 2, 3))
        row = {name: first_to(GOAL, curve) for name, curve in curves.items()}
        if not quick:
            row["asked for"] = first_to(GOAL, measure_asking(hidden, 5))
        reached.append((hidden.name, row))
    print(f"clips to {GOAL:.0%} of unseen looks:")
    for name, row in reached:
        print(f"{name:>8}: " + ", ".join(f"{who} {count}" for who, count in row.items()))


if __name__ == "__main__":
    main()
