"""Lines hold all that a table asks of a rep, and say when a grade is stale."""

from __future__ import annotations

from pathlib import Path

import pytest

from gradecut.book import Book
from gradecut.records import RepLine
from gradecut.workflows.adding import find_session
from gradecut.workflows.booking import adopt_scheme, scheme_in_force
from gradecut.workflows.counting import add_event, toggle_flag
from gradecut.workflows.expecting import say_owed, unsay_owed
from gradecut.workflows.judging import judge
from gradecut.workflows.lines import rep_lines
from gradecut.workflows.looks import tell_fact
from gradecut.workflows.passing import pass_clip
from tests.workflows.small_week import (
    HARBOR,
    OWED,
    SESSION,
    also_on_the_other_side,
    clip_of,
    rep_of,
)


def line_of(book: Book, play: int, position: str) -> RepLine:
    """Return one rep's line."""
    return next(
        line for line in rep_lines(book)
        if (line.clip.order, line.rep.position) == (play, position)
    )  # fmt: skip


def tell(book: Book, play: int, reference: str, value: str) -> None:
    """Tell a fact, marked."""
    scheme = scheme_in_force(book)
    assert scheme is not None
    tell_fact(book, scheme, clip_of(book, play), reference, value, source="marked")


def adopt(book: Book, folder: Path, right: str, wrong: str) -> None:
    """Put a changed Harbor in force."""
    text = HARBOR.read_text(encoding="utf-8")
    assert right in text
    path = folder / "week2.toml"
    path.write_text(text.replace(right, wrong), encoding="utf-8")
    adopt_scheme(book, path)


def test_reps_come_in_film_order_with_what_they_owe(book: Book) -> None:
    """Every man of every play, and the run against his own side."""
    lines = rep_lines(book)
    assert [line.clip.order for line in lines] == sorted(line.clip.order for line in lines)
    assert {(line.clip.order, line.rep.position): line.expected_fit for line in lines} == OWED
    assert (line_of(book, 1, "Keel").run_side, line_of(book, 1, "Port").run_side) == ("to", "away")


def test_sessions_and_clips_choose(book: Book) -> None:
    """Only theirs; of nothing, nothing."""
    assert len(rep_lines(book, clip_ids=[clip_of(book, 2).id])) == 3
    assert len(rep_lines(book, session_ids=[find_session(book, SESSION).id])) == 12
    assert rep_lines(book, session_ids=[]) == []


def test_flags_and_events_are_on_the_line(book: Book) -> None:
    """A flag on the play is a flag on its reps."""
    add_event(book, rep_of(book, 1, "Keel"), "loaf")
    toggle_flag(book, clip_of(book, 2))
    toggle_flag(book, clip_of(book, 1), rep_of(book, 1, "Bow"))
    assert line_of(book, 1, "Keel").events == ("loaf",)
    flagged = [(ln.clip.order, ln.rep.position) for ln in rep_lines(book) if ln.flagged]
    assert sorted(flagged) == [(1, "Bow"), (2, "Bow"), (2, "Keel"), (2, "Port")]


def test_a_grade_is_stale_when_the_look_now_asks_another_fit(book: Book) -> None:
    """The run went the other way after all: what was right is to be looked at again."""
    pass_clip(book, clip_of(book, 1))
    assert not any(line.stale for line in rep_lines(book))
    tell(book, 1, "run", "left")
    assert line_of(book, 1, "Keel").stale
    assert not line_of(book, 2, "Keel").stale
    tell(book, 1, "run", "right")
    assert not line_of(book, 1, "Keel").stale


def test_a_fact_that_changes_nothing_for_him_leaves_his_grade_fresh(book: Book) -> None:
    """The back stood elsewhere: the digest is another, the fit the same."""
    pass_clip(book, clip_of(book, 1))
    tell(book, 1, "back", "behind")
    assert not line_of(book, 1, "Keel").stale


@pytest.mark.parametrize(
    ("right", "wrong", "stale"),
    [
        ('version = "1"', 'version = "2"', False),
        ('name = "caught it at depth", credit = "half"', 'name = "caught it at depth"', True),
        (
            "fit = { right = 2, half = 1, wrong = 0 }",
            "fit = { right = 3, half = 1, wrong = 0 }",
            False,
        ),
    ],
)
def test_a_new_scheme_version_makes_stale_what_it_judges_otherwise(
    book: Book, tmp_path: Path, right: str, wrong: str, stale: bool
) -> None:
    """A half that is worth nothing now is stale; a new number on the cover is not."""
    judge(book, rep_of(book, 1, "Keel"), did="miss", name="caught it at depth")
    adopt(book, tmp_path, right, wrong)
    assert line_of(book, 1, "Keel").stale is stale


def test_a_rule_that_asks_another_fit_makes_stale(book: Book, tmp_path: Path) -> None:
    """Keel's rule for zone to him asks hang A from now on."""
    pass_clip(book, clip_of(book, 1))
    adopt(book, tmp_path, 'fit = "fill A"\ncue = "Downhill', 'fit = "hang A"\ncue = "Downhill')
    assert line_of(book, 1, "Keel").stale
    assert not line_of(book, 1, "Bow").stale


def test_the_coachs_word_makes_stale_and_taking_it_back_makes_fresh(book: Book) -> None:
    """Only where it asks something else."""
    rep = rep_of(book, 1, "Keel")
    judge(book, rep)
    say_owed(book, rep, "fill A", side="right")
    assert not line_of(book, 1, "Keel").stale
    say_owed(book, rep, "box A")
    assert line_of(book, 1, "Keel").stale
    assert line_of(book, 1, "Keel").expected_fit == "box A"
    unsay_owed(book, rep)
    assert not line_of(book, 1, "Keel").stale


def test_what_cant_be_graded_is_never_stale(book: Book) -> None:
    """Nothing was judged."""
    judge(book, rep_of(book, 1, "Keel"), did="cannot grade", name="cut off")
    tell(book, 1, "run", "left")
    assert not line_of(book, 1, "Keel").stale


def test_a_graders_lines_are_his_own(book: Book) -> None:
    """Asked by name, his grades alone; else the newest of the staff's, and no player's own."""
    rep = rep_of(book, 1, "Keel")
    judge(book, rep)
    judge(book, rep, did="miss", name="ran past it", author="B. Marsh")
    judge(book, rep, did="cannot grade", name="he says so", author="Tavin Okorie")

    def result(author: str | None) -> str | None:
        line = next(one for one in rep_lines(book, author=author) if one.rep.id == rep.id)
        return line.grade.fit_result if line.grade else None

    assert [result(who) for who in ("J. Alder", "B. Marsh", "Tavin Okorie", "C. Nobody")] == [
        "right", "wrong", "cannot grade", None,
    ]  # fmt: skip
    assert result(None) == "wrong"


def test_a_fit_that_is_right_too_stays_fresh_on_its_own_side(book: Book, tmp_path: Path) -> None:
    """A new version that asks the same leaves it; one that moves its side makes it stale."""
    also_on_the_other_side(book, tmp_path)
    assert judge(book, rep_of(book, 1, "Keel"), did="fit", name="box A").fit_result == "right"
    tell(book, 1, "back", "behind")
    assert not line_of(book, 1, "Keel").stale
    also_on_the_other_side(book, tmp_path, box="away")
    assert line_of(book, 1, "Keel").stale
