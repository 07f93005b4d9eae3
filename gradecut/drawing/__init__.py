"""Marks and pictures of the look as display lists, painted alike everywhere."""

from gradecut.drawing.cards import caption_shapes, title_card
from gradecut.drawing.film_marks import (
    POINTS_NEEDED,
    bracket_name,
    mark_shapes,
    marks_shapes,
    ring_radii,
)
from gradecut.drawing.keyed_marks import mark_at, marks_at, moved_by_px, scaled_mark
from gradecut.drawing.lettering import font_file, text_width_px, wrap_text
from gradecut.drawing.look_picture import DrawnLook, Place, look_shapes
from gradecut.drawing.look_words import look_words, seen_from
from gradecut.drawing.mark_colours import MARK_COLOURS
from gradecut.drawing.painter import lay_over, paint
from gradecut.drawing.palette import DARK, LIGHT, ON_FILM, Palette, contrast
from gradecut.drawing.shapes import (
    Box,
    Colour,
    Disc,
    Fill,
    Point,
    Rect,
    Ring,
    Shape,
    Stroke,
    Words,
)
from gradecut.drawing.svg import to_svg

__all__ = [
    "DARK",
    "LIGHT",
    "MARK_COLOURS",
    "ON_FILM",
    "POINTS_NEEDED",
    "Box",
    "Colour",
    "Disc",
    "DrawnLook",
    "Fill",
    "Palette",
    "Place",
    "Point",
    "Rect",
    "Ring",
    "Shape",
    "Stroke",
    "Words",
    "bracket_name",
    "caption_shapes",
    "contrast",
    "font_file",
    "lay_over",
    "look_shapes",
    "look_words",
    "mark_at",
    "mark_shapes",
    "marks_at",
    "marks_shapes",
    "moved_by_px",
    "paint",
    "ring_radii",
    "scaled_mark",
    "seen_from",
    "text_width_px",
    "title_card",
    "to_svg",
    "wrap_text",
]
