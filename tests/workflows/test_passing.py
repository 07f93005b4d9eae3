"""Enter: the picture is right, who is open did what he owed; one act, and nothing by halves."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from gradecut.book import Book
from gradecut.records import Actual, Clip, FactValue, Grade
from gradecut.workflows.booking import adopt_scheme, scheme_in_force
from gradecut.workflows.judging import change_grade, judge
from gradecut.workflows.kept_grades import current_grade
from gradecut.workflows.let_through import words_let_through
from gradecut.workflows.lines import rep_lines
from gradecut.workflows.looks import look_of, tell_facts
from gradecut.workflows.passing import pass_clip
from gradecut.workflows.rep_asked import ask_rep
from tests.workflows.small_week import HARBOR, clip_of, rep_of, stored
from tests.workflows.test_carried_looks import forget


def tell(book: Book, play: int, **told: str | int) -> None:
    """Mark facts of a play."""
    scheme = scheme_in_force(book)
    assert scheme is not None
    tell_facts(book, scheme, clip_of(book, play), told, source="marked")


def stale_men(book: Book, play: int) -> list[str]:
    """Return who would be judged by something else today."""
    lines = rep_lines(book, clip_ids=[clip_of(book, play).id], author=book.author)
    return [line.rep.position for line in lines if line.stale]


def test_the_picture_is_confirmed_in_the_same_act(book: Book) -> None:
    """Facts of the script and of the last play, clip facts and grades: one step back takes all."""
    forget(book, 2, "strength", "back")
    with book.act("forget the tempo") as act:
        act.put(replace(clip_of(book, 2), tempo=""))
    before = stored(book)
    done = pass_clip(book, clip_of(book, 2))
    assert [grade.fit_result for grade in done.graded] == ["right"] * 3
    marked = book.find(FactValue, clip_id=clip_of(book, 2).id, source="marked")
    assert {fact.reference: fact.value for fact in marked} == look_of(book, clip_of(book, 2).id)
    assert {"strength", "back"} <= {fact.reference for fact in marked}
    assert stale_men(book, 2) == []
    book.undo()
    assert stored(book) == {**before, **_journal(book)}


def _journal(book: Book) -> dict[str, int]:
    """Return how many acts and changes there are: those only grow."""
    return {name: count for name, count in stored(book).items() if name in ("Act", "Change")}


def test_a_second_enter_writes_nothing(book: Book) -> None:
    """Not even an act: there is nothing to take back."""
    pass_clip(book, clip_of(book, 1))
    newest = book.can_undo()
    assert pass_clip(book, clip_of(book, 1)).graded == ()
    assert book.can_undo() == newest


def test_an_open_fact_that_matters_holds_the_play(book: Book) -> None:
    """Nothing is stored, not even of the men it does not matter for; who waits is told."""
    forget(book, 1, "run")
    before = stored(book)
    done = pass_clip(book, clip_of(book, 1))
    assert done.held
    assert done.graded == ()
    assert {one.man for one in done.left} <= {"Keel", "Bow", "Port"}
    assert "Which way did the run go?" in done.left[0].why
    assert stored(book) == before


def test_a_man_without_a_rule_is_left_and_the_others_are_let_through(
    book: Book, tmp_path: Path
) -> None:
    """No fact would settle him; the rest of the play is done."""
    rule = ask_rep(book, rep_of(book, 1, "Port")).expectation.rule
    text = HARBOR.read_text(encoding="utf-8")
    his = f'id = "{rule}"\nfor = ["Port"]'
    assert his in text
    path = tmp_path / "holed.toml"
    path.write_text(text.replace(his, f'id = "{rule}"\nfor = ["Mast"]'), encoding="utf-8")
    adopt_scheme(book, path)
    done = pass_clip(book, clip_of(book, 1))
    assert [grade.fit_result for grade in done.graded] == ["right", "right"]
    assert (done.held, [one.man for one in done.left]) == (False, ["Port"])
    assert done.left[0].why.startswith("Port stays open")


def test_a_man_judged_before_keeps_his_grade(book: Book) -> None:
    """Enter finishes a play where some were judged: the rest are right."""
    judge(book, rep_of(book, 1, "Keel"), did="miss", name="ran past it", cause="eyes")
    pass_clip(book, clip_of(book, 1))
    found = {p: current_grade(book, rep_of(book, 1, p).id) for p in ("Keel", "Bow", "Port")}
    assert {p: (g.fit_result, g.how) for p, g in found.items() if g} == {
        "Keel": ("wrong", "examined"), "Bow": ("right", "passed"), "Port": ("right", "passed"),
    }  # fmt: skip


def test_right_stays_right_when_a_fact_is_corrected(book: Book) -> None:
    """The run went the other way: the men who did what they owed did what they owe by that."""
    pass_clip(book, clip_of(book, 1))
    change_grade(book, rep_of(book, 1, "Bow"), effort=2, note="ran all the way")
    tell(book, 1, run="left")
    assert set(stale_men(book, 1)) == {"Bow", "Keel", "Port"}
    done = pass_clip(book, clip_of(book, 1))
    assert stale_men(book, 1) == []
    assert done.left == ()
    bow = current_grade(book, rep_of(book, 1, "Bow").id)
    assert bow is not None
    assert (bow.fit_result, bow.effort, bow.note, bow.how) == (
        "right", 2, "ran all the way", "examined",
    )  # fmt: skip
    keel = current_grade(book, rep_of(book, 1, "Keel").id)
    assert keel is not None
    assert (keel.expected_fit, keel.how) == ("hang A", "passed")


def test_a_miss_of_the_same_fit_goes_along_and_another_is_asked_again(book: Book) -> None:
    """Strength the other way: he still missed his C gap. Another fit: say again what he did."""
    judge(book, rep_of(book, 1, "Keel"), did="miss", name="ran past it", cause="eyes")
    tell(book, 1, strength="left", run="left", **{"surface.left": 3, "surface.right": 2})
    assert pass_clip(book, clip_of(book, 1)).left == ()
    keel = current_grade(book, rep_of(book, 1, "Keel").id)
    assert keel is not None
    assert (keel.did_name, keel.cause, keel.expected_side) == ("ran past it", "eyes", "left")
    tell(book, 1, run="right")
    done = pass_clip(book, clip_of(book, 1))
    assert [one.man for one in done.left] == ["Keel"]
    assert "say again what he did" in done.left[0].why
    assert stale_men(book, 1) == ["Keel"]


@pytest.mark.parametrize("kind", ["pass", "kick"])
def test_where_there_was_no_run_nobody_is_asked_anything(book: Book, kind: str) -> None:
    """A punt needs no run side: everybody is done at once, and not graded."""
    forget(book, 1, "concept", "run")
    with book.act("say what it was") as act:
        act.put(replace(clip_of(book, 1), kind=kind))  # type: ignore[arg-type]
    done = pass_clip(book, clip_of(book, 1))
    assert [grade.fit_result for grade in done.graded] == ["not graded"] * 3
    with book.act("it was a run after all") as act:
        act.put(replace(book.get(Clip, clip_of(book, 1).id), kind="run"))
    assert len(stale_men(book, 1)) == 3


def test_a_run_that_was_a_pass_is_looked_at_again(book: Book) -> None:
    """Graded as a run and then told to be a pass: the next Enter takes the run fits away."""
    pass_clip(book, clip_of(book, 1))
    with book.act("say what it was") as act:
        act.put(replace(clip_of(book, 1), kind="pass"))
    assert len(stale_men(book, 1)) == 3
    pass_clip(book, clip_of(book, 1))
    assert stale_men(book, 1) == []
    assert [grade.fit_result for grade in book.find(Grade)][-3:] == ["not graded"] * 3


def test_the_second_grader_confirms_the_look_no_second_time(book: Book) -> None:
    """It stands as the first one marked it; his grades are his own."""
    pass_clip(book, clip_of(book, 1))
    facts = book.find(FactValue, clip_id=clip_of(book, 1).id)
    book.author = "B. Marsh"
    done = pass_clip(book, clip_of(book, 1))
    assert [grade.author for grade in done.graded] == ["B. Marsh"] * 3
    assert book.find(FactValue, clip_id=clip_of(book, 1).id) == facts
    assert {one.author for one in book.find(Actual)} == {"J. Alder", "B. Marsh"}


def test_what_was_said_of_the_play_in_between_stays(book: Book) -> None:
    """Enter lays what the play takes over on the play as it stands, not as it was shown."""
    with book.act("forget the tempo") as act:
        act.put(replace(clip_of(book, 2), tempo="", script_number=None))
    shown = clip_of(book, 2)
    with book.act("match the script again") as act:
        act.put(replace(shown, call="Storm", yards_gained=3))
    pass_clip(book, shown)
    now = clip_of(book, 2)
    assert (now.tempo, now.call, now.yards_gained) == ("thud", "Storm", 3)


@pytest.mark.parametrize("verb", ["all right on play 1", "pass play 1"])
def test_what_was_let_through_is_known_by_its_act_in_older_books_too(book: Book, verb: str) -> None:
    """Books of before named the act otherwise; what else judged a rep counts as judged."""
    rep = rep_of(book, 1, "Keel")
    with book.act(verb) as act:
        grade = judge(book, rep, how="passed")
    assert act is not None
    assert [one.id for one in words_let_through(book, [rep])[rep.id] if isinstance(one, Grade)] == [
        grade.id
    ]
    change_grade(book, rep, effort=1.0)
    assert rep.id not in words_let_through(book, [rep])
