"""A rep in the words a coach and a player read."""

from __future__ import annotations

from collections.abc import Mapping

from gradecut.records import BoardCell, FitResult, Grade, LinedUp, PartRate, RepLine, Side
from gradecut.scheme import fact_words

__all__ = [
    "RESULT_SIGNS",
    "did_words",
    "fault_sentence",
    "how_many",
    "lined_up_count",
    "lined_up_words",
    "look_words",
    "owed_words",
    "percent",
    "play_words",
    "result_words",
    "rule_words",
    "run_words",
    "with_side",
]

RUN_FACTS = ("concept", "run")
"""The facts that name a run and where it went."""

RESULT_SIGNS: Mapping[FitResult, str] = {
    "right": "✓",
    "half": "½",
    "wrong": "✗",
    "cannot grade": "?",
    "not graded": "·",
}
"""A sign beside each word, so that nothing rests on colour."""

_RESULTS: Mapping[FitResult, str] = {
    "right": "right",
    "half": "half",
    "wrong": "wrong",
    "cannot grade": "can't grade",
    "not graded": "no run job",
}


def percent(share: float | None) -> str:
    """Write a share from 0 to 1 in whole per cent; a dash where there is none."""
    return "—" if share is None else f"{100 * share:.0f}\N{NO-BREAK SPACE}%"


def with_side(name: str, side: Side | None) -> str:
    """Write a fit with its side, where it has one."""
    return f"{name}, {side}" if side else name


def play_words(line: RepLine) -> str:
    """Name a play as the coach says it: "play 7", with the script's number where it differs."""
    script = line.clip.script_number
    told = f"play {line.clip.order}"
    return told if script in (None, line.clip.order) else f"{told} (script {script})"


def run_words(look: Mapping[str, str | int | bool]) -> str:
    """Name the run and its side, as far as the look says: "power right"."""
    return " ".join(str(look[name]) for name in RUN_FACTS if name in look)


def look_words(look: Mapping[str, str | int | bool]) -> str:
    """Write what the offence showed besides the run, fact by fact."""
    return "; ".join(
        _fact(fact_words(name), value) for name, value in look.items() if name not in RUN_FACTS
    )


def _fact(name: str, value: str | int | bool) -> str:
    """Write one fact."""
    if isinstance(value, bool):
        return name if value else f"no {name}"
    return f"{name} {value}"


def owed_words(line: RepLine) -> str:
    """Say what he owed: as it was graded where it was, else by today's scheme."""
    grade = line.grade
    fit = grade.expected_fit if grade else line.expected_fit
    side = grade.expected_side if grade else line.expected_side
    return with_side(fit, side) if fit else "not settled"


def rule_words(line: RepLine) -> str:
    """Say whose word that is: the scheme's rule, or the coach's own."""
    if line.grade and line.grade.owed_by == "coach":
        return "coach's word"
    return (line.grade.expected_rule if line.grade else line.expected_rule) or ""


def did_words(grade: Grade | None) -> str:
    """Say what he did."""
    if grade is None:
        return "not graded yet"
    if grade.fit_result == "not graded":
        return "no run job on this look"
    if grade.did == "as owed":
        return "did it"
    if grade.did == "fit":
        return f"played {with_side(grade.did_name, grade.did_side)}"
    if grade.did == "miss":
        return grade.did_name or "missed it"
    return f"can't tell: {grade.cannot.get('fit', grade.did_name)}"


def result_words(grade: Grade | None) -> str:
    """Write how the fit came out, with its sign."""
    if grade is None:
        return "not graded yet"
    return f"{RESULT_SIGNS[grade.fit_result]} {_RESULTS[grade.fit_result]}"


def lined_up_words(said: LinedUp | None) -> str:
    """Say how he lined up: "right", "too deep, too wide", "can't tell"; empty while open."""
    if said is None:
        return ""
    return {"right": "right", "cannot grade": "can't tell"}.get(
        said.verdict, ", ".join(said.off) or "off"
    )


def lined_up_count(part: PartRate) -> str:
    """Count how often a man lined up right: "7 of 9"; empty where nobody judged it."""
    return "" if part.rate is None else f"{round(part.rate * part.n)} of {part.n}"


def fault_sentence(line: RepLine) -> str:
    """Say one fault in one sentence; empty where there is none to tell."""
    grade = line.grade
    if grade is None or not grade.missed:
        return ""
    owed = owed_words(line)
    if grade.did == "fit":
        told = f"You owed {owed} and played {with_side(grade.did_name, grade.did_side)}"
    elif grade.did_name:
        told = f"You owed {owed}: {grade.did_name}"
    else:
        told = f"You owed {owed} and missed it"
    return f"{told} ({grade.cause})." if grade.cause else f"{told}."


def how_many(cell: BoardCell) -> str:
    """Count those looked at closely and those graded at speed apart."""
    return f"{cell.examined} looked at closely, {cell.passed} at speed"
