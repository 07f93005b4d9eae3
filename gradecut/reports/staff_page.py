"""The page for the staff's meeting: by period, what was flagged, the counts, what is unclear."""

from __future__ import annotations

import base64
from collections.abc import Sequence
from dataclasses import dataclass
from os import PathLike

from gradecut.grading import lies_below
from gradecut.outfile import whole_file
from gradecut.records import FitResult
from gradecut.records.rubric import Rubric
from gradecut.reports import palette, wording
from gradecut.reports._pages import page_environment
from gradecut.reports.cautions import CAUTIONS
from gradecut.reports.men_standings import Standing
from gradecut.reports.type_face import font_data

__all__ = ["FlaggedRep", "StaffPeriod", "Still", "Unclear", "write_staff_page"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Still:
    """A picture of the film.

    Attributes
    ----------
    jpeg : bytes
    size_px : (width, height)
    says : str
        Which moment it is: "contact".
    place : str
        Frame, frames and seconds from the snap, and the film.
    """

    jpeg: bytes
    size_px: tuple[int, int]
    says: str
    place: str

    @property
    def data(self) -> str:
        """The picture as base64, for a page that needs no file beside it."""
        return base64.b64encode(self.jpeg).decode("ascii")


@dataclass(frozen=True, slots=True, kw_only=True)
class FlaggedRep:
    """One flagged rep, in words.

    Attributes
    ----------
    play, under : str
        The play, and what else it is known by.
    who, name : str
        As worn, "Keel 52"; and his name.
    run, look : str
        The run, and the rest of the look.
    owed, rule, did, why, note : str
        Empty where there is nothing to tell.
    result : FitResult or None
        None while he is not graded.
    more : tuple of str
        What was judged beside the fit.
    heed : tuple of str
        What to know before it is shown or believed, one sentence each.
    miss, drawn : Still or None
        Where he is in or out of his fit; and, where his marks are not seen there, where they are.
    no_still : str
        Why there is no picture.
    """

    play: str
    under: str
    who: str
    name: str
    run: str
    look: str
    owed: str
    rule: str
    did: str
    result: FitResult | None
    result_words: str
    why: str
    note: str
    more: tuple[str, ...]
    heed: tuple[str, ...]
    miss: Still | None = None
    drawn: Still | None = None
    no_still: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Unclear:
    """Something the rules, or those who looked, left unclear.

    Attributes
    ----------
    kind : str
        "no rule", "rules disagree", "still open" ...
    says : str
        One sentence.
    plays : str
        "plays 3 and 7".
    """

    kind: str
    says: str
    plays: str


@dataclass(frozen=True, slots=True, kw_only=True)
class StaffPeriod:
    """One period of a session.

    Attributes
    ----------
    name, plays : str
        "Inside run 1"; "plays 1 to 6".
    men : tuple of Standing
        Each man's counts, the group's last.
    flagged : tuple of FlaggedRep
    unclear : tuple of Unclear
    also : tuple of str
        What else is to be said of it, one sentence each.
    """

    name: str
    plays: str
    men: tuple[Standing, ...]
    flagged: tuple[FlaggedRep, ...]
    unclear: tuple[Unclear, ...]
    also: tuple[str, ...] = ()

    @property
    def together(self) -> tuple[tuple[FlaggedRep, ...], ...]:
        """The flagged reps, men of one play who are seen on the very same still side by side."""
        found: list[list[FlaggedRep]] = []
        for rep in self.flagged:
            last = found[-1][-1] if found else None
            if (
                last
                and rep.miss
                and (rep.play, rep.miss, rep.drawn) == (last.play, last.miss, None)
            ):
                found[-1].append(rep)
            else:
                found.append([rep])
        return tuple(tuple(reps) for reps in found)


def write_staff_page(
    path: str | PathLike[str],
    periods: Sequence[StaffPeriod],
    total: Standing,
    *,
    rubric: Rubric,
    title: str,
    under: Sequence[str] = (),
    minors: str = "",
) -> None:
    """Write the page as one HTML file that needs no network and prints on A4 and Letter.

    Parameters
    ----------
    total : Standing
        The group's counts over all periods.
    under : sequence of str
        Told below the title, side by side; empty ones are left out.
    minors : str
        Names the men on it whose film may not leave the staff, and says why.

    Raises
    ------
    OutputError
        When the file can't be written there.
    """
    text = (
        page_environment()
        .get_template("staff.html.j2")
        .render(
            font=font_data(),
            ink=palette.INK,
            quiet=palette.QUIET,
            hair=palette.HAIR,
            white=palette.PAPER,
            tint=palette.TINT,
            good=wording.percent(rubric.good),
            good_share=rubric.good,
            below=lambda part: lies_below(part, rubric.good),
            title=title,
            under=[told for told in under if told],
            minors=minors,
            periods=periods,
            total=total,
            shown=sum(len(period.flagged) for period in periods),
            unclear=sum(len(period.unclear) for period in periods),
            cautions=CAUTIONS,
        )
    )
    with whole_file(path) as draft:
        draft.write_text(text, encoding="utf-8")
