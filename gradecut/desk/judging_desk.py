"""Judging the man in hand: what he did, why, how well; each entry stored at once."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from gradecut.book import Book
from gradecut.desk.saying import Refusal
from gradecut.records import Owed, Rep, Side
from gradecut.scheme import Scheme
from gradecut.workflows.carried_looks import keep_carried
from gradecut.workflows.carried_men import keep_men
from gradecut.workflows.expecting import fit_side, say_owed, unsay_owed
from gradecut.workflows.judging import (
    add_event,
    change_grade,
    drop_event,
    toggle_flag,
)
from gradecut.workflows.lining_up import say_lined_up, unsay_lined_up

if TYPE_CHECKING:
    from gradecut.desk.film_desk import FilmDesk

__all__ = ["EFFORT", "REASONS", "Judging"]

EFFORT = "effort"
REASONS = (
    "out of picture",
    "hidden behind others",
    "film begins late",
    "film ends early",
    "number not readable",
    "call not known",
)
"""Why a man can't be graded (common practice, no source)."""


class Judging:
    """What can be recorded of the man in hand.

    Every method returns whether it was stored; what was refused is said.
    """

    def __init__(self, desk: FilmDesk) -> None:
        self._desk = desk

    def rep(self) -> Rep | None:
        """Return the rep in hand, or say what is missing.

        A man who stays in from the last play gets his rep with this.
        """
        man, state = self._desk.hand.man, self._desk.state
        if man is None or state is None:
            self._desk.say("Choose a man first: press his number, or Tab.")
            return None
        if man.staying is not None:
            self._desk.do(lambda: keep_men(self._desk.book, state.clip))
            man = self._desk.hand.man
        if man is not None and man.rep is None:
            self._desk.say(f"Nobody is named at {man.position}: press I to put a player in.")
        return man.rep if man is not None else None

    def right(self) -> bool:
        """He did what he owed; number keys choose a man again."""
        stored = self._keep(did="as owed")
        if stored:
            self._desk.hand.settle("idle")
        return stored

    def miss(self, name: str) -> bool:
        """He missed what he owed, in one of its ways."""
        return self._keep(did="miss", name=name, side=None, cause="")

    def fit(self, name: str, side: Side | None = None) -> bool:
        """He played another fit; its side where it was seen."""
        man = self._desk.hand.man
        if man is not None and name == man.owes and side in (None, man.owes_side):
            return self.right()
        return self._keep(did="fit", name=name, side=side, cause="")

    def cause(self, name: str) -> bool:
        """Say why it went wrong."""
        return self._keep(cause=name)

    def cannot(self, reason: str) -> bool:
        """He can't be graded, and why."""
        return self._keep(did="cannot grade", name=reason, side=None, cause="")

    def points(self, item: str, points: float) -> bool:
        """Give points for a technique item, or for effort."""
        if item == EFFORT:
            return self._keep(effort=points)
        man = self._desk.hand.man
        given = dict(man.grade.technique) if man and man.grade else {}
        return self._keep(technique={**given, item: points})

    def note(self, text: str) -> bool:
        """Keep a note on his rep, as typed."""
        return self._keep(note=text)

    def owed(self, fit: str) -> bool:
        """Keep the coach's word on what he owed."""
        rep = self.rep()
        man = self._desk.hand.man
        if rep is None or man is None:
            return False
        scheme = man.asked.scheme
        side = None
        if scheme is not None and fit in scheme.fits:
            side = fit_side(scheme, fit, man.asked.look, man.asked.own_side)
        book = self._desk.book
        return self._by_this_look(
            f"say that {rep.position} owed {fit}", lambda: say_owed(book, rep, fit, side=side)
        )

    def owed_anew(self, name: str, gap: str = "") -> bool:
        """Keep his word on a fit the scheme has not yet; it is added to the scheme in force."""
        rep, man = self.rep(), self._desk.hand.man
        if rep is None or man is None:
            return False
        book, scheme, named = self._desk.book, man.asked.scheme, name.strip()
        side = man.asked.own_side if gap else None

        def work() -> None:
            with book.act(f"say that {rep.position} owed {named}"):
                keep_carried(book, man.asked.clip)
                if named and scheme is not None and named not in scheme.fits:
                    _add_fit(book, scheme, named, gap)
                say_owed(book, rep, named, side=side)

        return self._desk.do(work, wide=True)

    def ask_new_fit(self) -> None:
        """Ask what a fit is called that is not listed."""
        if self.rep() is not None:
            self._desk.fit_asked.emit()

    def said_of(self, position: str) -> tuple[str, ...]:
        """Return the fits he has said a man owed, in the order he said them first.

        Not by how often: what stands under a key would change as he goes on.
        """
        book = self._desk.book
        said = book.find(Owed, author=book.author)
        his = {rep.id for rep in book.find(Rep, id=[one.rep_id for one in said])
               if rep.position == position}  # fmt: skip
        return tuple(dict.fromkeys(one.fit for one in said if one.rep_id in his))

    def unsay(self) -> bool:
        """Take the coach's word back."""
        rep = self.rep()
        return rep is not None and self._desk.do(lambda: unsay_owed(self._desk.book, rep))

    def lined_up(self, *off: str, cannot: bool = False) -> bool:
        """Keep how he lined up: right, off in some ways, or not to be told."""
        rep, book = self.rep(), self._desk.book
        return rep is not None and self._by_this_look(
            f"say how {rep.position} lined up",
            lambda: say_lined_up(book, rep, off=off, cannot=cannot),
        )

    def unsay_lined_up(self) -> bool:
        """Take back how he lined up."""
        rep = self.rep()
        return rep is not None and self._desk.do(lambda: unsay_lined_up(self._desk.book, rep))

    def count(self, event: str) -> bool:
        """Count an event beside the grade."""
        rep = self.rep()
        return rep is not None and self._desk.do(lambda: add_event(self._desk.book, rep, event))

    def uncount(self, event: str) -> bool:
        """Take the newest count of an event back."""
        rep = self.rep()
        return rep is not None and self._desk.do(lambda: drop_event(self._desk.book, rep, event))

    def flag(self) -> bool:
        """Flag the man in hand for tomorrow, or the play where none is; or take the flag off."""
        state = self._desk.state
        if state is None:
            return False
        man = self._desk.hand.man
        rep = self.rep() if man and man.player else None
        return self._desk.do(lambda: toggle_flag(self._desk.book, state.clip, rep))

    def _keep(self, **changes: object) -> bool:
        rep, man = self.rep(), self._desk.hand.man
        if rep is None or man is None:
            return False
        fresh = man.grade is None and "did" not in changes
        if changes.get("cause") and not man.wrong:
            self._desk.say(Refusal("Say first how he missed it; then why."))
            return False
        book = self._desk.book
        stored = self._by_this_look(
            f"grade {rep.position} on play {man.asked.clip.order}",
            lambda: change_grade(book, rep, **changes),
        )
        if stored and fresh:
            self._desk.say(f"{man.position} was open; he is recorded as right with this.")
        return stored

    def _by_this_look(self, verb: str, work: Callable[[], object]) -> bool:
        """Do something that rests on the look as it is drawn; what it takes over is kept too."""
        state, book = self._desk.state, self._desk.book
        if state is None:
            return False
        clip = state.clip

        def act() -> None:
            with book.act(verb):
                keep_carried(book, clip)
                work()

        return self._desk.do(act)


def _add_fit(book: Book, scheme: Scheme, name: str, gap: str) -> None:
    """Add a fit to the scheme in force, as its next version."""
    from gradecut.desk.scheme_files import with_next_version
    from gradecut.scheme.editing import add_fit
    from gradecut.workflows.scheme_changes import keep_scheme

    text = add_fit(scheme.text, name=name, job=name, gap=gap or None)
    keep_scheme(book, with_next_version(text, scheme), "the scheme")
