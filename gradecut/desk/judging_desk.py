"""Judging the man in hand: what he did, why, how well; each entry stored at once."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from gradecut.book import Book
from gradecut.desk.clip_state import Man
from gradecut.desk.saying import Refusal
from gradecut.records import Owed, Rep, Side
from gradecut.scheme import Scheme
from gradecut.workflows.carried_men import keep_drawn, rep_in
from gradecut.workflows.counting import add_event, drop_event, toggle_flag
from gradecut.workflows.expecting import fit_side, say_owed, unsay_owed
from gradecut.workflows.judging import change_grade
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

    Each key is one act: with what is said of a man who only stays in from the last play his
    rep is stored, and what the look takes over where he is judged by it. What was refused is
    said, and nothing of it stored; most methods return whether it was.
    """

    def __init__(self, desk: FilmDesk) -> None:
        self._desk = desk

    def man(self) -> Man | None:
        """Return the man in hand, or say what is missing; nothing is stored."""
        man = self._desk.hand.man
        if man is None:
            self._desk.say("Choose a man first: press his number, or Tab.")
        elif man.player is None:
            self._desk.say(f"Nobody is named at {man.position}: press I to put a player in.")
            return None
        return man

    def right(self) -> bool:
        """He did what he owed; number keys choose a man again."""
        stored = self._keep(did="as owed")
        if stored:
            self._desk.hand.settle("idle")
        return stored

    def miss(self, name: str) -> bool:
        """He missed what he owed, in one of its ways; said once more, its cause stands."""
        if self._said_already("miss", name):
            return self._keep(did="miss", name=name)
        return self._keep(did="miss", name=name, side=None, cause="")

    def fit(self, name: str, side: Side | None = None) -> bool:
        """He played another fit; its side where it was seen. Said once more, its cause stands."""
        man = self._desk.hand.man
        if man is not None and name == man.owes and side in (None, man.owes_side):
            return self.right()
        if self._said_already("fit", name):
            return self._keep(did="fit", name=name, side=side)
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
        man = self.man()
        if man is None:
            return False
        scheme = man.asked.scheme
        side = None
        if scheme is not None and fit in scheme.fits:
            side = fit_side(scheme, fit, man.asked.look, man.asked.own_side)
        book = self._desk.book
        return self._of(
            man,
            f"say that {man.position} owed {fit}",
            lambda rep: say_owed(book, rep, fit, side=side),
            by_look=True,
        )

    def owed_anew(self, name: str, gap: str = "") -> bool:
        """Keep his word on a fit the scheme has not yet; it is added to the scheme in force."""
        man = self.man()
        if man is None:
            return False
        book, scheme, named = self._desk.book, man.asked.scheme, name.strip()
        side = man.asked.own_side if gap else None

        def work(rep: Rep) -> None:
            if named and scheme is not None and named not in scheme.fits:
                _add_fit(book, scheme, named, gap)
            say_owed(book, rep, named, side=side)

        verb = f"say that {man.position} owed {named}"
        return self._of(man, verb, work, by_look=True, wide=True)

    def ask_new_fit(self) -> None:
        """Ask what a fit is called that is not listed."""
        if self.man() is not None:
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
        man, book = self.man(), self._desk.book
        return man is not None and self._of(
            man, f"take back what {man.position} owed", lambda rep: unsay_owed(book, rep)
        )

    def lined_up(self, *off: str, cannot: bool = False) -> bool:
        """Keep how he lined up: right, off in some ways, or not to be told."""
        man, book = self.man(), self._desk.book
        return man is not None and self._of(
            man,
            f"say how {man.position} lined up",
            lambda rep: say_lined_up(book, rep, off=off, cannot=cannot),
            by_look=True,
        )

    def unsay_lined_up(self) -> bool:
        """Take back how he lined up."""
        man, book = self.man(), self._desk.book
        return man is not None and self._of(
            man, f"take back how {man.position} lined up", lambda rep: unsay_lined_up(book, rep)
        )

    def count(self, event: str) -> bool:
        """Count an event beside the grade."""
        man, book = self.man(), self._desk.book
        return man is not None and self._of(
            man, f"count a {event}", lambda rep: add_event(book, rep, event)
        )

    def uncount(self, event: str) -> bool:
        """Take the newest count of an event back."""
        man, book = self.man(), self._desk.book
        return man is not None and self._of(
            man, f"take a {event} back", lambda rep: drop_event(book, rep, event)
        )

    def flag(self) -> bool:
        """Flag the man in hand for tomorrow, or the play where none is; or take the flag off."""
        state = self._desk.state
        if state is None:
            return False
        man, book = self._desk.hand.man, self._desk.book
        if man is None or man.player is None:
            return self._desk.do(lambda: toggle_flag(book, state.clip))
        verb = "take the flag off" if man.flagged else "flag for tomorrow"
        return self._of(man, verb, lambda rep: toggle_flag(book, state.clip, rep))

    def _said_already(self, did: str, name: str) -> bool:
        """Tell whether the man in hand was given just this before."""
        grade = self._desk.hand.man.grade if self._desk.hand.man else None
        return grade is not None and (grade.did, grade.did_name) == (did, name)

    def _keep(self, **changes: object) -> bool:
        man = self.man()
        if man is None:
            return False
        fresh = man.grade is None and "did" not in changes
        if changes.get("cause") and not man.wrong:
            self._desk.say(Refusal("Say first how he missed it; then why."))
            return False
        book = self._desk.book
        stored = self._of(
            man,
            f"grade {man.position} on play {man.asked.clip.order}",
            lambda rep: change_grade(book, rep, **changes),
            by_look=True,
        )
        if stored and fresh:
            self._desk.say(f"{man.position} was open; he is recorded as right with this.")
        elif stored:
            self._tell_lost_cause(man)
        return stored

    def _tell_lost_cause(self, before: Man) -> None:
        """Say that a cause is gone: it was why he missed in the way he was given before."""
        old, now = before.grade, self._desk.hand.man
        if old is None or not old.cause or now is None or now.grade is None or now.grade.cause:
            return
        gone = f"the cause “{old.cause}” is gone. Ctrl+Z brings it back"
        told = f"{now.position} missed it another way now; {gone}."
        if not now.wrong:
            told = f"{now.position} is right now; his miss and its cause are gone. Ctrl+Z brings"
            told = f"{told} them back."
        self._desk.say(told)

    def _of(
        self,
        man: Man,
        verb: str,
        work: Callable[[Rep], object],
        *,
        by_look: bool = False,
        wide: bool = False,
    ) -> bool:
        """Record something of a man as one act; one who only stays in gets his rep with it.

        Parameters
        ----------
        by_look : bool
            It rests on the look as it is drawn: what that takes over is stored too.
        """
        book, clip = self._desk.book, man.asked.clip

        def act() -> None:
            with book.act(verb):
                if by_look:
                    keep_drawn(book, clip)
                work(rep_in(book, clip, man.position) if man.rep is None else man.rep)

        return self._desk.do(act, wide=wide)


def _add_fit(book: Book, scheme: Scheme, name: str, gap: str) -> None:
    """Add a fit to the scheme in force, as its next version."""
    from gradecut.desk.scheme_files import with_next_version
    from gradecut.scheme.editing import add_fit
    from gradecut.workflows.scheme_changes import keep_scheme

    text = add_fit(scheme.text, name=name, job=name, gap=gap or None)
    keep_scheme(book, with_next_version(text, scheme), "the scheme")
