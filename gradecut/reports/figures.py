"""Small drawings inside a page: intervals, and what he owed against what he did."""

from __future__ import annotations

from markupsafe import Markup

from gradecut.grading import lies_below
from gradecut.records import FitResult, PartRate
from gradecut.reports.palette import ALERT, BLUE, HAIR, INK, QUIET
from gradecut.reports.wording import percent

__all__ = ["fit_figure", "interval_figure", "interval_words"]

WIDTH, HEIGHT, EDGE = 104, 16, 5


def interval_words(part: PartRate) -> str:
    """Tell a rate with its interval and count, for who reads and for who listens."""
    if part.rate is None:
        return "nothing graded"
    if part.low is None or part.high is None:
        return f"{percent(part.rate)} of {part.n}"
    return f"{percent(part.rate)} of {part.n}, may be {percent(part.low)} to {percent(part.high)}"


def interval_figure(part: PartRate, good: float) -> Markup:
    """Draw a rate as a disc on its interval, over a line from 0 to 100 %.

    The dotted tick is the line called good; an interval wholly below it is drawn in
    another hue and with a wedge at its right end, so that the hue is not all that tells it.
    """
    middle = HEIGHT / 2
    parts = [
        _line(0.0, 1.0, HAIR, 1),
        f'<path d="M{_x(good):.1f} 1V{HEIGHT - 1}" stroke="{QUIET}" stroke-width="1" '
        'stroke-dasharray="1.5 1.5"/>',
    ]
    if part.rate is not None:
        below = lies_below(part, good)
        hue = ALERT if below else BLUE
        if part.low is not None and part.high is not None:
            parts.append(_line(part.low, part.high, hue, 3))
        if below and part.high is not None:
            end = _x(part.high)
            parts.append(f'<path d="M{end - 3:.1f} 3.5h6l-3 4z" fill="{hue}"/>')
        parts.append(f'<circle cx="{_x(part.rate):.1f}" cy="{middle:g}" r="4" fill="{hue}"/>')
    return Markup(
        f'<svg class="interval" role="img" aria-label="{interval_words(part)}" width="{WIDTH}" '
        f'height="{HEIGHT}" viewBox="0 0 {WIDTH} {HEIGHT}">{"".join(parts)}</svg>'
    )


def fit_figure(result: FitResult | None, *, snug: bool = False) -> Markup:
    """Draw what he owed as a hollow ring, what he did as a solid disc, a miss as the line between.

    Parameters
    ----------
    result : FitResult or None
        None while he is not graded: the ring alone.
    snug : bool
        Leave no room to the right of what is drawn, as in a legend.
    """
    ring = f'<circle cx="9" cy="9" r="6.5" fill="none" stroke="{INK}" stroke-width="1.5"/>'
    dashed = ring.replace("/>", ' stroke-dasharray="2.5 2.2"/>')
    drawn = {
        "right": ring + _disc(9, BLUE),
        "half": ring + _between(15.5, 21) + _disc(24, ALERT),
        "wrong": ring + _between(15.5, 34) + _disc(37, ALERT),
        "cannot grade": dashed
        + f'<text x="9" y="12.6" text-anchor="middle" font-size="10" fill="{INK}">?</text>',
        "not graded": f'<circle cx="9" cy="9" r="1.5" fill="{QUIET}"/>',
        None: ring,
    }
    width = {"half": 29, "wrong": 42}.get(result or "", 18) if snug else 42
    return Markup(
        f'<svg class="fit" aria-hidden="true" width="{width}" height="18" '
        f'viewBox="0 0 {width} 18">{drawn[result]}</svg>'
    )


def _disc(x: float, hue: str) -> str:
    """Draw where he was."""
    return f'<circle cx="{x:g}" cy="9" r="3.8" fill="{hue}"/>'


def _between(start: float, stop: float) -> str:
    """Draw how far he was off."""
    return f'<path d="M{start:g} 9H{stop:g}" stroke="{ALERT}" stroke-width="1.5"/>'


def _x(share: float) -> float:
    """Place a share from 0 to 1 on the line."""
    return EDGE + share * (WIDTH - 2 * EDGE)


def _line(low: float, high: float, hue: str, width: float) -> str:
    """Draw a stretch of the line."""
    return (
        f'<path d="M{_x(low):.1f} {HEIGHT / 2:g}H{_x(high):.1f}" stroke="{hue}" '
        f'stroke-width="{width:g}" stroke-linecap="round"/>'
    )
