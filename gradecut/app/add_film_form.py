"""Adding film: which files, which session, which angle."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING, cast, get_args

from PyQt6.QtWidgets import QComboBox, QFileDialog, QHBoxLayout, QLineEdit, QWidget

from gradecut.app.form import FileField, Form
from gradecut.app.forms import add_film_in
from gradecut.app.labels import button
from gradecut.errors import BookError
from gradecut.film.film_folder import FILM_SUFFIXES
from gradecut.progress import CancelToken, Progress
from gradecut.records import Angle, Clip, SessionKind

if TYPE_CHECKING:
    from gradecut.app.window import MainWindow
    from gradecut.desk import Desk
    from gradecut.workflows.adding import Added

__all__ = ["AddFilmForm"]


class AddFilmForm(Form):
    """Asks what adding film needs, then does it beside the window."""

    def __init__(self, window: MainWindow, desk: Desk) -> None:
        super().__init__(window, "Add film", "Add the film")
        self._window, self._desk = window, desk
        self.places = QLineEdit()
        self.session = QComboBox()
        self.session.setEditable(True)
        self._there = {one.name.lower(): one for one in desk.board.sessions()}
        self.session.addItems([one.name for one in self._there.values()])
        self.kind = QComboBox()
        self.kind.addItems(list(get_args(SessionKind)))
        self.day = QLineEdit(date.today().isoformat())
        self.angle = QComboBox()
        self.angle.setEditable(True)
        self.angle.addItems(_USUAL_ANGLES)
        self.script = FileField("The practice script", "Sheets (*.csv);;All files (*)")
        self.without = QLineEdit()
        self.add_row("film", self._place_row(), "A folder, or films: one film for each play.")
        self.add_row("session", self.session, "One that is there takes a further angle.")
        self.add_row("kind", self.kind)
        self.add_row("day", self.day)
        self.add_row("angle", self.angle)
        self.add_row("script", self.script, "Fills in call, look and men; may be left empty.")
        self.add_row("plays without film", self.without, "Of this angle, such as 2-4,7; or none.")
        self.session.currentTextChanged.connect(self._show_session)
        self._show_session(self.session.currentText())

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

    def _next_angle(self, session_id: str) -> str:
        """Return the usual angle a session lacks; the first where it has both."""
        book = self._desk.book
        clips = [clip.id for clip in book.find(Clip, session_id=session_id)]
        there = {angle.name for angle in book.find(Angle, clip_id=clips)}
        return next((name for name in _USUAL_ANGLES if name not in there), _USUAL_ANGLES[0])

    def _place_row(self) -> QWidget:
        row = QWidget()
        line = QHBoxLayout(row)
        line.setContentsMargins(0, 0, 0, 0)
        line.setSpacing(8)
        folder, files = button("Folder …"), button("Films …")
        folder.clicked.connect(self._choose_folder)
        files.clicked.connect(self._choose_files)
        line.addWidget(self.places, 1)
        line.addWidget(folder)
        line.addWidget(files)
        row.setFocusProxy(self.places)
        return row

    def _choose_folder(self) -> None:
        folder = QFileDialog.getExistingDirectory(self, "The folder that holds the films")
        if folder:
            self.places.setText(folder)

    def _choose_files(self) -> None:
        endings = " ".join(f"*{ending}" for ending in sorted(FILM_SUFFIXES))
        paths, _ = QFileDialog.getOpenFileNames(self, "The films", "", f"Films ({endings})")
        if paths:
            self.places.setText(_BETWEEN.join(paths))

    def submit(self) -> None:
        """Start adding; the form comes back, filled in, where that is refused."""
        from gradecut.workflows.adding import add_film, read_plays

        places = [one.strip() for one in self.places.text().split(_BETWEEN) if one.strip()]
        session, angle = self.session.currentText().strip(), self.angle.currentText().strip()
        refusal = (
            "Choose a folder or films." if not places
            else "Name the session, such as Tuesday inside run." if not session
            else "Name the angle, such as end or side." if not angle
            else ""
        )  # fmt: skip
        try:
            without = read_plays(self.without.text())
        except BookError as error:
            refusal = refusal or str(error)
        self.refuse(refusal)
        if refusal:
            return
        kind = cast("SessionKind", self.kind.currentText())
        day, script, book = self.day.text().strip(), self.script.text() or None, self._desk.book

        def work(progress: Progress, cancel: CancelToken) -> Added:
            return add_film(
                book, places, session=session, kind=kind, day=day, angle=angle,
                script=script, without=without, progress=progress, cancel=cancel,
            )  # fmt: skip

        self._desk.jobs.start("Adding film", work, self._added, self._come_back)
        self.hide()

    def _added(self, added: Added) -> None:
        self.accept()
        add_film_in(self._window, added)

    def _come_back(self, sentence: str) -> None:
        self.refuse(sentence)
        self.open()


_BETWEEN = ";"
_USUAL_ANGLES = ("end", "side")
