"""Where the script lies beside the wrong plays: found from counts, no plays and what was seen.

How far it is to be believed is worked out by Bayes' rule over "it lies right" and "from play k
on it is off by one or two", with shares that are our own estimate and no one's measurement.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from gradecut.book import Book
from gradecut.counting_words import counted
from gradecut.records import Clip, FactValue, Session
from gradecut.scheme import Scheme, Value, fact_words
from gradecut.workflows.booking import scheme_in_force
from gradecut.workflows.looks import merge_facts, spell_value
from gradecut.workflows.script import ScriptLine, kept_lines

__all__ = ["Apart", "Drift", "find_drift", "late_first"]

_PRIOR = 0.15
"""How often a script drifts at all, before anything was seen."""
_BY: Mapping[int, float] = {1: 0.42, -1: 0.42, 2: 0.08, -2: 0.08}
_RIGHT = 0.93
"""How often a line tells a fact as it is then seen, where it lies beside its own play."""
_TEMPER = 0.6
"""Facts of one look go together (a wing comes with its surface): each counts so much."""
_MOST = 4.0
"""So much one play can say at most, as a natural logarithm."""
_NO_PLAY = 25.0
"""How much more likely an unplanned play is one that was no play."""
_AS_MANY, _FEWER, _MORE = 0.6, 0.32, 0.08
_TELL_FROM = 0.6
_PLAYS_LEAST = 2
_REACH = 80
"""So many plays on either side of the one that is looked at are read."""
_SHOWN = 4


@dataclass(frozen=True, slots=True, kw_only=True)
class Apart:
    """A fact that was marked on film and contradicts the line its play has.

    Attributes
    ----------
    seen, told : value
        On film, and by the line.
    number : int
        The line of the play.
    """

    play: int
    number: int
    reference: str
    seen: Value
    told: Value

    @property
    def words(self) -> str:
        """Say it: "run: film left, script right"."""
        seen, told = spell_value(self.seen), spell_value(self.told)
        return f"{fact_words(self.reference)}: film {seen}, script {told}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Drift:
    """A place where the script seems to lie beside the wrong plays.

    Attributes
    ----------
    from_play : int or None
        From where on; None when only the counts speak, which do not tell where.
    by : int
        How far the script is to be moved along the plays: 1 where a play is not on it, -1
        where a line was not run.
    what : str
        One sentence.
    evidence : tuple of str
        What speaks for it, a sentence each.
    confidence : float
        From 0 to 1; see the module.
    """

    from_play: int | None
    by: int
    what: str
    evidence: tuple[str, ...]
    confidence: float

    @property
    def sure(self) -> str:
        """Say how far it is to be believed."""
        for least, told in ((0.95, "almost certain"), (0.8, "likely"), (0.6, "rather likely")):
            if self.confidence >= least:
                return told
        return "not sure"


@dataclass(frozen=True, slots=True)
class _Beside:
    """The plays that have a line or wait for one, and what was seen on them.

    ``numbers`` are the lines in order; the play of a place has the line of the same place.
    """

    plays: Sequence[Clip]
    numbers: Sequence[int]
    lines: Mapping[int, ScriptLine]
    seen: Sequence[Mapping[str, Value]]
    shares: Mapping[str, Counter[Value]]
    _said: dict[tuple[int, int], float] = field(default_factory=dict)

    def number(self, place: int) -> int | None:
        return self.numbers[place] if 0 <= place < len(self.numbers) else None

    def says(self, place: int, number: int | None) -> float:
        """Return how much more likely what was seen is with a line than with any, as a log."""
        if number is None:
            return 0.0
        if (place, number) not in self._said:
            self._said[place, number] = self._weigh(place, number)
        return self._said[place, number]

    def _weigh(self, place: int, number: int) -> float:
        look = self.lines[number].look
        total = 0.0
        for reference, value in self.seen[place].items():
            if reference in look:
                share = self._share(reference, value)
                right = look[reference] == value
                total += math.log(_RIGHT / share if right else (1 - _RIGHT) / (1 - share))
        return _TEMPER * total

    def _share(self, reference: str, value: Value) -> float:
        count = self.shares[reference]
        return (count[value] + 0.5) / (count.total() + 0.5 * (len(count) + 1))

    def gains(self, by: int) -> list[float]:
        """Return how much better each play fits the line it would have; moved by ``by``."""
        return [
            min(max(self.says(at, self.number(at - by)) - self.says(at, self.number(at)), -_MOST),
                _MOST)
            for at in range(len(self.plays))
        ]  # fmt: skip

    def loss(self, place: int) -> float:
        """Return how much better a play fits no line at all."""
        return min(max(-self.says(place, self.number(place)), -_MOST), _MOST)

    def apart(self, place: int) -> list[Apart]:
        """Return what was marked on a play and contradicts its line."""
        number = self.number(place)
        if number is None:
            return []
        look = self.lines[number].look
        return [
            Apart(
                play=self.plays[place].order,
                number=number,
                reference=reference,
                seen=value,
                told=look[reference],
            )
            for reference, value in self.seen[place].items()
            if reference in look and look[reference] != value
        ]


def find_drift(book: Book, session: Session, *, near: Clip | None = None) -> Drift | None:
    """Look for a place where the script lies beside the wrong plays; nothing is moved.

    Three things speak: another number of plays than lines; a play that was no play and has a
    line; facts that a person marked which contradict the lines of several plays and fit the
    lines beside them.

    Parameters
    ----------
    near : Clip or None
        In a long session, the play around which to look.

    Returns
    -------
    Drift or None
        None where nothing speaks for one, or no script was kept.
    """
    beside = _read(book, session, near)
    if beside is None or not beside.plays:
        return None
    return _of_facts(beside) or _of_no_play(beside) or _of_counts(beside)


def _read(book: Book, session: Session, near: Clip | None) -> _Beside | None:
    lines = {line.number: line for line in kept_lines(book, session)}
    if not lines:
        return None
    plays = book.find(Clip, session_id=session.id)
    last = max((one.order for one in plays if one.script_number is not None), default=0)
    planned = [one for one in plays if one.script_number in lines or one.order > last]
    numbers = [one.script_number for one in planned if one.script_number is not None]
    if not numbers:
        return None
    end = numbers[-1]
    numbers += [number for number in lines if number > end]
    if near is not None and len(planned) > 2 * _REACH:
        at = next((n for n, one in enumerate(planned) if one.order >= near.order), len(planned))
        start = max(at - _REACH, 0)
        planned, numbers = planned[start : at + _REACH], numbers[start : at + _REACH]
    facts: dict[str, list[FactValue]] = {}
    for fact in book.find(FactValue, clip_id=[one.id for one in planned], source="marked"):
        facts.setdefault(fact.clip_id, []).append(fact)
    shares: dict[str, Counter[Value]] = {}
    for line in lines.values():
        for reference, value in line.look.items():
            shares.setdefault(reference, Counter())[value] += 1
    scheme = scheme_in_force(book)
    seen = [late_first(merge_facts(facts.get(one.id, ()), book.author), scheme) for one in planned]
    return _Beside(planned, numbers, lines, seen, shares)


def late_first(look: Mapping[str, Value], scheme: Scheme | None) -> dict[str, Value]:
    """Return a look with the play itself, which is seen last, before how they lined up."""
    if scheme is None:
        return dict(look)
    order = {reference: place for place, reference in enumerate(scheme.play_order)}
    return dict(sorted(look.items(), key=lambda one: -order.get(one[0], -1)))


def _of_facts(beside: _Beside) -> Drift | None:
    """Weigh every place and way it may have drifted against its lying right."""
    count = len(beside.plays)
    odd = count - len(beside.numbers)
    scores: dict[tuple[int, int], float] = {}
    for by, share in _BY.items():
        after = _sums_from_the_end(beside.gains(by))
        for at in range(count):
            lost = sum(beside.loss(place) for place in range(at, min(at + max(by, 0), count)))
            gain = lost + after[min(at + max(by, 0), count)]
            weight = _PRIOR * share / count * _of_count(odd - by)
            if by > 0 and beside.plays[at].kind == "no play":
                weight *= _NO_PLAY
            scores[by, at] = math.log(weight) + gain
    none = math.log((1 - _PRIOR) * _of_count(odd))
    (by, at), best = max(scores.items(), key=lambda one: (one[1], -one[0][1]))
    top = max(best, none)
    whole = math.exp(none - top) + sum(math.exp(score - top) for score in scores.values())
    same = [place for (way, place), score in scores.items() if way == by and score > best - 1.0]
    confidence = sum(math.exp(scores[by, place] - top) for place in range(count)) / whole
    told = _plays_that_speak(beside, by, at)
    if confidence < _TELL_FROM or len(told) < _PLAYS_LEAST:
        return None
    first, last = beside.plays[at].order, beside.plays[max(same)].order
    return Drift(
        from_play=first,
        by=by,
        what=_what(first, by),
        evidence=(*_shown(told), *_late_words(first, last), *_count_words(beside)),
        confidence=round(confidence, 3),
    )


def _of_no_play(beside: _Beside) -> Drift | None:
    """Find a play that was no play, has a line, and is followed by plays that have one."""
    matched = min(len(beside.plays), len(beside.numbers))
    for at, play in enumerate(beside.plays[: matched - 1]):
        if play.kind == "no play":
            number = beside.number(at)
            fits = len(beside.plays) - len(beside.numbers) == 1
            return Drift(
                from_play=play.order,
                by=1,
                what=f"Play {play.order} was no play, and number {number} of the script lies on "
                "it: the plays after it may be one line off.",
                evidence=(*_count_words(beside),),
                confidence=0.7 if fits else 0.4,
            )
    return None


def _of_counts(beside: _Beside) -> Drift | None:
    """Tell that there is a play or two too many or missing, where nothing tells which."""
    odd = len(beside.plays) - len(beside.numbers)
    if odd == 0 or odd < -2:
        return None
    verb = "has" if abs(odd) == 1 else "have"
    many = f"{counted(odd, 'play')} {verb} no line on the script"
    few = f"{counted(-odd, 'line')} of the script {verb} no play"
    return Drift(
        from_play=None,
        by=1 if odd > 0 else -1,
        what=f"{many if odd > 0 else few}; no mark tells which.",
        evidence=_count_words(beside),
        confidence=0.4 if odd > 0 else 0.25,
    )


def _of_count(odd: int) -> float:
    """Return how likely it is that so many plays are left over, fewer being usual."""
    return _AS_MANY if odd == 0 else _FEWER if odd < 0 else _MORE


def _sums_from_the_end(gains: Sequence[float]) -> list[float]:
    sums = [0.0]
    for gain in reversed(gains):
        sums.append(sums[-1] + gain)
    return sums[::-1]


def _plays_that_speak(beside: _Beside, by: int, at: int) -> list[str]:
    """Say of each play what contradicts its line and fits the one it would have."""
    told = []
    for place in range(at + max(by, 0), len(beside.plays)):
        number = beside.number(place - by)
        if number is None:
            continue
        look = beside.lines[number].look
        better = [one for one in beside.apart(place) if look.get(one.reference) == one.seen]
        worse = sum(look.get(one) not in (None, value) for one, value in beside.seen[place].items())
        if len(better) > worse:
            facts = "; ".join(one.words for one in better[:2])
            told.append(f"Play {beside.plays[place].order}: {facts}; number {number} fits.")
    return told


def _shown(told: Sequence[str]) -> tuple[str, ...]:
    if len(told) <= _SHOWN:
        return tuple(told)
    return (*told[: _SHOWN - 1], f"{len(told) - _SHOWN + 1} more plays say the same.")


def _late_words(first: int, last: int) -> tuple[str, ...]:
    """Say where it may begin as well, where nothing was marked that tells."""
    if last <= first:
        return ()
    return (f"It may as well begin at play {last}: nothing marked before that tells.",)


def _count_words(beside: _Beside) -> tuple[str, ...]:
    plays, lines = len(beside.plays), len(beside.numbers)
    if plays == lines:
        return ()
    return (f"There are {plays} plays for {lines} lines of the script.",)


def _what(play: int, by: int) -> str:
    """Say from where on the script seems to lie wrong, and how."""
    off = "one line" if abs(by) == 1 else "two lines"
    if by > 0:
        one = "one play there is" if by == 1 else "two plays there are"
        return f"From play {play} on the script seems {off} ahead: {one} not on it."
    one = "one line was" if by == -1 else "two lines were"
    return f"From play {play} on the script seems {off} behind: {one} not run before that."
