"""From what stands beside the grid to the grid, and to the film."""

from __future__ import annotations

from typing import TYPE_CHECKING

from gradecut.desk.saying import Refusal
from gradecut.desk.scheme_beside import BesideRow, PlayNames
from gradecut.records import Rep
from gradecut.workflows.film_audit import MetLook

if TYPE_CHECKING:
    from gradecut.app.scheme_page import SchemePage

__all__ = ["SchemeBeside"]


class SchemeBeside:
    """Shows the plays behind a row one after another, and goes to the row of a look."""

    def __init__(self, page: SchemePage) -> None:
        self._page = page
        self._of: object = None
        self._shown = -1

    def show_chosen_play(self) -> None:
        """Show a play behind the row that is chosen beside the grid, the next one each time."""
        view = self._page.side.stack.currentWidget()
        if view in (self._page.learning, self._page.met):
            view.show_play()
        else:
            self._page.desk.say(Refusal("Choose a row beside the grid first: Alt+3 or Alt+4."))

    def accept_all_of(self) -> None:
        """Accept every rule proposed for the man of the chosen one."""
        if self._page.side.stack.currentWidget() is self._page.learning:
            self._page.learning.accept_all_of()
        else:
            self._page.desk.say(Refusal("Rules are proposed beside the grid: Alt+3."))

    def show_play(self, row: BesideRow) -> None:
        """Show the next of the plays behind a row on the Film page, the man in hand."""
        book = self._page.desk.book
        names = PlayNames(book)
        clips = [clip for clip in row.clips if clip in names]
        if not clips:
            self._page.desk.say(Refusal("No play is behind it: that is an answer you gave here."))
            return
        same = self._of == row.key
        self._of, self._shown = row.key, (self._shown + 1) % len(clips) if same else 0
        clip = clips[self._shown]
        reps = book.find(Rep, clip_id=clip, position=row.position)
        self._page.open_rep.emit(clip, reps[0].id if reps else "")
        if len(clips) > 1:
            told = f"{names.one(clip)} is {self._shown + 1} of {len(clips)}"
            self._page.desk.say(f"{row.name}: {told}; F2 and Alt+F show the next.")

    def go_to_met(self, row: BesideRow) -> None:
        """Go to the rules of a look met on film, or open a row for it."""
        page, met = self._page, row.key
        if not isinstance(met, MetLook):
            return
        hand = page.scheme.hand
        if met.rules and hand.go_to(met.rules, met.position):
            page.grid.setFocus()
        elif met.kind == "hole":
            if page.scheme.rows.add_look(met.look, met.position, hand.tiers[0]):
                page.grid.setFocus()
                page.pick()
        else:
            page.desk.say(f"{row.words} Alt+F shows the play, where it can be told.")
