"""The lists that number keys answer: misses, causes, facts, fits, players."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from functools import partial
from typing import TYPE_CHECKING

from gradecut.desk.asking import Answer, Ask, Shown, numbered
from gradecut.desk.clip_state import Man
from gradecut.desk.film_marks import TOOLS
from gradecut.desk.judging_desk import EFFORT, REASONS
from gradecut.grading import OFF_WAYS
from gradecut.records import Clip, Side
from gradecut.reports.wording import lined_up_words
from gradecut.workflows.lining_up import alignment_words

if TYPE_CHECKING:
    from gradecut.desk.film_desk import FilmDesk

__all__ = [
    "causes",
    "events",
    "fits_of_gap",
    "lined_up",
    "men",
    "misses",
    "other_fits",
    "owed",
    "points",
    "reasons",
    "sessions",
    "tools",
]


def men(desk: FilmDesk) -> Ask:
    """Ask which man was not right; his number picks him."""
    found = desk.state.men if desk.state else ()
    answers = tuple(
        Answer(words=man.who, do=partial(desk.hand.choose, man.position)) for man in found
    )
    aside = desk.state is not None and desk.state.question is not None
    title, then = _idle_words(found, aside=aside)
    if desk.rounds.on:
        rep = desk.rounds.rep
        led = rep is not None and not desk.rounds.aside
        title = f"Keep {rep.position}'s grade?" if rep is not None and led else title
    if _all_done(desk):
        graded = sum(box.status != "no play" for box in desk.plays.line.boxes)
        title = f"All {graded} plays are graded." if graded > 1 else "The play is graded."
        return Ask(kind="men", title=title, answers=answers, also=_ways_out(desk), then=then)
    passed = Shown(key="Enter", answer=Answer(words=desk.passing.words, do=desk.pass_clip))
    also = (passed,) if found or desk.state is None else (passed, _rules_first(desk))
    return Ask(kind="men", title=title, answers=answers, also=also, then=then)


def _all_done(desk: FilmDesk) -> bool:
    """Tell whether the last play is shown and none of the session waits for a grade."""
    line, clip = desk.plays.line, desk.clip
    if clip is None or desk.rounds.on or desk.marks.tool is not None:
        return False
    return line.all_finished and line.beside(clip.id, 1) is None


def _ways_out(desk: FilmDesk) -> tuple[Shown, ...]:
    """Say what comes of a session that is graded; other pages' keys are only named."""
    told = [("F9", "staff's page"), ("F7", "players' reel")]
    ways = [
        Shown(
            key=key, answer=Answer(words=words, do=partial(desk.say, f"{key} makes the {words}."))
        )
        for key, words in told
    ]
    if any(box.flagged for box in desk.plays.line.boxes):
        ways.append(Shown(key="Ctrl+F", answer=Answer(words="flagged", do=desk.rounds.flagged)))
    return tuple(ways)


def _rules_first(desk: FilmDesk) -> Shown:
    """Say where rules come from, in a book without any."""
    told = "the rules, from a few questions"
    return Shown(
        key="F2", answer=Answer(words=told, do=partial(desk.say, "F2 shows the Scheme page."))
    )


def _idle_words(found: Sequence[Man], *, aside: bool) -> tuple[str, str]:
    """Say what is asked while nobody is in hand, and what his number leads to.

    Nothing is promised that this play, or a book without rules, can't hold.
    """
    named = [man for man in found if man.player is not None]
    to_grade = [man for man in named if man.to_grade]
    owing = [man for man in to_grade if man.asked.settled]
    if not found:
        return "No rules yet: nobody is graded.", ""
    if not named:
        return "Nobody is named on this play.", "picks the place; then who is in"
    if not to_grade:
        return "There was no run to fit.", "picks the man"
    if not owing:
        how = "Q brings the question back" if aside else "then what he owed, by your word"
        then = f"picks the man; {how}"
        return "Nothing says yet what they owed.", then
    why = ", then why" if any(man.asked.rubric.causes for man in owing) else ""
    then = f"picks the man; then how he missed{why}"
    return "Who was not right?", then


def misses(desk: FilmDesk, man: Man) -> Ask:
    """Ask how a man missed what he owes."""
    grade = man.grade
    chosen = grade.did_name if grade and grade.did == "miss" else ""
    if not man.to_grade:
        return Ask(kind="miss", title=f"{man.position} has no run fit here.", answers=())
    if not man.asked.settled:
        if not man.asked.expectation.needs:
            return owed(desk, man)
        return Ask(kind="miss", title=f"{man.position}: what he owes is open.", answers=())
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


def other_fits(desk: FilmDesk, man: Man) -> Ask:
    """Ask which other fit he played: those of his rules first, then the rest of the scheme's.

    A fit has the same key for a man on every play; the one he owed here stands among them.
    """
    grade = man.grade
    chosen = grade.did_name if grade and grade.did == "fit" else ""
    answers = tuple(
        Answer(
            words=name,
            hint="owed" if name == man.owes else "",
            chosen=name == chosen,
            do=partial(_then_cause, desk, partial(desk.judging.fit, name)),
        )
        for name in _fits_in_order(man)
    )
    return Ask(kind="fit", title=f"What did {man.position} play instead?", answers=answers)


def fits_of_gap(desk: FilmDesk, man: Man, gap: str, side: Side) -> Ask | None:
    """Ask which job he did in a gap; None, and a sentence, where the scheme has none there."""
    scheme = man.asked.scheme
    names = [
        name for name in _fits_in_order(man) if scheme is not None and scheme.fits[name].gap == gap
    ]
    if man.player is None:
        desk.say(f"Nobody is named at {man.position}: press I to put a player in.")
        return None
    if not names:
        desk.say(f"The scheme has no fit in {gap}; press O for what he played instead.")
        return None
    answers = tuple(
        Answer(
            words=name,
            hint="owed" if (name, side) == (man.owes, man.owes_side) else "",
            do=partial(_then_cause, desk, partial(desk.judging.fit, name, side)),
        )
        for name in names
    )
    return Ask(
        kind="gap", title=f"{man.position} in {gap} {side}: what did he do there?", answers=answers
    )


def owed(desk: FilmDesk, man: Man) -> Ask:
    """Ask what he owed by the coach's word; a fit keeps its key for a man from play to play."""
    said = man.asked.owed
    mine = desk.judging.said_of(man.position)
    his = len(set(_fits_of_rules(man)))
    listed = _fits_in_order(man)
    names = dict.fromkeys((*listed[:his], *mine, *listed[his:]))
    options: list[tuple[str, Callable[[], object]]] = [
        (name, partial(desk.judging.owed, name)) for name in names
    ]
    options.append(("a fit that is not listed", desk.judging.ask_new_fit))
    if said is not None:
        options.append(("what the scheme says", desk.judging.unsay))
    return Ask(
        kind="owed",
        title=f"Your word: what did {man.position} owe? Alt+W: not listed",
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


def _fits_of_rules(man: Man) -> list[str]:
    """Return the fits the scheme's rules know for him, in the order of the rules."""
    scheme = man.asked.scheme
    if scheme is None:
        return []
    return [
        fit
        for rule in scheme.rules
        if man.position in rule.men
        for fit in (rule.fit, *rule.also)
        if scheme.fits[fit].graded
    ]


def _fits_in_order(man: Man) -> list[str]:
    """Return the scheme's fits: those its rules know for him first, either part by gap."""
    scheme = man.asked.scheme
    if scheme is None:
        return []
    his = list(dict.fromkeys(_fits_of_rules(man)))
    rest = [name for name, fit in scheme.fits.items() if fit.graded and name not in his]
    by_gap = [sorted(part, key=lambda name: scheme.fits[name].gap or "~") for part in (his, rest)]
    return [*by_gap[0], *by_gap[1]]


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
