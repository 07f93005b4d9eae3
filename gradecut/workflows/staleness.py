"""Whether a grade still says what today's look, word and scheme would have it say."""

from __future__ import annotations

from gradecut.errors import GradeError
from gradecut.grading import judge_fit
from gradecut.records import Grade
from gradecut.workflows.expecting import also_sides
from gradecut.workflows.looks import look_digest
from gradecut.workflows.rep_asked import RepAsked

__all__ = ["is_stale"]


def is_stale(grade: Grade, asked: RepAsked) -> bool:
    """Tell whether a rep would be judged by something else than its grade was.

    A change that asks the same of him and gives the same result leaves a grade as fresh as
    it was: a coach who corrects the hash mark is not told to grade again.

    Parameters
    ----------
    grade : Grade
        As it was given.
    asked : RepAsked
        The same rep, with the look, the word and the scheme it is held against.
    """
    if grade.did == "cannot grade":
        return False
    owed, expectation, scheme = asked.owed, asked.expectation, asked.scheme
    same_words = (grade.scheme_id, grade.look_digest) == (asked.scheme_id, look_digest(asked.look))
    same_kind = expectation.graded == (grade.fit_result != "not graded")
    if same_words and same_kind and owed is None and grade.owed_by == "scheme":
        return False
    frozen = (grade.expected_fit, grade.expected_side)
    today = (owed.fit, owed.side) if owed else (expectation.fit, expectation.side)
    if frozen != today or (owed is None and set(grade.expected_also) != set(expectation.also)):
        return True
    if owed is not None or scheme is None:
        return False
    try:
        result = judge_fit(
            expected_fit=expectation.fit,
            expected_side=expectation.side,
            also=expectation.also,
            also_sides=also_sides(scheme, expectation, asked.look, asked.own_side),
            misses=expectation.misses,
            did=grade.did,
            did_name=grade.did_name,
            did_side=grade.did_side,
            rubric=scheme.rubric,
            graded=expectation.graded,
        )
    except GradeError:
        return True
    return result != (grade.fit_result, grade.fit_points)
