"""What is recorded of the play as a whole: its look, its moments, its kind, its films."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from gradecut.desk.clip_state import Man
from gradecut.desk.fact_letters import reference_of
from gradecut.desk.fact_lists import turn_over
from gradecut.errors import GradecutError
from gradecut.records import Angle, Clip, ClipKind, FactValue, Moment, MomentKind, Rep
from gradecut.scheme import Value, fact_words
from gradecut.workflows.carried_men import rep_in
from gradecut.workflows.looks import forget_fact, spell_value, tell_fact
from gradecut.workflows.moments import mark_moment, unmark_moment
from gradecut.workflows.play_words import plays_told

if TYPE_CHECKING:
    from gradecut.desk.film_desk import FilmDesk

__all__ = ["Telling"]

_OF_THE_CLIP = ("snap", "whistle")


class Telling:
    """What can be recorded of the play shown."""

    def __init__(self, desk: FilmDesk) -> None:
        self._desk = desk
        self._doubts_told: set[tuple[str, str, int, int]] = set()

    def tell(self, reference: str, value: Value) -> bool:
        """Answer one fact of the look; what another grader marked and goes with it is said."""
        state = self._desk.state
        if state is None or state.scheme is None:
            return False
        scheme, clip, book = state.scheme, state.clip, self._desk.book
        before = self._marked_by_others(clip)
        done = self._desk.do(
            lambda: tell_fact(book, scheme, clip, reference, value, source="marked")
        )
        after = self._marked_by_others(clip)
        if gone := [one for key, one in before.items() if key not in after]:
            self._desk.say(f"{self._told_by(gone)} can't be with that; Ctrl+Z brings it back.")
        return done

    def _told_by(self, facts: Sequence[FactValue]) -> str:
        """Name what others marked; whoever grades blind is not told what it was."""
        if self._desk.book.blind:
            return "What another grader marked"
        return " and ".join(
            f"“{fact_words(one.reference)} {spell_value(one.value)}”, marked by {one.author},"
            for one in facts
        )

    def _marked_by_others(self, clip: Clip) -> dict[str, FactValue]:
        book = self._desk.book
        found = book.find(FactValue, clip_id=clip.id, source="marked")
        return {one.id: one for one in found if one.author != book.author}

    def untell(self, reference: str) -> bool:
        """Take one's own answer back."""
        state = self._desk.state
        return state is not None and self._desk.do(
            lambda: forget_fact(self._desk.book, state.clip, reference)
        )

    def turn_over(self, letter: str) -> None:
        """Give the fact with a letter its other value; ask which where it has more than two."""
        state, desk = self._desk.state, self._desk
        if state is None:
            return
        if state.scheme is None:
            desk.say("There is no scheme in this book yet, so a look has no facts to turn over.")
            return
        reference = reference_of(state.scheme, letter)
        if reference is None:
            desk.say(f"No fact of this scheme has the letter {letter.upper()}; L lists them all.")
            return
        turn_over(desk, state.scheme, reference)

    def mark(self, kind: MomentKind) -> None:
        """Mark that something happens at the frame that is seen; marked there already: unmark it.

        A held key can lead the picture: the coach marks what he sees, not what he has asked for.
        """
        head, state = self._desk.playhead, self._desk.state
        angle = head.angle
        if angle is None or state is None:
            self._desk.say("There is no film on the stage to mark.")
            return
        rep: Rep | None = None
        man = self._desk.hand.man if kind not in _OF_THE_CLIP else None
        if kind not in _OF_THE_CLIP:
            if man is None or man.player is None:
                self._desk.say(f"The {kind} belongs to a man: choose him first, then mark it.")
                return
            rep = man.rep
        head.stand()
        old = state.timeline.moment(kind, angle=angle, rep_id=rep.id if rep else None)
        if old is not None and old.source == "marked" and head.frame_at(old.pts) == head.frame:
            self._desk.do(lambda: self._unmark(old))
            return
        done = self._desk.do(lambda: self._mark(angle, kind, man))
        if done and kind in _OF_THE_CLIP:
            self._tell_doubt()

    def _mark(self, angle: Angle, kind: MomentKind, man: Man | None) -> None:
        book, pts = self._desk.book, self._desk.playhead.pts()
        with book.act(f"mark the {kind}"):
            rep = None if man is None else man.rep or rep_in(book, man.asked.clip, man.position)
            mark_moment(book, angle, kind, pts, rep)

    def _tell_doubt(self) -> None:
        """Say, once, that what is marked contradicts how an angle was paired; move nothing."""
        from gradecut.workflows.pairing_doubts import check_pairing

        state = self._desk.state
        if state is None:
            return
        there_first = min(state.timeline.angles, key=lambda one: one.id, default=None)
        for angle in state.timeline.angles:
            if angle is there_first:
                continue
            doubt = check_pairing(self._desk.book, state.session, angle.name)
            if doubt is None:
                continue
            known = (state.session.id, angle.name, doubt.from_play, doubt.by)
            if known not in self._doubts_told:
                self._doubts_told.add(known)
                self._desk.say(f"{doubt.what} (P moves them): {doubt.evidence}.")

    def mark_snap(self) -> None:
        """Mark the snap."""
        self.mark("snap")

    def mark_step(self) -> None:
        """Mark his first step."""
        self.mark("first step")

    def mark_go(self) -> None:
        """Mark where he commits to his fit."""
        self.mark("go")

    def mark_contact(self) -> None:
        """Mark contact."""
        self.mark("contact")

    def mark_whistle(self) -> None:
        """Mark the whistle."""
        self.mark("whistle")

    def drop_play(self) -> None:
        """Say that this was no play, and go on; on one that was said to be none: it was a run."""
        state, book = self._desk.state, self._desk.book
        if state is None:
            return
        kind: ClipKind = "run" if state.clip.kind == "no play" else "no play"

        def put() -> None:
            with book.act(f"say that play {state.clip.order} was a {kind}") as act:
                act.put(replace(book.get(Clip, state.clip.id), kind=kind))

        if not self._desk.do(put):
            return
        order = state.clip.order
        if kind == "run":
            self._desk.say(f"Play {order} is to be graded after all.")
            return
        self._desk.next_clip()
        self._desk.say(f"Play {order} was no play; D on it brings it back.")

    def take_play_out(self) -> None:
        """Take this play out of the book, and show the one after it; refused where work rests."""
        from gradecut.workflows.dropping import drop_play

        state, desk = self._desk.state, self._desk
        if state is None:
            return
        clip, line = state.clip, desk.plays.line
        following = line.beside(clip.id, 1) or line.beside(clip.id, -1)
        if not desk.do(lambda: drop_play(desk.book, clip), wide=True):
            return
        if following is not None:
            desk.open_clip(following)
        desk.say(f"Play {clip.order} is out of the book; its film files are where they were.")

    def paired(self) -> dict[str, list[int]]:
        """Return each angle of this session by name, with the plays that have it."""
        state, book = self._desk.state, self._desk.book
        if state is None:
            return {}
        orders = {clip.id: clip.order for clip in book.find(Clip, session_id=state.session.id)}
        found: dict[str, list[int]] = {}
        for angle in book.find(Angle, clip_id=list(orders)):
            found.setdefault(angle.name, []).append(orders[angle.clip_id])
        return {name: sorted(found[name]) for name in sorted(found)}

    def shift_pairing(self, angle: str, by: int) -> None:
        """Move an angle's films along the plays, from the play shown on."""
        from gradecut.workflows.adding import shift_pairing

        state = self._desk.state
        if state is None:
            return
        session, order = state.session, state.clip.order
        moved = self._desk.do(
            lambda: shift_pairing(self._desk.book, session, angle, from_play=order, by=by),
            wide=True,
        )
        if moved:
            self._desk.say(f"The {angle} films now lie on {plays_told(self.paired()[angle])}.")

    def _unmark(self, moment: Moment) -> None:
        if moment.author != self._desk.book.author:
            raise GradecutError(f"{moment.author} marked it there; only he can take it away.")
        unmark_moment(self._desk.book, moment)
