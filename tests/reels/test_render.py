from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray

from gradecut.drawing import ON_FILM
from gradecut.errors import Cancelled, OutputError, RenderError
from gradecut.film import open_film
from gradecut.progress import CancelToken
from gradecut.records.marks import Mark
from gradecut.reels import Freeze, Piece, Plan, Reel, film_area, plan, render
from tests.film.outside import seen_by_ffmpeg
from tests.reels.numbered_film import SIZE_PX, number_on, read_with_opencv, source_of

REEL = Reel(name="Tuesday")
RING_AT = (200.0, 110.0)
HOLD = 24


def plan_of(
    path: Path, snap: int, *, size_px: tuple[int, int] = SIZE_PX, title: str = "Keel 52"
) -> Plan:
    """Plan one piece with a marked freeze at the snap."""
    source = source_of(path, snap=snap)
    assert source.snap_pts is not None
    marks = [
        Mark(
            angle_id="end", kind="ring", points=(RING_AT,), from_pts=source.snap_pts,
            to_pts=source.snap_pts, meaning="owed",
        ),
        Mark(
            angle_id="end", kind="bracket", points=((90, 100),), from_pts=source.snap_pts,
            to_pts=source.snap_pts, text="Keel 52",
        ),
    ]  # fmt: skip
    piece = Piece(
        reel_id=REEL.id, order=1, clip_id="clip", angle_id="end", title=title,
        from_s=Fraction(-1), to_s=Fraction(1),
        freezes=(Freeze(at_s=Fraction(0), hold_s=Fraction(HOLD, 30)),),
        caption="Owed fill A.", mark_ids=tuple(mark.id for mark in marks),
    )  # fmt: skip
    return plan(REEL, [piece], {"end": source}, marks, size_px=size_px)


def wanted_numbers(made: Plan) -> list[int | None]:
    """Return the film frame each frame of the reel should show, None on cards."""
    return [
        number for step in made.steps for number in (step.film_frames or (None,) * step.frame_count)
    ]


def has_ring(frame: NDArray[np.uint8], at: tuple[float, float] = RING_AT, wide: int = 14) -> bool:
    """Tell whether there is owed blue around a point."""
    x, y = (round(part) for part in at)
    around = frame[y - wide : y + wide, x - wide : x + wide].astype(int)
    red, _, blue = (around[..., channel] for channel in range(3))
    hue_gap = ON_FILM.owed[2] - ON_FILM.owed[0]
    return bool(((blue - red) > hue_gap * 0.45).sum() >= 6)


@pytest.mark.parametrize(
    ("name", "snap"), [("thirty", 80), ("sixty", 131), ("fifty-nine", 131), ("variable", 60)]
)
def test_another_decoder_sees_the_reel_as_planned(
    films: dict[str, Path], tmp_path: Path, name: str, snap: int
) -> None:
    """Read back by OpenCV: as many frames as planned, each showing its planned film frame."""
    made = plan_of(films[name], snap)
    path = render(made, tmp_path / "reel.mp4", quality=16)
    frames = read_with_opencv(path)
    assert len(frames) == made.frame_count == 60 + 60 + HOLD
    shown = [
        None if wanted is None else number_on(frame)
        for frame, wanted in zip(frames, wanted_numbers(made), strict=True)
    ]
    assert shown == wanted_numbers(made)


def test_ffmpegs_own_program_sees_the_reel_as_planned(
    films: dict[str, Path], tmp_path: Path
) -> None:
    """Decoded by FFmpeg's command line: every frame of the reel is the planned film frame."""
    made = plan_of(films["fifty-nine"], 131)
    pictures = seen_by_ffmpeg(render(made, tmp_path / "reel.mp4", quality=16), *SIZE_PX)
    assert len(pictures) == made.frame_count
    wanted = wanted_numbers(made)
    for place, picture in enumerate(pictures):
        if wanted[place] is not None:
            assert number_on(picture) == wanted[place], f"frame {place}"


def test_the_same_plan_gives_the_same_bytes(films: dict[str, Path], tmp_path: Path) -> None:
    """Rendered twice with the same number of threads, a reel is the same byte for byte."""
    made = plan_of(films["thirty"], 80)
    one, two = (render(made, tmp_path / f"{name}.mp4", threads=2, sound=True) for name in "ab")
    assert one.read_bytes() == two.read_bytes()


def test_marks_are_on_the_freeze_and_only_there(films: dict[str, Path], tmp_path: Path) -> None:
    """The ring is painted at its place on each of the freeze's frames and on no other."""
    made = plan_of(films["thirty"], 80)
    frames = read_with_opencv(render(made, tmp_path / "reel.mp4", quality=16))
    ringed = [number for number, frame in enumerate(frames) if has_ring(frame)]
    (freeze,) = [step for step in made.steps if step.kind == "freeze"]
    assert ringed == list(range(freeze.first_frame, freeze.first_frame + HOLD))


def test_the_caption_stands_below_from_the_freeze_on(
    films: dict[str, Path], tmp_path: Path
) -> None:
    """The band at the foot is dark from the freeze to the end and bare before."""
    made = plan_of(films["thirty"], 80)
    frames = read_with_opencv(render(made, tmp_path / "reel.mp4", quality=16))
    (freeze,) = [step for step in made.steps if step.kind == "freeze"]
    dark = [frame[-4:, -40:].mean() < 60 for frame in frames]
    assert dark[60:] == [number >= freeze.first_frame for number in range(60, len(frames))]


def test_our_own_reader_agrees(films: dict[str, Path], tmp_path: Path) -> None:
    """The reel is film like any other: exact rate, count and size."""
    made = plan_of(films["sixty"], 131)
    with open_film(render(made, tmp_path / "reel.mp4")) as film:
        assert film.frame_count == made.frame_count
        assert film.rate == 30
        assert (film.width, film.height) == SIZE_PX
        assert film.duration_s == made.duration_s


def test_film_of_another_shape_stands_in_the_middle(films: dict[str, Path], tmp_path: Path) -> None:
    """On a square picture the film keeps its shape, dark above and below, marks moved along."""
    made = plan_of(films["thirty"], 80, size_px=(320, 320), title="")
    frames = read_with_opencv(render(made, tmp_path / "reel.mp4", quality=16))
    (freeze,) = [step for step in made.steps if step.kind == "freeze"]
    before = frames[freeze.first_frame - 1]
    assert before[:60].mean() < 25
    assert before[-60:].mean() < 25
    assert number_on(before[70:250]) == 79
    assert has_ring(frames[freeze.first_frame], (RING_AT[0], RING_AT[1] + 70))


def test_film_is_scaled_with_its_marks(films: dict[str, Path], tmp_path: Path) -> None:
    """On a picture twice as large the ring stands at twice its place."""
    made = plan_of(films["thirty"], 80, size_px=(640, 360), title="")
    frames = read_with_opencv(render(made, tmp_path / "reel.mp4", quality=16))
    (freeze,) = [step for step in made.steps if step.kind == "freeze"]
    at = (2 * RING_AT[0], 2 * RING_AT[1])
    assert has_ring(frames[freeze.first_frame], at, 28)
    assert not has_ring(frames[freeze.first_frame - 1], at, 28)


@pytest.mark.parametrize(
    ("film", "reel", "area"),
    [
        ((1920, 1080), (1280, 720), (0, 0, 1280, 720)),
        ((1440, 1080), (1280, 720), (160, 0, 960, 720)),
        ((1080, 1920), (1280, 720), (437, 0, 405, 720)),
        ((640, 200), (1280, 720), (0, 160, 1280, 400)),
        ((191, 107), (192, 108), (0, 0, 191, 107)),
    ],
)
def test_where_film_lies_on_the_picture(
    film: tuple[int, int], reel: tuple[int, int], area: tuple[int, int, int, int]
) -> None:
    """As large as fits and undistorted (arithmetic by hand)."""
    assert film_area(film, reel) == area


def test_stopping_leaves_nothing(films: dict[str, Path], tmp_path: Path) -> None:
    """Asked to stop half way, no file is left, and one that stood there before stays."""
    token = CancelToken()
    out = tmp_path / "reel.mp4"
    out.write_text("yesterday's")

    def stop_half_way(done: float, saying: str) -> None:
        assert saying
        if done > 0.4:
            token.cancel()

    with pytest.raises(Cancelled):
        render(plan_of(films["thirty"], 80), out, progress=stop_half_way, cancel=token)
    assert [path.name for path in tmp_path.iterdir()] == ["reel.mp4"]
    assert out.read_text() == "yesterday's"


def test_progress_goes_from_start_to_end(films: dict[str, Path], tmp_path: Path) -> None:
    """Whoever watches sees it rise to the end."""
    told: list[float] = []

    def listen(done: float, saying: str) -> None:
        assert saying
        told.append(done)

    render(plan_of(films["thirty"], 80), tmp_path / "reel.mp4", progress=listen)
    assert told == sorted(told)
    assert told[-1] == 1.0


def test_a_reel_without_film_is_refused_with_its_reason(tmp_path: Path) -> None:
    """When nothing can be shown one sentence says why, and no file appears."""
    piece = Piece(reel_id=REEL.id, order=1, clip_id="clip", angle_id="end", title="Keel 52")
    nothing = plan(REEL, [piece], {}, [], size_px=SIZE_PX)
    with pytest.raises(RenderError, match=r"“Tuesday” can be shown\. Piece 1 .* not in the book"):
        render(nothing, tmp_path / "reel.mp4")
    with pytest.raises(RenderError, match="has no pieces"):
        render(plan(REEL, [], {}, []), tmp_path / "reel.mp4")
    assert list(tmp_path.iterdir()) == []


def test_a_film_gone_since_planning_is_told(films: dict[str, Path], tmp_path: Path) -> None:
    """The plan stands, the film does not: one sentence, nothing written."""
    made = plan_of(films["thirty"], 80)
    steps = tuple(
        replace(step, path=str(tmp_path / "gone.mp4") if step.path else None) for step in made.steps
    )
    with pytest.raises(RenderError, match="went away"):
        render(replace(made, steps=steps), tmp_path / "reel.mp4")
    assert list(tmp_path.iterdir()) == []


def test_a_damaged_frame_is_said_on_the_picture(films: dict[str, Path], tmp_path: Path) -> None:
    """Where the film has no such picture the last good one stands, with words on it."""
    made = plan_of(films["thirty"], 80, title="")
    last = made.steps[-1]
    steps = (*made.steps[:-1], replace(last, film_frames=(*last.film_frames[:-1], 9999)))
    frames = read_with_opencv(render(replace(made, steps=steps), tmp_path / "reel.mp4", quality=16))
    assert len(frames) == made.frame_count
    good, stood_in = frames[-2], frames[-1]
    differs = np.abs(good.astype(int) - stood_in).max(axis=2) > 40
    assert differs.any()
    assert not differs[40:].any()


def test_a_folder_that_cannot_be_written_is_told(films: dict[str, Path], tmp_path: Path) -> None:
    """A file where the folder should be is refused before any frame is made."""
    (tmp_path / "taken").write_text("")
    with pytest.raises(OutputError, match="choose a folder"):
        render(plan_of(films["thirty"], 80), tmp_path / "taken" / "reel.mp4")


def test_what_was_done_right_is_never_painted_in_the_hue_of_wrong(
    films: dict[str, Path], tmp_path: Path
) -> None:
    """The arrow of a right fit is green on its freeze; of a wrong one, orange."""
    source = source_of(films["thirty"], snap=80)
    assert source.snap_pts is not None
    arrow = Mark(
        angle_id="end", kind="arrow", points=((60, 110), (150, 110)), from_pts=source.snap_pts,
        to_pts=source.snap_pts, meaning="did", rep_id="rep",
    )  # fmt: skip
    piece = Piece(
        reel_id=REEL.id, order=1, clip_id="clip", angle_id="end", rep_id="rep",
        from_s=Fraction(0), to_s=Fraction(1, 2),
        freezes=(Freeze(at_s=Fraction(0), hold_s=Fraction(1, 3)),), mark_ids=(arrow.id,),
    )  # fmt: skip
    strongest = {}
    for right in (True, False):
        made = plan(REEL, [piece], {"end": source}, [arrow], size_px=SIZE_PX, rights={"rep": right})
        out = render(made, tmp_path / f"{right}.mp4")
        head = read_with_opencv(out)[0][104:116, 120:150].astype(int)
        over_green = head[..., 0] - head[..., 1]
        strongest[right] = over_green.flat[np.abs(over_green).argmax()]
    assert strongest[True] < -40
    assert strongest[False] > 40
