"""Who is in, by one key: substitutions, unknown men, sides, and the line-up of a period."""

from __future__ import annotations

import pytest

from gradecut.book import Book
from gradecut.desk.film_desk import FilmDesk
from gradecut.desk.line_up_rows import LineUpRows
from gradecut.drawing.look_words import look_words
from gradecut.records import Clip, LineUp, Player, Rep
from gradecut.records.picture import LookPicture, PictureMan
from gradecut.workflows.counting import toggle_flag
from gradecut.workflows.line_ups import put_in
from tests.desk.film_book import press


def at(book: Book, position: str) -> list[str]:
    """Return who is in at a position on each play."""
    men = {man.id: man.short_name for man in book.find(Player)}
    return [
        next((men[rep.player_id] for rep in book.find(Rep, clip_id=one.id, position=position)), "")
        for one in book.find(Clip)
    ]


def man(book: Book, name: str) -> Player:
    """Return a man by his whole name."""
    return book.find(Player, name=name)[0]


def choose(film: FilmDesk, position: str) -> None:
    """Take a man in hand."""
    film.hand.choose(position)


def picture(film: FilmDesk) -> LookPicture:
    """Return the picture of the look as it stands."""
    shown = film.picture()
    assert shown is not None
    return shown


def drawn(film: FilmDesk, position: str) -> PictureMan:
    """Return a man as he is drawn."""
    return next(one for one in picture(film).men if one.position == position)


def test_one_key_puts_in_the_man_who_shared_the_position(
    film: FilmDesk, film_book: Book, said: list[str]
) -> None:
    """Hanrattan was in at Keel on play 1; on play 2 he comes in for Okorie, to the period's end."""
    put_in(film_book, film_book.find(Clip)[0], "Keel", man(film_book, "Quill Hanrattan"))
    film.next_clip()
    choose(film, "Keel")
    press(film, "I")
    assert at(film_book, "Keel") == ["Hanrattan", "Hanrattan", "Hanrattan"]
    assert said[-1] == ("Quill Hanrattan is in at Keel from play 2 to 3, the end of Inside run 1.")


def test_the_same_key_again_asks_who_else_it_was(film: FilmDesk, film_book: Book) -> None:
    """It was neither the one nor the other."""
    choose(film, "Keel")
    press(film, "I", "I")
    assert film.hand.ask is not None
    assert film.hand.ask.title == "Who is at Keel from here on in Inside run 1?"
    assert film.hand.ask.answers[0].words == "Tavin Okorie"
    place = [one.words for one in film.hand.ask.answers].index("Micah Stroud-Vale")
    press(film, str(place + 1))
    assert at(film_book, "Keel") == ["Stroud-Vale"] * 3


def test_where_more_could_come_the_key_asks(film: FilmDesk, film_book: Book) -> None:
    """Nobody shared Bow in this session, and two of the roster play it: the list is opened."""
    choose(film, "Bow")
    press(film, "I")
    assert film.hand.ask is not None
    assert film.hand.ask.kind == "players"
    asked = [(answer.words, answer.hint) for answer in film.hand.ask.answers]
    assert asked[:2] == [("Emeka Thornbury", "16"), ("Anders Pell", "57")]
    assert asked[2] == ("an unknown man", "Ctrl+U")
    assert ("Tavin Okorie", "at Keel now") in asked
    assert ("Micah Stroud-Vale", "held out") in asked
    press(film, "2")
    assert at(film_book, "Bow") == ["Pell"] * 3


def test_the_only_other_man_of_the_position_comes_in_at_once(
    film: FilmDesk, film_book: Book
) -> None:
    """Nobody shared Keel; the third man of the roster is held out by the medical staff."""
    choose(film, "Keel")
    press(film, "I")
    assert at(film_book, "Keel") == ["Hanrattan"] * 3


def test_why_a_man_stays_is_told_as_it_is(film: FilmDesk, film_book: Book, said: list[str]) -> None:
    """A flag is enough: he need not have been judged."""
    (third,) = film_book.find(Clip, order=3)
    toggle_flag(film_book, third, film_book.find(Rep, clip_id=third.id, position="Keel")[0])
    choose(film, "Keel")
    press(film, "I")
    assert at(film_book, "Keel") == ["Hanrattan", "Hanrattan", "Okorie"]
    assert said[-1].endswith("; play 3 keeps the man of whom something is said there.")


def test_on_this_play_only(film: FilmDesk, film_book: Book, said: list[str]) -> None:
    """The list tells who stands elsewhere; the other plays stay."""
    choose(film, "Keel")
    press(film, "Alt+I", "1")
    assert at(film_book, "Keel") == ["Hanrattan", "Okorie", "Okorie"]
    assert said[-1] == "Quill Hanrattan is in at Keel on play 1 only."


def test_an_unknown_man_comes_in_by_one_key(
    film: FilmDesk, film_book: Book, said: list[str]
) -> None:
    """He is graded like any other; the sentence says how he is named."""
    choose(film, "Bow")
    press(film, "Ctrl+U")
    assert at(film_book, "Bow") == ["Unknown-1"] * 3
    assert said[-1].endswith("Alt+N names him later, everywhere at once.")


def test_without_a_man_in_hand_it_is_said(film: FilmDesk, said: list[str]) -> None:
    """No key does anything to nobody."""
    for key in ("I", "Alt+I", "Ctrl+U", "Alt+S"):
        press(film, key)
        assert said[-1] == "Choose a man first: press his number, or Tab."


def test_the_side_he_lined_up_at_is_turned(film: FilmDesk, said: list[str]) -> None:
    """Keel stands on the right by the scheme: once is left, twice takes it back."""
    choose(film, "Keel")
    usual = drawn(film, "Keel").own_side
    press(film, "Alt+S")
    assert film.state is not None
    seen = film.state.man("Keel")
    assert seen is not None
    assert seen.rep is not None
    assert seen.rep.side in ("left", "right")
    assert seen.rep.side in said[-1]
    assert drawn(film, "Keel").stood == seen.rep.side
    assert f", lined up {seen.rep.side}, owes" in look_words(picture(film))
    assert drawn(film, "Keel").own_side == seen.rep.side != usual
    press(film, "Alt+S")
    assert (drawn(film, "Keel").stood, drawn(film, "Keel").own_side) == (None, usual)
    again = film.state.man("Keel")
    assert again is not None
    assert again.rep is not None
    assert again.rep.side is None


def test_the_sheet_shows_a_period_and_what_the_script_said(film_book: Book) -> None:
    """Each graded position has its man, where he is known from, and who could stand there."""
    rows = LineUpRows(film_book, film_book.find(Clip)[1])
    assert rows.title == "Inside run 1 · plays 1 to 3"
    told = {row.position: (row.man.short_name if row.man else "", row.stand) for row in rows.rows}
    assert told == {
        "Keel": ("Okorie", "script"), "Bow": ("Lisoway", "script"),
        "Port": ("Marchand-Pike", "script"),
    }  # fmt: skip
    assert rows.waiting == 0
    keel = next(row for row in rows.rows if row.position == "Keel")
    assert [one.short_name for one in keel.choices[:2]] == ["Okorie", "Hanrattan"]


@pytest.fixture
def two_periods(film_book: Book) -> Book:
    """Let play 3 begin another period in which nobody is lined up."""
    from dataclasses import replace

    last = film_book.find(Clip)[2]
    with film_book.act("another period") as act:
        act.put(replace(last, period="Team"))
        act.drop_all(film_book.find(LineUp, clip_id=last.id))
        act.drop_all(film_book.find(Rep, clip_id=last.id))
    return film_book


def test_a_line_up_is_carried_from_the_period_before_and_kept_when_taken(
    two_periods: Book,
) -> None:
    """It is shown as carried; nothing is stored before he takes it; one undo takes it back."""
    rows = LineUpRows(two_periods, two_periods.find(Clip)[2])
    assert rows.title == "Team · play 3"
    assert {row.stand for row in rows.rows} == {"before"}
    assert rows.waiting == 3
    assert at(two_periods, "Keel")[2] == ""
    rows.take()
    assert at(two_periods, "Keel")[2] == "Okorie"
    two_periods.undo()
    assert at(two_periods, "Keel")[2] == ""


def test_a_man_chosen_who_stands_elsewhere_changes_places(two_periods: Book) -> None:
    """Nobody is left out, and nobody is in twice."""
    rows = LineUpRows(two_periods, two_periods.find(Clip)[2])
    places = {row.position: place for place, row in enumerate(rows.rows)}
    bow = rows.rows[places["Bow"]].man
    keel = rows.rows[places["Keel"]].man
    assert bow is not None
    rows.choose(places["Keel"], bow)
    assert rows.rows[places["Bow"]].man == keel
    rows.take()
    assert (at(two_periods, "Keel")[2], at(two_periods, "Bow")[2]) == ("Lisoway", "Okorie")


def test_a_man_who_stays_in_from_the_last_play_is_not_put_in_again(
    film: FilmDesk, film_book: Book
) -> None:
    """Film came in that nobody lined up: Okorie stays, and one key puts in Hanrattan for him."""
    last = film_book.find(Clip)[2]
    with film_book.act("new film") as act:
        act.drop_all(film_book.find(LineUp, clip_id=last.id))
        act.drop_all(film_book.find(Rep, clip_id=last.id))
    film.open_clip(last.id)
    choose(film, "Bow")
    press(film, "Alt+S")
    bow = film_book.find(Rep, clip_id=last.id, position="Bow")[0]
    assert bow.side in ("left", "right")
    choose(film, "Keel")
    press(film, "I")
    assert at(film_book, "Keel") == ["Okorie", "Okorie", "Hanrattan"]
