"""The lists that number keys answer: misses, causes, facts, fits, players."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from functools import partial
from typing import TYPE_CHECKING

from gradecut.desk.asking import Answer, Ask, Shown, numbered
from gradecut.desk.clip_state import Man, OpenQuestion, question_words
from gradecut.desk.film_marks import TOOLS
from gradecut.desk.judging_desk import EFFORT, REASONS
from gradecut.grading import OFF_WAYS
from gradecut.records import Clip, Player, Side
from gradecut.reports.wording import lined_up_words
from gradecut.scheme import Scheme, Value
from gradecut.workflows.lining_up import alignment_words

if TYPE_CHECKING:
    from gradecut.desk.film_desk import FilmDesk

__all__ = [
    "causes",
    "events",
    "facts",
    "fits_of_gap",
    "lined_up",
    "men",
    "misses",
    "other_fits",
    "owed",
    "players",
    "points",
    "question",
    "reasons",
    "sessions",
    "tools",
    "value_words",
]


def value_words(value: Value) -> str:
    """Write a fact's value as it is said."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    return str(value)


def _own_key(value: Value, values: Sequence[Value]) -> str:
    """Return a count's own digit as its key, where every answer is such a digit from 1."""
    counts = all(type(one) is int and 1 <= one <= 9 for one in values)
    return str(value) if counts else ""


def men(desk: FilmDesk) -> Ask:
    """Ask which man was not right; his number takes him in hand."""
    state = desk.state
    found = state.men if state else ()
    answers = tuple(
        Answer(words=man.who, do=partial(desk.hand.choose, man.position)) for man in found
    )
    does = "looked at, next rep" if desk.rounds.on else "all right, next play"
    passed = Shown(key="Enter", answer=Answer(words=does, do=desk.pass_clip))
    return Ask(kind="men", title="Who was not right?", answers=answers, also=(passed,))


def misses(desk: FilmDesk, man: Man) -> Ask:
    """Ask how a man missed what he owes."""
    grade = man.grade
    chosen = grade.did_name if grade and grade.did == "miss" else ""
    if not man.asked.settled:
        if man.asked.scheme is not None and not man.asked.expectation.needs:
            return owed(desk, man)
        return Ask(kind="miss", title=f"{man.position}: what he owes is open.", answers=())
    if not man.to_grade:
        return Ask(kind="miss", title=f"{man.position} has no run fit here.", answers=())
    listed = man.asked.misses or (("", "wrong"),)
    answers = tuple(
        Answer(
            words=name or "missed it",
            hint="half" if credit == "half" else "",
            tip="half credit by your scheme" if credit == "half" else "",
            chosen=bool(grade and grade.did == "miss" and name == chosen),
            do=partial(_then_cause, desk, partial(desk.judging.miss, name)),
        )
        for name, credit in listed
    )
    also = (
        Shown(key="R", answer=Answer(words="right", do=desk.judging.right)),
        Shown(key="O", answer=Answer(words="another fit", do=desk.hand.open_fits)),
        Shown(key="U", answer=Answer(words="can't be graded", do=desk.hand.open_reasons)),
    )
    title = f"How did {man.position} miss {man.owes}?"
    return Ask(kind="miss", title=title, answers=answers, also=also)


def causes(desk: FilmDesk, man: Man) -> Ask:
    """Ask why."""
    grade = man.grade
    answers = tuple(
        Answer(
            words=cause,
            chosen=bool(grade and grade.cause == cause),
            do=partial(_then_rest, desk, partial(desk.judging.cause, cause)),
        )
        for cause in man.asked.rubric.causes
    )
    return Ask(kind="cause", title=f"Why did {man.position} miss it?", answers=answers)


def question(desk: FilmDesk, asked: OpenQuestion) -> Ask:
    """Ask the open question of the look."""
    answers = tuple(
        Answer(
            words=value_words(value),
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
    answers = []
    for reference in state.scheme.references:
        value = state.look.get(reference)
        told = value_words(value) if value is not None else "not known"
        if state.sources.get(reference) == "marked":
            told += " ✓"
        words = reference.replace(".", " ").replace("_", " ")
        answers.append(
            Answer(words=words, hint=told, do=partial(_turn_fact, desk, state.scheme, reference))
        )
    return Ask(
        kind="facts",
        title="Which fact is wrong? (✓ seen on film)",
        answers=tuple(answers),
    )


def _turn_fact(desk: FilmDesk, scheme: Scheme, reference: str) -> None:
    value = desk.state.look.get(reference) if desk.state else None
    values = scheme.fact_of(reference).values
    if value is not None and len(values) == 2:
        desk.telling.tell(reference, next(other for other in values if other != value))
    else:
        desk.hand.open(lambda: _values(desk, scheme, reference))


def _values(desk: FilmDesk, scheme: Scheme, reference: str) -> Ask | None:
    state = desk.state
    if state is None:
        return None
    fact = scheme.fact_of(reference)
    now = state.look.get(reference)
    answers = [
        Answer(
            words=value_words(value),
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


def other_fits(desk: FilmDesk, man: Man) -> Ask:
    """Ask which other fit he played: his own first, then the rest of the scheme's."""
    names = [name for name in _fits_in_order(man) if name != man.owes]
    grade = man.grade
    chosen = grade.did_name if grade and grade.did == "fit" else ""
    return Ask(
        kind="fit",
        title=f"What did {man.position} play instead?",
        answers=numbered(
            [(name, partial(_then_cause, desk, partial(desk.judging.fit, name))) for name in names],
            chosen=chosen,
        ),
    )


def fits_of_gap(desk: FilmDesk, man: Man, gap: str, side: Side) -> Ask | None:
    """Ask which job he did in a gap; None, and a sentence, where the scheme has none there."""
    scheme = man.asked.scheme
    names = [
        name for name in _fits_in_order(man) if scheme is not None and scheme.fits[name].gap == gap
    ]
    if man.rep is None:
        desk.say(f"Nobody is named at {man.position}: press I to put a player in.")
        return None
    if not names:
        desk.say(f"The scheme has no fit in {gap}; press O for what he played instead.")
        return None
    if man.owes in names and man.owes_side == side:
        names = [man.owes, *(name for name in names if name != man.owes)]
    return Ask(
        kind="gap",
        title=f"{man.position} in {gap} {side}: what did he do there?",
        answers=numbered(
            [
                (name, partial(_then_cause, desk, partial(desk.judging.fit, name, side)))
                for name in names
            ]
        ),
    )


def owed(desk: FilmDesk, man: Man) -> Ask:
    """Ask what he owed by the coach's word."""
    said = man.asked.owed
    mine = desk.judging.said_of(man.position)
    names = dict.fromkeys((*mine, *_fits_in_order(man)))
    options: list[tuple[str, Callable[[], object]]] = [
        (name, partial(desk.judging.owed, name)) for name in names
    ]
    if said is not None:
        options.insert(0, ("what the scheme says", desk.judging.unsay))
    options.append(("a fit that is not listed", desk.judging.ask_new_fit))
    return Ask(
        kind="owed",
        title=f"Your word: what did {man.position} owe? Alt W: not listed",
        answers=numbered(options, chosen=said.fit if said else ""),
    )


def reasons(desk: FilmDesk, man: Man) -> Ask:
    """Ask why he can't be graded."""
    grade = man.grade
    return Ask(
        kind="reason",
        title=f"Why can't {man.position} be graded?",
        answers=numbered(
            [
                (reason, partial(_then_rest, desk, partial(desk.judging.cannot, reason)))
                for reason in REASONS
            ],
            chosen=grade.did_name if grade and grade.did == "cannot grade" else "",
        ),
    )


def lined_up(desk: FilmDesk, man: Man) -> Ask | None:
    """Ask how he lined up, telling where he should have; None where the scheme is silent."""
    asked = man.asked.expectation.alignment
    if asked is None:
        return None
    said = man.line.lined_up if man.line else None
    judging = desk.judging
    options: list[tuple[str, Callable[[], object]]] = [
        ("right", judging.lined_up),
        *((way, partial(judging.lined_up, way)) for way in OFF_WAYS),
        ("can't tell", partial(judging.lined_up, cannot=True)),
    ]
    if said is not None and said.source == "marked":
        options.append(("take my answer back", judging.unsay_lined_up))
    title = f"{man.position} lined up? {alignment_words(asked)}"
    answers = numbered(options, chosen=lined_up_words(said))
    return Ask(kind="lined up", title=title, answers=answers)


def events(desk: FilmDesk, man: Man) -> Ask:
    """Ask what to count beside his grade, or to take back."""
    counted = man.line.events if man.line else ()
    answers = [
        Answer(
            words=name,
            hint=f"× {counted.count(name)}" if name in counted else "",
            do=partial(desk.judging.count, name),
        )
        for name in man.asked.rubric.events
    ]
    answers += [
        Answer(words=f"take a {name} back", do=partial(desk.judging.uncount, name))
        for name in dict.fromkeys(counted)
    ]
    return Ask(kind="event", title=f"Count for {man.position}:", answers=tuple(answers))


def points(desk: FilmDesk, man: Man, place: int) -> Ask | None:
    """Ask for the points of one item, then of the next one; effort comes last."""
    rubric = man.asked.rubric
    items = (*rubric.technique, EFFORT)
    if place >= len(items):
        return None
    item = items[place]
    scale = rubric.effort if item == EFFORT else rubric.technique_scale
    grade = man.grade
    given = None
    if grade is not None:
        given = grade.effort if item == EFFORT else grade.technique.get(item)
    answers = [
        Answer(
            words=_mark_words(value, scale),
            key=f"{value:g}" if _single(scale) else "",
            chosen=given == value,
            do=partial(_points_then_next, desk, item, value, place),
        )
        for value in scale
    ]
    title = f"{man.position}: {item}?"
    return Ask(kind="points", title=title, answers=tuple(answers))


def _mark_words(value: float, scale: Sequence[float]) -> str:
    if not _single(scale):
        return f"{value:g}"
    return {min(scale): "none", max(scale): "full"}.get(value, "some")


def _single(scale: Iterable[float]) -> bool:
    """Tell whether each mark is one digit, so that the key can be the mark."""
    return all(value in range(10) for value in scale)


def _points_then_next(desk: FilmDesk, item: str, value: float, place: int) -> None:
    if desk.judging.points(item, value):
        desk.hand.open(
            lambda: points(desk, desk.hand.man, place + 1) if desk.hand.man is not None else None
        )


def players(desk: FilmDesk, position: str, *, onwards: bool) -> Ask:
    """Ask who is in: those of this position first."""
    found = sorted(
        desk.book.find(Player), key=lambda one: (one.position != position, one.position, one.name)
    )
    when = " from here on" if onwards else ""
    game = desk.state is not None and desk.state.session.kind == "game"
    answers = tuple(
        Answer(
            words=player.name,
            hint=player.game_number if game else player.practice_number,
            do=partial(desk.judging.put_in, position, player, onwards=onwards),
        )
        for player in found
    )
    title = f"Who is at {position}{when}?" if found else "The roster is empty; bring one in."
    return Ask(kind="players", title=title, answers=answers)


def tools(desk: FilmDesk) -> Ask:
    """Ask what to draw."""
    options = [(tool, partial(desk.marks.take, tool)) for tool in TOOLS]
    return Ask(kind="tools", title="Draw on film:", answers=numbered(options))


def sessions(desk: FilmDesk) -> Ask:
    """Ask which session to show, the newest first."""
    answers = tuple(
        Answer(
            words=session.name,
            hint=f"{desk.book.count(Clip, session_id=session.id)} plays",
            chosen=desk.plays.session is not None and session.id == desk.plays.session.id,
            do=partial(desk.open_session, session),
        )
        for session in desk.plays.sessions
    )
    return Ask(kind="sessions", title="Which session?", answers=answers)


def _fits_in_order(man: Man) -> list[str]:
    """Return the scheme's fits: those its rules know for him first."""
    scheme = man.asked.scheme
    if scheme is None:
        return []
    his = [
        fit
        for rule in scheme.rules
        if man.position in rule.men
        for fit in (rule.fit, *rule.also)
        if scheme.fits[fit].graded
    ]
    rest = [name for name, fit in scheme.fits.items() if fit.graded]
    return list(dict.fromkeys((*his, *rest)))


def _then_cause(desk: FilmDesk, record: Callable[[], bool]) -> None:
    """Record what he did, then ask why, where there is anything to explain."""
    if record():
        man = desk.hand.man
        ask_why = man is not None and man.wrong and bool(man.asked.rubric.causes)
        desk.hand.settle("cause" if ask_why else "idle")


def _then_rest(desk: FilmDesk, record: Callable[[], bool]) -> None:
    """Record, and be done with him; he stays in hand."""
    if record():
        desk.hand.settle("idle")
