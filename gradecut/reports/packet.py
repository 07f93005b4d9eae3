"""The packet: what a player gets to grade himself before he sees the coach's grade."""

from __future__ import annotations

import base64
import hashlib
import json
from collections.abc import Mapping, Sequence
from fractions import Fraction
from functools import lru_cache
from importlib.resources import files
from os import PathLike
from typing import Any
from urllib.parse import quote

from markupsafe import Markup

from gradecut.drawing import LIGHT, look_shapes, to_svg
from gradecut.drawing import look_words as picture_words
from gradecut.grading import film_order, number_worn
from gradecut.outfile import whole_file
from gradecut.records import RepLine
from gradecut.records.picture import LookPicture
from gradecut.records.rubric import Rubric
from gradecut.reports import palette, wording
from gradecut.reports._pages import page_environment
from gradecut.reports.cautions import CAUTIONS
from gradecut.reports.type_face import font_data

__all__ = ["ANSWER_COLUMNS", "SAID_OWED", "write_packet"]

SAID_OWED = "says_owed"
"""The fit a player says he owed: never the column ``owed``, which is the coach's word."""
ANSWER_COLUMNS = (
    "session",
    "play",
    "position",
    "player",
    SAID_OWED,
    "did",
    "cause",
    "cannot_grade",
    "note",
)
"""What the page saves, in this order."""

_PICTURE_PX = (400, 220)
_DIDS = (
    ("right", "My job"),
    ("fit", "Another fit"),
    ("miss", "I missed it"),
    ("cannot", "I can’t tell"),
)


def write_packet(
    path: str | PathLike[str],
    lines: Sequence[RepLine],
    *,
    chapters: Mapping[str, Fraction],
    film: str | bytes | None,
    fits: Mapping[str, Sequence[str]],
    misses: Mapping[str, Sequence[str]],
    pictures: Mapping[str, LookPicture] | None = None,
    rubric: Rubric,
    title: str = "Grade yourself first",
    subtitle: str = "",
) -> None:
    """Write one player's packet as one HTML file that needs no network.

    It shows each rep's look and asks what he owed and what he did; his answers are saved as
    a CSV file. Nothing of what anybody else said of him is on it: no grade, no expected
    fit, no note, no event, no flag; and no other player's name.

    Parameters
    ----------
    lines : sequence of RepLine
        All of one player; at least one.
    chapters : mapping of rep id to Fraction
        Where each rep starts in the film, in seconds; a rep without film is left out.
    film : str, bytes or None
        The name of an mp4 file beside the page, or the bytes of one to put inside it, for
        phones; None: no film.
    fits : mapping of position to sequence of str
        The fits a man there may be asked for.
    misses : mapping of fit to sequence of str
        How each fit goes wrong; every fit of the scheme is a key.
    pictures : mapping of rep id to LookPicture, or None
        The look without any man's fit.
    rubric : Rubric
        Its causes are what he may say why.
    title, subtitle : str
        The page's head; his name and number stand before the subtitle.

    Raises
    ------
    ValueError
        When the lines are of no player or of several, or a picture tells a fit.
    OutputError
        When the file can't be written there.
    """
    if len({line.player.id for line in lines}) != 1:
        raise ValueError("A packet is made from the reps of one player.")
    drawn = dict(pictures or {})
    if any(picture.men for picture in drawn.values()):
        raise ValueError("A packet's pictures show no man, so that they tell no fit.")
    ordered = sorted(lines, key=film_order)
    player = ordered[0].player
    worn = f"{player.position or ordered[0].rep.position} {number_worn(player, ordered)}".strip()
    several = len({line.session.id for line in ordered}) > 1
    reps = [
        _rep(line, chapters, fits, misses, drawn.get(line.rep.id), several=several)
        for line in ordered
    ]
    beside = isinstance(film, str)
    text = (
        page_environment()
        .get_template("packet.html.j2")
        .render(
            font=font_data(),
            ink=palette.INK,
            quiet=palette.QUIET,
            hair=palette.HAIR,
            white=palette.PAPER,
            blue=palette.BLUE,
            media="'self' file:" if beside else "data:",
            script=Markup(_script()),
            script_hash=_hash(_script()),
            player=player.name,
            title=title,
            subtitle=" · ".join(part for part in (player.name, worn, subtitle) if part),
            told=json.dumps(_told(ordered, reps, misses), ensure_ascii=False),
            film=_source(film),
            film_beside=beside,
            reps=reps,
            dids=_DIDS,
            causes=rubric.causes,
            cautions=CAUTIONS,
        )
    )
    with whole_file(path) as draft:
        draft.write_text(text, encoding="utf-8")


def _rep(
    line: RepLine,
    chapters: Mapping[str, Fraction],
    fits: Mapping[str, Sequence[str]],
    misses: Mapping[str, Sequence[str]],
    picture: LookPicture | None,
    *,
    several: bool,
) -> dict[str, Any]:
    """Lay one rep out: the look, and what he may answer."""
    own = tuple(fits.get(line.rep.position, ()))
    start = chapters.get(line.rep.id)
    return {
        "id": line.rep.id,
        "play": line.clip.order,
        "label": f"Play {line.clip.order}" + (f" of {line.session.name}" if several else ""),
        "session": line.session.name,
        "position": line.rep.position,
        "where": " · ".join(part for part in (line.rep.position, line.clip.period) if part),
        "start": None if start is None else float(start),
        "look": wording.look_words(line.look) or "Nothing of the look is told yet.",
        "run": f"The run: {run}." if (run := wording.run_words(line.look)) else "",
        "picture": Markup(_svg(picture)) if picture else "",
        "fits": own,
        "others": tuple(fit for fit in misses if fit not in own),
    }


def _told(
    ordered: Sequence[RepLine], reps: Sequence[Mapping[str, Any]], misses: Mapping[str, Any]
) -> dict[str, Any]:
    """Gather what the page's script works with."""
    name = ordered[0].player.name
    return {
        "player": name,
        "columns": ANSWER_COLUMNS,
        "file": f"{_file_name(name)}-answers.csv",
        "key": f"packet {_digest([line.rep.id for line in ordered])}",
        "misses": {fit: list(names) for fit, names in misses.items()},
        "reps": [
            {
                "session": rep["session"],
                "play": str(rep["play"]),
                "position": rep["position"],
                "label": rep["label"],
                "start": rep["start"],
            }
            for rep in reps
        ],
    }


def _svg(picture: LookPicture) -> str:
    """Draw a look for the page; ``to_svg`` escapes every word in it."""
    shapes = look_shapes(picture, size_px=_PICTURE_PX, palette=LIGHT).shapes
    return to_svg(shapes, _PICTURE_PX, picture_words(picture))


@lru_cache(maxsize=1)
def _script() -> str:
    """Return the page's script."""
    return (files("gradecut.reports") / "templates" / "packet.js").read_text(encoding="utf-8")


def _hash(script: str) -> str:
    """Return what a Content-Security-Policy knows a script by."""
    return base64.b64encode(hashlib.sha256(script.encode()).digest()).decode("ascii")


def _source(film: str | bytes | None) -> str:
    """Say where the page finds its film: beside it, or in itself."""
    if isinstance(film, bytes):
        return f"data:video/mp4;base64,{base64.b64encode(film).decode('ascii')}"
    return quote(film) if film else ""


def _digest(parts: Sequence[str]) -> str:
    return hashlib.blake2b("\n".join(parts).encode(), digest_size=8).hexdigest()


def _file_name(name: str) -> str:
    kept = "".join(letter.lower() if letter.isalnum() else "-" for letter in name)
    return "-".join(part for part in kept.split("-") if part) or "my"
