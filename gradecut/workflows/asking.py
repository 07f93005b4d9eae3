"""Questions in a coach's words: "Keel, right fits on zone to him"."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass

from gradecut.errors import GradecutError
from gradecut.hints import nearest
from gradecut.records import Player, RepLine, Rubric
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
    found: list[tuple[str, str]] = []
    tests: dict[str, list[Test]] = {}
    place = 0
    while place < len(words):
        phrase = known.longest(words[place:])
        if phrase is not None:
            found.append((phrase.kind, phrase.word))
            tests.setdefault(phrase.kind, []).append(phrase.test)
            place += phrase.length
        elif words[place].lower() in _FILLERS:
            place += 1
        else:
            near = nearest(words[place], known.spelt)
            raise GradecutError(f"“{words[place]}” is not understood in “{text}”; {near}")
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


@dataclass(frozen=True, slots=True, kw_only=True)
class _Phrase:
    """One phrase that is understood: of which kind, as what, by which test."""

    kind: str
    word: str
    test: Test
    length: int


class _Vocabulary:
    """Every phrase that is understood; the one taught first keeps it."""

    def __init__(self) -> None:
        self.spelt: list[str] = []
        self._phrases: dict[str, _Phrase] = {}

    def teach(self, phrase: str, kind: str, word: str, test: Test) -> None:
        """Add a phrase, unless it has a meaning already."""
        key = " ".join(phrase.lower().split())
        if key and key not in self._phrases:
            self.spelt.append(phrase)
            self._phrases[key] = _Phrase(kind=kind, word=word, test=test, length=len(key.split()))

    def longest(self, words: Sequence[str]) -> _Phrase | None:
        """Return the longest phrase these words begin with."""
        longest = max((phrase.length for phrase in self._phrases.values()), default=0)
        for length in range(min(longest, len(words)), 0, -1):
            phrase = self._phrases.get(" ".join(words[:length]).lower())
            if phrase is not None:
                return phrase
        return None


def _vocabulary(
    scheme: Scheme | None, players: Sequence[Player], lines: Iterable[RepLine]
) -> _Vocabulary:
    known = _Vocabulary()
    for word, test in _RESULTS.items():
        known.teach(word, "result", _SAME_RESULT.get(word, word), test)
    for phrases, word, side in ((_TO, "to him", "to"), (_AWAY, "away from him", "away")):
        for phrase in phrases:
            known.teach(phrase, "run", word, _goes(side))
    if scheme is not None:
        _teach_men(scheme, known)
        _teach_facts(scheme, known)
        _teach_fits(scheme, known)
        _teach_rubric(scheme.rubric, known)
    _teach_players(players, known)
    clips = {line.clip.id: line for line in lines}.values()
    for period in dict.fromkeys(line.clip.period for line in clips):
        known.teach(period, "period", period, _in_period(period))
    for session in dict.fromkeys(line.session.name for line in clips):
        known.teach(session, "session", session, _in_session(session))
    return known


def _teach_men(scheme: Scheme, known: _Vocabulary) -> None:
    for position in scheme.positions:
        known.teach(position, "position", position, _at({position}))
    for group, men in scheme.groups.items():
        known.teach(group, "position", group, _at(set(men)))


def _teach_players(players: Sequence[Player], known: _Vocabulary) -> None:
    """Teach whole names and last names; a last name two men share means either."""
    for player in players:
        known.teach(player.name, "player", player.name, _who({player.id}))
        namesakes = [man for man in players if man.short_name.lower() == player.short_name.lower()]
        known.teach(
            player.short_name,
            "player",
            " or ".join(man.name for man in namesakes),
            _who({man.id for man in namesakes}),
        )


def _teach_fits(scheme: Scheme, known: _Vocabulary) -> None:
    """Teach fits, their jobs ("fill") and their misses."""
    jobs: dict[str, set[str]] = {}
    for name, fit in scheme.fits.items():
        known.teach(name, "fit", name, _owes({name}))
        jobs.setdefault(fit.job, set()).add(name)
    for job, fits in jobs.items():
        known.teach(job, "fit", job, _owes(fits))
    for fit in scheme.fits.values():
        for miss, _ in fit.misses:
            known.teach(miss, "miss", miss, _missed(miss))


def _teach_rubric(rubric: Rubric, known: _Vocabulary) -> None:
    for cause in rubric.causes:
        known.teach(cause, "cause", cause, _because(cause))
    for event in rubric.events:
        known.teach(event, "event", event, _with_event(event))


def _teach_facts(scheme: Scheme, known: _Vocabulary) -> None:
    """Teach "back left", and a value or its last word alone where only one fact has it."""
    owners: dict[str, set[str]] = {}
    endings: dict[str, dict[str, set[object]]] = {}
    for name, fact in scheme.facts.items():
        for value in fact.values:
            if isinstance(value, str):
                owners.setdefault(value, set()).add(name)
                last = value.rsplit(" ", 1)[-1]
                if last != value:
                    endings.setdefault(last, {}).setdefault(name, set()).add(value)
        for reference in fact.references:
            for value in fact.values:
                said = ("yes" if value else "no") if isinstance(value, bool) else str(value)
                known.teach(f"{reference} {said}", reference, said, _has(reference, {value}))
    for value, names in owners.items():
        (name, *others) = names
        if not others and not scheme.facts[name].sided and not scheme.facts[name].per_side:
            known.teach(value, name, value, _has(name, {value}))
    for last, by_fact in endings.items():
        (name, *others) = by_fact
        if not others and not scheme.facts[name].per_side:
            known.teach(last, name, last, _has(name, by_fact[name]))


def _goes(side: str) -> Test:
    return lambda line: line.run_side == side


def _at(positions: set[str]) -> Test:
    return lambda line: line.rep.position in positions


def _who(player_ids: set[str]) -> Test:
    return lambda line: line.player.id in player_ids


def _owes(fits: set[str]) -> Test:
    return lambda line: line.expected_fit in fits


def _missed(miss: str) -> Test:
    return lambda line: (
        line.grade is not None and (line.grade.did, line.grade.did_name) == ("miss", miss)
    )


def _because(cause: str) -> Test:
    return lambda line: line.grade is not None and line.grade.cause == cause


def _with_event(event: str) -> Test:
    return lambda line: event in line.events


def _in_period(period: str) -> Test:
    return lambda line: line.clip.period == period


def _in_session(name: str) -> Test:
    return lambda line: line.session.name == name


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
    "at speed": lambda line: line.grade is not None and line.grade.how == "passed",
    "looked at closely": lambda line: line.grade is not None and line.grade.how == "examined",
}
_SAME_RESULT = {"misses": "missed", "at speed": "passed", "looked at closely": "examined"}
