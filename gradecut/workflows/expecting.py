"""What a man owed on a clip: by the scheme, or by the coach's word."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from functools import lru_cache
from typing import Literal

from gradecut.book import Book
from gradecut.errors import GradecutError, LookError
from gradecut.records import ClipKind, Expectation, LineUp, Owed, Rep, Side
from gradecut.scheme import FollowedSide, Scheme, Value
from gradecut.workflows.looks import read_by, sides_on

__all__ = [
    "also_sides",
    "expect_clip",
    "expect_rep",
    "fit_side",
    "owed_by_word",
    "run_side",
    "say_owed",
    "unsay_owed",
]

_SIDES: tuple[Side, ...] = ("left", "right")
NO_RUN: Mapping[str, str] = {
    "pass": "It was a pass: there was no run to fit.",
    "kick": "It was a kick: there was no run to fit.",
}
"""Kinds of play on which nobody owes a run fit, and what is said of them."""
NO_SCHEME = "There is no scheme in this book yet; say what he owed, or bring a scheme in."


def expect_rep(
    scheme: Scheme | None,
    rep: Rep,
    look: Mapping[str, Value],
    sides: Mapping[str, str],
    *,
    kind: ClipKind = "run",
) -> Expectation:
    """Return what the scheme asks of a man on a look; a look it refuses leaves it open.

    Facts and values the scheme does not know are passed over, see ``read_by``.

    Parameters
    ----------
    sides : mapping of position to side
        Of men who line up on either side, as told for this clip.
    kind : ClipKind
        Of the play; on a pass or a kick there is no run to fit, whatever the look.
    """
    if kind in NO_RUN:
        return Expectation(position=rep.position, graded=False, reason=NO_RUN[kind])
    if scheme is None:
        return Expectation(position=rep.position, reason=NO_SCHEME)
    return _expect(scheme, rep.position, tuple(sorted(look.items())), tuple(sorted(sides.items())))


def expect_clip(
    scheme: Scheme,
    look: Mapping[str, Value],
    reps: Sequence[Rep] = (),
    line_ups: Sequence[LineUp] = (),
) -> dict[str, Expectation]:
    """Return what the scheme asks of every man of the front on a look.

    Facts and values the scheme does not know are passed over, see ``read_by``.

    Raises
    ------
    LookError
        When the look can't be.
    """
    sides = sides_on(scheme, reps, line_ups)
    return {
        position: _asked(
            scheme, position, tuple(sorted(look.items())), tuple(sorted(sides.items()))
        )
        for position in scheme.positions
    }


def fit_side(
    scheme: Scheme, fit_name: str, look: Mapping[str, Value], own_side: Side | None
) -> Side | None:
    """Return the side of a fit a man played that he was not asked for; None where open."""
    fit = scheme.fits[fit_name]
    rule = fit.side if fit.side is not None else ("to" if fit.gap else None)
    if rule == "to":
        return own_side
    if rule == "away":
        return _other(own_side)
    return _followed(rule, look) if isinstance(rule, FollowedSide) else None


def also_sides(
    scheme: Scheme | None,
    expectation: Expectation,
    look: Mapping[str, Value],
    own_side: Side | None,
) -> dict[str, Side | None]:
    """Return the side of each fit that is right too; None where it has none or it is open."""
    if scheme is None:
        return {}
    return {name: fit_side(scheme, name, look, own_side) for name in expectation.also}


def run_side(look: Mapping[str, Value], own_side: Side | None) -> Literal["to", "away"] | None:
    """Say whether the run went to him or away; the fact that tells is called ``run``."""
    run = look.get("run")
    if own_side is None or run not in ("left", "right"):
        return None
    return "to" if run == own_side else "away"


def owed_by_word(owed: Iterable[Owed], author: str) -> Owed | None:
    """Choose the coach's word on a rep: the reader's own, else the newest."""
    said = sorted(owed, key=lambda one: (one.author == author, one.id))
    return said[-1] if said else None


def say_owed(book: Book, rep: Rep, fit: str, *, side: Side | None = None, reason: str = "") -> Owed:
    """Keep the coach's word on what a man owed, above the scheme's.

    Raises
    ------
    GradecutError
        When no fit is named.
    """
    if not fit.strip():
        raise GradecutError("Say which fit he owed.")
    old = book.find(Owed, rep_id=rep.id, author=book.author)
    said = Owed(rep_id=rep.id, fit=fit.strip(), side=side, reason=reason, author=book.author)
    with book.act(f"say that {rep.position} owed {said.fit}") as act:
        act.drop_all(old)
        act.put(said)
    return said


def unsay_owed(book: Book, rep: Rep) -> None:
    """Take the coach's own word back; the scheme's answer counts again."""
    with book.act(f"take back what {rep.position} owed") as act:
        act.drop_all(book.find(Owed, rep_id=rep.id, author=book.author))


def _expect(
    scheme: Scheme,
    position: str,
    look: tuple[tuple[str, Value], ...],
    sides: tuple[tuple[str, str], ...],
) -> Expectation:
    try:
        return _asked(scheme, position, look, sides)
    except LookError as error:
        return Expectation(position=position, reason=str(error))


@lru_cache(maxsize=32_768)
def _asked(
    scheme: Scheme,
    position: str,
    look: tuple[tuple[str, Value], ...],
    sides: tuple[tuple[str, str], ...],
) -> Expectation:
    return scheme.expect(position, read_by(scheme, dict(look)), dict(sides).get(position))


def _followed(rule: FollowedSide, look: Mapping[str, Value]) -> Side | None:
    points = look.get(rule.fact)
    for side in _SIDES:
        if points == side:
            return _other(side) if rule.opposite else side
    return None


def _other(side: Side | None) -> Side | None:
    if side is None:
        return None
    return "right" if side == "left" else "left"
