"""What is carried over in the form of a play, and the form that names unknown men."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from gradecut.app.choice_row import ChoiceRow
from gradecut.app.film_page import FilmPage
from gradecut.app.name_man_form import NameManForm
from gradecut.app.play_facts_form import PlayFactsForm
from gradecut.records import Clip, Player
from gradecut.workflows.clip_facts import carried_clip_facts
from gradecut.workflows.line_ups import put_in
from tests.app.test_who_forms import (
    ALT,
    CLICK,
    TYPE,
    Key,
    film_book_file,
    focus,
    numbered_films,
    opened,
    page,
)

__all__ = ["film_book_file", "numbered_films", "opened", "page"]


def no_tempo(page: FilmPage, order: int) -> Clip:
    """Show a play whose tempo is only carried over."""
    (clip,) = page.film.book.find(Clip, order=order)
    with page.film.book.act("forget the tempo") as act:
        act.put(replace(clip, tempo="", script_number=None))
    page.film.open_clip(clip.id)
    assert carried_clip_facts(page.film.book, page.film.book.get(Clip, clip.id))["tempo"] == "thud"
    return clip


def test_what_is_carried_stands_as_a_choice_of_its_own(
    page: FilmPage, opened: Callable[[FilmPage, type[PlayFactsForm]], PlayFactsForm]
) -> None:
    """Left alone it is kept with the rest; nothing that is offered says the opposite."""
    clip = no_tempo(page, 2)
    CLICK(page, Key.Key_C, ALT)
    form = opened(page, PlayFactsForm)
    tempo = form.fields["tempo"]
    assert isinstance(tempo, ChoiceRow)
    offered = [one.text() for one in tempo.buttons]
    assert offered[tempo.place] == "as before"
    assert "not set" not in offered
    CLICK(focus(form), Key.Key_Return)
    assert page.film.book.get(Clip, clip.id).tempo == "thud"


def test_not_told_is_kept_where_nothing_is_carried(
    page: FilmPage, opened: Callable[[FilmPage, type[PlayFactsForm]], PlayFactsForm]
) -> None:
    """The first play takes over nothing: blank is blank."""
    (clip,) = page.film.book.find(Clip, order=1)
    page.film.open_clip(clip.id)
    CLICK(page, Key.Key_C, ALT)
    form = opened(page, PlayFactsForm)
    tempo = form.fields["tempo"]
    assert isinstance(tempo, ChoiceRow)
    assert tempo.buttons[0].text() == "not set"
    tempo.choose(0)
    CLICK(focus(form), Key.Key_Return)
    assert page.film.book.get(Clip, clip.id).tempo == ""


def test_the_eighth_unknown_man_can_be_named_too(
    page: FilmPage, opened: Callable[[FilmPage, type[NameManForm]], NameManForm]
) -> None:
    """However many there are; by keys alone."""
    book = page.film.book
    places = [(clip, one) for clip in book.find(Clip) for one in ("Keel", "Bow", "Port")]
    for number, (clip, position) in enumerate(places[:8], start=1):
        nobody_known = Player(name=f"Unknown man {number}", unknown=True)
        with book.act("put an unknown man in") as act:
            act.put(nobody_known)
            put_in(book, clip, position, nobody_known)
    CLICK(page, Key.Key_N, ALT)
    form = opened(page, NameManForm)
    assert form.which.count() == 8
    form.which.setFocus()
    CLICK(form.which, Key.Key_End)
    last = form.man
    assert form.which.currentText() == last.player.name
    assert form.told.text().startswith(f"{last.player.name}: ")
    form.name.setFocus()
    TYPE(form.name, "Zeb Quarrel")
    CLICK(form.name, Key.Key_Return)
    assert not form.isVisible()
    assert book.get(Player, last.player.id).name == "Zeb Quarrel"
