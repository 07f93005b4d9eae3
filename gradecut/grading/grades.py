"""One judgement of one rep, put together and checked against the rubric."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from types import MappingProxyType

from gradecut.errors import GradeError
from gradecut.grading.fit_results import judge_fit
from gradecut.hints import listed, nearest
from gradecut.records import Actual, FitResult, Grade, How, Owed, Side
from gradecut.records.expectation import Credit, Expectation
from gradecut.records.rubric import Rubric

__all__ = ["PARTS", "grade_rep"]

PARTS = ("fit", "technique", "effort")
"""The three things graded apart, because the cure differs."""

_NO_SIDES: Mapping[str, Side | None] = MappingProxyType({})


def grade_rep(
    *,
    rep_id: str,
    author: str,
    expectation: Expectation,
    actual: Actual,
    rubric: Rubric,
    also_sides: Mapping[str, Side | None] = _NO_SIDES,
    owed: Owed | None = None,
    owed_misses: Sequence[tuple[str, Credit]] = (),
    technique: Mapping[str, float] | None = None,
    effort: float | None = None,
    cannot: Mapping[str, str] | None = None,
    note: str = "",
    how: How = "passed",
    scheme_id: str | None = None,
    look_digest: str = "",
    previous: Grade | None = None,
) -> Grade:
    """Put one judgement of one rep together, frozen with all it was judged by.

    The fit is worked out, never given. A cause belongs to a rep he did not do as owed; it
    is asked for but may stay open, since a grader who does not know why should not guess.

    Parameters
    ----------
    expectation : Expectation
        What the scheme asks of him on this look.
    actual : Actual
        What this grader says he did, with the cause.
    also_sides : mapping of name to "left", "right" or None
        The side of each fit of the expectation's ``also``, as for `judge_fit`.
    owed : Owed or None
        The coach's word on what he owed: it stands above the scheme, has no ``also``, and
        is always graded. ``owed_misses`` are then the misses of the fit it names.
    technique : mapping of item to points
        Only the items that were graded.
    effort : int or None
        None when not graded.
    cannot : mapping of "technique" or "effort" to reason
        Why that part can't be graded. Of the fit, the reason stands in ``actual``.
    previous : Grade or None
        This grader's judgement that the new one supersedes.

    Raises
    ------
    GradeError
        One sentence, for the first thing that does not fit the scheme or its rubric.
    """
    try:
        result, points = _judged(
            expectation, actual, rubric, also_sides=also_sides, owed=owed, owed_misses=owed_misses
        )
        _check_cause(actual, rubric)
        _check_marks(technique or {}, effort, rubric)
        reasons = _reasons(actual, cannot or {}, technique or {}, effort)
        if previous is not None and (previous.rep_id, previous.author) != (rep_id, author):
            raise GradeError("A grade takes the place of the same grader's on the same rep only.")
    except GradeError as error:
        raise GradeError(str(error), rep_id=rep_id) from error
    by_coach = owed is not None
    return Grade(
        rep_id=rep_id,
        author=author,
        expected_fit=owed.fit if owed else expectation.fit,
        expected_side=owed.side if owed else expectation.side,
        expected_also=() if by_coach else expectation.also,
        expected_rule=None if by_coach else expectation.rule,
        owed_by="coach" if by_coach else "scheme",
        scheme_id=scheme_id,
        look_digest=look_digest,
        did=actual.did,
        did_name=actual.name,
        did_side=actual.side,
        fit_result=result,
        fit_points=points,
        cause=actual.cause,
        technique=dict(technique or {}),
        effort=effort,
        cannot=reasons,
        note=note,
        how=how,
        supersedes=previous.id if previous else None,
    )


def _judged(
    expectation: Expectation,
    actual: Actual,
    rubric: Rubric,
    *,
    also_sides: Mapping[str, Side | None],
    owed: Owed | None,
    owed_misses: Sequence[tuple[str, Credit]],
) -> tuple[FitResult, float | None]:
    """Judge by the coach's word where there is one, else by the scheme."""
    return judge_fit(
        expected_fit=owed.fit if owed else expectation.fit,
        expected_side=owed.side if owed else expectation.side,
        also=() if owed else expectation.also,
        also_sides=also_sides,
        misses=owed_misses if owed else expectation.misses,
        did=actual.did,
        did_name=actual.name,
        did_side=actual.side,
        rubric=rubric,
        graded=True if owed else expectation.graded,
    )


def _check_cause(actual: Actual, rubric: Rubric) -> None:
    """Refuse a cause the rubric does not list, or one without anything to explain."""
    if not actual.cause:
        return
    if actual.did in ("as owed", "cannot grade"):
        raise GradeError(
            f"“{actual.cause}” explains a miss, and none was recorded; put it in the note."
        )
    if actual.cause not in rubric.causes:
        raise GradeError(
            f"“{actual.cause}” is no cause of this rubric; {nearest(actual.cause, rubric.causes)}"
        )


def _check_marks(technique: Mapping[str, float], effort: float | None, rubric: Rubric) -> None:
    """Refuse items and points off the rubric's scales."""
    for item, points in technique.items():
        if item not in rubric.technique:
            raise GradeError(
                f"“{item}” is no technique item of this rubric; {nearest(item, rubric.technique)}"
            )
        if points not in rubric.technique_scale:
            raise GradeError(
                f"{points:g} is not on the technique scale for “{item}”; "
                f"give {listed(rubric.technique_scale)}."
            )
    if effort is not None and effort not in rubric.effort:
        raise GradeError(f"{effort:g} is not on the effort scale; give {listed(rubric.effort)}.")


def _reasons(
    actual: Actual, cannot: Mapping[str, str], technique: Mapping[str, float], effort: float | None
) -> dict[str, str]:
    """Gather what can't be graded and why, and refuse what is graded all the same."""
    reasons = {part: reason.strip() for part, reason in cannot.items()}
    if actual.did == "cannot grade":
        reasons.setdefault("fit", actual.name.strip())
    graded = {
        "fit": actual.did != "cannot grade",
        "technique": bool(technique),
        "effort": effort is not None,
    }
    for part, reason in reasons.items():
        if part not in graded:
            raise GradeError(f"“{part}” is no part of a grade; {nearest(part, PARTS)}")
        if not reason:
            raise GradeError(f"Say why the {part} can't be graded, such as “out of picture”.")
        if graded[part]:
            raise GradeError(
                f"The {part} is graded, and “{reason}” says it can't be; keep one of the two."
            )
    return reasons
