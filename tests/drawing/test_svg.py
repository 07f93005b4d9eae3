from __future__ import annotations

from xml.etree import ElementTree

from gradecut.drawing import Box, Disc, Fill, Ring, Stroke, Words, to_svg

NAME = "{http://www.w3.org/2000/svg}"
INK = (20, 30, 40, 255)


def test_every_shape_becomes_an_element_in_order() -> None:
    """A report shows the same shapes as the screen, in the same order."""
    shapes = [
        Box(rect=(0, 0, 10, 10), corner_px=2, colour=INK),
        Stroke(points=((0, 0), (5, 5)), width_px=1.5, colour=INK, dash=(3, 2)),
        Stroke(points=((0, 0), (5, 5), (0, 5)), width_px=1, colour=INK, closed=True),
        Disc(centre=(3, 4), radius_px=2, colour=INK),
        Ring(centre=(3, 4), rx_px=2, ry_px=1, width_px=1, colour=INK),
        Fill(points=((0, 0), (5, 5), (0, 5)), colour=(1, 2, 3, 51)),
        Words(text="A", at=(1, 2), size_px=11, colour=INK),
    ]
    root = ElementTree.fromstring(to_svg(shapes, (100, 50), "The look"))
    names = [child.tag.removeprefix(NAME) for child in root]
    assert names == [
        "title", "rect", "polyline", "polygon", "circle", "ellipse", "polygon", "text",
    ]  # fmt: skip
    assert root.get("viewBox") == "0 0 100 50"
    assert root[2].get("stroke-dasharray") == "3 2"
    assert root[5].get("fill") == "none"
    assert root[6].get("fill-opacity") == "0.2"


def test_words_of_any_kind_are_escaped_and_read_out() -> None:
    """A player's name or a coach's label can't break the page, and screen readers hear it."""
    nasty = 'Smith & "Sons" <b>'
    svg = to_svg([Words(text=nasty, at=(0, 0), size_px=10, colour=INK, halo=INK)], (10, 10), nasty)
    root = ElementTree.fromstring(svg)
    assert root.get("aria-label") == nasty
    assert root.get("role") == "img"
    assert root[0].text == nasty
    assert root[1].text == nasty
    assert "<b>" not in svg
