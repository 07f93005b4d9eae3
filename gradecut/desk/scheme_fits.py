"""Which of his fits go with what the coach typed, in the order he is likely to want them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from gradecut.scheme import Fit, Scheme

__all__ = ["FitChoice", "fit_choices"]


@dataclass(frozen=True, slots=True, kw_only=True)
class FitChoice:
    """One fit to choose.

    Attributes
    ----------
    told : str
        Where it is, and what it owns: "A gap · cutback".
    used : bool
        It was chosen since the window opened, or this man has it already.
    """

    name: str
    told: str
    used: bool


def fit_choices(scheme: Scheme, typed: str, used: Sequence[str], man: str = "") -> list[FitChoice]:
    """List the fits that go with some letters.

    Those used last come first, then those the man has already, then the rest in file order.
    Letters go with a fit that begins with them, with the first letters of its words ("fa" for
    "fill A"), or with one that holds them.
    """
    his = {rule.fit for rule in scheme.rules if man in rule.men}
    found = []
    for place, fit in enumerate(scheme.fits.values()):
        match = _match(typed.casefold().strip(), fit.name.casefold())
        if match is None:
            continue
        last = used.index(fit.name) if fit.name in used else len(used)
        choice = FitChoice(name=fit.name, told=_told(fit), used=fit.name in used or fit.name in his)
        found.append((match, last, fit.name not in his, place, choice))
    return [one[-1] for one in sorted(found, key=lambda one: one[:-1])]


def _match(typed: str, name: str) -> int | None:
    """Return how well letters go with a name, 0 the best; None where they do not."""
    if name.startswith(typed):
        return 0
    if "".join(word[0] for word in name.split()).startswith(typed.replace(" ", "")):
        return 1
    words = typed.split()
    if words and all(any(part.startswith(one) for part in name.split()) for one in words):
        return 1
    return 2 if typed in name else None


def _told(fit: Fit) -> str:
    parts = [f"{fit.gap} gap" if fit.gap else "", fit.landmark or "", ", ".join(fit.owns)]
    if not fit.graded:
        parts.append("nothing to grade")
    return " · ".join(part for part in parts if part)
