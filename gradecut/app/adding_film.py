"""What the form for adding film sets going: films, a card, a recording, a pairing asked for."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import partial
from typing import TYPE_CHECKING

from gradecut.app.forms import add_film_in, told_of_films
from gradecut.desk.card_copying import CardWanted, copy_beside, told_of_card
from gradecut.desk.saying import Refusal
from gradecut.progress import CancelToken, Progress
from gradecut.records import SessionKind

if TYPE_CHECKING:
    from gradecut.app.add_film_form import AddFilmForm
    from gradecut.app.window import MainWindow
    from gradecut.desk import Desk
    from gradecut.desk.pairing_desk import PairingDesk
    from gradecut.workflows.adding import Added
    from gradecut.workflows.card_adding import CardAdded
    from gradecut.workflows.pairing import Pairing, PairingAsked

__all__ = ["AddingFilm", "FilmWanted"]


@dataclass(frozen=True, slots=True, kw_only=True)
class FilmWanted:
    """What was written in the form; as for ``add_film``."""

    places: tuple[str, ...]
    session: str
    kind: SessionKind
    day: str
    angle: str
    script: str | None
    without: tuple[int, ...]
    damaged: bool


class AddingFilm:
    """Has the film of one form added; the form hides meanwhile, and comes back refused."""

    def __init__(self, window: MainWindow, desk: Desk, form: AddFilmForm) -> None:
        self._window, self._desk, self._form = window, desk, form

    def add_films(self, wanted: FilmWanted, pairing: Pairing | None = None) -> None:
        """Add films, one a play; ask where order does not tell whose they are."""
        book = self._desk.book

        def work(progress: Progress, cancel: CancelToken) -> Added | PairingDesk:
            from gradecut.desk.pairing_desk import read_pairing
            from gradecut.workflows.adding import add_film
            from gradecut.workflows.pairing import PairingAsked

            try:
                return add_film(
                    book, wanted.places, session=wanted.session, kind=wanted.kind,
                    day=wanted.day, angle=wanted.angle, script=wanted.script,
                    without=wanted.without, pairing=pairing, damaged=wanted.damaged,
                    progress=progress, cancel=cancel,
                )  # fmt: skip
            except PairingAsked as asked:
                return read_pairing(book, wanted.session, asked.pairing)

        self._form.hide()
        back = self._form.come_back
        self._desk.jobs.start("Adding film", work, partial(self._added, wanted), back, back)

    def copy_card(self, wanted: FilmWanted, goal_folder: str) -> None:
        """Copy a card, and add each film as its copy is good."""
        self._form.hide()
        copy_beside(
            self._desk,
            CardWanted(
                card=wanted.places[0], goal_folder=goal_folder, session=wanted.session,
                angle=wanted.angle, kind=wanted.kind, day=wanted.day, script=wanted.script,
                damaged=wanted.damaged,
            ),
            on_done=partial(self._copied, wanted),
            on_refused=self._form.come_back,
            on_stopped=self._form.come_back,
        )  # fmt: skip

    def cut_recording(self, wanted: FilmWanted) -> None:
        """Open the strip on which a recording is cut; left uncut, the form comes back."""
        from gradecut.app.cutting_sheet import open_cutting

        self._form.hide()
        sheet = open_cutting(
            self._window, wanted.places[0], session=wanted.session, angle=wanted.angle,
            kind=wanted.kind, day=wanted.day, script=wanted.script, on_added=self._take,
        )  # fmt: skip
        if sheet is not None:
            sheet.rejected.connect(self._form.open)

    def _added(self, wanted: FilmWanted, done: Added | PairingDesk) -> None:
        from gradecut.desk.pairing_desk import PairingDesk

        if isinstance(done, PairingDesk):
            self._ask_pairing(wanted, done)
            return
        self._take(done)
        if done.faults:
            # What was passed over is added again from here, once it is good.
            self._form.come_back(told_of_films(done))

    def _take(self, added: Added) -> None:
        self._form.accept()
        add_film_in(self._window, added)

    def _ask_pairing(self, wanted: FilmWanted, pairing: PairingDesk) -> None:
        from gradecut.app.pairing_form import PairingForm

        asking = PairingForm(self._window, pairing, partial(self.add_films, wanted))
        asking.rejected.connect(self._form.open)
        asking.open()

    def _copied(self, wanted: FilmWanted, done: CardAdded | PairingAsked) -> None:
        from gradecut.workflows.pairing import PairingAsked

        if isinstance(done, PairingAsked):
            # The films are copied; only whose they are is asked, and asked with their lengths.
            films = tuple(str(path) for _, path in done.pairing.pairs if path is not None)
            self.add_films(replace(wanted, places=films))
            return
        told = told_of_card(done, wanted.angle)
        if done.faults:
            self._window.say(Refusal(told))
            self._form.come_back(told)
            return
        self._form.accept()
        self._window.say(told)
