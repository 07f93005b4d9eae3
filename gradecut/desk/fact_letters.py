"""A letter for each fact of a look: Shift and the letter turn it over."""

from __future__ import annotations

import unicodedata
from collections.abc import Iterator
from functools import lru_cache
from types import MappingProxyType
from typing import TYPE_CHECKING

from gradecut.scheme import Scheme

if TYPE_CHECKING:
    from collections.abc import Mapping

__all__ = ["fact_letters", "reference_of"]

_ALPHABET = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"


@lru_cache(maxsize=16)
def fact_letters(scheme: Scheme) -> Mapping[str, str]:
    """Give each fact its letter, the same on every play of a scheme.

    A fact has the first letter of its name where that is free, else the next one of its name,
    else the first that is free of all. A fact that is asked of each side has the letter of the
    side, left or right, before those of its name. Facts of the whole look choose first, each
    in file order, so that one added at the end of a file takes no letter from those before it.

    Parameters
    ----------
    scheme : Scheme

    Returns
    -------
    mapping of reference to str
        Capital letters, A to Z, in the order of the scheme's references; more than 26 facts
        leave the last ones without.
    """
    whole = [one for one in scheme.references if not _of_a_side(scheme, one)]
    sides = [one for one in scheme.references if _of_a_side(scheme, one)]
    given: dict[str, str] = {}
    for reference in (*whole, *sides):
        taken = set(given.values())
        free = next((one for one in _wished(scheme, reference) if one not in taken), None)
        if free is not None:
            given[reference] = free
    return MappingProxyType({one: given[one] for one in scheme.references if one in given})


def reference_of(scheme: Scheme, letter: str) -> str | None:
    """Return the reference that has a letter, in whichever case; None where none has."""
    wanted = letter.upper()
    return next((one for one, has in fact_letters(scheme).items() if has == wanted), None)


def _of_a_side(scheme: Scheme, reference: str) -> bool:
    return scheme.fact_of(reference).per_side


def _wished(scheme: Scheme, reference: str) -> Iterator[str]:
    """Go through the letters a reference would have, the most telling first."""
    name, _, side = reference.rpartition(".")
    told = f"{side} {name}" if _of_a_side(scheme, reference) else reference.rpartition(".")[2]
    words = _plain(told)
    for word in words:
        yield word[0]
    for word in words:
        yield from word[1:]
    yield from _ALPHABET


def _plain(told: str) -> list[str]:
    """Write words in capitals of A to Z: signs and strokes above letters fall away."""
    bare = unicodedata.normalize("NFKD", told).upper()
    letters = [one for one in bare if not unicodedata.combining(one)]
    return "".join(one if one in _ALPHABET else " " for one in letters).split()
