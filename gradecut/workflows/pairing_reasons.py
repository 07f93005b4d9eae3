"""What speaks for a pairing and what against it, in sentences."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from statistics import median

from gradecut.workflows.aligning import Aligned, Shot, times_hold

__all__ = ["Rows", "listed", "reasons_of"]

Matched = Sequence[tuple[int, int]]

_TIMES_FIT_S = 6.0
_MOST_NAMED = 6
_TELLS = 1.0
"""A pairing less ahead of the next than this tells nothing (a ratio of 3 to 1)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Rows:
    """What was laid along each other, to tell of it.

    Attributes
    ----------
    named : mapping of int to int
        For places in ``films`` the place of the play their names tell of.
    """

    angle: str
    plays: Sequence[int]
    films: Sequence[Path]
    first: Sequence[Shot]
    second: Sequence[Shot]
    heard: Mapping[tuple[int, int], bool]
    named: Mapping[int, int]

    @property
    def in_order(self) -> Matched:
        """The pairs order alone would make."""
        return [(place, place) for place in range(min(len(self.first), len(self.second)))]


def reasons_of(aligned: Aligned, unnamed: Aligned, rows: Rows) -> list[str]:
    """Say what is proposed and what speaks for it, the proposal first.

    Parameters
    ----------
    aligned, unnamed : Aligned
        What is proposed, and what would be if films had no names.
    """
    matched = _matched(aligned)
    proofs = [
        _lengths_say(aligned, rows, matched),
        *_times_say(aligned, rows, matched),
        *_sounds_say(rows, matched),
        *_names_say(unnamed, rows, matched),
    ]
    # What speaks loudest for the proposal, against order alone, comes first.
    proof = [said for _, said in sorted(proofs, key=lambda one: -one[0])]
    left = _what_is_left(aligned, rows)
    if left and aligned.margin < _TELLS:
        left = (
            f"there are {len(rows.second)} {rows.angle} films for {len(rows.first)} plays, and "
            "nothing tells which has none of the other"
        )
    if left:
        proof[0] = f"{left}: {_lowered(proof[0])}"
    told = [f"{one[0].upper()}{one[1:]}." for one in proof]
    if abs(aligned.longer_s) >= 0.5:
        than = "longer" if aligned.longer_s > 0 else "shorter"
        told.append(
            f"The {rows.angle} films are about {abs(aligned.longer_s):.1f} s {than} throughout; "
            "that is allowed for."
        )
    told += _disagreement(aligned, unnamed, rows)
    if not aligned.certain:
        told.append("Another pairing fits nearly as well, so look at some of the pairs first.")
    return told


def _what_is_left(aligned: Aligned, rows: Rows) -> str:
    """Say which film seems to be missing, and which film shows no play."""
    missing = [
        str(rows.plays[one]) for one, two in aligned.pairs if two is None and one is not None
    ]
    extra = [rows.films[two].name for one, two in aligned.pairs if one is None and two is not None]
    told = []
    if len(missing) == 1:
        told.append(f"the {rows.angle} film of play {missing[0]} seems to be missing")
    elif missing:
        told.append(f"the {rows.angle} films of plays {listed(missing)} seem to be missing")
    if extra:
        seems = "seems" if len(extra) == 1 else "seem"
        told.append(f"{listed(extra)} {seems} to show none of the plays")
    return " and ".join(told)


def _lowered(said: str) -> str:
    return f"{said[0].lower()}{said[1:]}"


def listed(words: Sequence[str]) -> str:
    """Write words in a row: ``1, 5 and 6``."""
    if len(words) < 2:
        return "".join(words)
    return f"{', '.join(words[:-1])} and {words[-1]}"


def _lengths_say(aligned: Aligned, rows: Rows, matched: Matched) -> tuple[int, str]:
    fits = [
        _length_fits(aligned.near_s, rows, pairs, aligned.longer_s)
        for pairs in (matched, rows.in_order)
    ]
    said = f"Lengths fit for {fits[0]} of {len(matched)} pairs within {aligned.near_s:.1f} s"
    return _against_order(said, fits, rows, matched)


def _times_say(aligned: Aligned, rows: Rows, matched: Matched) -> list[tuple[int, str]]:
    if aligned.clock_s is None:
        timed = all(shot.at_s is not None for shot in (*rows.first, *rows.second))
        if timed and not (times_hold(rows.first) and times_hold(rows.second)):
            return [(-1, "The times of the files are those of copying and tell nothing")]
        return []
    fits = [_time_fits(aligned, rows, pairs) for pairs in (matched, rows.in_order)]
    said = f"The times they were filmed fit for {fits[0]} of {len(matched)} pairs"
    return [_against_order(said, fits, rows, matched)]


def _sounds_say(rows: Rows, matched: Matched) -> list[tuple[int, str]]:
    if not any(rows.heard.values()):
        return []
    fits = [_sound_fits(rows, pairs) for pairs in (matched, rows.in_order)]
    said = f"{fits[0]} of {len(matched)} pairs were heard to be one scene"
    return [_against_order(said, fits, rows, matched)]


def _names_say(unnamed: Aligned, rows: Rows, matched: Matched) -> list[tuple[int, str]]:
    """Say what the names say where the proposal follows most of them."""
    as_named = _as_named(rows)
    fits = [len(set(pairs) & set(as_named)) for pairs in (matched, rows.in_order)]
    if not rows.named or 2 * fits[0] <= len(as_named):
        return []
    film, play = rows.films[as_named[0][1]].name, rows.plays[as_named[0][0]]
    if len(as_named) == 1:
        said = f"The name of {film} says play {play}"
    elif fits[0] == len(as_named) <= _MOST_NAMED:
        said = f"Their names say plays {listed([str(rows.plays[one]) for one, _ in as_named])}"
    else:
        said = f"Names fit for {fits[0]} of {len(matched)} pairs ({film} says play {play})"
    # Where nothing else tells, names speak first.
    return [(fits[0] - fits[1] + (unnamed.margin < _TELLS), said)]


def _disagreement(aligned: Aligned, unnamed: Aligned, rows: Rows) -> list[str]:
    """Say where names speak against lengths, times or sound, and which of those it is."""
    as_named, otherwise = _as_named(rows), _matched(unnamed)
    if not as_named or otherwise == as_named:
        return []
    against = [
        word
        for word, pairs_fit in _measured(unnamed, rows)
        if _speaks_against(pairs_fit(as_named), pairs_fit(otherwise), len(as_named)) and otherwise
    ]
    if _matched(aligned) == as_named and not against:
        return []
    plays = {two: one for one, two in otherwise}
    row, column = next((pair for pair in as_named if plays.get(pair[1]) != pair[0]), as_named[0])
    other = plays.get(column)
    that = "none of the plays" if other is None else f"play {rows.plays[other]}"
    what = listed(against or ["lengths"])
    return [
        f"Names and {what} disagree: by its name {rows.films[column].name} shows play "
        f"{rows.plays[row]}, by {what} {that}; look at that one first."
    ]


def _speaks_against(named: int, otherwise: int, of: int) -> bool:
    """Tell whether so many more fit that it is not just chance picking the best."""
    return otherwise - named >= max(1, of // 3)


def _measured(aligned: Aligned, rows: Rows) -> list[tuple[str, Callable[[Matched], int]]]:
    """Return what was measured, each with a count of how many pairs fit by it."""
    kinds: list[tuple[str, Callable[[Matched], int]]] = [
        ("lengths", lambda pairs: _length_fits(aligned.near_s, rows, pairs))
    ]
    if aligned.clock_s is not None:
        kinds.append(("times", lambda pairs: _time_fits(aligned, rows, pairs)))
    if any(rows.heard.values()):
        kinds.append(("sound", lambda pairs: _sound_fits(rows, pairs)))
    return kinds


def _length_fits(near_s: float, rows: Rows, pairs: Matched, longer_s: float | None = None) -> int:
    """Count pairs whose lengths differ alike: by so much, or as these pairs do by and large."""
    more = [rows.second[two].length_s - rows.first[one].length_s for one, two in pairs]
    usual_s = median(more) if longer_s is None else longer_s
    return sum(abs(one - usual_s) <= near_s for one in more)


def _time_fits(aligned: Aligned, rows: Rows, pairs: Matched) -> int:
    ahead = [(rows.second[two].at_s or 0.0) - (rows.first[one].at_s or 0.0) for one, two in pairs]
    return sum(abs(one - (aligned.clock_s or 0.0)) <= _TIMES_FIT_S for one in ahead)


def _sound_fits(rows: Rows, pairs: Matched) -> int:
    return sum(rows.heard.get(pair, False) for pair in pairs)


def _matched(aligned: Aligned) -> list[tuple[int, int]]:
    return [(one, two) for one, two in aligned.pairs if one is not None and two is not None]


def _as_named(rows: Rows) -> list[tuple[int, int]]:
    return [(row, film) for film, row in rows.named.items()]


def _against_order(said: str, fits: Sequence[int], rows: Rows, matched: Matched) -> tuple[int, str]:
    """Add how many pairs order alone would fit; give how many more the proposal fits."""
    if matched == rows.in_order:
        return 0, said
    return fits[0] - fits[1], f"{said}, against {fits[1]} of {len(rows.in_order)} by order"
