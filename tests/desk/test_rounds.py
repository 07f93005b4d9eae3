from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import pytest

from gradecut.book import Book
from gradecut.desk import Desk
from gradecut.desk.film_desk import FilmDesk
from gradecut.records import Clip, FactValue, Grade, Rep, Session
from gradecut.workflows.kept_grades import current_grade
from tests.desk.film_book import press
from tests.desk.small_book import Posted


@pytest.fixture
def desk(film_book: Book, posted: Posted, said: list[str]) -> Iterator[Desk]:
    """Sit down at the book of numbered films."""
    opened = Desk(film_book, post=posted)
    opened.said.connect(said.append)
    yield opened
    opened.close()


@pytest.fixture
def flagged(desk: Desk) -> FilmDesk:
    """Judge three plays at speed, and flag Keel of 1 and Port of 2, both wrong, and Bow of 3."""
    film = desk.film
    press(film, "2", "1", "2", "F", "Return")
    press(film, "3", "1", "4", "F", "Return", "Return")
    film.open_clip(film.plays.line.boxes[2].clip_id)
    film.hand.choose("Bow")
    film.judging.flag()
    film.open_clip(film.plays.line.boxes[0].clip_id)
    return film


def place(film: FilmDesk) -> tuple[int, str]:
    """Return the play that is shown and the man in hand."""
    assert film.clip is not None
    return film.clip.order, film.hand.position


def grade(film: FilmDesk, order: int, position: str) -> Grade:
    """Return how a man stands on a play."""
    (clip,) = film.book.find(Clip, order=order)
    (rep,) = film.book.find(Rep, clip_id=clip.id, position=position)
    found = current_grade(film.book, rep.id)
    assert found is not None
    return found


def test_flagged_reps_are_gone_through_play_after_play(flagged: FilmDesk) -> None:
    """Ctrl+F: the flagged reps in film order, each with its man in hand, and how far it is."""
    press(flagged, "Ctrl+F")
    assert flagged.rounds.progress == "1 of 3 flagged"
    assert place(flagged) == (1, "Keel")
    press(flagged, "PgDown")
    assert place(flagged) == (2, "Port")
    press(flagged, "PgDown")
    assert place(flagged) == (3, "Bow")
    assert flagged.rounds.progress == "3 of 3 flagged"
    press(flagged, "PgUp")
    assert place(flagged) == (2, "Port")
    assert flagged.rounds.told == "0 looked at, 3 left"


def test_going_by_records_nothing(flagged: FilmDesk) -> None:
    """What was passed at speed stays passed until he says that he looked at it."""
    before = flagged.book.count(Grade)
    press(flagged, "Ctrl+F", "PgDown", "PgDown", "PgUp", "J", "Ctrl+F")
    assert flagged.book.count(Grade) == before
    assert grade(flagged, 3, "Bow").how == "passed"


def test_enter_keeps_what_was_passed_as_examined(flagged: FilmDesk) -> None:
    """Enter on a rep let through at speed: he stands as right, examined now, and the next comes."""
    press(flagged, "Ctrl+F", "PgDown", "PgDown")
    old = grade(flagged, 3, "Bow")
    press(flagged, "Return")
    new = grade(flagged, 3, "Bow")
    assert (new.fit_result, new.how, new.supersedes) == ("right", "examined", old.id)
    assert [box.status for box in flagged.rounds.boxes] == ["judged", "judged", "looked at"]


def test_enter_lets_a_miss_stand_as_it_was_judged(flagged: FilmDesk) -> None:
    """Nothing he judged is lost: miss and cause stand, and that he looked again is kept."""
    old = grade(flagged, 1, "Keel")
    press(flagged, "Ctrl+F", "Return")
    new = grade(flagged, 1, "Keel")
    assert new.id != old.id
    assert (new.did, new.did_name, new.cause) == (old.did, old.did_name, old.cause)
    assert (new.fit_result, new.how) == ("wrong", "examined")
    assert place(flagged) == (2, "Port")
    assert flagged.rounds.told == "1 looked at, 2 left"


def test_an_open_rep_is_right_once_he_has_looked_at_it(desk: Desk) -> None:
    """Flagged before anything was said of him: Enter keeps him as right, examined."""
    film = desk.film
    press(film, "2", "F", "Ctrl+F", "Return")
    kept = grade(film, 1, "Keel")
    assert (kept.did, kept.fit_result, kept.how) == ("as owed", "right", "examined")
    assert not film.rounds.on


def test_it_ends_with_a_sentence(flagged: FilmDesk, said: list[str]) -> None:
    """The last Enter ends the round and says what was done."""
    press(flagged, "Ctrl+F", "Return", "Return", "Return")
    assert not flagged.rounds.on
    assert said[-1] == "All done: 3 flagged reps looked at closely."


def test_what_is_left_is_named_at_the_end(flagged: FilmDesk, said: list[str]) -> None:
    """Enter on the last while others wait: they are named, and the first of them comes."""
    press(flagged, "Ctrl+F", "PgDown", "Return", "Return")
    assert said[-1].startswith("That was the last of 3; 1 left: play 1 Keel ")
    assert place(flagged) == (1, "Keel")
    assert flagged.rounds.on


def test_technique_given_in_a_round_is_examined_too(flagged: FilmDesk) -> None:
    """T and one key an item: the rep counts as looked at without Enter."""
    press(flagged, "Ctrl+F", "PgDown", "PgDown", "T", "2", "1")
    kept = grade(flagged, 3, "Bow")
    assert kept.how == "examined"
    assert sum(kept.technique.values()) == 3
    assert flagged.rounds.told == "1 looked at, 2 left"


def test_one_man_through_all_his_plays(flagged: FilmDesk) -> None:
    """Ctrl+E with a man in hand: each of his plays, those passed waiting first."""
    press(flagged, "2", "Ctrl+E")
    man = flagged.hand.man
    assert man is not None
    assert man.player is not None
    name = man.player.short_name
    assert flagged.rounds.progress == f"rep {flagged.rounds.place + 1} of 3, {name}"
    seen = [rep.player_id for rep in flagged.rounds.reps]
    assert set(seen) == {man.player.id}


def test_escape_and_the_same_key_leave(flagged: FilmDesk, said: list[str]) -> None:
    """Either ends the round at the play that is shown, and says what was left."""
    press(flagged, "Ctrl+F", "PgDown", "Ctrl+F")
    assert not flagged.rounds.on
    assert said[-1] == "Left at 2 of 3 flagged; 3 reps not looked at yet."
    press(flagged, "Ctrl+F")
    assert flagged.rounds.back()
    assert not flagged.rounds.on
    assert place(flagged) == (1, "Keel")


def test_a_list_closes_before_the_round_is_left(flagged: FilmDesk) -> None:
    """Esc goes back one step: the open list first."""
    press(flagged, "Ctrl+F", "T")
    assert not flagged.rounds.back()
    assert flagged.hand.back()
    assert flagged.rounds.on


def test_another_play_leads_back_to_the_round(flagged: FilmDesk) -> None:
    """A play touched aside records nothing on Enter; it goes back to his turn."""
    press(flagged, "Ctrl+F")
    flagged.open_clip(flagged.plays.line.boxes[2].clip_id)
    before = flagged.book.count(Grade)
    assert flagged.rounds.aside
    assert "Another play is shown" in flagged.rounds.words
    press(flagged, "Return")
    assert flagged.book.count(Grade) == before
    assert place(flagged) == (1, "Keel")


def test_a_flag_taken_off_waits_no_more(flagged: FilmDesk) -> None:
    """F in the round takes the flag off; his box says so and he is not counted as left."""
    press(flagged, "Ctrl+F", "F")
    assert flagged.rounds.boxes[0].status == "flag off"
    assert flagged.rounds.told == "1 looked at, 2 left"


def test_undo_goes_back_to_the_rep(desk: Desk, flagged: FilmDesk, said: list[str]) -> None:
    """Ctrl+Z after Enter shows that rep again, and it waits again; redo does it once more."""
    press(flagged, "Ctrl+F", "Return")
    assert place(flagged) == (2, "Port")
    desk.undo()
    assert place(flagged) == (1, "Keel")
    assert flagged.rounds.told == "0 looked at, 3 left"
    assert said[-1] == "Done: take back “look at Keel on play 1”."
    desk.redo()
    assert flagged.rounds.told == "1 looked at, 2 left"


def test_what_was_looked_at_is_known_after_a_restart(flagged: FilmDesk, posted: Posted) -> None:
    """A round begun again goes on at the first rep that was not looked at."""
    press(flagged, "Ctrl+F", "Return", "Ctrl+F")
    again = FilmDesk(flagged.book, posted, lambda _: None)
    press(again, "Ctrl+F")
    assert again.rounds.told == "1 looked at, 2 left"
    assert place(again) == (2, "Port")
    again.close()


def test_an_open_question_holds_him_up(desk: Desk, said: list[str]) -> None:
    """Where what he owed is open, Enter says what must be told first and stays with him."""
    film = desk.film
    assert film.clip is not None
    press(film, "2", "F")
    rep = film.hand.man
    assert rep is not None
    with film.book.act("forget the look") as act:
        act.drop_all(film.book.find(FactValue, clip_id=film.clip.id))
    press(film, "Ctrl+F", "Return")
    assert film.rounds.on
    assert "Keel stays open" in said[-1]
    assert place(film) == (1, "Keel")


def test_nothing_flagged_is_said(desk: Desk, said: list[str]) -> None:
    """Without a flag there is no round, and he is told how a rep comes into it."""
    press(desk.film, "Ctrl+F")
    assert not desk.film.rounds.on
    assert said[-1].startswith("No rep is flagged")
    press(desk.film, "Ctrl+E")
    assert said[-1] == "Choose a man first: press his number, or Tab."


def test_other_sessions_are_asked_for(flagged: FilmDesk) -> None:
    """Flags in another session too: this one's or all, by a number key."""
    book = flagged.book
    (clip,) = book.find(Clip, order=3)
    other = Session(name="Wednesday", day="2026-10-07")
    with book.act("move a play") as act:
        act.put(other, replace(clip, session_id=other.id))
    flagged.refresh()
    press(flagged, "Ctrl+F")
    ask = flagged.hand.ask
    assert ask is not None
    assert [(one.words, one.hint) for one in ask.answers] == [
        ("of Tuesday", "2"),
        ("of all sessions", ""),
    ]
    press(flagged, "2")
    assert flagged.rounds.progress == "1 of 3 flagged"
    assert {box.heading for box in flagged.rounds.boxes} == {"Tuesday", "Wednesday"}
    press(flagged, "PgDown", "PgDown")
    assert flagged.plays.session is not None
    assert flagged.plays.session.name == "Wednesday"


def test_the_film_stands_at_his_first_step(flagged: FilmDesk) -> None:
    """Where his step is marked the film stands there, else at the snap."""
    head = flagged.playhead
    flagged.hand.choose("Keel")
    head.seek(head.first + 20)
    press(flagged, "Z")
    head.seek(head.first + 31)
    press(flagged, "X", "Home", "Ctrl+F")
    assert head.frame == head.first + 31
    press(flagged, "X", "Home", "PgDown", "PgUp")
    assert head.frame == head.first + 20


def test_none_here_leads_to_other_sessions(flagged: FilmDesk, said: list[str]) -> None:
    """A session without a flag: those of the others are shown at once, and that is said."""
    book = flagged.book
    with book.act("another session") as act:
        other = Session(name="Wednesday", day="2026-10-07")
        act.put(other, Clip(session_id=other.id, order=1))
    flagged.refresh()
    flagged.open_session(other)
    press(flagged, "Ctrl+F")
    assert flagged.rounds.progress == "1 of 3 flagged"
    assert said[-1] == "None in Wednesday; these are of other sessions."
