"""The other graders of a book: handed over to, taken from, and laid beside this one."""

from __future__ import annotations

from collections.abc import Callable, Collection
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from gradecut.book import Book
from gradecut.desk.beside import Beside, differing_plays, read_beside
from gradecut.desk.desk import Desk
from gradecut.desk.rep_history import local_words
from gradecut.desk.saying import Refusal, says
from gradecut.outfile import check_goal
from gradecut.progress import CancelToken, Progress
from gradecut.records import Clip
from gradecut.scheme import Value
from gradecut.workflows.agreeing import graders_of
from gradecut.workflows.differences import Difference, Differences, differences
from gradecut.workflows.disputes import settle_fact
from gradecut.workflows.handing_off import ENDING, HandedOff, handed_words, write_hand_off
from gradecut.workflows.taking import HandOff, Taken, read_hand_off, take_hand_off

__all__ = ["Colleagues", "Held", "Section", "file_for"]

_BLIND = "You grade blind: what others judged stays hidden until you lift it."
_NOBODY = "Nobody else has graded in this book yet; bring in another coach's grades (Book menu)."


@dataclass(frozen=True, slots=True, kw_only=True)
class Section:
    """Differences of one kind, under a heading that says what becomes of them."""

    heading: str
    rows: tuple[Difference, ...]
    chosen: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Held:
    """A hand-off held against the book, as a sheet shows it.

    Attributes
    ----------
    title, beneath : str
    told : tuple of str
        What taking it comes to.
    sections : tuple of Section
        Empty while this grader is blind.
    heed : tuple of str
        Cautions on the players in it.
    """

    hand_off: HandOff
    differences: Differences
    title: str
    beneath: str
    told: tuple[str, ...]
    sections: tuple[Section, ...]
    left: tuple[str, ...]
    heed: tuple[str, ...]


class Colleagues:
    """What a grader and his colleagues have to do with each other.

    Parameters
    ----------
    desk : Desk
    """

    def __init__(self, desk: Desk) -> None:
        self._desk = desk
        self._counted = 0

    @property
    def book(self) -> Book:
        """The book they share, or hand rows between."""
        return self._desk.book

    def say(self, sentence: str) -> None:
        """Show one sentence."""
        self._desk.say(sentence)

    # ------------------------------------------------------------------ hand-offs

    def would_hand(
        self,
        session_ids: Collection[str] | None,
        on_told: Callable[[str, tuple[str, ...]], None],
        on_refused: Callable[[str], None],
    ) -> None:
        """Say beside the window what would be handed over and its cautions, or why nothing is.

        Of several that were asked for only the last is told.
        """
        self._counted += 1
        asked = self._counted

        def work(_progress: Progress, cancel: CancelToken) -> tuple[str, tuple[str, ...]]:
            cancel.check("Counting what is handed over")
            return handed_words(self.book, session_ids)

        def told(found: tuple[str, tuple[str, ...]]) -> None:
            if asked == self._counted:
                on_told(*found)

        def refused(why: str) -> None:
            if asked == self._counted:
                on_refused(why)

        self._desk.jobs.start("Counting what is handed over", work, told, refused, refused)

    def hand_over(self, path: str, session_ids: Collection[str] | None) -> None:
        """Write the hand-off, beside the window.

        Raises
        ------
        OutputError
            When no hand-off can be written there, for the form to show.
        """
        check_goal(path, endings=(ENDING,), what="a hand-off")

        def work(_progress: Progress, _cancel: CancelToken) -> HandedOff:
            return write_hand_off(self.book, path, session_ids=session_ids)

        self._desk.jobs.start("Writing the hand-off", work, self._handed_over)

    def _handed_over(self, done: HandedOff) -> None:
        self.say(f"Written for your colleague: {done.path} ({done.words}).")

    def hold(self, path: str, on_held: Callable[[Held], None]) -> None:
        """Read a hand-off and hold it against the book, beside the window; nothing is stored."""

        def work(_progress: Progress, _cancel: CancelToken) -> Held:
            return self._held(path)

        self._desk.jobs.start("Reading the hand-off", work, on_held)

    def _held(self, path: str) -> Held:
        told = read_hand_off(path)
        held = differences(self.book, told)
        blind = self.book.blind
        return Held(
            hand_off=told,
            differences=held,
            title=f"What {told.grader} hands you",
            beneath=f"{told.book_name} · {', '.join(local_words(told.made_at))}",
            told=(*((told_words(held)[0], _BLIND) if blind else told_words(held)), *held.notes),
            sections=() if blind else _sections(held),
            left=held.left,
            heed=held.cautions,
        )

    def take(self, held: Held, theirs: Collection[str] = ()) -> None:
        """Take it into the book, beside the window."""
        chosen = frozenset(theirs)

        def work(_progress: Progress, _cancel: CancelToken) -> Taken:
            return take_hand_off(self.book, held.hand_off, theirs=chosen)

        self._desk.jobs.start("Taking the hand-off", work, self._taken)

    def _taken(self, done: Taken) -> None:
        self.say(done.words if not done.left else f"{done.words} Left: {done.left[0]}")

    # ------------------------------------------------------------------ beside each other

    def graders(self) -> tuple[str, ...]:
        """Return who else has graded here."""
        return graders_of(self.book)

    def beside(self, colleague: str = "", *, blind_until: str = "") -> Beside | None:
        """Lay a colleague's word beside this grader's on the play shown; says why not."""
        clip = self._desk.film.clip
        graders = self.graders()
        if self.book.blind:
            self.say(Refusal(f"{_BLIND} Your name at the top right has it."))
        elif clip is None or not graders:
            self.say(Refusal(_NOBODY))
        else:
            who = colleague if colleague in graders else graders[0]
            return read_beside(self.book, clip, who, blind_until=blind_until)
        return None

    def next_difference(self) -> None:
        """Show the next play on which a colleague differs, and say on what."""
        film = self._desk.film
        clip = film.clip
        if self.book.blind or clip is None or not self.graders():
            self.beside()
            return
        plays = differing_plays(self.book, clip.session_id)
        if not plays:
            self.say("Nobody differs from you in this session.")
            return
        ids = [box.clip_id for box in film.plays.line.boxes]
        place = ids.index(clip.id) if clip.id in ids else -1
        order = [one for one in (*ids[place + 1 :], *ids[: place + 1]) if one in plays]
        if not order:
            self.say("Nobody differs from you in this session.")
            return
        film.open_clip(order[0])
        there = self.book.get(Clip, order[0])
        number = ids.index(order[0])
        at = sum(one in plays for one in ids[: number + 1])
        self.say(f"Play {there.order}: {plays[order[0]]} ({at} of {len(order)} plays that differ)")

    @says
    def settle(self, clip: Clip, reference: str, value: Value) -> bool:
        """Settle a disputed fact."""
        settle_fact(self.book, clip, reference, value)
        return True


def told_words(held: Differences) -> tuple[str, ...]:
    """Say what taking comes to, without the name that stands above it."""
    first = held.words[0].removeprefix(f"{held.grader}, {held.book_name}: ")
    return (f"{first[:1].upper()}{first[1:]}", *held.words[1:])


def _sections(held: Differences) -> tuple[Section, ...]:
    """Put the differences under headings, what asks something of the coach first."""
    his = held.grader
    told = {_about(one) for one in (*held.disputed, *held.otherwise)}
    besides = tuple(one for one in held.new if _about(one) not in told)
    found = (
        Section(
            heading="Changed here by somebody else: stays, unless you choose his (Space)",
            rows=held.conflicting,
            chosen=True,
        ),
        Section(heading="The look seen differently: both stay, either settles it (Alt+B)",
                rows=held.disputed),
        Section(heading="Judged otherwise: both grades stay, each under his name",
                rows=held.otherwise),
        Section(heading=f"Changed by {his} since", rows=held.changed),
        Section(heading=f"Taken back by {his}: leaves this book too", rows=held.withdrawn),
        Section(heading="New besides" if told else "New", rows=besides),
    )  # fmt: skip
    return tuple(section for section in found if section.rows)


def _about(one: Difference) -> tuple[str, str, str]:
    return (one.clip_id, one.who, one.what)


def file_for(book: Book) -> str:
    """Propose where a hand-off goes: beside the book, under the grader's name and the day."""
    plain = "".join(letter if letter.isalnum() else " " for letter in book.author)
    name = " ".join(plain.split()) or "grades"
    return str(Path(book.path).parent / f"{name} {datetime.now():%Y-%m-%d}.hand")
