"""A script beside the wrong plays is noticed, told with reasons, and moved only by the coach."""

from __future__ import annotations

import random
from collections.abc import Iterator, Sequence
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from gradecut.book import Book
from gradecut.errors import BookError
from gradecut.records import Clip, FactValue, LineUp, Player, Rep, Script, Session
from gradecut.samples import week_folder
from gradecut.scheme import Scheme
from gradecut.workflows.adding import script_session
from gradecut.workflows.booking import new_book, scheme_in_force
from gradecut.workflows.judging import judge
from gradecut.workflows.line_ups import put_in
from gradecut.workflows.lines import rep_lines
from gradecut.workflows.looks import look_of, tell_fact, tell_facts
from gradecut.workflows.passing import pass_clip
from gradecut.workflows.script import shift_script
from gradecut.workflows.script_drift import find_drift

LOOKS = [
    ("right", "left", "inside zone", "right"), ("left", "behind", "power", "left"),
    ("right", "behind", "counter", "left"), ("left", "right", "inside zone", "left"),
    ("right", "right", "outside zone", "right"), ("left", "left", "split zone", "right"),
    ("right", "behind", "power", "right"), ("left", "behind", "inside zone", "left"),
    ("right", "left", "counter", "right"), ("left", "right", "outside zone", "left"),
]  # fmt: skip
REFERENCES = ("strength", "back", "concept", "run")
MEN = ("Okorie", "Hanrattan")


def sheet(folder: Path, count: int = len(LOOKS)) -> Path:
    """Write a script of so many plays; Keel changes every two, every line has its own call."""
    path = folder / "tuesday.csv"
    head = "number,period,call," + ",".join(REFERENCES) + ",Keel\n"
    rows = [
        f"{n + 1},Inside run,call {n + 1},{','.join(LOOKS[n])},{MEN[n // 2 % 2]}"
        for n in range(count)
    ]
    path.write_text(head + "\n".join(rows) + "\n", encoding="utf-8")
    return path


def practice(folder: Path, plays: int, lines: int = len(LOOKS)) -> Book:
    """Start a book with so many plays, without film, and match the script to them in order."""
    week = week_folder()
    book = new_book(
        folder / "herons.gradecut", name="Herons", author="J. Alder",
        scheme=week / "harbor.toml", roster=week / "roster.csv",
    )  # fmt: skip
    home = Session(name="Tuesday")
    with book.act("plays") as act:
        act.put(home, *(Clip(session_id=home.id, order=n) for n in range(1, plays + 1)))
    script_session(book, "Tuesday", sheet(folder, lines))
    return book


@pytest.fixture
def extra(tmp_path: Path) -> Iterator[Book]:
    """Give a practice with one play more than the script has lines: play 4 was not planned."""
    with practice(tmp_path, len(LOOKS) + 1) as book:
        yield book


def in_force(book: Book) -> Scheme:
    """Return the scheme in force."""
    found = scheme_in_force(book)
    assert found is not None
    return found


def home(book: Book) -> Session:
    """Return the session."""
    return book.find(Session)[0]


def clip(book: Book, order: int) -> Clip:
    """Return a play."""
    return book.find(Clip, order=order)[0]


def see(book: Book, truth: Sequence[int | None], plays: Sequence[int]) -> None:
    """Mark on some plays what was really run: the line ``truth`` names for each play."""
    with book.act("mark") as act:
        for order in plays:
            number = truth[order - 1]
            for reference, value in zip(REFERENCES, LOOKS[(number or 10) - 1], strict=True):
                act.put(
                    FactValue(
                        clip_id=clip(book, order).id, reference=reference, value=value,
                        author="J. Alder",
                    )
                )  # fmt: skip


TRUTH = [1, 2, 3, None, 4, 5, 6, 7, 8, 9, 10]


def test_facts_seen_on_several_plays_that_fit_the_line_before_are_told(extra: Book) -> None:
    """With the evidence in words, where it begins, and how far to believe it; nothing moves."""
    see(extra, TRUTH, [1, 2, 3, 5, 6, 7])
    before = extra.find(Clip)
    drift = find_drift(extra, home(extra))
    assert drift is not None
    assert drift.by == 1
    assert drift.from_play in (4, 5)
    assert drift.confidence > 0.95
    assert drift.sure == "almost certain"
    assert "not on it" in drift.what
    assert any("Play 6" in said and "number 5 fits" in said for said in drift.evidence)
    assert "There are 11 plays for 10 lines of the script." in drift.evidence
    late = "It may as well begin at play 5: nothing marked before that tells."
    assert (late in drift.evidence) == (drift.from_play == 4)
    assert extra.find(Clip) == before


def test_a_line_that_was_not_run_is_told_the_other_way(tmp_path: Path) -> None:
    """Nine plays for ten lines; from play 4 on each fits the line after its own."""
    with practice(tmp_path, 9) as book:
        see(book, [1, 2, 3, 5, 6, 7, 8, 9, 10], [1, 3, 4, 6, 8])
        drift = find_drift(book, home(book))
        assert drift is not None
        assert (drift.from_play, drift.by) == (4, -1)
        assert "not run before that" in drift.what
        assert shift_script(book, home(book), from_play=4, by=-1) == 6
        assert [one.script_number for one in book.find(Clip)] == [1, 2, 3, 5, 6, 7, 8, 9, 10]
        assert find_drift(book, home(book)) is None


def test_one_odd_fact_is_no_drift(tmp_path: Path) -> None:
    """A back on the other side than planned, once, is a play run otherwise."""
    with practice(tmp_path, 10) as book:
        see(book, list(range(1, 11)), [1, 2, 4, 5])
        fact = book.find(FactValue, clip_id=clip(book, 4).id, reference="run", source="marked")[0]
        with book.act("otherwise") as act:
            act.put(replace(fact, value="right"))
        assert find_drift(book, home(book)) is None


def test_nothing_is_told_without_a_script(tmp_path: Path) -> None:
    """Nor where its plays and lines agree and nothing was marked."""
    with practice(tmp_path, 10) as book:
        assert find_drift(book, home(book)) is None
        with book.act("lose it") as act:
            act.drop_all(book.find(Script))
        assert find_drift(book, home(book)) is None
        with pytest.raises(BookError, match="No script of Tuesday is kept"):
            shift_script(book, home(book), from_play=2, by=1)


def test_a_count_that_does_not_match_is_told_without_a_place(extra: Book) -> None:
    """It may be anywhere, and is not sure."""
    drift = find_drift(extra, home(extra))
    assert drift is not None
    assert (drift.from_play, drift.by, drift.sure) == (None, 1, "not sure")
    assert drift.what == "1 play has no line on the script; no mark tells which."


def test_a_play_that_was_no_play_and_has_a_line_is_told(extra: Book) -> None:
    """It is the likeliest one to be too many."""
    with extra.act("no play") as act:
        act.put(replace(clip(extra, 4), kind="no play"))
    drift = find_drift(extra, home(extra))
    assert drift is not None
    assert (drift.from_play, drift.by) == (4, 1)
    assert drift.what.startswith("Play 4 was no play, and number 4 of the script lies on it")
    assert drift.sure == "rather likely"


def test_one_act_moves_what_the_script_said_and_nothing_a_person_marked(extra: Book) -> None:
    """Facts, men, calls and numbers follow; his marks, men, words and no play stay."""
    players = {man.short_name: man for man in extra.find(Player)}
    put_in(extra, clip(extra, 7), "Keel", players["Stroud-Vale"])
    with extra.act("type") as act:
        act.put(
            replace(clip(extra, 4), kind="no play"),
            replace(clip(extra, 8), call="Storm", tempo="live", yards_gained=7),
            FactValue(clip_id=clip(extra, 6).id, reference="back", value="left", author="J. Alder"),
        )
    assert shift_script(extra, home(extra), from_play=4, by=1) == 8
    assert [one.script_number for one in extra.find(Clip)] == TRUTH
    calls = [one.call for one in extra.find(Clip)]
    assert calls[2:9] == ["call 3", "", "call 4", "call 5", "call 6", "Storm", "call 8"]
    assert (clip(extra, 4).kind, clip(extra, 4).period) == ("no play", "")
    assert (clip(extra, 8).tempo, clip(extra, 8).yards_gained) == ("live", 7)
    assert look_of(extra, clip(extra, 4).id) == {}
    assert look_of(extra, clip(extra, 6).id) == {
        "strength": "right", "back": "left", "concept": "outside zone", "run": "right",
    }  # fmt: skip
    keel = [extra.find(Rep, clip_id=one.id, position="Keel") for one in extra.find(Clip)]
    names = [extra.get(Player, reps[0].player_id).short_name if reps else "" for reps in keel]
    okorie, hanrattan = MEN
    assert names[:8] == [
        okorie, okorie, hanrattan, "", hanrattan, okorie, "Stroud-Vale", hanrattan,
    ]  # fmt: skip
    assert extra.count(LineUp, clip_id=clip(extra, 7).id) == 1
    extra.undo()
    assert [one.script_number for one in extra.find(Clip)] == [*range(1, 11), None]
    assert clip(extra, 8).call == "Storm"


def test_what_was_only_let_through_goes_with_the_script(extra: Book) -> None:
    """Ten plays passed before the drift was seen: their looks are the right line's, and wait.

    What was told by hand stays, and the right script is not doubted again.
    """
    front = {"surface.left": 2, "surface.right": 3, "wing": "none"}
    for order in range(1, 9):
        tell_facts(extra, in_force(extra), clip(extra, order), front, source="marked")
    tell_fact(extra, in_force(extra), clip(extra, 6), "back", "left", source="marked")
    for order in range(1, 9):
        assert pass_clip(extra, clip(extra, order)).graded
    assert shift_script(extra, home(extra), from_play=4, by=1) == 8
    for order, line in ((5, 4), (7, 6), (8, 7)):
        told = dict(zip(REFERENCES, LOOKS[line - 1], strict=True))
        assert look_of(extra, clip(extra, order).id) == {**told, **front}
    assert look_of(extra, clip(extra, 6).id)["back"] == "left"
    names = [
        extra.get(Player, rep.player_id).short_name
        for order in (5, 7)
        for rep in extra.find(Rep, clip_id=clip(extra, order).id, position="Keel")
    ]
    assert names == [MEN[1], MEN[0]]
    waiting = {line.clip.order for line in rep_lines(extra) if line.grade is None or line.stale}
    assert {5, 7, 8} <= waiting
    drift = find_drift(extra, home(extra))
    assert drift is None or not drift.by
    extra.undo()
    assert look_of(extra, clip(extra, 8).id)["back"] == LOOKS[7][1]


def test_a_man_judged_by_hand_stays_when_the_script_moves(extra: Book) -> None:
    """Somebody looked at him there: he was in, whatever the script says."""
    pass_clip(extra, clip(extra, 5))
    rep = extra.find(Rep, clip_id=clip(extra, 5).id, position="Keel")[0]
    judge(extra, rep, did="cannot grade", name="out of picture")
    shift_script(extra, home(extra), from_play=4, by=1)
    assert rep in extra.find(Rep, clip_id=clip(extra, 5).id, position="Keel")


def test_a_second_drift_keeps_the_first_one_mended(tmp_path: Path) -> None:
    """The play that was known not to be on the script stays so."""
    with practice(tmp_path, 12) as book:
        shift_script(book, home(book), from_play=8, by=1)
        shift_script(book, home(book), from_play=3, by=1)
        assert [one.script_number for one in book.find(Clip)] == [
            1, 2, None, 3, 4, 5, 6, None, 7, 8, 9, 10,
        ]  # fmt: skip


def test_there_is_nothing_to_move_behind_the_script(extra: Book) -> None:
    """A play with no line and none after it."""
    with pytest.raises(BookError, match="says nothing of play 11"):
        shift_script(extra, home(extra), from_play=11, by=1)


@settings(max_examples=8)
@given(st.integers(0, 10_000))
def test_a_script_that_lies_right_is_rarely_doubted(
    tmp_path_factory: pytest.TempPathFactory, seed: int
) -> None:
    """One fact in ten played otherwise than planned, by chance, moves nobody to doubt it."""
    chance = random.Random(seed)
    with practice(tmp_path_factory.mktemp("right"), 10) as book:
        see(book, list(range(1, 11)), range(1, 11))
        with book.act("otherwise") as act:
            for fact in book.find(FactValue, source="marked"):
                if chance.random() < 0.1:
                    others = {look[REFERENCES.index(fact.reference)] for look in LOOKS}
                    other = chance.choice(sorted(others - {fact.value}))
                    act.put(replace(fact, value=other))
        assert find_drift(book, home(book)) is None


def test_the_script_knows_better_than_an_estimate(tmp_path: Path) -> None:
    """A man who was only taken to stand at Bow goes where the line has him."""
    with practice(tmp_path, 3) as book:
        session, later = home(book), Clip(session_id=home(book).id, order=4)
        with book.act("more film") as act:
            act.put(later)
            man = next(one for one in book.find(Player) if one.short_name == MEN[1])
            act.put(
                LineUp(clip_id=later.id, position="Bow", player_id=man.id, source="estimated"),
                Rep(clip_id=later.id, position="Bow", player_id=man.id),
            )
        shift_script(book, session, from_play=3, by=1)
        assert clip(book, 4).script_number == 3
        script_session(book, "Tuesday", sheet(tmp_path))
        rows = book.find(LineUp, clip_id=later.id)
        assert [(book.get(Player, r.player_id).short_name, r.source) for r in rows] == [
            (MEN[1], "script")
        ]
        script_session(book, "Tuesday", sheet(tmp_path), from_play=4, from_number=5)
        reps = book.find(Rep, clip_id=later.id)
        assert [book.get(Player, rep.player_id).short_name for rep in reps] == [MEN[0]]
