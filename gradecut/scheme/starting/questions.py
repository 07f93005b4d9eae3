"""What a coach is asked about his front before he has a scheme.

The jobs offered are facts of the trade: common practice, no source. Staffs differ, and each
rule that comes of an answer is there to be changed.
"""

from __future__ import annotations

from dataclasses import dataclass

__all__ = ["QUESTIONS", "Choice", "StartQuestion"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Choice:
    """One answer that may be given.

    Attributes
    ----------
    value : str
        What the answer is called in `answers`.
    words : str
        The answer as the coach would say it.
    """

    value: str
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class StartQuestion:
    """One question about the front.

    Attributes
    ----------
    key : str
        What the question is called in `answers`.
    asks : str
        The question.
    choices : tuple of Choice
        The answers there are; empty where the coach writes a name.
    default : str
        The answer taken where he gives none.
    why : str
        What hangs on it, in a sentence.
    """

    key: str
    asks: str
    choices: tuple[Choice, ...]
    default: str
    why: str


def _ask(key: str, asks: str, choices: dict[str, str], default: str, why: str) -> StartQuestion:
    offered = tuple(Choice(value=value, words=words) for value, words in choices.items())
    return StartQuestion(key=key, asks=asks, choices=offered, default=default, why=why)


_EDGES = {
    "end": "The end on the line",
    "linebacker": "A linebacker on the edge",
    "safety": "The safety, down beside the end",
}
_FILL_OR_HANG = {"fill": "Fill: go where the ball goes", "hang": "Hang: stay behind the ball"}

QUESTIONS: tuple[StartQuestion, ...] = (
    _ask("name", "What do you call this defence?", {}, "Our front", "The file carries its name."),
    _ask(
        "front",
        "How many are down, and where is the nose?",
        {
            "three": "Three: the nose over the centre, two ends",
            "four nose away": "Four: the nose away from the strength, a tackle in B to it",
            "four nose to": "Four: the nose to the strength, a tackle in B away from it",
        },
        "four nose away",
        "What the down men hold leaves the gaps your linebackers fill.",
    ),
    _ask(
        "inside",
        "How many linebackers play off the ball?",
        {"two": "Two", "three": "Three; two where both edges are linebackers"},
        "two",
        "They share the gaps the front leaves open.",
    ),
    _ask(
        "strong_edge",
        "Who sets the edge to the strength?",
        _EDGES,
        "linebacker",
        "He forces the run that comes to him.",
    ),
    _ask(
        "weak_edge",
        "Who sets the edge away from the strength?",
        _EDGES,
        "end",
        "He forces the run that comes to him.",
    ),
    _ask(
        "linebackers",
        "What do you call your linebackers, from the strength across, commas between?",
        {},
        "",
        "Their names head your grid; left empty they are Sam, Mike, Buck, Will and Jack.",
    ),
    _ask(
        "kick_out",
        "A blocker kicks out the edge man: what does he do, and who is outside him?",
        {
            "box": "Box: outside arm free, the ball stays inside him",
            "spill inside": "Spill: it bounces, and the near inside linebacker overlaps",
            "spill safety": "Spill: it bounces, and the man behind the edge overlaps",
        },
        "spill inside",
        "A puller is spilled or boxed by rule, because the next man's fit hangs on it.",
    ),
    _ask(
        "cutback",
        "The run goes away: who takes the cutback?",
        {"edge": "The edge man away from the run", "safety": "The safety away from the run"},
        "edge",
        "Somebody stays for the ball that comes back.",
    ),
    _ask(
        "back_his",
        "The run goes away from an inside linebacker and the back was on his side: his job?",
        _FILL_OR_HANG,
        "hang",
        "Where the back lines up tells how fast the ball can come back.",
    ),
    _ask(
        "back_other",
        "The run goes away from him and the back was on the other side: his job?",
        _FILL_OR_HANG,
        "fill",
        "Where the back lines up tells how fast the ball can come back.",
    ),
    _ask(
        "back_behind",
        "The run goes away from him and the back was behind the quarterback, or none: his job?",
        _FILL_OR_HANG,
        "hang",
        "Where the back lines up tells how fast the ball can come back.",
    ),
    _ask(
        "crossing",
        "The blocker off the ball crosses at the snap, the run goes the other way: what does "
        "the edge man he comes to do?",
        {
            "box": "Box him",
            "spill": "Spill him; the man behind the edge is outside",
            "nothing": "Nothing new",
        },
        "box",
        "The crossing blocker comes to the far edge man.",
    ),
    _ask(
        "zone_read",
        "Zone read: who has the quarterback, on the side away from the back's path?",
        {
            "edge": "The edge man",
            "inside": "The inside linebacker there, over the top; the edge man squeezes",
            "safety": "The safety there; the edge man squeezes",
        },
        "edge",
        "The quarterback keeps it where nobody has him.",
    ),
    _ask(
        "option",
        "Option to his side: whom does the edge man take?",
        {
            "dive": "The dive; inside linebacker quarterback, safety pitch",
            "quarterback": "The quarterback; inside linebacker dive, safety pitch",
            "pitch": "The pitch; near inside linebacker quarterback, the next one dive",
        },
        "quarterback",
        "Dive, quarterback and pitch need one man each.",
    ),
)
"""The questions in the order they are asked."""
