"""How quickly film is opened, stepped, sought and held back, beside what else would read it.

Makes its films once (a few minutes; ``--films`` keeps them), then measures everything in one
run, readers taking turns frame by frame, so that the ratios hold on a busy machine too.
torchcodec is measured where it is installed.

    python -m benchmarks.film_speed [--films FOLDER] [--quick] [--only seek,hold,...]
"""

from __future__ import annotations

import argparse
import random
import statistics
import subprocess
import sys
import tempfile
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from fractions import Fraction
from importlib.util import find_spec
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from benchmarks.film_rivals import READERS, Limit, Reader
from benchmarks.made_films import (
    HD,
    UHD,
    Making,
    lengthened,
    make,
    number_band,
    number_in,
    number_on,
)
from gradecut.film import FrameServer, open_film
from gradecut.film.indexing.index_store import FOLDER_VARIABLE
from gradecut.timebase import Frame

_STEPS_A_SECOND = 30
_SETTLING_S = 0.15
"""Threads of the reader before still decode what it was given; they are let finish."""


def main() -> int:
    """Measure what is asked for and print it."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--films", type=Path, help="keep the films here")
    parser.add_argument("--quick", action="store_true", help="short films, few tries")
    parser.add_argument("--only", default="", help="some of: " + ", ".join(_PARTS))
    asked = parser.parse_args()
    names = [name for name in asked.only.split(",") if name] or list(_PARTS)
    with _index_folder(), _folder(asked.films) as folder:
        for name in names:
            _PARTS[name](folder, asked.quick)
    return 0


def _hd(group: int, quick: bool) -> Making:
    return Making(
        name=f"hd60-group{group}", size_px=HD, rate=Fraction(60), seconds=10 if quick else 60,
        group=group, megabits=12,
    )  # fmt: skip


def _uhd(quick: bool) -> Making:
    return Making(
        name="uhd30-group30", size_px=UHD, rate=Fraction(30), seconds=10 if quick else 24,
        group=30, megabits=30,
    )  # fmt: skip


# ---------------------------------------------------------------------- stepping and seeking


def measure_steps(folder: Path, quick: bool) -> None:
    """Step forward, then back over frames seen, and back from a cold jump."""
    for group in (60, 250):
        path = make(_hd(group, quick), folder)
        _head(f"steps, 1080p60, group of {group}: ms median / p95 / longest")
        count = 60 if quick else 120
        middle = 300 if quick else 1800
        for name, reader in _readers(path):
            for number in range(middle - count, middle):
                reader.frame(number)
            back = [_timed(reader, number) for number in range(middle - 2, middle - count, -1)]
            on = [_timed(reader, number) for number in range(middle, middle + count)]
            reader.frame(middle + count + 150)
            start = middle + count + 149
            cold = [_timed(reader, number) for number in range(start, start - count, -1)]
            for what, times in (("back, seen", back), ("forward", on), ("back, cold", cold)):
                print(f"  {what:<12} {name:<11} {_spread(times)}  wrong {_wrong(times)}")
            reader.close()


def measure_seeks(folder: Path, quick: bool) -> None:
    """Jump at random, every reader to the same frame in turn."""
    for group in (60, 250):
        path = make(_hd(group, quick), folder)
        _head(f"random seek, 1080p60, group of {group}: ms median / p95 / longest")
        limit = Limit(path)
        readers = dict(_readers(path))
        count = open_film(path).frame_count
        goals = random.Random(3).sample(range(count), 20 if quick else 60)
        least: list[float] = []
        times: dict[str, list[tuple[float, bool]]] = {name: [] for name in readers}
        for goal in goals:
            time.sleep(_SETTLING_S)
            start = time.perf_counter()
            limit.frame(goal)
            least.append(time.perf_counter() - start)
            for name, reader in readers.items():
                time.sleep(_SETTLING_S)
                times[name].append(_timed(reader, goal))
        print(f"  {'the limit':<24} {_spread([(one, True) for one in least])}")
        for name, taken in times.items():
            ratio = sum(one for one, _ in taken) / sum(least)
            each = statistics.median(t / one for (t, _), one in zip(taken, least, strict=True))
            print(
                f"  {name:<24} {_spread(taken)}  wrong {_wrong(taken)}  "
                f"{ratio:.2f} of the limit in all, {each:.2f} in the middle"
            )
        limit.close()
        for reader in readers.values():
            reader.close()


# ---------------------------------------------------------------------- the window's server


class Held:
    """A key held back: wishes at a steady beat, the newest one asked for as pictures come.

    The numbers burnt in are read when all is over: reading takes as long as showing does.
    """

    def __init__(self, server: FrameServer, path: Path) -> None:
        self._server = server
        self._path = path
        self._came = threading.Event()
        self.rough = 0
        self.shown_at: list[float] = []
        self._bands: list[tuple[Frame, NDArray[np.uint8]]] = []

    def run(self, start: int, steps: int) -> float:
        """Step back so many times and return the longest time one picture stood, in s."""
        began = time.perf_counter()
        last_asked = start + 1
        self.shown_at = [began]
        while last_asked > start - steps + 1:
            wish = start - int((time.perf_counter() - began) * _STEPS_A_SECOND)
            wish = max(wish, start - steps + 1)
            if wish == last_asked:
                time.sleep(0.001)
                continue
            last_asked = wish
            self._came.clear()
            self._server.stay_near(str(self._path), Frame(0), Frame(start), Frame(wish))
            self._server.request(str(self._path), Frame(wish), self._ready, _refused, rough=True)
            self._came.wait(30)
        return max(b - a for a, b in zip(self.shown_at, self.shown_at[1:], strict=False))

    @property
    def wrong(self) -> int:
        """How many pictures were another frame's."""
        return sum(number_in(band) != frame for frame, band in self._bands)

    def _ready(self, frame: Frame, picture: NDArray[np.uint8], rough: bool) -> None:
        self.shown_at.append(time.perf_counter())
        self.rough += rough
        self._bands.append((frame, number_band(picture)))
        self._came.set()


def _refused(error: Exception) -> None:
    raise error


def measure_hold(folder: Path, quick: bool) -> None:
    """Hold the key back for 20 s, cold and with the small copies ready."""
    steps = 5 * _STEPS_A_SECOND if quick else 20 * _STEPS_A_SECOND
    for making in (_hd(60, quick), _hd(250, quick), _uhd(quick)):
        path = make(making, folder)
        start = min(steps + 20, making.frame_count - 1)
        whole_s = _decode_group(path, start)
        _head(f"held back {steps} steps, {making.name}: longest time one picture stood, ms")
        print(f"  one group's decode (plain PyAV): {1000 * whole_s:.0f}")
        server = FrameServer(lambda work: work())
        server.open(str(path))
        time.sleep(1)
        held = Held(server, path)
        cold = held.run(start, steps)
        print(
            f"  cold   {1000 * cold:6.0f}  = {cold / whole_s:.2f} of a group; pictures "
            f"{len(held.shown_at) - 1}, rough {held.rough}, wrong {held.wrong}"
        )
        server.close()
        server = FrameServer(lambda work: work())
        server.stay_near(str(path), Frame(0), Frame(start), Frame(start))
        waited = time.perf_counter()
        while server.ready_share(str(path), Frame(0), Frame(start)) < 1:
            time.sleep(0.05)
            if time.perf_counter() - waited > 120:
                break
        print(f"  small copies of {start + 1} frames made in {time.perf_counter() - waited:.1f} s")
        held = Held(server, path)
        warm = held.run(start, steps)
        gaps = sorted(b - a for a, b in zip(held.shown_at, held.shown_at[1:], strict=False))
        print(
            f"  ready  {1000 * warm:6.0f}  (p99 {1000 * gaps[int(0.99 * len(gaps))]:.0f}); "
            f"pictures {len(held.shown_at) - 1}, rough {held.rough}, wrong {held.wrong}"
        )
        server.close()


def measure_next(folder: Path, quick: bool) -> None:
    """Go from clip to clip, the next one prefetched."""
    _head("next clip's first picture, prefetched: ms")
    films = [make(_hd(60, quick), folder), make(_hd(250, quick), folder), make(_uhd(quick), folder)]
    times: list[float] = []
    for path in films[1:] + films[:1]:
        for first in (95, 200):
            server = FrameServer(lambda work: work())
            other = films[0] if path != films[0] else films[1]
            _ask(server, other, 10)
            server.prefetch(str(path), Frame(first), Frame(first - 60), Frame(first + 60))
            time.sleep(3)
            times.append(_ask(server, path, first))
            server.close()
    print(f"  {_spread([(one, True) for one in times])}")


def _ask(server: FrameServer, path: Path, frame: int) -> float:
    came = threading.Event()
    start = time.perf_counter()
    server.request(str(path), Frame(frame), lambda *_: came.set(), _refused)
    came.wait(60)
    return time.perf_counter() - start


def _decode_group(path: Path, frame: int) -> float:
    """Return how long the slowest of five decodes of a whole group's frames takes, in s."""
    limit = Limit(path)
    first, length = limit.group_of(frame)
    times = []
    for _ in range(5):
        start = time.perf_counter()
        limit.frame(first + length - 1)
        times.append(time.perf_counter() - start)
    limit.close()
    return statistics.median(times)


# ---------------------------------------------------------------------- opening and memory


def measure_opening(folder: Path, quick: bool) -> None:
    """Open a film nobody knows, and one the book knows."""
    path = make(_hd(60, quick), folder)
    hour = lengthened(path, folder / f"hd60-hour-{quick}.mp4", 12 if quick else 60)
    from gradecut.film.indexing import index_store

    _head("opening: ms median / p95 / longest")
    new: list[tuple[float, bool]] = []
    known: list[tuple[float, bool]] = []
    for film in (path, hour):
        new, known = [], []
        for _ in range(3 if quick or film == hour else 9):
            index_store.forget()
            for kept in index_store.index_folder().glob("*"):
                kept.unlink()
            start = time.perf_counter()
            open_film(film).close()
            new.append((time.perf_counter() - start, True))
            index_store.forget()
            start = time.perf_counter()
            open_film(film).close()
            known.append((time.perf_counter() - start, True))
        print(f"  {film.name}: indexed in {_spread(new)}; known {_spread(known)}")


_STEPPING = """
import sys, random, resource, threading
from pathlib import Path
from gradecut.film import FrameServer, open_film
from gradecut.timebase import Frame
path = sys.argv[1]
server = FrameServer(lambda work: work())
with open_film(path) as film:
    count = film.frame_count
def now():
    for line in Path("/proc/self/status").read_text().splitlines():
        if line.startswith("VmRSS"):
            return int(line.split()[1]) / 1024
order = random.Random(1)
most = 0
for place in range(int(sys.argv[2])):
    at = order.randrange(60, count - 60)
    for by in (*range(20), *range(19, -20, -1)):
        came = threading.Event()
        here, tell = Frame(at + by), lambda *_: came.set()
        server.stay_near(path, Frame(max(at - 150, 0)), Frame(min(at + 150, count - 1)), here)
        server.request(path, here, tell, tell, rough=True)
        came.wait(60)
    most = max(most, now())
server.close()
peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
print(f"  {count} frames: {most:.0f} MB while stepping, {peak:.0f} MB at most")
"""


def measure_memory(folder: Path, quick: bool) -> None:
    """Step through an hour of 4K and watch the memory of the whole process."""
    short = make(
        Making(
            name="uhd30-small", size_px=UHD, rate=Fraction(30), seconds=20, group=30, megabits=6
        ),
        folder,
    )
    hour = lengthened(short, folder / f"uhd30-hour-{quick}.mp4", 9 if quick else 180)
    _head("memory, stepping through 4K (an hour of it unless --quick)")
    places = "15" if quick else "120"
    subprocess.run([sys.executable, "-c", _STEPPING, str(hour), places], check=True)


# ---------------------------------------------------------------------- wrong frames


def measure_wrong(folder: Path, _quick: bool) -> None:
    """Read every film of the torture set by every reader, forward, backward and at random."""
    from tests.film import torture

    _head("torture set: films with a wrong frame; frames refused; films not opened")
    shelf = folder / "torture"
    shelf.mkdir(exist_ok=True)
    films = []
    for name, (ending, making) in torture.FILMS.items():
        path = shelf / f"{name}.{ending}"
        films.append((path if path.exists() else torture.make_film(path, making), making))
    for name, kind in READERS.items():
        if name == "torchcodec" and find_spec(name) is None:
            continue
        wrong, refused, shut = [], 0, 0
        for path, making in films:
            try:
                reader = kind(path)
            except Exception:  # noqa: BLE001  # a rival may raise anything
                shut += 1
                continue
            numbers = list(range(making.count))
            order = [*numbers, *reversed(numbers), *random.Random(2).sample(numbers, len(numbers))]
            bad = 0
            for number in order:
                try:
                    told = torture.number_on(reader.frame(number))
                    bad += told != making.first_number + number
                except Exception:  # noqa: BLE001  # a rival may raise anything
                    refused += 1
            if bad:
                wrong.append(path.stem)
            reader.close()
        print(f"  {name:<11} {len(wrong)} of {len(films)} wrong, {refused} refused, {shut} shut")
        if wrong:
            print(f"              {', '.join(wrong)}")


_PARTS: dict[str, Callable[[Path, bool], None]] = {
    "wrong": measure_wrong,
    "steps": measure_steps,
    "seeks": measure_seeks,
    "hold": measure_hold,
    "next": measure_next,
    "opening": measure_opening,
    "memory": measure_memory,
}


# ---------------------------------------------------------------------- telling


def _readers(path: Path) -> Iterator[tuple[str, Reader]]:
    for name, kind in READERS.items():
        if name != "torchcodec" or find_spec(name) is not None:
            yield name, kind(path)


def _timed(reader: Reader, number: int) -> tuple[float, bool]:
    start = time.perf_counter()
    picture = reader.frame(number)
    taken = time.perf_counter() - start
    return taken, number_on(picture) == number


def _wrong(times: list[tuple[float, bool]]) -> int:
    return sum(not right for _, right in times)


def _spread(times: list[tuple[float, bool]]) -> str:
    taken = sorted(1000 * one for one, _ in times)
    p95 = taken[min(int(0.95 * len(taken)), len(taken) - 1)]
    return f"{statistics.median(taken):7.1f} /{p95:7.1f} /{taken[-1]:7.1f}"


def _head(text: str) -> None:
    print(f"\n{text}", flush=True)


@contextmanager
def _folder(kept: Path | None) -> Iterator[Path]:
    if kept is not None:
        kept.mkdir(parents=True, exist_ok=True)
        yield kept
        return
    with tempfile.TemporaryDirectory(prefix="films-") as name:
        yield Path(name)


@contextmanager
def _index_folder() -> Iterator[None]:
    """Keep the indexes made here apart from the user's own."""
    import os

    with tempfile.TemporaryDirectory(prefix="index-") as name:
        os.environ[FOLDER_VARIABLE] = name
        yield


if __name__ == "__main__":
    sys.exit(main())
