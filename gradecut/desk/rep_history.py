"""A rep's history as a sheet shows it: the newest act first, in local time."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, tzinfo

from gradecut.book import Book
from gradecut.counting_words import counted
from gradecut.records import Clip, Player, Rep, Session
from gradecut.workflows.rep_history import HistoryEntry, HistoryLine, history_of

__all__ = ["HistoryRow", "RepHistory", "local_words", "read_history"]

_GONE = "nothing"


@dataclass(frozen=True, slots=True, kw_only=True)
class HistoryRow:
    """One act as the sheet shows it.

    Attributes
    ----------
    day, time : str
        Of this computer's clock: "Thu 26 Nov", "21:43:07".
    who : str
        With his computer where that is another one.
    title : str
        What he did.
    lines : tuple of (what, before, after)
        Before is empty where nothing stood there.
    remark : str
        "taken back since", or empty.
    of_play : bool
        It touched the play only.
    """

    day: str
    time: str
    who: str
    title: str
    lines: tuple[tuple[str, str, str], ...]
    remark: str
    of_play: bool

    @property
    def words(self) -> str:
        """All of it in a sentence."""
        told = "; ".join(
            f"{what}: {f'{before}, then ' if before else ''}{after}"
            for what, before, after in self.lines
        )
        remark = f" ({self.remark})" if self.remark else ""
        return f"{self.day} {self.time}, {self.who}: {self.title}{remark}. {told}."


@dataclass(frozen=True, slots=True, kw_only=True)
class RepHistory:
    """All that was done to one rep.

    Attributes
    ----------
    title : str
        "Keel 52 Okorie, play 7"
    told : str
        How many acts, by whom.
    rows : tuple of HistoryRow
        The newest first.
    """

    title: str
    told: str
    rows: tuple[HistoryRow, ...]

    def shown(self, *, with_play: bool) -> tuple[HistoryRow, ...]:
        """Return the rows, without those that touched the play only where that is asked."""
        return tuple(row for row in self.rows if with_play or not row.of_play)


def read_history(book: Book, rep_id: str) -> RepHistory:
    """Read a rep's history.

    Raises
    ------
    BookError
        When the rep is not in the book.
    """
    rep = book.get(Rep, rep_id)
    clip = book.get(Clip, rep.clip_id)
    session = book.get(Session, clip.session_id)
    man = next(iter(book.find(Player, id=rep.player_id)), None)
    entries = history_of(book, rep_id)
    graders = sorted({entry.who for entry in entries})
    worn = man.worn(game=session.kind == "game") if man is not None else ""
    who = " ".join(part for part in (rep.position, worn, man.short_name if man else "") if part)
    told = f"{counted(len(entries), 'change')} by {' and '.join(graders)}"
    parts = [session.name, told if entries else "nothing was done to him yet"]
    if book.blind:
        parts.append("graded blind: what others judged is hidden")
    return RepHistory(
        title=f"{who}, play {clip.order}",
        told=" · ".join(parts),
        rows=tuple(_row(entry, book.computer) for entry in reversed(entries)),
    )


def local_words(at: str, zone: tzinfo | None = None) -> tuple[str, str]:
    """Write a UTC time as day and time of this computer's clock, or of another zone.

    >>> from datetime import timezone
    >>> local_words("2026-10-06T21:43:07.120+00:00", timezone.utc)
    ('Tue 6 Oct', '21:43:07')
    """
    there = datetime.fromisoformat(at).astimezone(zone)
    return f"{there:%a} {there.day} {there:%b}", f"{there:%H:%M:%S}"


def _row(entry: HistoryEntry, computer: str) -> HistoryRow:
    day, time = local_words(entry.at)
    elsewhere = f", on {entry.computer}" if entry.computer != computer else ""
    title = f"{entry.verb}, done again" if entry.turn == "done again" else entry.verb
    return HistoryRow(
        day=day,
        time=time,
        who=f"{entry.who}{elsewhere}",
        title=title,
        lines=tuple(_line(line) for line in entry.lines),
        remark="" if entry.stands else "taken back since",
        of_play=entry.of_play,
    )


def _line(line: HistoryLine) -> tuple[str, str, str]:
    return line.what, line.before, line.after or _GONE
