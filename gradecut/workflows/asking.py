"""Questions in a coach's words: "Keel, right fits on zone to him"."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass

from gradecut.errors import GradecutError
from gradecut.hints import nearest
from gradecut.records import Player, RepLine
from gradecut.reels import is_model_rep
from gradecut.scheme import Scheme

__all__ = ["Asked", "read_question", "reps_asked"]

_FILLERS = frozenset(
    word
    for line in (
        "a all and at by clips every fit fits from gap grades his in man men of on or plays reps",
        "rep runs show shows the their them vs versus against with",
    )
    for word in line.split()
)
_TO = ("to him", "to them", "to")
_AWAY = ("away from him", "away from them", "away")

Test = Callable[[RepLine], bool]


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """A question, understood.

    Attributes
    ----------
    text : str
        As it was asked.
    words : tuple of (kind, what was understood)
        In the order they stand, such as ("position", "Keel").
    tests : mapping of kind to tests
        A rep is meant when, for every kind, any of its tests holds.
    """

    text: str
    words: tuple[tuple[str, str], ...]
    tests: Mapping[str, tuple[Test, ...]]

    @property
    def understood(self) -> str:
        """What was understood, for the coach to check."""
        return " · ".join(f"{kind}: {word}" for kind, word in self.words) or "all reps"

    def means(self, line: RepLine) -> bool:
        """Whether a rep is meant."""
        return all(any(test(line) for test in tests) for tests in self.tests.values())


def read_question(
    text: str, scheme: Scheme | None, players: Sequence[Player], lines: Iterable[RepLine] = ()
) -> Asked:
    """Understand a question about reps.

    It may name players and positions, how reps came out (right, half, wrong, missed,
    cannot grade, open, flagged, passed, examined), fits and their jobs, misses, causes,
    values of the look's facts or their last word ("zone"), "to him" and "away", periods
    and sessions. Several of one kind mean any of them; different kinds must all hold.

    Raises
    ------
    GradecutError
        Naming the first word that is not understood, and the nearest one that would be.
    """
    known = _vocabulary(scheme, players, lines)
    words = text.replace(",", " ").replace(";", " ").replace("?", " ").split()
    longest = max((phrase.count(" ") + 1 for phrase in known), default=1)
    found: list[tuple[str, str]] = []
    tests: dict[str, list[Test]] = {}
    place = 0
    while place < len(words):
        for length in range(min(longest, len(words) - place), 0, -1):
            phrase = " ".join(words[place : place + length]).lower()
            if phrase in known:
                kind, word, test = known[phrase]
                found.append((kind, word))
                tests.setdefault(kind, []).append(test)
                place += length
                break
        else:
            if words[place].lower() not in _FILLERS:
                raise GradecutError(
                    f"“{words[place]}” is not understood in “{text}”; "
                    f"{nearest(words[place], sorted(known))}"
                )
            place += 1
    return Asked(
        text=text,
        words=tuple(found),
        tests={kind: tuple(several) for kind, several in tests.items()},
    )


def reps_asked(asked: Asked, lines: Iterable[RepLine]) -> list[RepLine]:
    """Return the reps that are meant, in the order given.

    Where right fits are asked for, only reps that may stand as a model: never one with
    contact by the head.
    """
    wants_right = ("result", "right") in asked.words
    return [line for line in lines if asked.means(line) and (not wants_right or is_model_rep(line))]


def _vocabulary(
    scheme: Scheme | None, players: Sequence[Player], lines: Iterable[RepLine]
) -> dict[str, tuple[str, str, Test]]:
    """Return every phrase that is understood; a longer or earlier kind wins its phrase."""
    known: dict[str, tuple[str, str, Test]] = {}

    def teach(phrase: str, kind: str, word: str, test: Test) -> None:
        known.setdefault(phrase.lower(), (kind, word, test))

    for word, test in _RESULTS.items():
        teach(word, "result", _SAME_RESULT.get(word, word), test)
    for phrases, side in ((_TO, "to"), (_AWAY, "away")):
        for phrase in phrases:
            word = "to him" if side == "to" else "away from him"
            teach(phrase, "run", word, lambda line, side=side: line.run_side == side)  # type: ignore[misc]
    if scheme is not None:
        _teach_scheme(scheme, teach)
    for player in players:
        for phrase in (player.name, player.short_name):
            teach(phrase, "player", player.name, lambda line, man=player: line.player.id == man.id)  # type: ignore[misc]
    for line in lines:
        for kind, value in (("period", line.clip.period), ("session", line.session.name)):
            if value:
                teach(
                    value,
                    kind,
                    value,
                    lambda one, kind=kind, value=value: (
                        value  # type: ignore[misc]
                        == (one.clip.period if kind == "period" else one.session.name)
                    ),
                )
    return known


def _teach_scheme(scheme: Scheme, teach: Callable[[str, str, str, Test], None]) -> None:
    for position in scheme.positions:
        teach(position, "position", position, lambda line, at=position: line.rep.position == at)  # type: ignore[misc]
    for group, men in scheme.groups.items():
        if group:
            teach(group, "position", group, lambda line, men=men: line.rep.position in men)  # type: ignore[misc]
    _teach_facts(scheme, teach)
    for name in scheme.fits:
        teach(name, "fit", name, lambda line, fit=name: line.expected_fit == fit)  # type: ignore[misc]
    jobs: dict[str, list[str]] = {}
    for name, fit in scheme.fits.items():
        jobs.setdefault(fit.job, []).append(name)
        for miss, _ in fit.misses:
            teach(
                miss,
                "miss",
                miss,
                lambda line, miss=miss: line.grade is not None and line.grade.did_name == miss,  # type: ignore[misc]
            )
    for job, fits in jobs.items():
        teach(job, "fit", job, lambda line, fits=tuple(fits): line.expected_fit in fits)  # type: ignore[misc]
    for cause in scheme.rubric.causes:
        teach(
            cause,
            "cause",
            cause,
            lambda line, cause=cause: line.grade is not None and line.grade.cause == cause,  # type: ignore[misc]
        )
    for event in scheme.rubric.events:
        teach(event, "event", event, lambda line, event=event: event in line.events)  # type: ignore[misc]


def _teach_facts(scheme: Scheme, teach: Callable[[str, str, str, Test], None]) -> None:
    """Teach "back left", and a value alone where only one fact has it."""
    owners: dict[str, set[str]] = {}
    endings: dict[str, dict[str, set[object]]] = {}
    for name, fact in scheme.facts.items():
        for value in fact.values:
            if isinstance(value, str):
                owners.setdefault(value, set()).add(name)
                if " " in value:
                    last = value.rsplit(" ", 1)[1]
                    endings.setdefault(last, {}).setdefault(name, set()).add(value)
        for reference in fact.references:
            for value in fact.values:
                teach(f"{reference} {value}", reference, str(value), _has(reference, {value}))
    for value, names in owners.items():
        (name, *others) = names
        if not others and not scheme.facts[name].sided and not scheme.facts[name].per_side:
            teach(value, name, value, _has(name, {value}))
    for last, by_fact in endings.items():
        for name, values in by_fact.items():
            if not scheme.facts[name].per_side:
                teach(last, name, last, _has(name, values))


def _has(reference: str, values: set[object]) -> Test:
    return lambda line: line.look.get(reference) in values


def _came_out(*results: str) -> Test:
    return lambda line: line.grade is not None and line.grade.fit_result in results


_RESULTS: Mapping[str, Test] = {
    "right": _came_out("right"),
    "half": _came_out("half"),
    "wrong": _came_out("wrong"),
    "missed": _came_out("half", "wrong"),
    "misses": _came_out("half", "wrong"),
    "cannot grade": _came_out("cannot grade"),
    "open": lambda line: line.grade is None,
    "flagged": lambda line: line.flagged,
    "stale": lambda line: line.stale,
    "passed": lambda line: line.grade is not None and line.grade.how == "passed",
    "examined": lambda line: line.grade is not None and line.grade.how == "examined",
}
_SAME_RESULT = {"misses": "missed"}
