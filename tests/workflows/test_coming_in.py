"""Who could come in: the man who shared the position last, before everybody else."""

from __future__ import annotations

from gradecut.book import Book
from gradecut.records import Player
from gradecut.workflows.coming_in import coming_in
from gradecut.workflows.line_ups import put_in
from gradecut.workflows.roster import told_apart
from tests.workflows.small_week import clip_of, player_of


def names(men: tuple[Player, ...]) -> list[str]:
    """Return last names."""
    return [man.short_name for man in men]


def test_the_man_who_shared_the_position_last_is_the_likeliest(book: Book) -> None:
    """Hanrattan is in at Keel on play 3; Okorie was in before him."""
    assert names(coming_in(book, clip_of(book, 3), "Keel").likely) == ["Okorie"]
    put_in(book, clip_of(book, 2), "Keel", player_of(book, "Anders Pell"))
    assert names(coming_in(book, clip_of(book, 3), "Keel").likely) == ["Pell", "Okorie"]
    assert names(coming_in(book, clip_of(book, 1), "Keel").likely) == ["Pell", "Hanrattan"]


def test_a_man_who_is_in_elsewhere_is_no_likely_one(book: Book) -> None:
    """He is listed with where he stands."""
    put_in(book, clip_of(book, 3), "Bow", player_of(book, "Tavin Okorie"))
    found = coming_in(book, clip_of(book, 3), "Keel")
    assert "Okorie" not in names(found.likely)
    assert found.at[player_of(book, "Tavin Okorie").id] == "Bow"


def test_where_nobody_shared_it_those_who_play_it_may_come(book: Book) -> None:
    """Men kept out of contact are not put in by one key."""
    found = coming_in(book, clip_of(book, 3), "Mike")
    assert found.likely == ()
    with book.act("one of them") as act:
        act.put(Player(name="Silas Wren", position="Mike"))
        act.put(Player(name="Gus Vale", position="Mike", held_out=True))
    assert names(coming_in(book, clip_of(book, 3), "Mike").likely) == ["Wren"]


def test_a_number_two_men_wear_is_told_with_the_name(book: Book) -> None:
    """9 is Lisoway's alone in practice, and Castellow's too in a game (the sample's roster)."""
    men = book.find(Player)
    lisoway, castellow = player_of(book, "Brandt Lisoway"), player_of(book, "Ruben Castellow")
    assert told_apart(lisoway, men) == "9"
    assert told_apart(castellow, men) == "19"
    assert told_apart(castellow, men, game=True) == "9 Castellow"
    bare = Player(name="Gus Vale")
    assert told_apart(bare, [*men, bare]) == "Vale"
