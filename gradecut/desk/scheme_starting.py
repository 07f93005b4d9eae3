"""A first scheme from a few answers: one question at a time, the front drawn as it grows."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import TYPE_CHECKING

from psygnal import Signal

from gradecut.counting_words import written_out
from gradecut.desk.scheme_files import first_fault
from gradecut.desk.what_if import WhatIf
from gradecut.errors import SchemeError
from gradecut.records.picture import LookPicture, PictureMan
from gradecut.scheme import Value, parse_scheme

if TYPE_CHECKING:
    from gradecut.desk.scheme_desk import SchemeDesk
    from gradecut.scheme.starting import StartQuestion

__all__ = ["SchemeStarting", "all_questions"]

_FRONT = frozenset({"name", "front", "inside", "strong_edge", "weak_edge", "linebackers"})
"""Asked for a scheme that waits for its rules too: they make its men."""
_NAMES = {
    "name": "its name",
    "front": "men down",
    "inside": "off the ball",
    "strong_edge": "edge to the strength",
    "weak_edge": "edge away from it",
    "linebackers": "their names",
    "kick_out": "kick-out",
    "cutback": "cutback",
    "back_his": "back on his side",
    "back_other": "back on the other",
    "back_behind": "back behind, or none",
    "crossing": "crossing blocker",
    "zone_read": "zone read",
    "option": "option",
}
"""What a question is called in the list of all of them."""
_BEFORE: Mapping[str, Value] = {
    "strength": "right",
    "surface.left": 2,
    "surface.right": 3,
    "back": "left",
    "wing": "none",
}
_SHOWN: dict[str, Mapping[str, Value]] = {
    "front": {"concept": "inside zone", "run": "right"},
    "inside": {"concept": "inside zone", "run": "right"},
    "strong_edge": {"concept": "outside zone", "run": "right"},
    "weak_edge": {"concept": "outside zone", "run": "left"},
    "kick_out": {"concept": "power", "run": "right"},
    "cutback": {"concept": "outside zone", "run": "left"},
    "back_his": {"back": "right", "concept": "inside zone", "run": "left"},
    "back_other": {"back": "left", "concept": "inside zone", "run": "left"},
    "back_behind": {"back": "behind", "concept": "inside zone", "run": "left"},
    "crossing": {
        "surface.left": 4, "wing": "left", "wing_goes": "crosses",
        "concept": "inside zone", "run": "left",
    },
    "zone_read": {"back": "right", "concept": "zone read", "run": "left"},
    "option": {"concept": "option", "run": "right"},
}  # fmt: skip
"""On which look the answer to a question is drawn; before the snap where none is named."""
_OF_THE_LOOK = {
    "front": "Drawn: inside zone to the strength.",
    "inside": "Drawn: inside zone to the strength.",
    "strong_edge": "Drawn: outside zone to the strength.",
    "weak_edge": "Drawn: outside zone away from the strength.",
    "kick_out": "Drawn: power to the strength.",
    "cutback": "Drawn: outside zone away from the strength.",
    "back_his": "Drawn: inside zone away from the strength, the back to it.",
    "back_other": "Drawn: inside zone away from the strength, the back there.",
    "back_behind": "Drawn: inside zone away from the strength, the back behind.",
    "crossing": "Drawn: the blocker crosses to the strength, inside zone goes away from it.",
    "zone_read": "Drawn: zone read away from the strength, the back to it.",
    "option": "Drawn: option to the strength.",
}


def all_questions() -> str:
    """Say how many questions a first scheme with rules takes: "fourteen questions"."""
    from gradecut.scheme.starting import QUESTIONS

    return written_out(len(QUESTIONS), "question")


class SchemeStarting:
    """Holds the answers, the question that is asked now, and what they make.

    Attributes
    ----------
    rules : bool
        A scheme with rules is made; else one that waits for them, of fewer questions.
    questions : tuple of StartQuestion
    answers : dict of str to str
        By question; every question has one from the start.
    at : int
        Which question is asked, from 0.

    Signals
    -------
    changed
        Another answer, or another question.
    """

    changed = Signal()

    def __init__(self, desk: SchemeDesk, *, rules: bool = True) -> None:
        from gradecut.scheme.starting import QUESTIONS

        self._desk = desk
        self.rules = rules
        self.questions: tuple[StartQuestion, ...] = tuple(
            one for one in QUESTIONS if rules or one.key in _FRONT
        )
        self.answers = {one.key: one.default for one in self.questions}
        self.at = 0
        self._what_if: WhatIf | None = None
        self.refused = ""
        self._make()

    @property
    def question(self) -> StartQuestion:
        """The question that is asked now."""
        return self.questions[self.at]

    @property
    def last(self) -> bool:
        """Whether no question follows."""
        return self.at == len(self.questions) - 1

    @property
    def at_once(self) -> bool:
        """Whether what is begun is in force at once: no rules yet, and no scheme in the book."""
        return not self.rules and self._desk.scheme is None

    def go(self, by: int) -> None:
        """Go on by so many questions, or back; never past the ends."""
        self.go_to(self.at + by)

    def go_to(self, at: int) -> None:
        """Ask a question by its place."""
        self.at = min(max(at, 0), len(self.questions) - 1)
        self.changed.emit()

    def answer(self, value: str) -> None:
        """Answer the question that is asked now; the front is drawn anew."""
        if self.answers[self.question.key] != value:
            self.answers[self.question.key] = value
            self._make()
            self.changed.emit()

    def name_of(self, at: int) -> str:
        """Return what a question is called in the list."""
        return _NAMES.get(self.questions[at].key, self.questions[at].key.replace("_", " "))

    def told(self, at: int) -> str:
        """Return the answer to a question in a word or two, for the list."""
        one = self.questions[at]
        value = self.answers[one.key]
        said = next((choice.words for choice in one.choices if choice.value == value), value)
        return said.split(":")[0].split(";")[0].rstrip(".") or "the usual ones"

    def look_words(self) -> str:
        """Say on which look the front is drawn now."""
        return _OF_THE_LOOK.get(self.question.key, "Drawn: your linebackers before the snap.")

    def picture(self) -> LookPicture | None:
        """Return the front as the answers make it; None while they make none."""
        if self._what_if is None:
            return None
        asked = {**_BEFORE, **_SHOWN.get(self.question.key, {})}
        known = self._what_if.scheme.references
        self._what_if.start_from({key: asked[key] for key in known if key in asked})
        picture = self._what_if.picture()
        if self.question.key in _SHOWN:
            return picture
        return replace(picture, men=tuple(map(_waiting, picture.men)), front=())

    def text(self) -> str:
        """Return the file the answers make.

        Raises
        ------
        SchemeError
            Where a name can't be one.
        """
        from gradecut.scheme.starting import blank_scheme, start_scheme

        return (start_scheme if self.rules else blank_scheme)(self.answers)

    def begin(self) -> bool:
        """Take what the answers make as the draft; whether it was taken.

        A scheme that waits for its rules is in force at once where the book has none, so that
        he can grade by his men and fits: it asks nothing of anybody.
        """
        if self.refused:
            return False
        at_once = self.at_once
        name = self.answers.get("name", "")
        if not self._desk.begin(f"{name} begun from answers", self.text()):
            self.refused = self._desk.refused or "That is what is shown already."
            self.changed.emit()
            return False
        if at_once:
            self._desk.keep()
        else:
            self._desk.say(f"{name} is begun as a draft; nothing is in force until it is kept.")
        return True

    def _make(self) -> None:
        from gradecut.scheme.starting import start_scheme

        try:
            scheme = parse_scheme(start_scheme(self.answers), "the answers")
        except SchemeError as error:
            self.refused = first_fault(error)
            self._what_if = None
        else:
            self.refused = ""
            self._what_if = WhatIf(scheme, self._desk.say)


def _waiting(man: PictureMan) -> PictureMan:
    """Return a man as he stands before the snap."""
    return PictureMan(position=man.position, at_yd=man.at_yd)
