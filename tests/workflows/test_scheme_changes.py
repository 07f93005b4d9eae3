"""A changed scheme tells what it turns before it is kept; grades are judged again on request."""

from __future__ import annotations

import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from gradecut.book import Book, open_book
from gradecut.errors import Cancelled, SchemeError
from gradecut.progress import CancelToken
from gradecut.records import Grade, SchemeVersion
from gradecut.scheme import parse_scheme
from gradecut.workflows.booking import book_info, scheme_in_force
from gradecut.workflows.expecting import say_owed
from gradecut.workflows.judging import judge
from gradecut.workflows.kept_grades import current_grade
from gradecut.workflows.lines import rep_lines
from gradecut.workflows.looks import tell_fact
from gradecut.workflows.passing import pass_clip
from gradecut.workflows.scheme_changes import (
    Effects,
    back_to,
    change_effects,
    keep_scheme,
    regrade,
    versions,
)
from tests.workflows.small_week import HARBOR, clip_of, rep_of, stored

TEXT = HARBOR.read_text(encoding="utf-8")
FILLS, HANGS = 'fit = "fill A"\ncue = "Downhill', 'fit = "hang A"\ncue = "Downhill'


def changed(old: str, new: str, text: str = TEXT) -> str:
    """Return Harbor with one thing changed."""
    assert text.count(old) == 1
    return text.replace(old, new)


def effects(book: Book, text: str) -> Effects:
    """Ask what a text would do."""
    return change_effects(book, parse_scheme(text, "the draft"))


def pass_all(book: Book) -> None:
    """Let all four plays through."""
    for play in range(1, 5):
        pass_clip(book, clip_of(book, play))


@pytest.mark.parametrize(
    "text",
    [
        TEXT,
        "# my own remark\n" + TEXT,
        changed('cue = "Downhill', 'cue = "Go downhill'),
        changed('version = "1"', 'version = "2"'),
    ],
)
def test_a_cue_or_a_comment_turns_nothing(book: Book, text: str) -> None:
    """Twelve grades, and all stay; nothing is stored by asking."""
    pass_all(book)
    before = stored(book)
    told = effects(book, text)
    assert (told.turned, told.unchanged, told.unread) == ((), 12, ())
    assert told.words == ("No grade turns: all 12 stay as they are.",)
    assert stored(book) == before


def test_a_turned_rule_turns_exactly_its_reps(book: Book) -> None:
    """Keel's zone to him asks hang A: he filled A, which is wrong then; no other man turns."""
    pass_all(book)
    told = effects(book, changed(FILLS, HANGS))
    (one,) = told.turned
    assert (one.play, one.position, one.player) == (1, "Keel", "Tavin Okorie")
    assert (one.was.split(",")[0], one.now.split(",")[0]) == ("fill A", "hang A")
    assert (one.result_was, one.result_now, told.unchanged) == ("right", "wrong", 11)
    assert (told.clips, told.players) == (1, 1)
    assert told.words == ("1 of 12 grades turns, on 1 play, of 1 player: 1 from right to wrong.",)


def test_what_turns_is_what_is_stale_once_it_is_kept(book: Book) -> None:
    """The preview and the marks on the film page say the same."""
    pass_all(book)
    text = changed(FILLS, HANGS)
    turned = {one.rep_id for one in effects(book, text).turned}
    keep_scheme(book, text, "week2.toml")
    assert {line.rep.id for line in rep_lines(book) if line.stale} == turned
    again = effects(book, text)
    assert (again.turned, again.stale_already, again.unchanged) == ((), 1, 11)
    assert effects(book, TEXT).freshened == 1


def test_a_dropped_value_is_told_by_name_with_its_plays(book: Book) -> None:
    """Harbor with the back offset, not behind: three of the four plays say it."""
    pass_all(book)
    told = effects(book, TEXT.replace("behind", "offset"))
    lost = [(one.kind, one.name, one.value, len(one.clips)) for one in told.unread]
    assert ("value", "back", "behind", 3) in lost
    assert all(one.result_now is None for one in told.turned)


def test_comparing_can_be_stopped(book: Book) -> None:
    """And says so."""
    pass_all(book)
    stop = CancelToken()
    stop.cancel()
    scheme = scheme_in_force(book)
    assert scheme is not None
    with pytest.raises(Cancelled):
        change_effects(book, scheme, cancel=stop)


def test_keeping_is_one_act_and_undo_takes_it_back(book: Book) -> None:
    """The version goes and the one before is in force again."""
    before, first = stored(book), book_info(book).scheme_id
    kept = keep_scheme(book, changed(FILLS, HANGS), "week2.toml")
    assert book_info(book).scheme_id == kept.id
    assert stored(book)["Act"] == before["Act"] + 1
    book.undo()
    assert book_info(book).scheme_id == first
    assert book.count(SchemeVersion) == 1


def test_the_same_text_is_the_same_version_and_no_act(book: Book) -> None:
    """Keeping what is in force does nothing."""
    before = stored(book)
    assert keep_scheme(book, TEXT, "harbor.toml").id == book_info(book).scheme_id
    assert stored(book) == before


def test_faults_refuse_and_change_nothing(book: Book) -> None:
    """All of them are told."""
    before = stored(book)
    with pytest.raises(SchemeError) as refused:
        keep_scheme(book, changed(FILLS, 'fit = "fil A"\ncue = "Downhill'), "week2.toml")
    assert len(refused.value.faults) == 1
    assert stored(book) == before


def test_every_version_stays_and_an_older_one_comes_back(book: Book) -> None:
    """With who brought it and how many grades name it."""
    pass_all(book)
    first = book_info(book).scheme_id
    assert first is not None
    keep_scheme(book, changed(FILLS, HANGS), "week2.toml")
    regrade(book)
    told = versions(book)
    assert [(one.number, one.by, one.grades, one.standing, one.in_force) for one in told] == [
        (1, "J. Alder", 12, 11, False),
        (2, "J. Alder", 1, 1, True),
    ]
    back_to(book, first)
    assert [one.in_force for one in versions(book)] == [True, False]


def test_judging_again_supersedes_and_undo_takes_it_back(book: Book) -> None:
    """He filled A; hang A is owed: wrong, with what he did named. Undo, and he was right."""
    pass_all(book)
    rep = rep_of(book, 1, "Keel")
    old = current_grade(book, rep.id)
    assert old is not None
    keep_scheme(book, changed(FILLS, HANGS), "week2.toml")
    done = regrade(book)
    new = current_grade(book, rep.id)
    assert new is not None
    assert (new.did, new.did_name, new.fit_result) == ("fit", "fill A", "wrong")
    assert (new.supersedes, new.how) == (old.id, "passed")
    assert (len(done.grades), done.left) == (1, ())
    assert done.words == ("1 grade was judged again: 1 from right to wrong.",)
    assert not any(line.stale for line in rep_lines(book))
    book.undo()
    assert current_grade(book, rep.id) == old


def test_there_and_back_gives_the_grade_there_was(book: Book) -> None:
    """Judged again by the old rules, what he did is as owed again."""
    pass_all(book)
    rep, first = rep_of(book, 1, "Keel"), book_info(book).scheme_id
    assert first is not None
    keep_scheme(book, changed(FILLS, HANGS), "week2.toml")
    regrade(book)
    back_to(book, first)
    regrade(book)
    new = current_grade(book, rep.id)
    assert new is not None
    assert (new.did, new.did_name, new.fit_result) == ("as owed", "", "right")


def test_another_fit_he_did_is_right_where_it_is_owed_now(book: Book) -> None:
    """The cause of his fault goes with the fault."""
    rep = rep_of(book, 1, "Keel")
    judge(book, rep, did="fit", name="hang A", cause="eyes", note="late")
    keep_scheme(book, changed(FILLS, HANGS), "week2.toml")
    regrade(book)
    new = current_grade(book, rep.id)
    assert new is not None
    assert (new.did, new.fit_result, new.cause, new.note) == ("as owed", "right", "", "late")


def test_a_miss_of_a_fit_not_owed_any_more_is_left_to_the_coach(book: Book) -> None:
    """Nothing is guessed: the grade stays, stale."""
    rep = rep_of(book, 1, "Keel")
    old = judge(book, rep, did="miss", name="caught it at depth")
    keep_scheme(book, changed(FILLS, HANGS), "week2.toml")
    done = regrade(book)
    assert [(one.rep_id, one.position) for one in done.left] == [(rep.id, "Keel")]
    assert "can't be told" in done.left[0].why
    assert current_grade(book, rep.id) == old
    assert [line.rep.id for line in rep_lines(book) if line.stale] == [rep.id]


def test_a_miss_is_worth_what_the_scheme_says_now(book: Book) -> None:
    """Half before, nothing now."""
    rep = rep_of(book, 1, "Keel")
    assert judge(book, rep, did="miss", name="caught it at depth").fit_result == "half"
    half = 'name = "caught it at depth", credit = "half"'
    keep_scheme(book, TEXT.replace(half, 'name = "caught it at depth"'), "week2.toml")
    regrade(book)
    new = current_grade(book, rep.id)
    assert new is not None
    assert (new.did, new.did_name, new.fit_result) == ("miss", "caught it at depth", "wrong")


def test_only_the_reps_that_are_named_are_judged_again(book: Book) -> None:
    """Keel filled A on both plays; judged again is the one he names, and none for no name."""
    scheme = scheme_in_force(book)
    assert scheme is not None
    tell_fact(book, scheme, clip_of(book, 2), "concept", "inside zone", source="marked")
    one, other = rep_of(book, 1, "Keel"), rep_of(book, 2, "Keel")
    olds = [judge(book, one), judge(book, other)]
    assert [old.expected_fit for old in olds] == ["fill A", "fill A"]
    keep_scheme(book, changed(FILLS, HANGS), "week2.toml")
    assert regrade(book, []).grades == ()
    done = regrade(book, [one.id])
    assert [(old.id, new.rep_id) for old, new in done.grades] == [(olds[0].id, one.id)]
    assert current_grade(book, other.id) == olds[1]
    assert {line.rep.id for line in rep_lines(book) if line.stale} == {other.id}
    assert [new.rep_id for _, new in regrade(book).grades] == [other.id]


def test_others_grades_and_the_coachs_word_are_left(book: Book) -> None:
    """Only the author's own, and only what rests on rules."""
    keel, port = rep_of(book, 1, "Keel"), rep_of(book, 1, "Port")
    theirs = judge(book, keel, author="B. Marsh")
    mine = judge(book, port)
    say_owed(book, port, "hang A")
    keep_scheme(book, changed(FILLS, HANGS), "week2.toml")
    done = regrade(book)
    assert done.grades == ()
    assert [one.rep_id for one in done.left] == [port.id]
    assert current_grade(book, keel.id, "B. Marsh") == theirs
    assert current_grade(book, port.id) == mine


WRITER = """
import sys
from gradecut.book import open_book
from gradecut.workflows.scheme_changes import keep_scheme, regrade

book = open_book(sys.argv[1], author="J. Alder")
texts = [open(path, encoding="utf-8").read() for path in sys.argv[2:]]
print("ready", flush=True)
while True:
    for text in texts:
        keep_scheme(book, text, "week.toml")
        regrade(book)
"""


def test_a_killed_process_leaves_old_or_new(book: Book, book_path: Path, tmp_path: Path) -> None:
    """Each grade that stands is whole, names a version of the book, and one is in force."""
    pass_all(book)
    book.close()
    paths = [tmp_path / "one.toml", tmp_path / "two.toml"]
    paths[0].write_text(changed(FILLS, HANGS), encoding="utf-8")
    paths[1].write_text(TEXT, encoding="utf-8")
    child = subprocess.Popen(
        [sys.executable, "-c", WRITER, str(book_path), *map(str, paths)],
        stdout=subprocess.PIPE,
        text=True,
    )
    assert child.stdout is not None
    assert child.stdout.readline() == "ready\n"
    time.sleep(0.3)
    child.send_signal(getattr(signal, "SIGKILL", signal.SIGTERM))
    child.wait()
    child.stdout.close()
    with open_book(book_path, author="J. Alder") as after:
        known = {one.scheme_id: one for one in versions(after)}
        assert sum(one.in_force for one in known.values()) == 1
        grades = after.find(Grade)
        assert {grade.scheme_id for grade in grades} <= known.keys()
        chain = [grade for grade in grades if grade.rep_id == rep_of(after, 1, "Keel").id]
        assert [one.supersedes for one in chain[1:]] == [one.id for one in chain[:-1]]
        assert len(grades) == 12 + len(chain) - 1
