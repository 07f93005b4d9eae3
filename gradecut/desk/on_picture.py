"""What is done on the picture of the look: it is turned, and its men, gaps and facts touched."""

from __future__ import annotations

from typing import TYPE_CHECKING

from gradecut.desk import fact_lists
from gradecut.drawing import Place, seen_from
from gradecut.records import Side
from gradecut.workflows.look_pictures import quarter_on, turn_pictures

if TYPE_CHECKING:
    from gradecut.desk.film_desk import FilmDesk

__all__ = ["OnPicture"]


class OnPicture:
    """Turns the picture as the film on stage is seen, and takes touches on it."""

    def __init__(self, desk: FilmDesk) -> None:
        self._desk = desk

    @property
    def turn(self) -> int:
        """How far the picture is turned now, in degrees clockwise."""
        angle = self._desk.playhead.angle
        return angle.turn if angle is not None else 0

    def turn_on(self) -> bool:
        """Turn it a quarter on, for every play this angle shows; tell whether it was done."""
        desk = self._desk
        angle, state = desk.playhead.angle, desk.state
        if angle is None or state is None:
            desk.say("Only with film: the picture is turned as the film on stage is seen.")
            return False
        turn = quarter_on(angle.turn)
        if not desk.do(lambda: turn_pictures(desk.book, state.session.id, angle.name, turn)):
            return False
        desk.say(f"Seen from {seen_from(turn)}, on every play of the {angle.name} film.")
        return True

    def take(self, position: str) -> None:
        """Take a man in hand."""
        self._desk.hand.choose(position)

    def fit(self, gap: str, side: Side) -> None:
        """Record that the man in hand fitted a gap."""
        self._desk.hand.touch_gap(gap, side)

    def turn_over(self, reference: str) -> None:
        """Give a fact its other value, or ask which."""
        state = self._desk.state
        if state is not None and state.scheme is not None:
            fact_lists.turn_over(self._desk, state.scheme, reference)
            self._desk.hand_moved()

    def first_places(self) -> tuple[Place, ...]:
        """Return where a keyboard would begin: the gap the man in hand owes, then himself."""
        man = self._desk.hand.man
        if man is None:
            return ()
        scheme = man.asked.scheme
        gap = scheme.fits[man.owes].gap if scheme and man.owes in scheme.fits else None
        himself = Place(kind="man", name=man.position)
        if gap is None or man.owes_side is None:
            return (himself,)
        return (Place(kind="gap", name=gap, side=man.owes_side), himself)

    def words_of(self, place: Place) -> str:
        """Say what a place is, and what a touch on it does."""
        if place.kind == "fact":
            return self._fact_words(place.name)
        if place.kind == "man":
            man = self._desk.state.man(place.name) if self._desk.state else None
            return f"{man.who if man else place.name}: Enter picks him"
        position = self._desk.hand.position
        gap = f"{place.name} {place.side}"
        return f"{gap}: Enter says {position} fitted here" if position else f"{gap}: first his man"

    def tip_of(self, place: Place) -> str:
        """Say of a fact what it is when it is pointed at; what else there is speaks for itself."""
        return self.words_of(place).replace("Enter", "a touch") if place.kind == "fact" else ""

    def say_words(self, words: str) -> None:
        """Say where the keyboard stands."""
        if words:
            self._desk.say(f"{words}; Escape leaves the picture.")

    def say_empty(self) -> None:
        """Say that there is nothing to go over."""
        self._desk.say("The picture has nothing to touch yet: bring a scheme and film in.")

    def _fact_words(self, reference: str) -> str:
        picture = self._desk.picture()
        facts = picture.facts if picture else ()
        told = next((fact for fact in facts if fact.reference == reference), None)
        if told is None:
            return reference
        unseen = f", by {told.source}, not checked yet" if told.source else ""
        key = f" or Shift+{told.letter}" if told.letter else ""
        return f"{told.words}{unseen}: Enter{key} changes it"
