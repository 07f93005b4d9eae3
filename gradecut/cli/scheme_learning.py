"""The command that proposes rules from what the coach said on film: scheme learn."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from gradecut.cli.boundary import guarded, say, show_json, show_progress
from gradecut.cli.doors import AsJson, BookPath, Grader, opened
from gradecut.counting_words import counted

if TYPE_CHECKING:
    from gradecut.scheme import Scheme
    from gradecut.scheme.learning import Learned, Proposal

__all__ = ["learn"]


@guarded
def learn(
    book: BookPath,
    accept: Annotated[
        list[int] | None,
        typer.Option("--accept", help="A proposal to take, by its number; may be given again."),
    ] = None,
    accept_all: Annotated[bool, typer.Option("--accept-all", help="Take all of them.")] = False,
    out: Annotated[
        Path | None, typer.Option("--out", help="The new scheme file (.toml), for --accept.")
    ] = None,
    grader: Grader = "",
    as_json: AsJson = False,
) -> None:
    """Propose the shortest rules that give what you said each man owed; take those you accept.

    Example: gradecut scheme learn herons.gradecut --accept 1 --accept 2 --out learned.toml
    """
    from gradecut.errors import BookError, GradecutError
    from gradecut.workflows.booking import scheme_in_force
    from gradecut.workflows.learning import learn_from_book

    if (bool(accept) or accept_all) != (out is not None):
        raise typer.BadParameter("Say both: which proposals to --accept, and the file to --out.")
    with opened(book, grader) as opened_book, show_progress(quiet=as_json) as progress:
        scheme = scheme_in_force(opened_book)
        if scheme is None:
            raise BookError(
                f"{book}: there is no scheme in this book yet; rules need its facts, men and fits, "
                "so bring one in first, if only one without rules"
            )
        learned = learn_from_book(opened_book, scheme, progress=progress)
        plays = _plays(opened_book)
    chosen = _chosen(learned, accept or [], every=accept_all)
    if out is not None and chosen:
        _write(scheme, chosen, out)
    if as_json:
        show_json(_as_json(learned, plays))
    else:
        say(*_lines(learned, plays))
    if out is not None and not chosen:
        raise GradecutError(f"{out}: is not written, as there is nothing to accept.")
    if out is not None and not as_json:
        say(f"Written: {out}, with {counted(len(chosen), 'proposal')} in it.")


def _chosen(learned: Learned, numbers: list[int], *, every: bool) -> list[Proposal]:
    if every:
        return list(learned.proposals)
    most = len(learned.proposals)
    wrong = [number for number in numbers if not 1 <= number <= most]
    if wrong:
        there = f"they go from 1 to {most}" if most else "there is none"
        raise typer.BadParameter(f"There is no proposal {wrong[0]}; {there}.")
    return [learned.proposals[number - 1] for number in sorted(set(numbers))]


def _write(scheme: Scheme, chosen: list[Proposal], out: Path) -> None:
    from gradecut.outfile import check_goal, whole_file
    from gradecut.workflows.learning import accept

    goal = check_goal(out, endings=(".toml",), what="a scheme")
    text = scheme.text
    for proposal in chosen:
        text = accept(text, proposal)
    with whole_file(goal) as draft:
        draft.write_bytes(text.encode("utf-8"))


def _plays(book: Any) -> dict[str, str]:
    """Name every clip as the coach does: its session and the number of the play."""
    from gradecut.records import Clip, Session

    sessions = {session.id: session.name for session in book.find(Session)}
    alone = len(sessions) == 1
    return {
        clip.id: f"{clip.order}" if alone else f"{sessions.get(clip.session_id, '')} {clip.order}"
        for clip in book.find(Clip)
    }


def _lines(learned: Learned, plays: dict[str, str]) -> list[str]:
    from gradecut.scheme.editing import spell_condition

    lines = []
    for number, rule in enumerate(learned.proposals, 1):
        when = spell_condition(dict(rule.when))
        tier = f"{rule.tier} (new)" if rule.new_tier else rule.tier
        lines.append(f"{number}. {', '.join(rule.men)}: {when}: {rule.fit}, in tier {tier}")
        lines.append(f"   plays {_told(rule.clips, plays)}")
        if rule.against:
            lines.append(f"   a higher tier tells plays {_told(rule.against, plays)}")
    if not lines:
        lines.append("Nothing to propose: the rules give all you said, or nothing was said yet.")
    lines += [found.message for found in learned.contradictions]
    lines += [f"Play {plays.get(out.clip, out.clip)}: {out.message}." for out in learned.left_out]
    if learned.ask is not None:
        lines.append(learned.ask.message)
    return lines


def _told(clips: tuple[str, ...], plays: dict[str, str]) -> str:
    return ", ".join(plays.get(clip, clip) for clip in clips)


def _as_json(learned: Learned, plays: dict[str, str]) -> dict[str, object]:
    def named(clips: tuple[str, ...]) -> list[str]:
        return [plays.get(clip, clip) for clip in clips]

    return {
        "proposals": [
            {
                "number": number,
                "men": rule.men,
                "tier": rule.tier,
                "new_tier": rule.new_tier,
                "when": dict(rule.when),
                "fit": rule.fit,
                "plays": named(rule.clips),
                "against": named(rule.against),
            }
            for number, rule in enumerate(learned.proposals, 1)
        ],
        "contradictions": [
            {
                "position": found.position,
                "answers": {
                    fit: named(clips) for fit, clips in zip(found.fits, found.clips, strict=True)
                },
                "message": found.message,
            }
            for found in learned.contradictions
        ],
        "left_out": [
            {"position": out.position, "play": plays.get(out.clip, out.clip), "why": out.message}
            for out in learned.left_out
        ],
        "ask": None
        if learned.ask is None
        else {
            "position": learned.ask.position,
            "look": dict(learned.ask.look),
            "fits": learned.ask.fits,
            "message": learned.ask.message,
        },
    }
