"""An invented week of the Cedar Fork Herons: reps as the book would hand them over."""

from __future__ import annotations

from dataclasses import replace

from gradecut.grading import grade_rep
from gradecut.records import (
    Actual,
    Clip,
    Grade,
    How,
    LinedUp,
    Player,
    Reaction,
    Rep,
    RepLine,
    Session,
)
from gradecut.records.expectation import Credit, Expectation
from gradecut.records.rubric import Rubric

RUBRIC = Rubric()
MISSES: tuple[tuple[str, Credit], ...] = (("overran it", "half"), ("wrong shoulder", "wrong"))

MONDAY = Session(id="s1", name="Monday practice", kind="practice", day="2026-09-07")
OKORIE = Player(
    id="p1", name="Tavin Okorie", position="Keel", game_number="44", practice_number="44"
)
LISOWAY = Player(
    id="p2", name="Brandt Lisoway", position="Bow", game_number="9", practice_number="9"
)
THORNBURY = Player(
    id="p5", name="Emeka Thornbury", position="Bow", game_number="6", practice_number="16"
)
VANDERMOOR = Player(
    id="p6",
    name="Joss Vandermoor",
    position="Port",
    game_number="38",
    practice_number="38",
    under_18=True,
)

FITS = {"Keel": "fill A", "Bow": "spill D", "Port": "fill B"}
CONCEPTS = ("inside zone", "power", "power", "counter")

# Plays in order; for each man what he did: + right, h half, - wrong, another fit is "f",
# ? can't be graded, . not graded yet. Six plays of four concepts in turn and over again.
DID = {
    OKORIE: "+h-+f-",
    LISOWAY: "++++++",
    VANDERMOOR: "+-?+.+",
}


def actual(sign: str, rep_id: str) -> Actual:
    """Say what a sign of the table stands for."""
    told = {
        "+": Actual(rep_id=rep_id, did="as owed"),
        "h": Actual(rep_id=rep_id, did="miss", name="overran it", cause="eyes"),
        "-": Actual(rep_id=rep_id, did="miss", name="wrong shoulder", cause="technique"),
        "f": Actual(rep_id=rep_id, did="fit", name="box A", cause="eyes"),
        "?": Actual(rep_id=rep_id, did="cannot grade", name="out of picture"),
    }
    return told[sign]


def grade(sign: str, rep: Rep, order: int) -> Grade | None:
    """Grade one rep of the table: examined on odd plays, with technique and effort there."""
    if sign == ".":
        return None
    how: How = "examined" if order % 2 else "passed"
    marks = {"eyes": 2, "footwork": 1} if how == "examined" else {}
    expectation = Expectation(
        position=rep.position, fit=FITS[rep.position], side="right", misses=MISSES, rule="K14"
    )
    return grade_rep(
        rep_id=rep.id,
        author="Coach Reyes",
        expectation=expectation,
        actual=actual(sign, rep.id),
        rubric=RUBRIC,
        technique=marks,
        effort=2 if marks else None,
        cannot={} if marks else {"effort": "film ends early"} if order == 2 else {},
        how=how,
        note="good key" if order == 1 else "",
    )


def line(man: Player, sign: str, order: int) -> RepLine:
    """Make one rep of the table."""
    clip = Clip(
        id=f"c{order}", session_id=MONDAY.id, order=order, script_number=order, period="Team"
    )
    rep = Rep(id=f"r{order}-{man.id}", clip_id=clip.id, player_id=man.id, position=man.position)
    return RepLine(
        session=MONDAY,
        clip=clip,
        rep=rep,
        player=man,
        look={
            "concept": CONCEPTS[(order - 1) % len(CONCEPTS)],
            "run": "right",
            "motion": order > 3,
        },
        own_side="right",
        run_side="to" if order != 3 else "away",
        expected_fit=FITS[man.position],
        expected_side="right",
        expected_rule="K14",
        grade=grade(sign, rep, order),
        stale=order == 6,
        reaction=Reaction(frames=5 + order, time_ms=(5 + order) * 1001 / 30, frame_ms=1001 / 30)
        if order < 4
        else None,
        events=("missed tackle",) if sign == "-" else (),
        flagged=sign == "-",
    )


def week() -> list[RepLine]:
    """Return every rep of the table, play by play."""
    return [
        line(man, signs[order - 1], order) for order in range(1, 7) for man, signs in DID.items()
    ]


def pass_play(man: Player, order: int = 9) -> RepLine:
    """Return a rep on a pass, which no board of runs counts."""
    run = line(man, "+", order)
    return replace(run, clip=replace(run.clip, kind="pass"))


def aligned_week() -> list[RepLine]:
    """Return the week with a word on how men lined up: right on 7 of 9, one can't be told."""
    said = [
        *(LinedUp(rep_id="", verdict="right") for _ in range(7)),
        LinedUp(rep_id="", verdict="off", off=("too deep",)),
        LinedUp(rep_id="", verdict="off", off=("too wide", "too deep")),
        LinedUp(rep_id="", verdict="cannot grade"),
    ]
    lines = week()
    told = [
        replace(one, lined_up=replace(word, rep_id=one.rep.id))
        for one, word in zip(lines, said, strict=False)
    ]
    return [*told, *lines[len(said) :]]
