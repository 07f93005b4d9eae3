"""How far a rate can be trusted."""

from __future__ import annotations

import math
from statistics import NormalDist

__all__ = ["wilson_interval"]


def wilson_interval(successes: float, n: int, confidence: float = 0.95) -> tuple[float, float]:
    """Return the Wilson score interval of a rate, without continuity correction.

    Parameters
    ----------
    successes : float
        From 0 to ``n``. A half point counts half; the interval is then on the wide side,
        because points that are not all or nothing scatter less.
    n : int
        Judgements. With none, nothing is known and the answer is (0, 1).
    confidence : float
        Between 0 and 1.

    Returns
    -------
    low, high : float
        Shares from 0 to 1, around ``successes / n``.

    Raises
    ------
    ValueError
        When ``successes`` lies outside 0 to ``n``, or ``confidence`` outside 0 to 1.

    Notes
    -----
    E. B. Wilson 1927, J. Am. Stat. Assoc. 22:209-212; R. G. Newcombe 1998, Statistics in
    Medicine 17:857-872, method 3. It treats judgements as independent; reps of one man in
    one practice are not quite, so it is optimistic.

    Examples
    --------
    >>> low, high = wilson_interval(8, 10)
    >>> round(low, 3), round(high, 3)
    (0.49, 0.943)
    """
    if not 0 <= successes <= n:
        raise ValueError(f"{successes:g} right out of {n} can't be; it lies between 0 and {n}.")
    if not 0 < confidence < 1:
        raise ValueError(f"A confidence lies between 0 and 1, not at {confidence:g}.")
    if n == 0:
        return (0.0, 1.0)
    z = NormalDist().inv_cdf((1 + confidence) / 2)
    rate = successes / n
    spread = 1 + z * z / n
    centre = (rate + z * z / (2 * n)) / spread
    reach = z * math.sqrt(rate * (1 - rate) / n + z * z / (4 * n * n)) / spread
    # At the ends the closed form is exactly 0, the rate or 1; rounding must not cross them.
    low = 0.0 if successes == 0 else min(max(centre - reach, 0.0), rate)
    high = 1.0 if successes == n else max(min(centre + reach, 1.0), rate)
    return (low, high)
