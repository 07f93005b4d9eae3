"""The sample week: twelve plays drawn for gradecut, with their truth, roster and script.

Nothing in them is real: the Cedar Fork Herons and the Harbor scheme are invented.
"""

from typing import TYPE_CHECKING, Any

from gradecut.samples.folders import clips_folder, week_folder

if TYPE_CHECKING:
    from gradecut.samples.drawing import draw_samples

__all__ = ["clips_folder", "draw_samples", "week_folder"]


def __getattr__(name: str) -> Any:
    """Load the drawing, and OpenCV with it, only when somebody draws."""
    if name == "draw_samples":
        from gradecut.samples.drawing import draw_samples

        return draw_samples
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
