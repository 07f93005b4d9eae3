"""The rules a starter scheme gets from a front and the answers; common practice, no source.

Everything hangs on one count: the gaps the front leaves open on the side the run goes to. The
near inside linebacker has the outermost of them, the far one (or the middle one of three) the
inmost, the edge man the end of the line, and the man behind him what is outside that.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from gradecut.scheme.starting._facts import KICKED_OUT
from gradecut.scheme.starting._front import Flank, Front

__all__ = ["Drafted", "drafted_rules"]

_MORE = [3, 4]
_TWO_OR_MORE: tuple[tuple[object, str], ...] = ((2, "open_two"), (_MORE, "open_more"))


@dataclass(frozen=True, slots=True, kw_only=True)
class Drafted:
    """One rule to be written; its men are named as the coach names them."""

    man: str
    fit: str
    when: Mapping[str, object]
    tier: str = "base"
    cue: str


def drafted_rules(front: Front, answers: Mapping[str, str]) -> list[Drafted]:
    """Give all rules, man by man: linebackers from the strength across, then those around."""
    found: list[Drafted] = []
    for flank in front.flanks:
        found += _edge(flank, answers)
        found += _near(flank, answers)
        found += _far(front, flank, answers)
        found += _behind(flank, answers)
        if flank.end is not None:
            cue = "Nothing crosses your face"
            found.append(_held(flank.end, f"hold {flank.end_gap}", cue))
    if front.middle is not None:
        found += _middle(front, front.middle, answers)
    nose = "hold A" if front.nose_place else "hold A, run side"
    found.append(_held("Nose", nose, "Make them use two"))
    if front.tackle_place:
        found.append(_held("Tackle", "hold B", "Both hands on the guard"))
    order = {name: place for place, (name, _) in enumerate((*front.graded, *front.others))}
    return sorted(found, key=lambda rule: order[rule.man])


def _held(man: str, fit: str, cue: str) -> Drafted:
    return Drafted(man=man, fit=fit, when={"concept": {"not": "pass"}}, cue=cue)


def _edge(flank: Flank, answers: Mapping[str, str]) -> Iterator[Drafted]:
    man = flank.edge
    for count, gap in ((2, "C"), (_MORE, "D")):
        yield Drafted(
            man=man,
            fit=f"force {gap}",
            when={"run": "to", "surface.to": count},
            cue="Keep your outside arm free, turn it in",
        )
    stays = answers["cutback"] == "edge"
    yield Drafted(
        man=man,
        fit="cutback C" if stays else "squeeze C",
        when={"run": "away"},
        cue="Check the ball, take the bend-back" if stays else "Close down, never upfield",
    )
    kicked: Mapping[str, object] = {"concept": KICKED_OUT, "run": "to"}
    job = "box" if answers["kick_out"] == "box" else "spill"
    cue = "Outside half of the block" if job == "box" else "Inside half of the block, make it wide"
    if answers["kick_out"] == "spill inside":
        yield Drafted(man=man, tier="kick-out", fit="spill C", when=kicked, cue=cue)
    else:
        for count, gap in ((2, "C"), (_MORE, "D")):
            when = {**kicked, "surface.to": count}
            yield Drafted(man=man, tier="kick-out", fit=f"{job} {gap}", when=when, cue=cue)
    if answers["crossing"] != "nothing":
        yield Drafted(
            man=man,
            tier="crossing",
            fit=f"{answers['crossing']} the crosser",
            when={"wing": "away", "wing_goes": "crosses", "run": "away"},
            cue="The crosser comes to you",
        )
    mine = answers["zone_read"] == "edge"
    yield Drafted(
        man=man,
        tier="option",
        fit="quarterback" if mine else "squeeze C",
        when={"concept": "zone read", "run": "away"},
        cue="The quarterback is yours" if mine else "Close down on the back",
    )
    yield _on_option(man, answers["option"], "Straight to your man")


def _on_option(man: str, fit: str, cue: str, run: str | None = "to") -> Drafted:
    when: dict[str, str] = {"concept": "option"}
    if run is not None:
        when["run"] = run
    return Drafted(man=man, tier="option", fit=fit, when=when, cue=cue)


def _near(flank: Flank, answers: Mapping[str, str]) -> Iterator[Drafted]:
    """Give the rules of an inside linebacker for a run to him."""
    man = flank.inside
    for count, name in _TWO_OR_MORE:
        opened: tuple[str, ...] = getattr(flank, name)
        fit, cue = (
            (f"fill {opened[-1]}", "Downhill, your gap first")
            if opened
            else ("scrape C", "Over the top, first clear gap")
        )
        yield Drafted(man=man, fit=fit, when={"run": "to", "surface.to": count}, cue=cue)
    if answers["kick_out"] == "spill inside":
        for count, gap in ((2, "C"), (_MORE, "D")):
            yield Drafted(
                man=man,
                tier="kick-out",
                fit=f"overlap {gap}",
                when={"concept": KICKED_OUT, "run": "to", "surface.to": count},
                cue="The edge man spills: you are the next man outside",
            )
    yield _on_option(
        man, "dive" if answers["option"] == "quarterback" else "quarterback", "Your man, not a gap"
    )


def _far(front: Front, flank: Flank, answers: Mapping[str, str]) -> Iterator[Drafted]:
    """Give the rules of an inside linebacker for a run away from him."""
    man = flank.inside
    other = front.weak if flank.place == "strong" else front.strong
    for count, name in _TWO_OR_MORE:
        opened: tuple[str, ...] = getattr(other, name)
        inmost = opened[0] if len(opened) == 2 and front.middle is None else None
        for job, backs in _by_back(answers):
            when: dict[str, object] = {"run": "away", "surface.run": count}
            if backs:
                when["back"] = backs if len(backs) > 1 else backs[0]
            if job == "fill":
                fit = f"fill {inmost}" if inmost else "follow"
                cue = "Go with the ball, do not pass it"
            else:
                fit = f"hang {inmost}" if inmost else "hang at home"
                cue = "Slow feet, stay behind the ball"
            yield Drafted(man=man, fit=fit, when=when, cue=cue)
        if front.middle is None:
            yield from _next_inside(man, opened, answers, {"run": "away", "surface.run": count})
    if answers["zone_read"] == "inside":
        yield Drafted(
            man=man,
            tier="option",
            fit="quarterback",
            when={"concept": "zone read", "run": "away"},
            cue="Over the top of the edge man: the quarterback is yours",
        )
    if answers["option"] == "pitch" and front.middle is None:
        yield _on_option(man, "dive", "The dive is yours", "away")


def _by_back(answers: Mapping[str, str]) -> Iterator[tuple[str, list[str]]]:
    """Give each job with the places of the back that ask it; no places where all do."""
    jobs = {
        "to": answers["back_his"],
        "away": answers["back_other"],
        "behind": answers["back_behind"],
        "none": answers["back_behind"],
    }
    for job in ("fill", "hang"):
        backs = [place for place, asked in jobs.items() if asked == job]
        if backs:
            yield job, backs if len(backs) < len(jobs) else []


def _next_inside(
    man: str, opened: Sequence[str], answers: Mapping[str, str], when: Mapping[str, object]
) -> Iterator[Drafted]:
    """Give the gap he takes because the near inside linebacker left it to overlap."""
    left = [gap for gap in opened if gap != "C"]
    if answers["kick_out"] == "spill inside" and len(opened) == 1 and left:
        yield Drafted(
            man=man,
            tier="kick-out",
            fit=f"fill {left[0]}",
            when={"concept": KICKED_OUT, **when},
            cue="The man beside you overlaps: his gap is yours",
        )


def _middle(front: Front, man: str, answers: Mapping[str, str]) -> Iterator[Drafted]:
    """Give the rules of the third linebacker off the ball; he counts to the strength."""
    for flank, run in ((front.strong, "to"), (front.weak, "away")):
        for count, name in _TWO_OR_MORE:
            opened: tuple[str, ...] = getattr(flank, name)
            when: dict[str, object] = {"run": run, "surface.run": count}
            if len(opened) == 2:
                fit, cue = f"fill {opened[0]}", "First gap open from the centre out"
            elif "A" in opened:
                fit, cue = "scrape C", "Over the top, first clear gap"
            else:
                fit, cue = "fill A", "Downhill behind the nose"
            yield Drafted(man=man, fit=fit, when=when, cue=cue)
            yield from _next_inside(man, opened, answers, when)
    if answers["option"] == "pitch":
        yield _on_option(man, "dive", "The dive is yours", None)


def _behind(flank: Flank, answers: Mapping[str, str]) -> Iterator[Drafted]:
    """Give the rules of the man behind the edge."""
    man = flank.behind
    yield Drafted(
        man=man, fit="alley", when={"run": "to", "surface.to": [2, 3]}, cue="Inside the force"
    )
    yield Drafted(
        man=man,
        fit="force E",
        when={"run": "to", "surface.to": 4},
        cue="Outside the fourth blocker, turn it in",
    )
    stays = answers["cutback"] == "safety"
    yield Drafted(
        man=man,
        fit="cutback deep" if stays else "last man",
        when={"run": "away"},
        cue="Behind the ball, from depth" if stays else "Over the top, inside out",
    )
    if answers["kick_out"] == "spill safety":
        for count, gap in ((2, "C"), (3, "D"), (4, "E")):
            yield Drafted(
                man=man,
                tier="kick-out",
                fit=f"overlap {gap}",
                when={"concept": KICKED_OUT, "run": "to", "surface.to": count},
                cue="The edge man spills: you are the next man outside",
            )
    if answers["crossing"] == "spill":
        yield Drafted(
            man=man,
            tier="crossing",
            fit="overlap the crosser",
            when={"wing": "away", "wing_goes": "crosses", "run": "away"},
            cue="The edge man spills the crosser: be outside",
        )
    if answers["zone_read"] == "safety":
        yield Drafted(
            man=man,
            tier="option",
            fit="quarterback",
            when={"concept": "zone read", "run": "away"},
            cue="The quarterback is yours",
        )
    if answers["option"] != "pitch":
        yield _on_option(man, "pitch", "The pitch is yours, never inside")
