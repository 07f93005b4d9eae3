"""What a scheme answers badly of the looks really met, the most frequent first."""

from __future__ import annotations

import pytest

from gradecut.book import Book
from gradecut.errors import Cancelled
from gradecut.progress import CancelToken
from gradecut.records import FactValue
from gradecut.scheme import Scheme, parse_scheme
from gradecut.scheme.editing import rename_fact, rename_value
from gradecut.workflows.booking import scheme_in_force
from gradecut.workflows.film_audit import audit_film, badly_answered
from tests.workflows.small_week import HARBOR, clip_of

HEAD = """
[facts.run]
asks = "Which way did the run go?"
values = ["left", "right"]
sided = true
known = "after"
[positions.Keel]
side = "left"
[fits."fill A"]
job = "fill"
gap = "A"
[fits."hang A"]
job = "hang"
gap = "A"
"""
TO = '[[rules]]\nid = "to"\nfor = ["Keel"]\nwhen = { run = "to" }\nfit = "fill A"\n'
AWAY = '[[rules]]\nid = "away"\nfor = ["Keel"]\nwhen = { run = "away" }\nfit = "hang A"\n'
ALWAYS = '[[rules]]\nid = "always"\nfor = ["Keel"]\nfit = "hang A"\n'


def only_runs_and_keel(book: Book) -> None:
    """Leave of the week only where the run went, and Keel: left, right, left, left."""
    with book.act("cut short") as act:
        act.drop_all(fact for fact in book.find(FactValue) if fact.reference != "run")
        for play, way in enumerate(("left", "right", "left", "left"), 1):
            old = book.find(FactValue, clip_id=clip_of(book, play).id, reference="run")
            act.drop_all(old)
            act.put(FactValue(clip_id=clip_of(book, play).id, reference="run", value=way))


def scheme_of(text: str) -> Scheme:
    """Read a scheme."""
    return parse_scheme(HEAD + text, "a short scheme")


def test_harbor_answers_the_week_well(book: Book) -> None:
    """Twelve of twelve, with the interval of so few: 12 of 12 is 75.75 % at the least.

    The bound is n / (n + z^2) with z = 1.96, Wilson's own formula for no failure.
    """
    scheme = scheme_in_force(book)
    assert scheme is not None
    told = audit_film(book, scheme)
    assert (told.met, told.well, told.reps, told.open) == ((), 12, 12, 0)
    assert told.low == pytest.approx(12 / (12 + 1.959964**2), abs=1e-6)
    assert told.words == "12 of 12 reps are well answered (100%, 76% to 100%)."


def test_holes_come_with_their_plays_the_most_frequent_first(book: Book) -> None:
    """No rule for the run away from him: one play; none to him: three."""
    only_runs_and_keel(book)
    hole = next(one for one in badly_answered(book, scheme_of(AWAY)) if one.kind == "hole")
    assert (hole.position, dict(hole.look), hole.rules) == ("Keel", {"run": "left"}, ())
    assert set(hole.clips) == {clip_of(book, play).id for play in (1, 3, 4)}
    assert hole.message == "Keel, on the left, has no rule when the run comes to him."
    counts = [len(one.clips) for one in badly_answered(book, scheme_of(AWAY))]
    assert counts == sorted(counts, reverse=True)


def test_an_overlap_names_the_rules_that_disagree(book: Book) -> None:
    """By id, in file order."""
    only_runs_and_keel(book)
    (one,) = (m for m in badly_answered(book, scheme_of(TO + ALWAYS)) if m.position == "Keel")
    assert (one.kind, one.rules, len(one.clips)) == ("overlap", ("to", "always"), 3)


def test_an_open_look_waits_for_a_fact_and_counts_against_nobody(book: Book) -> None:
    """The run of play 1 is taken back, its back is told: Keel stays open there."""
    scheme = scheme_in_force(book)
    assert scheme is not None
    with book.act("forget") as act:
        act.drop_all(
            book.find(FactValue, clip_id=clip_of(book, 1).id, reference=["run", "concept"])
        )
    told = audit_film(book, scheme)
    assert told.open > 0
    assert (told.well, told.reps) == (12 - told.open, 12 - told.open)
    assert {one.kind for one in told.met} == {"open"}


def test_what_the_scheme_does_not_know_of_a_look_is_passed_over(book: Book) -> None:
    """The scheme knows only the run; the week tells the back too, and Keel has his answers."""
    met = badly_answered(book, scheme_of(TO + AWAY))
    assert [one for one in met if one.position == "Keel"] == []


def test_a_man_of_another_scheme_is_unread(book: Book) -> None:
    """Bow and Port were in on all four plays, and are no men of this scheme."""
    met = badly_answered(book, scheme_of(TO + AWAY))
    assert [(one.position, one.kind, len(one.clips)) for one in met] == [
        ("Bow", "unread", 4),
        ("Port", "unread", 4),
    ]


def test_an_open_look_names_what_was_passed_over(book: Book) -> None:
    """The run is told as "run", and asked as "way" now: that is why he waits."""
    text = rename_fact(HARBOR.read_text(encoding="utf-8"), name="run", new="way")
    told = audit_film(book, parse_scheme(text, "renamed"))
    assert (told.open, told.reps) == (12, 0)
    assert all(
        "Passed over, as this scheme does not know it: “run”." in m.message for m in told.met
    )


def test_a_dropped_value_is_named_with_its_fact(book: Book) -> None:
    """Power was told once, and the scheme calls it something else now."""
    text = rename_value(
        HARBOR.read_text(encoding="utf-8"), fact="concept", value="power", new="gap pull"
    )
    told = audit_film(book, parse_scheme(text, "renamed"))
    (words,) = {one.message.partition("Passed over")[2] for one in told.met}
    assert words.endswith("“concept power”.")
    assert {clip for one in told.met for clip in one.clips} == {clip_of(book, 4).id}


def test_the_film_audit_can_be_stopped(book: Book) -> None:
    """And says so."""
    stop = CancelToken()
    stop.cancel()
    with pytest.raises(Cancelled):
        audit_film(book, scheme_of(TO + AWAY), cancel=stop)
