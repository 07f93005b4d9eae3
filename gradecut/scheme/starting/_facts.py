"""What can be said of a look in a starter scheme; common practice, no source."""

from __future__ import annotations

from collections.abc import Mapping

from gradecut.scheme.starting._toml import table

__all__ = ["ASSIGNED", "KICKED_OUT", "facts_text", "impossible_text"]

KICKED_OUT = ["power", "counter"]
"""Runs that send a puller to kick out the edge man."""
ASSIGNED = ["zone read", "option"]
"""Runs on which men take men, not gaps."""

_CONCEPTS = {
    "inside zone": "had it been inside zone",
    "outside zone": "had it been outside zone",
    "power": "had it been power",
    "counter": "had it been counter",
    "trap": "had it been a trap",
    "lead": "had it been lead",
    "zone read": "had it been zone read",
    "option": "had it been option",
    "pass": "had it been a pass",
}
_FACTS: dict[str, dict[str, object]] = {
    "strength": {
        "asks": "Which side is the strength?",
        "values": ["left", "right"],
        "sided": True,
        "known": "before",
    },
    "surface": {
        "asks": "How many blockers are attached, guard out?",
        "values": [2, 3, 4],
        "per_side": True,
        "known": "before",
        "had": {
            "2": "had two blockers been attached",
            "3": "had three blockers been attached",
            "4": "had four blockers been attached",
        },
    },
    "back": {
        "asks": "Where is the back?",
        "values": ["left", "right", "behind", "none"],
        "sided": True,
        "known": "before",
        "had": {
            "to": "had the back been on his side",
            "away": "had the back been on the other side",
            "behind": "had the back been behind the quarterback",
            "none": "had there been no back",
        },
    },
    "wing": {
        "asks": "Where is the blocker off the ball?",
        "values": ["left", "right", "none"],
        "sided": True,
        "known": "before",
        "had": {
            "to": "had the blocker off the ball been on his side",
            "away": "had the blocker off the ball been on the other side",
            "none": "had there been no blocker off the ball",
        },
    },
    "concept": {
        "asks": "What did they run?",
        "values": list(_CONCEPTS),
        "known": "after",
        "had": _CONCEPTS,
    },
    "run": {
        "asks": "Which way did the run go?",
        "values": ["left", "right"],
        "sided": True,
        "known": "after",
        "applies": {"concept": {"not": "pass"}},
        "had": {"to": "had the run come his way", "away": "had the run gone away from him"},
    },
    "wing_goes": {
        "asks": "What did the blocker off the ball do at the snap?",
        "values": ["stays", "crosses"],
        "known": "after",
        "applies": {"wing": ["left", "right"]},
        "had": {
            "stays": "had the blocker off the ball stayed",
            "crosses": "had the blocker off the ball crossed",
        },
    },
}


def facts_text(answers: Mapping[str, str]) -> str:
    """Write the facts; whether the blocker crosses is asked only where it changes a job."""
    names = [name for name in _FACTS if name != "wing_goes" or answers["crossing"] != "nothing"]
    return "\n".join(table(("facts", name), _FACTS[name]) for name in names)


def impossible_text() -> str:
    """Write what cannot be."""
    lead = table(("impossible",), {"when": {"concept": "lead", "back": "none"}}, listed=True)
    return f"# No back, nobody to lead.\n{lead}"
