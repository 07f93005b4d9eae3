from __future__ import annotations

import errno
import hashlib
import os
import shutil
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from gradecut.errors import FilmError, OutputError
from gradecut.progress import CancelToken
from gradecut.workflows import verified_copy
from gradecut.workflows.card import CopyStopped, copy_card

FILMS = ("DCIM/100MEDIA/CLIP1.MP4", "DCIM/100MEDIA/CLIP2.MP4", "DCIM/101MEDIA/CLIP1.MP4")
SHOT_S = 1_790_000_000


def make_card(folder: Path, *names: str, size_bytes: int = 3000) -> Path:
    """Make a card: films of random bytes, shot five minutes apart, and a file that is none."""
    for number, name in enumerate(names or FILMS):
        film = folder / name
        film.parent.mkdir(parents=True, exist_ok=True)
        film.write_bytes(os.urandom(size_bytes + number))
        os.utime(film, (SHOT_S + 300 * number, SHOT_S + 300 * number))
    (folder / "STATUS.BIN").write_bytes(b"camera")
    return folder


def state_of(folder: Path) -> dict[str, tuple[int, str]]:
    """Return every file below a folder with its time and what is in it."""
    return {
        str(path.relative_to(folder)): (
            path.stat().st_mtime_ns,
            hashlib.blake2b(path.read_bytes()).hexdigest(),
        )
        for path in sorted(folder.rglob("*"))
        if path.is_file()
    }


@pytest.fixture
def card(tmp_path: Path) -> Path:
    """Put a card with three films in two folders in."""
    return make_card(tmp_path / "card")


@pytest.fixture
def small_blocks(monkeypatch: pytest.MonkeyPatch) -> None:
    """Read so little at a time that small films have several blocks."""
    monkeypatch.setattr(verified_copy, "BLOCK_BYTES", 1000)


def failing(
    monkeypatch: pytest.MonkeyPatch, fails: Callable[[Path, int], OSError | None]
) -> list[str]:
    """Let reading from the card fail where ``fails(path, how often)`` gives an error."""
    real: Any = verified_copy._reading
    tries: list[str] = []

    def reading(path: Path) -> Any:
        if not path.name.startswith("."):
            tries.append(path.name)
            error = fails(path, tries.count(path.name))
            if error is not None:
                raise FilmError(path, "it can't be read (input/output error).") from error
        return real(path)

    monkeypatch.setattr(verified_copy, "_reading", reading)
    return tries


def test_a_card_is_copied_whole_and_nothing_on_it_changes(card: Path, tmp_path: Path) -> None:
    """Folders, names, bytes and times are those of the card; what is no film stays there."""
    before = state_of(card)
    handed: list[Path] = []
    copied = copy_card(card, tmp_path / "films", on_film=handed.append)
    assert state_of(card) == before
    assert state_of(tmp_path / "films") == {name: before[name] for name in FILMS}
    assert handed == list(copied.films) == [tmp_path / "films" / name for name in FILMS]
    assert copied.told() == "3 of 3 films of the card are copied."


def test_the_digest_is_that_of_the_standard(tmp_path: Path) -> None:
    """BLAKE2b with 32 bytes of “abc”; the value is what b2sum -l 256 (GNU coreutils) gives."""
    film = tmp_path / "abc.mp4"
    film.write_bytes(b"abc")
    digest = verified_copy.copy_verified(film, tmp_path / "goal.mp4", moved=lambda _n: None)
    assert digest == "bddd813c634239723171ef3fee98579b94964e3bb1cb3e427262c8c068d52319"


def test_copying_again_copies_nothing(card: Path, tmp_path: Path) -> None:
    """Films that are there are handed over all the same, in order, and not written again."""
    first = copy_card(card, tmp_path / "films")
    inodes = [path.stat().st_ino for path in first.films]
    handed: list[Path] = []
    again = copy_card(card, tmp_path / "films", on_film=handed.append)
    assert (again.copied, again.already) == ((), first.films)
    assert handed == list(first.films)
    assert [path.stat().st_ino for path in first.films] == inodes
    assert "(3 were there already)" in again.told()


def test_a_copy_whose_time_was_lost_is_known_by_its_bytes(card: Path, tmp_path: Path) -> None:
    """Films a coach dragged over by hand are not copied a second time."""
    shutil.copytree(card, tmp_path / "films")
    for name in FILMS:
        os.utime(tmp_path / "films" / name, (1, 1))
    assert copy_card(card, tmp_path / "films").copied == ()


@pytest.mark.parametrize("same_time", [True, False])
def test_another_film_of_the_same_name_and_size_stays(
    card: Path, tmp_path: Path, same_time: bool
) -> None:
    """Cameras begin to count anew: the film of last week is kept, and the new one numbered."""
    goal = tmp_path / "films"
    other = goal / FILMS[0]
    other.parent.mkdir(parents=True)
    other.write_bytes(b"x" * (card / FILMS[0]).stat().st_size)
    if same_time:
        shutil.copystat(card / FILMS[0], other)
    copied = copy_card(card, goal)
    assert other.read_bytes()[:1] == b"x"
    assert copied.films[0].name == "CLIP1-2.MP4"
    assert copied.films[0].read_bytes() == (card / FILMS[0]).read_bytes()
    assert copied.notes == ("CLIP1.MP4 goes by CLIP1-2.MP4: another film has its name.",)
    assert copy_card(card, goal).copied == ()


def test_parts_of_a_long_film_stay_in_the_order_they_were_shot(tmp_path: Path) -> None:
    """A camera that numbers the part before the film is read by the files' times."""
    names = ("GX010012.MP4", "GX020012.MP4", "GX010013.MP4", "GX020013.MP4")
    card = make_card(tmp_path / "card", *names)
    copied = copy_card(card, tmp_path / "films")
    assert [path.name for path in copied.films] == list(names)


def test_numbers_that_look_like_parts_stay_by_name_where_times_tell_nothing(
    tmp_path: Path,
) -> None:
    """Files whose times were lost are read by their names."""
    names = ("A010012.MP4", "A020012.MP4", "A010013.MP4")
    card = make_card(tmp_path / "card", *names)
    for name in names:
        os.utime(card / name, (SHOT_S, SHOT_S))
    copied = copy_card(card, tmp_path / "films")
    assert [path.name for path in copied.films] == sorted(names)


# ---------------------------------------------------------------------- what goes wrong


def test_too_little_room_is_told_before_anything_is_copied(
    card: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """One sentence says how much is missing; no folder is made."""
    room = SimpleNamespace(total=10**9, used=10**9 - 1003, free=1003)
    monkeypatch.setattr(shutil, "disk_usage", lambda _path: room)
    with pytest.raises(OutputError) as refused:
        copy_card(card, tmp_path / "films")
    assert "8000 bytes of room are missing" in str(refused.value)
    assert not (tmp_path / "films").exists()


def test_a_goal_on_the_card_is_refused(card: Path, tmp_path: Path) -> None:
    """The card is only read, however its folder is named."""
    before = state_of(card)
    link = tmp_path / "films"
    link.symlink_to(card, target_is_directory=True)
    for goal in (card, card / "DCIM", card / "new", link):
        with pytest.raises(OutputError, match="lies on the card"):
            copy_card(card, goal)
    assert state_of(card) == before


def test_no_card_and_no_film(tmp_path: Path) -> None:
    """Both are one sentence."""
    with pytest.raises(FilmError, match="no such folder"):
        copy_card(tmp_path / "card", tmp_path / "films")
    (tmp_path / "card").mkdir()
    with pytest.raises(FilmError, match="no film"):
        copy_card(tmp_path / "card", tmp_path / "films")


def test_a_goal_that_is_a_file_is_refused(card: Path, tmp_path: Path) -> None:
    """It stays what it is."""
    (tmp_path / "films").write_text("notes")
    with pytest.raises(OutputError, match="is a file"):
        copy_card(card, tmp_path / "films")
    assert (tmp_path / "films").read_text() == "notes"


def test_a_film_that_fails_once_is_tried_again(
    card: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """It is told, and the second copy is good."""
    failing(
        monkeypatch,
        lambda path, tries: (
            OSError(errno.EIO, "") if (path.name, tries) == ("CLIP2.MP4", 1) else None
        ),
    )
    told: list[str] = []
    copied = copy_card(card, tmp_path / "films", progress=lambda _done, said: told.append(said))
    assert (len(copied.films), copied.faults) == (3, ())
    assert copied.notes == ("CLIP2.MP4 was tried again: it can't be read (input/output error).",)
    assert "Trying CLIP2.MP4 again" in told


def test_an_unreadable_film_is_left_and_the_others_are_copied(
    card: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """It is tried twice, told, and copied when the card is copied again."""
    with monkeypatch.context() as patch:
        tries = failing(
            patch, lambda path, _n: OSError(errno.EIO, "") if path.name == "CLIP2.MP4" else None
        )
        copied = copy_card(card, tmp_path / "films")
    assert tries.count("CLIP2.MP4") == 2
    assert [path.name for path in copied.films] == ["CLIP1.MP4", "CLIP1.MP4"]
    assert copied.left == (card / FILMS[1],)
    assert copied.faults == (f"{card / FILMS[1]}: it can't be read (input/output error).",)
    assert copied.told() == (
        "2 of 3 films of the card are copied; copy the card again for the rest."
    )
    again = copy_card(card, tmp_path / "films")
    assert [path.name for path in again.copied] == ["CLIP2.MP4"]


def test_a_copy_that_reads_back_wrong_is_no_copy(
    card: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A drive that does not keep what was written is found out, and nothing is put in place."""
    real: Any = verified_copy._reading

    def reading(path: Path) -> Any:
        if path.name.startswith("."):
            kept = bytearray(path.read_bytes())
            kept[700] ^= 1
            path.write_bytes(kept)
        return real(path)

    monkeypatch.setattr(verified_copy, "_reading", reading)
    copied = copy_card(card, tmp_path / "films")
    assert copied.films == ()
    assert len(copied.faults) == 3
    assert "reads back different from the card" in copied.faults[0]
    assert state_of(tmp_path / "films") == {}


@pytest.mark.usefixtures("small_blocks")
def test_a_film_that_grows_while_it_is_copied_is_no_whole_film(card: Path, tmp_path: Path) -> None:
    """The camera is still writing it: it is told and left."""
    film = card / FILMS[0]

    def progress(done: float, saying: str) -> None:
        if done < 1 and saying.startswith("Copying 1"):
            with film.open("ab") as file:
                file.write(b"more")

    copied = copy_card(card, tmp_path / "films", progress=progress)
    assert "changed while it was copied" in copied.faults[0]
    assert film not in copied.films


@pytest.mark.usefixtures("small_blocks")
def test_a_card_that_goes_away_is_one_sentence(card: Path, tmp_path: Path) -> None:
    """What was copied stays, and the rest is copied when the card is there again."""
    away = tmp_path / "pocket"

    def progress(done: float, saying: str) -> None:
        if done < 1 and saying.startswith("Copying 2") and card.exists():
            card.rename(away)

    copied = copy_card(card, tmp_path / "films", progress=progress)
    # The file that was open when the card went is read to its end, as Linux has it.
    assert copied.faults == (f"{card}: the card is gone; put it in and copy it again.",)
    assert copied.left[-1] == card / FILMS[2]
    away.rename(card)
    again = copy_card(card, tmp_path / "films")
    assert (again.left, again.faults) == ((), ())
    assert state_of(tmp_path / "films") == {name: state_of(card)[name] for name in FILMS}


def test_a_drive_that_is_full_ends_it(
    card: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """One sentence says how much is needed; the films before stay, no part of one is left."""
    real: Any = verified_copy._write
    written = 0

    def write(copy: Any, block: memoryview) -> None:
        nonlocal written
        written += len(block)
        if written > 4000:
            raise OSError(errno.ENOSPC, "No space left on device")
        real(copy, block)

    with monkeypatch.context() as patch:
        patch.setattr(verified_copy, "_write", write)
        copied = copy_card(card, tmp_path / "films")
    assert copied.faults == (
        f"{tmp_path / 'films'}: the drive is full; free 6003 bytes, then copy the card again.",
    )
    assert list(state_of(tmp_path / "films")) == [FILMS[0]]
    assert copy_card(card, tmp_path / "films").left == ()


def test_a_goal_that_goes_away_ends_it(card: Path, tmp_path: Path) -> None:
    """It is not made anew: there is another drive now where it lay."""
    goal = tmp_path / "films"

    def on_film(_path: Path) -> None:
        goal.rename(tmp_path / "elsewhere")

    copied = copy_card(card, goal, on_film=on_film)
    assert copied.faults == (
        f"{goal}: this folder is gone; connect its drive and copy the card again.",
    )
    assert not goal.exists()


def test_a_film_too_large_for_the_drive_is_left_alone(
    card: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The others are copied."""
    real: Any = verified_copy._write

    def write(copy: Any, block: memoryview) -> None:
        if len(block) == 3001:
            raise OSError(errno.EFBIG, "File too large")
        real(copy, block)

    monkeypatch.setattr(verified_copy, "_write", write)
    copied = copy_card(card, tmp_path / "films")
    assert len(copied.films) == 2
    assert "takes no file so large" in copied.faults[0]


def test_a_goal_that_may_not_be_written_is_told_once(
    card: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Not once for every film."""

    def write(_copy: Any, _block: memoryview) -> None:
        raise OSError(errno.EROFS, "Read-only file system")

    monkeypatch.setattr(verified_copy, "_write", write)
    copied = copy_card(card, tmp_path / "films")
    assert len(copied.faults) == 1
    assert "read-only file system" in copied.faults[0]
    assert len(copied.left) == 3


# ---------------------------------------------------------------------- stopping


@pytest.mark.usefixtures("small_blocks")
def test_stopping_keeps_what_is_copied(card: Path, tmp_path: Path) -> None:
    """It stops between two blocks, says how far it came, and leaves no part of a film."""
    cancel = CancelToken()

    def progress(done: float, saying: str) -> None:
        if done < 1 and saying.startswith("Copying 2"):
            cancel.cancel()

    with pytest.raises(CopyStopped) as stopped:
        copy_card(card, tmp_path / "films", progress=progress, cancel=cancel)
    assert str(stopped.value) == (
        "Copying was stopped: 1 of 3 films of the card are copied; copy the card again for the "
        "rest."
    )
    assert list(state_of(tmp_path / "films")) == [FILMS[0]]


@pytest.mark.usefixtures("small_blocks")
def test_the_share_done_never_goes_back_and_ends_at_one(card: Path, tmp_path: Path) -> None:
    """It counts bytes read from the card and read back."""
    shares: list[float] = []
    copy_card(card, tmp_path / "films", progress=lambda done, _said: shares.append(done))
    assert shares == sorted(shares)
    assert shares[-1] == 1.0
    assert len(set(shares)) > 20


class Pulled(Exception):
    """The process ends here, as when the machine goes off."""


@given(st.data())
def test_whatever_breaks_it_off_the_card_is_copied_in_the_end(
    tmp_path_factory: pytest.TempPathFactory, data: st.DataObject
) -> None:
    """After any interruptions one whole run leaves every film byte for byte, the card untouched.

    A law: what is broken off is a read from the card, a write, a block (stopped), the whole
    process, or the card itself for a while; and in between a copy may be lost or spoilt.
    """
    folder = tmp_path_factory.mktemp("law")
    card = make_card(folder / "card", size_bytes=data.draw(st.integers(1, 2500)))
    goal, before = folder / "films", state_of(card)
    breaks = data.draw(
        st.lists(
            st.tuples(
                st.sampled_from(["read", "write", "stop", "pull", "die", "lose", "spoil"]),
                st.integers(0, 14),
            ),
            max_size=5,
        )
    )
    for kind, at in breaks:
        with pytest.MonkeyPatch.context() as patch:
            patch.setattr(verified_copy, "BLOCK_BYTES", 700)
            broken_run(patch, card, goal, kind, at)
        assert state_of(card) == before
    copied = copy_card(card, goal)
    assert (copied.left, copied.faults) == ((), ())
    assert state_of(card) == before
    for name, path in zip(FILMS, copied.films, strict=True):
        assert path.read_bytes() == (card / name).read_bytes()
        assert path.stat().st_mtime_ns == before[name][0]


def broken_run(patch: pytest.MonkeyPatch, card: Path, goal: Path, kind: str, at: int) -> None:
    """Copy a card and break it off at the so-many-th block, in one of many ways."""
    cancel, blocks = CancelToken(), 0
    away = card.with_name("pocket")
    real: Any = verified_copy._write

    def write(copy: Any, block: memoryview) -> None:
        nonlocal blocks
        blocks += 1
        if blocks > at:
            if kind == "write":
                raise OSError(errno.ENOSPC, "No space left on device")
            if kind == "die":
                raise Pulled
            if kind == "stop":
                cancel.cancel()
            if kind == "pull" and card.exists():
                card.rename(away)
        real(copy, block)

    patch.setattr(verified_copy, "_write", write)
    if kind == "read":
        failing(patch, lambda _path, tries: OSError(errno.EIO, "") if tries > at % 3 else None)
    with suppress(CopyStopped, Pulled):
        copy_card(card, goal, cancel=cancel)
    if away.exists():
        away.rename(card)
    there = [path for path in sorted(goal.rglob("*.MP4")) if path.is_file()]
    if there and kind == "lose":
        there[at % len(there)].unlink()
    if there and kind == "spoil":
        spoilt = there[at % len(there)]
        spoilt.write_bytes(spoilt.read_bytes()[: at * 100] + b"spoilt")


def test_names_are_given_out_once(tmp_path: Path) -> None:
    """A film that got a number and one that has that number by name do not meet."""
    card = make_card(tmp_path / "card", "CLIP1.MP4", "CLIP1-2.MP4")
    goal = tmp_path / "films"
    goal.mkdir()
    (goal / "CLIP1.MP4").write_bytes(b"another")
    copied = copy_card(card, goal)
    assert len(set(copied.films)) == 2
    assert copy_card(card, goal).copied == ()
    assert (goal / "CLIP1.MP4").read_bytes() == b"another"


def test_nothing_is_written_below_a_folder_that_leads_back_to_the_card(
    card: Path, tmp_path: Path
) -> None:
    """A folder of the goal that is a link to the card would be the card itself."""
    goal = tmp_path / "films"
    goal.mkdir()
    (goal / "DCIM").symlink_to(card / "DCIM", target_is_directory=True)
    before = state_of(card)
    with pytest.raises(OutputError, match="lies on the card"):
        copy_card(card, goal)
    assert state_of(card) == before


def test_what_a_killed_copying_left_is_cleared_away(card: Path, tmp_path: Path) -> None:
    """The half of a film that lay there under a hidden name goes when the card is copied again."""
    goal = tmp_path / "films"
    copied = copy_card(card, goal)
    left = copied.films[0].parent / ".gradecut-abcd1234.MP4"
    left.write_bytes(b"half a film")
    other = copied.films[0].parent / ".mine.MP4"
    other.write_bytes(b"the coach's own")
    copy_card(card, goal)
    assert not left.exists()
    assert other.exists()
