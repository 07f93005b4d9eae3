"""The field in yards, the camera that sees it, and how the two are brought together."""

from gradecut.field.calibration import Calibration, calibrate
from gradecut.field.camera import Camera, ground_to_picture
from gradecut.field.homography import apply_homography, find_homography
from gradecut.field.levels import LEVELS, Level, level_named
from gradecut.field.markings import Numeral, Stripe, landmarks_of, numerals_of, stripes_of

__all__ = [
    "LEVELS",
    "Calibration",
    "Camera",
    "Level",
    "Numeral",
    "Stripe",
    "apply_homography",
    "calibrate",
    "find_homography",
    "ground_to_picture",
    "landmarks_of",
    "level_named",
    "numerals_of",
    "stripes_of",
]
