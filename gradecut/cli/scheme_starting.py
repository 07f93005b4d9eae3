"""The command that makes a first scheme from answers: scheme start."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from gradecut.cli.boundary import graded_words, guarded, say, show_json
from gradecut.cli.doors import AsJson
from gradecut.counting_words import counted, counted_men

__all__ = ["start"]


@guarded
def start(
    out: Annotated[
        Path | None, typer.Option("--out", help="The scheme file to make; it must not be there.")
    ] = None,
    answer: Annotated[
        list[str] | None,
        typer.Option("--answer", metavar="KEY=VALUE", help="An answer; as often as needed."),
    ] = None,
    questions: Annotated[
        bool, typer.Option("--questions", help="List the questions and make nothing.")
    ] = False,
    blank: Annotated[
        bool, typer.Option("--blank", help="Facts, men and fits only: rules are learned later.")
    ] = False,
    as_json: AsJson = False,
) -> None:
    """Make a first scheme from about a dozen questions on your front.

    Example: gradecut scheme start --out mine.toml --answer front=three --answer kick_out=box
    """
    if questions:
        _list_questions(as_json=as_json)
        return
    if out is None:
        raise typer.BadParameter("name the file to make with --out, or ask with --questions")
    from gradecut.errors import OutputError
    from gradecut.outfile import check_goal, whole_file
    from gradecut.scheme import parse_scheme
    from gradecut.scheme.starting import blank_scheme, start_scheme

    answers = _read_answers(answer or [])
    goal = check_goal(out, endings=(".toml",), what="a scheme")
    if goal.exists():
        raise OutputError(goal, "is there already and stays as it is; name another file.")
    text = (blank_scheme if blank else start_scheme)(answers)
    scheme = parse_scheme(text, str(goal))
    with whole_file(goal) as draft:
        draft.write_bytes(text.encode("utf-8"))
    graded = [man.name for man in scheme.positions.values() if man.graded]
    if as_json:
        made = {"file": str(goal), "name": scheme.name, "rules": len(scheme.rules)}
        show_json({**made, "graded": graded, "sound": bool(scheme.rules and scheme.audit())})
        return
    say(
        f"{goal}: {scheme.name} has {counted(len(scheme.rules), 'rule')} for "
        f"{counted_men(len(scheme.positions))}; {graded_words(graded)}."
    )


def _read_answers(given: list[str]) -> dict[str, str]:
    answers: dict[str, str] = {}
    for one in given:
        key, stands, value = one.partition("=")
        if not stands:
            raise typer.BadParameter(f"“{one}” is no answer; write KEY=VALUE, as in front=three")
        if key.strip() in answers:
            raise typer.BadParameter(f"“{key.strip()}” is answered twice; answer it once")
        answers[key.strip()] = value.strip()
    return answers


def _list_questions(*, as_json: bool) -> None:
    from gradecut.scheme.starting import QUESTIONS

    if as_json:
        show_json(
            [
                {
                    "key": question.key,
                    "asks": question.asks,
                    "choices": {choice.value: choice.words for choice in question.choices},
                    "default": question.default,
                    "why": question.why,
                }
                for question in QUESTIONS
            ]
        )
        return
    for question in QUESTIONS:
        say(f"{question.key}: {question.asks} ({question.why})")
        if not question.choices:
            say(f"    {question.default or 'left empty'} *")
        for choice in question.choices:
            star = " *" if choice.value == question.default else ""
            say(f"    {choice.value}: {choice.words}{star}")
    say("* is taken where you give no answer.")
