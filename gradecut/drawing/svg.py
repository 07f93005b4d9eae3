"""Display lists as SVG, for reports."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from html import escape

from gradecut.drawing.lettering import CAPITAL
from gradecut.drawing.shapes import Box, Colour, Disc, Fill, Point, Ring, Shape, Stroke, Words

__all__ = ["to_svg"]

_EM = 1.03
"""The painter's size to the em that browsers measure by."""
_ANCHORS = {"left": "start", "centre": "middle", "right": "end"}


def to_svg(shapes: Iterable[Shape], size_px: tuple[float, float], title: str) -> str:
    """Write shapes as one SVG element to be put inside a page.

    Parameters
    ----------
    shapes : iterable of Shape
        Painted in order.
    size_px : (width, height)
        The picture's own size; it scales with the page.
    title : str
        What a screen reader says; any text, it is escaped.

    Returns
    -------
    str
        Without an XML declaration. Text is in Inter where the page has it.

    Examples
    --------
    >>> to_svg([], (40, 30), "Empty & quiet")[-38:]
    '<title>Empty &amp; quiet</title></svg>'
    """
    width, height = (_number(side) for side in size_px)
    body = "".join(_element(shape) for shape in shapes)
    said = escape(title)
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width} {height}" '
        f'width="{width}" height="{height}" role="img" aria-label="{said}" '
        f'font-family="Inter, sans-serif"><title>{said}</title>{body}</svg>'
    )


def _element(shape: Shape) -> str:
    match shape:
        case Stroke():
            name = "polygon" if shape.closed else "polyline"
            return (
                f'<{name} points="{_points(shape.points)}" fill="none" '
                f"{_line(shape.colour, shape.width_px, shape.dash)}/>"
            )
        case Disc():
            return (
                f'<circle {_at("c", shape.centre)} r="{_number(shape.radius_px)}" '
                f"{_fill(shape.colour)}/>"
            )
        case Ring():
            return (
                f'<ellipse {_at("c", shape.centre)} rx="{_number(shape.rx_px)}" '
                f'ry="{_number(shape.ry_px)}" fill="none" '
                f"{_line(shape.colour, shape.width_px, shape.dash)}/>"
            )
        case Fill():
            return f'<polygon points="{_points(shape.points)}" {_fill(shape.colour)}/>'
        case Box():
            left, top, width, height = (_number(side) for side in shape.rect)
            return (
                f'<rect x="{left}" y="{top}" width="{width}" height="{height}" '
                f'rx="{_number(shape.corner_px)}" {_fill(shape.colour)}/>'
            )
        case Words():
            return _words(shape)


def _words(words: Words) -> str:
    x, y = words.at
    if words.line == "middle":
        y += words.size_px * CAPITAL / 2
    halo = ""
    if words.halo is not None:
        around = _line(words.halo, words.size_px * 0.28, ())
        halo = f' {around} paint-order="stroke"'
    return (
        f'<text {_at("", (x, y))} font-size="{_number(words.size_px * _EM)}" '
        f'font-weight="{words.weight}" text-anchor="{_ANCHORS[words.anchor]}" '
        f"{_fill(words.colour)}{halo}>{escape(words.text)}</text>"
    )


def _line(colour: Colour, width_px: float, dash: Sequence[float]) -> str:
    dashes = f' stroke-dasharray="{" ".join(_number(d) for d in dash)}"' if dash else ""
    return (
        f'stroke="{_hex(colour)}"{_opacity("stroke", colour)} '
        f'stroke-width="{_number(width_px)}" stroke-linecap="round" '
        f'stroke-linejoin="round"{dashes}'
    )


def _fill(colour: Colour) -> str:
    return f'fill="{_hex(colour)}"{_opacity("fill", colour)}'


def _hex(colour: Colour) -> str:
    return "#{:02x}{:02x}{:02x}".format(*colour[:3])


def _opacity(of: str, colour: Colour) -> str:
    return "" if colour[3] == 255 else f' {of}-opacity="{_number(colour[3] / 255)}"'


def _at(prefix: str, point: Point) -> str:
    return f'{prefix}x="{_number(point[0])}" {prefix}y="{_number(point[1])}"'


def _points(points: Iterable[Point]) -> str:
    return " ".join(f"{_number(x)},{_number(y)}" for x, y in points)


def _number(value: float) -> str:
    return f"{value:.2f}".rstrip("0").rstrip(".")
