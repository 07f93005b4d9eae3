"""Films of a further angle come to their plays; where order does not tell, it is asked."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import replace
from fractions import Fraction
from os import utime
from pathlib import Path

import numpy as np
import pytest

from gradecut.book import Book
from gradecut.errors import BookError, Cancelled
from gradecut.film import write_film
from gradecut.progress import CancelToken
from gradecut.records import Angle, Clip, Session, StoredFilm
from gradecut.workflows.adding import add_film
from gradecut.workflows.booking import new_book
from gradecut.workflows.pairing import PairingAsked, propose_pairing
from tests.film.invented_sounds import scene
from tests.workflows.heard_films import SCENE_HZ, write_heard

LENGTHS_S = (6.0, 9.5, 4.0, 11.0, 7.5, 5.0, 13.0, 8.5)
"""Eight plays of one period."""
FIRST_AT_S = 1_790_000_000


@pytest.fixture
def book(tmp_path: Path) -> Iterator[Book]:
    """Give a book whose end film is in, eight plays."""
    with new_book(tmp_path / "herons.gradecut", name="Herons", author="J. Alder") as opened:
        add_film(opened, [films(tmp_path / "end", LENGTHS_S)], session="Tuesday")
        yield opened


def films(folder: Path, lengths_s: Sequence[float], *, shade: int = 10) -> Path:
    """Write one small film a length, each of its own grey, so that no two are one film."""
    folder.mkdir(parents=True)
    for number, length_s in enumerate(lengths_s, start=1):
        picture = np.full((48, 64, 3), shade + 3 * number, dtype=np.uint8)
        write_film(
            folder / f"{number}.mp4", (picture for _ in range(round(10 * length_s))),
            rate=Fraction(10), preset="ultrafast", threads=1,
        )  # fmt: skip
    return folder


def side_films(folder: Path, plays: Sequence[int]) -> Path:
    """Write the side camera's films of plays, each with lengths a little its own."""
    rng = np.random.default_rng(len(plays))
    lengths_s = [LENGTHS_S[play - 1] + 1.2 + rng.uniform(-0.3, 0.3) for play in plays]
    return films(folder, lengths_s, shade=120)


def sides(book: Book) -> dict[int, str]:
    """Return which side film stands at which play."""
    plays = {clip.id: clip.order for clip in book.find(Clip)}
    return {
        plays[one.clip_id]: book.get(StoredFilm, one.film_id).name
        for one in book.find(Angle, name="side")
    }


def test_as_many_films_go_by_order(book: Book, tmp_path: Path) -> None:
    """Eight to eight, lengths agreeing: nothing is asked, and that nothing checked it is said."""
    folder = side_films(tmp_path / "side", range(1, 9))
    added = add_film(book, [folder], session="Tuesday", angle="side")
    assert (added.clips, added.angles) == (0, 8)
    assert [note for note in added.notes if "by order alone" in note]
    assert sides(book) == {play: str(play) for play in range(1, 9)}


def test_a_missing_film_is_proposed_and_can_be_accepted(book: Book, tmp_path: Path) -> None:
    """The book stays as it was until the coach accepts; then each film has its play."""
    folder = side_films(tmp_path / "side", [1, 2, 3, 5, 6, 7, 8])
    with pytest.raises(PairingAsked) as asked:
        add_film(book, [folder], session="Tuesday", angle="side")
    pairing = asked.value.pairing
    assert pairing.missing == (4,)
    assert pairing.extra == ()
    assert [play for play, _ in pairing.pairs] == list(range(1, 9))
    assert re.fullmatch(
        r"The side film of play 4 seems to be missing: lengths fit for [67] of 7 pairs within "
        r"0\.\d s, against 3 of 7 by order\.",
        pairing.reasons[0],
    )
    assert "The side films are about 1." in pairing.reasons[-1 if pairing.certain else -2]
    assert str(asked.value).count(". ") == 0
    assert sides(book) == {}
    added = add_film(book, [folder], session="Tuesday", angle="side", pairing=pairing)
    assert added.angles == 7
    assert sides(book) == {1: "1", 2: "2", 3: "3", 5: "4", 6: "5", 7: "6", 8: "7"}
    assert added.notes == ("No side film for play 4.",)


def test_order_can_be_insisted_on(book: Book, tmp_path: Path) -> None:
    """Whatever speaks against it; the play left over is told."""
    folder = side_films(tmp_path / "side", [1, 2, 3, 5, 6, 7, 8])
    added = add_film(book, [folder], session="Tuesday", angle="side", by_order=True)
    assert sides(book) == {play: str(play) for play in range(1, 8)}
    assert added.notes[0].startswith("No side film for play 8: paired by order.")


def test_a_correction_is_taken_as_it_is(book: Book, tmp_path: Path) -> None:
    """A coach who knows better changes pairs; a film he gives no play is left out and told."""
    folder = side_films(tmp_path / "side", [1, 2, 3, 5])
    with pytest.raises(PairingAsked) as asked:
        add_film(book, [folder], session="Tuesday", angle="side")
    paths = [folder / f"{number}.mp4" for number in range(1, 5)]
    mine = replace(
        asked.value.pairing,
        pairs=((2, paths[0]), (3, paths[1]), (None, paths[2]), (10, paths[3])),
    )
    added = add_film(book, [folder], session="Tuesday", angle="side", pairing=mine)
    assert sides(book) == {2: "1", 3: "2", 10: "4"}
    assert (added.clips, added.angles) == (1, 3)
    assert added.notes == ("3.mp4 goes with no play and was left out.",)


def test_a_pairing_that_can_not_be_is_refused(book: Book, tmp_path: Path) -> None:
    """A play twice, one that has its film, or a pairing of another angle."""
    folder = side_films(tmp_path / "side", [1, 2])
    with pytest.raises(PairingAsked) as asked:
        add_film(book, [folder], session="Tuesday", angle="side")
    proposed = asked.value.pairing
    paths = [folder / "1.mp4", folder / "2.mp4"]
    twice = replace(proposed, pairs=((3, paths[0]), (3, paths[1])))
    with pytest.raises(BookError, match="gives play 3 more than once"):
        add_film(book, [folder], session="Tuesday", angle="side", pairing=twice)
    with pytest.raises(BookError, match="is of the side film, not the tower film"):
        add_film(book, [folder], session="Tuesday", angle="tower", pairing=proposed)
    assert sides(book) == {}


def test_an_extra_film_is_proposed_to_be_left_out(book: Book, tmp_path: Path) -> None:
    """The side camera filmed a drill between plays 3 and 4."""
    folder = tmp_path / "side"
    lengths_s = [one + 0.1 * number for number, one in enumerate(LENGTHS_S)]
    films(folder, [*lengths_s[:3], 20.0, *lengths_s[3:]], shade=120)
    with pytest.raises(PairingAsked, match=r"4\.mp4 seems to show none of the plays") as asked:
        add_film(book, [folder], session="Tuesday", angle="side")
    assert asked.value.pairing.extra == (folder / "4.mp4",)
    assert asked.value.pairing.missing == ()


def test_lengths_that_contradict_order_are_asked_about(book: Book, tmp_path: Path) -> None:
    """As many films as plays, but one missing and one too many: order would be wrong."""
    folder = tmp_path / "side"
    films(folder, [*LENGTHS_S[1:], 3.0], shade=120)
    with pytest.raises(PairingAsked) as asked:
        add_film(book, [folder], session="Tuesday", angle="side")
    assert asked.value.pairing.missing == (1,)
    assert asked.value.pairing.extra == (folder / "8.mp4",)


def test_a_few_plays_alike_are_never_called_certain(book: Book, tmp_path: Path) -> None:
    """Lengths of eight plays, without times or sound, go by order but check nothing."""
    home = book.find(Session)[0]
    folder = side_films(tmp_path / "side", range(1, 9))
    pairing = propose_pairing(book, home, sorted(folder.iterdir()), "side")
    assert pairing.plain
    assert not pairing.certain
    assert "neither times nor sound" in pairing.unchecked


def test_what_is_named_beforehand_is_not_asked(book: Book, tmp_path: Path) -> None:
    """Plays without a film, named, leave as many as there are films."""
    folder = side_films(tmp_path / "side", [1, 2, 3, 5, 6, 7, 8])
    add_film(book, [folder], session="Tuesday", angle="side", without=[4])
    assert sides(book)[5] == "4"


def test_times_of_filming_decide_where_lengths_can_not(tmp_path: Path) -> None:
    """Plays all of one length: the hole in the side camera's times shows which is missing."""
    with new_book(tmp_path / "b.gradecut", name="Herons", author="J. Alder") as book:
        end = films(tmp_path / "end", [5.0] * 6)
        side = films(tmp_path / "side", [5.0] * 5, shade=120)
        begun_s = [0, 41, 75, 120, 149, 200]
        for folder, times_s in ((end, begun_s), (side, [*begun_s[:2], *begun_s[3:]])):
            for number, at_s in enumerate(times_s, start=1):
                ahead_s = 777 if folder is side else 0
                when = FIRST_AT_S + at_s + ahead_s
                utime(folder / f"{number}.mp4", (when, when))
        add_film(book, [end], session="Tuesday")
        with pytest.raises(PairingAsked) as asked:
            add_film(book, [side], session="Tuesday", angle="side")
    assert asked.value.pairing.missing == (3,)
    assert asked.value.pairing.certain
    assert asked.value.pairing.reasons[0] == (
        "The side film of play 3 seems to be missing: the times they were filmed fit for 5 of 5 "
        "pairs, against 2 of 5 by order."
    )


def named(folder: Path, names: Sequence[str]) -> Path:
    """Give the films of a folder other names, in their order; none is one that is there."""
    for number, name in enumerate(names, start=1):
        (folder / f"{number}.mp4").rename(folder / f"{name}.mp4")
    return folder


def test_names_say_which_plays_films_show(book: Book, tmp_path: Path) -> None:
    """Three side films named by the play are proposed to those plays, and asked about."""
    folder = named(side_films(tmp_path / "side", [1, 5, 8]), ["play 01", "play 05", "play 08"])
    with pytest.raises(PairingAsked) as asked:
        add_film(book, [folder], session="Tuesday", angle="side")
    pairing = asked.value.pairing
    assert pairing.missing == (2, 3, 4, 6, 7)
    assert any("their names say plays 1, 5 and 8" in one.lower() for one in pairing.reasons)
    assert not any("disagree" in one for one in pairing.reasons)
    add_film(book, [folder], session="Tuesday", angle="side", pairing=pairing)
    assert sides(book) == {1: "play 01", 5: "play 05", 8: "play 08"}


def test_the_name_of_a_single_film_is_evidence_too(book: Book, tmp_path: Path) -> None:
    """A retake of play 6, added alone, goes by its name where its length agrees."""
    folder = named(side_films(tmp_path / "side", [6]), ["06 side"])
    with pytest.raises(PairingAsked, match=r"the name of 06 side\.mp4 says play 6") as asked:
        add_film(book, [folder], session="Tuesday", angle="side")
    assert asked.value.pairing.pairs[5][1] == folder / "06 side.mp4"
    assert not asked.value.pairing.certain


def test_names_that_lengths_contradict_are_told(book: Book, tmp_path: Path) -> None:
    """Numbered one too high from the third on: it is asked, and said what disagrees."""
    names = ["play 02", "play 04", "play 05", "play 06", "play 07", "play 08"]
    folder = named(side_films(tmp_path / "side", [1, 3, 4, 5, 6, 7]), names)
    with pytest.raises(PairingAsked) as asked:
        add_film(book, [folder], session="Tuesday", angle="side")
    pairing = asked.value.pairing
    assert not pairing.certain
    assert (
        "Names and lengths disagree: by its name play 02.mp4 shows play 2, by lengths play 1; "
        "look at that one first."
    ) in pairing.reasons


def test_names_alone_speak_for_plays_without_any_film(book: Book, tmp_path: Path) -> None:
    """Clips that came without film: the names propose, and it is asked."""
    with book.act("take the film away") as act:
        act.drop_all(book.find(Angle))
    folder = named(side_films(tmp_path / "side", [2, 5]), ["02", "05"])
    pairing = propose_pairing(book, book.find(Session)[0], sorted(folder.iterdir()), "side")
    assert pairing.missing == (1, 3, 4, 6, 7, 8)
    assert not pairing.plain
    assert "names of the films say which plays" in pairing.reasons[0]


def test_what_was_heard_decides_too(tmp_path: Path) -> None:
    """Alike lengths, times of copying, but sound: the second side film is of play 3."""
    with new_book(tmp_path / "b.gradecut", name="Herons", author="J. Alder") as book:
        for name, plays in (("end", (1, 2, 3, 4)), ("side", (1, 3, 4))):
            (tmp_path / name).mkdir()
            for number, play in enumerate(plays, start=1):
                write_heard(
                    tmp_path / name / f"{number}.mp4", scene(12.0, SCENE_HZ, seed=play),
                    seconds=6.0, start_s=1.0 if name == "end" else 1.7,
                    gain=1.0 if name == "end" else 0.1, shade=(40 if name == "end" else 90) + play,
                )  # fmt: skip
        add_film(book, [tmp_path / "end"], session="Tuesday")
        with pytest.raises(PairingAsked) as asked:
            add_film(book, [tmp_path / "side"], session="Tuesday", angle="side")
    pairing = asked.value.pairing
    assert pairing.missing == (2,)
    assert pairing.certain
    assert any("3 of 3 pairs were heard to be one scene" in one for one in pairing.reasons)


def test_plays_without_any_film_leave_order_to_decide(book: Book, tmp_path: Path) -> None:
    """Clips that came without film can't be compared with; counts alone tell."""
    home = book.find(Session)[0]
    with book.act("take the film away") as act:
        act.drop_all(book.find(Angle))
    folder = side_films(tmp_path / "side", [1, 2, 3])
    pairing = propose_pairing(book, home, sorted(folder.iterdir()), "side")
    assert not pairing.certain
    assert pairing.missing == (4, 5, 6, 7, 8)
    assert "order alone decides" in pairing.reasons[0]


def test_pairing_stops_when_asked(book: Book, tmp_path: Path) -> None:
    """Nothing is proposed then."""
    folder = side_films(tmp_path / "side", [1])
    cancel = CancelToken()
    cancel.cancel()
    with pytest.raises(Cancelled):
        propose_pairing(book, book.find(Session)[0], [folder / "1.mp4"], "side", cancel=cancel)
