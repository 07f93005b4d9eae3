"""A coach's sheet of observations becomes moments, grades and drawings, all of it or nothing."""

from __future__ import annotations

from pathlib import Path

import pytest

from gradecut.book import Book
from gradecut.errors import InputError
from gradecut.records import Event, FactValue, Flag, Grade, Mark, Moment, Owed, Rep
from gradecut.workflows.booking import new_book, scheme_in_force
from gradecut.workflows.kept_grades import current_grade
from gradecut.workflows.looks import look_of
from gradecut.workflows.moments import timeline_of
from gradecut.workflows.recording import observation_columns, record_looks, record_observations
from tests.workflows.small_week import (
    angle_of,
    clip_of,
    player_of,
    pts_of,
    rep_of,
    stored,
    write_lines,
    write_rows,
)

GOOD: list[dict[str, object]] = [
    {"play": 1, "angle": "end", "snap_frame": 40},
    {
        "play": 1, "angle": "end", "position": "Keel", "player": "Okorie", "snap_frame": 40,
        "first_step_frame": 47, "go_frame": 52, "did": "right", "eyes": 2, "hands": 0, "effort": 2,
        "events": "tackle; call made", "how": "examined", "note": "Square.", "flag": "yes",
        "feet_px": "100 120", "owed_px": "140,150", "went_px": "160 150",
    },
    {"play": 1, "position": "bow", "did": "Got reached", "cause": "eyes", "how": "passed"},
    {"play": 1, "player": "31", "cannot_grade": "out of picture"},
    {"play": 2, "position": "Keel", "owed": "box A", "did": "soft at the block"},
    {"play": 2, "position": "Bow", "did": "fill B", "cause": "did not know"},
    {"play": 2, "position": "Port", "did": "cutback B"},
    {"play": 3, "angle": "side", "snap_frame": 60, "whistle_frame": 200, "flag": "x"},
]  # fmt: skip


def faults_of(book: Book, sheet: Path) -> list[tuple[int, str]]:
    """Record a sheet that must fail; return its faults, the book being as before."""
    before = stored(book)
    with pytest.raises(InputError) as caught:
        record_observations(book, sheet)
    assert stored(book) == before
    return list(caught.value.faults)


@pytest.fixture
def recorded(book: Book, tmp_path: Path) -> Book:
    """Give the book with the good sheet in it."""
    done = record_observations(book, write_rows(tmp_path / "tuesday.csv", GOOD))
    assert (done.lines, done.judged, done.moments) == (8, 6, 5)
    return book


def test_a_full_line_is_all_in_the_book(recorded: Book) -> None:
    """Grade, technique, effort, events, note, flag."""
    rep = rep_of(recorded, 1, "Keel")
    grade = current_grade(recorded, rep.id)
    assert grade is not None
    assert (grade.fit_result, grade.technique, grade.effort, grade.note, grade.how) == (
        "right", {"eyes": 2, "hands": 0}, 2, "Square.", "examined",
    )  # fmt: skip
    events = recorded.find(Event, rep_id=rep.id)
    assert [event.name for event in events] == ["tackle", "call made"]
    assert recorded.count(Flag, rep_id=rep.id) == 1


def test_frames_are_kept_as_the_films_own_times(recorded: Book) -> None:
    """Counted from 0 in the film of the line's angle, and counted back the same."""
    line = timeline_of(recorded, clip_of(recorded, 1).id)
    assert line.snap(angle_of(recorded, 1)) == pts_of(recorded, angle_of(recorded, 1), 40)
    found = line.reaction(rep_of(recorded, 1, "Keel"))
    assert found is not None
    assert found.frames == 7
    side = angle_of(recorded, 3, "side")
    assert timeline_of(recorded, side.clip_id).snap(side) == pts_of(recorded, side, 60)


@pytest.mark.parametrize(
    ("play", "man", "result", "name"),
    [
        (1, "Bow", "wrong", "got reached"),
        (1, "Port", "cannot grade", "out of picture"),
        (2, "Keel", "half", "soft at the block"),
        (2, "Bow", "wrong", "fill B"),
        (2, "Port", "right", ""),
    ],
)
def test_what_he_did_is_read_as_a_coach_writes_it(
    recorded: Book, play: int, man: str, result: str, name: str
) -> None:
    """A miss, another fit, the owed fit by its name, a reason; capitals do not matter."""
    grade = current_grade(recorded, rep_of(recorded, play, man).id)
    assert grade is not None
    assert (grade.fit_result, grade.did_name) == (result, name)


def test_the_coachs_word_comes_before_the_grade(recorded: Book) -> None:
    """What he owed by the sheet is what he is judged by."""
    assert [owed.fit for owed in recorded.find(Owed)] == ["box A"]


def test_places_become_bracket_ring_and_arrow_at_the_snap(recorded: Book) -> None:
    """Where his feet were, where his fit was, where he went."""
    snap = pts_of(recorded, angle_of(recorded, 1), 40)
    drawn = {mark.kind: (mark.points, mark.meaning) for mark in recorded.find(Mark)}
    assert drawn == {
        "bracket": (((100, 120),), "plain"),
        "ring": (((140, 150),), "owed"),
        "arrow": (((100, 120), (160, 150)), "did"),
    }
    assert {mark.from_pts for mark in recorded.find(Mark)} == {snap}


def test_the_same_sheet_again_doubles_nothing(recorded: Book, tmp_path: Path) -> None:
    """A coach adds tomorrow's lines to the same sheet and records it whole."""
    kinds = (Event, Flag, Grade, Mark, Moment, Owed)
    before = [recorded.count(kind) for kind in kinds]
    record_observations(recorded, write_rows(tmp_path / "again.csv", GOOD))
    assert [recorded.count(kind) for kind in kinds] == before


def test_recording_is_one_act(recorded: Book) -> None:
    """One undo takes the sheet back."""
    recorded.undo()
    assert [recorded.count(kind) for kind in (Event, Flag, Grade, Mark, Moment)] == [0] * 5


def test_every_fault_is_told_with_its_line_and_nothing_is_stored(
    book: Book, tmp_path: Path
) -> None:
    """One good line among all the ways to be wrong."""
    rows: list[dict[str, object]] = [
        {"play": 1, "position": "Keel", "did": "right"},
        {"play": 7, "position": "Keel", "did": "right"},
        {"play": "one", "did": ""},
        {"play": 1, "session": "Friday"},
        {"play": 1, "position": "Keal", "did": "right"},
        {"play": 1, "player": "Okorei", "did": "right"},
        {"play": 1, "player": "Hanrattan", "did": "right"},
        {"play": 1, "position": "Keel", "did": "fill Z"},
        {"play": 1, "position": "Keel", "owed": "fill Z", "did": "right"},
        {"play": 1, "position": "Keel", "did": "right", "cannot_grade": "cut off"},
        {"play": 1, "position": "Keel", "effort": 2},
        {"play": 1, "position": "Keel", "note": "good"},
        {"play": 1, "position": "Keel", "did": "right", "effort": "much"},
        {"play": 1, "position": "Keel", "did": "right", "effort": 9},
        {"play": 1, "position": "Keel", "did": "ran past it", "cause": "luck"},
        {"play": 1, "position": "Keel", "did": "right", "how": "asleep"},
        {"play": 1, "position": "Keel", "events": "goal"},
        {"play": 1, "did": "right"},
        {"play": 1, "angle": "drone", "snap_frame": 3},
        {"play": 2, "angle": "side", "snap_frame": 3},
        {"play": 1, "snap_frame": 150},
        {"play": 1, "snap_frame": -1},
        {"play": 1, "first_step_frame": 20},
        {"play": 1, "position": "Keel", "feet_px": "1 2"},
        {"play": 1, "flag": "perhaps"},
        {"play": 3, "angle": "end", "snap_frame": 40},
        {"play": 3, "angle": "end", "position": "Keel", "snap_frame": 41},
        {"play": 3, "angle": "end", "position": "Keel", "feet_px": "inf 2"},
    ]
    faults = faults_of(book, write_rows(tmp_path / "t.csv", rows))
    assert [line for line, _ in faults] == [*range(3, 27), 28, 29]
    said = dict(faults)
    for line, part in {
        3: "no play “7” in Tuesday; it has plays 1 to 4",
        5: "“Friday” is no session of this book",
        6: "“Keal” is no position of the scheme; did you mean “Keel”?",
        7: "did you mean “Tavin Okorie”?",
        8: "Quill Hanrattan was not in on play 1",
        9: "neither a fit of the scheme nor a miss of “fill A”",
        11: "says both “right” and that he can't be graded",
        12: "fill in did",
        19: "did needs a man",
        20: "no drone film",
        21: "play 2 has no side film",
        22: "no frame of that film; it has 0 to 149",
        24: "first_step_frame needs a man",
        25: "no snap is marked on the end film",
        28: "snap_frame is 41 here and 40 in line 27",
        29: "write two numbers, x y",
    }.items():
        assert part in said[line]


def test_two_men_of_one_position_are_asked_back(book: Book, tmp_path: Path) -> None:
    """A position that stands for two reps wants the name too."""
    extra = player_of(book, "Anders Pell")
    with book.act("a second man") as act:
        act.put(Rep(clip_id=clip_of(book, 1).id, player_id=extra.id, position="Keel"))
    sheet = write_rows(tmp_path / "t.csv", [{"play": 1, "position": "Keel", "did": "right"}])
    assert faults_of(book, sheet) == [(2, "Keel stands for 2 reps of play 1; name both.")]


def test_an_unknown_column_is_told_with_the_nearest(book: Book, tmp_path: Path) -> None:
    """A rubric's items are columns too."""
    ((line, said),) = faults_of(book, write_lines(tmp_path / "t.csv", "play,footwrk", "1,2"))
    assert (line, said) == (1, "“footwrk” is no column here; did you mean “footwork”?")
    assert {"eyes", "footwork"} <= set(observation_columns(scheme_in_force(book)))


def test_looks_come_from_a_sheet(book: Book, tmp_path: Path) -> None:
    """Marked, over what the script says; empty cells say nothing."""
    rows: list[dict[str, object]] = [{"play": 1, "wing": "left"}, {"play": 2, "back": "Right"}]
    assert record_looks(book, write_rows(tmp_path / "l.csv", rows)).looks == 2
    assert look_of(book, clip_of(book, 2).id)["back"] == "right"
    assert look_of(book, clip_of(book, 1).id)["back"] == "left"


def test_a_faulty_sheet_of_looks_stores_nothing(book: Book, tmp_path: Path) -> None:
    """Every line with its fault."""
    before = stored(book)
    rows: list[dict[str, object]] = [
        {"play": 1, "wing": "left"},
        {"play": 1, "wing": "up"},
        {"play": 9, "wing": "left"},
        {"play": 2, "concept": "lead", "back": "none"},
    ]
    with pytest.raises(InputError) as caught:
        record_looks(book, write_rows(tmp_path / "l.csv", rows))
    assert [line for line, _ in caught.value.faults] == [3, 4, 5]
    assert stored(book) == before
    assert book.count(FactValue, source="marked") == 0


def test_without_a_scheme_no_fact_is_known(tmp_path: Path) -> None:
    """And the sentence says so."""
    sheet = write_lines(tmp_path / "l.csv", "play,back", "1,left")
    with (
        new_book(tmp_path / "b.gradecut", name="Herons", author="J. Alder") as book,
        pytest.raises(InputError, match="no scheme yet"),
    ):
        record_looks(book, sheet)
