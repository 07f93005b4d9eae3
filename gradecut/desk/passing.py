"""Enter: the play is passed, or what stands in the way is asked."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from gradecut.desk.clip_state import ClipState, Man

if TYPE_CHECKING:
    from gradecut.desk.film_desk import FilmDesk
    from gradecut.workflows.passing import Left, Passed

__all__ = ["Passing"]


class Passing:
    """Lets plays through at speed, one key each.

    Where a man can't be settled by any fact he is taken in hand, and a second Enter leaves him
    open: a hole in the rules holds up nobody's evening.
    """

    def __init__(self, desk: FilmDesk) -> None:
        self._desk = desk
        self._told: tuple[Left, ...] = ()
        desk.clip_changed.connect(self._forget)
        desk.state_changed.connect(self._forget)

    @property
    def words(self) -> str:
        """Say what Enter does now; the strip of plays and the question both tell it."""
        desk, state = self._desk, self._desk.state
        if desk.marks.tool is not None:
            return "set the point"
        if desk.rounds.on:
            return desk.rounds.enter_words
        if state is None or state.clip.kind == "no play" or not state.men:
            return "next play"
        if not any(man.player is not None for man in state.men):
            return "say who"
        return _words_of_men([man for man in state.men if man.player is not None and man.to_grade])

    def let_through(self) -> None:
        """Confirm the picture, let all who are open through as right, and show the next play."""
        from gradecut.workflows.passing import Left, pass_clip

        desk, state = self._desk, self._desk.state
        if state is None:
            desk.say("Add film first; then there is something to grade.")
            return
        if state.clip.kind == "no play":
            desk.next_clip()
            return
        if (first := _place_nobody_has(state)) is not None:
            order = state.clip.order
            why = f"Nobody is named on play {order}: say who is in at {first}."
            self._stay((Left(man=first, why=why),))
            return
        done: list[Passed] = []
        if not desk.do(lambda: done.append(pass_clip(desk.book, state.clip)), leaving=True):
            return
        (passed,) = done
        if passed.held:
            desk.hand.free()
            desk.hand_moved()
            desk.say(_and_more(passed.left))
        elif passed.left:
            if passed.graded:
                desk.read_again()
            self._stay(passed.left)
        else:
            desk.next_clip()
            if desk.state is state:
                desk.read_again()

    def _stay(self, left: tuple[Left, ...]) -> None:
        """Ask about the first who is left; asked before, and nothing said: leave him open."""
        desk = self._desk
        if left == self._told and desk.clip is not None:
            order = desk.clip.order
            desk.next_clip()
            desk.say(f"Play {order} stays open: {', '.join(one.man for one in left)}.")
            return
        desk.hand.choose(left[0].man)
        desk.say(_and_more(left))
        self._told = left

    def _forget(self) -> None:
        self._told = ()


def _words_of_men(men: Sequence[Man]) -> str:
    waiting = [man for man in men if man.grade is None or man.stale]
    if not waiting:
        return "next play"
    if not any(man.asked.settled for man in waiting):
        asked = any(man.asked.expectation.needs for man in waiting)
        return "asks what is open" if asked else "asks man by man"
    if not all(man.asked.settled for man in waiting):
        return "asks what is open"
    return "all right, next play" if len(waiting) == len(men) else "the rest right, next play"


def _place_nobody_has(state: ClipState) -> str | None:
    """Return the first place where a man should be graded, on a play where nobody is named."""
    waiting = [man.position for man in state.men if man.to_grade]
    named = any(man.player is not None for man in state.men)
    return waiting[0] if waiting and not named else None


def _and_more(left: Sequence[Left]) -> str:
    more = f" (and {len(left) - 1} more)" if len(left) > 1 else ""
    return f"{left[0].why}{more}"
