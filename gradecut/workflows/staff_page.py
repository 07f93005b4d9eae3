"""The staff's page of a session: flagged reps with stills, counts, and what was unclear."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime
from os import PathLike
from pathlib import Path

from gradecut.book import Book
from gradecut.errors import BookError
from gradecut.grading import film_order, number_worn
from gradecut.outfile import check_goal
from gradecut.progress import CancelToken, Progress, silent
from gradecut.records import Clip, Flag, Grade, Player, RepLine, Rubric
from gradecut.reports import players_left_out, standings, wording
from gradecut.reports.barred import barred_words
from gradecut.reports.staff_page import FlaggedRep, StaffPeriod, Unclear
from gradecut.reports.staff_page import write_staff_page as write_page
from gradecut.workflows.blind import seen
from gradecut.workflows.booking import book_info, scheme_in_force
from gradecut.workflows.films import check_no_film_there
from gradecut.workflows.flagged import flagged_reps
from gradecut.workflows.lines import rep_lines
from gradecut.workflows.play_words import plays_told
from gradecut.workflows.rep_stills import RepStills
from gradecut.workflows.reporting import REPORT_ENDINGS, book_rubric
from gradecut.workflows.rule_words import look_line
from gradecut.workflows.unclear import unclear_on

__all__ = ["StaffPage", "write_staff_page"]

_NO_PERIOD = "No period named"
_RUN = ("concept", "run")


@dataclass(frozen=True, slots=True, kw_only=True)
class StaffPage:
    """What was written.

    Attributes
    ----------
    path : Path
    flagged, stills, unclear : int
        Flagged reps on it, how many of them have a still, and what is told as unclear.
    notes : tuple of str
        What could not be shown, one sentence each.
    """

    path: Path
    flagged: int
    stills: int
    unclear: int
    notes: tuple[str, ...] = ()


def write_staff_page(
    book: Book,
    path: str | PathLike[str],
    *,
    session_ids: Collection[str] | None = None,
    author: str | None = None,
    progress: Progress = silent,
    cancel: CancelToken | None = None,
) -> StaffPage:
    """Write the page for the staff's meeting as one HTML file; the book stays as it is.

    By period: the flagged reps, each with a still of the film where he is in or out of his
    fit, what he owed, did and why; the counts; what was unclear. It can be written at any
    moment: what is not graded yet is counted as that.

    Parameters
    ----------
    session_ids : collection of str or None
        Only these sessions; None: all.
    author : str or None
        Whose grades count; None: the newest anybody of the staff gave.

    Raises
    ------
    BookError
        When there is no rep to write of.
    OutputError
        When it can't be written there, or a film of the book lies there.
    Cancelled
        When asked to stop; nothing is left behind.
    """
    goal = check_goal(path, endings=REPORT_ENDINGS, what="the staff's page")
    check_no_film_there(book, goal)
    lines = sorted(rep_lines(book, session_ids=session_ids, author=author), key=film_order)
    if not lines:
        raise BookError(
            f"{book.path}: there are no reps to write of; add film with a script, or put players "
            "in on the plays."
        )
    flagged = flagged_reps(book, lines)
    rubric, scheme = book_rubric(book), scheme_in_force(book)
    reps: dict[str, FlaggedRep] = {}
    with RepStills(book, flagged) as stills:
        for number, line in enumerate(flagged, start=1):
            if cancel is not None:
                cancel.check("Writing the staff's page")
            progress(0.9 * number / len(flagged), f"Still {number} of {len(flagged)}")
            told = _told(line, rubric)
            taken = stills.take(line, told.who, cancel)
            reps[line.rep.id] = replace(
                told, miss=taken.miss, drawn=taken.drawn,
                no_still=f"{told.play}: no still, {taken.why_not}" if taken.why_not else "",
            )  # fmt: skip
    men = book.find(Player)
    periods = _periods(book, lines, reps, rubric, men)
    write_page(
        goal,
        periods,
        standings(lines, rubric, men)[-1],
        rubric=rubric,
        title=_title(lines),
        under=(
            book_info(book).name,
            _day_words(lines[0].session.day) if len(_sessions(lines)) == 1 else "",
            f"scheme {scheme.name} {scheme.version}".strip() if scheme else "no scheme",
            f"as graded by {datetime.now():%H:%M}",
        ),
        minors=barred_words(
            players_left_out(lines), "Under 18 without a guardian's consent on file"
        ),
    )
    progress(1.0, "The staff's page is written")
    return StaffPage(
        path=goal,
        flagged=len(reps),
        stills=sum(rep.miss is not None for rep in reps.values()),
        unclear=sum(len(period.unclear) for period in periods),
        notes=tuple(dict.fromkeys(rep.no_still for rep in reps.values() if rep.no_still)),
    )


# ---------------------------------------------------------------------- by period


def _periods(
    book: Book,
    lines: Sequence[RepLine],
    reps: Mapping[str, FlaggedRep],
    rubric: Rubric,
    men: Sequence[Player],
) -> tuple[StaffPeriod, ...]:
    """Sort reps by session and period, in the order they were run."""
    several = len(_sessions(lines)) > 1
    bare = _bare_flags(book, lines)
    found = []
    by_period: dict[tuple[str, str], list[RepLine]] = {}
    for line in lines:
        by_period.setdefault((line.session.id, line.clip.period), []).append(line)
    unclear = unclear_on(book, list(by_period.values()))
    for ((_, period), own), points in zip(by_period.items(), unclear, strict=True):
        clips = {line.clip.id: line.clip for line in own}
        name = period or _NO_PERIOD
        found.append(
            StaffPeriod(
                name=f"{own[0].session.name}: {name}" if several else name,
                plays=plays_told([clip.order for clip in clips.values()]),
                men=standings(own, rubric, men),
                flagged=tuple(reps[line.rep.id] for line in own if line.rep.id in reps),
                unclear=tuple(
                    Unclear(kind=one.kind, says=one.says, plays=plays_told(one.plays))
                    for one in points
                ),
                also=(*_events(own), *_also(bare.get((own[0].session.id, period), ()))),
            )
        )
    return tuple(found)


def _events(lines: Sequence[RepLine]) -> Iterator[str]:
    """Say what was counted beside the grades, with who and where: one sentence an event."""
    counted: dict[str, dict[str, list[int]]] = {}
    for line in lines:
        who = f"{line.rep.position} {number_worn(line.player, [line])}".strip()
        for name in line.events:
            counted.setdefault(name, {}).setdefault(who, []).append(line.clip.order)
    for name, men in counted.items():
        where = "; ".join(f"{who}, {plays_told(plays)}" for who, plays in men.items())
        yield f"{name[:1].upper()}{name[1:]}: {sum(map(len, men.values()))} ({where})."


def _bare_flags(book: Book, lines: Sequence[RepLine]) -> dict[tuple[str, str], list[int]]:
    """Return the flagged plays nobody is put in on, by session and period."""
    manned = {line.clip.id for line in lines}
    ids = {flag.clip_id for flag in seen(book, book.find(Flag))} - manned
    sessions = {line.session.id for line in lines}
    found: dict[tuple[str, str], list[int]] = {}
    for clip in book.find(Clip, id=list(ids)):
        if clip.session_id in sessions:
            found.setdefault((clip.session_id, clip.period), []).append(clip.order)
    return found


def _also(bare: Sequence[int]) -> tuple[str, ...]:
    if not bare:
        return ()
    return (f"Flagged too, with nobody put in: {plays_told(bare)}.",)


def _sessions(lines: Sequence[RepLine]) -> list[str]:
    return list(dict.fromkeys(line.session.id for line in lines))


def _title(lines: Sequence[RepLine]) -> str:
    names = list(dict.fromkeys(line.session.name for line in lines))
    return f"Staff meeting: {names[0] if len(names) == 1 else f'{len(names)} sessions'}"


def _day_words(day: str) -> str:
    """Write a date as it is said: "Tuesday 6 October 2026"."""
    try:
        told = date.fromisoformat(day)
    except ValueError:
        return day
    return f"{told:%A} {told.day} {told:%B} {told.year}"


# ---------------------------------------------------------------------- one flagged rep


def _told(line: RepLine, rubric: Rubric) -> FlaggedRep:
    """Put a rep into words."""
    grade, clip = line.grade, line.clip
    look = {key: value for key, value in line.look.items() if key not in _RUN}
    number = number_worn(line.player, [line])
    script = "" if clip.script_number in (None, clip.order) else f"script {clip.script_number}"
    return FlaggedRep(
        play=f"Play {clip.order}",
        under=" · ".join(part for part in (script, clip.call, clip.tempo) if part),
        who=f"{line.rep.position} {number}".strip(),
        name=line.player.name,
        run=wording.run_words(line.look) or clip.kind,
        look=look_line(look),
        owed=wording.owed_words(line),
        rule=wording.rule_words(line),
        did=_did(grade),
        result=grade.fit_result if grade else None,
        result_words=wording.result_words(grade),
        why=grade.cause if grade else "",
        note=grade.note if grade else "",
        more=tuple(_more(line, rubric)),
        heed=tuple(_heed(line)),
    )


def _did(grade: Grade | None) -> str:
    """Say what he did; empty where the result says it already."""
    if grade is None or grade.fit_result == "not graded" or grade.did == "as owed":
        return ""
    return wording.did_words(grade)


def _more(line: RepLine, rubric: Rubric) -> Iterator[str]:
    """Give what was judged beside the fit."""
    grade = line.grade
    if grade is not None and grade.technique:
        items = (f"{item} {points:g}" for item, points in grade.technique.items())
        yield f"{', '.join(items)} of {rubric.technique_top:g}"
    if grade is not None and grade.effort is not None:
        yield f"effort {grade.effort:g} of {rubric.effort_top:g}"
    if line.reaction is not None:
        yield f"first step {line.reaction.time_ms:.0f} ± {line.reaction.frame_ms:.0f} ms"
    if (lined_up := wording.lined_up_words(line.lined_up)) and lined_up != "right":
        yield f"lined up {lined_up}"
    if line.events:
        yield f"counted: {', '.join(line.events)}"


def _heed(line: RepLine) -> Iterator[str]:
    """Say what to know before a rep is shown or believed."""
    if line.stale:
        yield "Graded before the look, your word or the rules changed: grade it again."
    if not line.player.may_be_shared:
        known = line.player.age_told
        age = "Under 18 without consent on file" if known else "His age is not on the roster"
        yield f"{age}: not in the players' reel."
