"""Who is in: a substitution lasts to the end of the period, or until somebody says otherwise."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest

from gradecut.book import Book, open_book
from gradecut.errors import BookError
from gradecut.records import BookInfo, Clip, Flag, LineUp, Owed, Player, Rep, Session
from gradecut.workflows.judging import judge
from gradecut.workflows.line_ups import (
    line_up_period,
    put_in,
    say_side,
    substitute,
)
from gradecut.workflows.periods import plays_of_period

PERIODS = ("Inside run 1",) * 5 + ("Inside run 2",) * 5 + ("Team",) * 4
MEN = ("Okorie", "Hanrattan", "Lisoway", "Thornbury", "Castellow")


@pytest.fixture
def week(tmp_path: Path) -> Iterator[Book]:
    """Give a book of three periods and five linebackers, Okorie at Keel and Lisoway at Bow."""
    with open_book(tmp_path / "who.gradecut", author="J. Alder", create=True) as book:
        home = Session(name="Tuesday")
        plays = [
            Clip(session_id=home.id, order=order, period=period)
            for order, period in enumerate(PERIODS, start=1)
        ]
        men = [Player(name=f"A. {name}") for name in MEN]
        with book.act("a practice") as act:
            act.put(BookInfo(name="Herons"), home, *plays, *men)
            for clip in plays:
                for position, man in (("Keel", men[0]), ("Bow", men[2])):
                    act.put(
                        LineUp(
                            clip_id=clip.id, position=position, player_id=man.id, source="script"
                        ),
                        Rep(clip_id=clip.id, position=position, player_id=man.id),
                    )
        yield book


def clip(book: Book, order: int) -> Clip:
    """Return a play."""
    return book.find(Clip, order=order)[0]


def man(book: Book, name: str) -> Player:
    """Return a man by his last name."""
    return book.find(Player, name=f"A. {name}")[0]


def at(book: Book, position: str) -> str:
    """Return the first letters of who is in at a position, play by play; - for nobody."""
    men = {one.id: one.short_name[0] for one in book.find(Player)}
    told = ""
    for one in book.find(Clip):
        here = [rep for rep in book.find(Rep, clip_id=one.id) if rep.position == position]
        lined = [row for row in book.find(LineUp, clip_id=one.id) if row.position == position]
        assert [rep.player_id for rep in here] == [row.player_id for row in lined]
        told += men[here[0].player_id] if here else "-"
    return told


def test_a_substitution_lasts_to_the_end_of_its_period(week: Book) -> None:
    """The next period begins as it was lined up; one undo takes it back."""
    came = substitute(week, clip(week, 3), "Keel", man(week, "Hanrattan"))
    assert at(week, "Keel") == "OOHHH" + "O" * 9
    assert (came.plays, came.kept, came.until) == ((3, 4, 5), (), None)
    week.undo()
    assert at(week, "Keel") == "O" * 14


def test_it_lasts_until_somebody_said_otherwise(week: Book) -> None:
    """Gone back to an earlier play, he does not lose the substitution he entered later."""
    substitute(week, clip(week, 8), "Keel", man(week, "Castellow"))
    came = substitute(week, clip(week, 6), "Keel", man(week, "Hanrattan"))
    assert at(week, "Keel") == "OOOOO" + "HHCCC" + "OOOO"
    assert came.until == 8
    substitute(week, clip(week, 6), "Keel", man(week, "Okorie"))
    assert at(week, "Keel") == "OOOOO" + "OOCCC" + "OOOO"


def test_five_linebackers_rotate_over_three_periods(week: Book) -> None:
    """Each word is one substitution; the line-up comes out as it was seen."""
    for play, position, name in (
        (2, "Bow", "Thornbury"), (4, "Keel", "Hanrattan"), (5, "Bow", "Lisoway"),
        (6, "Keel", "Castellow"), (8, "Bow", "Castellow"), (8, "Keel", "Okorie"),
        (11, "Keel", "Hanrattan"), (12, "Bow", "Thornbury"), (13, "Keel", "Okorie"),
    ):  # fmt: skip
        substitute(week, clip(week, play), position, man(week, name))
    assert at(week, "Keel") == "OOOHH" + "CCOOO" + "HHOO"
    assert at(week, "Bow") == "LTTTL" + "LLCCC" + "LTTT"


def test_a_man_who_moves_leaves_his_place_empty_from_there_on(week: Book) -> None:
    """One man stands in one place."""
    substitute(week, clip(week, 4), "Keel", man(week, "Lisoway"))
    assert at(week, "Keel")[:6] == "OOOLLO"
    assert at(week, "Bow")[:6] == "LLL--L"


def test_where_something_was_said_of_the_man_before_he_stays(week: Book) -> None:
    """A later play that was graded, flagged or has his word keeps him, and that is told."""
    reps = {
        order: week.find(Rep, clip_id=clip(week, order).id, position="Keel")[0] for order in (4, 5)
    }
    judge(week, reps[4], did="cannot grade", name="out of picture")
    with week.act("flag") as act:
        act.put(Flag(clip_id=reps[5].clip_id, rep_id=reps[5].id, author="J. Alder"))
    came = substitute(week, clip(week, 2), "Keel", man(week, "Hanrattan"))
    assert at(week, "Keel")[:5] == "OHHOO"
    assert (came.plays, came.kept) == ((2, 3), (4, 5))


def test_what_was_marked_before_he_was_recognised_is_his(week: Book) -> None:
    """The coach's word on this play was of the man he saw, whatever the script called him."""
    rep = week.find(Rep, clip_id=clip(week, 2).id, position="Keel")[0]
    with week.act("say") as act:
        act.put(Owed(rep_id=rep.id, fit="fill A", author="J. Alder"))
    new = put_in(week, clip(week, 2), "Keel", man(week, "Hanrattan"))
    assert new.id == rep.id
    assert week.find(Owed, rep_id=new.id)[0].fit == "fill A"
    assert at(week, "Keel")[:3] == "OHO"


def test_a_graded_man_is_not_put_out_on_the_play_that_is_seen(week: Book) -> None:
    """It is refused with his name, and nothing has changed."""
    seen = week.find(Rep, clip_id=clip(week, 2).id, position="Keel")[0]
    judge(week, seen, did="cannot grade", name="out of picture")
    with pytest.raises(BookError, match=r"A\. Okorie is already graded on play 2"):
        substitute(week, clip(week, 2), "Keel", man(week, "Hanrattan"))
    assert at(week, "Keel")[:3] == "OOO"


def test_a_persons_word_is_his_also_where_the_script_said_the_same(week: Book) -> None:
    """So it stays when the script is moved."""
    substitute(week, clip(week, 12), "Keel", man(week, "Okorie"))
    team = [one.id for one in plays_of_period(week, clip(week, 11))]
    rows = week.find(LineUp, clip_id=team, position="Keel")
    assert [row.source for row in rows] == ["script", "marked", "marked", "marked"]


def test_a_period_is_lined_up_in_one_act(week: Book) -> None:
    """From its first play, whichever is looked at; other periods stay."""
    men = {"Keel": man(week, "Hanrattan"), "Bow": man(week, "Thornbury")}
    line_up_period(week, clip(week, 8), men)
    assert at(week, "Keel") == "OOOOOHHHHHOOOO"
    assert at(week, "Bow") == "LLLLLTTTTTLLLL"
    week.undo()
    assert at(week, "Bow") == "L" * 14


def test_two_men_change_places_in_one_act(week: Book) -> None:
    """Keel and Bow swapped over a period leave nobody out."""
    men = {"Keel": man(week, "Lisoway"), "Bow": man(week, "Okorie")}
    line_up_period(week, clip(week, 6), men)
    assert at(week, "Keel") == "OOOOOLLLLLOOOO"
    assert at(week, "Bow") == "LLLLLOOOOOLLLL"


def test_one_man_at_two_positions_is_refused(week: Book) -> None:
    """With his name and both places."""
    men = {"Keel": man(week, "Lisoway"), "Bow": man(week, "Lisoway")}
    with pytest.raises(BookError, match=r"A\. Lisoway can't be Keel and Bow at once"):
        line_up_period(week, clip(week, 6), men)


def test_a_play_without_a_period_is_of_the_one_before(week: Book) -> None:
    """An extra play the script does not know does not end the substitution."""
    with week.act("an extra play") as act:
        act.put(replace(clip(week, 4), period=""))
    assert [one.order for one in plays_of_period(week, clip(week, 2))] == [2, 3, 4, 5]
    assert [one.order for one in plays_of_period(week, clip(week, 4), whole=True)] == [
        1, 2, 3, 4, 5,
    ]  # fmt: skip


def test_the_side_he_lined_up_at_is_kept_and_taken_back(week: Book) -> None:
    """On his rep and in the line-up of that play alone."""
    rep = week.find(Rep, clip_id=clip(week, 2).id, position="Bow")[0]
    assert say_side(week, rep, "left").side == "left"
    assert week.find(LineUp, clip_id=rep.clip_id, position="Bow")[0].side == "left"
    assert week.find(Rep, clip_id=clip(week, 3).id, position="Bow")[0].side is None
    say_side(week, rep, None)
    assert week.get(Rep, rep.id).side is None


def test_the_side_is_laid_on_the_rep_as_it_stands(week: Book) -> None:
    """Another man was put in since his rep was read: he stays in."""
    old = week.find(Rep, clip_id=clip(week, 2).id, position="Keel")[0]
    with week.act("say") as act:
        act.put(Owed(rep_id=old.id, fit="fill A", author="J. Alder"))
    put_in(week, clip(week, 2), "Keel", man(week, "Hanrattan"))
    say_side(week, old, "left")
    assert at(week, "Keel")[:3] == "OHO"
    rep = week.find(Rep, clip_id=clip(week, 2).id, position="Keel")[0]
    row = week.find(LineUp, clip_id=clip(week, 2).id, position="Keel")[0]
    assert (rep.side, row.side) == ("left", "left")


def test_words_said_of_two_men_are_not_thrown_together(week: Book) -> None:
    """What was said of the second can't be the new man's: it is refused, and nothing is lost."""
    here = clip(week, 2)
    script, bow = (week.find(Rep, clip_id=here.id, position=one)[0] for one in ("Keel", "Bow"))
    by_hand = Rep(clip_id=here.id, position="Keel", player_id=man(week, "Thornbury").id)
    with week.act("say") as act:
        act.put(by_hand)
        act.put(
            *(Owed(rep_id=one.id, fit="fill A", author="J. Alder") for one in (script, by_hand))
        )
    with pytest.raises(BookError, match=r"A\. (Okorie|Thornbury) has words.* at Keel on play 2"):
        put_in(week, here, "Keel", man(week, "Hanrattan"))
    assert {one.rep_id for one in week.find(Owed)} == {script.id, by_hand.id}
    with week.act("take one back, and say something of a man elsewhere") as act:
        act.drop_all(week.find(Owed, rep_id=by_hand.id))
        act.put(Flag(clip_id=here.id, rep_id=bow.id, author="J. Alder"))
    with pytest.raises(BookError, match=r"A\. Lisoway has words.* at Bow on play 2"):
        put_in(week, here, "Keel", man(week, "Lisoway"))
    assert put_in(week, here, "Keel", man(week, "Hanrattan")).id == script.id
