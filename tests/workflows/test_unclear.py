"""What was unclear is told once, with its plays."""

from __future__ import annotations

from typing import Any

import pytest

from gradecut.book import Book
from gradecut.records import FactValue
from gradecut.workflows import unclear
from gradecut.workflows.booking import scheme_in_force
from gradecut.workflows.expecting import say_owed
from gradecut.workflows.film_audit import FilmAudit
from gradecut.workflows.judging import judge
from gradecut.workflows.lines import rep_lines
from gradecut.workflows.looks import tell_fact
from gradecut.workflows.unclear import unclear_on
from tests.workflows.small_week import COACH, clip_of, rep_of


def told(book: Book) -> list[tuple[str, str, tuple[int, ...]]]:
    """Give everything unclear in the book."""
    return [(one.kind, one.says, one.plays) for one in unclear_on(book, [rep_lines(book)])[0]]


def test_a_clear_practice_has_nothing_unclear(book: Book) -> None:
    """Harbor answers all four looks."""
    assert told(book) == []


def test_an_open_fact_is_asked_once_for_all_men(book: Book) -> None:
    """Whose answer hangs on it stand in one line, with the question."""
    with book.act("forget the run") as act:
        act.drop_all(book.find(FactValue, clip_id=clip_of(book, 1).id, reference="concept"))
    (only,) = told(book)
    assert (only[0], only[2]) == ("a fact is open", (1,))
    assert only[1].startswith("Bow, Keel, Port: a fact that matters is not set. First answer: ")


def test_two_coaches_who_saw_it_differently_are_named(book: Book) -> None:
    """A fact both marked, and a rep both graded; what they agree on is not told."""
    scheme, clip = scheme_in_force(book), clip_of(book, 1)
    assert scheme is not None
    judge(book, rep_of(book, 1, "Keel"), did="as owed")
    tell_fact(book, scheme, clip, "back", "left", source="marked")
    book.author = "M. Fenner"
    tell_fact(book, scheme, clip, "back", "right", source="marked")
    judge(book, rep_of(book, 1, "Keel"), did="miss", name="ran past it")
    book.author = COACH
    kinds = {kind: says for kind, says, _ in told(book)}
    assert kinds["a look in dispute"] == "Back: J. Alder says left, M. Fenner says right."
    assert kinds["graded two ways"] == "Keel: J. Alder says right, M. Fenner says wrong."


def test_the_coachs_word_against_the_rules_is_told_with_its_reason(book: Book) -> None:
    """And that the grade he gave before is of another time; the same word as the rules' is not."""
    judge(book, rep_of(book, 4, "Keel"), did="as owed")
    say_owed(book, rep_of(book, 4, "Keel"), "fill A", reason="we called the plug")
    say_owed(book, rep_of(book, 1, "Keel"), "fill A")
    found = told(book)
    assert found[0] == (
        "a coach's word", "Keel owed fill A, the rules say overlap D, right: we called the plug.",
        (4,),
    )  # fmt: skip
    assert [(kind, plays) for kind, _, plays in found[1:]] == [("changed since", (4,))]


def test_part_by_part_is_told_what_is_of_its_plays(
    book: Book, monkeypatch: pytest.MonkeyPatch
) -> None:
    """As if each were asked for alone; however many parts, the film is audited once."""
    with book.act("forget the run") as act:
        for play in (1, 4):
            clip = clip_of(book, play)
            act.drop_all(book.find(FactValue, clip_id=clip.id, reference="concept"))
    say_owed(book, rep_of(book, 4, "Keel"), "fill A", reason="we called the plug")
    lines = rep_lines(book)
    parts = [
        [line for line in lines if (line.clip.order == 4) is of_team] for of_team in (False, True)
    ]
    audits: list[object] = []
    audit = unclear.audit_film

    def counted(*told: Any, **more: Any) -> FilmAudit:
        audits.append(told)
        return audit(*told, **more)

    monkeypatch.setattr(unclear, "audit_film", counted)
    together = unclear_on(book, parts)
    assert len(audits) == 1
    assert together == tuple(unclear_on(book, [part])[0] for part in parts)
    assert [{play for one in part for play in one.plays} for part in together] == [{1}, {4}]
    assert unclear_on(book, [[], parts[0]]) == ((), together[0])
