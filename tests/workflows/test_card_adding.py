from __future__ import annotations

import os
import shutil
import threading
from collections.abc import Iterator
from pathlib import Path

import pytest

from gradecut.book import Book, open_book
from gradecut.errors import BookError, FilmError, InputError
from gradecut.progress import CancelToken
from gradecut.records import Angle, Clip, FilmFile, Flag, Session
from gradecut.workflows import verified_copy
from gradecut.workflows.adding import add_film
from gradecut.workflows.booking import new_book
from gradecut.workflows.card import CopyStopped
from gradecut.workflows.card_adding import add_card
from gradecut.workflows.counting import toggle_flag
from gradecut.workflows.pairing import PairingAsked
from tests.workflows.small_week import COACH, HARBOR, ROSTER, SESSION, write_script

SHOT_S = 1_790_000_000


@pytest.fixture
def card(tmp_path: Path, week_films: tuple[Path, Path]) -> Path:
    """Put a card in with the four films of the end camera, in two folders."""
    names = ("100MEDIA/CLIP1.MP4", "100MEDIA/CLIP2.MP4", "101MEDIA/CLIP1.MP4", "101MEDIA/CLIP2.MP4")
    films = ("play 1.mp4", "play 2.mp4", "play 9.mp4", "play 10.mp4")
    folder = tmp_path / "card" / "DCIM"
    for number, (name, film) in enumerate(zip(names, films, strict=True)):
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        shutil.copy(week_films[0] / film, folder / name)
        os.utime(folder / name, (SHOT_S + 60 * number,) * 2)
    return tmp_path / "card"


@pytest.fixture
def bare(tmp_path: Path) -> Iterator[Book]:
    """Start a book without film."""
    path = tmp_path / "bare.gradecut"
    with new_book(path, name="Herons", author=COACH, scheme=HARBOR, roster=ROSTER) as book:
        yield book


def plays_of(book: Book, session: str = SESSION) -> dict[int, str]:
    """Return by play the name its film has on the card."""
    home = next(one for one in book.find(Session) if one.name == session)
    found = {}
    for clip in book.find(Clip, session_id=home.id):
        for angle in book.find(Angle, clip_id=clip.id):
            path = Path(book.find(FilmFile, film_id=angle.film_id)[0].path)
            found[clip.order] = f"{path.parent.name}/{path.name}"
    return found


ALL = {
    1: "100MEDIA/CLIP1.MP4",
    2: "100MEDIA/CLIP2.MP4",
    3: "101MEDIA/CLIP1.MP4",
    4: "101MEDIA/CLIP2.MP4",
}


def test_each_film_is_a_play_as_soon_as_it_is_copied(
    bare: Book, card: Path, tmp_path: Path
) -> None:
    """While play 3 is copied, plays 1 and 2 are in the book and said to be ready."""
    script = write_script(tmp_path / "script.csv")
    ready: list[tuple[str, int]] = []

    def progress(done: float, saying: str) -> None:
        if done < 1 and saying.startswith("Copying"):
            ready.append((saying.rpartition(";")[2].strip(), bare.count(Clip)))

    done = add_card(
        bare, card, tmp_path / "films", session=SESSION, script=script, progress=progress
    )
    assert ("2 plays ready to grade", 2) in ready
    assert plays_of(bare) == ALL
    assert done.added is not None
    assert (done.added.clips, done.added.scripted, done.faults) == (4, 4, ())
    assert [clip.script_number for clip in bare.find(Clip)] == [1, 2, 3, 4]


def test_a_card_broken_off_goes_on_where_it_was(bare: Book, card: Path, tmp_path: Path) -> None:
    """Stopped after two plays and begun again, the plays are the same, and none is doubled."""
    cancel = CancelToken()

    def progress(done: float, saying: str) -> None:
        if done < 1 and "2 plays ready" in saying:
            cancel.cancel()

    with pytest.raises(CopyStopped, match="2 of 4 films of the card are copied"):
        add_card(bare, card, tmp_path / "films", session=SESSION, progress=progress, cancel=cancel)
    assert list(plays_of(bare)) == [1, 2]
    script = write_script(tmp_path / "script.csv")
    done = add_card(bare, card, tmp_path / "films", session=SESSION, script=script)
    assert plays_of(bare) == ALL
    assert done.added is not None
    assert done.added.clips == 2
    assert [clip.script_number for clip in bare.find(Clip)] == [None, None, 3, 4]


@pytest.mark.parametrize("bad", [0, 1, 3])
def test_a_film_that_comes_late_has_its_number(
    bare: Book, card: Path, tmp_path: Path, bad: int
) -> None:
    """A film that could not be read leaves its number free, and comes into it later."""
    film = card / "DCIM" / list(ALL.values())[bad]
    whole = film.read_bytes()
    film.write_bytes(whole[: len(whole) // 2])
    first = add_card(bare, card, tmp_path / "films", session=SESSION)
    assert len(first.faults) == 1
    assert "cut off" in first.faults[0]
    assert plays_of(bare) == {play: name for play, name in ALL.items() if play != bad + 1}
    film.write_bytes(whole)
    again = add_card(bare, card, tmp_path / "films", session=SESSION)
    assert again.faults == ()
    assert list(plays_of(bare)) == [1, 2, 3, 4]
    assert plays_of(bare)[bad + 1].startswith(ALL[bad + 1].removesuffix(".MP4"))


def test_copies_that_were_moved_are_found_where_they_lie_now(
    bare: Book, card: Path, tmp_path: Path
) -> None:
    """The card copied to another drive again: no film is doubled, and each is found there."""
    add_card(bare, card, tmp_path / "films", session=SESSION)
    (tmp_path / "films").rename(tmp_path / "archive")
    done = add_card(bare, card, tmp_path / "archive", session=SESSION)
    assert (done.copied.copied, plays_of(bare)) == ((), ALL)
    films = bare.find(FilmFile)
    assert len(films) == 4
    assert all(Path(film.path).is_file() for film in films)


def test_a_script_of_the_new_plays_only_begins_with_them(
    bare: Book, card: Path, tmp_path: Path, week_films: tuple[Path, Path]
) -> None:
    """Four plays were there; the card's are matched from the sheet's first line."""
    add_film(bare, [week_films[1]], session=SESSION)
    script = write_script(tmp_path / "script.csv")
    (card / "DCIM" / "101MEDIA" / "CLIP2.MP4").unlink()
    add_card(bare, card, tmp_path / "films", session=SESSION, script=script, from_number=2,
             from_play=4)  # fmt: skip
    assert [clip.script_number for clip in bare.find(Clip)] == [None, None, None, 2, 3, 4]


def test_a_further_angle_is_paired_when_all_of_it_is_copied(
    bare: Book, tmp_path: Path, week_films: tuple[Path, Path]
) -> None:
    """Three films for four plays are asked about when they are copied, and taken as told."""
    add_film(bare, [week_films[0]], session=SESSION)
    card, films = tmp_path / "card", tmp_path / "films"
    shutil.copytree(week_films[1], card)
    with pytest.raises(PairingAsked) as asked:
        add_card(bare, card, films, session=SESSION, angle="side")
    assert [path.name for _, path in asked.value.pairing.pairs if path] == [
        "1.mp4",
        "2.mp4",
        "3.mp4",
    ]
    assert len(list(films.iterdir())) == 3
    assert bare.count(Angle, name="side") == 0
    script = write_script(tmp_path / "script.csv")
    done = add_card(
        bare, card, films, session=SESSION, angle="side", script=script, pair="proposed"
    )
    assert done.copied.copied == ()
    assert done.added is not None
    assert done.added.scripted == 4
    assert bare.count(Angle, name="side") == 3
    assert bare.count(Clip) == 4


def test_a_further_angle_waits_for_all_its_films(
    bare: Book, tmp_path: Path, week_films: tuple[Path, Path], monkeypatch: pytest.MonkeyPatch
) -> None:
    """With a film missing the pairing would be a guess: nothing is added, and that is told."""
    add_film(bare, [week_films[0]], session=SESSION)
    shutil.copytree(week_films[1], tmp_path / "card")
    real = verified_copy._reading

    def reading(path: Path) -> object:
        if path.name == "2.mp4":
            raise FilmError(path, "it can't be read (input/output error).")
        return real(path)

    monkeypatch.setattr(verified_copy, "_reading", reading)
    done = add_card(bare, tmp_path / "card", tmp_path / "films", session=SESSION, angle="side")
    assert done.added is None
    assert done.copied.notes[-1] == "The side films are added when all of them are copied."
    assert len(done.faults) == 1
    assert bare.count(Angle, name="side") == 0


def test_what_is_wrong_with_the_words_is_told_before_anything_is_copied(
    bare: Book, card: Path, tmp_path: Path
) -> None:
    """A script with faults or without the number to match from, and no card."""
    script = write_script(tmp_path / "s.csv", ("1,Run,punt,fast,,up,,,,,,Okorei,,",))
    with pytest.raises(InputError):
        add_card(bare, card, tmp_path / "films", session=SESSION, script=script)
    script = write_script(tmp_path / "t.csv")
    with pytest.raises(BookError, match="no number 9"):
        add_card(bare, card, tmp_path / "films", session=SESSION, script=script, from_number=9)
    assert not (tmp_path / "films").exists()
    with pytest.raises(FilmError):
        add_card(bare, tmp_path / "none", tmp_path / "films", session=SESSION)


def test_a_session_that_is_contradicted_ends_it(book: Book, card: Path, tmp_path: Path) -> None:
    """The book's own word stands; what was copied stays too."""
    with pytest.raises(BookError, match="is a practice in this book"):
        add_card(book, card, tmp_path / "films", session=SESSION, kind="game", angle="end")


def test_the_coach_takes_back_what_he_did_and_not_the_copying(
    bare: Book, card: Path, tmp_path: Path
) -> None:
    """He flags each play as it comes, in another opening of the book, and takes all flags back.

    Both write at the same time, from two threads; no act is lost and none is refused.
    """
    done: list[object] = []

    def copy() -> None:
        with open_book(bare.path) as beside:
            done.append(add_card(beside, card, tmp_path / "films", session=SESSION))

    copying = threading.Thread(target=copy)
    copying.start()
    flagged: set[str] = set()
    while copying.is_alive() or len(flagged) < bare.count(Clip):
        for clip in bare.find(Clip):
            if clip.id not in flagged:
                toggle_flag(bare, clip)
                flagged.add(clip.id)
    copying.join()
    assert done
    assert len(flagged) == bare.count(Flag) == 4
    verbs = [bare.undo().verb for _ in range(4)]
    assert all("flag" in verb for verb in verbs)
    assert (bare.count(Flag), bare.count(Clip)) == (0, 4)
    standing = bare.can_undo()
    assert standing is not None
    assert "card" not in standing.verb
    assert "film" not in standing.verb


def test_a_card_makes_nobody_the_usual_grader(bare: Book, card: Path, tmp_path: Path) -> None:
    """Acts of the copying have no author: whoever grades next is asked for as before."""
    from gradecut.workflows.roster import newest_of_staff

    with open_book(bare.path) as beside:
        add_card(beside, card, tmp_path / "films", session=SESSION)
    assert newest_of_staff(bare) == COACH
