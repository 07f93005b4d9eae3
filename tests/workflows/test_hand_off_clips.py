"""What a play was goes over to a colleague's book: typed words, a moved script, and conflicts."""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest

from gradecut.book import Book
from gradecut.errors import InputError
from gradecut.records import Clip, FactValue, Session
from gradecut.workflows.adding import script_session
from gradecut.workflows.clip_facts import say_clip_facts
from gradecut.workflows.counting import toggle_flag
from gradecut.workflows.differences import Differences, differences
from gradecut.workflows.handing_off import handed_words, write_hand_off
from gradecut.workflows.script import shift_script
from gradecut.workflows.taking import Taken, read_hand_off, take_hand_off
from tests.workflows.two_books import (
    INSIDE,
    LOOK,
    MEN,
    OUTSIDE,
    clip_of,
    copy_of,
    grade_a_bit,
    make_book,
    state,
)

SCRIPT = "\n".join(
    [
        f"number,period,call,tempo,back,{','.join(name for name in LOOK if name != 'back')},"
        f"{','.join(MEN)}",
        *(
            f"{number},Team,{call},{tempo},{back},"
            f"{','.join(str(value) for name, value in LOOK.items() if name != 'back')},"
            f"{','.join(MEN.values())}"
            for number, call, tempo, back in (
                (1, "Sky", "live", "left"), (2, "Cloud", "live", "right"),
                (3, "Sky", "thud", "left"), (4, "Dog", "thud", "right"),
            )
        ),
    ]
)  # fmt: skip


@pytest.fixture(params=["apart", "copied"])
def books(tmp_path: Path, request: pytest.FixtureRequest) -> Iterator[tuple[Book, Book]]:
    """Give two books of one practice with one script, made apart or copied from each other."""
    sheet = tmp_path / "script.csv"
    sheet.write_text(SCRIPT)
    inside = make_book(tmp_path / "inside.gradecut", INSIDE)
    script_session(inside, "Tuesday", sheet)
    if request.param == "copied":
        outside = copy_of(inside, tmp_path / "outside.gradecut", OUTSIDE)
    else:
        outside = make_book(tmp_path / "outside.gradecut", OUTSIDE)
        script_session(outside, "Tuesday", sheet)
    grade_a_bit(inside, "Keel")
    yield inside, outside
    inside.close()
    outside.close()


def say(book: Book, play: int, **told: object) -> None:
    """Type what a play was."""
    say_clip_facts(book, clip_of(book, play), told)


def handed(giver: Book, taker: Book, folder: Path) -> tuple[Differences, Taken]:
    """Hand over by a file; return what differed, and what was taken."""
    path = folder / "over.hand"
    write_hand_off(giver, path)
    told = read_hand_off(path)
    held = differences(taker, told)
    return held, take_hand_off(taker, told)


def plays(book: Book) -> list[Clip]:
    """Return the plays, without what is of their own book."""
    return [replace(clip, id="", session_id="") for clip in book.find(Clip)]


def script_look(book: Book) -> list[tuple[int, str, object]]:
    """Return what the script says of each play's look."""
    orders = {clip.id: clip.order for clip in book.find(Clip)}
    facts = book.find(FactValue, source="script")
    return sorted((orders[one.clip_id], one.reference, one.value) for one in facts)


def test_what_he_typed_is_taken_where_nobody_typed_otherwise(
    books: tuple[Book, Book], tmp_path: Path
) -> None:
    """No play, yards and tempo come over, told first, once, and go with one undo."""
    inside, outside = books
    say(inside, 2, kind="no play")
    say(inside, 3, yards_gained=7, tempo="live")
    before = state(outside)
    held, _ = handed(inside, outside, tmp_path)
    told = [one.words for one in (*held.new, *held.changed)]
    assert "Play 2, kind of play: he says no play; here run" in told
    assert "Play 3, yards gained: 7" in told
    assert "Play 3, tempo: he says live; here thud" in told
    assert "2 words on what plays were changed since" in held.words[0]
    assert plays(outside) == plays(inside)
    again, nothing = handed(inside, outside, tmp_path)
    assert again.nothing
    assert nothing.nothing
    outside.undo()
    assert state(outside) == before


def test_a_script_he_moved_moves_here_with_its_look(
    books: tuple[Book, Book], tmp_path: Path
) -> None:
    """Line, call and look of each play are those of his book; what he left out is left out."""
    inside, outside = books
    (session,) = inside.find(Session)
    shift_script(inside, session, from_play=2, by=1)
    held, _ = handed(inside, outside, tmp_path)
    assert plays(outside) == plays(inside)
    assert script_look(outside) == script_look(inside)
    assert any("Play 3, script number: he says 2; here 3" in one.words for one in held.changed)


def test_what_both_typed_is_listed_and_stays_unless_chosen(
    books: tuple[Book, Book], tmp_path: Path
) -> None:
    """A conflict like any other: told with who says it, kept, and taken by its key."""
    inside, outside = books
    say(inside, 3, yards_gained=7)
    say(outside, 3, yards_gained=4, call="Dog")
    held, done = handed(inside, outside, tmp_path)
    (conflict,) = held.conflicting
    assert conflict.words == "Play 3, yards gained: he says 7; R. Boone says 4"
    assert clip_of(outside, 3).yards_gained == 4
    assert done.kept == 1
    told = read_hand_off(tmp_path / "over.hand")
    take_hand_off(outside, told, theirs=[conflict.key])
    assert (clip_of(outside, 3).yards_gained, clip_of(outside, 3).call) == (7, "Dog")
    assert handed(inside, outside, tmp_path)[0].conflicting == ()


def test_his_newer_word_takes_the_place_of_his_older_one(
    books: tuple[Book, Book], tmp_path: Path
) -> None:
    """What came with a hand-off is still his: changed, taken back or said anew."""
    inside, outside = books
    say(inside, 3, yards_gained=7)
    handed(inside, outside, tmp_path)
    say(inside, 3, yards_gained=9)
    handed(inside, outside, tmp_path)
    assert clip_of(outside, 3).yards_gained == 9
    inside.undo()
    handed(inside, outside, tmp_path)
    assert clip_of(outside, 3).yards_gained == 7
    # Handed back, it is no word of the other's.
    toggle_flag(outside, clip_of(outside, 3))
    held, _ = handed(outside, inside, tmp_path)
    assert not held.conflicting


def test_an_older_file_of_his_does_not_bring_his_older_word_back(
    books: tuple[Book, Book], tmp_path: Path
) -> None:
    """Of two files of his the later one counts, in whatever order they are taken."""
    inside, outside = books
    say(inside, 3, yards_gained=7)
    write_hand_off(inside, tmp_path / "first.hand")
    first = read_hand_off(tmp_path / "first.hand")
    first = replace(first, made_at="2020-01-01T00:00:00.000+00:00")
    say(inside, 3, yards_gained=9)
    handed(inside, outside, tmp_path)
    take_hand_off(outside, first)
    assert clip_of(outside, 3).yards_gained == 9


def test_what_is_no_word_of_his_is_told_and_not_taken(
    books: tuple[Book, Book], tmp_path: Path
) -> None:
    """A file from before words on plays were handed over: what differs is told."""
    inside, outside = books
    say(inside, 3, tempo="live", yards_gained=7)
    write_hand_off(inside, tmp_path / "old.hand")
    told = json.loads((tmp_path / "old.hand").read_text("utf-8"))
    del told["clip_words"]
    (tmp_path / "old.hand").write_text(json.dumps(told), "utf-8")
    before = plays(outside)
    held = differences(outside, read_hand_off(tmp_path / "old.hand"))
    assert "Tuesday, play 3: his book has another tempo" in " ".join(held.notes)
    take_hand_off(outside, read_hand_off(tmp_path / "old.hand"))
    assert plays(outside) == before


def test_who_typed_of_plays_only_has_something_to_hand_over(
    books: tuple[Book, Book], tmp_path: Path
) -> None:
    """No grade, one no play: it is counted, written and taken."""
    inside, outside = books
    say(outside, 4, kind="no play")
    assert handed_words(outside)[0] == "1 word on what a play was on 1 play"
    handed(outside, inside, tmp_path)
    assert clip_of(inside, 4).kind == "no play"


@pytest.mark.parametrize(
    "words", [[], {"nobody": {}}, {"clip": []}, {"clip": {"id": ["typed", "now"]}},
              {"clip": {"kind": ["typed", "yesterday"]}}, {"clip": {"kind": "typed"}}]
)  # fmt: skip
def test_words_that_are_not_as_they_should_be_are_refused(
    books: tuple[Book, Book], tmp_path: Path, words: object
) -> None:
    """One sentence, whatever stands there."""
    inside, _ = books
    path = write_hand_off(inside, tmp_path / "a.hand").path
    told = json.loads(path.read_text("utf-8"))
    if isinstance(words, dict) and "clip" in words:
        words = {told["rows"]["clips"][0]["id"]: words["clip"]}
    path.write_text(json.dumps({**told, "clip_words": words}), "utf-8")
    with pytest.raises(InputError, match="says not who said what its plays were"):
        read_hand_off(path)
