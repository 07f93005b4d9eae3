"""The roster says whom a name or a number on a sheet means."""

from __future__ import annotations

from pathlib import Path

import pytest

from gradecut.book import Book
from gradecut.errors import InputError
from gradecut.records import Player
from gradecut.workflows.roster import add_roster, by_staff, find_player, read_roster
from tests.workflows.small_week import ROSTER, player_of, stored, write_lines


def test_a_repeated_line_is_a_fault_with_both_lines(tmp_path: Path) -> None:
    """Capitals make no other man."""
    sheet = write_lines(
        tmp_path / "r.csv", "name,practice_number", "A Bell,1", "C Dow,2", "a bell,3"
    )
    with pytest.raises(InputError) as caught:
        read_roster(sheet)
    assert caught.value.faults == ((4, "“a bell” is already in line 2; keep one."),)


def test_all_faults_are_told_at_once(tmp_path: Path) -> None:
    """A line without a name and a yes that is none."""
    sheet = write_lines(tmp_path / "r.csv", "name;under_18", ";no", "C Dow;perhaps")
    with pytest.raises(InputError) as caught:
        read_roster(sheet)
    assert [line for line, _ in caught.value.faults] == [2, 3]


def test_numbers_are_kept_as_worn(tmp_path: Path) -> None:
    """07 is not 7, and two men may wear one number."""
    sheet = write_lines(tmp_path / "r.csv", "name,practice_number", "A Bell,07", "C Dow,07")
    assert [man.practice_number for man in read_roster(sheet)] == ["07", "07"]


def test_a_new_roster_brings_men_up_to_date_without_doubling_them(
    book: Book, tmp_path: Path
) -> None:
    """Okorie keeps his reps when his number changes."""
    before = player_of(book, "Tavin Okorie")
    add_roster(book, write_lines(tmp_path / "r.csv", "name,practice_number", "tavin okorie,45"))
    after = next(man for man in book.find(Player) if man.id == before.id)
    assert (after.practice_number, book.count(Player)) == ("45", 9)


def test_a_faulty_roster_leaves_the_book(book: Book, tmp_path: Path) -> None:
    """Nothing of it comes in."""
    before = stored(book)
    with pytest.raises(InputError):
        add_roster(book, write_lines(tmp_path / "r.csv", "name", "A Bell", "A Bell"))
    assert stored(book) == before


@pytest.mark.parametrize(
    ("said", "game", "meant"),
    [
        ("Tavin Okorie", False, "Tavin Okorie"),
        ("okorie", False, "Tavin Okorie"),
        ("#44", False, "Tavin Okorie"),
        ("9", False, "Brandt Lisoway"),
        ("19", False, "Ruben Castellow"),
        ("16", False, "Emeka Thornbury"),
        ("6", True, "Emeka Thornbury"),
    ],
)
def test_a_man_is_found_by_name_last_name_or_the_number_he_wears(
    said: str, game: bool, meant: str
) -> None:
    """In practice by his practice number, in a game by his game number."""
    found = find_player(read_roster(ROSTER), said, game=game)
    assert isinstance(found, Player)
    assert found.name == meant


def test_a_number_two_men_wear_is_asked_back() -> None:
    """Lisoway and Castellow both wear 9 in games."""
    said = find_player(read_roster(ROSTER), "9", game=True)
    assert said == "“9” may be Brandt Lisoway and Ruben Castellow; write the whole name."


def test_an_unknown_name_brings_the_nearest() -> None:
    """As it is spelt on the roster."""
    said = find_player(read_roster(ROSTER), "tavin okori")
    assert said == "“tavin okori” is not on the roster; did you mean “Tavin Okorie”?"
    assert isinstance(find_player(read_roster(ROSTER), ""), str)


def test_a_players_own_rows_are_no_staffs() -> None:
    """Whatever the spaces and capitals of his name."""
    players = [Player(name="Tavin Okorie")]
    rows = [type("Row", (), {"author": name})() for name in ("J. Alder", " tavin  OKORIE ")]
    assert [row.author for row in by_staff(rows, players)] == ["J. Alder"]


def test_a_last_name_of_two_words_is_found() -> None:
    """As a script has it; where two men share the end of it, both are named."""
    players = [Player(name="Piet Van Houten"), Player(name="Lon Houten"), Player(name="Ed Cale")]
    found = find_player(players, "van  houten")
    assert isinstance(found, Player)
    assert found.name == "Piet Van Houten"
    said = find_player(players, "Houten")
    assert said == "“Houten” may be Piet Van Houten and Lon Houten; write the whole name."
