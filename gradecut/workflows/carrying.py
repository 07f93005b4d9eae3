"""What a grade becomes under other rules, from what he did; nothing is guessed.

A grade says what the man did in the words of the rules it was given by: "as owed" is the fit
he owed then, on its side, whether he was let through at speed or looked at closely. Held
against other rules:

- a fit he did is right where it is what he owes now or right too, else wrong, as ever;
- a miss of a fit stays that miss while he owes the same fit on the same side, and is worth
  what the scheme says now. Of a man who owes another fit now it can't be told what his miss
  then comes to: he may have done just what is asked now. That is judged again by a person;
- where nothing is to grade any more, what he did does not matter;
- whatever rests on the coach's own word, on an open answer, on a fit the scheme no longer
  has, or on a side that was read from a look told otherwise then, is judged again by a person.

Technique, effort, note and how it was judged stay; a cause stays while there is a fault it
explains.
"""

from __future__ import annotations

from dataclasses import replace

from gradecut.errors import GradeError
from gradecut.grading import grade_rep
from gradecut.records import Actual, Grade, Side
from gradecut.workflows.expecting import also_sides
from gradecut.workflows.looks import look_digest
from gradecut.workflows.rep_asked import RepAsked

__all__ = ["carry_over"]


def carry_over(grade: Grade, asked: RepAsked) -> Grade | str:
    """Judge what a man did by other rules than those it was judged by.

    Parameters
    ----------
    grade : Grade
        What was said of him.
    asked : RepAsked
        The same rep under the rules to judge by now.

    Returns
    -------
    Grade or str
        The judgement that supersedes the old one, or one sentence why a person must judge.
    """
    if refusal := _why_not(grade, asked):
        return refusal
    actual = _what_he_did(grade, asked)
    if isinstance(actual, str):
        return actual
    try:
        made = grade_rep(
            rep_id=grade.rep_id,
            author=grade.author,
            expectation=asked.expectation,
            actual=actual,
            rubric=asked.rubric,
            also_sides=also_sides(asked.scheme, asked.expectation, asked.look, asked.own_side),
            technique=grade.technique,
            effort=grade.effort,
            cannot={part: why for part, why in grade.cannot.items() if part != "fit"},
            note=grade.note,
            how=grade.how,
            scheme_id=asked.scheme_id,
            look_digest=look_digest(asked.look),
            previous=grade,
        )
    except GradeError as error:
        return str(error)
    return replace(made, cause="") if made.fit_result in ("right", "not graded") else made


def _why_not(grade: Grade, asked: RepAsked) -> str:
    """Say why rules alone can't judge the rep again; empty where they can."""
    if grade.did == "cannot grade":
        return f"The fit could not be graded: {grade.did_name}."
    if asked.owed is not None or grade.owed_by == "coach":
        return "What he owed rests on the coach's own word, not on the rules alone."
    expectation = asked.expectation
    if not asked.settled and expectation.graded:
        return expectation.reason
    return ""


def _what_he_did(grade: Grade, asked: RepAsked) -> Actual | str:
    """Say what he did in the words of today's rules, or why that can't be said."""
    expectation = asked.expectation
    if not expectation.graded:
        return _did(grade)
    if grade.did == "miss":
        same = expectation.fit == grade.expected_fit
        if same and _may_be_same(expectation.side, grade.expected_side):
            return replace(_did(grade), did="miss", name=grade.did_name, cause=grade.cause)
        missed = f"“{grade.did_name}” of {grade.expected_fit}" if grade.did_name else "a miss"
        return (
            f"He was given {missed}, and owes {expectation.fit} now: "
            "what that comes to can't be told."
        )
    if grade.did == "as owed":
        if grade.fit_result == "not graded":
            return "There was nothing to grade then, so nobody said what he did."
        fit, side = grade.expected_fit, grade.expected_side
    else:
        fit, side = grade.did_name, grade.did_side
    return _as_fit(grade, asked, fit or "", side)


def _as_fit(grade: Grade, asked: RepAsked, fit: str, side: Side | None) -> Actual | str:
    """Say that he did a fit, as owed where it is the one he owes now."""
    expectation = asked.expectation
    if asked.scheme is None or fit not in asked.scheme.fits:
        return f"He did {fit}, which the scheme no longer has."
    places = also_sides(asked.scheme, expectation, asked.look, asked.own_side)
    right = places | {str(expectation.fit): expectation.side}
    if fit in right and not _may_be_same(right[fit], side):
        if grade.look_digest != look_digest(asked.look):
            return (
                f"He did {fit} on the {side}, as the look was told then; "
                "by the look told now that may have been the other side."
            )
    elif fit == expectation.fit:
        return _did(grade)
    return replace(_did(grade), did="fit", name=fit, side=side, cause=grade.cause)


def _did(grade: Grade) -> Actual:
    return Actual(rep_id=grade.rep_id, did="as owed", author=grade.author)


def _may_be_same(one: Side | None, other: Side | None) -> bool:
    """Tell whether two sides agree; a side that is not known contradicts nothing."""
    return None in (one, other) or one == other
