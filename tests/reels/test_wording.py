from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest

from gradecut.records.footage import Angle, Clip, Session
from gradecut.records.marks import Mark
from gradecut.records.people import Player
from gradecut.records.replines import RepLine
from gradecut.records.reps import Grade, Rep
from gradecut.reels import caption_of, is_model_rep, suggest_piece, title_of
from gradecut.timebase import Pts

SESSION = Session(name="Tuesday", kind="practice")
CLIP = Clip(session_id=SESSION.id, order=17)
PLAYER = Player(name="Quill Hanrattan", position="Keel", game_number="44", practice_number="52")
REP = Rep(clip_id=CLIP.id, player_id=PLAYER.id, position="Keel")
RIGHT = Grade(rep_id=REP.id, author="staff", expected_fit="overlap D")
WRONG = replace(
    RIGHT, did="fit", did_name="fill A", fit_result="wrong", cause="eyes", how="examined"
)
LINE = RepLine(
    session=SESSION, clip=CLIP, rep=REP, player=PLAYER,
    look={"concept": "power", "run": "right", "surface.left": 2},
    own_side="right", run_side="to", expected_fit="overlap D", expected_side="right",
    expected_rule="R20", grade=RIGHT, stale=False, reaction=None, events=(), flagged=False,
)  # fmt: skip
ANGLE = Angle(clip_id=CLIP.id, film_id="film", name="end", start_pts=Pts(0), stop_pts=Pts(900))


def test_a_title_says_who_and_against_what() -> None:
    """The number is the one he wears that day."""
    assert title_of(LINE) == "Keel 52 · power right"
    game = replace(LINE, session=replace(SESSION, kind="game"))
    assert title_of(game) == "Keel 44 · power right"


def test_an_unknown_look_is_not_made_up() -> None:
    """Without a concept the clip's call stands, or else only that it was a run."""
    bare = replace(LINE, look={}, player=replace(PLAYER, practice_number="", game_number=""))
    assert title_of(bare) == "Keel · run"
    assert title_of(replace(bare, clip=replace(CLIP, call="Harbor"))) == "Keel · Harbor"


@pytest.mark.parametrize(
    ("grade", "said"),
    [
        (RIGHT, "Owed overlap D. Overlapped D: right."),
        (WRONG, "Owed overlap D. Filled A: eyes."),
        (replace(WRONG, fit_result="right", cause=""), "Owed overlap D. Filled A: right too."),
        (
            replace(WRONG, did="miss", did_name="ran past it", cause="technique"),
            "Owed overlap D. Ran past it: technique.",
        ),
        (replace(WRONG, did_name="stack B", cause=""), "Owed overlap D. Played stack B."),
        (
            replace(WRONG, did="cannot grade", did_name="cut off", fit_result="cannot grade"),
            "Owed overlap D. Can't be graded: cut off.",
        ),
        (replace(RIGHT, fit_result="not graded"), "Owed overlap D. No run fit to grade here."),
        (None, "Owed overlap D."),
    ],
)  # fmt: skip
def test_a_caption_says_what_he_owed_and_did(grade: Grade | None, said: str) -> None:
    """One fault in one sentence, in the fit words of the trade (common practice, no source)."""
    assert caption_of(replace(LINE, grade=grade)) == said


def test_an_open_fit_is_said_to_be_open() -> None:
    """Nothing is owed before it is settled."""
    assert caption_of(replace(LINE, expected_fit=None, grade=None)) == (
        "What he owed is not settled."
    )


@pytest.mark.parametrize("event", ["head contact", "Helmet to helmet", "targeting"])
def test_head_contact_is_never_rewarded(event: str) -> None:
    """A right fit with contact to the head is no model, and its caption says why."""
    line = replace(LINE, events=("tackle", event))
    assert not is_model_rep(line)
    assert "keep the head out of it" in caption_of(line)
    assert is_model_rep(replace(LINE, events=("tackle",)))


def test_only_right_and_current_reps_are_models() -> None:
    """A wrong, stale, ungraded or loafing rep is not shown as how it is done."""
    assert is_model_rep(LINE)
    assert not is_model_rep(replace(LINE, grade=WRONG))
    assert not is_model_rep(replace(LINE, grade=None))
    assert not is_model_rep(replace(LINE, stale=True))
    assert not is_model_rep(replace(LINE, events=("loaf",)))


def test_the_usual_piece() -> None:
    """Two seconds before the snap to three after, still at the snap, longer with marks."""
    mark = Mark(
        angle_id=ANGLE.id, kind="ring", points=((1, 1),), from_pts=Pts(300), to_pts=Pts(300),
        rep_id=REP.id,
    )  # fmt: skip
    others = [replace(mark, id="b", rep_id="another"), replace(mark, id="c", angle_id="side")]
    piece = suggest_piece(LINE, ANGLE, [mark, *others], reel_id="reel", order=3)
    assert (piece.from_s, piece.to_s, piece.speed) == (-2, 3, 1)
    assert piece.mark_ids == (mark.id,)
    assert (piece.clip_id, piece.angle_id, piece.rep_id) == (CLIP.id, ANGLE.id, REP.id)
    (freeze,) = piece.freezes
    assert freeze.at_s == 0
    bare = suggest_piece(LINE, ANGLE, reel_id="reel", order=3)
    assert Fraction(1) <= bare.freezes[0].hold_s < freeze.hold_s
