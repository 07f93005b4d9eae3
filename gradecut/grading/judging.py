"""From what he owed and what he did to a grade."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from difflib import get_close_matches

from gradecut.grading.refusals import GradeError
from gradecut.records import Actual, Did, FitResult, Grade, How, Owed, Side
from gradecut.records.expectation import Credit, Expectation
from gradecut.records.rubric import Rubric

__all__ = ["PARTS", "grade_rep", "judge_fit", "points_of"]

PARTS = ("fit", "technique", "effort")
"""The three things graded apart, because the cure differs."""


def points_of(result: FitResult, rubric: Rubric) -> float | None:
    """Return a fit's points by the rubric; None when it was not graded."""
    if result == "right":
        return rubric.right
    if result == "half":
        return rubric.half
    if result == "wrong":
        return rubric.wrong
    return None


def judge_fit(
    *,
    expected_fit: str | None,
    expected_side: Side | None = None,
    also: Sequence[str] = (),
    misses: Sequence[tuple[str, Credit]] = (),
    did: Did,
    did_name: str = "",
    did_side: Side | None = None,
    rubric: Rubric,
    graded: bool = True,
) -> tuple[FitResult, float | None]:
    """Work out how a fit came out.

    What he owed is right; so is a fit of ``also``; another fit is wrong; a miss is worth
    what the scheme says. Where both sides are known they must be the same: the right fit
    on the other side is wrong. The outcome of the play never enters.

    Parameters
    ----------
    expected_fit : str or None
        What he owed; None when neither scheme nor coach could say.
    expected_side, did_side : "left", "right" or None
        As the offence faces the line; None when the fit has none or nobody said.
    also : sequence of str
        Fits right too.
    misses : sequence of (name, credit)
        How this fit goes wrong. Where it lists none, a miss stays unnamed and is wrong.
    did, did_name
        What he did; ``did_name`` is the other fit, the miss, or why it can't be graded.
    graded : bool
        False where the scheme has no run job for him: the answer is then "not graded".

    Returns
    -------
    (FitResult, float or None)
        The result and its points; None when there are none.

    Raises
    ------
    GradeError
        For a miss the fit does not have, a reason or a fit left out, or a fit graded while
        nobody has said what he owed.

    Examples
    --------
    A man who owed A and filled A, and one who owed A and boxed it:

    >>> judge_fit(expected_fit="fill A", did="as owed", rubric=Rubric())
    ('right', 2)
    >>> judge_fit(expected_fit="fill A", did="fit", did_name="box A", rubric=Rubric())
    ('wrong', 0)
    """
    result: FitResult
    name = did_name.strip()
    same_side = None in (expected_side, did_side) or expected_side == did_side
    right_fits = (expected_fit, *also) if same_side else ()
    if did == "cannot grade":
        result = _cannot(name)
    elif not graded:
        result = "not graded"
    elif expected_fit is None:
        raise GradeError(
            "Nobody has said yet what he owed; answer the open question or say it yourself, "
            "then grade the fit."
        )
    elif did == "as owed":
        result = "right"
    elif did == "miss":
        result = _credit(expected_fit, misses, name)
    else:
        result = _other_fit(name, right_fits)
    return (result, points_of(result, rubric))


def _cannot(reason: str) -> FitResult:
    """Take a reason why a fit can't be graded."""
    if not reason:
        raise GradeError("Say why it can't be graded, such as “out of picture”.")
    return "cannot grade"


def _other_fit(name: str, right_fits: Sequence[str | None]) -> FitResult:
    """Judge a fit other than the one word "as owed" stands for."""
    if not name:
        raise GradeError("Say which other fit he played.")
    return "right" if name in right_fits else "wrong"


def _credit(fit: str, misses: Sequence[tuple[str, Credit]], name: str) -> FitResult:
    """Look up what a miss is worth."""
    known = dict(misses)
    if name in known:
        return known[name]
    if not known and not name:
        return "wrong"
    if not known:
        raise GradeError(
            f"“{fit}” lists no misses, so “{name}” can't be one; leave the miss unnamed or "
            "add it to the scheme."
        )
    if not name:
        raise GradeError(f"Say how “{fit}” was missed: {_listed(known)}.")
    raise GradeError(f"“{name}” is no miss of “{fit}”; {_hint(name, list(known))}")


def grade_rep(
    *,
    rep_id: str,
    author: str,
    expectation: Expectation,
    actual: Actual,
    rubric: Rubric,
    owed: Owed | None = None,
    owed_misses: Sequence[tuple[str, Credit]] = (),
    technique: Mapping[str, int] | None = None,
    effort: int | None = None,
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
        result, points = _judged(expectation, actual, rubric, owed, owed_misses)
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
    owed: Owed | None,
    owed_misses: Sequence[tuple[str, Credit]],
) -> tuple[FitResult, float | None]:
    """Judge by the coach's word where there is one, else by the scheme."""
    return judge_fit(
        expected_fit=owed.fit if owed else expectation.fit,
        expected_side=owed.side if owed else expectation.side,
        also=() if owed else expectation.also,
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
            f"“{actual.cause}” is no cause of this rubric; {_hint(actual.cause, rubric.causes)}"
        )


def _check_marks(technique: Mapping[str, int], effort: int | None, rubric: Rubric) -> None:
    """Refuse items and points off the rubric's scales."""
    for item, points in technique.items():
        if item not in rubric.technique:
            raise GradeError(
                f"“{item}” is no technique item of this rubric; {_hint(item, rubric.technique)}"
            )
        if points not in rubric.technique_scale:
            raise GradeError(
                f"{points:g} is not on the technique scale for “{item}”; "
                f"give {_listed(rubric.technique_scale)}."
            )
    if effort is not None and effort not in rubric.effort:
        raise GradeError(f"{effort:g} is not on the effort scale; give {_listed(rubric.effort)}.")


def _reasons(
    actual: Actual, cannot: Mapping[str, str], technique: Mapping[str, int], effort: int | None
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
            raise GradeError(f"“{part}” is no part of a grade; {_hint(part, PARTS)}")
        if not reason:
            raise GradeError(f"Say why the {part} can't be graded, such as “out of picture”.")
        if graded[part]:
            raise GradeError(
                f"The {part} is graded, and “{reason}” says it can't be; keep one of the two."
            )
    return reasons


def _hint(word: str, known: Sequence[str]) -> str:
    """Name the nearest known word, or all of them, to end a sentence with."""
    near = get_close_matches(word, known, n=1)
    return f"did you mean “{near[0]}”?" if near else f"there are {_listed(known)}."


def _listed(words: Sequence[object] | Mapping[str, object]) -> str:
    """Write words as a coach reads them: a, b or c."""
    told = [f"{word:g}" if isinstance(word, float) else str(word) for word in words]
    if not told:
        return "none"
    return " or ".join([", ".join(told[:-1]), told[-1]] if len(told) > 1 else told)
