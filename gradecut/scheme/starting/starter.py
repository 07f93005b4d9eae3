"""A scheme file made from answers: one with rules, and one that waits to learn them."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from gradecut.scheme.starting._answers import checked
from gradecut.scheme.starting._facts import ASSIGNED, facts_text, impossible_text
from gradecut.scheme.starting._fits import fits_text
from gradecut.scheme.starting._front import Front, front_of
from gradecut.scheme.starting._rules import drafted_rules
from gradecut.scheme.starting._toml import heading, table
from gradecut.scheme.starting.questions import QUESTIONS

__all__ = ["blank_scheme", "start_scheme"]

TIERS = ["base", "kick-out", "crossing", "option", "week"]
"""From lowest to highest; the last is free for a game plan."""

_PASS = {"concept": "pass"}


def start_scheme(answers: Mapping[str, str]) -> str:
    """Write a first scheme: every man has one answer on every look, every duty is met.

    Parameters
    ----------
    answers : mapping of str to str
        By question; what is left out has its default.

    Returns
    -------
    str
        A whole scheme file, with comments.

    Raises
    ------
    SchemeError
        On a question there is none, an answer there is none, or a name that can't be one.
    """
    full = checked(answers)
    front = front_of(full)
    parts = [
        *_ground(full, front, ["Every rule below is yours to change."]),
        heading("who fits where", "A later tier overrides an earlier one."),
        *_rules(full, front),
        heading("where the linebackers line up", "Depth in yards from the line of scrimmage."),
        *_alignments(front),
        heading("what must be, on every look"),
        *_duties(),
        *_end(),
    ]
    return "\n".join(parts)


def blank_scheme(answers: Mapping[str, str]) -> str:
    """Write the same facts, men and fits without a rule: for a coach who teaches it by grading.

    Parameters, Returns and Raises as in `start_scheme`.
    """
    full = checked(answers)
    remarks = ["It has no rules yet: say what each man owed, and rules are proposed."]
    return "\n".join([*_ground(full, front_of(full), remarks), *_end()])


def _ground(answers: Mapping[str, str], front: Front, remarks: list[str]) -> Iterator[str]:
    yield "\n".join(
        [f"# {answers['name']}", *(f"# {one}" for one in remarks), *_answered(answers, front)]
    )
    yield table(("scheme",), {"name": answers["name"], "version": "1", "tiers": TIERS})
    yield heading("what can be said of a look", "Left and right as the offence faces the line.")
    yield facts_text(answers)
    yield impossible_text()
    yield heading("the men", "Graded are the linebackers; the others are drawn around them.")
    yield from _men(front)
    yield heading("the fits, and how they go wrong", "On his own side unless the fit says so.")
    yield fits_text()


def _answered(answers: Mapping[str, str], front: Front) -> Iterator[str]:
    yield "#"
    yield "# It was made from these answers:"
    told = {"linebackers": ", ".join(name for name, _ in front.graded)}
    for question in QUESTIONS:
        if question.key != "name":
            said = answers[question.key]
            words = {choice.value: choice.words for choice in question.choices}
            yield f"#   {question.asks}"
            yield f"#     {told.get(question.key) or words[said]}."
    yield ""


def _men(front: Front) -> Iterator[str]:
    groups = [("linebackers", True, front.graded), ("front and secondary", False, front.others)]
    for group, graded, men in groups:
        for name, place in men:
            side: object = "none"
            if place is not None:
                side = {"same_as" if place == "strong" else "opposite_of": "strength"}
            entries = {"group": group, "side": side, "graded": None if graded else False}
            yield table(("positions", name), entries)


def _rules(answers: Mapping[str, str], front: Front) -> Iterator[str]:
    men = [name for name, _ in (*front.graded, *front.others)]
    for number, rule in enumerate(drafted_rules(front, answers), start=1):
        yield table(
            ("rules",),
            {
                "id": f"R{number:02}",
                "for": [rule.man],
                "tier": rule.tier,
                "when": rule.when,
                "fit": rule.fit,
                "cue": rule.cue,
            },
            listed=True,
        )
    # A man without a side and men with one share this rule: it names neither to nor away.
    entries = {"id": "P01", "for": men, "when": _PASS, "fit": "no run fit"}
    yield table(("rules",), entries, listed=True)


def _alignments(front: Front) -> Iterator[str]:
    edges = {flank.edge for flank in front.flanks}
    number = 0
    for name, _ in front.graded:
        places = _EDGE_PLACES if name in edges else _INSIDE_PLACES
        if name == front.middle:
            places = _MIDDLE_PLACES
        for when, depth_yd, landmark, eyes in places:
            number += 1
            entries = {
                "id": f"A{number:02}",
                "for": [name],
                "when": when,
                "depth_yd": depth_yd,
                "landmark": landmark,
                "side": "to",
                "tolerance_yd": 1,
                "eyes": eyes,
            }
            yield table(("alignments",), entries, listed=True)


_Places = tuple[tuple[Mapping[str, object] | None, float, str, str], ...]
_EDGE_PLACES: _Places = (
    ({"surface.to": 2}, 3, "outside the tackle", "tackle to back"),
    ({"surface.to": 3}, 1, "outside the tight end", "tight end to back"),
    ({"surface.to": 4}, 1, "outside the tight end", "wing to back"),
)
_INSIDE_PLACES: _Places = (
    ({"wing": "to"}, 5, "B", "guard to wing"),
    ({"wing": {"not": "to"}, "back": "to"}, 4.5, "B", "guard to back"),
    ({"wing": {"not": "to"}, "back": {"not": "to"}}, 4.5, "A", "guard to back"),
)
_MIDDLE_PLACES: _Places = ((None, 4.5, "over the centre", "centre to back"),)


def _duties() -> Iterator[str]:
    runs = {"not": ASSIGNED}
    for count, gaps in ((2, "ABC"), (3, "ABCD"), (4, "ABCDE")):
        yield table(
            ("duties",),
            {
                "name": f"every gap has an owner where the run goes, {count} attached",
                "each_side": True,
                "when": {"run": "to", "surface.to": count, "concept": runs},
                "gaps": list(gaps),
            },
            listed=True,
        )
    forced = {"name": "someone forces the run", "each_side": True}
    when = {"run": "to", "concept": runs}
    yield table(("duties",), {**forced, "when": when, "owned": "force"}, listed=True)
    zone = {"concept": ["inside zone", "outside zone"]}
    stays = {"name": "someone stays for the cutback", "when": zone, "owned": "cutback"}
    yield table(("duties",), stays, listed=True)
    for who, concepts in (("quarterback", ASSIGNED), ("dive", ["option"]), ("pitch", ["option"])):
        entries = {
            "name": f"one man has the {who}",
            "when": {"concept": concepts},
            "owned": who,
            "at_least": 1,
            "at_most": 1,
        }
        yield table(("duties",), entries, listed=True)


def _end() -> Iterator[str]:
    yield heading("how reps are graded")
    yield (
        table(
            ("rubric",),
            {
                "fit": {"right": 2, "half": 1, "wrong": 0},
                "technique": ["eyes", "footwork", "hands", "tackle"],
                "technique_scale": [0, 1, 2],
                "effort": [0, 1, 2],
                "causes": ["alignment", "eyes", "no call", "technique", "beaten", "did not know"],
                "events": ["missed tackle", "tackle", "loaf", "call owed", "call made"],
            },
        )
        + "good = 0.85\n"
    )
