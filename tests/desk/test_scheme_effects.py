from __future__ import annotations

import pytest

from gradecut.book import Book
from gradecut.desk import Desk
from gradecut.desk.scheme_desk import SchemeDesk
from gradecut.records import SchemeVersion
from gradecut.workflows.booking import scheme_in_force
from gradecut.workflows.lines import rep_lines
from tests.desk.small_book import Posted
from tests.desk.test_scheme_learning import without_rules

INSIDE_TO_HIM = "concept inside zone, split zone, mid zone, zone read or RPO · run to him"


def results(book: Book) -> dict[tuple[int, str], tuple[str, bool]]:
    """Return how each rep stands: its result, and whether it is stale."""
    return {
        (line.clip.order, line.rep.position): (line.grade.fit_result, line.stale)
        for line in rep_lines(book)
        if line.grade is not None
    }


@pytest.fixture
def scheme(desk: Desk, posted: Posted) -> SchemeDesk:
    """Ask another fit of Keel on inside zone, and ask for it to be kept."""
    scheme = desk.scheme
    row = next(row for row in scheme.hand.rows if row.words == INSIDE_TO_HIM)
    scheme.hand.take(row.key, "Keel")
    scheme.hand.set_fit("box A")
    scheme.keep()
    posted.until(lambda: scheme.keeping.effects is not None)
    return scheme


def test_what_turns_is_told_by_man_before_anything_is_kept(scheme: SchemeDesk) -> None:
    """Keel's two reps on inside zone, was and now, play by play; nothing is in force."""
    keeping = scheme.keeping
    assert keeping.name == "Harbor 2"
    (man,) = keeping.men()
    assert man.name == "Keel · Amos Rudd"
    assert [row.play for row in man.rows] == ["play 1", "play 3"]
    assert all("fill A" in row.owed and "→ box A" in row.owed for row in man.rows)
    assert keeping.summary()[0].startswith("2 of ")
    assert scheme.book.count(SchemeVersion) == 1
    assert scheme.draft is not None


def test_back_leaves_everything_as_it_was(scheme: SchemeDesk, book: Book) -> None:
    """The draft stays, the grades stay, no version is kept."""
    before = results(book)
    scheme.keeping.leave()
    assert scheme.keeping.effects is None
    assert scheme.book.count(SchemeVersion) == 1
    assert scheme.draft_words() == "1 edit not in force yet"
    assert results(book) == before


def test_kept_without_judging_the_turned_grades_are_stale(
    scheme: SchemeDesk, book: Book, posted: Posted
) -> None:
    """Exactly those that were told show as stale; their results stay."""
    before = results(book)
    turned = {one.rep_id for one in scheme.keeping.effects.turned}  # type: ignore[union-attr]
    scheme.keeping.keep()
    posted.until(lambda: scheme.draft is None)
    stale = {line.rep.id for line in rep_lines(book) if line.stale}
    assert stale == turned
    assert {key: result for key, (result, _) in results(book).items()} == {
        key: result for key, (result, _) in before.items()
    }


def test_kept_and_judged_again_is_one_act(
    scheme: SchemeDesk, book: Book, posted: Posted, said: list[str]
) -> None:
    """What rules can judge is judged, the rest told; one step back undoes all of it."""
    before = results(book)
    told = {one.rep_id: one.result_now for one in scheme.keeping.effects.turned}  # type: ignore[union-attr]
    scheme.keeping.keep_and_judge()
    posted.until(lambda: scheme.draft is None)
    now = {line.rep.id: line for line in rep_lines(book)}
    for rep_id, result in told.items():
        line = now[rep_id]
        assert line.stale == (result is None)
        if result is not None:
            assert line.grade is not None
            assert line.grade.fit_result == result
    assert said[-1].startswith("Harbor 2 is in force; ")
    book.undo()
    assert results(book) == before
    kept = scheme_in_force(book)
    assert kept is not None
    assert kept.version == "1"


def test_where_nothing_turns_it_is_in_force_at_once(
    desk: Desk, posted: Posted, said: list[str]
) -> None:
    """A cue changes no grade: no question is asked."""
    scheme = desk.scheme
    row = next(row for row in scheme.hand.rows if row.words == INSIDE_TO_HIM)
    scheme.hand.take(row.key, "Keel")
    assert scheme.hand.say_more("Hit it downhill", ())
    scheme.keep()
    posted.until(lambda: scheme.draft is None)
    assert scheme.keeping.effects is None
    assert said[-1] == "Harbor 2 is in force; no grade became stale."


def test_a_version_put_back_is_told_first_too(scheme: SchemeDesk, posted: Posted) -> None:
    """The list tells what came when and how many grades name it; back goes the same way."""
    scheme.keeping.keep()
    posted.until(lambda: scheme.draft is None)
    rows = scheme.versions.rows()
    assert [(row.name, row.in_force) for row in rows] == [("Harbor 2", True), ("Harbor 1", False)]
    assert rows[1].grades == "6 grades"
    assert "Coach Alder" in rows[0].came
    scheme.versions.put_back(rows[0])
    assert scheme.keeping.effects is None
    scheme.versions.put_back(rows[1])
    posted.until(lambda: scheme.scheme is not None and scheme.scheme.version == "1")
    assert [row.in_force for row in scheme.versions.rows()] == [False, True]


def test_a_version_can_be_worked_on(scheme: SchemeDesk, posted: Posted) -> None:
    """Taken as the draft, it is in force for nobody."""
    scheme.keeping.keep()
    posted.until(lambda: scheme.draft is None)
    scheme.versions.work_on(scheme.versions.rows()[1])
    assert scheme.title() == "Harbor 1"
    assert scheme.scheme is not None
    assert scheme.scheme.version == "2"


def test_what_is_wrong_with_it_is_told_before_it_is_kept(desk: Desk, posted: Posted) -> None:
    """A fit cleared leaves a hole: it is told first, and nothing is in force by then."""
    scheme = desk.scheme
    row = next(row for row in scheme.hand.rows if row.words == INSIDE_TO_HIM)
    scheme.hand.take(row.key, "Keel")
    assert scheme.hand.clear()
    scheme.keep()
    posted.until(lambda: scheme.keeping.effects is not None)
    assert scheme.keeping.findings == (
        "1 hole stays; where rules are missing or disagree, a man owes nothing you can grade."
    )
    assert scheme.keeping.summary()[-1] == scheme.keeping.findings
    assert scheme.book.count(SchemeVersion) == 1


def test_a_scheme_without_rules_is_kept_without_a_word_on_holes(desk: Desk, posted: Posted) -> None:
    """It learns its rules: every look is a hole, and nobody has to be told."""
    scheme = desk.scheme
    assert scheme.shown is not None
    assert scheme.begin("begun without rules", without_rules(scheme.shown.text))
    scheme.keep()
    posted.until(lambda: scheme.keeping.effects is not None or scheme.draft is None)
    assert scheme.keeping.findings == ""


def test_an_edit_clears_what_was_said_of_the_text_before(desk: Desk, said: list[str]) -> None:
    """The line at the bottom never tells of edits or faults that are past."""
    scheme = desk.scheme
    desk.say("1 edit not in force yet")
    row = next(row for row in scheme.hand.rows if row.words == INSIDE_TO_HIM)
    scheme.hand.take(row.key, "Keel")
    assert scheme.hand.set_fit("box A")
    assert said[-1] == ""
