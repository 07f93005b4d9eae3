"""What grading refuses."""

from __future__ import annotations

from gradecut.errors import GradecutError

__all__ = ["GradeError"]


class GradeError(GradecutError, ValueError):
    """A grade that names something the scheme or its rubric does not have, or contradicts itself.

    Attributes
    ----------
    rep_id : str
        The rep; empty where none was named.
    """

    def __init__(self, said: str, *, rep_id: str = "") -> None:
        self.rep_id = rep_id
        super().__init__(said)
