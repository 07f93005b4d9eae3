"""Names of players' files: one for each man, whatever he is called."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from gradecut.records import Player
from gradecut.workflows.player_files import file_names, plain_names


def named(*men: Player) -> list[str]:
    """Return what the men's files are called, in order."""
    names = file_names(men)
    return [names[man.id] for man in men]


def test_a_name_of_his_own_stays_as_it_is() -> None:
    """Nothing is added where nobody is in the way."""
    assert named(Player(name="Dez Marchand-Pike"), Player(name="T. Okorie")) == [
        "Dez Marchand-Pike",
        "T Okorie",
    ]


def test_men_of_much_the_same_name_are_told_apart_by_number() -> None:
    """The number worn first, then a count."""
    men = [
        Player(name="A. Bee"),
        Player(name="A_ Bee", practice_number="44"),
        Player(name="a bee"),
        Player(name="A  Bee", practice_number="44"),
    ]
    assert named(*men) == ["A Bee", "A Bee 44", "a bee-2", "A Bee-3"]


@given(st.lists(st.tuples(st.text(max_size=6), st.sampled_from(["", "4", "44"])), max_size=12))
def test_no_two_men_share_a_file(men: list[tuple[str, str]]) -> None:
    """Whatever the names hold, no file is overwritten and none has a bad letter."""
    called = named(*(Player(name=name, practice_number=worn) for name, worn in men))
    assert len({name.casefold() for name in called}) == len(men)
    assert all(letter.isalnum() or letter in " -" for name in called for letter in name)


def test_a_name_stays_in_its_folder_and_fits_a_disk() -> None:
    """No way up, no folder of its own; what has no letter is still named."""
    odd = ["../../../evil", "A/B", "A B", "é" * 400, "é" * 401, "..", "<script>x</script>"]
    called = plain_names(odd, "man")
    assert called[:3] == ("evil", "A B", "A B-2")
    assert called[5:] == ("man", "script x script")
    assert len(set(called)) == len(odd)
    assert all(len(name.encode()) <= 180 for name in called)
