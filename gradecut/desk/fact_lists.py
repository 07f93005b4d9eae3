"""Facts of the look under keys: the open question, which fact is wrong, a fact's values."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial
from typing import TYPE_CHECKING

from gradecut.desk.asking import Answer, Ask
from gradecut.desk.clip_state import ClipState, OpenQuestion, question_words
from gradecut.scheme import Scheme, Value, fact_words
from gradecut.workflows.looks import spell_value

if TYPE_CHECKING:
    from gradecut.desk.film_desk import FilmDesk

__all__ = ["facts", "question", "turn_over", "values"]


def question(desk: FilmDesk, asked: OpenQuestion) -> Ask:
    """Ask the open question of the look."""
    answers = tuple(
        Answer(
            words=spell_value(value),
            key=_own_key(value, asked.values),
            do=partial(desk.telling.tell, asked.reference, value),
        )
        for value in asked.values
    )
    return Ask(kind="question", title=asked.words, answers=answers)


def facts(desk: FilmDesk) -> Ask | None:
    """Ask which fact to change; what has two answers only is turned over at once."""
    state = desk.state
    if state is None or state.scheme is None:
        return None
    answers = tuple(
        Answer(
            words=fact_words(reference),
            hint=_told(state, reference),
            tip=_source_words(state, reference),
            do=partial(turn_over, desk, state.scheme, reference),
        )
        for reference in state.scheme.references
    )
    title = "Which part of the look is wrong?"
    return Ask(kind="facts", title=title, answers=answers)


def _told(state: ClipState, reference: str) -> str:
    """Say what holds, and who says so: only what was marked is seen on film."""
    value = state.look.get(reference)
    if value is None:
        return "?"
    source = state.sources.get(reference)
    return f"{spell_value(value)}{' ✓' if source == 'marked' else ''}"


def _source_words(state: ClipState, reference: str) -> str:
    """Say who says so, and which key changes it at once."""
    source = state.sources.get(reference)
    told = {"marked": "seen on film", "last play": "as on the last play", "script": "by the script"}
    said = told.get(source or "", "") if reference in state.look else "not known"
    letter = state.fact_letters.get(reference, "")
    key = f"Shift+{letter} changes it at once" if letter else ""
    return "; ".join(part for part in (said, key) if part)


def turn_over(desk: FilmDesk, scheme: Scheme, reference: str) -> None:
    """Give a fact with two values the other one; ask which where there are more, or none yet."""
    value = desk.state.look.get(reference) if desk.state else None
    ways = scheme.fact_of(reference).values
    if value in ways and len(ways) == 2:
        other = next(one for one in ways if one != value)
        if desk.telling.tell(reference, other):
            desk.say(f"{fact_words(reference).capitalize()}: {spell_value(other)}.")
    else:
        desk.hand.open(lambda: values(desk, scheme, reference))


def values(desk: FilmDesk, scheme: Scheme, reference: str) -> Ask | None:
    """Ask which value a fact has; what he marked himself can be taken back."""
    state = desk.state
    if state is None:
        return None
    fact = scheme.fact_of(reference)
    now = state.look.get(reference)
    answers = [
        Answer(
            words=spell_value(value),
            key=_own_key(value, fact.values),
            chosen=value == now,
            do=partial(desk.telling.tell, reference, value),
        )
        for value in fact.values
    ]
    if state.sources.get(reference) == "marked":
        key = "0" if any(answer.key for answer in answers) else ""
        back = partial(desk.telling.untell, reference)
        answers.append(Answer(words="take my answer back", key=key, do=back))
    return Ask(kind="value", title=question_words(reference, fact), answers=tuple(answers))


def _own_key(value: Value, ways: Sequence[Value]) -> str:
    """Return a count's own digit as its key, where every answer is such a digit from 1."""
    counts = all(type(one) is int and 1 <= one <= 9 for one in ways)
    return str(value) if counts else ""
