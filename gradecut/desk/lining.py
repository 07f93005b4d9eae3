"""Who is in: substitutions, unknown men, the side a man lined up at; each by one key."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import TYPE_CHECKING

from gradecut.desk.asking import Answer, Ask
from gradecut.desk.clip_state import ClipState
from gradecut.records import Clip, Player, Side
from gradecut.workflows.carried_men import rep_in
from gradecut.workflows.periods import plays_of_period
from gradecut.workflows.play_words import plays_told
from gradecut.workflows.roster import told_apart

if TYPE_CHECKING:
    from gradecut.desk.film_desk import FilmDesk
    from gradecut.workflows.coming_in import ComingIn
    from gradecut.workflows.line_ups import PutIn

__all__ = ["Lining"]

_OTHER: dict[Side, Side] = {"left": "right", "right": "left"}
_UNKNOWN_KEY = "Ctrl+U"


class Lining:
    """What can be done about who is in at the position in hand.

    A substitution is meant as coaches mean it: from this play on to the end of the period,
    until something else is said.
    """

    def __init__(self, desk: FilmDesk) -> None:
        self._desk = desk
        self._came = ("", "")

    def substitute(self) -> None:
        """Put in the man who shared this position; ask where more than one could come.

        Once more on the same play asks too: it was another man.
        """
        position = self._position()
        state = self._desk.state
        if not position or state is None:
            return
        likely = self._coming_in(state, position).likely
        if len(likely) == 1 and self._came != (state.clip.id, position):
            if self.put_in(position, likely[0], onwards=True):
                self._came = state.clip.id, position
        else:
            self.ask_who()

    def ask_who(self) -> None:
        """Ask who is in at this position from here on."""
        position = self._position()
        if position:
            self._desk.hand.open(lambda: self.who(position))

    def who(self, position: str, *, onwards: bool = True) -> Ask | None:
        """Ask who is in, from here on or on this play only: those who shared the position first."""
        state = self._desk.state
        if state is None:
            return None
        found = self._coming_in(state, position)
        period = state.clip.period or "this session"
        when = f" from here on in {period}?" if onwards else f" on play {state.clip.order} only?"
        likely, others = (
            [self._answer(state, found, position, man, onwards=onwards) for man in men]
            for men in (found.likely, found.others)
        )
        nobody = Answer(words="an unknown man", hint=_UNKNOWN_KEY, do=self.unknown)
        return Ask(
            kind="players",
            title=f"Who is at {position}{when}"
            if found.likely or found.others
            else f"No roster yet: Ctrl+R brings one in. Who is at {position}?",
            answers=(*likely, nobody, *others),
        )

    def on_this_play(self) -> None:
        """Ask who is in at this position on this play only."""
        position = self._position()
        if position:
            self._desk.hand.open(lambda: self.who(position, onwards=False))

    def unknown(self) -> None:
        """Put a man in at this position whom nobody knows yet; he is named later."""
        from gradecut.workflows.naming_men import put_in_unknown

        position, state = self._position(), self._desk.state
        if not position or state is None:
            return
        done: list[tuple[Player, PutIn]] = []
        book, clip = self._desk.book, state.clip
        if self._desk.do(lambda: done.append(put_in_unknown(book, clip, position)), wide=True):
            man, came = done[0]
            said = self._came_words(clip, position, man, came)
            self._desk.say(f"{said} Alt+N names him later, everywhere at once.")

    def turn_side(self) -> None:
        """Say that he lined up on the other side than the scheme has him, or take it back.

        Of a man who lines up on either side: left, right, not set.
        """
        from gradecut.workflows.line_ups import say_side

        man, state = self._desk.hand.man, self._desk.state
        if man is None or man.player is None or state is None:
            self._desk.say("Choose a man first: press his number, or Tab.")
            return
        rep, scheme, usual = man.asked.rep, man.asked.scheme, man.asked.own_side
        place = scheme.positions.get(rep.position) if scheme else None
        free = place is None or place.side == "as aligned" or usual is None
        sides: tuple[Side | None, ...] = (None, "left", "right")
        if not free and usual is not None:
            sides = (None, _OTHER[usual])
        side = sides[(sides.index(rep.side) + 1) % len(sides)] if rep.side in sides else None
        book, clip = self._desk.book, state.clip

        def work() -> None:
            with book.act(f"say at which side {rep.position} lined up"):
                say_side(book, man.rep or rep_in(book, clip, rep.position), side)

        if self._desk.do(work):
            nobody = "has no side set" if free else "stands where the scheme has him"
            told = f"lined up {side}" if side else nobody
            self._desk.say(f"{man.who} {told} on this play.")

    def put_in(self, position: str, player: Player, *, onwards: bool) -> bool:
        """Put a man in, and say from where to where he is."""
        from gradecut.workflows.line_ups import PutIn, put_in, substitute

        state, book = self._desk.state, self._desk.book
        if state is None:
            return False
        clip = state.clip
        done: list[PutIn] = []

        def work() -> None:
            if onwards:
                done.append(substitute(book, clip, position, player))
            else:
                put_in(book, clip, position, player)
                done.append(PutIn(plays=(clip.order,)))

        if not self._desk.do(work, wide=onwards):
            return False
        self._desk.say(self._came_words(clip, position, player, done[0]))
        return True

    # ------------------------------------------------------------------ asking and telling

    def _coming_in(self, state: ClipState, position: str) -> ComingIn:
        from gradecut.workflows.coming_in import coming_in

        staying = {man.player.id: man.position for man in state.men if man.player}
        book = self._desk.book
        return book.reading(lambda: coming_in(book, state.clip, position, staying=staying))

    def _position(self) -> str:
        if not self._desk.hand.position:
            self._desk.say("Choose a man first: press his number, or Tab.")
        return self._desk.hand.position

    def _answer(
        self, state: ClipState, found: ComingIn, position: str, man: Player, *, onwards: bool
    ) -> Answer:
        players = (*found.likely, *found.others)
        number = told_apart(man, players, game=state.session.kind == "game")
        at = found.at.get(man.id)
        told = number if number[:1].isdecimal() else ""
        hint = f"at {at} now" if at else "held out" if man.held_out else told
        do: Callable[[], object] = partial(self.put_in, position, man, onwards=onwards)
        return Answer(words=man.name, hint=hint, do=do)

    def _came_words(self, clip: Clip, position: str, player: Player, came: PutIn) -> str:
        if len(came.plays) == 1 and not came.kept and came.until is None:
            last = plays_of_period(self._desk.book, clip)[-1].order == clip.order
            only = "" if last else " only"
            return f"{player.name} is in at {position} on play {came.plays[0]}{only}."
        period = clip.period or "the session"
        said = f"{player.name} is in at {position} from play {clip.order} to {came.plays[-1]}"
        if came.until is None:
            said += f", the end of {period}"
        else:
            said += f"; on play {came.until} you said otherwise"
        if came.kept:
            kept = plays_told(came.kept)
            keeps = "keeps" if len(came.kept) == 1 else "keep"
            said += f"; {kept} {keeps} the man of whom something is said there"
        return f"{said}."
