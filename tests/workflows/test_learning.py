"""Rules learned from a book: what the coach said on film, and what he accepts of it."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from gradecut.book import Book
from gradecut.scheme import Scheme, load_scheme, parse_scheme
from gradecut.workflows.booking import adopt_scheme, scheme_in_force
from gradecut.workflows.expecting import say_owed, unsay_owed
from gradecut.workflows.learning import accept, learn_from_book, said_in
from gradecut.workflows.looks import look_of
from tests.cli.conftest import Run, run
from tests.workflows.small_week import HARBOR, OWED, clip_of, rep_of

__all__ = ["run"]


@pytest.fixture
def bare(book: Book, tmp_path: Path) -> Scheme:
    """Put Harbor without its rules in force, and say what every man owed on four plays."""
    text = HARBOR.read_text(encoding="utf-8")
    path = tmp_path / "bare.toml"
    path.write_text(text[: text.index("[[rules]]")], encoding="utf-8")
    adopt_scheme(book, path)
    for (play, man), fit in OWED.items():
        say_owed(book, rep_of(book, play, man), fit)
    found = scheme_in_force(book)
    assert found is not None
    return found


def test_what_was_said_comes_with_the_look_it_was_said_of(book: Book, bare: Scheme) -> None:
    """One answer a rep, with its clip and its look."""
    assert bare.rules == ()
    said = {(one.clip, one.position): one for one in said_in(book)}
    assert len(said) == len(OWED)
    for (play, man), fit in OWED.items():
        clip = clip_of(book, play)
        assert said[clip.id, man].fit == fit
        assert said[clip.id, man].look == look_of(book, clip.id)


def test_accepting_every_proposal_makes_a_sound_scheme_of_his_answers(
    book: Book, bare: Scheme
) -> None:
    """The twelve answers of the reference table, from rules he never wrote."""
    text = bare.text
    for proposal in learn_from_book(book, bare).proposals:
        text = accept(text, proposal)
    learned = parse_scheme(text, "learned")
    for (play, man), fit in OWED.items():
        assert learned.expect(man, look_of(book, clip_of(book, play).id)).fit == fit


def test_nothing_is_proposed_where_the_rules_say_so_already(book: Book) -> None:
    """With Harbor in force, what he said is what it asks."""
    for (play, man), fit in OWED.items():
        say_owed(book, rep_of(book, play, man), fit)
    scheme = scheme_in_force(book)
    assert scheme is not None
    assert learn_from_book(book, scheme).proposals == ()


def test_a_play_he_has_not_spoken_of_is_asked_about_before_any_other(
    book: Book, bare: Scheme
) -> None:
    """The look asked about is one he can go and see."""
    for man in ("Bow", "Keel", "Port"):
        unsay_owed(book, rep_of(book, 4, man))
    asked = learn_from_book(book, bare).ask
    assert asked is not None
    assert asked.met
    assert asked.look == look_of(book, clip_of(book, 4).id)


@pytest.mark.usefixtures("bare")
def test_the_command_proposes_and_takes_what_is_accepted(
    book: Book, run: Run, tmp_path: Path
) -> None:
    """Numbers in the list are the numbers to accept."""
    path, out = book.path, tmp_path / "learned.toml"
    told = run("scheme", "learn", path, "--json")
    assert told.exit_code == 0
    count = len(json.loads(told.stdout)["proposals"])
    assert count > 0
    done = run("scheme", "learn", path, "--accept", 1, "--out", out)
    assert done.exit_code == 0, done.stderr
    assert len(load_scheme(out).rules) == 1
    assert run("scheme", "learn", path, "--accept", count + 1, "--out", out).exit_code != 0
    assert run("scheme", "learn", path, "--accept", 1).exit_code != 0
