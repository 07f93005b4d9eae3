"""The man in hand, and what the number keys answer now."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import TYPE_CHECKING, Literal

from psygnal import Signal

from gradecut.desk import ask_lists, fact_lists, pairing_lists
from gradecut.desk.asking import Answer, Ask
from gradecut.desk.clip_state import ClipState, Man, OpenQuestion
from gradecut.records import Side
from gradecut.workflows.lining_up import why_no_alignment

if TYPE_CHECKING:
    from gradecut.desk.film_desk import FilmDesk

__all__ = ["Hand"]

Stage = Literal["idle", "miss", "cause"]


class Hand:
    """Which man is looked at, and the one question that number keys answer.

    There is always one: a list that was opened by a key; else how the chosen man missed
    his fit, then why; else the open question of the look; else which man was not right.

    Attributes
    ----------
    position : str
        The man in hand; empty for none.

    Signals
    -------
    changed
        Another man, or another question.
    """

    changed = Signal()

    def __init__(self, desk: FilmDesk) -> None:
        self._desk = desk
        self._stage: Stage = "idle"
        self._opened: Callable[[], Ask | None] | None = None
        self._page = 0
        self._aside = False
        self._kept: tuple[ClipState | None, tuple[object, ...], Ask | None] | None = None
        self._moved = 0
        self.position = ""
        self.changed.connect(self._forget)

    # ------------------------------------------------------------------ the man

    @property
    def man(self) -> Man | None:
        """The man in hand, as he stands now."""
        return self._desk.state.man(self.position) if self._desk.state else None

    @property
    def asks_misses(self) -> bool:
        """Whether he took the man in hand by his number: how he missed is asked."""
        return self._opened is None and self._stage == "miss"

    @property
    def busy(self) -> bool:
        """Whether a list is open, or his cause is asked: what going back closes first."""
        return self._opened is not None or self._stage == "cause"

    def choose(self, position: str) -> None:
        """Take a man in hand; his misses are asked next."""
        self.position, self._stage = position, "miss"
        self._close()
        self._desk.hand_moved()

    def hold(self, position: str) -> None:
        """Take a man in hand to whom he was led: his misses are asked once his number is pressed.

        A number answers what is open of himself, else it chooses a man, and judges nobody.
        """
        self.free(position)
        self._stage = "idle"
        man = self.man
        self._aside = man is None or man.asked.settled
        self._desk.hand_moved()

    def next_man(self, by: int = 1) -> None:
        """Take the next man, or the one before."""
        men = [man.position for man in self._desk.state.men] if self._desk.state else []
        if not men:
            self._desk.say("The scheme has no graded men yet; bring a scheme and a line-up in.")
            return
        if self.position in men:
            place = (men.index(self.position) + by) % len(men)
        else:
            place = 0 if by > 0 else -1
        self.choose(men[place])

    def previous_man(self) -> None:
        """Take the man before."""
        self.next_man(-1)

    def free(self, position: str = "") -> None:
        """Begin a clip with empty hands, or with one man."""
        self.position, self._stage = position, "miss" if position else "idle"
        self._aside = False
        self._close()

    def back(self) -> bool:
        """Go back one step: list, cause, miss, man, question; tell whether there was one."""
        if self._opened is not None:
            pass
        elif self._stage == "cause":
            self._stage = "miss"
        elif self.position:
            self.position, self._stage = "", "idle"
        elif self._desk.state and self._desk.state.question and not self._aside:
            self._aside = True
        else:
            return False
        self._close()
        self._desk.hand_moved()
        return True

    def settle(self, stage: Stage) -> None:
        """Go on to a stage after something was recorded."""
        self._stage = stage
        self._close()
        self._desk.hand_moved()

    # ------------------------------------------------------------------ the question

    @property
    def ask(self) -> Ask | None:
        """What the number keys answer now."""
        made = self._made()
        if made is None or made.page == self._page % made.pages:
            return made
        return replace(made, page=self._page % made.pages)

    def _made(self) -> Ask | None:
        """Return the question, made once for what is shown and in hand."""
        state = self._desk.state
        drawing = self._desk.marks.tool is not None
        stands = (self.position, self._stage, self._opened, self._aside, drawing)
        kept = self._kept
        if kept is None or kept[0] is not state or kept[1] != stands:
            kept = self._kept = state, stands, self._make()
        return kept[2]

    def _forget(self) -> None:
        self._kept = None
        self._moved += 1

    def _make(self) -> Ask | None:
        state, man = self._desk.state, self.man
        if state is None:
            return None
        if self._opened is not None:
            opened = self._opened()
            if opened is not None:
                return opened
        question = None if self._aside else state.question
        if man is not None and self._stage != "idle":
            return self._of_man(man, question)
        if question is not None:
            return fact_lists.question(self._desk, question)
        return ask_lists.men(self._desk)

    def _of_man(self, man: Man, question: OpenQuestion | None) -> Ask | None:
        if man.player is None:
            return self._desk.lining.who(man.position)
        if self._stage == "cause":
            return ask_lists.causes(self._desk, man)
        if question is not None and not man.asked.settled:
            return fact_lists.question(self._desk, question)
        return ask_lists.misses(self._desk, man)

    def answer(self, key: str) -> bool:
        """Give the answer under a key; tell whether the key meant anything."""
        ask = self.ask
        if ask is None:
            return False
        if ask.turns(key):
            self._page += 1
            self._desk.hand_moved()
            return True
        answer = ask.answer_of(key)
        if answer is None:
            return False
        self._close()
        self._give(answer)
        return True

    def _give(self, answer: Answer) -> None:
        """Do what an answer does; what followed from it may have told already that it moved."""
        moved = self._moved
        answer.do()
        if self._moved == moved:
            self._desk.hand_moved()

    def open(self, made: Callable[[], Ask | None]) -> None:
        """Open a list; it is made anew whenever the clip changes."""
        self._opened, self._page = made, 0
        self._desk.hand_moved()

    def _close(self) -> None:
        self._opened, self._page = None, 0

    # ------------------------------------------------------------------ lists opened by a key

    def open_question(self) -> None:
        """Bring the open question back, or put it aside."""
        if self._desk.state is None or self._desk.state.question is None:
            self._desk.say("There is no open question on this play.")
            return
        self._aside = not (self._aside or self.position)
        self.position, self._stage = "", "idle"
        self._close()
        self._desk.hand_moved()

    def open_facts(self) -> None:
        """Ask which fact of the look to change."""
        self.open(lambda: fact_lists.facts(self._desk))

    def open_fits(self) -> None:
        """Ask which other fit he played."""
        self._open_for_man(lambda man: ask_lists.other_fits(self._desk, man))

    def open_reasons(self) -> None:
        """Ask why he can't be graded."""
        self._open_for_man(lambda man: ask_lists.reasons(self._desk, man))

    def open_owed(self) -> None:
        """Ask what he owed, by the coach's word."""
        self._open_for_man(lambda man: ask_lists.owed(self._desk, man))

    def open_events(self) -> None:
        """Ask what to count."""
        self._open_for_man(lambda man: ask_lists.events(self._desk, man))

    def open_lined_up(self) -> None:
        """Ask how he lined up, where the scheme says where he should."""
        man = self.man
        if man is not None and man.player is not None and man.asked.expectation.alignment is None:
            self._desk.say(why_no_alignment(man.asked))
            return
        self._open_for_man(lambda man: ask_lists.lined_up(self._desk, man))

    def open_points(self) -> None:
        """Ask for technique, item by item, then effort."""
        self._open_for_man(lambda man: ask_lists.points(self._desk, man, 0))

    def open_pairing(self) -> None:
        """Ask how an angle is to be moved along the plays."""
        self.open(lambda: pairing_lists.which_angle(self._desk))

    def open_tools(self) -> None:
        """Ask what to draw."""
        self.open(lambda: ask_lists.tools(self._desk))

    def open_sessions(self) -> None:
        """Ask which session to show."""
        self.open(lambda: ask_lists.sessions(self._desk))

    def touch_gap(self, gap: str, side: Side) -> None:
        """Record that the man in hand fitted a gap; ask which job where it has several."""
        man = self.man
        if man is None:
            self._desk.say("Choose the man first, then touch the gap he fitted.")
            return
        made = ask_lists.fits_of_gap(self._desk, man, gap, side)
        if made is None:
            return
        if len(made.answers) == 1:
            self._give(made.answers[0])
        else:
            position = man.position
            self.open(lambda: self._gap_again(position, gap, side))

    def _gap_again(self, position: str, gap: str, side: Side) -> Ask | None:
        man = self._desk.state.man(position) if self._desk.state else None
        return ask_lists.fits_of_gap(self._desk, man, gap, side) if man else None

    def _open_for_man(self, made: Callable[[Man], Ask | None]) -> None:
        man = self.man
        if man is None:
            self._desk.say("Choose a man first: press his number, or Tab.")
            return
        if man.player is None:
            self._desk.lining.ask_who()
            return
        self.open(lambda: made(self.man) if self.man else None)
