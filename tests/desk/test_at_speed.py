"""At speed: what is drawn is confirmed by Enter, and what stands in the way is asked."""

from __future__ import annotations

from dataclasses import replace

import pytest

from gradecut.book import Book
from gradecut.desk.film_desk import FilmDesk
from gradecut.records import Clip, FactValue, Grade, LineUp, Owed, Rep
from gradecut.workflows.booking import book_info
from tests.desk.film_book import press


def forget(book: Book, play: int, *references: str) -> None:
    """Let nothing be known of some facts of a play."""
    clip = next(one for one in book.find(Clip) if one.order == play)
    with book.act("forget") as act:
        act.drop_all(book.find(FactValue, clip_id=clip.id, reference=references))


def say_kind(film: FilmDesk, kind: str) -> None:
    """Say what kind of play is shown."""
    assert film.clip is not None
    with film.book.act("say what it was") as act:
        act.put(replace(film.clip, kind=kind))  # type: ignore[arg-type]


def without_scheme(book: Book) -> None:
    """Take the rules away."""
    with book.act("take the scheme away") as act:
        act.put(replace(book_info(book), scheme_id=None))


def idle(film: FilmDesk) -> tuple[str, str, str]:
    """Return the question with nobody in hand: its title, what a number leads to, and Enter."""
    ask = film.hand.ask
    assert ask is not None
    assert ask.kind == "men"
    return ask.title, ask.then, ask.also[0].answer.words


def sources(film: FilmDesk) -> dict[str, str]:
    """Return where each fact of the play shown was taken from."""
    assert film.state is not None
    return dict(film.state.sources)


# ---------------------------------------------------------------- taken over from the last play


def test_what_nobody_told_is_drawn_as_on_the_last_play(film: FilmDesk, film_book: Book) -> None:
    """The men's fits are worked out with it; nothing of it is stored while he only looks."""
    press(film, "Return")
    forget(film_book, 2, "strength", "concept")
    film.telling.tell("concept", "inside zone")
    assert film.state is not None
    assert sources(film)["strength"] == "last play"
    assert film.state.look["strength"] == "right"
    assert film.state.question is None
    assert [man.owes for man in film.state.men].count("") == 0
    assert film.clip is not None
    assert not film_book.count(FactValue, clip_id=film.clip.id, reference="strength")


def test_a_man_is_judged_by_the_look_as_it_is_drawn(film: FilmDesk, film_book: Book) -> None:
    """His grade keeps what was taken over with it, as one act, and does not go stale."""
    press(film, "Return")
    forget(film_book, 2, "strength")
    assert sources(film)["strength"] == "last play"
    press(film, "2", "1", "2")
    assert sources(film)["strength"] == "marked"
    assert sources(film)["run"] == "script"
    assert film.state is not None
    keel = film.state.man("Keel")
    assert keel is not None
    assert keel.wrong
    assert not keel.stale
    film_book.undo()
    film_book.undo()
    assert sources(film)["strength"] == "last play"
    assert not film_book.count(Grade, rep_id=keel.rep.id if keel.rep else "")


def test_what_a_man_owed_is_said_of_the_look_as_it_is_drawn(
    film: FilmDesk, film_book: Book
) -> None:
    """Rules are learned from looks that are told: what was taken over is told with his word."""
    press(film, "Return")
    forget(film_book, 2, "back")
    film.hand.choose("Keel")
    assert film.judging.owed("box A")
    assert sources(film)["back"] == "marked"
    film_book.undo()
    assert (film_book.count(Owed), sources(film)["back"]) == (0, "last play")


def test_enter_confirms_what_is_drawn_and_undo_takes_it_all_back(
    film: FilmDesk, film_book: Book
) -> None:
    """The script's word and the last play's are his own from then on."""
    first = film.clip
    assert first is not None
    before = film_book.find(FactValue)
    assert set(sources(film).values()) == {"script"}
    press(film, "Return")
    film.open_clip(first.id)
    assert set(sources(film).values()) == {"marked"}
    film_book.undo()
    assert film_book.find(FactValue) == before
    assert not film_book.count(Grade)


def test_a_corrected_fact_is_marked_and_the_rest_stays_the_scripts(film: FilmDesk) -> None:
    """Until Enter: only what he touched is his."""
    film.telling.turn_over("R")
    assert sources(film) == {**dict.fromkeys(sources(film), "script"), "run": "marked"}


# ---------------------------------------------------------------- what stands in the way


def test_an_open_fact_is_asked_and_nothing_is_stored(
    film: FilmDesk, film_book: Book, said: list[str]
) -> None:
    """The play is not passed; answered, it goes by one Enter."""
    forget(film_book, 1, "run")
    before = film_book.history(1)
    film.hand.choose("Keel")
    press(film, "Return")
    assert film.clip is not None
    assert film.clip.order == 1
    assert film_book.history(1) == before
    assert film.hand.ask is not None
    assert film.hand.ask.kind == "question"
    assert "Which way did the run go?" in said[-1]
    press(film, "2", "Return")
    assert film.clip.order == 2
    assert film_book.count(Grade) == 3


def test_without_rules_enter_asks_man_by_man_and_a_second_one_leaves_them(
    film: FilmDesk, film_book: Book, said: list[str]
) -> None:
    """A book without rules holds up nobody's evening, and promises nothing it does not have."""
    without_scheme(film_book)
    assert film.state is not None
    title, then, enter = idle(film)
    assert title == "Nothing says yet what they owed."
    assert "missed" not in then
    assert "why" not in then
    assert "right" not in enter
    first = film.state.men[0].position
    press(film, "Return")
    assert film.hand.position == first
    assert f"{first} stays open" in said[-1]
    assert film.hand.ask is not None
    assert film.hand.ask.kind == "owed"
    press(film, "Return")
    assert film.clip is not None
    assert film.clip.order == 2
    assert said[-1].startswith("Play 1 stays open")
    assert not film_book.count(Grade)


def test_what_was_said_in_between_is_heard_before_he_goes_on(
    film: FilmDesk, film_book: Book
) -> None:
    """His word on the first man: Enter then asks about the next one, it does not leave."""
    without_scheme(film_book)
    press(film, "Return")
    assert film.judging.owed("plug the middle")
    press(film, "Return")
    assert film.clip is not None
    assert film.clip.order == 1
    assert [one.fit_result for one in film_book.find(Grade)] == ["right"]
    assert film.state is not None
    assert film.hand.position == film.state.men[1].position


def test_a_play_where_nobody_is_named_asks_who_is_in(
    film: FilmDesk, film_book: Book, said: list[str]
) -> None:
    """It is not passed in silence with nothing graded; a second Enter goes on all the same."""
    with film_book.act("forget the men") as act:
        act.drop_all(film_book.find(Rep))
        act.drop_all(film_book.find(LineUp))
    assert idle(film)[0] == "Nobody is named on this play."
    press(film, "Return")
    assert film.hand.ask is not None
    assert film.hand.ask.kind == "players"
    assert "Nobody is named on play 1" in said[-1]
    press(film, "Return")
    assert film.clip is not None
    assert film.clip.order == 2


def test_a_man_judged_for_another_fit_is_asked_again(
    film: FilmDesk, film_book: Book, said: list[str]
) -> None:
    """The run goes the other way after his miss: Enter lets the others through and asks of him."""
    press(film, "2", "1", "2")
    film.telling.turn_over("R")
    press(film, "Return")
    assert film.clip is not None
    assert film.clip.order == 1
    assert film.hand.position == "Keel"
    assert "say again what he did" in said[-1]
    assert len({one.rep_id for one in film_book.find(Grade)}) == 3
    press(film, "R", "Return")
    assert film.clip.order == 2


# ---------------------------------------------------------------- plays without a run


@pytest.mark.parametrize("kind", ["kick", "pass"])
def test_a_play_without_a_run_asks_nothing(film: FilmDesk, film_book: Book, kind: str) -> None:
    """No fact is asked, nobody could be wrong, and Enter goes on; the play is done."""
    forget(film_book, 1, "concept", "run")
    say_kind(film, kind)
    assert idle(film) == ("There was no run to fit.", "picks the man", "next play")
    press(film, "Return")
    assert [one.fit_result for one in film_book.find(Grade)] == ["not graded"] * 3
    assert film.plays.line.boxes[0].status == "done"


def test_no_play_goes_on_and_comes_back_by_the_same_key(
    film: FilmDesk, film_book: Book, said: list[str]
) -> None:
    """One key: marked and on to the next; nothing of its look is confirmed."""
    press(film, "D")
    assert film.clip is not None
    assert film.clip.order == 2
    assert said[-1] == "Play 1 was no play; D on it brings it back."
    assert not film_book.count(FactValue, source="marked")
    press(film, "PgUp", "D")
    assert film.clip.order == 1
    assert film.clip.kind == "run"
    assert "to be graded" in said[-1]


# ---------------------------------------------------------------- facts by their letters


def test_a_letter_turns_a_fact_of_two_values_over(film: FilmDesk, said: list[str]) -> None:
    """One key, told in words; the man and the question in hand stay."""
    press(film, "2")
    film.telling.turn_over("r")
    assert film.state is not None
    assert film.state.look["run"] == "left"
    assert said[-1] == "Run: left."
    assert film.hand.position == "Keel"
    film.telling.turn_over("R")
    assert film.state.look["run"] == "right"


def test_a_letter_of_a_fact_with_more_values_opens_them(film: FilmDesk) -> None:
    """Counts stand under their own digit; what holds now is marked."""
    film.telling.turn_over("L")
    ask = film.hand.ask
    assert ask is not None
    assert ask.kind == "value"
    assert [one.answer.words for one in ask.shown() if one.answer.chosen] == ["2"]
    press(film, "3")
    assert film.state is not None
    assert film.state.look["surface.left"] == 3


def test_a_fact_that_is_not_known_is_asked(film: FilmDesk, film_book: Book) -> None:
    """There is nothing to turn over yet."""
    forget(film_book, 1, "run")
    film.telling.turn_over("R")
    ask = film.hand.ask
    assert ask is not None
    assert [one.answer.words for one in ask.shown()] == ["left", "right"]
    press(film, "2")
    assert sources(film)["run"] == "marked"


def test_letters_that_mean_nothing_say_so(film: FilmDesk, film_book: Book, said: list[str]) -> None:
    """A letter no fact has; a book that has no scheme."""
    film.telling.turn_over("Z")
    assert said[-1] == "No fact of this scheme has the letter Z; L lists them all."
    without_scheme(film_book)
    film.telling.turn_over("R")
    assert "no scheme" in said[-1]
    assert not film_book.count(FactValue, source="marked")


def test_the_list_of_facts_tells_letters_and_who_says_so(film: FilmDesk, film_book: Book) -> None:
    """Each with its value, ✓ once it is marked; letters and who says so are told on pointing."""
    press(film, "Return")
    forget(film_book, 2, "back")
    film.telling.turn_over("R")
    press(film, "L")
    ask = film.hand.ask
    assert ask is not None
    hints = {one.answer.words: one.answer.hint for one in ask.shown()}
    assert (hints["run"], hints["strength"]) == ("right ✓", "right")
    assert (hints["back"], hints["wing"]) == ("left", "?")
    tips = {one.answer.words: one.answer.tip for one in ask.shown()}
    assert tips["run"] == "seen on film; Shift+R changes it at once"
    assert tips["strength"] == "by the script; Shift+S changes it at once"
    assert tips["back"] == "as on the last play; Shift+B changes it at once"
    assert tips["wing"] == "not known; Shift+W changes it at once"


# ---------------------------------------------------------------- keys that stay


def test_a_fit_has_the_same_key_on_every_play(film: FilmDesk) -> None:
    """Whatever he owes here, the fit he played stands where it stood on the play before."""
    listed = []
    for _ in range(3):
        press(film, "2", "O")
        ask = film.hand.ask
        assert ask is not None
        listed.append([one.words for one in ask.answers])
        press(film, "PgDown")
    assert film.state is not None
    assert listed[0] == listed[1] == listed[2]


def test_what_he_said_of_a_man_keeps_its_key_as_he_goes_on(film: FilmDesk) -> None:
    """Said often or once: the order is that of the rules, then of the first time."""
    film.hand.choose("Keel")
    press(film, "W")
    ask = film.hand.ask
    assert ask is not None
    before = [one.words for one in ask.answers]
    for fit in ("spill C", "spill C", "box A"):
        film.hand.choose("Keel")
        assert film.judging.owed(fit)
        press(film, "PgDown")
    press(film, "PgUp")
    film.hand.choose("Keel")
    press(film, "W")
    ask = film.hand.ask
    assert ask is not None
    after = [one.words for one in ask.answers]
    rules = before.index("spill C")
    assert after[: min(rules, before.index("box A"))] == before[: min(rules, before.index("box A"))]
    assert "what the scheme says" in after[-1]


def test_a_play_that_is_done_says_next_play(film: FilmDesk) -> None:
    """All judged already: Enter only goes on, and says so."""
    assert idle(film)[2] == "all right, next play"
    press(film, "Return", "PgUp")
    assert idle(film)[2] == "next play"
    assert idle(film)[1] == "picks the man; then how he missed, then why"


# ---------------------------------------------------------------- men who stay in


def nobody(film: FilmDesk, play: int) -> None:
    """Let nobody be named on a play."""
    clip = next(one for one in film.book.find(Clip) if one.order == play)
    with film.book.act("forget the men") as act:
        act.drop_all(film.book.find(Rep, clip_id=clip.id))
        act.drop_all(film.book.find(LineUp, clip_id=clip.id))


def test_the_last_plays_men_are_in_hand_and_judged_as_if_they_were_named(film: FilmDesk) -> None:
    """His number, his miss, its cause, a flag: his rep is made with the first of them."""
    press(film, "Return")
    nobody(film, 2)
    assert film.state is not None
    keel = film.state.man("Keel")
    assert keel is not None
    assert (keel.rep, keel.player and keel.player.short_name) == (None, "Okorie")
    assert keel.who == "Keel 44"
    press(film, "2", "1", "2", "F")
    keel = film.state.man("Keel")
    assert keel is not None
    assert keel.wrong
    assert keel.flagged
    press(film, "Return")
    assert film.plays.line.boxes[1].status == "wrong"


def test_events_and_moments_are_theirs_too(film: FilmDesk) -> None:
    """Whatever comes first names him."""
    press(film, "Return")
    nobody(film, 2)
    press(film, "2", "E", "1")
    assert film.state is not None
    keel = film.state.man("Keel")
    assert keel is not None
    assert keel.line is not None
    assert keel.line.events == ("missed tackle",)


def test_enter_passes_a_play_the_script_is_silent_of(film: FilmDesk, film_book: Book) -> None:
    """Men and look before the snap are the last play's; only what they ran is asked."""
    press(film, "Return")
    nobody(film, 2)
    clip = film.clip
    assert clip is not None
    with film_book.act("silence the script") as act:
        act.drop_all(film_book.find(FactValue, clip_id=clip.id))
    asked = []
    while film.state is not None and film.state.question is not None:
        asked.append(film.state.question.reference)
        press(film, "1")
    assert asked == ["concept", "run"]
    press(film, "Return")
    assert film.clip is not None
    assert film.clip.order == 3
    reps = film_book.find(Rep, clip_id=clip.id)
    assert film_book.count(Grade, rep_id=[rep.id for rep in reps]) == 3


def test_what_enter_does_is_said_in_one_way(film: FilmDesk) -> None:
    """The question and the strip say the same: one missed, a tool in hand, a fact open."""
    press(film, "2", "1", "1")
    film.hand.choose("")
    assert idle(film)[2] == film.passing.words == "the rest right, next play"
    film.marks.take("ring")
    assert idle(film)[2] == film.passing.words == "set the point"
    film.marks.let_go()
    forget(film.book, 1, "concept")
    assert film.passing.words == "asks what is open"
