"""A rendered reel, opened by a browser: the frames, the freeze and the marks of the plan."""

from __future__ import annotations

import base64
from fractions import Fraction
from pathlib import Path

import cv2
import numpy as np
import pytest
from numpy.typing import NDArray

from gradecut.film import write_film
from gradecut.reels import Piece, Plan, plan, render
from tests.browser.chromium import chromium
from tests.reels.numbered_film import SIZE_PX, make_film, number_on, numbered_frame, source_of
from tests.reels.test_render import REEL, has_ring, plan_of, wanted_numbers

pytestmark = pytest.mark.browser

GRAB = """async ({film, times}) => {
  const bytes = Uint8Array.from(atob(film), letter => letter.charCodeAt(0));
  const video = document.createElement("video");
  video.muted = true;
  video.src = URL.createObjectURL(new Blob([bytes], {type: "video/mp4"}));
  await new Promise((done, fail) => {
    video.onloadeddata = done;
    video.onerror = () => fail(video.error.message);
  });
  const canvas = document.createElement("canvas");
  canvas.width = video.videoWidth;
  canvas.height = video.videoHeight;
  const pen = canvas.getContext("2d");
  const shown = [];
  for (const at of times) {
    const painted = new Promise(done => video.requestVideoFrameCallback(done));
    const sought = new Promise(done => video.onseeked = done);
    video.currentTime = at;
    await sought;
    await Promise.race([painted, new Promise(done => setTimeout(done, 400))]);
    pen.drawImage(video, 0, 0);
    shown.push(canvas.toDataURL("image/png").split(",")[1]);
  }
  return {duration: video.duration, shown};
}"""


@pytest.fixture(scope="module")
def reel(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Plan]:
    """Render one piece with a marked freeze at the snap."""
    folder = tmp_path_factory.mktemp("reel")
    film = make_film(folder / "film.mp4", 180, Fraction(30))
    made = plan_of(film, 80)
    return render(made, folder / "reel.mp4"), made


def seen(path: Path, made: Plan, frames: list[int]) -> tuple[float, list[NDArray[np.uint8]]]:
    """Return the film's length in seconds and chosen frames, RGB, as Chromium shows them."""
    times = [float((frame + 0.5) / made.rate) for frame in frames]
    with chromium() as browser:
        page = browser.new_page()
        film = base64.b64encode(path.read_bytes()).decode()
        answer = page.evaluate(GRAB, {"film": film, "times": times})
    pictures = []
    for text in answer["shown"]:
        packed = np.frombuffer(base64.b64decode(text), np.uint8)
        picture = cv2.imdecode(packed, cv2.IMREAD_COLOR)
        assert picture is not None
        pictures.append(np.asarray(picture[:, :, ::-1], np.uint8))
    return answer["duration"], pictures


def test_chromium_shows_the_reel_as_planned(reel: tuple[Path, Plan]) -> None:
    """Length, every step's first and last frame, and the marks on the freeze and only there."""
    path, made = reel
    wanted = wanted_numbers(made)
    edges = sorted(
        {
            frame
            for step in made.steps
            for frame in (step.first_frame, step.first_frame + step.frame_count - 1)
        }
    )
    duration_s, pictures = seen(path, made, edges)

    assert duration_s == pytest.approx(float(made.duration_s), abs=0.5 / float(made.rate))
    kinds = {
        frame: step.kind
        for step in made.steps
        for frame in range(step.first_frame, step.first_frame + step.frame_count)
    }
    for frame, picture in zip(edges, pictures, strict=True):
        if wanted[frame] is not None:
            assert number_on(picture) == wanted[frame], f"frame {frame}"
        assert has_ring(picture) == (kinds[frame] == "freeze"), f"frame {frame}"


LISTEN = """async ({film}) => {
  const bytes = Uint8Array.from(atob(film), letter => letter.charCodeAt(0));
  const heard = await new OfflineAudioContext(2, 1, 48000).decodeAudioData(bytes.buffer);
  const loud = [];
  const samples = heard.getChannelData(0);
  for (let at = 0; at < samples.length; at++) {
    if (Math.abs(samples[at]) > 0.3 && (!loud.length || at > loud.at(-1) + 14400)) loud.push(at);
  }
  return {length: samples.length, loud};
}"""


def test_chromium_hears_the_reel_in_step(tmp_path: Path) -> None:
    """The click of a frame is heard within half a frame of when Chromium shows that frame."""
    flash, rate = 64, Fraction(30)
    frames = [numbered_frame(number) for number in range(120)]
    clicking = np.zeros((4 * 48_000, 2), np.float32)
    clicking[flash * 1600 : flash * 1600 + 96] = 0.9
    film = tmp_path / "film.mp4"
    write_film(film, frames, rate=rate, sound=[clicking], preset="ultrafast", threads=1)
    piece = Piece(
        reel_id=REEL.id, order=1, clip_id="clip", angle_id="end", title="Keel 52",
        from_s=Fraction(-1), to_s=Fraction(3, 2),
    )  # fmt: skip
    made = plan(REEL, [piece], {"end": source_of(film, snap=50)}, [], size_px=SIZE_PX)
    path = render(made, tmp_path / "reel.mp4", sound=True)

    wanted = wanted_numbers(made)
    place = wanted.index(flash)
    _, pictures = seen(path, made, [place - 1, place, place + 1])
    assert [number_on(picture) for picture in pictures] == [flash - 1, flash, flash + 1]
    with chromium() as browser:
        page = browser.new_page()
        film_text = base64.b64encode(path.read_bytes()).decode()
        answer = page.evaluate(LISTEN, {"film": film_text})
    (heard,) = answer["loud"]
    assert abs(heard / 48_000 - place / rate) < 1 / (2 * rate)
    assert answer["length"] / 48_000 == pytest.approx(float(made.duration_s), abs=0.03)
