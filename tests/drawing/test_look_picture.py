from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from gradecut.drawing import (
    DARK,
    Disc,
    DrawnLook,
    Ring,
    Shape,
    Stroke,
    Words,
    look_shapes,
    look_words,
    paint,
)
from gradecut.drawing.lettering import text_width_px
from gradecut.drawing.look_words import look_facts
from gradecut.drawing.shapes import Fill
from gradecut.records.picture import LookPicture, PictureMan

SIZE = (470, 330)

KEEL = PictureMan(
    position="Keel", number="52", at_yd=(0, 4.5), owed_gap="D", owed_side="right",
    owed_label="overlap D",
)  # fmt: skip
LOOK = LookPicture(
    surface_left=2, surface_right=3, back="right", strength="right", run_side="right",
    concept="power", men=(KEEL,),
)  # fmt: skip

sides = st.sampled_from(["left", "right"])
gaps = st.sampled_from("ABCDE")
men = st.builds(
    PictureMan,
    position=st.sampled_from(["Keel", "Bow", "Port", "Stern"]),
    number=st.sampled_from(["", "9", "52"]),
    at_yd=st.none() | st.tuples(st.floats(-30, 30), st.floats(-3, 30)),
    owed_gap=st.none() | gaps,
    owed_side=st.none() | sides,
    owed_landmark=st.none() | st.just("the numbers"),
    owed_label=st.sampled_from(["", "fill A", "overlap D"]),
    owed_options=st.lists(st.tuples(gaps, sides), max_size=3).map(tuple),
    did=st.sampled_from([None, "as owed", "fit", "miss", "cannot grade"]),
    did_gap=st.none() | gaps,
    did_side=st.none() | sides,
    did_label=st.sampled_from(["", "ran past it"]),
    selected=st.booleans(),
    graded=st.booleans(),
)
looks = st.builds(
    LookPicture,
    surface_left=st.sampled_from([None, 2, 3, 4]),
    surface_right=st.sampled_from([None, 2, 3, 4]),
    wing=st.sampled_from([None, "left", "right", "none"]),
    back=st.sampled_from([None, "left", "right", "behind", "none"]),
    under_centre=st.sampled_from([None, True, False]),
    receivers_left=st.sampled_from([None, 0, 1, 3]),
    receivers_right=st.sampled_from([None, 0, 2]),
    strength=st.none() | sides,
    run_side=st.none() | sides,
    concept=st.sampled_from(["", "power", "counter", "split zone", "outside zone", "trap", "wham"]),
    pullers=st.none() | st.lists(st.tuples(st.sampled_from(["guard", "wing"]), sides)).map(tuple),
    front=st.lists(st.tuples(gaps, sides), max_size=4).map(tuple),
    men=st.lists(men, max_size=4, unique_by=lambda man: man.position).map(tuple),
    question=st.none() | st.just("Did a second blocker pull?"),
)


def drawn(picture: LookPicture) -> DrawnLook:
    """Draw a look at the usual size."""
    return look_shapes(picture, size_px=SIZE, palette=DARK)


def of_kind(shapes: tuple[Shape, ...], kind: type, colour: tuple[int, ...]) -> list[Shape]:
    """Return the shapes of a kind and colour, without those of the key at the foot."""
    found = [s for s in shapes if isinstance(s, kind) and s.colour == colour]
    return [s for s in found if s.bounds_px[1] < SIZE[1] - 42]


def middle_x(rect: tuple[float, float, float, float]) -> float:
    """Return the middle of a rectangle, across."""
    return rect[0] + rect[2] / 2


@settings(deadline=None)
@given(looks)
def test_any_look_can_be_drawn_and_said(picture: LookPicture) -> None:
    """Whatever is known or not, there is a picture inside its frame, and words for it."""
    look = drawn(picture)
    image = np.zeros((SIZE[1], SIZE[0], 3), np.uint8)
    paint(image, look.shapes)
    assert image.any()
    assert look_words(picture).startswith("Seen from behind the offence.")
    graded = {man.position for man in picture.men if man.graded}
    assert set(look.men) == graded


def test_gaps_take_touches_in_order_from_the_ball() -> None:
    """A to D to the right of the ball as the offence faces the line, A to C to the left."""
    gaps = drawn(LOOK).gaps
    assert set(gaps) == {(g, "left") for g in "ABC"} | {(g, "right") for g in "ABCD"}
    right = [middle_x(gaps[letter, "right"]) for letter in "ABCD"]
    left = [middle_x(gaps[letter, "left"]) for letter in "ABC"]
    assert right == sorted(right)
    assert left == sorted(left, reverse=True)
    assert max(left) < SIZE[0] / 2 < min(right)


def test_no_two_gaps_share_a_touch() -> None:
    """A touch means one gap; together they leave no hole between them."""
    rects = sorted(drawn(LOOK).gaps.values())
    for one, other in pairwise(rects):
        assert one[0] + one[2] == pytest.approx(other[0])


@pytest.mark.parametrize(("surface", "outermost"), [(2, "C"), (3, "D"), (4, "E")])
def test_letters_go_one_gap_outside_the_last_blocker(surface: int, outermost: str) -> None:
    """A is between centre and guard, and the last letter is outside the last blocker."""
    gaps = drawn(replace(LOOK, surface_left=surface, men=())).gaps
    assert max(letter for letter, side in gaps if side == "left") == outermost


def test_what_he_owes_is_a_hollow_ring_at_its_gap() -> None:
    """Owed is a ring over its gap, on the defence's side of the line, with nothing in it."""
    look = drawn(LOOK)
    (ring,) = of_kind(look.shapes, Ring, DARK.owed)
    assert isinstance(ring, Ring)
    assert ring.centre[0] == pytest.approx(middle_x(look.gaps["D", "right"]))
    assert not of_kind(look.shapes, Disc, DARK.right)
    assert not of_kind(look.shapes, Disc, DARK.did)


def test_a_right_fit_is_a_disc_in_its_ring() -> None:
    """As owed, the solid disc lies in the middle of the hollow ring."""
    look = drawn(replace(LOOK, men=(replace(KEEL, did="as owed"),)))
    (ring,) = of_kind(look.shapes, Ring, DARK.owed)
    (disc,) = of_kind(look.shapes, Disc, DARK.right)
    assert isinstance(ring, Ring)
    assert isinstance(disc, Disc)
    assert disc.centre == ring.centre
    assert disc.radius_px < ring.rx_px


def test_a_wrong_fit_is_a_disc_elsewhere_with_a_line_between() -> None:
    """The disc stands at the gap he went to, joined to his ring, and both are named."""
    man = replace(KEEL, did="fit", did_gap="B", did_side="right", did_label="fill B")
    look = drawn(replace(LOOK, men=(man,)))
    (ring,) = of_kind(look.shapes, Ring, DARK.owed)
    (disc,) = of_kind(look.shapes, Disc, DARK.did)
    assert isinstance(ring, Ring)
    assert isinstance(disc, Disc)
    assert disc.centre[0] == pytest.approx(middle_x(look.gaps["B", "right"]))
    joined = [s for s in look.shapes if isinstance(s, Stroke) and s.dash and s.colour == DARK.did]
    assert len(joined) == 1
    left, right = sorted(x for x, _ in joined[0].points)
    assert disc.centre[0] < left < right < ring.centre[0]
    said = {s.text for s in look.shapes if isinstance(s, Words)}
    assert {"overlap D", "fill B"} <= said


def test_a_miss_without_a_gap_is_not_put_in_another_gap() -> None:
    """Running past it happened at his own gap; the picture claims no other place."""
    look = drawn(replace(LOOK, men=(replace(KEEL, did="miss", did_label="ran past it"),)))
    (ring,) = of_kind(look.shapes, Ring, DARK.owed)
    (disc,) = of_kind(look.shapes, Disc, DARK.did)
    assert isinstance(ring, Ring)
    assert isinstance(disc, Disc)
    assert disc.centre[0] == ring.centre[0]
    assert disc.centre[1] < ring.centre[1] - ring.ry_px


def test_what_has_no_place_on_the_picture_is_still_said() -> None:
    """A fit without gap or side is named below the man; going elsewhere is never hidden."""
    man = PictureMan(position="Keel", owed_label="hang", did="fit", did_label="fill A")
    said = {s.text: s for s in drawn(replace(LOOK, men=(man,))).shapes if isinstance(s, Words)}
    assert said["hang"].colour == DARK.owed_text
    assert said["fill A"].colour == DARK.did_text
    assert said["Keel"].at[1] < said["hang"].at[1] < said["fill A"].at[1]
    no_side = replace(KEEL, did="fit", did_gap="A", did_label="fill A")
    assert len(of_kind(drawn(replace(LOOK, men=(no_side,))).shapes, Disc, DARK.did)) == 1


def test_two_men_in_one_gap_have_a_ring_each() -> None:
    """Spill D and overlap D are two rings side by side."""
    bow = replace(KEEL, position="Bow", at_yd=(5, 3), owed_label="spill D")
    rings = of_kind(drawn(replace(LOOK, men=(bow, KEEL))).shapes, Ring, DARK.owed)
    centres = sorted(ring.centre[0] for ring in rings if isinstance(ring, Ring))
    assert len(centres) == 2
    assert centres[1] - centres[0] > 12


def test_what_is_unknown_is_dotted_where_it_may_be() -> None:
    """With no word on the back, three dotted places; told, one plain circle."""
    unknown = [s for s in drawn(replace(LOOK, back=None)).shapes if isinstance(s, Ring) and s.dash]
    assert len(unknown) == 3
    assert not [s for s in drawn(LOOK).shapes if isinstance(s, Ring) and s.dash]
    open_surface = drawn(replace(LOOK, surface_left=None)).shapes
    assert len([s for s in open_surface if isinstance(s, Ring) and s.dash]) == 1


def test_open_fits_are_dotted_at_every_gap_they_may_be() -> None:
    """While facts are open, each gap his fit may be at has a dotted ring, none a full one."""
    man = PictureMan(position="Keel", owed_options=(("A", "right"), ("D", "right")))
    rings = of_kind(drawn(replace(LOOK, men=(man,))).shapes, Ring, DARK.owed)
    assert len(rings) == 2
    assert all(isinstance(ring, Ring) and ring.dash for ring in rings)


def test_a_man_without_a_run_job_takes_no_touch() -> None:
    """Men the coach doesn't grade are drawn quiet and can't be graded by touch."""
    look = drawn(replace(LOOK, men=(replace(KEEL, graded=False),)))
    assert look.men == {}
    assert not of_kind(look.shapes, Ring, DARK.owed)


def test_men_can_be_touched_with_a_finger() -> None:
    """A man's place is at least 24 by 24 pixels (WCAG 2.2, 2.5.8) and inside the picture."""
    men = tuple(
        replace(KEEL, position=name, at_yd=(across, 4.5))
        for name, across in (("Port", -1.0), ("Keel", 0.0), ("Bow", 14.0))
    )
    rects = drawn(replace(LOOK, men=men)).men
    assert all(min(rect[2:]) >= 24 for rect in rects.values())
    assert all(rect[0] >= 0 and rect[0] + rect[2] <= SIZE[0] for rect in rects.values())
    port, keel = rects["Port"], rects["Keel"]
    assert port[0] + port[2] <= keel[0] + 1


def test_left_is_left_as_the_offence_faces_the_line() -> None:
    """A look and its mirror image are mirrored on the picture."""
    mirrored = LookPicture(
        surface_left=3, surface_right=2, back="left", strength="left", run_side="left",
        concept="power", men=(replace(KEEL, owed_side="left"),),
    )  # fmt: skip
    one, other = drawn(LOOK), drawn(mirrored)
    for (letter, side), rect in one.gaps.items():
        across = other.gaps[letter, "left" if side == "right" else "right"]
        assert middle_x(rect) + middle_x(across) == pytest.approx(SIZE[0])


def test_the_open_question_stands_below_the_picture() -> None:
    """The one thing still to ask is on the picture, in the accent colour."""
    look = drawn(replace(LOOK, question="Who pulled?"))
    (asked,) = [s for s in look.shapes if isinstance(s, Words) and s.text == "Who pulled?"]
    assert asked.colour == DARK.accent_text


def test_a_large_picture_has_large_type_and_the_same_places() -> None:
    """On a screen in the meeting room everything grows, touch targets with it."""
    usual = drawn(LOOK)
    large = look_shapes(LOOK, size_px=(SIZE[0] * 2, SIZE[1] * 2), palette=DARK)
    assert len(large.shapes) == len(usual.shapes)
    for one, other in zip(usual.shapes, large.shapes, strict=True):
        if isinstance(one, Words):
            assert isinstance(other, Words)
            assert (other.text, other.size_px) == (one.text, 2 * one.size_px)
            assert other.at == (2 * one.at[0], 2 * one.at[1])
        else:
            assert not isinstance(other, Words)
            assert other.bounds_px == pytest.approx([2 * side for side in one.bounds_px])
    assert large.men["Keel"] == tuple(2 * side for side in usual.men["Keel"])
    assert large.gaps["D", "right"] == tuple(2 * side for side in usual.gaps["D", "right"])


def test_no_fact_of_the_look_drops_out_as_the_legend_grows() -> None:
    """Graded or not, every fact is told below, on more lines where one is too short."""
    graded = replace(KEEL, did="miss", did_label="ran past it")
    right = replace(KEEL, position="Bow", did="as owed")
    for men in ((), (KEEL,), (graded, right)):
        look = look_shapes(replace(LOOK, men=men), size_px=(408, 200), palette=DARK)
        told = " · ".join(
            shape.text
            for shape in look.shapes
            if isinstance(shape, Words) and shape.at[1] > 200 - look.key[3]
        )
        for fact in look_facts(replace(LOOK, men=men)):
            assert fact in told


@pytest.mark.parametrize("height", [80, 120, 160, 200, 330])
def test_letters_of_gaps_never_touch_the_men_beside_them(height: int) -> None:
    """In a low picture linemen stand further apart; where that is not enough, no letters."""
    look = look_shapes(LOOK, size_px=(408, height), palette=DARK)
    rings = of_kind(look.shapes, Ring, DARK.line)
    letters = [s for s in look.shapes if isinstance(s, Words) and s.text in tuple("ABCDE")]
    for letter in letters:
        for ring in rings:
            assert isinstance(ring, Ring)
            level = abs(ring.centre[1] - letter.at[1]) < ring.ry_px
            half = text_width_px(letter.text, letter.size_px, 500) / 2
            assert not level or abs(ring.centre[0] - letter.at[0]) >= ring.rx_px + half
    assert bool(letters) == (height >= 120)


@pytest.mark.parametrize("concept", ["inside zone", "outside zone", "power", "trap", "lead"])
@pytest.mark.parametrize("height", [180, 330])
def test_no_way_strikes_through_the_letter_of_a_gap(concept: str, height: int) -> None:
    """Ground is laid over the ways behind each letter, as high as the letter and higher."""
    look = look_shapes(replace(LOOK, concept=concept), size_px=(408, height), palette=DARK)
    ways = max(at for at, s in enumerate(look.shapes) if isinstance(s, Stroke) and not s.closed
               and s.width_px == 1.5)  # fmt: skip
    letters = [s for s in look.shapes if isinstance(s, Words) and s.text in tuple("ABCDE")]
    assert letters
    for letter in letters:
        x, y = letter.at
        half = text_width_px(letter.text, letter.size_px, 500) / 2
        assert any(
            isinstance(s, Fill)
            and s.colour == DARK.ground
            and min(at[0] for at in s.points) <= x - half
            and max(at[0] for at in s.points) >= x + half
            and max(at[1] for at in s.points) - min(at[1] for at in s.points) > letter.size_px
            and abs(sum(at[1] for at in s.points) / len(s.points) - y) < 0.5
            for s in look.shapes[ways:]
        )


def test_what_he_owes_is_named_on_the_side_away_from_another_ring() -> None:
    """Two rings in one gap: the words stand outside, not between the two."""
    other = replace(KEEL, position="Bow", at_yd=(6, 4.5))
    look = drawn(replace(LOOK, men=(other, replace(KEEL, selected=True))))
    label = next(s for s in look.shapes if isinstance(s, Words) and s.text == "overlap D")
    rings = sorted(ring.centre[0] for ring in of_kind(look.shapes, Ring, DARK.owed))  # type: ignore[attr-defined]
    assert label.anchor == "left"
    assert label.at[0] > rings[-1]


@pytest.mark.parametrize("height", [128, 150, 200, 330])
def test_no_name_stands_in_the_title(height: int) -> None:
    """However low the picture, the deepest man's name keeps clear of what stands over its top."""
    deep = replace(KEEL, at_yd=(0.0, 5.5))
    far = replace(KEEL, position="Bow", at_yd=(4.0, 4.5))
    unknown = replace(KEEL, position="Port", at_yd=None)
    men = (deep, far, unknown)
    look = look_shapes(replace(LOOK, men=men), size_px=(408, height), palette=DARK, title_px=24)
    assert len(look.men) == 3
    assert all(top >= 23.5 for _, top, _, _ in look.men.values())
    line_y = max(top + high for _, top, _, high in look.men.values())
    assert line_y < height * 0.75


BOW = replace(
    KEEL, position="Bow", number="16", at_yd=(6.2, 4.0), owed_label="spill D", did="as owed",
    did_sign="✓",
)  # fmt: skip
SHORT = replace(
    KEEL, at_yd=(3.5, 5.0), did="miss", did_label="fitted inside the spill", did_sign="✕"
)
PORT = replace(
    KEEL, position="Port", number="19", at_yd=(-2.2, 4.3), owed_gap="A", owed_label="fold A",
    did="as owed", did_sign="✓",
)  # fmt: skip


def said_in(look: DrawnLook, colour: tuple[int, ...]) -> str:
    """Return the words of a colour, as one."""
    return " ".join(s.text for s in look.shapes if isinstance(s, Words) and s.colour == colour)


def lies_on(words: Words, points: tuple[tuple[float, float], ...]) -> bool:
    """Tell whether a line goes through words."""
    wide = text_width_px(words.text, words.size_px, words.weight)
    left = words.at[0] - wide * {"left": 0.0, "centre": 0.5, "right": 1.0}[words.anchor]
    half = words.size_px * 0.4
    for (x0, y0), (x1, y1) in pairwise(points):
        for step in range(41):
            x, y = x0 + (x1 - x0) * step / 40, y0 + (y1 - y0) * step / 40
            if left < x < left + wide and abs(y - words.at[1]) < half:
                return True
    return False


@pytest.mark.parametrize("selected", [True, False])
@pytest.mark.parametrize("size", [(408, 190), (408, 208), (408, 234), (470, 330), (628, 800)])
def test_how_a_man_missed_is_told_beside_no_other_mans_line(
    size: tuple[int, int], selected: bool
) -> None:
    """Men near each other: the miss is said whole, on nobody's line, else after his name."""
    men = (BOW, replace(SHORT, selected=selected), PORT)
    look = look_shapes(replace(LOOK, men=men), size_px=size, palette=DARK, title_px=26)
    told = "fitted inside the spill" if selected else "overlap D"
    assert f"✕ {told}" in said_in(look, DARK.did_text)
    lines = [s.points for s in look.shapes if isinstance(s, Stroke) and not s.closed]
    for words in look.shapes:
        if isinstance(words, Words) and words.colour in (DARK.did_text, DARK.owed_text):
            assert not any(lies_on(words, points) for points in lines)


def test_every_miss_is_said_however_many_there_are() -> None:
    """Three men missed in a low picture: each miss is there, and it is clear whose it is."""
    bow = replace(BOW, did="miss", did_label="ran past it", did_sign="✕")
    port = replace(PORT, did="fit", did_gap="B", did_side="right", did_label="fill B", did_sign="✕")
    look = look_shapes(
        replace(LOOK, men=(bow, SHORT, port)), size_px=(408, 200), palette=DARK, title_px=26
    )
    said = said_in(look, DARK.did_text)
    assert all(told in said for told in ("✕ spill D", "✕ overlap D", "✕ fill B"))


def test_a_long_miss_is_broken_rather_than_cut() -> None:
    """With his name before it, it has no room in one line; no word of it is left out."""
    late = replace(SHORT, did_label="chased flat over the top of the pile", selected=True)
    look = look_shapes(
        replace(LOOK, men=(BOW, late, PORT)), size_px=(408, 190), palette=DARK, title_px=26
    )
    said = said_in(look, DARK.did_text)
    assert "✕ chased flat over the top of the pile" in said
    assert "…" not in said


def test_a_line_goes_around_another_mans_name() -> None:
    """Keel crosses over to his fit outside of Bow; no line runs through a name."""
    men = (replace(BOW, at_yd=(5.4, 3.6)), replace(SHORT, selected=True), PORT)
    look = look_shapes(replace(LOOK, men=men), size_px=(588, 532), palette=DARK, title_px=26)
    names = look.men
    ways = [s.points for s in look.shapes if isinstance(s, Stroke) and s.width_px < 1.5 * 1.3
            and len(s.points) == 25 and s.colour[:3] in (DARK.did[:3], DARK.owed[:3])]  # fmt: skip
    assert len(ways) == 3
    for way in ways:
        met = [
            name
            for name, (left, top, wide, high) in names.items()
            if any(left < x < left + wide and top < y < top + high for x, y in way)
        ]
        assert len(met) <= 1  # his own, where the line begins


def test_signs_are_told_in_the_legend_as_in_the_table_of_the_men() -> None:
    """Owed, right and missed; another fit that was right as well is no miss."""
    missed = [s.text for s in drawn(replace(LOOK, men=(BOW, SHORT))).shapes if isinstance(s, Words)]
    assert {"owed", "right", "missed"} <= set(missed)
    other = replace(
        KEEL, did="fit", did_gap="C", did_side="right", did_label="fold C", did_sign="✓"
    )
    said = [s.text for s in drawn(replace(LOOK, men=(other,))).shapes if isinstance(s, Words)]
    assert "right" in said
    assert "missed" not in said


def test_a_man_who_lined_up_at_the_other_side_is_drawn_there() -> None:
    """What he owes stays where it is; without a place of his own he is on the side he was seen."""
    names = {}
    for side in ("left", "right"):
        man = replace(KEEL, at_yd=None, stood=side, own_side=side)
        names[side] = middle_x(drawn(replace(LOOK, men=(man,))).men["Keel"])
    assert names["left"] < SIZE[0] / 2 < names["right"]
