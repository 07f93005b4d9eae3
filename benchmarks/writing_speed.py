"""How long twenty pieces of film take to be written, against FFmpeg's own command line.

Run ``python benchmarks/writing_speed.py`` from the checkout; ``--quick`` takes four short
pieces, ``--rounds N`` repeats both in turn N times. Three films of 1080p60 are made in a
temporary folder. Both sides cut pieces of 2.5 s from them and encode them into one MP4 with
the same preset, quality and keyframe distance and as many encoder threads as each chooses itself;
FFmpeg seeks accurately (``-ss`` before ``-i``) and joins with its concat filter. The command
line may carry another x264 than the one PyAV brings: both are printed, since sizes and speed
compare encoders only where they are the same.
"""

from __future__ import annotations

import argparse
import os
import random
import re
import resource
import shutil
import subprocess
import tempfile
import time
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path
from statistics import median

import av
import cv2
import numpy as np
from numpy.typing import NDArray

from gradecut.film import Bt709Maker, index_films, open_film, write_film
from gradecut.records.teaching import Piece, Reel
from gradecut.reels import PieceSource, plan, render

RATE = 60
SIZE_PX = (1920, 1080)
PIECE_S = Fraction(5, 2)
PRESET, QUALITY, KEYS_EVERY = "veryfast", 21, 60


@dataclass(frozen=True, slots=True, kw_only=True)
class Cut:
    """A piece of a film: frames from ``first``, ``count`` of them."""

    film: Path
    first: int
    count: int


def make_film(path: Path, seed: int, seconds: float, group: int) -> None:
    """Write 1080p60 film of a textured ground that pans, with grain and things moving on it."""
    rng = np.random.default_rng(seed)
    width, height = SIZE_PX
    ground = rng.integers(40, 200, (height // 4, width, 3), dtype=np.uint8)
    ground = cv2.GaussianBlur(cv2.resize(ground, (2 * width, height)), (0, 0), 1.5)
    grain = rng.integers(0, 5, (height + 64, width + 64, 1), dtype=np.uint8).repeat(3, axis=2)
    men = [(rng.uniform(0, width), rng.uniform(0, height), rng.uniform(-4, 4)) for _ in range(22)]

    def frames() -> Iterator[NDArray[np.uint8]]:
        for number in range(round(seconds * RATE)):
            slide = number % width
            noise = grain[number * 7 % 64 :, number * 13 % 64 :][:height, :width]
            picture = cv2.add(ground[:, slide : slide + width], noise)
            for x, y, pace in men:
                left, top = int(x + pace * number) % (width - 40), int(y) % (height - 90)
                picture[top : top + 90, left : left + 40] = (200, 40 + top % 150, 60)
            yield picture.astype(np.uint8, copy=False)

    write_film(
        path, frames(), rate=Fraction(RATE), quality=18, preset="ultrafast", keyframe_every=group
    )


def write_ours(cuts: list[Cut], out: Path) -> None:
    """Write the pieces as a reel."""
    reel = Reel(name="benchmark")
    sources, pieces = {}, []
    for number, cut in enumerate(cuts):
        with open_film(cut.film) as film:
            angle = f"angle {number}"
            sources[angle] = PieceSource(
                path=str(cut.film), name=cut.film.name, start_pts=film.pts_of(cut.first),
                stop_pts=film.pts_of(cut.first + cut.count - 1), snap_pts=film.pts_of(cut.first),
            )  # fmt: skip
        length_s = Fraction(cut.count, RATE)
        pieces.append(
            Piece(
                reel_id=reel.id, order=number, clip_id=angle, angle_id=angle,
                from_s=Fraction(0), to_s=length_s,
            )
        )  # fmt: skip
    made = plan(reel, pieces, sources, [], rate=Fraction(RATE), size_px=SIZE_PX)
    assert made.frame_count == sum(cut.count for cut in cuts), made.missing
    render(made, out, quality=QUALITY, preset=PRESET)


def write_with_ffmpeg(cuts: list[Cut], out: Path) -> None:
    """Write the pieces with FFmpeg's command line."""
    command = ["ffmpeg", "-v", "error", "-y"]
    for cut in cuts:
        command += ["-ss", f"{cut.first / RATE:.6f}", "-t", f"{cut.count / RATE:.6f}"]
        command += ["-i", str(cut.film)]
    joined = "".join(f"[{number}:v]" for number in range(len(cuts)))
    command += ["-filter_complex", f"{joined}concat=n={len(cuts)}:v=1[v]", "-map", "[v]"]
    command += ["-c:v", "libx264", "-preset", PRESET, "-crf", str(QUALITY), "-g", str(KEYS_EVERY)]
    command += ["-movflags", "+faststart", str(out)]
    subprocess.run(command, check=True)


def write_bare(cuts: list[Cut], out: Path) -> None:
    """Decode and encode in turn with PyAV alone, in one thread: the same x264 as ours."""
    maker = Bt709Maker()
    with av.open(str(out), "w", options={"movflags": "+faststart"}) as container:
        stream = container.add_stream(
            "libx264",
            rate=RATE,
            options={"preset": PRESET, "crf": str(QUALITY), "g": str(KEYS_EVERY)},
        )
        stream.width, stream.height, stream.pix_fmt = *SIZE_PX, "yuv420p"
        shown = 0
        for cut in cuts:
            with open_film(cut.film) as film:
                for number in range(cut.first, cut.first + cut.count):
                    picture = maker.made(film.native(number))
                    picture.pts, picture.time_base = shown, Fraction(1, RATE)
                    shown += 1
                    container.mux(stream.encode(picture))
        container.mux(stream.encode(None))


def frames_of(path: Path) -> int:
    """Count the frames of a film."""
    with open_film(path) as film:
        return film.frame_count


def encoder_of(path: Path) -> str:
    """Return the version of x264 that a film names."""
    found = re.search(rb"x264 - core (\d+ \S+)", path.read_bytes())
    return found[1].decode() if found else "unknown"


def cpu_s() -> float:
    """Return the seconds of a core this process and its ended children have used.

    On a machine that does other things too this tells more than the clock.
    """
    return sum(
        usage.ru_utime + usage.ru_stime
        for usage in map(resource.getrusage, (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN))
    )


def main() -> None:
    """Measure and print."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--quick", action="store_true", help="four pieces of shorter films")
    parser.add_argument("--rounds", type=int, default=3, help="how often each is measured")
    parser.add_argument("--bare", action="store_true", help="PyAV's own x264 alone, too")
    parser.add_argument("--group", type=int, default=60, help="keyframe distance of the films")
    told = parser.parse_args()
    if not shutil.which("ffmpeg"):
        raise SystemExit("FFmpeg's command line is not here; install ffmpeg and try again.")
    count, seconds = (4, 3.5) if told.quick else (20, 8.0)
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        os.environ["GRADECUT_INDEX_FOLDER"] = str(folder / "index")
        films = [folder / f"film {number}.mp4" for number in range(3)]
        for number, path in enumerate(films):
            make_film(path, number, seconds, told.group)
        index_films(films)
        chance = random.Random(4)
        piece = round(PIECE_S * RATE)
        most = round(seconds * RATE) - piece
        cuts = [
            Cut(film=films[number % 3], first=chance.randrange(most), count=piece)
            for number in range(count)
        ]
        sides = {"ours": write_ours, "ffmpeg": write_with_ffmpeg}
        if told.bare:
            sides["bare x264"] = write_bare
        spent: dict[str, list[float]] = {side: [] for side in sides}
        worked: dict[str, list[float]] = {side: [] for side in sides}
        outs = {side: folder / f"{side}.mp4" for side in sides}
        for _ in range(told.rounds):
            for side, write in sides.items():
                began, began_cpu = time.perf_counter(), cpu_s()
                write(cuts, outs[side])
                spent[side].append(time.perf_counter() - began)
                worked[side].append(cpu_s() - began_cpu)
        tell(spent, worked, outs)


def tell(
    spent: dict[str, list[float]], worked: dict[str, list[float]], outs: dict[str, Path]
) -> None:
    """Print what each side took and made, and ours against the others."""
    for side, out in outs.items():
        print(
            f"{side:10} {median(spent[side]):7.2f} s, {median(worked[side]):7.2f} s of a core, "
            f"{out.stat().st_size / 1e6:7.2f} MB, {frames_of(out)} frames, "
            f"x264 core {encoder_of(out)}"
        )
    for other in list(outs)[1:]:
        ratios = [a / b for a, b in zip(spent["ours"], spent[other], strict=True)]
        work = median(worked["ours"]) / median(worked[other])
        size = outs["ours"].stat().st_size / outs[other].stat().st_size
        each = ", ".join(f"{ratio:.3f}" for ratio in ratios)
        print(
            f"ours / {other}: time {median(ratios):.3f} ({each}), work {work:.3f}, size {size:.4f}"
        )


if __name__ == "__main__":
    main()
