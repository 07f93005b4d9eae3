"""From what was owed and done to grades, rates with their doubt, boards and drills."""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING

from gradecut.grading.alignment import (
    OFF_WAYS,
    AlignmentResult,
    grade_alignment,
    lined_up_rate,
)
from gradecut.grading.boards import (
    ALL_RUNS,
    GROUP,
    board,
    board_frame,
    film_order,
    number_worn,
)
from gradecut.grading.drills import worst_situations
from gradecut.grading.fit_results import judge_fit
from gradecut.grading.grades import grade_rep
from gradecut.grading.intervals import wilson_interval
from gradecut.grading.rates import lies_below, part_rates
from gradecut.grading.reactions import (
    reaction,
    reaction_interval_ms,
    reaction_note,
    reaction_sd_ms,
)
from gradecut.grading.situations import situations_of

if TYPE_CHECKING:
    from gradecut.grading.agreement import (
        agreement_table,
        cohen_kappa,
        krippendorff_alpha,
        weighted_kappa,
    )

__all__ = [
    "ALL_RUNS",
    "GROUP",
    "OFF_WAYS",
    "AlignmentResult",
    "agreement_table",
    "board",
    "board_frame",
    "cohen_kappa",
    "film_order",
    "grade_alignment",
    "grade_rep",
    "judge_fit",
    "krippendorff_alpha",
    "lies_below",
    "lined_up_rate",
    "number_worn",
    "part_rates",
    "reaction",
    "reaction_interval_ms",
    "reaction_note",
    "reaction_sd_ms",
    "situations_of",
    "weighted_kappa",
    "wilson_interval",
    "worst_situations",
]

_WITH_NUMPY = frozenset({"agreement_table", "cohen_kappa", "krippendorff_alpha", "weighted_kappa"})


def __getattr__(name: str) -> object:
    """Import agreement, and numpy with it, when it is first asked for."""
    if name in _WITH_NUMPY:
        return getattr(import_module("gradecut.grading.agreement"), name)
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
