from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from numpy.typing import NDArray

from gradecut.drawing import (
    ON_FILM,
    Box,
    Ring,
    Stroke,
    Words,
    mark_shapes,
    marks_shapes,
    paint,
)
from gradecut.records.marks import Mark, MarkKind, Meaning
from gradecut.timebase import Pts

GRASS = (52, 110, 48)
SIZE = (1280, 720)
POINTS: dict[MarkKind, tuple[tuple[float, float], ...]] = {
    "bracket": ((640, 360),),
    "ring": ((640, 360),),
    "text": ((640, 360),),
    "arrow": ((500, 360), (700, 380)),
    "ruler": ((500, 360), (700, 360)),
    "path": ((500, 360), (600, 420), (700, 360)),
    "lane": ((560, 300), (720, 300), (740, 420), (540, 420)),
    "box": ((560, 320), (720, 410)),
}


def mark(kind: MarkKind, meaning: Meaning = "plain", text: str = "") -> Mark:
    """Make a mark of a kind near the middle of the film."""
    return Mark(
        angle_id="end", kind=kind, points=POINTS[kind], from_pts=Pts(0), to_pts=Pts(0),
        meaning=meaning, text=text,
    )  # fmt: skip


def painted(of: Mark, label: str | None = None) -> NDArray[np.uint8]:
    """Paint a mark on grass."""
    film = np.empty((SIZE[1], SIZE[0], 3), np.uint8)
    film[:] = GRASS
    paint(film, mark_shapes(of, size_px=SIZE, label=label))
    return film


def changed(film: NDArray[np.uint8]) -> NDArray[np.bool_]:
    """Tell which pixels are no longer grass."""
    return np.asarray(np.abs(film.astype(int) - GRASS).max(axis=2) > 20)


def near(film: NDArray[np.uint8], hue: tuple[int, ...]) -> NDArray[np.bool_]:
    """Tell which pixels have about a colour."""
    return np.asarray(np.abs(film.astype(int) - hue[:3]).max(axis=2) < 30)


@pytest.mark.parametrize(("tip", "hue"), [((500, 360), ON_FILM.did), ((700, 366), ON_FILM.right)])
def test_an_arrow_away_from_his_ring_never_stands_in_the_hue_of_right(
    tip: tuple[float, float], hue: tuple[int, ...]
) -> None:
    """Graded right afterwards, the arrow that was drawn to prove a miss goes on saying so."""
    ring = replace(mark("ring", "owed"), points=((700, 360),), rep_id="keel")
    arrow = replace(mark("arrow", "did"), points=((600, 200), tip), rep_id="keel")
    other = replace(ring, points=((500, 360),), rep_id="port")
    shapes = marks_shapes((ring, other, arrow), size_px=SIZE, right=lambda _: True)
    hues = {shape.colour[:3] for shape in shapes if isinstance(shape, Stroke)}
    assert hue[:3] in hues
    assert ({ON_FILM.did[:3], ON_FILM.right[:3]} - {hue[:3]}).isdisjoint(hues)


@pytest.mark.parametrize("kind", ["bracket", "ring", "arrow", "path", "lane", "box", "ruler"])
@pytest.mark.parametrize("meaning", ["owed", "did"])
def test_marks_are_painted_where_they_are_in_the_colour_they_mean(
    kind: MarkKind, meaning: Meaning
) -> None:
    """A mark shows near its points, in the hue of what it means, and nowhere far from them."""
    film = painted(mark(kind, meaning))
    assert near(film, ON_FILM.owed if meaning == "owed" else ON_FILM.did).any()
    ys, xs = np.nonzero(changed(film))
    assert xs.min() > 430
    assert xs.max() < 790
    assert ys.min() > 270
    assert ys.max() < 450


def test_a_ring_of_what_he_owes_is_hollow_and_lies_on_the_grass() -> None:
    """The middle of an owed ring stays grass, and it is wider than high."""
    film = painted(mark("ring", "owed"))
    assert film[360, 640].tolist() == list(GRASS)
    ys, xs = np.nonzero(changed(film))
    assert np.ptp(xs) > 2 * np.ptp(ys)


def test_a_ring_of_what_he_did_is_solid_in_the_middle() -> None:
    """Did is told from owed without colour."""
    assert near(painted(mark("ring", "did")), ON_FILM.did)[360, 640]


def test_the_arrow_of_a_miss_is_dashed_and_others_are_not() -> None:
    """From where he should have been to where he went, a dashed arrow."""

    def lines(meaning: Meaning) -> list[Stroke]:
        shapes = mark_shapes(mark("arrow", meaning), size_px=SIZE)
        return [shape for shape in shapes if isinstance(shape, Stroke)]

    assert all(line.dash for line in lines("did"))
    assert not any(line.dash for line in lines("owed"))


def test_a_bracket_names_its_man_below_his_feet() -> None:
    """The plate stands under the feet and carries the label rather than the mark's text."""
    shapes = mark_shapes(mark("bracket", text="52"), size_px=SIZE, label="Keel 52")
    words = [shape for shape in shapes if isinstance(shape, Words)]
    assert [word.text for word in words] == ["Keel 52"]
    assert words[0].at[0] == 640
    assert words[0].at[1] > 360


def test_a_lane_lets_the_film_through() -> None:
    """Inside a lane the film is tinted, not covered."""
    inside = painted(mark("lane", "owed"))[360, 640].astype(int)
    assert 0 < np.abs(inside - GRASS).max() < 90


@pytest.mark.parametrize("kind", POINTS)
def test_marks_grow_with_the_film(kind: MarkKind) -> None:
    """The same mark on film twice as high covers about four times the pixels at its points."""
    small = mark_shapes(mark(kind, "owed", "A"), size_px=SIZE)
    points = tuple((2 * x, 2 * y) for x, y in POINTS[kind])
    large = mark_shapes(
        Mark(
            angle_id="end", kind=kind, points=points, from_pts=Pts(0), to_pts=Pts(0),
            meaning="owed", text="A",
        ),
        size_px=(2560, 1440),
    )  # fmt: skip
    picture = np.zeros((1440, 2560, 3), np.uint8)
    paint(picture, small, scale=2)
    other = np.zeros_like(picture)
    paint(other, large)
    assert picture.any()
    differing = np.count_nonzero(np.abs(picture.astype(int) - other).max(axis=2) > 96)
    assert differing < 0.1 * np.count_nonzero(other.max(axis=2))


@pytest.mark.parametrize("kind", ["arrow", "ruler", "path", "lane", "box"])
def test_a_mark_begun_but_not_finished_draws_nothing(kind: MarkKind) -> None:
    """While the second point is missing there is nothing to show."""
    begun = Mark(
        angle_id="end", kind=kind, points=((10, 10),), from_pts=Pts(0), to_pts=Pts(0), text="x"
    )
    assert mark_shapes(begun, size_px=SIZE) == ()


def test_two_points_in_one_place_do_no_harm() -> None:
    """An arrow or a ruler without length is drawn as a dot, not refused."""
    for kind in ("arrow", "ruler"):
        dot = Mark(
            angle_id="end", kind=kind, points=((9, 9), (9, 9)), from_pts=Pts(0), to_pts=Pts(0)
        )
        film = np.zeros((40, 40, 3), np.uint8)
        paint(film, mark_shapes(dot, size_px=SIZE))
        assert film.any()


def test_the_arrow_of_a_miss_leaves_the_ring_hollow() -> None:
    """Painted over the ring it starts from, the arrow keeps off the ring's middle."""
    start = POINTS["arrow"][0]
    ring = Mark(
        angle_id="end", kind="ring", points=(start,), from_pts=Pts(0), to_pts=Pts(0), meaning="owed"
    )
    film = painted(ring)
    paint(film, mark_shapes(mark("arrow", "did"), size_px=SIZE))
    x, y = (round(part) for part in start)
    assert film[y, x].tolist() == list(GRASS)
    assert film[y, x + 12].tolist() == list(GRASS)
    assert near(film, ON_FILM.did)[370:390, 680:705].any()


def test_what_was_done_right_stands_in_the_hue_of_right_unbroken() -> None:
    """Orange and dashed is a miss; an arrow of a right fit is neither."""
    shapes = mark_shapes(mark("arrow", "did"), size_px=SIZE, right=True)
    strokes = [shape for shape in shapes if isinstance(shape, Stroke)]
    assert any(shape.colour == ON_FILM.right for shape in strokes)
    assert not any(shape.colour == ON_FILM.did for shape in shapes)
    assert not any(stroke.dash for stroke in strokes)
    for right in (False, None):
        missed = mark_shapes(mark("arrow", "did"), size_px=SIZE, right=right)
        assert any(isinstance(s, Stroke) and s.dash and s.colour == ON_FILM.did for s in missed)


def test_an_arrows_head_stops_at_the_ring_it_points_into() -> None:
    """The ring he owes is seen whole; an arrow that ends elsewhere ends where it was drawn."""
    tip = POINTS["arrow"][-1]
    ring = Mark(
        angle_id="end", kind="ring", points=(tip,), from_pts=Pts(0), to_pts=Pts(0), meaning="owed"
    )
    film = painted(ring)
    before = near(film, ON_FILM.owed)
    paint(film, mark_shapes(mark("arrow", "did"), size_px=SIZE, rings=[ring]))
    assert not (before & near(film, ON_FILM.did)).any()
    assert np.array_equal(before, before & near(film, ON_FILM.owed))
    far = mark_shapes(
        mark("arrow", "did"), size_px=SIZE, rings=[replace(ring, points=((tip[0] + 300, tip[1]),))]
    )
    assert far == mark_shapes(mark("arrow", "did"), size_px=SIZE)


def test_a_ring_made_larger_is_seen_larger_and_stops_arrows_sooner() -> None:
    """Half as wide again, with its shape kept."""
    usual = Mark(angle_id="end", kind="ring", points=((640, 360),), from_pts=Pts(0), to_pts=Pts(0))
    large = replace(usual, points=((640, 360), (640 + 3 * 33, 360)))
    sizes = [
        next(one for one in mark_shapes(ring, size_px=SIZE) if isinstance(one, Ring))
        for ring in (usual, large)
    ]
    assert sizes[1].rx_px == pytest.approx(3 * sizes[0].rx_px)
    assert sizes[1].ry_px == pytest.approx(3 * sizes[0].ry_px)
    arrow = Mark(
        angle_id="end", kind="arrow", points=((200, 360), (640, 360)), from_pts=Pts(0),
        to_pts=Pts(0),
    )  # fmt: skip
    reach = [
        max(x for one in mark_shapes(arrow, size_px=SIZE, rings=[ring])
            if isinstance(one, Stroke) for x, _ in one.points)
        for ring in (usual, large)
    ]  # fmt: skip
    assert reach[0] - reach[1] == pytest.approx(2 * 33, abs=1)


def test_what_leads_into_a_large_ring_is_no_miss() -> None:
    """How near an arrow must end is counted in the ring as it was made."""
    owed = Mark(
        angle_id="end", kind="ring", points=((640, 360),), from_pts=Pts(0), to_pts=Pts(0),
        meaning="owed",
    )  # fmt: skip
    arrow = replace(owed, kind="arrow", meaning="did", points=((200, 360), (640 - 3 * 33, 360)))
    large = replace(owed, points=((640, 360), (640 + 3 * 33, 360)))
    for ring, hue in ((owed, ON_FILM.did), (large, ON_FILM.right)):
        shapes = marks_shapes([ring, arrow], size_px=SIZE, right=lambda _: True)
        assert any(isinstance(one, Stroke) and one.colour == hue for one in shapes)


def test_a_box_frames_the_film_and_lets_it_through() -> None:
    """Its inside stays film for what he owes, and is tinted for what he did."""
    assert painted(mark("box", "owed"))[365, 640].tolist() == list(GRASS)
    inside = painted(mark("box", "did"))[365, 640].astype(int)
    assert 0 < np.abs(inside - GRASS).max() < 120


def test_a_path_shows_which_way_he_went() -> None:
    """There is more of it at its end, where the head is, than at its beginning."""
    film = changed(painted(mark("path", "did")))
    start, tip = POINTS["path"][0], POINTS["path"][-1]

    def around(at: tuple[float, float]) -> int:
        x, y = (round(part) for part in at)
        return int(np.count_nonzero(film[y - 16 : y + 16, x - 16 : x + 16]))

    assert around(tip) > 1.4 * around(start)


def test_no_line_lies_over_a_name() -> None:
    """An arrow that leaves a man's feet is drawn after his bracket, and under his name."""
    arrow = replace(mark("arrow", "did"), points=((640, 360), (680, 440)))
    shapes = marks_shapes(
        (mark("bracket", text="Keel 52"), arrow), size_px=SIZE, label=lambda _: None
    )
    plates = [isinstance(shape, (Box, Words)) for shape in shapes]
    assert any(plates)
    assert plates == sorted(plates)
