"""One self-contained page from a template: inline style and type, no network, all text escaped."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from functools import lru_cache
from os import PathLike
from typing import TYPE_CHECKING, Any

from gradecut.grading import lies_below
from gradecut.outfile import whole_file
from gradecut.records import RepLine
from gradecut.records.rubric import Rubric
from gradecut.reports import palette, wording
from gradecut.reports.cautions import CAUTIONS
from gradecut.reports.figures import fit_figure, interval_figure
from gradecut.reports.men_standings import MedianReaction
from gradecut.reports.reading import reading_notes
from gradecut.reports.type_face import font_data

if TYPE_CHECKING:
    from jinja2 import Environment

__all__ = ["PLAYER", "REPORT", "page_environment", "plays_of", "step_words", "write_page"]

PLAYER, REPORT = "player.html.j2", "report.html.j2"


def write_page(
    path: str | PathLike[str], template: str, rubric: Rubric, said: Mapping[str, Any]
) -> None:
    """Fill a template and write it, whole or not at all.

    Raises
    ------
    OutputError
        When the file can't be written there.
    """
    text = (
        page_environment()
        .get_template(template)
        .render(
            font=font_data(),
            ink=palette.INK,
            quiet=palette.QUIET,
            hair=palette.HAIR,
            white=palette.PAPER,
            good=wording.percent(rubric.good),
            good_share=rubric.good,
            below=lambda part: lies_below(part, rubric.good),
            notes=reading_notes(rubric, for_player=template == PLAYER),
            cautions=CAUTIONS,
            **said,
        )
    )
    with whole_file(path) as draft:
        draft.write_text(text, encoding="utf-8")


def step_words(reaction: MedianReaction | None) -> str:
    """Say what the middle of some reactions rests on."""
    if reaction is None:
        return ""
    frames = "" if reaction.frames is None else f"{reaction.frames:g} frames, "
    doubt = f"; {reaction.doubtful} doubtful" if reaction.doubtful else ""
    return f"{frames}middle of {reaction.n}{doubt}"


def plays_of(rep_ids: Iterable[str], lines: Sequence[RepLine], *, men: bool = False) -> str:
    """Name the plays of some reps: "play 3, play 7"; with their men, "play 3 Bow, play 3 Port"."""
    by_rep = {line.rep.id: line for line in lines}
    sessions = {line.session.id for line in lines}
    return ", ".join(
        wording.play_words(by_rep[key])
        + (f" {by_rep[key].rep.position}" if men else "")
        + (f" of {by_rep[key].session.name}" if len(sessions) > 1 else "")
        for key in rep_ids
    )


@lru_cache(maxsize=1)
def page_environment() -> Environment:
    """Return Jinja's environment: everything escaped, an unknown name refused."""
    from jinja2 import Environment, PackageLoader, StrictUndefined

    made = Environment(
        loader=PackageLoader("gradecut.reports"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    made.globals.update(
        lined_up_count=wording.lined_up_count,
        percent=wording.percent,
        interval=interval_figure,
        figure=fit_figure,
        step=step_words,
    )
    return made
