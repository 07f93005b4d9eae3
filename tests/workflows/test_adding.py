"""Film comes into the book in the order of the plays, and nothing comes in by halves."""

from __future__ import annotations

import shutil
from fractions import Fraction
from os import utime
from pathlib import Path

import pytest

from gradecut.book import Book
from gradecut.errors import BookError, Cancelled, FilmError, InputError
from gradecut.progress import CancelToken
from gradecut.records import Angle, Clip, Mark, Session, StoredFilm
from gradecut.reels import Piece
from gradecut.workflows.adding import add_film, find_session, read_plays, shift_pairing
from gradecut.workflows.booking import new_book
from gradecut.workflows.dropping import drop_play
from gradecut.workflows.look_pictures import turn_pictures
from gradecut.workflows.marking import add_mark
from gradecut.workflows.moments import mark_moment
from gradecut.workflows.passing import pass_clip
from gradecut.workflows.teaching import build_reel
from tests.reels.numbered_film import make_film
from tests.workflows.small_week import (
    END_FILMS,
    SESSION,
    angle_of,
    clip_of,
    pts_of,
    rep_of,
    stored,
    write_lines,
    write_script,
)


def films_of(book: Book, angle: str) -> dict[int, str]:
    """Return which film stands at which play."""
    plays = {clip.id: clip.order for clip in book.find(Clip)}
    return {
        plays[one.clip_id]: book.get(StoredFilm, one.film_id).name
        for one in book.find(Angle, name=angle)
    }


@pytest.fixture
def bare(tmp_path: Path) -> Book:
    """Give a new book with nothing in it."""
    return new_book(tmp_path / "bare.gradecut", name="Herons", author="J. Alder")


def test_play_10_comes_after_play_9(book: Book) -> None:
    """Films come in as a person counts, not as the alphabet does."""
    assert films_of(book, "end") == dict(enumerate((Path(n).stem for n in END_FILMS), 1))


def test_a_second_angle_is_paired_by_order_and_moved_once(book: Book) -> None:
    """The side camera missed play 2: one move puts films 2 and 3 to plays 3 and 4."""
    assert films_of(book, "side") == {1: "1", 3: "2", 4: "3"}
    shift_pairing(book, find_session(book, SESSION), "side", from_play=3, by=-1)
    assert films_of(book, "side") == {1: "1", 2: "2", 3: "3"}


def test_a_play_can_be_named_that_an_angle_has_no_film_of(
    bare: Book, week_films: tuple[Path, Path]
) -> None:
    """Named beforehand, no move is needed, and nothing is told to be missing but that."""
    end, side = week_films
    add_film(bare, [end], session="Tuesday")
    added = add_film(bare, [side], session="tuesday", angle="side", without=[2])
    assert films_of(bare, "side") == {1: "1", 3: "2", 4: "3"}
    assert (added.clips, added.angles) == (0, 3)
    assert not any("No side film" in note for note in added.notes)


def test_film_that_is_all_there_makes_no_session(
    book: Book, week_films: tuple[Path, Path], tmp_path: Path
) -> None:
    """A new name for old film leaves no empty session behind, script or not, and says so."""
    before = stored(book)
    script = write_script(tmp_path / "s.csv")
    for more in ({}, {"script": script}):
        added = add_film(book, [week_films[0]], session="Wednesday", **more)
        assert (added.clips, added.angles, added.scripted) == (0, 0, 0)
        assert added.notes[-1] == "Nothing is new, so no session “Wednesday” was made."
    after = stored(book)
    assert [one.name for one in book.find(Session)] == [SESSION]
    assert (after["Clip"], after["Angle"]) == (before["Clip"], before["Angle"])


def test_what_a_session_is_is_not_contradicted(book: Book, week_films: tuple[Path, Path]) -> None:
    """Another kind or day than the book has is refused; the same is no contradiction."""
    before = stored(book)
    with pytest.raises(BookError, match="“Tuesday” is a practice in this book, not game"):
        add_film(book, [week_films[0]], session=SESSION, kind="game")
    with pytest.raises(BookError, match="“Tuesday” is 2026-10-06 in this book, not 2026-10-07"):
        add_film(book, [week_films[0]], session=SESSION, day="2026-10-07")
    assert stored(book) == before
    add_film(book, [week_films[0]], session=SESSION, kind="practice", day="2026-10-06")


def test_a_session_without_a_day_gets_it(bare: Book, week_films: tuple[Path, Path]) -> None:
    """Told with the second camera's film."""
    end, side = week_films
    add_film(bare, [end], session="Tuesday")
    add_film(bare, [side], session="Tuesday", angle="side", day="2026-10-06", by_order=True)
    assert [one.day for one in bare.find(Session)] == ["2026-10-06"]


def test_film_and_a_drifted_script_come_in_at_once(
    bare: Book, week_films: tuple[Path, Path], tmp_path: Path
) -> None:
    """From play 2 on, which was the script's number 3."""
    script = write_lines(tmp_path / "s.csv", "number,call", "1,A", "2,B", "3,C", "4,D")
    added = add_film(
        bare, [week_films[0]], session="Tuesday", script=script, from_play=2, from_number=3
    )
    assert added.scripted == 2
    clips = {clip.order: clip.script_number for clip in bare.find(Clip)}
    assert clips == {1: None, 2: 3, 3: 4, 4: None}


def test_a_missing_film_is_told(bare: Book, week_films: tuple[Path, Path]) -> None:
    """Three films to four plays, paired by order: the coach is told which play got none."""
    end, side = week_films
    add_film(bare, [end], session="Tuesday")
    added = add_film(bare, [side], session="Tuesday", angle="side", by_order=True)
    assert any(note.startswith("No side film for play 4:") for note in added.notes)


def test_a_varying_rate_is_told(bare: Book, week_films: tuple[Path, Path]) -> None:
    """Counting frames on such film needs to know."""
    added = add_film(bare, [week_films[0]], session="Tuesday")
    assert [note for note in added.notes if note.startswith("play 9.mp4: ")]


def test_more_film_of_the_session_makes_more_plays(
    book: Book, week_films: tuple[Path, Path], tmp_path: Path
) -> None:
    """A film that is there is left where it is; a new one becomes the next play."""
    card = tmp_path / "card"
    card.mkdir()
    shutil.copy(week_films[0] / "play 1.mp4", card / "1 again.mp4")
    make_film(card / "2 new.mp4", 40, END_FILMS["play 1.mp4"][1])
    added = add_film(book, [card], session=SESSION)
    assert (added.clips, added.angles) == (1, 1)
    assert films_of(book, "end")[5] == "2 new"
    assert added.notes == (
        "1 again.mp4: this film is already in the book, as the end of play 1 of Tuesday, as "
        "“play 1”.",
    )


def test_the_same_film_twice_on_a_card_is_taken_once(bare: Book, tmp_path: Path) -> None:
    """Whatever it is called; the coach is told which two are one."""
    make_film(tmp_path / "1.mp4", 40, END_FILMS["play 1.mp4"][1])
    make_film(tmp_path / "2.mp4", 50, END_FILMS["play 1.mp4"][1])
    shutil.copy(tmp_path / "1.mp4", tmp_path / "3 copy.mp4")
    added = add_film(bare, [tmp_path], session="Tuesday")
    assert (added.clips, added.angles, bare.count(StoredFilm)) == (2, 2, 2)
    assert added.notes == ("3 copy.mp4: this is the same film as 1.mp4; it is taken once.",)


def test_film_of_another_session_is_told_with_its_place(
    book: Book, week_films: tuple[Path, Path], tmp_path: Path
) -> None:
    """A new name and a new session do not double it."""
    before = book.count(Angle)
    shutil.copy(week_films[0] / "play 2.mp4", tmp_path / "inside run.mp4")
    make_film(tmp_path / "new.mp4", 45, END_FILMS["play 1.mp4"][1])
    added = add_film(book, [tmp_path], session="Wednesday")
    assert added.notes == (
        "inside run.mp4: this film is already in the book, as the end of play 2 of Tuesday, as "
        "“play 2”.",
    )
    assert (added.clips, book.count(Angle)) == (1, before + 1)


def test_times_that_contradict_names_are_told_not_sorted(bare: Book, tmp_path: Path) -> None:
    """The order of the names stays; copied files, all of one time, say nothing."""
    for number in (1, 2, 3):
        make_film(tmp_path / f"{number}.mp4", 30 + number, END_FILMS["play 1.mp4"][1])
    for number, at_s in ((1, 0), (2, 300), (3, 150)):
        utime(tmp_path / f"{number}.mp4", (1_790_000_000 + at_s, 1_790_000_000 + at_s))
    added = add_film(bare, [tmp_path], session="Tuesday")
    assert films_of(bare, "end") == {1: "1", 2: "2", 3: "3"}
    assert added.notes[0].startswith("By their times 3.mp4 was filmed before 2.mp4;")


@pytest.fixture
def card_with_a_bad_film(tmp_path: Path) -> Path:
    """Give a folder of four films, of which the second is a text file."""
    card = tmp_path / "card"
    card.mkdir()
    for number in (1, 3, 4):
        make_film(card / f"{number}.mp4", 30 + 10 * number, END_FILMS["play 1.mp4"][1])
    write_lines(card / "2.mp4", "no film")
    return card


def test_what_is_no_film_is_passed_over_and_told(bare: Book, card_with_a_bad_film: Path) -> None:
    """The others are in, in order; its play is there without film, so that no number shifts."""
    added = add_film(bare, [card_with_a_bad_film], session="Tuesday")
    assert (added.clips, added.angles) == (4, 3)
    assert films_of(bare, "end") == {1: "1", 3: "3", 4: "4"}
    (said,) = added.faults
    assert said.startswith("2.mp4 was passed over, and play 2 has no end film: ")
    assert "text file" in said
    assert "Add the same again once it is good: it goes to its play." in added.notes


def test_a_film_that_was_passed_over_comes_to_its_play(
    bare: Book, card_with_a_bad_film: Path
) -> None:
    """Copied anew and the folder added again; what is still bad changes nothing."""
    add_film(bare, [card_with_a_bad_film], session="Tuesday")
    again = add_film(bare, [card_with_a_bad_film], session="Tuesday")
    assert (again.clips, again.angles, bare.count(Clip)) == (0, 0, 4)
    assert again.faults[0].startswith("2.mp4 was passed over, and play 2 has no end film: ")
    make_film(card_with_a_bad_film / "2.mp4", 35, END_FILMS["play 1.mp4"][1])
    make_film(card_with_a_bad_film / "5.mp4", 36, END_FILMS["play 1.mp4"][1])
    added = add_film(bare, [card_with_a_bad_film], session="Tuesday")
    assert (added.clips, added.angles, added.faults) == (1, 2, ())
    assert films_of(bare, "end") == {number: str(number) for number in range(1, 6)}


def test_a_bad_last_film_keeps_its_play_too(bare: Book, tmp_path: Path) -> None:
    """It comes to it when it is good."""
    make_film(tmp_path / "1.mp4", 40, END_FILMS["play 1.mp4"][1])
    write_lines(tmp_path / "2.mp4", "no film")
    add_film(bare, [tmp_path], session="Tuesday")
    make_film(tmp_path / "2.mp4", 45, END_FILMS["play 1.mp4"][1])
    add_film(bare, [tmp_path], session="Tuesday")
    assert films_of(bare, "end") == {1: "1", 2: "2"}


def test_a_bad_film_of_the_second_camera_stands_for_its_play(
    bare: Book, card_with_a_bad_film: Path, tmp_path: Path
) -> None:
    """Nothing shifts, so nothing has to be asked; it comes to its play when it is good."""
    end, side = tmp_path / "end", card_with_a_bad_film
    shutil.copytree(side, end)
    for number in (1, 2, 3, 4):
        make_film(end / f"{number}.mp4", 31 + 10 * number, END_FILMS["play 1.mp4"][1])
    add_film(bare, [end], session="Tuesday")
    added = add_film(bare, [side], session="Tuesday", angle="side")
    assert films_of(bare, "side") == {1: "1", 3: "3", 4: "4"}
    assert added.faults[0].startswith("2.mp4 was passed over, and play 2 has no side film: ")
    make_film(side / "2.mp4", 52, END_FILMS["play 1.mp4"][1])
    add_film(bare, [side], session="Tuesday", angle="side")
    assert films_of(bare, "side")[2] == "2"


def test_a_script_keeps_to_its_plays_past_a_bad_film(
    bare: Book, card_with_a_bad_film: Path, tmp_path: Path
) -> None:
    """The film that is missing has its line of the script."""
    script = write_lines(tmp_path / "s.csv", "number,call", "1,A", "2,B", "3,C", "4,D")
    added = add_film(bare, [card_with_a_bad_film], session="Tuesday", script=script)
    assert added.scripted == 4
    assert {clip.order: clip.script_number for clip in bare.find(Clip)} == {
        number: number for number in range(1, 5)
    }


def test_where_nothing_is_a_film_the_book_stays_as_it_was(book: Book, tmp_path: Path) -> None:
    """One is refused with its fault, several with one each."""
    before = stored(book)
    write_lines(tmp_path / "1.mp4", "no film")
    with pytest.raises(FilmError, match=r"1\.mp4"):
        add_film(book, [tmp_path], session="Wednesday")
    write_lines(tmp_path / "2.mp4", "no film either")
    with pytest.raises(InputError) as caught:
        add_film(book, [tmp_path], session="Wednesday")
    assert [said[:5] for _, said in caught.value.faults] == ["1.mp4", "2.mp4"]
    assert stored(book) == before


def test_stopping_leaves_nothing(bare: Book, week_films: tuple[Path, Path]) -> None:
    """Stopped at once, or while films are being put in."""
    before = stored(bare)
    at_once = CancelToken()
    at_once.cancel()
    with pytest.raises(Cancelled):
        add_film(bare, [week_films[0]], session="Tuesday", cancel=at_once)

    class AfterTwo(CancelToken):
        looked = 0

        def check(self, what: str = "The work") -> None:
            self.looked += what == "Adding film"
            if self.looked > 2:
                self.cancel()
            super().check(what)

    later = AfterTwo()
    with pytest.raises(Cancelled):
        add_film(bare, [week_films[0]], session="Tuesday", cancel=later)
    assert later.looked == 3
    assert stored(bare) == before


def test_adding_is_one_act(bare: Book, week_films: tuple[Path, Path]) -> None:
    """One undo takes the whole card out again."""
    add_film(bare, [week_films[0]], session="Tuesday")
    bare.undo()
    assert [bare.count(kind) for kind in (Session, Clip, Angle, StoredFilm)] == [0, 0, 0, 0]


def test_a_move_that_cant_be_is_refused(book: Book) -> None:
    """Onto a film that is there, before the first play, by nothing, or of no film."""
    before, home = stored(book), find_session(book, SESSION)
    for from_play, by, said in (
        (3, -2, "play 1, which has one"),
        (1, -1, "before the first play"),
        (3, 0, "no side film from play 3"),
        (5, 1, "no side film from play 5"),
    ):
        with pytest.raises(BookError, match=said):
            shift_pairing(book, home, "side", from_play=from_play, by=by)
    assert stored(book) == before


def test_a_film_on_which_a_man_is_marked_is_not_moved(book: Book) -> None:
    """His first step, his bracket or a reel would come to another play's man."""
    home, angle, rep = (
        find_session(book, SESSION),
        angle_of(book, 3, "side"),
        rep_of(book, 3, "Bow"),
    )
    pts = pts_of(book, angle, 80)
    mark_moment(book, angle, "first step", pts, rep)
    with pytest.raises(BookError, match="First steps are marked"):
        shift_pairing(book, home, "side", from_play=3, by=1)
    book.undo()
    add_mark(
        book,
        Mark(
            angle_id=angle.id, kind="bracket", points=((1, 1),), from_pts=pts, to_pts=pts,
            rep_id=rep.id,
        ),
    )  # fmt: skip
    with pytest.raises(BookError, match="Men are marked"):
        shift_pairing(book, home, "side", from_play=3, by=1)
    book.undo()
    mark_moment(book, angle, "snap", pts)
    pass_clip(book, clip_of(book, 3))
    build_reel(book, "Thornbury split zone")
    assert book.find(Piece, angle_id=angle.id)
    with pytest.raises(BookError, match="Reels rest"):
        shift_pairing(book, home, "side", from_play=3, by=1)


def test_a_move_past_the_end_makes_the_plays_it_needs(book: Book) -> None:
    """A film without a play gets one."""
    shift_pairing(book, find_session(book, SESSION), "side", from_play=4, by=2)
    assert films_of(book, "side")[6] == "3"
    assert [clip.order for clip in book.find(Clip)] == [1, 2, 3, 4, 5, 6]


def test_a_session_that_is_not_there_is_named_with_those_that_are(book: Book) -> None:
    """A coach who mistypes sees what to type."""
    with pytest.raises(BookError, match="there is Tuesday"):
        find_session(book, "Tusday")


def test_more_film_with_a_sheet_of_its_own_leaves_the_first_match(
    book: Book, tmp_path: Path
) -> None:
    """A second script sheet belongs to the plays added with it."""
    film = make_film(tmp_path / "a.mp4", 35, END_FILMS["play 1.mp4"][1])
    script = write_script(tmp_path / "s.csv", ("9,Team,run,live,Late,,,,,,,,,",))
    add_film(book, [film], session=SESSION, script=script)
    assert [clip.script_number for clip in book.find(Clip)] == [1, 2, 3, 4, 9]


def test_a_sheet_of_the_new_plays_goes_to_them_where_a_number_is_missing(
    book: Book, tmp_path: Path
) -> None:
    """The last play was the fourth, of three: its match stays, and the new play has the line."""
    drop_play(book, clip_of(book, 3))
    film = make_film(tmp_path / "a.mp4", 35, END_FILMS["play 1.mp4"][1])
    script = write_script(tmp_path / "s.csv", ("9,Team,run,live,Late,,,,,,,,,",))
    add_film(book, [film], session=SESSION, script=script)
    told = {clip.order: clip.script_number for clip in book.find(Clip)}
    assert told == {1: 1, 2: 2, 4: 4, 5: 9}


def test_more_film_takes_its_own_lines_where_a_number_is_missing(
    book: Book, tmp_path: Path
) -> None:
    """Plays 1, 2 and 4 are there: the next is play 5, and takes the fifth line."""
    drop_play(book, clip_of(book, 3))
    film = make_film(tmp_path / "a.mp4", 35, END_FILMS["play 1.mp4"][1])
    script = write_lines(
        tmp_path / "s.csv", "number,call", *(f"{number},C{number}" for number in range(1, 6))
    )
    added = add_film(book, [film], session=SESSION, script=script)
    assert [(clip.order, clip.script_number) for clip in book.find(Clip)] == [
        (1, 1),
        (2, 2),
        (4, 4),
        (5, 5),
    ]
    assert clip_of(book, 5).call == "C5"
    assert clip_of(book, 4).call == "Harbor"
    assert not [note for note in added.notes if note.startswith("The script has")]


def test_plays_are_read_as_a_coach_writes_them() -> None:
    """Stretches and single plays, apart by comma or space; anything else is a sentence."""
    assert read_plays("2-4, 7") == (2, 3, 4, 7)
    assert read_plays("3;5 2 – 3") == (3, 5, 2, 3)
    assert read_plays(" ") == ()
    for written, why in (("one", "no play"), ("4-2", "runs backwards"), ("2-", "no play")):
        with pytest.raises(BookError, match=why):
            read_plays(written)


def test_films_move_to_numbers_that_have_no_play(book: Book) -> None:
    """A number may be missing before the last play: moving a film there makes its play."""
    home = find_session(book, SESSION)
    with book.act("leave number 5 out") as act:
        act.put(Clip(session_id=home.id, order=7))
    assert shift_pairing(book, home, "side", from_play=3, by=2) == 2
    there = {clip.id: clip.order for clip in book.find(Clip, session_id=home.id)}
    films = {there[one.clip_id] for one in book.find(Angle, name="side")}
    assert films == {1, 5, 6}
    assert sorted(there.values()) == [1, 2, 3, 4, 5, 6, 7]


def test_film_added_later_sees_looks_as_the_rest_of_its_angle(book: Book, tmp_path: Path) -> None:
    """The session's end film is from behind the defence; so is the play that comes in after it."""
    session = find_session(book, SESSION)
    turn_pictures(book, session.id, "end", 180)
    late = tmp_path / "late"
    late.mkdir()
    make_film(late / "99.mp4", 23, Fraction(30))
    add_film(book, [late], session=SESSION, angle="end")
    last = max(book.find(Clip, session_id=session.id), key=lambda clip: clip.order)
    assert [angle.turn for angle in book.find(Angle, clip_id=last.id)] == [180]
