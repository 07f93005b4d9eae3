from __future__ import annotations

from pathlib import Path

from hypothesis import given
from hypothesis import strategies as st

from gradecut.desk.pairing_desk import PairingDesk
from gradecut.workflows.pairing import Pairing

FILMS = tuple(Path(f"/side/{number}.mp4") for number in range(1, 7))
A, B, C, D = FILMS[:4]


def desk_of(*pairs: tuple[int | None, Path | None]) -> PairingDesk:
    """Look at a pairing of the side."""
    return PairingDesk(Pairing(angle="side", pairs=pairs, certain=False, reasons=("So.",)))


def test_a_play_the_camera_missed() -> None:
    """Its film and those below go one on, as far as the next play without film."""
    desk = desk_of((1, A), (2, B), (3, C), (4, None), (5, D))
    assert desk.move_on(1) == 2
    assert desk.pairs == [(1, A), (2, None), (3, B), (4, C), (5, D)]


def test_films_that_go_past_the_last_play_are_left_out_and_told() -> None:
    """No film is lost from sight."""
    desk = desk_of((1, A), (2, B))
    desk.move_on(0)
    assert desk.pairs == [(1, None), (2, A), (None, B)]
    assert desk.told() == "1 film paired, 1 play without film, 1 film left out"


def test_a_film_goes_back_into_the_play_before_that_has_none() -> None:
    """Those below follow; where the play before has a film, nothing moves."""
    desk = desk_of((1, A), (2, None), (3, B), (4, C))
    assert desk.move_back(2) == 1
    assert desk.pairs == [(1, A), (2, B), (3, C), (4, None)]
    assert desk.move_back(1) == 1
    assert desk.pairs == [(1, A), (2, B), (3, C), (4, None)]


def test_a_film_of_no_play_is_left_out_and_taken_in_again() -> None:
    """The films below go one play back, and on again."""
    desk = desk_of((1, A), (2, B), (3, C))
    place = desk.leave_out(1)
    assert desk.pairs == [(1, A), (None, B), (2, C), (3, None)]
    assert desk.rows[place].words == "2.mp4: no play, left out"
    desk.leave_out(place)
    assert desk.pairs == [(1, A), (2, B), (3, C)]


def test_it_can_be_begun_again() -> None:
    """As it was proposed."""
    desk = desk_of((1, A), (2, B))
    desk.leave_out(0)
    desk.begin_again()
    assert desk.accepted == desk.proposed


def test_lengths_that_differ_are_told_beside_what_the_camera_always_runs_longer() -> None:
    """A camera that runs two seconds longer on every play is no sign against a pair."""
    plays = {1: 6.0, 2: 7.0, 3: 5.0, 4: 9.0}
    films = {A: 8.1, B: 9.0, C: 12.0, D: 10.8}
    pairs = ((1, A), (2, B), (3, C), (4, D))
    proposed = Pairing(angle="side", pairs=pairs, certain=False, reasons=("So.",))
    rows = PairingDesk(proposed, plays, films).rows
    assert [row.apart for row in rows] == [False, False, True, False]
    assert rows[2].words == "Play 3: 3.mp4, lengths differ"


@given(
    st.lists(st.booleans(), min_size=1, max_size=6),
    st.lists(st.tuples(st.sampled_from(["move_on", "move_back", "leave_out"]), st.integers(0, 9))),
)
def test_whatever_keys_are_pressed_no_film_is_lost_and_order_stays(
    there: list[bool], presses: list[tuple[str, int]]
) -> None:
    """A law: plays and films keep their order, each is there once, no row is empty."""
    films = iter(FILMS)
    pairs = [(play, next(films) if has else None) for play, has in enumerate(there, start=1)]
    desk = desk_of(*pairs)
    plays_before = [play for play, _ in pairs]
    films_before = [film for _, film in pairs if film is not None]
    for name, place in presses:
        goal = getattr(desk, name)(min(place, len(desk.pairs) - 1))
        assert 0 <= goal < len(desk.pairs)
        assert [play for play, _ in desk.pairs if play is not None] == plays_before
        assert sorted(film for _, film in desk.pairs if film) == films_before
        paired = [film for play, film in desk.pairs if play is not None and film is not None]
        assert paired == sorted(paired)
        assert (None, None) not in desk.pairs


def test_a_film_that_goes_past_one_left_out_does_not_change_places_with_it() -> None:
    """What was filmed first stands first, so that the one left out comes back where it was."""
    desk = desk_of((1, None), (2, A), (3, B))
    place = desk.leave_out(1)
    assert desk.pairs == [(1, None), (None, A), (2, B), (3, None)]
    assert desk.move_back(2) == 1
    assert desk.pairs == [(None, A), (1, B), (2, None), (3, None)]
    desk.leave_out(place - 1)
    assert desk.pairs == [(1, A), (2, B), (3, None)]
