"""Rounds: from rep to rep across plays, each looked at closely."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import TYPE_CHECKING, Literal

from psygnal import Signal

from gradecut.counting_words import counted
from gradecut.desk.asking import Answer, Ask
from gradecut.desk.round_boxes import RoundBox, round_boxes, who_words
from gradecut.records import Rep

if TYPE_CHECKING:
    from gradecut.desk.film_desk import FilmDesk
    from gradecut.workflows.rounds import RoundRep, Standing

__all__ = ["Rounds"]

Kind = Literal["", "flagged", "man"]
_MOST_NAMED = 4
"""Of what is left so many are named in a sentence; the rest are counted."""
_AT_ONCE = 200
"""Up to so many reps are read anew whenever something was done."""


class Rounds:
    """The round that goes on, if one does.

    Attributes
    ----------
    kind : "", "flagged" or "man"
        What it goes through; empty while there is none.
    reps : tuple of RoundRep
        As they were when it began.
    place : int
        Of the rep that is its turn.

    Signals
    -------
    changed
        It began, went on or ended, or a rep of it stands otherwise.
    """

    changed = Signal()

    def __init__(self, desk: FilmDesk) -> None:
        self._desk = desk
        self.kind: Kind = ""
        self.reps: tuple[RoundRep, ...] = ()
        self.place = 0
        self._name = ""
        self._standing: dict[str, Standing] = {}
        self._going = False
        desk.state_changed.connect(self._renew)
        desk.clip_changed.connect(self._came)

    # ------------------------------------------------------------------ how it stands

    @property
    def on(self) -> bool:
        """Whether a round goes on."""
        return bool(self.kind)

    @property
    def rep(self) -> RoundRep | None:
        """Whose turn it is."""
        return self.reps[self.place] if self.on else None

    @property
    def aside(self) -> bool:
        """Whether another play than his is shown."""
        clip, rep = self._desk.clip, self.rep
        return rep is not None and (clip is None or clip.id != rep.clip_id)

    @property
    def left(self) -> tuple[RoundRep, ...]:
        """Those not looked at yet."""
        return tuple(rep for rep in self.reps if self._waits(rep))

    @property
    def progress(self) -> str:
        """How far it is: "3 of 11 flagged", "rep 3 of 9, Okorie"."""
        if not self.on:
            return ""
        count = f"{self.place + 1} of {len(self.reps)}"
        return f"{count} flagged" if self.kind == "flagged" else f"rep {count}, {self._name}"

    @property
    def told(self) -> str:
        """What is done of it and what is left."""
        done = len(self.reps) - len(self.left)
        return f"{done} looked at, {len(self.left)} left" if self.on else ""

    @property
    def boxes(self) -> tuple[RoundBox, ...]:
        """The reps as the strip shows them."""
        return round_boxes(self.reps, self._standing, flagged=self.kind == "flagged")

    @property
    def words(self) -> str:
        """All of it in a sentence, for whoever can't see it."""
        rep = self.rep
        if rep is None:
            return ""
        away = " Another play is shown; Enter goes back to him." if self.aside else ""
        return f"{self.progress}: {who_words(rep)}. {self.told}.{away}"

    # ------------------------------------------------------------------ beginning and ending

    def flagged(self) -> None:
        """Look at what is flagged: of this session, or of all where others hold more; or leave."""
        from gradecut.workflows.rounds import round_of_flags

        if self.kind == "flagged":
            self.leave()
            return
        book = self._desk.book
        self._offer(
            "Which flagged reps?",
            lambda session: round_of_flags(book, session_id=session),
            lambda reps: self._begin("flagged", "", reps),
            more=lambda here: len(round_of_flags(book)) > here,
            none="No rep is flagged: pick a man and press F, then he is shown here.",
        )

    def of_man(self) -> None:
        """Look at the man in hand through all his plays; or leave."""
        from gradecut.workflows.rounds import reps_of_man

        if self.kind == "man":
            self.leave()
            return
        man = self._desk.hand.man
        if man is None or man.player is None:
            self._desk.say("Choose a man first: press his number, or Tab.")
            return
        book, player = self._desk.book, man.player
        self._offer(
            f"{player.short_name}: which plays?",
            lambda session: reps_of_man(book, player.id, session_id=session),
            lambda reps: self._begin("man", player.short_name, reps),
            more=lambda here: book.count(Rep, player_id=player.id) > here,
            none=f"{player.name} has no play to grade.",
        )

    def leave(self) -> None:
        """End the round where it is; the play shown stays."""
        if not self.on:
            return
        left, told = len(self.left), self.progress
        self._end()
        rest = f"{counted(left, 'rep')} not looked at yet" if left else "every rep was looked at"
        self._desk.say(f"Left at {told}; {rest}.")

    def back(self) -> bool:
        """Leave; a list that is open, or misses asked, end first. Tell whether anything ended."""
        hand = self._desk.hand
        if not self.on or hand.busy:
            return False
        if hand.asks_misses and not self.aside:
            hand.hold(hand.position)
        else:
            self.leave()
        return True

    # ------------------------------------------------------------------ going through it

    def next(self) -> None:
        """Go to the next rep."""
        self._go(self.place + 1, f"That was the last of {len(self.reps)}")

    def previous(self) -> None:
        """Go to the rep before."""
        self._go(self.place - 1, "That is the first")

    def next_left(self) -> None:
        """Go to the next rep that was not looked at."""
        place = self._next_left()
        if place is None:
            self._desk.say("Every rep of this round was looked at.")
        else:
            self._show(place)

    def holds(self, rep_id: str) -> bool:
        """Tell whether a rep is one of the round's."""
        return any(rep.rep_id == rep_id for rep in self.reps)

    def following(self, clip_id: str) -> str:
        """Return the play of the next rep that lies on another one; empty where there is none."""
        later = (rep.clip_id for rep in self.reps[self.place + 1 :])
        return next((one for one in later if one != clip_id), "")

    def show(self, rep_id: str) -> None:
        """Go to a rep of the round."""
        self._show([rep.rep_id for rep in self.reps].index(rep_id))

    def look_at(self) -> None:
        """Say he was looked at and stands as judged, right where he was open; go to the next.

        From another play this leads back to him, and nothing is recorded.
        """
        rep = self.rep
        if rep is None:
            return
        if self.aside:
            self._show(self.place)
            return
        if not self._desk.do(lambda: self._look_at(rep), leaving=True):
            return
        self._read_play(rep.clip_id)
        if not self.left:
            self._finish()
            self._desk.read_again()
        elif self.place + 1 < len(self.reps):
            self._show(self.place + 1)
        else:
            self._desk_says_left(f"That was the last of {len(self.reps)}")
            self._show(self._next_left() or 0)

    @property
    def enter_words(self) -> str:
        """What Enter does now."""
        rep = self.rep
        if rep is None:
            return ""
        if self.aside:
            return f"back to {who_words(rep)}"
        standing = self._standing.get(rep.rep_id)
        open_yet = standing is None or standing.result is None
        return "he was right, next rep" if open_yet else "keep it, next rep"

    # ------------------------------------------------------------------ within

    def _offer(
        self,
        title: str,
        find: Callable[[str | None], tuple[RoundRep, ...]],
        begin: Callable[[tuple[RoundRep, ...]], None],
        *,
        more: Callable[[int], bool],
        none: str,
    ) -> None:
        """Begin with this session's reps; ask which, where other sessions hold some too.

        Those of a whole season are read only where they are asked for.
        """
        session = self._desk.plays.session
        here = find(session.id) if session is not None else ()
        elsewhere = len(self._desk.plays.sessions) > 1 and more(len(here))
        if here and elsewhere and session is not None:
            answers = (
                Answer(words=f"of {session.name}", hint=str(len(here)), do=partial(begin, here)),
                Answer(words="of all sessions", do=lambda: begin(find(None))),
            )
            self._desk.hand.open(lambda: Ask(kind="rounds", title=title, answers=answers))
            return
        found = here or (find(None) if elsewhere else ())
        if not found:
            self._desk.say(none)
            return
        begin(found)
        if not here and session is not None:
            self._desk.say(f"None in {session.name}; these are of other sessions.")

    def _begin(self, kind: Kind, name: str, reps: tuple[RoundRep, ...]) -> None:
        self.kind, self._name, self.reps = kind, name, reps
        self._read(reps)
        first = next((at for at, rep in enumerate(reps) if self._waits(rep)), 0)
        self._show(first)

    def _end(self) -> None:
        self.kind, self.reps, self.place, self._name = "", (), 0, ""
        self._standing = {}
        self._desk.hand_moved()
        self.changed.emit()

    def _finish(self) -> None:
        count = len(self.reps)
        whose = "" if self.kind == "flagged" else f" of {self._name}"
        what = counted(count, "rep" if whose else "flagged rep")
        self._end()
        self._desk.say(f"All done: {what}{whose} looked at closely.")

    def _go(self, place: int, at_end: str) -> None:
        if 0 <= place < len(self.reps):
            self._show(place)
        elif self.left:
            self._desk_says_left(at_end)
        else:
            self._desk.say(f"{at_end}; every one was looked at. Esc leaves.")

    def _desk_says_left(self, first: str) -> None:
        left = self.left
        named = ", ".join(who_words(rep) for rep in left[:_MOST_NAMED])
        more = f" and {len(left) - _MOST_NAMED} more" if len(left) > _MOST_NAMED else ""
        self._desk.say(f"{first}; {len(left)} left: {named}{more}.")

    def _show(self, place: int) -> None:
        """Show a rep: its play, its man in hand, the film at his first step or at the snap."""
        rep = self.reps[place]
        self.place = place
        desk = self._desk
        self._read_play(rep.clip_id)
        self._going = True
        try:
            desk.open_rep(rep.clip_id, rep.rep_id)
        finally:
            self._going = False
        desk.playhead.pause()
        ticks = desk.ticks() if not self.aside else None
        at = {tick.kind: tick.frame for tick in ticks.moments} if ticks else {}
        frame = at.get("first step", at.get("snap"))
        if frame is not None:
            desk.playhead.seek(frame)
        self.changed.emit()

    def _look_at(self, rep: RoundRep) -> None:
        from gradecut.workflows.rounds import look_at

        look_at(self._desk.book, self._desk.book.get(Rep, rep.rep_id))

    def _waits(self, rep: RoundRep) -> bool:
        standing = self._standing.get(rep.rep_id)
        if standing is None:
            return False
        return not standing.looked_at and (standing.flagged or self.kind != "flagged")

    def _next_left(self) -> int | None:
        places = (*range(self.place + 1, len(self.reps)), *range(self.place))
        return next((at for at in places if self._waits(self.reps[at])), None)

    def _came(self) -> None:
        """Tell that another play is shown, unless the round goes to it and tells more."""
        if not self._going:
            self.changed.emit()

    def _read_play(self, clip_id: str) -> None:
        """Read how the reps of one play stand."""
        some = tuple(rep for rep in self.reps if rep.clip_id == clip_id)
        self._read(some)

    def _read(self, reps: tuple[RoundRep, ...]) -> None:
        """Read how some reps stand."""
        from gradecut.workflows.rounds import standings

        self._standing |= standings(self._desk.book, reps)

    def _renew(self) -> None:
        """Read how the reps stand, after something was done or taken back.

        Of a long round only those of the play shown: nothing else is changed from here.
        """
        if not self.on:
            return
        clip = self._desk.clip
        if len(self.reps) <= _AT_ONCE:
            self._read(self.reps)
        elif clip is not None:
            self._read_play(clip.id)
        self.changed.emit()
