"""The list of fits a starter scheme begins with, whatever the answers: the coach's words.

Common practice, no source; staffs differ in every word of it.
"""

from __future__ import annotations

from gradecut.scheme.starting._toml import table

__all__ = ["fits_text"]

_RUN = {"same_as": "run"}
_MISSES: dict[str, tuple[tuple[str, bool], ...]] = {
    "fill": (("ran past it", False), ("caught it at depth", True), ("wrong shoulder", True)),
    "hang": (("chased flat", False), ("too fast, bend-back open", False)),
    "follow": (("ahead of the ball", False), ("too deep", True)),
    "scrape": (("went under the block", False), ("overran it", False), ("too deep", True)),
    "force": (("lost the edge", False), ("too wide, alley open", True), ("ducked inside", False)),
    "box": (("let it bounce", False), ("ducked under", False), ("soft at the block", True)),
    "spill": (("wrong shoulder", False), ("ran around it", False), ("no bounce", True)),
    "overlap": (("inside the spill", False), ("late over the top", True)),
    "squeeze": (("got reached", False), ("ran upfield", False)),
    "cutback": (("overran the bend-back", False), ("left too early", False)),
    "alley": (("outside the force", False), ("late", True)),
    "last man": (("came up too early", False), ("bad angle", True)),
    "dive": (("went for the quarterback", False), ("late", True)),
    "quarterback": (("took the back", False), ("stood still", True)),
    "pitch": (("came inside", False), ("late", True)),
    "hold": (("got reached", False), ("got driven back", False)),
}
# name: job, gap, side, landmark, owns
_Fit = tuple[str, str | None, object, str | None, tuple[str, ...]]


def _palette() -> dict[str, _Fit]:
    fits: dict[str, _Fit] = {}
    for gap in "ABC":
        fits[f"fill {gap}"] = ("fill", gap, _RUN, None, ())
    for gap in "AB":
        fits[f"hang {gap}"] = ("hang", gap, _RUN, None, ("cutback",))
    fits["hang at home"] = ("hang", "A", "to", "his own A gap, behind the ball", ("cutback",))
    fits["follow"] = ("follow", None, None, "inside out, one gap behind the ball", ())
    fits["scrape C"] = ("scrape", "C", _RUN, None, ())
    for gap in "CD":
        fits[f"force {gap}"] = ("force", gap, "to", None, ("force",))
        fits[f"box {gap}"] = ("box", gap, "to", "outside half of the block", ("force",))
        fits[f"spill {gap}"] = ("spill", gap, "to", "inside half of the block", ())
    fits["force E"] = ("force", "E", "to", "outside the fourth blocker", ("force",))
    for gap in "CDE":
        fits[f"overlap {gap}"] = ("overlap", gap, "to", "next man outside the spill", ("force",))
    fits["squeeze C"] = ("squeeze", "C", "to", None, ())
    fits["cutback C"] = ("cutback", "C", "to", None, ("cutback",))
    fits["cutback deep"] = ("cutback", None, None, "behind the ball, from depth", ("cutback",))
    fits["box the crosser"] = ("box", "C", "to", "outside half of the crosser", ("cutback",))
    fits["spill the crosser"] = ("spill", "C", "to", "inside half of the crosser", ("cutback",))
    fits["overlap the crosser"] = ("overlap", "D", "to", "next man outside the spill", ())
    fits["alley"] = ("alley", None, None, "between the force and the next man", ())
    fits["last man"] = ("last man", None, None, "deep, over the ball", ())
    for man in ("dive", "quarterback", "pitch"):
        fits[man] = (man, None, None, None, (man,))
    for gap in "ABC":
        fits[f"hold {gap}"] = ("hold", gap, "to", None, ())
    fits["hold A, run side"] = ("hold", "A", _RUN, None, ())
    return fits


def fits_text() -> str:
    """Write every fit, with how it goes wrong."""
    parts = [_written(name, fit) for name, fit in _palette().items()]
    parts.append(table(("fits", "no run fit"), {"job": "pass", "graded": False}))
    return "\n".join(parts)


def _written(name: str, fit: _Fit) -> str:
    job, gap, side, landmark, owns = fit
    misses = [
        {"name": miss, "credit": "half"} if half else {"name": miss} for miss, half in _MISSES[job]
    ]
    return table(
        ("fits", name),
        {
            "job": job,
            "gap": gap,
            "side": side,
            "landmark": landmark,
            "owns": list(owns) or None,
            "misses": misses,
        },
    )
