"""Adding film: what is added, from where, to which session and angle."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, cast, get_args

from PyQt6.QtGui import QKeyEvent
from PyQt6.QtWidgets import QLabel, QLineEdit, QWidget

from gradecut.app.adding_film import AddingFilm, FilmWanted
from gradecut.app.choice_row import ChoiceRow
from gradecut.app.drop_down import DropDown
from gradecut.app.film_places import BETWEEN, FolderField, PlacesField
from gradecut.app.form import FileField, Form
from gradecut.errors import BookError
from gradecut.records import Angle, Clip, SessionKind

if TYPE_CHECKING:
    from gradecut.app.window import MainWindow
    from gradecut.desk import Desk

__all__ = ["CARD", "FILMS", "RECORDING", "AddFilmForm"]

FILMS, CARD, RECORDING = range(3)
_WHAT = ("films, one a play", "a camera card", "one long recording")
_HINTS = (
    "A folder, or films: one film for each play.",
    "The drive or folder of the card. It is only read; each copy is checked against it.",
    "One film of a whole practice. You cut it to plays next, on a strip of its pictures.",
)
_DOES = ("Add the film", "Copy and add", "Cut it to plays")
_PLACE = ("film", "card", "recording")
_IN_THE_WINDOW = ("add it with --damaged", "choose “take what there is” for broken files")
"""What the command says of its own options, and how the form has it."""
_USUAL_ANGLES = ("end", "side")
_WIDE_PX = 600


class AddFilmForm(Form):
    """Asks what adding film needs, then has it done beside the window."""

    def __init__(self, window: MainWindow, desk: Desk, places: Sequence[str] = ()) -> None:
        super().__init__(window, "Add film", _DOES[FILMS])
        self.setMinimumWidth(_WIDE_PX)
        self._desk = desk
        self._adding = AddingFilm(window, desk, self)
        self._shown: dict[QWidget, tuple[int, ...]] = {}
        self.what = ChoiceRow(_WHAT)
        self.place_row = PlacesField()
        self.places = self.place_row.path
        self.goal = FolderField("The folder to copy the card to")
        self.session = DropDown()
        self.session.setEditable(True)
        self._there = {one.name.lower(): one for one in desk.board.sessions()}
        self.session.addItems([one.name for one in self._there.values()])
        self.kind = DropDown()
        self.kind.addItems(list(get_args(SessionKind)))
        self.day = QLineEdit(date.today().isoformat())
        self.angle = DropDown()
        self.angle.setEditable(True)
        self.angle.addItems(_USUAL_ANGLES)
        self.script = FileField("The practice script", "Sheets (*.csv);;All files (*)")
        self.without = QLineEdit()
        self.damaged = ChoiceRow(("tell me first", "take what there is"))
        self._build()
        self.what.chosen.connect(self._show_what)
        self.session.currentTextChanged.connect(self._show_session)
        self._suggested = ""
        self._show_session(self.session.currentText())
        self._show_what(FILMS)
        if places:
            self._take_places(places)

    def _build(self) -> None:
        self.add_row("what it is", self.what)
        self.place_label, self.place_hint = self._add_some("film", self.place_row, _HINTS[FILMS])
        self._add_some(
            "copy to", self.goal,
            "On your own drive. Play 1 can be graded while play 2 is copied.", (CARD,),
        )  # fmt: skip
        self.add_row("session", self.session, "Choose a session that exists to add a second angle.")
        self.add_row("kind", self.kind)
        self.add_row("day", self.day)
        self.add_row("angle", self.angle)
        self.add_row("script", self.script, "Fills in call, look and men; may be left empty.")
        self._add_some(
            "plays without film", self.without, "Plays this angle missed, such as 2-4, 7.", (FILMS,)
        )
        self._add_some(
            "broken files",
            self.damaged,
            "Files whose end is missing. Take them only if there is no better copy.",
            (FILMS, CARD),
        )

    def _add_some(
        self, name: str, field: QWidget, hint: str, of: tuple[int, ...] = (FILMS, CARD, RECORDING)
    ) -> tuple[QLabel, QLabel]:
        """Add a row that only some of the choices show; return its label and its hint."""
        row = self.rows.rowCount()
        self.add_row(name, field, hint)
        label, told = (
            cast("QLabel", item.widget())
            for where in ((row, 0), (row + 1, 1))
            if (item := self.rows.itemAtPosition(*where)) is not None
        )
        self._shown |= {label: of, field: of, told: of}
        return label, told

    # ------------------------------------------------------------------ showing

    def _show_what(self, what: int) -> None:
        """Show the rows a choice needs, in its own words."""
        for part, of in self._shown.items():
            part.setVisible(what in of)
        self.place_hint.setText(_HINTS[what])
        self.place_label.setText(_PLACE[what])
        self.place_row.setAccessibleName(_PLACE[what])
        self.place_row.files.setVisible(what != CARD)
        self.place_row.take_one(what == RECORDING)
        self.place_row.folder.setVisible(what != RECORDING)
        self.do.setText(_DOES[what])
        self.refuse("")
        self.fit()

    def _show_session(self, name: str) -> None:
        """Show what a session that is there already says of itself; ask it of a new one."""
        known = self._there.get(name.strip().lower())
        self.kind.setEnabled(known is None)
        self.day.setEnabled(known is None or not known.day)
        if known is not None:
            self.kind.setCurrentText(known.kind)
        self.day.setText((known.day if known else "") or date.today().isoformat())
        if self.angle.currentText() in (*_USUAL_ANGLES, ""):
            self.angle.setCurrentText(self._next_angle(known.id if known else ""))
        if self.goal.text() in ("", self._suggested):
            self._suggested = str(self._desk.book.path.parent / "film" / _as_folder(name))
            self.goal.path.setText(self._suggested)

    def _next_angle(self, session_id: str) -> str:
        """Return the usual angle a session lacks; the first where it has both."""
        book = self._desk.book
        clips = [clip.id for clip in book.find(Clip, session_id=session_id)]
        there = {angle.name for angle in book.find(Angle, clip_id=clips)}
        return next((name for name in _USUAL_ANGLES if name not in there), _USUAL_ANGLES[0])

    def _take_places(self, places: Sequence[str]) -> None:
        """Fill in places that were dropped; one folder with folders of film in it is a card."""
        from gradecut.workflows.card_plan import looks_like_card

        self.places.setText(BETWEEN.join(places))
        if len(places) == 1 and looks_like_card(places[0]):
            self.what.choose(CARD)

    # ------------------------------------------------------------------ doing

    def submit(self) -> None:
        """Start adding; the form comes back, filled in, where that is refused or stopped."""
        what = self.what.place
        places = self.place_row.places()
        session, angle = self.session.currentText().strip(), self.angle.currentText().strip()
        refusal = self._place_refusal(what, places) or (
            "Name the session, such as Tuesday inside run." if not session
            else "Name the angle, such as end or side." if not angle
            else ""
        )  # fmt: skip
        without = self._read_without() if what == FILMS else ()
        if isinstance(without, str):
            refusal = refusal or without
        self.refuse(refusal)
        if refusal:
            return
        wanted = FilmWanted(
            places=tuple(places),
            session=session,
            kind=cast("SessionKind", self.kind.currentText()),
            day=self.day.text().strip(),
            angle=angle,
            script=self.script.text() or None,
            without=() if isinstance(without, str) else without,
            damaged=bool(self.damaged.place) and what != RECORDING,
        )
        if what == FILMS:
            self._adding.add_films(wanted)
        elif what == CARD:
            self._adding.copy_card(wanted, self.goal.text())
        else:
            self._adding.cut_recording(wanted)

    def _place_refusal(self, what: int, places: Sequence[str]) -> str:
        if what == FILMS:
            return "" if places else "Choose a folder or films."
        if what == RECORDING:
            one = len(places) == 1 and Path(places[0]).is_file()
            return "" if one else "Choose the one film that is the recording."
        if len(places) != 1 or not Path(places[0]).is_dir():
            return "Choose the card: its drive, or the folder it is seen as."
        return "" if self.goal.text() else "Choose a folder to copy the card to."

    def _read_without(self) -> tuple[int, ...] | str:
        """Read the plays without film; a sentence where they can't be read."""
        from gradecut.workflows.adding import read_plays

        try:
            return read_plays(self.without.text())
        except BookError as error:
            return str(error)

    def keyPressEvent(self, event: QKeyEvent | None) -> None:
        """Write what is typed on the choices, where letters do nothing, into the place."""
        typed = event.text() if event is not None else ""
        on_choice = self.focusWidget() in self.what.buttons
        if on_choice and typed.isprintable() and typed.strip():
            self.places.setFocus()
            self.places.insert(typed)
        else:
            super().keyPressEvent(event)

    def come_back(self, sentence: str) -> None:
        """Show the form again as it was filled in, and why."""
        self.refuse(sentence.replace(*_IN_THE_WINDOW))
        self.open()


def _as_folder(name: str) -> str:
    """Make a folder's name of a session's."""
    kept = "".join(letter if letter.isalnum() or letter in " -_." else " " for letter in name)
    return " ".join(kept.split()).strip(". ").lower() or "session"
