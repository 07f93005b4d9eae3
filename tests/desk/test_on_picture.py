"""Turning the picture of the look, what is touched on it, and the page it goes on."""

from __future__ import annotations

from gradecut.book import Book
from gradecut.desk import Desk
from gradecut.desk.film_desk import FilmDesk
from gradecut.desk.look_sheet import read_sheet
from gradecut.drawing import DARK, Place, look_shapes
from gradecut.records import Angle, Clip
from gradecut.workflows.booking import scheme_in_force
from gradecut.workflows.look_pictures import turn_pictures
from gradecut.workflows.scheme_changes import keep_scheme
from tests.desk.film_book import press
from tests.desk.test_scheme_learning import without_rules


def turns(book: Book) -> dict[str, set[int]]:
    """Return how the pictures of each angle are turned."""
    found: dict[str, set[int]] = {}
    for angle in book.find(Angle):
        found.setdefault(angle.name, set()).add(angle.turn)
    return found


def facts(film: FilmDesk) -> dict[str, tuple[str, str]]:
    """Return how film stands to each fact of the picture, and who told it."""
    picture = film.picture()
    assert picture is not None
    return {fact.reference: (fact.seen, fact.source) for fact in picture.facts}


def test_the_picture_turns_for_every_play_of_this_angle(film: FilmDesk, said: list[str]) -> None:
    """Alt+T is one act over the session; the other angle keeps its own turn."""
    press(film, "Alt+T", "Alt+T")
    assert turns(film.book) == {"end": {180}, "side": {0}}
    picture = film.picture()
    assert picture is not None
    assert picture.turn == 180
    assert said[-1] == "Seen from behind the defence, on every play of the end film."
    film.other_angle()
    picture = film.picture()
    assert picture is not None
    assert picture.turn == 0
    press(film, "Alt+T")
    assert turns(film.book) == {"end": {180}, "side": {90}}


def test_a_turn_is_kept_from_play_to_play(film: FilmDesk) -> None:
    """The next play is seen as this one."""
    press(film, "Alt+T", "PgDown")
    picture = film.picture()
    assert picture is not None
    assert picture.turn == 90


def test_four_quarters_are_none(film: FilmDesk) -> None:
    """Turned around once, the picture is what it was."""
    before = film.picture()
    press(film, *["Alt+T"] * 4)
    assert film.picture() == before


def test_a_turn_is_taken_back_as_one_act(film: FilmDesk) -> None:
    """One undo turns every play back."""
    press(film, "Alt+T")
    film.book.undo()
    assert turns(film.book) == {"end": {0}, "side": {0}}


def test_turning_to_where_it_stands_does_nothing(film_book: Book) -> None:
    """Nothing is stored for a turn the pictures have already."""
    (session,) = {clip.session_id for clip in film_book.find(Clip)}
    assert turn_pictures(film_book, session, "end", 90) == 3
    acts = film_book.can_undo()
    assert turn_pictures(film_book, session, "end", 90) == 0
    assert film_book.can_undo() == acts


def test_facts_of_the_script_are_told_as_such_until_film_confirms_them(film: FilmDesk) -> None:
    """The picture tells what the script said apart from what somebody saw."""
    assert facts(film)["run"] == ("told", "script")
    assert facts(film)["wing"][0] == "open"
    assert film.state is not None
    run = film.state.look["run"]
    film.on_picture.turn_over("run")
    assert film.state.look["run"] != run
    assert facts(film)["run"] == ("seen", "")


def test_each_fact_of_the_picture_has_the_letter_that_turns_it(film: FilmDesk) -> None:
    """What stands beside a fact is the letter of its key."""
    picture = film.picture()
    assert picture is not None
    assert film.state is not None
    assert {one.reference: one.letter for one in picture.facts} == dict(film.state.fact_letters)


def test_a_place_says_what_enter_does_there(film: FilmDesk) -> None:
    """A gap needs a man in hand; a fact names its key."""
    on = film.on_picture
    gap = Place(kind="gap", name="B", side="left")
    assert on.words_of(gap) == "B left: first his man"
    on.take("Keel")
    assert on.words_of(gap) == "B left: Enter says Keel fitted here"
    assert on.words_of(Place(kind="man", name="Bow")).endswith("Enter picks him")
    run = Place(kind="fact", name="run")
    assert on.words_of(run).endswith("by script, not checked yet: Enter or Shift+R changes it")
    assert on.tip_of(run).endswith("a touch or Shift+R changes it")
    assert on.tip_of(gap) == ""


def test_the_page_to_print_tells_men_and_what_is_not_seen(film: FilmDesk) -> None:
    """Each man's row, the facts film has not shown, and where the picture is seen from."""
    film.on_picture.take("Keel")
    press(film, "1", "2", "Alt+T")
    sheet = read_sheet(film, "Play 1  power", "Tue 6 Oct · Tuesday")
    assert sheet is not None
    assert sheet.title == "Play 1 power"
    keel = next(man for man in sheet.men if man.who.startswith("Keel"))
    assert keel.did.startswith("✕ ")
    assert keel.cause
    assert "run" in sheet.unseen
    assert "(script)" in sheet.unseen
    assert sheet.foot == "Seen from the offence's right · graded by Coach Alder"
    assert sheet.file_name == "look of play 1.pdf"


def test_without_rules_men_stand_on_their_own_side(book: Book, desk: Desk) -> None:
    """Strength right: the man away from it on the left, the others right, though listed last."""
    before = scheme_in_force(book)
    assert before is not None
    keep_scheme(book, without_rules(before.text), "no rules")
    desk.film.refresh()
    assert desk.film.state is not None
    assert desk.film.state.look["strength"] == "right"
    picture = desk.film.picture()
    assert picture is not None
    assert {man.position: man.own_side for man in picture.men} == {
        "Bow": "right",
        "Keel": "right",
        "Port": "left",
    }
    drawn = look_shapes(picture, size_px=(470, 330), palette=DARK, title_px=24)
    across = {name: left + wide / 2 for name, (left, _, wide, _) in drawn.men.items()}
    assert across["Port"] < 235 < min(across["Bow"], across["Keel"])
