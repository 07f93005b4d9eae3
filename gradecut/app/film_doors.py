"""What the Film page opens: forms and sheets that stand over it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PyQt6.QtWidgets import QFileDialog

if TYPE_CHECKING:
    from gradecut.app.film_page import FilmPage

__all__ = ["FilmDoors"]


class FilmDoors:
    """Opens what is asked for in a form or a sheet of its own.

    Each is imported when it is opened, so that the window need not wait for it.
    """

    def __init__(self, page: FilmPage) -> None:
        self._page = page

    def name_fit(self) -> None:
        """Ask what a fit is called that the scheme has not yet."""
        from gradecut.app.owed_form import OwedForm

        OwedForm(self._page, self._page.film).open()

    def add_film(self) -> None:
        """Ask for the films of a practice."""
        from gradecut.app import forms
        from gradecut.app.window import MainWindow

        window = self._page.window()
        if isinstance(window, MainWindow):
            forms.ask_film(window)

    def begin_with(self, kind: str) -> None:
        """Bring what a new book needs: its film, its rules or its roster."""
        from gradecut.app import forms
        from gradecut.app.window import MainWindow

        window = self._page.window()
        if not isinstance(window, MainWindow):
            return
        if kind == "rules":
            window.show_page("Scheme")
        elif kind == "roster":
            forms.choose_roster(window)
            self._page.first.show_book(self._page.film.book)
        else:
            forms.ask_film(window)

    def put_together(self) -> None:
        """Put the session's angles beside each other by their sound."""
        from gradecut.desk.angles_by_sound import put_together_by_sound

        put_together_by_sound(self._page.desk)

    def show_history(self) -> None:
        """Show who judged the man in hand how, when, and what stood there before."""
        from gradecut.app.rep_history_sheet import RepHistorySheet
        from gradecut.desk.rep_history import read_history

        page = self._page
        man = page.film.hand.man
        if man is None or man.rep is None:
            page.film.say("Choose a man first: press his number, or Tab.")
            return
        RepHistorySheet(page, page.dress, read_history(page.film.book, man.rep.id)).open()

    def print_look(self) -> None:
        """Print the picture of the look on paper or into a file."""
        from gradecut.app.look_print import PrintForm
        from gradecut.desk.look_sheet import read_sheet

        page = self._page
        under = " · ".join(part for part in (page.header(), page.situation.text()) if part)
        sheet = read_sheet(page.film, page.title.text(), under)
        if sheet is None:
            page.film.say("There is no play to print yet: bring film in first.")
            return
        folder = page.film.book.path.parent
        PrintForm(page, sheet, folder, jobs=page.desk.jobs, say=page.film.say).open()

    def line_up(self) -> None:
        """Show who stands where in this period, to be filled in."""
        from gradecut.app.line_up_form import LineUpForm
        from gradecut.desk.line_up_rows import LineUpRows

        page, film = self._page, self._page.film
        if film.clip is None:
            film.say("Add film first; then there is a period to line up.")
            return
        rows = LineUpRows(film.book, film.clip)
        if not rows.rows:
            film.say("The scheme has no graded men yet; bring a scheme in first.")
            return
        LineUpForm(page, film, rows).open()

    def name_man(self) -> None:
        """Ask who an unknown man is."""
        from gradecut.app.name_man_form import NameManForm
        from gradecut.records import Player
        from gradecut.workflows.naming_men import unknown_men

        page, film = self._page, self._page.film
        unknown = [one for one in unknown_men(film.book) if one.positions]
        in_hand = film.hand.man.player if film.hand.man else None
        unknown.sort(key=lambda one: in_hand is None or one.player.id != in_hand.id)
        if not unknown:
            film.say("Nobody is unknown here; Ctrl+U puts an unknown man in.")
            return
        NameManForm(page, film, unknown, film.book.find(Player)).open()

    def tell_play(self) -> None:
        """Ask what the play was: kind, tempo, call, unit, yards."""
        from gradecut.app.play_facts_form import PlayFactsForm
        from gradecut.desk.play_facts import PlayFacts

        page, film = self._page, self._page.film
        if film.clip is None:
            film.say("Add film first; then there is a play to tell of.")
            return
        PlayFactsForm(page, film, PlayFacts(film.book, film.clip)).open()

    def show_script(self) -> None:
        """Show the script beside the plays."""
        from gradecut.app.script_sheet import ScriptSheet

        page = self._page
        rows = page.film.script.rows()
        if rows is not None:
            ScriptSheet(page, page.film, rows).open()

    def show_beside(self) -> None:
        """Show the other coach's word beside this grader's on this play."""
        from gradecut.app.coach_doors import show_beside

        show_beside(self._page)

    def next_difference(self) -> None:
        """Show the next play on which another coach differs."""
        from gradecut.desk.colleagues import Colleagues

        Colleagues(self._page.desk).next_difference()

    def find_film(self) -> None:
        """Ask for the folder moved film lies in now."""
        desk = self._page.desk
        folder = QFileDialog.getExistingDirectory(
            self._page, "Where does the film lie now?", str(desk.book.path.parent)
        )
        if folder:
            desk.find_moved(folder)
