"""Films made to mislead or to break: one sentence each, within bounds, and nothing left behind."""

from __future__ import annotations

import os
import struct
import threading
import time
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest

from gradecut.errors import Cancelled, FilmError
from gradecut.film import describe_film, fingerprint_of, index_films, open_film
from gradecut.film.indexing import index_child, still_written
from gradecut.film.indexing.index_child import IndexingChild
from gradecut.progress import CancelToken
from tests.film.torture import FILMS, Making, cut, make_film, number_on

PLAIN = Making(options={"g": "12", "bf": "2"})
FRAGMENTS = Making(options={"g": "12", "bf": "2"}, muxing={"movflags": "frag_keyframe+empty_moov"})


def sentence_about(path: Path) -> str:
    """Return what opening says, having checked its form."""
    with pytest.raises(FilmError) as caught:
        open_film(path)
    reason = caught.value.reason
    assert caught.value.path == str(path)
    assert reason.endswith(".")
    assert "\n" not in reason
    assert "Error" not in reason
    return reason


@pytest.fixture(scope="module")
def plain(tmp_path_factory: pytest.TempPathFactory) -> bytes:
    """Return the bytes of an ordinary film."""
    return make_film(tmp_path_factory.mktemp("plain") / "plain.mp4", PLAIN).read_bytes()


def overwritten(data: bytes, mark: bytes, offset: int, told: bytes) -> bytes:
    """Write over some bytes behind the name of a box."""
    at = data.index(mark) + len(mark) + offset
    return data[:at] + told + data[at + len(told) :]


@pytest.mark.parametrize("size_bytes", [0, 1, 75])
@pytest.mark.parametrize("count", [10**9, 2**32 - 1])
def test_a_table_that_claims_a_billion_frames(
    plain: bytes, tmp_path: Path, size_bytes: int, count: int
) -> None:
    """A claim no file can hold is refused by its number, before memory is taken for it."""
    path = tmp_path / "claims.mp4"
    path.write_bytes(overwritten(plain, b"stsz", 4, struct.pack(">II", size_bytes, count)))
    assert f"claims {count:,} frames" in sentence_about(path)


def test_a_time_table_that_claims_a_billion_frames(plain: bytes, tmp_path: Path) -> None:
    """Times for more frames than there are change nothing: the film has the frames it has."""
    path = tmp_path / "times.mp4"
    path.write_bytes(overwritten(plain, b"stts", 8, struct.pack(">I", 10**9)))
    with open_film(path) as film:
        assert [number_on(picture) for picture in film.frames()] == list(range(40))


@pytest.mark.parametrize("count", [2 * 10**8, 10**9])
def test_fragments_that_claim_a_billion_frames(tmp_path: Path, count: int) -> None:
    """A fragment's claim is bounded too."""
    honest = make_film(tmp_path / "honest.mp4", FRAGMENTS).read_bytes()
    path = tmp_path / "claims.mp4"
    path.write_bytes(overwritten(honest, b"trun", 0, struct.pack(">II", 1, count)))
    assert sentence_about(path)


def test_boxes_in_boxes_in_boxes(tmp_path: Path) -> None:
    """Ten thousand boxes inside each other are a sentence, not a crash."""
    inner = b""
    for _ in range(10_000):
        inner = struct.pack(">I", len(inner) + 8) + b"moov" + inner
    path = tmp_path / "nested.mp4"
    path.write_bytes(struct.pack(">I", 16) + b"ftypisom\0\0\2\0" + inner)
    assert sentence_about(path)


def test_pictures_that_claim_sixty_thousand_pixels(tmp_path: Path) -> None:
    """Pictures of 60,000 x 60,000 px are refused; where only the header lies, pictures decide."""
    making = Making(codec="mjpeg", options={"q:v": "3"}, pix_fmt="yuvj420p", count=5)
    data = make_film(tmp_path / "honest.avi", making).read_bytes()
    header = overwritten(data, b"strf", 8, struct.pack("<II", 60_000, 60_000))
    (tmp_path / "header.avi").write_bytes(header)
    with open_film(tmp_path / "header.avi") as film:
        assert (film.width, film.height) == (192, 108)
    honest = struct.pack(">HH", 108, 192)
    assert honest in data
    (tmp_path / "both.avi").write_bytes(header.replace(honest, struct.pack(">HH", 60_000, 60_000)))
    assert "one that can't be" in sentence_about(tmp_path / "both.avi")
    plain = Making(codec="rawvideo", options={}, pix_fmt="bgr24", count=3)
    data = make_film(tmp_path / "plain.avi", plain).read_bytes()
    claims = overwritten(data, b"strf", 8, struct.pack("<II", 60_000, 60_000))
    (tmp_path / "raw.avi").write_bytes(claims)
    assert "one that can't be" in sentence_about(tmp_path / "raw.avi")


def test_no_sentence_needs_much_memory(plain: bytes, tmp_path: Path) -> None:
    """After films that claim the world the child process is still a small one."""
    path = tmp_path / "claims.mp4"
    path.write_bytes(overwritten(plain, b"stsz", 4, struct.pack(">II", 1, 10**9)))
    with IndexingChild() as child:
        with pytest.raises(FilmError):
            child.index(path)
        status = Path(f"/proc/{child.process_id}/status")
        if status.exists():
            (peak,) = [line for line in status.read_text().splitlines() if "VmHWM" in line]
            assert int(peak.split()[1]) < 500_000


def test_what_is_no_file(tmp_path: Path) -> None:
    """A pipe or a device is said to be no ordinary file, and nobody waits for it."""
    if hasattr(os, "mkfifo"):
        os.mkfifo(tmp_path / "pipe.mp4")
        assert "no ordinary file" in sentence_about(tmp_path / "pipe.mp4")
    assert sentence_about(Path(os.devnull))


@pytest.mark.parametrize(
    "name",
    ["#1 % d%04d play?.mp4", "concat:a|b.mp4", "-i.mp4", "Übung „3“ ✓.mp4", "two\nlines.mp4"],
)
def test_odd_names(plain: bytes, tmp_path: Path, name: str) -> None:
    """Any name the disk takes is only a name."""
    path = tmp_path / name
    path.write_bytes(plain)
    with open_film(path) as film:
        assert number_on(film.frame(33)) == 33


def test_a_name_that_is_no_text(plain: bytes, tmp_path: Path) -> None:
    """A name in bytes that are no text opens too."""
    path = Path(os.fsdecode(os.fsencode(tmp_path) + b"/play \xff.mp4"))
    path.write_bytes(plain + b"\0\0\0\x08free")
    with open_film(path) as film:
        assert number_on(film.frame(20)) == 20


def test_a_file_nobody_may_read(
    plain: bytes, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Without permission the sentence says so, and what to do."""
    path = tmp_path / "closed.mp4"
    path.write_bytes(plain)

    def refuse(*_args: object, **_kwargs: object) -> None:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr("builtins.open", refuse)
    with pytest.raises(FilmError, match="not allowed to read it; change its permissions"):
        fingerprint_of(path)


# ------------------------------------------------------------------ written to while it is read


@pytest.fixture
def while_reading(monkeypatch: pytest.MonkeyPatch) -> list[Callable[[], object]]:
    """Give a list of things that happen while the child process reads a film."""
    happenings: list[Callable[[], object]] = []
    honest = IndexingChild.index

    def index(self: IndexingChild, *args: object, **kwargs: object) -> object:
        for happening in happenings:
            happening()
        return honest(self, *args, **kwargs)  # type: ignore[arg-type]

    monkeypatch.setattr(IndexingChild, "index", index)
    return happenings


def test_a_film_that_grows_while_it_is_read(
    tmp_path: Path, while_reading: list[Callable[[], object]]
) -> None:
    """A film that is not the same after reading is still being written; then it opens."""
    making = replace(FILMS["transport"][1], count=37)  # No film that was read before.
    path = make_film(tmp_path / "growing.ts", making)
    more = path.read_bytes()
    while_reading.append(lambda: path.write_bytes(more + bytes(188)))
    assert "still being written" in sentence_about(path)
    while_reading.clear()
    path.write_bytes(more + b"")
    with open_film(path) as film:
        assert film.frame_count == making.count


def test_a_film_that_is_being_copied(plain: bytes, tmp_path: Path) -> None:
    """An MP4 whose copy has not come to its index yet is told as being copied."""
    path = tmp_path / "copy.mp4"
    path.write_bytes(plain[: len(plain) // 2])
    stop = threading.Event()

    def copy() -> None:
        while not stop.wait(0.02):
            with path.open("ab") as out:
                out.write(b"\0")

    copying = threading.Thread(target=copy)
    copying.start()
    try:
        reason = sentence_about(path)
    finally:
        stop.set()
        copying.join()
    assert "still being written" in reason
    assert "try again when the recording or the copying has ended" in reason


def test_a_copy_that_stopped_is_not_waited_for(
    plain: bytes, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A file nobody writes to any more is told for what it is, at once when it is old."""
    path = tmp_path / "half.mp4"
    path.write_bytes(plain[: len(plain) // 2])
    os.utime(path, (time.time() - 3600,) * 2)
    monkeypatch.setattr(still_written.time, "sleep", lambda _s: pytest.fail("it waited"))
    assert "stopped before its index" in sentence_about(path)


def test_a_folder_that_goes_away(tmp_path: Path, while_reading: list[Callable[[], object]]) -> None:
    """A card pulled out while it is read costs a sentence for each film, and no more."""
    folder = tmp_path / "card"
    folder.mkdir()
    films = [make_film(folder / f"{n}.mp4", Making(count=5 + n)) for n in range(3)]
    while_reading.append(lambda: films[1].unlink() if films[1].exists() else None)
    faults = index_films(films)
    assert set(faults) == {films[1]}
    assert "no such file" in faults[films[1]].reason


# --------------------------------------------------------------------------------- ends missing


@pytest.mark.parametrize("ending", ["mp4", "mkv", "avi"])
def test_a_cut_off_end_is_a_flag(tmp_path: Path, ending: str) -> None:
    """A whole film is not cut off; the same film cut is, and says so."""
    making = Making(
        codec="mpeg4" if ending == "avi" else "libx264", options={"g": "12"},
        muxing={"movflags": "+faststart"} if ending == "mp4" else {}, sound_s=2.0,
    )  # fmt: skip
    whole = make_film(tmp_path / f"whole.{ending}", making)
    assert not describe_film(whole).cut_off
    short = cut(whole, tmp_path / f"short.{ending}", 0.7)
    facts = describe_film(short)
    assert facts.cut_off
    assert facts.faults[0].startswith("its end is cut off")
    assert facts.frame_count < 40


def test_an_end_of_noughts_is_cut_off(tmp_path: Path) -> None:
    """A copy that kept its place on the disk and never filled it is cut off too."""
    making = Making(options={"g": "12", "bf": "0"}, muxing={"movflags": "+faststart"})
    data = make_film(tmp_path / "whole.mp4", making).read_bytes()
    path = tmp_path / "short.mp4"
    path.write_bytes(data[: len(data) // 2] + bytes(len(data) - len(data) // 2))
    facts = describe_film(path)
    assert facts.cut_off


def test_packets_the_container_calls_damaged_are_known(tmp_path: Path) -> None:
    """Which frames a transport stream marks as damaged is known by their numbers."""
    data = make_film(tmp_path / "whole.ts", FILMS["transport"][1]).read_bytes()
    middle = 188 * (len(data) // 376)
    path = tmp_path / "holed.ts"
    path.write_bytes(data[:middle] + data[middle + 20 * 188 :])
    with open_film(path) as film:
        damaged = film.index.damaged
        assert 0 < len(damaged) < 5
        assert 5 < damaged.min() <= damaged.max() < 35


# ------------------------------------------------------------------------------- the child process


def test_a_cancel_stops_a_film_that_takes_long(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Stopping does not wait for the film being read, and ends the process that reads it."""
    path = make_film(tmp_path / "film.mp4", PLAIN)
    token = CancelToken()
    with IndexingChild() as child:
        child.index(path)
        number = child.process_id
        assert number is not None
        monkeypatch.setattr(child._answers, "get", _never)
        token.cancel()
        with pytest.raises(Cancelled):
            child.index(path, cancel=token)
        assert child.process_id is None


def _never(**_how: float) -> str:
    raise index_child.Empty


def test_one_process_reads_many_films(tmp_path: Path) -> None:
    """Films opened one after another are read by one process, which does not stay behind."""
    numbers = []
    for count in (11, 12, 13):
        open_film(make_film(tmp_path / f"{count}.mp4", Making(count=count))).close()
        assert index_child._keeper.child is not None
        numbers.append(index_child._keeper.child.process_id)
    assert numbers[0] is not None
    assert len(set(numbers)) == 1
    index_child._keeper.end()
    assert index_child._keeper.child is None


def test_two_who_ask_at_once_are_both_answered(tmp_path: Path) -> None:
    """While one film is read another can be: nobody waits in line, nothing is mixed up."""
    first = make_film(tmp_path / "first.mp4", Making(count=15))
    second = make_film(tmp_path / "second.mp4", Making(count=16))
    with index_child.kept_child() as kept, index_child.kept_child() as own:
        assert kept is not own
        assert len(kept.index(first)) == 15
        assert len(own.index(second)) == 16
