"""The field in yards, the camera that sees it, and how the two are brought together."""

from gradecut.field.camera import Camera, ground_to_picture
from gradecut.field.levels import LEVELS, Level, level_named
from gradecut.field.markings import Numeral, Stripe, landmarks_of, numerals_of, stripes_of

__all__ = [
    "LEVELS",
    "Camera",
    "Level",
    "Numeral",
    "Stripe",
    "ground_to_picture",
    "landmarks_of",
    "level_named",
    "numerals_of",
    "stripes_of",
]
