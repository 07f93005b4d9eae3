from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from gradecut.errors import Cancelled, FilmError
from gradecut.film import (
    fingerprint_of,
    index_films,
    offer_index,
    open_film,
    packed_index,
)
from gradecut.film.indexing.index_child import IndexingChild, time_limit_s
from gradecut.film.indexing.index_store import FOLDER_VARIABLE, forget, index_folder
from gradecut.progress import CancelToken
from gradecut.records.fingerprint import Fingerprint
from tests.film.torture import number_on


@pytest.fixture
def no_child(monkeypatch: pytest.MonkeyPatch) -> None:
    """Make every attempt to have a film read by a child process fail the test."""

    def refuse(*_args: object, **_kwargs: object) -> None:
        pytest.fail("a child process was asked")

    monkeypatch.setattr(IndexingChild, "index", refuse)


@pytest.fixture
def empty_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Path]:
    """Give an empty index folder and an empty memory."""
    folder = tmp_path / "index"
    monkeypatch.setenv(FOLDER_VARIABLE, str(folder))
    forget()
    yield folder
    forget()


def kept_file(folder: Path) -> Path:
    """Return the one index kept."""
    (path,) = folder.glob("*.index")
    return path


@pytest.mark.usefixtures("no_child")
def test_a_film_read_before_needs_no_child(shelf: dict[str, Path]) -> None:
    """A film whose index is kept on disk opens at once, in another run too."""
    forget()
    with open_film(shelf["b_frames"]) as film:
        assert number_on(film.frame(23)) == 23


@pytest.mark.usefixtures("no_child")
def test_a_film_is_known_again_under_another_name(shelf: dict[str, Path], tmp_path: Path) -> None:
    """A copy with another name has the same fingerprint and needs no reading."""
    copy = tmp_path / "copy.mp4"
    copy.write_bytes(shelf["b_frames"].read_bytes())
    assert fingerprint_of(copy) == fingerprint_of(shelf["b_frames"])
    with open_film(copy) as film:
        assert film.fingerprint == fingerprint_of(copy)


def test_an_index_kept_equals_the_one_made(shelf: dict[str, Path], empty_folder: Path) -> None:
    """What is kept on disk and read back tells the same times and facts."""
    with open_film(shelf["variable"]) as film:
        made = (film.times_s, film.index.facts, film.notes, film.duration_s)
    forget()
    assert kept_file(empty_folder)
    with open_film(shelf["variable"]) as film:
        assert (film.times_s, film.index.facts, film.notes, film.duration_s) == made


@pytest.mark.parametrize("damage", ["empty", "cut", "flipped", "text"])
def test_a_damaged_index_is_made_again(
    shelf: dict[str, Path], empty_folder: Path, damage: str
) -> None:
    """A damaged index file costs a reading, never a wrong frame."""
    open_film(shelf["closed"]).close()
    forget()
    path = kept_file(empty_folder)
    data = path.read_bytes()
    flipped = bytearray(data)
    flipped[-100] ^= 1
    path.write_bytes(
        {"empty": b"", "cut": data[:-8], "flipped": bytes(flipped), "text": b"no"}[damage]
    )
    with open_film(shelf["closed"]) as film:
        assert number_on(film.frame(31)) == 31
    assert kept_file(empty_folder).read_bytes() == data


def test_an_index_folder_that_cannot_be_made(
    shelf: dict[str, Path], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Without a place to keep indexes films open all the same."""
    (tmp_path / "file").write_text("in the way")
    monkeypatch.setenv(FOLDER_VARIABLE, str(tmp_path / "file" / "index"))
    forget()
    with open_film(shelf["closed"]) as film:
        assert film.frame_count == 40
    forget()


def test_the_usual_folder_is_the_persons_cache(monkeypatch: pytest.MonkeyPatch) -> None:
    """Without being told otherwise indexes go to the person's cache folder."""
    monkeypatch.delenv(FOLDER_VARIABLE)
    assert index_folder().name == "index"
    assert "gradecut" in index_folder().parts


@pytest.mark.usefixtures("empty_folder")
def test_many_films_are_read_in_one_go(shelf: dict[str, Path], tmp_path: Path) -> None:
    """Reading a folder's films names the bad ones, each with its sentence, and keeps the rest."""
    bad = tmp_path / "notes.mp4"
    bad.write_text("no film at all\n" * 10)
    told: list[float] = []
    faults = index_films(
        [shelf["closed"], bad, tmp_path / "gone.mp4", shelf["b_frames"]],
        lambda done, _saying: told.append(done),
    )
    assert set(faults) == {bad, tmp_path / "gone.mp4"}
    assert "text file" in faults[bad].reason
    assert told == [0.0, 0.25, 0.5, 0.75, 1.0]
    assert len(list(index_folder().glob("*.index"))) == 2


@pytest.mark.usefixtures("no_child", "empty_folder")
def test_reading_many_can_be_stopped(shelf: dict[str, Path]) -> None:
    """Stopping before the first film reads none."""
    token = CancelToken()
    token.cancel()
    with pytest.raises(Cancelled):
        index_films([shelf["closed"]], cancel=token)


def test_a_child_that_crashes_costs_a_sentence(shelf: dict[str, Path]) -> None:
    """When the child dies over a film it is one sentence, and the next film is read."""
    with IndexingChild() as child:
        child.index(shelf["closed"])
        assert child.process_id is not None
        child.kill()
        with pytest.raises(FilmError, match="makes the decoder crash"):
            child.index(shelf["closed"])
        assert len(child.index(shelf["closed"])) == 40


def test_a_child_that_takes_too_long_costs_a_sentence(shelf: dict[str, Path]) -> None:
    """Past the time limit the child is ended, with one sentence; the next film is read."""
    with IndexingChild() as child:
        with pytest.raises(FilmError, match="takes too long"):
            child.index(shelf["closed"], limit_s=0.0)
        assert child.process_id is None
        assert len(child.index(shelf["closed"])) == 40


def test_the_time_limit_grows_with_the_film() -> None:
    """A long game gets more time than a clip; nobody waits for ever."""
    assert time_limit_s(0) == 60
    assert time_limit_s(6 * 10**9) == 360


def test_fingerprints_tell_films_apart(shelf: dict[str, Path]) -> None:
    """No two films share a fingerprint, and one survives being written down."""
    prints = [fingerprint_of(path) for path in shelf.values()]
    assert len(set(prints)) == len(prints)
    assert all(Fingerprint.parse(str(known)) == known for known in prints)


def test_large_files_are_known_by_their_ends_and_size(tmp_path: Path) -> None:
    """Of a large file both ends and the size count; of a small one every byte."""
    size = 9 * 1024 * 1024
    data = bytearray(size)
    path = tmp_path / "large.mp4"

    def digest() -> str:
        path.write_bytes(bytes(data))
        return str(fingerprint_of(path))

    plain = digest()
    for at in (0, 4 * 1024 * 1024 - 1, size - 1, size - 4 * 1024 * 1024):
        data[at] = 1
        assert digest() != plain
        data[at] = 0
    data[size // 2] = 1
    assert digest() == plain
    data.append(0)
    assert digest() != plain
    data = bytearray(8 * 1024 * 1024)
    plain = digest()
    data[4 * 1024 * 1024] = 1
    assert digest() != plain


def test_an_index_goes_from_computer_to_computer(
    shelf: dict[str, Path], empty_folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """An index kept in a book opens the film on another computer without reading it."""
    known = fingerprint_of(shelf["variable"])
    assert packed_index(known) is None
    with open_film(shelf["variable"]) as film:
        times = film.times_s
    data = packed_index(known)
    assert data is not None
    assert len(data) < 1000
    kept_file(empty_folder).unlink()
    forget()
    assert packed_index(known) is None
    assert offer_index(known, data)
    monkeypatch.setattr(IndexingChild, "index", lambda *_args, **_kwargs: pytest.fail("read anew"))
    with open_film(shelf["variable"]) as film:
        assert film.times_s == times
        assert number_on(film.frame(31)) == 31


@pytest.mark.usefixtures("empty_folder")
def test_a_damaged_index_is_not_taken(shelf: dict[str, Path]) -> None:
    """Bytes that are damaged or no index are refused, and the film is still unknown."""
    open_film(shelf["closed"]).close()
    known = fingerprint_of(shelf["b_frames"])
    data = packed_index(fingerprint_of(shelf["closed"]))
    assert data is not None
    flipped = bytearray(data)
    flipped[len(data) // 2] ^= 1
    for bad in (b"", b"no index", data[:-1], bytes(flipped), b"gradecut frame index 1\n" + data):
        assert not offer_index(known, bad)
    assert packed_index(known) is None


def test_a_film_changed_in_its_place_is_another(shelf: dict[str, Path], tmp_path: Path) -> None:
    """A film that takes another's name, size or time is told apart by its bytes."""
    path = tmp_path / "film.mp4"
    data = bytearray(shelf["closed"].read_bytes())
    path.write_bytes(bytes(data))
    before = fingerprint_of(path)
    data[-1] ^= 1
    path.write_bytes(bytes(data))
    assert fingerprint_of(path) != before
