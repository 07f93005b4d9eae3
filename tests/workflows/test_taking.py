"""One coach's grades taken into another's book: without loss, once, and to be taken back."""

from __future__ import annotations

import shutil
from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from gradecut.book import Book, open_book
from gradecut.errors import BookError
from gradecut.records import (
    Angle,
    Clip,
    FactValue,
    Flag,
    Grade,
    LineUp,
    Player,
    Rep,
    SchemeVersion,
    StoredFilm,
)
from gradecut.scheme import parse_scheme
from gradecut.timebase import Pts
from gradecut.workflows.booking import book_info, put_in_force, scheme_in_force
from gradecut.workflows.counting import add_event, drop_event, toggle_flag
from gradecut.workflows.expecting import say_owed, unsay_owed
from gradecut.workflows.handing_off import hand_off_of, write_hand_off
from gradecut.workflows.judging import judge
from gradecut.workflows.line_ups import put_in
from gradecut.workflows.lines import rep_lines
from gradecut.workflows.lining_up import say_lined_up
from gradecut.workflows.looks import forget_fact
from gradecut.workflows.moments import mark_moment
from gradecut.workflows.taking import differences, read_hand_off, take_hand_off
from tests.workflows.two_books import (
    INSIDE,
    MEN,
    OUTSIDE,
    angle_of,
    clip_of,
    content,
    copy_of,
    grade_a_bit,
    make_book,
    rep_of,
    state,
    tell,
)

Pair = tuple[Book, Book]


@pytest.fixture
def apart(tmp_path: Path) -> Iterator[Pair]:
    """Give two books of one practice that were made apart."""
    inside = make_book(tmp_path / "inside.gradecut", INSIDE)
    outside = make_book(tmp_path / "outside.gradecut", OUTSIDE)
    yield (inside, outside)
    inside.close()
    outside.close()


@pytest.fixture
def copied(tmp_path: Path) -> Iterator[Pair]:
    """Give a book and its copy, made after the inside coach had graded a bit."""
    inside = make_book(tmp_path / "inside.gradecut", INSIDE)
    grade_a_bit(inside, "Keel")
    outside = copy_of(inside, tmp_path / "outside.gradecut", OUTSIDE)
    yield (inside, outside)
    inside.close()
    outside.close()


def hand(giver: Book, taker: Book, folder: Path) -> None:
    """Hand over by a file, as coaches do."""
    path = folder / "over.hand"
    write_hand_off(giver, path)
    take_hand_off(taker, read_hand_off(path))


def told(book: Book, kind: type, author: str) -> list[object]:
    """Return what one coach said in a book."""
    return list(book.find(kind, author=author))


# ------------------------------------------------------------------ nothing lost, nothing more


def test_books_made_apart_end_with_all_of_both(apart: Pair, tmp_path: Path) -> None:
    """A hands to B, B back to A: both books say the same, and all that either coach said."""
    inside, outside = apart
    grade_a_bit(inside, "Keel")
    grade_a_bit(outside, "Bow")
    said = content(inside, INSIDE), content(outside, OUTSIDE)
    hand(inside, outside, tmp_path)
    hand(outside, inside, tmp_path)
    for book in apart:
        assert content(book, INSIDE) == said[0]
        assert content(book, OUTSIDE) == said[1]
    both = [content(book) for book in apart]
    assert both[0] | {"book": None} == both[1] | {"book": None}


def test_grades_stay_fresh_in_the_other_book(apart: Pair, tmp_path: Path) -> None:
    """The look they rest on is the same there, so none is stale."""
    inside, outside = apart
    for play in (1, 2, 3, 4):
        judge(inside, rep_of(inside, play, "Keel"))
    hand(inside, outside, tmp_path)
    lines = [line for line in rep_lines(outside, author=INSIDE) if line.grade]
    assert len(lines) == 4
    assert not any(line.stale for line in lines)


def test_taking_twice_is_taking_once(apart: Pair, tmp_path: Path) -> None:
    """The same file again changes no row, and says that nothing is new."""
    inside, outside = apart
    grade_a_bit(inside, "Keel")
    hand(inside, outside, tmp_path)
    before = state(outside)
    again = take_hand_off(outside, read_hand_off(tmp_path / "over.hand"))
    assert again.nothing
    assert again.words == "Nothing of J. Alder's is new; this book has it all."
    assert state(outside) == before


def test_taking_is_one_act_that_can_be_taken_back(apart: Pair, tmp_path: Path) -> None:
    """One undo brings the book back to every row it had; it can be done again, and anew."""
    inside, outside = apart
    grade_a_bit(inside, "Keel")
    before = state(outside)
    hand(inside, outside, tmp_path)
    taken = content(outside)
    assert outside.undo().author == OUTSIDE
    assert state(outside) == before
    outside.redo()
    assert content(outside) == taken
    outside.undo()
    assert not take_hand_off(outside, read_hand_off(tmp_path / "over.hand")).nothing
    assert content(outside) == taken


Do = Callable[[Book, str], object]
_DO: tuple[Do, ...] = (
    lambda book, spot: judge(book, rep_of(book, 1, spot), how="passed"),
    lambda book, spot: judge(book, rep_of(book, 1, spot), did="cannot grade", name="hidden"),
    lambda book, spot: judge(book, rep_of(book, 2, spot), note="again", effort=2),
    lambda book, spot: say_owed(book, rep_of(book, 2, spot), "fill A"),
    lambda book, spot: unsay_owed(book, rep_of(book, 2, spot)),
    lambda book, _spot: tell(book, 3, back="behind"),
    lambda book, _spot: tell(book, 3, back="left"),
    lambda book, _spot: forget_fact(book, clip_of(book, 3), "back"),
    lambda book, spot: add_event(book, rep_of(book, 3, spot), "loaf"),
    lambda book, spot: drop_event(book, rep_of(book, 3, spot), "loaf"),
    lambda book, spot: toggle_flag(book, clip_of(book, 4), rep_of(book, 4, spot)),
    lambda book, _spot: toggle_flag(book, clip_of(book, 4)),
    lambda book, spot: say_lined_up(book, rep_of(book, 1, spot), off=["too wide"]),
    lambda book, spot: mark_moment(
        book, angle_of(book, 2), "go", Pts(angle_of(book, 2).start_pts + 9), rep_of(book, 2, spot)
    ),
    lambda book, _spot: mark_moment(book, angle_of(book, 1), "snap", angle_of(book, 1).start_pts),
    lambda book, _spot: _undo(book),
)


def _undo(book: Book) -> None:
    act = book.can_undo()
    if act is not None and act.verb not in ("start the book", "bring film in"):
        book.undo()


_ACTS = st.lists(st.integers(0, len(_DO) - 1), max_size=7)
_QUICK = settings(
    max_examples=8, suppress_health_check=[HealthCheck.function_scoped_fixture], derandomize=True
)


def _work(book: Book, numbers: list[int], spot: str) -> None:
    for number in numbers:
        _DO[number](book, spot)


def _opened(path: Path, goal: Path, author: str) -> Book:
    shutil.copy(path, goal)
    return open_book(goal, author=author)


@pytest.fixture(scope="module")
def started(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Path]:
    """Give two closed books of one practice, made apart; copy them before use."""
    folder = tmp_path_factory.mktemp("started")
    for author, name in ((INSIDE, "a"), (OUTSIDE, "b")):
        make_book(folder / f"{name}.gradecut", author).close()
    return folder / "a.gradecut", folder / "b.gradecut"


@_QUICK
@given(work=st.tuples(_ACTS, _ACTS, _ACTS), copies=st.booleans())
def test_handing_to_and_fro_loses_nothing_and_adds_nothing(
    started: tuple[Path, Path],
    tmp_path: Path,
    work: tuple[list[int], list[int], list[int]],
    copies: bool,
) -> None:
    """Each book ends with what each coach says last; a round more changes no row of either.

    Whatever each of them does, undoes and does again between hand-offs.
    """
    first, second, later = work
    with (
        _opened(started[0], tmp_path / "a.gradecut", INSIDE) as inside,
        _opened(started[0 if copies else 1], tmp_path / "b.gradecut", OUTSIDE) as outside,
    ):
        _work(inside, first, "Keel")
        _work(outside, second, "Bow")
        _round(inside, outside, tmp_path)
        _work(inside, later, "Keel")
        said = content(inside, INSIDE), content(outside, OUTSIDE)
        _round(inside, outside, tmp_path)
        for book in (inside, outside):
            assert (content(book, INSIDE), content(book, OUTSIDE)) == said
        before = state(inside), state(outside)
        _round(inside, outside, tmp_path)
        assert (state(inside), state(outside)) == before


@_QUICK
@given(first=_ACTS, second=_ACTS, copies=st.booleans())
def test_the_order_in_which_two_coaches_hand_over_does_not_matter(
    started: tuple[Path, Path], tmp_path: Path, first: list[int], second: list[int], copies: bool
) -> None:
    """Inside then outside, or outside then inside: the head coach's book says the same."""
    with (
        _opened(started[0], tmp_path / "a.gradecut", INSIDE) as inside,
        _opened(started[0 if copies else 1], tmp_path / "b.gradecut", OUTSIDE) as outside,
    ):
        _work(inside, first, "Keel")
        _work(outside, second, "Bow")
        handed = [hand_off_of(book) for book in (inside, outside) if _has_something(book)]
    ends = []
    for order in (handed, handed[::-1]):
        with _opened(started[1], tmp_path / "head.gradecut", "H. Coach") as head:
            for one in order:
                take_hand_off(head, one)
            ends.append(content(head))
    assert ends[0] == ends[1]


def _has_something(book: Book) -> bool:
    """Tell whether there is something to hand over: what he said, or took back."""
    try:
        hand_off_of(book)
    except BookError:
        return False
    return True


def _round(one: Book, other: Book, folder: Path) -> None:
    for giver, taker in ((one, other), (other, one)):
        if _has_something(giver):
            hand(giver, taker, folder)


# ------------------------------------------------------------------ one coach's word, twice


def test_his_newer_word_takes_the_place_of_his_older_one(copied: Pair, tmp_path: Path) -> None:
    """What he corrected, added and took back since the copy comes over; nothing is asked."""
    inside, outside = copied
    tell(inside, 1, back="right")
    say_owed(inside, rep_of(inside, 2, "Keel"), "hang A", side="left")
    toggle_flag(inside, clip_of(inside, 3), rep_of(inside, 3, "Keel"))
    told_first = differences(outside, hand_off_of(inside))
    assert [one.words for one in told_first.changed] == [
        "Play 1, back: he says right; here behind",
        "Play 2, Keel Okorie, owed: he says hang A, left; here fill A, right",
    ]
    assert [one.words for one in told_first.withdrawn] == [
        "Play 3, Keel Okorie, flag: to show, taken back by him"
    ]
    assert told_first.conflicting == ()
    hand(inside, outside, tmp_path)
    assert content(outside, INSIDE) == content(inside, INSIDE)
    assert outside.find(Flag) == []


def test_his_later_word_in_this_book_stays(copied: Pair, tmp_path: Path) -> None:
    """Where he graded on here after his file was made, an older file turns nothing back."""
    inside, outside = copied
    write_hand_off(inside, tmp_path / "old.hand")
    outside.author = INSIDE
    tell(outside, 1, back="right")
    toggle_flag(outside, clip_of(outside, 3), rep_of(outside, 3, "Keel"))
    outside.author = OUTSIDE
    before = state(outside)
    old = read_hand_off(tmp_path / "old.hand")
    assert differences(outside, old).nothing
    take_hand_off(outside, old)
    assert state(outside) == before


def test_an_older_hand_off_turns_nothing_back(apart: Pair) -> None:
    """Taken after the newer one it changes nothing he has since corrected, and says it is older."""
    inside, outside = apart
    tell(inside, 1, back="behind")
    first = replace(hand_off_of(inside), made_at="2026-10-06T20:00:00.000+00:00")
    tell(inside, 1, back="right")
    take_hand_off(outside, hand_off_of(inside))
    held = differences(outside, first)
    assert held.nothing
    assert any("this one is older" in note for note in held.notes)
    take_hand_off(outside, first)
    assert [fact.value for fact in outside.find(FactValue, source="marked")] == ["right"]


def test_what_somebody_else_changed_here_stays_until_he_is_chosen(
    apart: Pair, tmp_path: Path
) -> None:
    """A row of his that another coach took out here is told, stays out, and comes when chosen."""
    inside, outside = apart
    tell(inside, 1, back="behind")
    hand(inside, outside, tmp_path)
    with outside.act("settle it") as act:
        act.drop_all(outside.find(FactValue, author=INSIDE))
    again = read_hand_off(tmp_path / "over.hand")
    held = differences(outside, again)
    assert [one.words for one in held.conflicting] == [
        "Play 1, back: he says behind; taken out here by R. Boone"
    ]
    done = take_hand_off(outside, again)
    assert done.kept == 1
    assert done.words == "Nothing of J. Alder's was taken; one row of his stays as changed here."
    assert outside.find(FactValue, author=INSIDE) == []
    keys = [one.key for one in held.conflicting]
    assert take_hand_off(outside, again, theirs=keys).new == {"facts": 1}
    assert [fact.value for fact in outside.find(FactValue, author=INSIDE)] == ["behind"]


def test_nobody_elses_rows_change(apart: Pair, tmp_path: Path) -> None:
    """Both judged the same man and told the same fact: both stand, each under his name."""
    inside, outside = apart
    grade_a_bit(inside, "Keel")
    grade_a_bit(outside, "Keel")
    tell(outside, 1, back="right")
    mine = content(outside, OUTSIDE)
    held = differences(outside, hand_off_of(inside))
    assert [one.words for one in held.disputed] == [
        "Play 1, back: he says behind; R. Boone says right"
    ]
    hand(inside, outside, tmp_path)
    assert content(outside, OUTSIDE) == mine
    assert content(outside, INSIDE) == content(inside, INSIDE)


def test_men_judged_otherwise_are_told_first(apart: Pair) -> None:
    """Where this grader judged the same rep and came to something else, both are said."""
    inside, outside = apart
    judge(inside, rep_of(inside, 1, "Keel"), did="cannot grade", name="hidden")
    judge(inside, rep_of(inside, 2, "Keel"))
    judge(outside, rep_of(outside, 1, "Keel"))
    judge(outside, rep_of(outside, 2, "Keel"))
    held = differences(outside, hand_off_of(inside))
    assert [one.words for one in held.otherwise] == [
        "Play 1, Keel Okorie: he says ? can't grade: hidden; R. Boone says ✓ right"
    ]


# ------------------------------------------------------------------ plays, men and schemes found


def test_plays_cut_a_little_otherwise_are_the_same_plays(tmp_path: Path) -> None:
    """Books made apart whose plays begin and end at other frames still mean the same plays."""
    inside = make_book(tmp_path / "a.gradecut", INSIDE)
    outside = make_book(tmp_path / "b.gradecut", OUTSIDE, later_pts=25)
    grade_a_bit(inside, "Keel")
    hand(inside, outside, tmp_path)
    assert content(outside, INSIDE)["grades"] == content(inside, INSIDE)["grades"]


def test_plays_not_in_the_book_are_left_and_come_once_their_film_is_there(tmp_path: Path) -> None:
    """They are told, with what to do; taking the file again then brings the rest."""
    inside = make_book(tmp_path / "a.gradecut", INSIDE)
    outside = make_book(tmp_path / "b.gradecut", OUTSIDE, plays=1)
    grade_a_bit(inside, "Keel")
    write_hand_off(inside, tmp_path / "a.hand")
    told_of = read_hand_off(tmp_path / "a.hand")
    held = differences(outside, told_of)
    assert held.left == (
        "Tuesday, play 2 (card 0.mp4) is not in this book; add its film, then take the file again.",
        "Tuesday, play 3 (card 1.mp4) is not in this book; add its film, then take the file again.",
    )
    assert take_hand_off(outside, told_of).new["grades"] == 2
    full = make_book(tmp_path / "c.gradecut", OUTSIDE)
    clips, angles = full.find(Clip)[1:], full.find(Angle)[1:]
    home = outside.find(Clip)[0].session_id
    films = {angle.film_id: angle for angle in outside.find(Angle)}
    with outside.act("add film") as act:
        act.put(*[film for film in full.find(StoredFilm) if film.id not in films])
        act.put(*[replace(clip, session_id=home) for clip in clips], *angles)
    assert take_hand_off(outside, told_of).new["grades"] == 2
    assert content(outside, INSIDE)["grades"] == content(inside, INSIDE)["grades"]


def test_a_man_only_the_script_put_there_makes_room(tmp_path: Path) -> None:
    """Of whom nobody said anything leaves for the man who was graded; it is told first."""
    inside = make_book(tmp_path / "a.gradecut", INSIDE)
    outside = make_book(tmp_path / "b.gradecut", OUTSIDE, men={**MEN, "Keel": "Rory Hanrattan"})
    judge(inside, rep_of(inside, 1, "Keel"))
    held = differences(outside, hand_off_of(inside))
    assert "Not on your roster yet, and put in with it: Tavin Okorie." in held.notes
    assert any("Tavin Okorie comes in at Keel for Rory Hanrattan" in note for note in held.notes)
    hand(inside, outside, tmp_path)
    reps = outside.find(Rep, clip_id=clip_of(outside, 1).id, position="Keel")
    names = [outside.get(Player, rep.player_id).name for rep in reps]
    assert names == ["Tavin Okorie"]
    rows = outside.find(LineUp, clip_id=clip_of(outside, 1).id, position="Keel")
    assert [row.player_id for row in rows] == [reps[0].player_id]
    assert rep_of(outside, 2, "Keel").player_id != reps[0].player_id


def test_a_man_somebody_judged_here_stays_and_it_is_told(tmp_path: Path) -> None:
    """Two men at one position, both judged: the coach says who it was; nothing is doubled."""
    inside = make_book(tmp_path / "a.gradecut", INSIDE)
    outside = make_book(tmp_path / "b.gradecut", OUTSIDE, men={**MEN, "Keel": "Rory Hanrattan"})
    judge(inside, rep_of(inside, 1, "Keel"))
    judge(inside, rep_of(inside, 1, "Bow"))
    judge(outside, rep_of(outside, 1, "Keel"))
    held = differences(outside, hand_off_of(inside))
    assert held.left == (
        "Tuesday, play 1: he has Tavin Okorie at Keel, and here it is Rory Hanrattan at Keel; put "
        "the right man in, then take the file again.",
    )
    hand(inside, outside, tmp_path)
    assert [grade.author for grade in outside.find(Grade)].count(INSIDE) == 1
    assert len(outside.find(Rep, clip_id=clip_of(outside, 1).id, position="Keel")) == 1


def test_a_man_put_in_by_hand_here_is_not_moved(tmp_path: Path) -> None:
    """The other coach's own line-up stands against the script behind the file."""
    inside = make_book(tmp_path / "a.gradecut", INSIDE)
    outside = make_book(tmp_path / "b.gradecut", OUTSIDE)
    man = Player(name="Rory Hanrattan")
    with outside.act("a man more") as act:
        act.put(man)
    put_in(outside, clip_of(outside, 1), "Keel", man)
    judge(inside, rep_of(inside, 1, "Keel"))
    assert len(differences(outside, hand_off_of(inside)).left) == 1


def test_an_unknown_man_he_has_named_since_is_named_here(tmp_path: Path) -> None:
    """Copied while nobody knew him, graded, then named: his rep here gets the name."""
    inside = make_book(tmp_path / "a.gradecut", INSIDE)
    nobody = Player(name="unknown man", unknown=True)
    with inside.act("nobody knows him") as act:
        act.put(nobody)
    rep = put_in(inside, clip_of(inside, 1), "Keel", nobody)
    judge(inside, rep)
    outside = copy_of(inside, tmp_path / "b.gradecut", OUTSIDE)
    okorie = inside.find(Player, name="Tavin Okorie")[0]
    with inside.act("name him") as act:
        act.put(replace(rep, player_id=okorie.id))
        act.put(*[
            replace(row, player_id=okorie.id) for row in inside.find(LineUp, player_id=nobody.id)
        ])  # fmt: skip
    hand(inside, outside, tmp_path)
    assert outside.get(Rep, rep.id).player_id == okorie.id
    assert outside.find(LineUp, player_id=nobody.id) == []


def test_the_scheme_his_grades_were_given_by_comes_along(tmp_path: Path) -> None:
    """Not in force, but there, so that each grade can still say by what rules it was given."""
    inside = make_book(tmp_path / "a.gradecut", INSIDE)
    outside = make_book(tmp_path / "b.gradecut", OUTSIDE)
    ours = scheme_in_force(inside)
    assert ours is not None
    put_in_force(inside, parse_scheme(ours.text + "\n# as of Tuesday\n", "Harbor"))
    judge(inside, rep_of(inside, 1, "Keel"))
    held = differences(outside, hand_off_of(inside))
    assert any("not in force here" in note for note in held.notes)
    in_force = book_info(outside).scheme_id
    hand(inside, outside, tmp_path)
    grade = outside.find(Grade, author=INSIDE)[0]
    assert grade.scheme_id is not None
    assert outside.get(SchemeVersion, grade.scheme_id).text.endswith("# as of Tuesday\n")
    assert book_info(outside).scheme_id == in_force


def test_a_player_of_this_book_hands_nothing_over(apart: Pair) -> None:
    """Under a player's name stand his own answers, so such a file is refused."""
    inside, outside = apart
    judge(inside, rep_of(inside, 1, "Keel"))
    told_of = replace(hand_off_of(inside), grader="Brandt Lisoway")
    before = state(outside)
    with pytest.raises(BookError, match="is on the roster"):
        take_hand_off(outside, told_of)
    assert state(outside) == before


def test_his_own_file_brings_what_he_graded_elsewhere(copied: Pair, tmp_path: Path) -> None:
    """The inside coach takes home what he graded in the other's book."""
    inside, outside = copied
    outside.author = INSIDE
    judge(outside, rep_of(outside, 4, "Keel"), note="at the office")
    held = differences(inside, hand_off_of(outside))
    assert any("It is your own" in note for note in held.notes)
    hand(outside, inside, tmp_path)
    assert content(inside, INSIDE) == content(outside, INSIDE)
