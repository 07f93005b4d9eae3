"""How fast a scheme is audited: time and memory from 10^3 to 10^12 looks, and beside an edit.

Run ``python benchmarks/scheme_speed.py`` from the checkout; ``--quick`` takes the smaller sizes
only, and any of the words ``audit``, ``edits``, ``desk`` and ``plain`` only those sections
(``desk``: from a fit chosen in the grid to the findings beside it). Schemes are made
from a seed, in two kinds: *coach* as a coach writes them (a base defence by concept, run and
surface, and tiers over it that each look at a few more facts), and *random* (every rule asks two to
four facts drawn from all of them, so that each man depends on the whole product and much is wrong).
Each audit runs in a process of its own, so that its peak memory can be told.
"""

from __future__ import annotations

import argparse
import json
import os
import queue
import random
import resource
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from itertools import product
from pathlib import Path
from typing import Any

from gradecut.desk.jobs import JobRunner
from gradecut.desk.scheme_desk import SchemeDesk
from gradecut.errors import SchemeError
from gradecut.scheme import Scheme, parse_scheme
from gradecut.scheme.auditing import Auditor
from gradecut.workflows.booking import new_book

SIZES = (10**3, 10**4, 10**5, 10**6, 10**7, 10**12)
QUICK = (10**3, 10**4, 10**5)
CONCEPTS = (
    "inside zone", "split zone", "mid zone", "outside zone", "power", "counter",
    "trap", "lead", "midline", "zone read",
)  # fmt: skip
GAPS = ("A", "B", "C", "D")
MEN = {
    "Bow": "strength", "Keel": "strength", "Port": "weak", "Capstan": "strength",
    "Anchor": "strength", "Mast": "weak", "Rudder": "weak", "Stern": "weak",
    "Binnacle": "left", "Hawse": "right", "Bitt": "as aligned",
}  # fmt: skip
MORE_FACTS = (
    ("back", ["left", "right", "behind", "none"]), ("wing", ["left", "right", "none"]),
    ("pull", ["left", "right", "none"]), ("motion", ["left", "right", "none"]),
    ("mesh", ["tight", "wide"]), ("keeps", ["back", "quarterback"]),
    ("release", ["left", "right", "none"]), ("hash", ["left", "right", "middle"]),
    ("split", ["wide", "normal", "reduced"]), ("tempo", ["slow", "fast"]),
    ("down", ["first", "second", "third", "fourth"]), ("zone", ["own", "midfield", "red"]),
    ("box", ["six", "seven", "eight"]), ("cadence", ["first", "late"]),
    ("stance", ["two", "three"]), ("depth", ["gun", "pistol", "under"]),
)  # fmt: skip


def invented_facts(looks: int) -> dict[str, list[Any]]:
    """Give facts whose looks come near to a number, besides strength, run, concept and surface."""
    size = 2 * 2 * 2 * len(CONCEPTS)  # strength, run, the side of Bitt, concept
    size *= 9 if looks > 10**3 else 1  # two surfaces
    facts: dict[str, list[Any]] = {}
    for name, values in MORE_FACTS:
        if size * len(values) > looks * 1.3:
            break
        facts[name] = values
        size *= len(values)
    if looks / size >= 2:
        facts["call"] = [f"call {number}" for number in range(round(looks / size))]
    return facts


def invented_scheme(kind: str, looks: int, rules: int = 300, seed: int = 1) -> str:
    """Write a scheme of eleven men with about so many rules and looks."""
    rng = random.Random(seed)
    facts = invented_facts(looks)
    surface = looks > 10**3
    lines = ["[scheme]", 'tiers = ["base", "flow", "pull"]']
    fixed: dict[str, list[Any]] = {"strength": ["left", "right"], "concept": list(CONCEPTS)}
    fixed["run"] = ["left", "right"]
    for name, values in (fixed | facts).items():
        lines += [f"[facts.{name}]", f"values = {json.dumps(values)}"]
        lines += ["sided = true"] if "left" in values else []
    if surface:
        lines += ["[facts.surface]", "values = [2, 3, 4]", "per_side = true"]
    for man, side in MEN.items():
        told = {
            "strength": '{ same_as = "strength" }',
            "weak": '{ opposite_of = "strength" }',
        }.get(side, f'"{side}"')
        lines += [f"[positions.{man}]", f"side = {told}"]
    for job, gap in product(("fill", "spill", "force", "hang"), GAPS):
        owns = {"force": '["force"]', "hang": '["cutback"]'}.get(job, "[]")
        lines += [f'[fits."{job} {gap}"]', f'job = "{job}"', f'gap = "{gap}"', f"owns = {owns}"]
    make = _coach_rules if kind == "coach" else _random_rules
    for number, (man, tier, when, fit) in enumerate(make(rng, facts, rules, surface=surface)):
        lines += ["[[rules]]", f'id = "R{number}"', f'for = ["{man}"]', f'tier = "{tier}"']
        lines += [f"when = {_table(when)}", f'fit = "{fit}"']
    lines += ["[[duties]]", 'name = "every gap has an owner"', "each_side = true"]
    lines += ['when = { run = "to" }', 'gaps = ["A", "B", "C"]']
    lines += ["[[duties]]", 'name = "one man forces"', "each_side = true"]
    lines += ['when = { run = "to", concept = "outside zone" }', 'owned = "force"', "at_most = 1"]
    lines += ["[[duties]]", 'name = "the cutback"', 'owned = "cutback"']
    return "\n".join(lines)


_Made = tuple[str, str, dict[str, Any], str]


def _fit(rng: random.Random) -> str:
    return f"{rng.choice(('fill', 'spill', 'force', 'hang'))} {rng.choice(GAPS)}"


def _seen(values: list[Any]) -> list[Any]:
    return [{"left": "to", "right": "away"}.get(value, value) for value in values]


def _coach_rules(
    rng: random.Random, facts: dict[str, list[Any]], rules: int, *, surface: bool
) -> Iterator[_Made]:
    each = rules // len(MEN)
    chunks = max(1, (each - 7) // 4)
    for man in MEN:
        groups = [list(CONCEPTS[place::chunks]) for place in range(min(chunks, len(CONCEPTS)))]
        for concepts in groups:
            ways = [[2], [3], [4]] if surface else [[2]]
            for counts in ways:
                when = {"concept": concepts, "run": "to"}
                yield man, "base", when | ({"surface.run": counts} if surface else {}), _fit(rng)
            yield man, "base", {"concept": concepts, "run": "away"}, _fit(rng)
        named = sorted(facts)
        for tier, count in (("flow", 4), ("pull", 3)):
            first = rng.choice(named) if named else "concept"
            values = _seen(facts.get(first, list(CONCEPTS)))
            for value in values[:count]:
                when = {first: value, "run": rng.choice(["to", "away"])}
                if named:
                    more = rng.choice(named)
                    when.setdefault(more, rng.choice(_seen(facts[more])))
                yield man, tier, when, _fit(rng)


def _random_rules(
    rng: random.Random, facts: dict[str, list[Any]], rules: int, *, surface: bool
) -> Iterator[_Made]:
    known = {"concept": list(CONCEPTS), "run": ["left", "right"], **facts}
    words = {name: _seen(values) for name, values in known.items()}
    if surface:
        words |= {"surface.to": [2, 3, 4], "surface.away": [2, 3, 4], "surface.run": [2, 3, 4]}
    men = list(MEN)
    for number in range(rules):
        names = rng.sample(sorted(words), min(len(words), rng.choice([2, 3, 3, 4])))
        when = {
            name: rng.sample(words[name], rng.randint(1, max(1, len(words[name]) // 2)))
            for name in names
        }
        tier = rng.choice(["base", "base", "flow", "pull"])
        yield men[number % len(men)], tier, when, _fit(rng)


def _table(when: dict[str, Any]) -> str:
    return "{ " + ", ".join(f'"{key}" = {json.dumps(value)}' for key, value in when.items()) + " }"


def peak_mb() -> float:
    """Give the most memory this process has had, in MB."""
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1000


def audit_once(kind: str, looks: int, rules: int) -> None:
    """Audit one scheme in this process and print a line of the table."""
    scheme = parse_scheme(invented_scheme(kind, looks, rules), kind)
    before = peak_mb()
    start = time.perf_counter()
    try:
        found = scheme.audit()
        told = f"{found.looks:>16,} looks, {len(found.findings):>4} findings"
    except SchemeError as refused:
        told = f"refused: {str(refused)[:90]}"
    took = time.perf_counter() - start
    print(
        f"{kind:>7} {rules:>4} rules {took:8.3f} s  peak {peak_mb():5.0f} MB "
        f"(before {before:.0f})  {told}",
        flush=True,
    )


def audit_section(sizes: tuple[int, ...]) -> None:
    """Time and memory of one audit, by looks."""
    print("Audit of 300 rules for eleven men, each in a process of its own")
    for kind in ("coach", "random"):
        for looks in sizes:
            words = [sys.executable, __file__, "--once", kind, str(looks), "300"]
            subprocess.run(words, check=True)


def edits_section() -> None:
    """Time of the audit alone after an edit, 300 rules and 100,000 looks."""
    print("Audit after an edit: 300 rules, 100,000 looks")
    for kind in ("coach", "random"):
        text = invented_scheme(kind, 10**5)
        auditor = Auditor()
        first = _timed(lambda: auditor.audit(parse_scheme(text, kind)))  # noqa: B023
        times = [_edit(auditor, text, number) for number in range(0, 300, 15)]
        print(
            f"{kind:>7}  first {first * 1000:.0f} ms; edits: median "
            f"{statistics.median(times) * 1000:.0f} ms, worst {max(times) * 1000:.0f} ms"
        )


def _edit(auditor: Auditor, text: str, number: int) -> float:
    lines = text.splitlines()
    place = lines.index(f'id = "R{number}"') + 4
    lines[place] = 'fit = "fill A"' if number % 2 else 'fit = "spill B"'
    scheme: Scheme = parse_scheme("\n".join(lines), "edited")
    return _timed(lambda: auditor.audit(scheme))


def desk_section() -> None:
    """Time from a fit chosen in the grid to the findings beside it, by the desk itself."""
    print("Edit to findings: 300 rules, 11 men, 100,000 looks, without the window")
    for kind in ("coach", "random"):
        with tempfile.TemporaryDirectory() as folder:
            _desk_edits(kind, Path(folder))


def _desk_edits(kind: str, folder: Path) -> None:
    scheme = folder / "made.toml"
    scheme.write_text(invented_scheme(kind, 10**5), encoding="utf-8")
    waiting: queue.Queue[Callable[[], None]] = queue.Queue()
    with new_book(folder / "made.gradecut", name="made", author="nobody", scheme=scheme) as book:
        jobs = JobRunner(waiting.put, lambda _: None)
        desk = SchemeDesk(book, jobs, lambda _: None)
        desk.hand.show_group("")
        _until_audited(desk, waiting)
        times: dict[str, list[tuple[float, float]]] = {}
        rng = random.Random(1)
        for number in range(60):
            name = ("another fit", "a new rule", "no fit", "taken back")[number % 4]
            work = _desk_edit(desk, name, rng)
            start, worked = time.perf_counter(), time.process_time()
            if not work():
                raise SystemExit(f"{name}: not done: {desk.refused}")
            _until_audited(desk, waiting)
            took = time.perf_counter() - start, time.process_time() - worked
            times.setdefault(name, []).append(took)
        assert desk.audit.audit is not None
        print(f"{kind:>7}  {desk.subtitle()}, {desk.audit.audit.looks:,} looks")
        for name, found in [
            *times.items(),
            ("all", [one for some in times.values() for one in some]),
        ]:
            waited, worked_s = ([1000 * one for one in some] for some in zip(*found, strict=True))
            print(
                f"         {name:<12} median {statistics.median(waited):4.0f} ms, "
                f"95 % within {sorted(waited)[int(len(waited) * 0.95)]:4.0f} ms; "
                f"processor {statistics.median(worked_s):4.0f} and "
                f"{sorted(worked_s)[int(len(worked_s) * 0.95)]:4.0f} ms"
            )
        jobs.close()
    print(f"         load of this machine: {os.getloadavg()[0]:.1f} on {os.cpu_count()} cores")


def _desk_edit(desk: SchemeDesk, name: str, rng: random.Random) -> Callable[[], bool]:
    """Take a cell in hand, and give the edit to be timed."""
    if name == "taken back":
        return desk.undo
    row, man = rng.choice(
        [
            (row, man)
            for row in desk.hand.rows
            for man in desk.hand.men
            if (man in row.cells) != (name == "a new rule")
        ]
    )
    desk.hand.take(row.key, man)
    if name == "no fit":
        return desk.hand.clear
    there = row.cells[man].fit if man in row.cells else ""
    fit = rng.choice([f"fill {gap}" for gap in GAPS if f"fill {gap}" != there])
    return lambda: desk.hand.set_fit(fit)


def _until_audited(desk: SchemeDesk, waiting: queue.Queue[Callable[[], None]]) -> None:
    while desk.audit.running:
        waiting.get(timeout=60)()


def _timed(work: Callable[[], object]) -> float:
    start = time.perf_counter()
    work()
    return time.perf_counter() - start


def plain_section() -> None:
    """Compare the audit with asking every man on every look, one after the other."""
    print("Holes and overlaps by asking every man on every look, 10^3 and 10^4 looks")
    for looks in (10**3, 10**4):
        scheme = parse_scheme(invented_scheme("coach", looks), "coach")
        audited = _timed(scheme.audit)
        asked = _timed(lambda: _ask_all(scheme))  # noqa: B023
        print(f"{looks:>8}  audit {audited:.3f} s, asking {asked:.2f} s: {asked / audited:.0f} x")


def _ask_all(scheme: Scheme) -> int:
    names = scheme.references
    without = 0
    for values in product(*(scheme.values_of(name) for name in names)):
        answers = scheme.expect_all(dict(zip(names, values, strict=True)))
        without += sum(said.fit is None for said in answers.values())
    return without


def main() -> None:
    """Run the sections that were asked for."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("sections", nargs="*", choices=["audit", "edits", "desk", "plain", []])
    parser.add_argument("--quick", action="store_true")
    parser.add_argument("--once", nargs=3, metavar=("KIND", "LOOKS", "RULES"))
    args = parser.parse_args()
    if args.once:
        audit_once(args.once[0], int(args.once[1]), int(args.once[2]))
        return
    wanted = args.sections or ["audit", "edits", "desk", "plain"]
    if "audit" in wanted:
        audit_section(QUICK if args.quick else SIZES)
    if "edits" in wanted:
        edits_section()
    if "desk" in wanted:
        desk_section()
    if "plain" in wanted:
        plain_section()


if __name__ == "__main__":
    main()
