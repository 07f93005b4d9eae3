from __future__ import annotations

import shutil
import subprocess
import sys
from collections.abc import Iterator
from fractions import Fraction
from pathlib import Path

import av
import cv2
import numpy as np
import pytest
from numpy.typing import NDArray

from gradecut.errors import Cancelled, OutputError
from gradecut.film import open_film, read_sound, write_film
from gradecut.progress import CancelToken
from tests.film.outside import heard_by_ffmpeg, outer_boxes, seen_by_ffmpeg, told_by_ffprobe
from tests.film.sounding import onsets_s
from tests.film.torture import HEIGHT, WIDTH, number_on, numbered

RATE = Fraction(30000, 1001)
# ITU-T H.273: ColourPrimaries 1, TransferCharacteristics 1, MatrixCoefficients 1 are BT.709.
BT709 = 1
LIMITED = 1


def frames(count: int) -> Iterator[NDArray[np.uint8]]:
    """Draw numbered frames."""
    return (numbered(number) for number in range(count))


@pytest.fixture(scope="module")
def written(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Write a film of 50 frames."""
    path = tmp_path_factory.mktemp("written") / "film.mp4"
    write_film(path, frames(50), rate=RATE, keyframe_every=12)
    return path


def test_what_is_written_reads_back(written: Path) -> None:
    """Every frame, its time and the exact rate come back."""
    with open_film(written) as film:
        assert [number_on(picture) for picture in film.frames()] == list(range(50))
        assert film.rate == RATE
        assert film.times_s == tuple(number / RATE for number in range(50))
        assert film.duration_s == 50 / RATE
        assert film.notes == ()


def test_another_decoder_sees_the_same_frames(written: Path) -> None:
    """OpenCV's reader, going forward, finds the same frames and no more."""
    reader = cv2.VideoCapture(str(written))
    found = []
    while True:
        came, picture = reader.read()
        if not came:
            break
        found.append(number_on(picture))
    reader.release()
    assert found == list(range(50))


def test_ffmpegs_own_program_sees_the_same_frames(written: Path) -> None:
    """FFmpeg's command line, another version than ours, decodes the same frames and no more."""
    pictures = seen_by_ffmpeg(written, WIDTH, HEIGHT)
    assert [number_on(picture) for picture in pictures] == list(range(50))


def test_the_index_comes_first(written: Path) -> None:
    """A browser can begin before the whole film has come: moov lies before mdat.

    Boxes as in ISO/IEC 14496-12, 4.2; it allows any order, so this is for those who wait.
    """
    boxes = outer_boxes(written)
    assert boxes[0] == "ftyp"
    assert boxes.index("moov") < boxes.index("mdat")


def test_the_film_is_what_browsers_and_phones_play(written: Path) -> None:
    """H.264 High, 8-bit 4:2:0, tagged BT.709 limited range."""
    with av.open(str(written)) as container:
        context = container.streams.video[0].codec_context
        assert context.name == "h264"
        assert context.profile == "High"
        assert context.pix_fmt == "yuv420p"
        tags = (context.color_primaries, context.color_trc, context.colorspace)
        assert tags == (BT709, BT709, BT709)
        assert context.color_range == LIMITED


def test_ffmpegs_own_program_says_the_same(written: Path) -> None:
    """FFmpeg's prober names profile, format, tags, rate and length as they were meant."""
    told = told_by_ffprobe(written)["video"]
    wanted = {
        "codec_name": "h264", "profile": "High", "pix_fmt": "yuv420p", "color_range": "tv",
        "color_space": "bt709", "color_primaries": "bt709", "color_transfer": "bt709",
        "r_frame_rate": "30000/1001", "avg_frame_rate": "30000/1001", "nb_frames": "50",
        "start_time": "0.000000",
    }  # fmt: skip
    assert {name: told[name] for name in wanted} == wanted


@pytest.mark.parametrize(
    ("rgb", "yuv"),
    [
        # ITU-R BT.709-6, items 3.2 to 3.4 and table 3 (8 bit, narrow range), worked by hand:
        # Y = 16 + 219 (0.2126 R + 0.7152 G + 0.0722 B), Cb = 128 + 224 (B - Y') / 1.8556,
        # Cr = 128 + 224 (R - Y') / 1.5748, for R, G, B from 0 to 1.
        ((255, 255, 255), (235, 128, 128)),
        ((0, 0, 0), (16, 128, 128)),
        ((255, 0, 0), (63, 102, 240)),
        ((0, 255, 0), (173, 42, 26)),
        ((0, 0, 255), (32, 240, 118)),
    ],
)
def test_colours_are_converted_by_bt709(
    tmp_path: Path, rgb: tuple[int, int, int], yuv: tuple[int, int, int]
) -> None:
    """Pure colours are stored as BT.709 says, to within one step."""
    path = tmp_path / "colour.mp4"
    picture = np.full((64, 64, 3), rgb, np.uint8)
    write_film(path, [picture], rate=Fraction(30), quality=1)
    with av.open(str(path)) as container:
        stored = next(container.decode(video=0))
    planes = [np.frombuffer(bytes(plane), np.uint8)[20] for plane in stored.planes]
    assert np.abs(np.array(planes, int) - yuv).max() <= 1


def test_colours_come_back(tmp_path: Path) -> None:
    """Grass and jersey colours survive writing and reading to within a few steps."""
    path = tmp_path / "colour.mp4"
    picture = np.zeros((90, 160, 3), np.uint8)
    shades = [(58, 110, 52), (200, 30, 40), (240, 240, 240), (25, 45, 120)]
    for place, shade in enumerate(shades):
        picture[:, 40 * place : 40 * place + 40] = shade
    write_film(path, [picture] * 3, rate=Fraction(30), quality=8)
    with open_film(path) as film:
        back = film.frame(1)
    for place, shade in enumerate(shades):
        assert np.abs(back[45, 40 * place + 20].astype(int) - shade).max() <= 4


def test_given_times_are_kept_exactly(tmp_path: Path) -> None:
    """With times of its own each frame is shown at its time; the last stands one beat."""
    times_s = [Fraction(0), Fraction(1, 30), Fraction(1, 24), Fraction(3, 10), Fraction(1, 2)]
    path = tmp_path / "variable.mp4"
    write_film(path, frames(5), rate=Fraction(60), times_s=iter(times_s))
    with open_film(path) as film:
        assert list(film.times_s) == times_s
        assert film.rate is None
        assert film.duration_s == Fraction(1, 2) + Fraction(1, 60)
        assert [number_on(picture) for picture in film.frames()] == list(range(5))


def test_awkward_times_are_rounded_finely(tmp_path: Path) -> None:
    """Times without a common beat are kept to a 90,000th of a second."""
    times_s = [Fraction(0), Fraction(1, 7), Fraction(2, 11), Fraction(4, 13), Fraction(8, 17)]
    path = tmp_path / "awkward.mp4"
    write_film(path, frames(5), rate=Fraction(60000, 1001), times_s=times_s)
    with open_film(path) as film:
        for told, kept in zip(times_s, film.times_s, strict=True):
            assert abs(told - kept) <= Fraction(1, 180_000)


def test_the_same_frames_give_the_same_file(tmp_path: Path) -> None:
    """Writing twice with the same threads gives the same bytes."""
    for name in ("one.mp4", "two.mp4"):
        sound = clicking(20 / RATE, RATE, 1000)
        write_film(tmp_path / name, frames(20), rate=RATE, threads=2, sound=sound)
    assert (tmp_path / "one.mp4").read_bytes() == (tmp_path / "two.mp4").read_bytes()


@pytest.mark.parametrize(("width", "height"), [(191, 108), (192, 107), (191, 107)])
def test_an_odd_size_is_padded_by_its_edge(tmp_path: Path, width: int, height: int) -> None:
    """H.264 needs even sizes: the last row or column is repeated, the rest stays in place."""
    path = tmp_path / "odd.mp4"
    picture = np.zeros((height, width, 3), np.uint8)
    picture[:, : width // 2] = 200
    picture[height // 2 :] = 100
    write_film(path, [picture], rate=Fraction(30), quality=4)
    with open_film(path) as film:
        assert (film.width, film.height) == (192, 108)
        back = film.frame(0)
    assert np.abs(back[:height, :width].astype(int) - picture).mean() < 2
    assert np.abs(back[-1].astype(int) - back[-2]).max() <= 8


def test_keys_come_at_least_as_often_as_asked(written: Path) -> None:
    """No frame lies farther from a key than asked, so that seeking stays quick."""
    with av.open(str(written)) as container:
        keys = [packet.is_keyframe for packet in container.demux(video=0) if packet.size]
    places = [place for place, key in enumerate(keys) if key]
    assert max(np.diff([*places, len(keys)])) <= 12


def test_progress_rises_to_done(tmp_path: Path) -> None:
    """Progress goes from nothing to done and never back."""
    told: list[float] = []
    write_film(
        tmp_path / "film.mp4",
        frames(10),
        rate=RATE,
        total=10,
        progress=lambda done, saying: told.append(done if saying else -1.0),
    )
    assert told == sorted(told)
    assert told[0] == 0.0
    assert told[-1] == 1.0


def test_stopping_leaves_nothing(tmp_path: Path) -> None:
    """Stopped half-way there is no film and no leftover, and an older film stays."""
    goal = tmp_path / "film.mp4"
    goal.write_bytes(b"older")
    token = CancelToken()

    def stopping() -> Iterator[NDArray[np.uint8]]:
        for number in range(100):
            if number == 5:
                token.cancel()
            yield numbered(number)

    with pytest.raises(Cancelled):
        write_film(goal, stopping(), rate=RATE, cancel=token)
    assert [path.name for path in tmp_path.iterdir()] == ["film.mp4"]
    assert goal.read_bytes() == b"older"


def test_a_failing_source_leaves_nothing(tmp_path: Path) -> None:
    """When the frames break off with an error there is no half film."""

    def breaking() -> Iterator[NDArray[np.uint8]]:
        yield numbered(0)
        raise RuntimeError("no more")

    with pytest.raises(RuntimeError, match="no more"):
        write_film(tmp_path / "film.mp4", breaking(), rate=RATE)
    assert list(tmp_path.iterdir()) == []


def test_pictures_are_written_as_they_were_decoded(written: Path, tmp_path: Path) -> None:
    """Decoded pictures handed on make the same film as ever, and stay what they were."""
    path = tmp_path / "again.mp4"
    with av.open(str(written)) as container:
        pictures = list(container.decode(video=0))
    before = [(picture.pts, picture.pict_type, bytes(picture.planes[0])) for picture in pictures]
    write_film(path, pictures, rate=RATE, keyframe_every=25, quality=12)
    assert [number_on(picture) for picture in seen_by_ffmpeg(path, WIDTH, HEIGHT)] == list(
        range(50)
    )
    assert before == [
        (picture.pts, picture.pict_type, bytes(picture.planes[0])) for picture in pictures
    ]
    with av.open(str(path)) as container:
        keys = [packet.is_keyframe for packet in container.demux(video=0) if packet.size]
    assert [place for place, key in enumerate(keys) if key] == [0, 25]


def test_one_picture_may_stand_for_long(written: Path, tmp_path: Path) -> None:
    """The same decoded picture given again and again is a film that stands still."""
    path = tmp_path / "still.mp4"
    with av.open(str(written)) as container:
        picture = next(container.decode(video=0))
    write_film(path, [picture] * 20, rate=RATE)
    with open_film(path) as film:
        assert film.times_s == tuple(number / RATE for number in range(20))


FLASHES = (10, 71)


def flashing(count: int) -> Iterator[NDArray[np.uint8]]:
    """Draw dark frames, white where it clicks."""
    return (
        np.full((HEIGHT, WIDTH, 3), 235 if number in FLASHES else 20, np.uint8)
        for number in range(count)
    )


def clicking(length_s: Fraction, rate: Fraction, block: int) -> Iterator[NDArray[np.float32]]:
    """Give sound in blocks: a click of 2 ms where the flashes are."""
    samples = np.zeros((round(length_s * 48_000), 2), np.float32)
    for number in FLASHES:
        at = round(number / rate * 48_000)
        samples[at : at + 96] = 0.9
    return (samples[at : at + block] for at in range(0, len(samples), block))


@pytest.mark.parametrize("rate", [Fraction(30000, 1001), Fraction(60), Fraction(25)])
@pytest.mark.parametrize("block", [333, 100_000])
def test_sound_is_in_step(tmp_path: Path, rate: Fraction, block: int) -> None:
    """Decoded by FFmpeg's command line, flash and click coincide within half a frame."""
    path = tmp_path / "flash.mp4"
    write_film(path, flashing(90), rate=rate, sound=clicking(90 / rate, rate, block))
    bright = seen_by_ffmpeg(path, WIDTH, HEIGHT).mean(axis=(1, 2, 3)) > 128
    assert tuple(np.flatnonzero(bright).tolist()) == FLASHES
    heard = onsets_s(heard_by_ffmpeg(path, 48_000, 2)[:, 0], 48_000)
    assert len(heard) == len(FLASHES)
    for number, at_s in zip(FLASHES, heard, strict=True):
        assert abs(at_s - number / rate) < 1 / (2 * rate)
    told = told_by_ffprobe(path)["audio"]
    assert (told["codec_name"], told["profile"]) == ("aac", "LC")
    assert (told["sample_rate"], told["channels"]) == ("48000", 2)
    assert float(told["start_time"]) == 0
    assert float(told["duration"]) == pytest.approx(float(90 / rate), abs=0.001)


def test_short_sound_ends_in_silence_and_long_sound_is_cut(tmp_path: Path) -> None:
    """Sound lasts as long as the pictures, whatever was given."""
    for given_s in (Fraction(1, 2), Fraction(3)):
        path = tmp_path / "film.mp4"
        loud = np.full((round(given_s * 48_000), 2), 0.5, np.float32)
        write_film(path, frames(30), rate=Fraction(30), sound=[loud])
        assert read_sound(path).samples.shape == (48_000, 2)
        told = told_by_ffprobe(path)["audio"]
        assert float(told["duration"]) == pytest.approx(1, abs=0.001)


def test_no_sound_is_no_sound(written: Path) -> None:
    """Without sound there is no silent track either."""
    assert set(told_by_ffprobe(written)) == {"video"}


def test_no_frames_is_refused(tmp_path: Path) -> None:
    """Nothing to write is a sentence, and no file."""
    with pytest.raises(OutputError, match="no frames to write"):
        write_film(tmp_path / "film.mp4", [], rate=RATE)
    assert list(tmp_path.iterdir()) == []


def test_a_place_that_cannot_be_written(tmp_path: Path) -> None:
    """A folder below a file is refused in a sentence."""
    (tmp_path / "file").write_text("in the way")
    with pytest.raises(OutputError, match="choose a folder you can write to"):
        write_film(tmp_path / "file" / "film.mp4", frames(3), rate=RATE)


def test_a_folder_that_goes_away_is_told(tmp_path: Path) -> None:
    """When the folder is removed meanwhile one sentence says so."""
    folder = tmp_path / "stick"

    def pulling() -> Iterator[NDArray[np.uint8]]:
        for number in range(8):
            if number == 4:
                shutil.rmtree(folder)
            yield numbered(number)

    with pytest.raises(OutputError, match=r"film\.mp4: the film could not be written"):
        write_film(folder / "film.mp4", pulling(), rate=RATE)


FULL = """
import resource, sys
from fractions import Fraction
import numpy as np
from gradecut.errors import OutputError
from gradecut.film import write_film
resource.setrlimit(resource.RLIMIT_FSIZE, (200_000, 200_000))
noise = np.random.default_rng(1)
frames = (noise.integers(0, 256, (108, 192, 3), dtype=np.uint8) for _ in range(60))
try:
    write_film(sys.argv[1], frames, rate=Fraction(30), quality=1)
except OutputError as error:
    print(error)
"""


def test_a_full_disk_is_told(tmp_path: Path) -> None:
    """When no more can be written there is one sentence, no film and no leftover."""
    done = subprocess.run(
        [sys.executable, "-c", FULL, str(tmp_path / "film.mp4")],
        check=True, capture_output=True, text=True,
    )  # fmt: skip
    assert "film.mp4: the film could not be written" in done.stdout
    assert "free some space or choose another folder." in done.stdout
    assert list(tmp_path.iterdir()) == []


ENDLESS = """
import sys
from fractions import Fraction
import numpy as np
from gradecut.film import write_film
def frames():
    number = 0
    while True:
        number += 1
        if number == 200:
            print("under way", flush=True)
        yield np.full((108, 192, 3), number % 256, np.uint8)
write_film(sys.argv[1], frames(), rate=Fraction(30))
"""


def test_killed_in_the_middle(tmp_path: Path) -> None:
    """A killed process leaves no film under its name, and the next one clears up after it.

    What a process that still works is writing in the same folder is left alone.
    """
    command = [sys.executable, "-c", ENDLESS]
    killed, working = (
        subprocess.Popen([*command, str(tmp_path / name)], stdout=subprocess.PIPE, text=True)
        for name in ("killed.mp4", "working.mp4")
    )
    try:
        for process in (killed, working):
            assert process.stdout is not None
            assert process.stdout.readline() == "under way\n"
        killed.kill()
        killed.wait()
        assert not (tmp_path / "killed.mp4").exists()
        assert len(list(tmp_path.iterdir())) == 2
        write_film(tmp_path / "killed.mp4", frames(10), rate=RATE)
        left = [path.name for path in tmp_path.iterdir() if path.name != "killed.mp4"]
        assert len(left) == 1
        assert working.poll() is None
    finally:
        for process in (killed, working):
            process.kill()
            process.communicate()
    with open_film(tmp_path / "killed.mp4") as film:
        assert film.frame_count == 10


def wrong_calls() -> list[tuple[str, list[NDArray[np.uint8]], dict[str, object]]]:
    """List calls that are mistakes, each with what is said."""
    one, two = numbered(0), numbered(1)
    third = Fraction(1, 3)
    close = Fraction(1, 10**7)
    return [
        ("in a film of", [one, one[:50]], {}),
        ("uint8 array", [one.astype(np.float32)], {}),
        ("uint8 array", [one[..., 0]], {}),
        ("Quality goes", [one], {"quality": 0}),
        ("positive number", [one], {"rate": Fraction(0)}),
        ("begin at 0", [one], {"times_s": [third]}),
        ("must rise", [one, two], {"times_s": [Fraction(0), Fraction(0)]}),
        ("closer together", [one, two], {"times_s": [Fraction(0), close]}),
        ("more frames than times", [one, two], {"times_s": [Fraction(0)]}),
        ("more times than frames", [one], {"times_s": [Fraction(0), third]}),
        ("float32 array", [one], {"sound": [np.zeros((9, 1), np.float32)]}),
        ("float32 array", [one], {"sound": [np.zeros((9, 2))]}),
    ]


@pytest.mark.parametrize(("said", "pictures", "options"), wrong_calls())
def test_mistaken_calls_are_refused(
    tmp_path: Path, said: str, pictures: list[NDArray[np.uint8]], options: dict[str, object]
) -> None:
    """Frames of two sizes, wrong arrays, wrong times: refused, with nothing left behind."""
    with pytest.raises(ValueError, match=said):
        write_film(tmp_path / "film.mp4", pictures, **{"rate": RATE, **options})  # type: ignore[arg-type]
    assert list(tmp_path.iterdir()) == []
