"""The script is matched in order, again where it drifted, and never over what was marked."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from gradecut.book import Book
from gradecut.errors import BookError, InputError
from gradecut.records import Clip, FactValue, Piece, Player, Reel, Rep, Session
from gradecut.workflows.adding import script_session
from gradecut.workflows.booking import scheme_in_force
from gradecut.workflows.judging import judge
from gradecut.workflows.line_ups import put_in
from gradecut.workflows.looks import look_of, tell_fact
from gradecut.workflows.moments import mark_moment
from gradecut.workflows.script import match_new_plays, script_lines
from tests.workflows.small_week import (
    SCRIPT,
    SESSION,
    angle_of,
    clip_of,
    player_of,
    pts_of,
    rep_of,
    stored,
    write_lines,
    write_script,
)


def men_on(book: Book, play: int) -> set[tuple[str, str]]:
    """Return who has a rep where."""
    return {
        (rep.position, book.get(Player, rep.player_id).short_name)
        for rep in book.find(Rep, clip_id=clip_of(book, play).id)
    }


@pytest.fixture
def drifted(tmp_path: Path) -> Path:
    """Give the script of a practice where an unplanned play was run after the first."""
    return write_script(tmp_path / "script.csv")


def test_a_drifted_script_is_matched_again_from_the_play_where_it_drifted(
    book: Book, drifted: Path
) -> None:
    """Play 2 was really number 3: looks, men and numbers follow, play 1 stays."""
    assert script_session(book, SESSION, drifted, from_play=2, from_number=3) == 2
    assert [clip_of(book, play).script_number for play in (1, 2, 3, 4)] == [1, 3, 4, None]
    assert look_of(book, clip_of(book, 2).id)["concept"] == "split zone"
    assert men_on(book, 2) == {("Keel", "Hanrattan"), ("Bow", "Thornbury"), ("Port", "Castellow")}
    assert men_on(book, 1) == {("Keel", "Okorie"), ("Bow", "Lisoway"), ("Port", "Marchand-Pike")}


def test_a_line_belongs_to_one_play(book: Book, drifted: Path) -> None:
    """The play whose line has gone to another says nothing of it any more."""
    script_session(book, SESSION, drifted, from_play=2, from_number=3)
    left = clip_of(book, 4)
    assert (left.script_number, left.period, left.call) == (None, "", "")
    assert look_of(book, left.id) == {}
    assert men_on(book, 4) == set()


def test_words_of_the_earlier_line_do_not_stay(book: Book, tmp_path: Path) -> None:
    """A cell the new line leaves empty is empty, unless the coach wrote there himself."""
    lines = (*SCRIPT[:2], SCRIPT[2].replace("Inside run,run,live,Harbor", ",,,"), SCRIPT[3])
    script_session(
        book, SESSION, write_script(tmp_path / "s.csv", lines), from_play=2, from_number=3
    )
    clip = clip_of(book, 2)
    assert (clip.period, clip.tempo, clip.call) == ("", "", "")


def test_what_was_marked_stays(book: Book, drifted: Path) -> None:
    """A marked fact, a man put in by hand and a judged man survive a new match."""
    scheme = scheme_in_force(book)
    assert scheme is not None
    tell_fact(book, scheme, clip_of(book, 2), "concept", "mid zone", source="marked")
    put_in(book, clip_of(book, 2), "Port", player_of(book, "Joss Vandermoor"))
    judge(book, rep_of(book, 2, "Keel"), did="as owed")
    angle = angle_of(book, 2)
    mark_moment(book, angle, "first step", pts_of(book, angle, 50), rep_of(book, 2, "Bow"))
    script_session(book, SESSION, drifted, from_play=2, from_number=3)
    assert look_of(book, clip_of(book, 2).id)["concept"] == "mid zone"
    men = men_on(book, 2)
    assert ("Port", "Vandermoor") in men
    assert ("Port", "Castellow") not in men
    assert {("Keel", "Okorie"), ("Bow", "Lisoway")} <= men


def test_a_man_in_a_reel_stays(book: Book, drifted: Path) -> None:
    """A reel is a person's work: the script gives way to it, and the piece is not lost."""
    rep, reel = rep_of(book, 2, "Bow"), Reel(name="Zone")
    with book.act("build") as act:
        act.put(
            reel,
            Piece(
                reel_id=reel.id, order=1, clip_id=rep.clip_id, angle_id=angle_of(book, 2).id,
                rep_id=rep.id,
            ),
        )  # fmt: skip
    script_session(book, SESSION, drifted, from_play=2, from_number=3)
    assert [one.rep_id for one in book.find(Piece)] == [rep.id]
    assert ("Bow", "Lisoway") in men_on(book, 2)


def test_matching_the_same_script_again_changes_no_fact_and_no_man(
    book: Book, drifted: Path
) -> None:
    """A coach who does it twice loses nothing and doubles nothing."""
    before = {key: n for key, n in stored(book).items() if key not in ("Act", "Change")}
    script_session(book, SESSION, drifted)
    assert {key: n for key, n in stored(book).items() if key not in ("Act", "Change")} == before


def test_a_corrected_script_takes_effect(book: Book, tmp_path: Path) -> None:
    """The new spelling of a call and another man come in."""
    lines = (SCRIPT[0].replace("Harbor", "Harbor Fast").replace("Okorie", "Hanrattan"), *SCRIPT[1:])
    script_session(book, SESSION, write_script(tmp_path / "s.csv", lines))
    assert clip_of(book, 1).call == "Harbor Fast"
    assert ("Keel", "Hanrattan") in men_on(book, 1)
    assert ("Keel", "Okorie") not in men_on(book, 1)


def test_every_fault_of_a_script_is_told_with_its_line(book: Book, tmp_path: Path) -> None:
    """Unknown man, unknown fact's value, a man in two places, a number twice, a wrong kind."""
    before = stored(book)
    lines = (
        SCRIPT[0],
        "2,Run,punt,live,,right,up,2,3,power,right,Okorei,,",
        "2,Run,run,live,,right,left,2,3,pass,right,Okorie,Okorie,",
        "x,Run,run,live,,,,,,,,,,",
    )
    with pytest.raises(InputError) as caught:
        script_session(book, SESSION, write_script(tmp_path / "s.csv", lines))
    told = [(line, said) for line, said in caught.value.faults]
    assert [line for line, _ in told] == [3, 3, 3, 4, 4, 4, 5]
    said = "\n".join(text for _, text in told)
    for part in (
        "“punt” is no kind", "“up” is no answer to “Where is the back?”",
        "“Okorei” is not on the roster; did you mean “Tavin Okorie”?",
        "number 2 is already in line 3", "Tavin Okorie can't be Bow and Keel at once",
        "“x” in number is no whole number",
    ):  # fmt: skip
        assert part in said
    assert stored(book) == before


def test_a_column_that_is_no_position_and_no_fact_is_told(book: Book, tmp_path: Path) -> None:
    """A mistyped position is a column nobody knows, with the nearest one."""
    sheet = write_lines(tmp_path / "s.csv", "number,Keal", "1,Okorie")
    with pytest.raises(InputError, match="“Keal” is no column here; did you mean “Keel”"):
        script_session(book, SESSION, sheet)


def test_a_number_or_play_that_is_not_there_is_refused(book: Book, drifted: Path) -> None:
    """Matching nothing is told, not done."""
    with pytest.raises(BookError, match="no number 40"):
        script_session(book, SESSION, drifted, from_play=2, from_number=40)
    gap = write_script(drifted.with_name("gap.csv"), [SCRIPT[0], SCRIPT[3]])
    with pytest.raises(BookError, match="no number 3"):
        script_session(book, SESSION, gap, from_play=2, from_number=3)
    with pytest.raises(BookError, match="no play 9"):
        script_session(book, SESSION, drifted, from_play=9)


def test_facts_of_the_script_are_kept_apart_from_marked_ones(book: Book) -> None:
    """They are rows of their own, read second."""
    assert {fact.source for fact in book.find(FactValue)} == {"script"}


def test_a_number_without_a_play_leaves_its_line_out(book: Book, tmp_path: Path) -> None:
    """Plays 1 to 4 and 6: the sixth line is the sixth play's, and the fifth is nobody's."""
    home = book.find(Session)[0]
    with book.act("leave number 5 out") as act:
        act.put(Clip(session_id=home.id, order=6))
    lines = [f"{number},Team" for number in range(1, 7)]
    script_session(book, home.name, write_script(tmp_path / "s.csv", lines, "number,period"))
    told = {clip.order: clip.script_number for clip in book.find(Clip)}
    assert told == {1: 1, 2: 2, 3: 3, 4: 4, 6: 6}


def test_a_play_made_between_others_takes_its_own_line_alone(book: Book, tmp_path: Path) -> None:
    """Play 4 was matched by hand to number 9; the play that comes before it leaves that."""
    home = book.find(Session)[0]
    with book.act("numbers 3 and 5, and no 4") as act:
        act.put(replace(clip_of(book, 4), order=5, script_number=9))
        act.put(Clip(session_id=home.id, order=4))
    sheet = write_script(tmp_path / "s.csv", [f"{n},Team" for n in range(1, 6)], "number,period")
    lines = script_lines(book, sheet, home.kind)
    assert match_new_plays(book, home, lines, there={1, 2, 3, 5}) == 1
    told = {clip.order: clip.script_number for clip in book.find(Clip)}
    assert told == {1: 1, 2: 2, 3: 3, 4: 4, 5: 9}


def test_a_sheet_of_new_plays_with_the_numbers_of_earlier_ones_is_refused(
    book: Book, tmp_path: Path
) -> None:
    """The earlier plays would lose their lines; the sentence says how to number it."""
    home = book.find(Session)[0]
    with book.act("a play came") as act:
        act.put(Clip(session_id=home.id, order=5))
    lines = script_lines(book, write_script(tmp_path / "s.csv", SCRIPT[:1]), home.kind)
    with pytest.raises(BookError, match="Number 1 of this script is play 1 of Tuesday already"):
        match_new_plays(book, home, lines, there={1, 2, 3, 4})
    assert clip_of(book, 1).script_number == 1
