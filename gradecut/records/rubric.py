"""How a staff grades: scales, items, causes, events."""

from __future__ import annotations

from dataclasses import dataclass

__all__ = ["Rubric"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Rubric:
    """How a staff grades a rep. The defaults are those of a scheme file without a rubric.

    Attributes
    ----------
    right, half, wrong : float
        Points of a fit. `right` is the top of the scale.
    technique : tuple of str
        Items judged apart from the fit; may be empty.
    technique_scale, effort : tuple of float
        The marks a grader may give, lowest first as the coach wrote them.
    causes : tuple of str
        Why a fit was missed.
    events : tuple of str
        Counted beside the grade, never averaged into it.
    good : float
        The line drawn on every rate, 0 to 1.
    weights : tuple of (str, float) or None
        Weight of "fit", "technique" and "effort" in one overall figure; None: no such figure.
    """

    right: float = 2
    half: float = 1
    wrong: float = 0
    technique: tuple[str, ...] = ("eyes", "footwork", "hands", "tackle")
    technique_scale: tuple[float, ...] = (0, 1, 2)
    effort: tuple[float, ...] = (0, 1, 2)
    causes: tuple[str, ...] = (
        "alignment",
        "eyes",
        "no call",
        "technique",
        "beaten",
        "did not know",
        "rule unclear",
    )
    events: tuple[str, ...] = ("missed tackle", "tackle", "loaf", "call owed", "call made")
    good: float = 0.85
    weights: tuple[tuple[str, float], ...] | None = None

    @property
    def technique_top(self) -> float:
        """Give the top of the technique scale."""
        return max(self.technique_scale)

    @property
    def effort_top(self) -> float:
        """Give the top of the effort scale."""
        return max(self.effort)
