"""The picture of the look at every turn and size: what it tells, and what can be touched."""

from __future__ import annotations

from dataclasses import replace
from itertools import combinations, pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from gradecut.drawing import (
    DARK,
    LIGHT,
    Box,
    Disc,
    DrawnLook,
    Place,
    Rect,
    Ring,
    Stroke,
    Words,
    look_shapes,
    look_words,
)
from gradecut.drawing.lettering import CAPITAL, DESCENT, text_width_px
from gradecut.records.picture import LookPicture, PictureFact, PictureMan

TURNS = (0, 90, 180, 270)
TITLE_PX = 24.0

KEEL = PictureMan(
    position="Keel", number="52", at_yd=(0.73, 4.5), owed_gap="D", owed_side="right",
    owed_label="overlap D", own_side="right",
)  # fmt: skip
FACTS = (
    PictureFact(reference="back", words="back behind", letter="B", seen="told", source="script"),
    PictureFact(reference="run", words="run right", letter="R"),
    PictureFact(reference="wing", words="wing ?", letter="W", seen="open"),
)
LOOK = LookPicture(
    surface_left=2, surface_right=3, back="behind", strength="right", run_side="right",
    concept="power", men=(KEEL,), facts=FACTS,
)  # fmt: skip

sides = st.sampled_from(["left", "right"])
gaps = st.sampled_from("ABCDE")
fits = st.sampled_from(["", "fill A", "overlap D", "spill", "force the ball back inside"])
men = st.builds(
    PictureMan,
    position=st.sampled_from(
        ["Keel", "Bow", "Port", "Stern", "Mast", "Field overhang", "Anchor", "Rudder"]
    ),
    number=st.sampled_from(["", "9", "52"]),
    named=st.sampled_from(["named", "unknown", "nobody"]),
    own_side=st.none() | sides,
    at_yd=st.none() | st.tuples(st.floats(-12, 12), st.floats(0, 14)),
    owed_gap=st.none() | gaps,
    owed_side=st.none() | sides,
    owed_landmark=st.none() | st.just("the numbers"),
    owed_label=fits,
    owed_options=st.lists(st.tuples(gaps, sides), max_size=3).map(tuple),
    did=st.sampled_from([None, "as owed", "fit", "miss", "cannot grade"]),
    did_gap=st.none() | gaps,
    did_side=st.none() | sides,
    did_label=st.sampled_from(["", "fill B", "ran past it", "fitted inside the spill"]),
    did_sign=st.sampled_from(["", "✓", "½", "✕", "?"]),
    selected=st.booleans(),
    graded=st.booleans(),
)
told = st.builds(
    PictureFact,
    reference=st.sampled_from(["back", "surface.left", "surface.right", "run", "wing", "tempo"]),
    words=st.sampled_from(["back behind", "surface left 2", "strength right", "wing ?"]),
    letter=st.sampled_from(["", "B", "W"]),
    seen=st.sampled_from(["seen", "told", "open"]),
    source=st.sampled_from(["", "script", "last play", "estimate"]),
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
    run_side=st.none() | sides,
    concept=st.sampled_from(["", "power", "counter", "outside zone", "trap"]),
    front=st.lists(st.tuples(gaps, sides), max_size=4).map(tuple),
    men=st.lists(men, max_size=6, unique_by=lambda man: man.position).map(tuple),
    facts=st.lists(told, max_size=6, unique_by=lambda fact: fact.reference).map(tuple),
    turn=st.sampled_from(TURNS),
)
sizes = st.tuples(st.integers(408, 900), st.integers(200, 560))


def drawn(picture: LookPicture, size: tuple[int, int] = (470, 330)) -> DrawnLook:
    """Draw a look below a title, as the Film page shows it."""
    return look_shapes(picture, size_px=size, palette=DARK, title_px=TITLE_PX)


def middle(rect: Rect) -> tuple[float, float]:
    """Return the middle of a rectangle."""
    return rect[0] + rect[2] / 2, rect[1] + rect[3] / 2


def ink(words: Words) -> Rect:
    """Return what the letters of a line of words can cover."""
    wide = text_width_px(words.text, words.size_px, words.weight)
    left = words.at[0] - wide * {"left": 0.0, "centre": 0.5, "right": 1.0}[words.anchor]
    high = words.size_px * CAPITAL
    return left, words.at[1] - high / 2, wide, high + words.size_px * DESCENT


def overlap(one: Rect, other: Rect) -> bool:
    """Tell whether two rectangles share more than a hair."""
    return (
        min(one[0] + one[2], other[0] + other[2]) - max(one[0], other[0]) > 0.1
        and min(one[1] + one[3], other[1] + other[3]) - max(one[1], other[1]) > 0.1
    )


@settings(deadline=None, max_examples=60)
@given(looks, sizes)
def test_no_words_lie_over_others(picture: LookPicture, size: tuple[int, int]) -> None:
    """Whatever is told of a look and its men, at every turn and size all words can be read."""
    words = [shape for shape in drawn(picture, size).shapes if isinstance(shape, Words)]
    for one, other in combinations(words, 2):
        assert not overlap(ink(one), ink(other)), (one.text, other.text)


@settings(deadline=None, max_examples=60)
@given(looks, sizes)
def test_every_man_gap_and_fact_can_be_touched(picture: LookPicture, size: tuple[int, int]) -> None:
    """Each has a point of its own in the picture, and men have the whole of their name."""
    look = drawn(picture, size)
    assert set(look.men) == {man.position for man in picture.men if man.graded}
    for place, rect in look.places.items():
        left, top, wide, high = rect
        points = [
            (left + wide * (across + 0.5) / 8, top + high * (down + 0.5) / 8)
            for across in range(8)
            for down in range(8)
        ]
        hit = [point for point in points if look.place_at(point) == place]
        assert hit, place
        assert any(0 <= x <= size[0] and TITLE_PX - 1 <= y <= size[1] for x, y in hit), place
        if place.kind == "man":
            assert hit == points


@settings(deadline=None, max_examples=30)
@given(looks, sizes)
def test_names_stand_inside_the_picture(picture: LookPicture, size: tuple[int, int]) -> None:
    """No man's name is cut by the edge, the title or the key."""
    look = drawn(picture, size)
    for left, top, wide, high in look.men.values():
        assert left >= 0
        assert left + wide <= size[0] + 0.01
        assert top >= TITLE_PX - 1
        assert top + high <= size[1] + 0.01
        assert not overlap((left, top, wide, high), look.key)


@pytest.mark.parametrize(
    ("turn", "axis", "rising"), [(0, 0, True), (90, 1, True), (180, 0, False), (270, 1, False)]
)
def test_gaps_go_from_left_to_right_as_the_offence_is_seen(
    turn: int, axis: int, rising: bool
) -> None:
    """Behind the offence its left is left; from its right it runs down; and so on around."""
    look = drawn(replace(LOOK, turn=turn))
    order = [("C", "left"), ("B", "left"), ("A", "left"), ("A", "right"), ("B", "right")]
    along = [middle(look.gaps[gap, side])[axis] for gap, side in order]  # type: ignore[index]
    assert along == sorted(along, reverse=not rising)
    apart = [abs(one - other) for one, other in pairwise(along)]
    assert apart == pytest.approx([apart[0]] * len(apart))


@pytest.mark.parametrize("turn", TURNS)
def test_the_defence_stands_where_the_film_has_it(turn: int) -> None:
    """Above, right, below, left: the side of the line his man and his ring are on."""
    look = drawn(replace(LOOK, turn=turn))
    gap = middle(look.gaps["D", "right"])
    (ring,) = [s for s in look.shapes if isinstance(s, Ring) and s.colour == DARK.owed
               and s.rx_px > 5.1]  # fmt: skip
    man = middle(look.men["Keel"])
    way = {0: (0, -1), 90: (1, 0), 180: (0, 1), 270: (-1, 0)}[turn]
    for nearer, farther in ((gap, ring.centre), (ring.centre, man)):
        assert (farther[0] - nearer[0]) * way[0] + (farther[1] - nearer[1]) * way[1] > 0


@settings(deadline=None, max_examples=20)
@given(looks, sizes)
def test_four_quarters_are_none(picture: LookPicture, size: tuple[int, int]) -> None:
    """Turned around once, every touch is taken where it was."""
    turned = picture
    for _ in TURNS:
        turned = replace(turned, turn=(turned.turn + 90) % 360)
    assert drawn(turned, size).places == drawn(picture, size).places


@pytest.mark.parametrize("turn", TURNS)
@pytest.mark.parametrize("size", [(408, 200), (408, 330), (628, 520), (868, 330)])
def test_gaps_are_lettered_at_every_turn(turn: int, size: tuple[int, int]) -> None:
    """Each gap's letter lies in the place that takes its touch."""
    look = drawn(replace(LOOK, turn=turn), size)
    letters = [s for s in look.shapes if isinstance(s, Words) and s.weight == 500
               and s.text in tuple("ABCDE") and s.anchor == "centre" and s.halo]  # fmt: skip
    assert len(letters) == len(look.gaps)
    for letter in letters:
        place = look.place_at(letter.at)
        assert place is not None
        assert (place.kind, place.name) == ("gap", letter.text)


@pytest.mark.parametrize("turn", TURNS)
def test_men_no_rule_places_stand_on_their_own_side(turn: int) -> None:
    """Without rules a man stands on the side he plays on, whatever his place in the list."""
    bare = PictureMan(position="Bow", number="16", own_side="right")
    port = replace(bare, position="Port", own_side="left")
    mast = replace(bare, position="Mast", own_side=None)
    look = drawn(replace(LOOK, men=(bare, mast, port), turn=turn))
    axis, way = {0: (0, 1), 90: (1, 1), 180: (0, -1), 270: (1, -1)}[turn]
    places = [way * middle(look.men[name])[axis] for name in ("Port", "Mast", "Bow")]
    assert places == sorted(places)


def test_a_man_who_may_fit_on_either_side_stands_on_his_own() -> None:
    """While facts are open his name is on the side he plays on, the rings where they may be."""
    man = PictureMan(position="Port", own_side="left",
                     owed_options=(("A", "left"), ("B", "left"), ("D", "right")))  # fmt: skip
    look = drawn(replace(LOOK, men=(man,)))
    assert middle(look.men["Port"])[0] < 235


def test_a_fact_film_has_not_confirmed_differs_by_form_and_word() -> None:
    """Seen: a full cap; told by the script: a broken one, the word, and a broken figure."""
    look = drawn(LOOK, (628, 520))
    caps = [s for s in look.shapes if isinstance(s, Box) and s.rect[2] == s.rect[3]]
    broken = [s for s in look.shapes if isinstance(s, Stroke) and s.closed and s.dash]
    assert len(caps) == 1
    assert len(broken) == 2
    said = [s.text for s in look.shapes if isinstance(s, Words)]
    assert "· script" in said
    assert "not checked yet" in said
    figures = [s for s in look.shapes if isinstance(s, Ring) and s.colour == DARK.line and s.dash]
    assert len(figures) == 2  # the back, and his sign in the legend


def test_a_confirmed_fact_is_drawn_whole() -> None:
    """Once film has shown it, its figure, its cap and the way of the ball are unbroken."""
    seen = tuple(replace(fact, seen="seen", source="") for fact in FACTS[:2])
    look = drawn(replace(LOOK, facts=seen), (628, 520))
    figures = [s for s in look.shapes if isinstance(s, (Ring, Stroke)) and s.colour == DARK.line]
    assert figures
    assert not [figure for figure in figures if figure.dash]
    assert not any(s.text.endswith("script") for s in look.shapes if isinstance(s, Words))


def test_in_a_low_picture_form_and_legend_still_tell_what_is_not_seen() -> None:
    """Where the source has no room, the broken cap and its sign in the legend stay."""
    many = tuple(
        replace(
            FACTS[0], reference=f"f{number}", words="surface right 3", letter="ABCDEFGH"[number]
        )
        for number in range(8)
    )
    look = drawn(replace(LOOK, facts=many), (408, 200))
    said = [s.text for s in look.shapes if isinstance(s, Words)]
    assert "· script" not in said
    assert "not checked yet" in said
    assert len([s for s in look.shapes if isinstance(s, Stroke) and s.closed and s.dash]) == 8


@pytest.mark.parametrize("turn", TURNS)
def test_each_fact_stands_with_its_letter_where_it_is_touched(turn: int) -> None:
    """The letter to press and the words of a fact lie in the place that takes its touch."""
    look = drawn(replace(LOOK, turn=turn))
    for fact in FACTS:
        here = [
            s.text
            for s in look.shapes
            if isinstance(s, Words)
            and look.place_at((s.at[0] + 0.5, s.at[1])) == Place(kind="fact", name=fact.reference)
        ]
        assert fact.letter in here
        assert fact.words in here


@pytest.mark.parametrize("turn", TURNS)
def test_a_miss_is_a_line_between_ring_and_disc_with_names(turn: int) -> None:
    """The ring he owed, the disc where he went, the line between; both gaps are named."""
    man = replace(
        KEEL, did="fit", did_gap="B", did_side="right", did_label="spill", did_sign="✕",
        selected=True,
    )  # fmt: skip
    look = drawn(replace(LOOK, men=(man,), turn=turn))
    (disc,) = [s for s in look.shapes if isinstance(s, Disc) and s.colour == DARK.did
               and s.radius_px != 4]  # fmt: skip
    (line,) = [s for s in look.shapes if isinstance(s, Stroke) and s.colour == DARK.did
               and s.dash == (5.5, 4.0)]  # fmt: skip
    assert min(abs(disc.centre[0] - x) + abs(disc.centre[1] - y) for x, y in line.points) < 12
    said = {s.text for s in look.shapes if isinstance(s, Words)}
    assert {"overlap D", "✕ spill · B"} <= said


def test_another_fit_that_is_right_as_well_is_not_drawn_as_wrong() -> None:
    """By its sign and colour a fit the rules also allow is right."""
    man = replace(KEEL, did="fit", did_gap="C", did_side="right", did_label="fold C", did_sign="✓")
    look = drawn(replace(LOOK, men=(man,)))
    assert "✓ fold C" in {s.text for s in look.shapes if isinstance(s, Words)}
    assert "right as well: fold C on the right" in look_words(replace(LOOK, men=(man,)))


def test_who_is_not_known_is_told_in_words() -> None:
    """An unknown man and a position nobody is named at don't look like a man with a name."""
    unknown = replace(KEEL, number="", named="unknown")
    nobody = replace(KEEL, position="Bow", number="", named="nobody")
    picture = replace(LOOK, men=(unknown, nobody))
    said = {s.text for s in drawn(picture).shapes if isinstance(s, Words)}
    assert {"unknown", "nobody"} <= said
    told_words = look_words(picture)
    assert "Keel, an unknown man, owes overlap D" in told_words
    assert "Bow, nobody named yet, owes overlap D" in told_words


def test_words_tell_the_turn_and_what_film_has_not_confirmed() -> None:
    """Whoever can't see the picture hears from where it is seen, and what is only told."""
    said = look_words(replace(LOOK, turn=180))
    assert said.startswith("Seen from behind the defence. ")
    assert "Not seen on film yet: back behind (script). Not known: wing." in said
    assert look_words(replace(LOOK, turn=90)).startswith("Seen from the offence's right. ")


def test_light_and_dark_take_touches_in_the_same_places() -> None:
    """Another theme changes colours only."""
    light = look_shapes(LOOK, size_px=(470, 330), palette=LIGHT, title_px=TITLE_PX)
    assert light.places == drawn(LOOK).places
