"""How a fit came out, from what he owed and what he did."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from types import MappingProxyType

from gradecut.errors import GradeError
from gradecut.hints import listed, nearest
from gradecut.records import Did, FitResult, Side
from gradecut.records.expectation import Credit
from gradecut.records.rubric import Rubric

__all__ = ["judge_fit", "points_of"]

_NO_SIDES: Mapping[str, Side | None] = MappingProxyType({})


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
    also_sides: Mapping[str, Side | None] = _NO_SIDES,
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
    on the other side is wrong. A fit of ``also`` has a side of its own, which need not be
    that of the owed fit. The outcome of the play never enters.

    Parameters
    ----------
    expected_fit : str or None
        What he owed; None when neither scheme nor coach could say.
    expected_side, did_side : "left", "right" or None
        As the offence faces the line; None when the fit has none or nobody said.
    also : sequence of str
        Fits right too.
    also_sides : mapping of name to "left", "right" or None
        The side of each fit of ``also``; None, or left out, where it has none or it is open.
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
    right_fits = [fit for fit in also if _same_side(also_sides.get(fit), did_side)]
    if expected_fit is not None and _same_side(expected_side, did_side):
        right_fits.append(expected_fit)
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


def _same_side(asked: Side | None, played: Side | None) -> bool:
    """Tell whether two sides agree; a side that is not known contradicts nothing."""
    return None in (asked, played) or asked == played


def _cannot(reason: str) -> FitResult:
    """Take a reason why a fit can't be graded."""
    if not reason:
        raise GradeError("Say why it can't be graded, such as “out of picture”.")
    return "cannot grade"


def _other_fit(name: str, right_fits: Sequence[str]) -> FitResult:
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
        raise GradeError(f"Say how “{fit}” was missed: {listed(known)}.")
    raise GradeError(f"“{name}” is no miss of “{fit}”; {nearest(name, list(known))}")
