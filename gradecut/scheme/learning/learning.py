"""Learning: the shortest rules that tell what the coach said."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from typing import TYPE_CHECKING

from gradecut.progress import CancelToken, Progress, silent
from gradecut.scheme.learning._asking import look_to_ask
from gradecut.scheme.learning._families import likeness
from gradecut.scheme.learning._lessons import Lesson, prepare, settle, study
from gradecut.scheme.learning._proposing import propose
from gradecut.scheme.learning.parts import Learned, LeftOut, Said
from gradecut.scheme.parts import Value

if TYPE_CHECKING:
    from gradecut.scheme.scheme import Scheme

__all__ = ["learn"]


def learn(
    scheme: Scheme,
    said: Sequence[Said],
    *,
    met: Sequence[Mapping[str, Value]] = (),
    progress: Progress | None = None,
    cancel: CancelToken | None = None,
) -> Learned:
    """Propose the fewest rules, of the fewest facts, that tell what the coach said.

    Rules are read from each man's own side, general ones in low tiers and exceptions above.
    Every answer that contradicts no other is told by the scheme with all proposals accepted;
    answers the scheme gives already lead to none, and none turns them, contradicted or not.

    Parameters
    ----------
    scheme : Scheme
        Facts, men, fits, and the rules there are already.
    said : sequence of Said
        What he said, in any order; the same list gives the same proposals.
    met : sequence of look
        Further looks met on film, to be asked about before others.
    progress : Progress, optional
        Told how far it is.
    cancel : CancelToken, optional
        Asks it to stop.

    Returns
    -------
    Learned

    Raises
    ------
    Cancelled
        When it was asked to stop.
    """
    tell = progress or silent
    token = cancel or CancelToken()

    def check() -> None:
        token.check("Learning")

    by_man: dict[str, list[Said]] = {}
    for one in said:
        by_man.setdefault(one.position, []).append(one)
    unknown = tuple(
        LeftOut(
            position=name,
            clip=one.clip,
            message=f"“{name}” is not among the scheme's men; add him, or correct the answer",
        )
        for name, group in by_man.items()
        if name not in scheme.positions
        for one in group
    )
    lessons = []
    for man in scheme.positions:
        if man in by_man:
            check()
            lessons.append(prepare(scheme, man, by_man[man]))
    _study_all(lessons, tell, check)
    proposals = propose(scheme, lessons)
    ask = look_to_ask(scheme, lessons, [one.look for one in said], met)
    tell(1.0, "Rules proposed")
    return Learned(
        proposals=proposals,
        contradictions=tuple(found for lesson in lessons for found in lesson.contradictions),
        ask=ask,
        left_out=(*unknown, *(out for lesson in lessons for out in lesson.left_out)),
    )


def _study_all(lessons: Sequence[Lesson], tell: Progress, check: Callable[[], None]) -> None:
    """Learn each man alone, then again with the facts in mind that rules turned out to ask."""
    used: Counter[str] = Counter()
    for turn in range(2):
        asked: Counter[str] = Counter()
        for number, lesson in enumerate(lessons):
            tell((turn + number / len(lessons)) / 2.2, f"Learning what {lesson.position} owes")
            study(lesson, used, check)
            for line in lesson.rivals[0]:
                asked.update(lesson.view.traits[place].word for place, _ in line.condition)
        used = asked
    alike = likeness([(lesson.ground, lesson.rivals[0]) for lesson in lessons])
    for lesson in lessons:
        settle(lesson, used, alike)
