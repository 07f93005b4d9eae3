"""Each rep's history can be read: who, when, what before and what after."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from gradecut.book import Book
from gradecut.errors import BookError
from gradecut.records import FactValue, LinedUp, Player, Rep
from gradecut.workflows.booking import scheme_in_force
from gradecut.workflows.counting import add_event, drop_event, toggle_flag
from gradecut.workflows.expecting import say_owed
from gradecut.workflows.judging import change_grade, judge
from gradecut.workflows.line_ups import put_in
from gradecut.workflows.looks import tell_fact
from gradecut.workflows.moments import mark_moment, timeline_of
from gradecut.workflows.passing import pass_clip
from gradecut.workflows.rep_history import HistoryEntry, history_of
from gradecut.workflows.rounds import look_at
from tests.workflows.small_week import clip_of, rep_of


@pytest.fixture
def keel(book: Book) -> Rep:
    """Return Keel's rep on the first play."""
    return rep_of(book, 1, "Keel")


@pytest.fixture
def newest(book: Book, keel: Rep) -> Callable[[], HistoryEntry]:
    """Return the newest act of Keel's history."""
    return lambda: history_of(book, keel.id)[-1]


def told(entry: HistoryEntry) -> dict[str, tuple[str, str]]:
    """Return what an act changed: before and after, by what it was."""
    return {line.what: (line.before, line.after) for line in entry.lines}


def in_on(book: Book, clip_id: str) -> set[str]:
    """Return the men who are in on a play."""
    return {rep.player_id for rep in book.find(Rep, clip_id=clip_id)}


def test_the_first_judgement_was_open_before(
    book: Book, keel: Rep, newest: Callable[[], HistoryEntry]
) -> None:
    """Who gave it, what he owed then, and that nobody had said anything before."""
    grade = judge(book, keel, did="miss", name="ran past it", cause="eyes", note="Late again.")
    entry = newest()
    assert (entry.who, entry.verb) == (book.author, "grade Keel on play 1")
    assert entry.at >= grade.at
    assert told(entry) == {
        "fit": ("open", "✗ ran past it"),
        "owed": ("", "fill A, right"),
        "cause": ("", "eyes"),
        "note": ("", "Late again."),
        "judged": ("", "looked at closely"),
    }


def test_a_change_tells_what_stood_before(
    book: Book, keel: Rep, newest: Callable[[], HistoryEntry]
) -> None:
    """Only what differs is told; points one by one."""
    judge(book, keel, did="miss", name="ran past it", cause="eyes", technique={"eyes": 0})
    change_grade(book, keel, did="as owed", technique={"eyes": 2, "hands": 1}, effort=2)
    assert told(newest()) == {
        "fit": ("✗ ran past it", "✓ right"),
        "cause": ("eyes", ""),
        "eyes": ("0", "2"),
        "hands": ("", "1"),
        "effort": ("", "2"),
    }


def test_passed_and_examined_are_told_apart(
    book: Book, keel: Rep, newest: Callable[[], HistoryEntry]
) -> None:
    """Let through with the play, then looked at, then looked at once more."""
    pass_clip(book, clip_of(book, 1))
    assert told(newest())["judged"] == ("", "passed at speed")
    look_at(book, keel)
    assert told(newest()) == {"judged": ("passed at speed", "looked at closely")}
    look_at(book, keel)
    assert told(newest()) == {"judged": ("", "looked at once more, and it stands")}


def test_what_was_taken_back_is_kept_and_marked(book: Book, keel: Rep) -> None:
    """The act, that it does not stand, its taking back, and that it was done again."""
    judge(book, keel)
    judge(book, keel, did="miss", name="ran past it")
    book.undo()
    *_, act, back = history_of(book, keel.id)
    assert (act.turn, act.stands) == ("done", False)
    assert (back.turn, back.stands) == ("taken back", True)
    assert told(back) == {"fit": ("✗ ran past it", "✓ right")}
    book.redo()
    *_, act, back, again = history_of(book, keel.id)
    assert (act.stands, back.stands, again.stands) == (True, False, True)
    assert again.turn == "done again"
    assert told(again) == {"fit": ("✓ right", "✗ ran past it")}


def test_the_first_grade_taken_back_leaves_him_open(book: Book, keel: Rep) -> None:
    """No row of it is left in the book, and the history tells of it all the same."""
    judge(book, keel)
    book.undo()
    *_, act, back = history_of(book, keel.id)
    assert told(act)["fit"] == ("open", "✓ right")
    assert told(back)["fit"] == ("✓ right", "open")


def test_flags_and_events_that_are_gone_are_told(
    book: Book, keel: Rep, newest: Callable[[], HistoryEntry]
) -> None:
    """Counted and taken back, flagged and the flag taken off."""
    add_event(book, keel, "missed tackle")
    assert told(newest()) == {"counted": ("", "missed tackle")}
    drop_event(book, keel, "missed tackle")
    assert told(newest()) == {"counted": ("missed tackle", "")}
    toggle_flag(book, clip_of(book, 1), keel)
    assert told(newest()) == {"to show tomorrow": ("", "flagged")}
    toggle_flag(book, clip_of(book, 1), keel)
    assert told(newest()) == {"to show tomorrow": ("flagged", "")}
    toggle_flag(book, clip_of(book, 1))
    assert told(newest()) == {"to show tomorrow": ("", "whole play flagged")}
    assert newest().of_play


def test_words_of_the_coach_moments_and_lining_up(
    book: Book, keel: Rep, newest: Callable[[], HistoryEntry]
) -> None:
    """Each with its frame or its words, before and after."""
    say_owed(book, keel, "fill B")
    assert told(newest()) == {"owed, by the coach’s word": ("", "fill B")}
    with book.act("say how Keel lined up") as act:
        act.put(LinedUp(rep_id=keel.id, verdict="off", off=("too deep",), author=book.author))
    assert told(newest()) == {"lined up": ("", "too deep")}
    angle = timeline_of(book, keel.clip_id).angles[0]
    film = timeline_of(book, keel.clip_id).films[angle.film_id]
    assert film.rate is not None
    for frame in (4, 6):
        mark_moment(book, angle, "go", film.pts_of(frame / film.rate), keel)
    assert told(newest()) == {"go": (f"frame 4, {angle.name}", f"frame 6, {angle.name}")}


def test_the_look_is_told_as_the_plays(book: Book, newest: Callable[[], HistoryEntry]) -> None:
    """A fact he corrected belongs to the play; several told at once stand in one line."""
    scheme = scheme_in_force(book)
    assert scheme is not None
    clip = clip_of(book, 1)
    with book.act("forget the look") as act:
        act.drop_all(book.find(FactValue, clip_id=clip.id))
    for value in ("left", "right"):
        tell_fact(book, scheme, clip, "strength", value, source="marked")
    assert told(newest()) == {"strength": ("left", "right")}
    assert newest().of_play


def test_another_man_in_his_place(book: Book, keel: Rep) -> None:
    """Who was named there before, by name."""
    his = book.get(Player, keel.player_id)
    other = next(man for man in book.find(Player) if man.id not in in_on(book, keel.clip_id))
    put_in(book, clip_of(book, 1), "Keel", other)
    new = rep_of(book, 1, "Keel")
    assert told(history_of(book, new.id)[-1])["who"] == (his.name, other.name)


def test_other_men_of_the_play_are_left_out(book: Book, keel: Rep) -> None:
    """A grade, a moment or a flag of another man is none of his history."""
    before = history_of(book, keel.id)
    bow = rep_of(book, 1, "Bow")
    judge(book, bow)
    toggle_flag(book, clip_of(book, 1), bow)
    add_event(book, bow, "loaf")
    assert history_of(book, keel.id) == before


def test_two_graders_stand_under_their_own_names(book: Book, keel: Rep) -> None:
    """Each act under the name of whoever did it."""
    me = book.author
    judge(book, keel)
    book.author = "Coach Birch"
    judge(book, keel, did="miss", name="ran past it")
    whole = history_of(book, keel.id)
    assert [entry.who for entry in whole[-2:]] == [me, "Coach Birch"]
    assert told(whole[-1])["fit"] == ("open", "✗ ran past it")


def test_a_blind_grader_reads_no_judgement_of_others(book: Book, keel: Rep) -> None:
    """Others' grades, flags, events and his moments are left out; the snap is not."""
    me = book.author
    book.author = "Coach Birch"
    judge(book, keel)
    add_event(book, keel, "loaf")
    toggle_flag(book, clip_of(book, 1), keel)
    angle = timeline_of(book, keel.clip_id).angles[0]
    mark_moment(book, angle, "snap", angle.start_pts)
    mark_moment(book, angle, "go", angle.start_pts, keel)
    book.author, book.blind = me, True
    seen = [what for entry in history_of(book, keel.id) for what in told(entry)]
    assert "snap" in seen
    assert not {"fit", "counted", "to show tomorrow", "go"} & set(seen)


def test_a_blind_grader_is_not_told_by_the_name_of_an_act(book: Book, keel: Rep) -> None:
    """What another said of the look stays, but not that he graded him in the same act."""
    me = book.author
    book.author = "Coach Birch"
    with book.act("grade Keel on play 1"):
        judge(book, keel, did="miss", name="ran past it")
        scheme = scheme_in_force(book)
        assert scheme is not None
        tell_fact(book, scheme, clip_of(book, 1), "back", "behind", source="marked")
    book.author, book.blind = me, True
    entry = history_of(book, keel.id)[-1]
    assert list(told(entry)) == ["back"]
    assert "rad" not in entry.verb


def test_a_grade_handed_over_names_its_grader(book: Book, keel: Rep) -> None:
    """Whose grade it is, where another put it into the book."""
    judge(book, keel, author="Coach Birch")
    (fit,) = (line for line in history_of(book, keel.id)[-1].lines if line.what.startswith("fit"))
    assert fit.what == "fit (Coach Birch’s)"


def test_an_unknown_rep_is_refused(book: Book) -> None:
    """One sentence, as for every record that is not there."""
    with pytest.raises(BookError, match="no rep"):
        history_of(book, "nobody")
