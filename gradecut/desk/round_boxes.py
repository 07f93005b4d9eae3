"""The reps of a round as its strip shows them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

if TYPE_CHECKING:
    from gradecut.workflows.rounds import RoundRep, Standing

__all__ = ["RoundBox", "round_boxes", "who_words"]

Status = Literal["open", "passed", "judged", "looked at", "flag off"]


@dataclass(frozen=True, slots=True, kw_only=True)
class RoundBox:
    """One rep of the round as its strip shows it.

    Attributes
    ----------
    label : str
        Play and man, "7 Keel"; the play alone where the round is one man's.
    heading : str
        Its period, or its session where the round goes through several.
    status : str
        "open": nobody judged him; "passed": let through at speed; "judged": before he was
        flagged; "looked at": closely, since; "flag off": taken off in this round.
    wrong : bool
        He was not right.
    """

    rep_id: str
    label: str
    heading: str
    status: Status
    wrong: bool
    who: str

    @property
    def words(self) -> str:
        """What it shows, for whoever can't see it."""
        told = {
            "open": "not judged yet", "passed": "passed at speed",
            "judged": "judged, not looked at again", "looked at": "looked at closely",
            "flag off": "flag taken off",
        }[self.status]  # fmt: skip
        return f"{self.who}: {told}{', not right' if self.wrong else ''}"


def round_boxes(
    reps: Sequence[RoundRep], standings: Mapping[str, Standing], *, flagged: bool
) -> tuple[RoundBox, ...]:
    """Make the boxes of a round.

    Parameters
    ----------
    standings : mapping of rep id to Standing
    flagged : bool
        It goes through flagged reps of several men, not through one man's.
    """
    several = len({rep.session_id for rep in reps}) > 1
    return tuple(
        RoundBox(
            rep_id=rep.rep_id,
            label=f"{rep.order} {rep.position}" if flagged else str(rep.order),
            heading=rep.session if several else rep.period,
            status=_status(standings[rep.rep_id], flagged=flagged),
            wrong=standings[rep.rep_id].wrong,
            who=who_words(rep),
        )
        for rep in reps
    )


def who_words(rep: RoundRep) -> str:
    """Name a rep: "play 7 Keel Okorie"."""
    return f"play {rep.order} {rep.position} {rep.man}".strip()


def _status(standing: Standing, *, flagged: bool) -> Status:
    if flagged and not standing.flagged:
        return "flag off"
    if standing.looked_at:
        return "looked at"
    if standing.how is None:
        return "open"
    return "passed" if standing.how == "passed" else "judged"
