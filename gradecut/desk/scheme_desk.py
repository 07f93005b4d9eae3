"""The Scheme page: what is in force, a draft of the next, its audit, a look that might be."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import cached_property
from os import PathLike
from pathlib import Path
from typing import TYPE_CHECKING

from psygnal import Signal

from gradecut.book import Book
from gradecut.counting_words import counted
from gradecut.desk.jobs import JobRunner
from gradecut.desk.saying import Refusal, says
from gradecut.desk.scheme_audit import AuditBeside
from gradecut.desk.scheme_draft import (
    BareRow,
    SchemeDraft,
    draft_file,
    read_draft,
    store_draft,
)
from gradecut.desk.scheme_effects import SchemeKeeping
from gradecut.desk.scheme_files import (
    CheckedFile,
    first_fault,
    look_at_file,
    named,
    with_next_version,
)
from gradecut.desk.scheme_hand import SchemeHand
from gradecut.desk.scheme_rows import SchemeRows
from gradecut.desk.scheme_sheets import SchemeSheets
from gradecut.desk.what_if import WhatIf
from gradecut.errors import GradecutError, SchemeError
from gradecut.records import BookInfo, SchemeVersion
from gradecut.scheme import Scheme, Value, parse_scheme
from gradecut.workflows.booking import book_info, scheme_of

if TYPE_CHECKING:
    from gradecut.desk.scheme_learning import SchemeLearning
    from gradecut.desk.scheme_met import SchemeMet
    from gradecut.desk.scheme_versions import SchemeVersions

__all__ = ["SchemeDesk"]

_DRAFT = "the draft"
"""How a fault names the text that is worked on."""


class SchemeDesk:
    """Holds the scheme in force and the draft of the next one.

    Every edit makes a new text of the draft, which is stored at once beside the book; nothing
    is in force until it is kept.

    Attributes
    ----------
    scheme : Scheme or None
        In force; None while the book has none.
    shown : Scheme or None
        What the grid shows: the draft's where there is one, else the one in force.
    draft : SchemeDraft or None
        None while nothing was edited.
    hand : SchemeHand
        The grid: its rows, the cell in hand, and what can be done to it.
    rows : SchemeRows
        What can be done to its rows.
    sheets : SchemeSheets
        Files and sheets written and taken in.
    audit : AuditBeside
        Its findings.
    keeping : SchemeKeeping
        What a scheme would turn, and putting it in force.
    learning : SchemeLearning
        Rules proposed from what he said.
    met : SchemeMet
        What his film holds against it.
    versions : SchemeVersions
        Those the book keeps.
    checked : CheckedFile or None
        The file that was looked at last.
    refused : str
        Why the last edit was not made; empty where it was.
    in_hand : bool
        The page is before the coach: Ctrl+Z walks the edits that are not kept.

    Signals
    -------
    scheme_changed
        Another scheme is shown: an edit, a step back, or another one in force.
    checked_changed
        A file was looked at, or put away.
    """

    scheme_changed = Signal()
    checked_changed = Signal()

    def __init__(self, book: Book, jobs: JobRunner, say: Callable[[str], None]) -> None:
        self.book = book
        self.jobs = jobs
        self.say = say
        self.scheme: Scheme | None = None
        self.shown: Scheme | None = None
        self.checked: CheckedFile | None = None
        self._what_if: WhatIf | None = None
        self._look: Mapping[str, Value] = {}
        self.in_hand = False
        self.refused = ""
        self._file = draft_file(book.path)
        self._scheme_id: str | None = None
        self._kept: dict[str, SchemeDraft] = {}
        self._from_files: set[str] = set()
        self.draft: SchemeDraft | None = self._find_draft()
        self.audit = AuditBeside(jobs)
        self.hand = SchemeHand(self)
        self.rows = SchemeRows(self)
        self.sheets = SchemeSheets(self)
        self.keeping = SchemeKeeping(self)
        self._found = self.draft is not None and self.draft.edited
        self.refresh()
        if self.draft is not None and self._scheme_id is None:
            self._show(self.draft.text)

    @says
    def refresh(self) -> None:
        """Read again which scheme is in force; one that was taken back is a draft again."""
        found = self.book.find(BookInfo)
        scheme_id = found[0].scheme_id if found else None
        if scheme_id == self._scheme_id:
            return
        was, self._scheme_id = self.scheme, scheme_id
        self.scheme = scheme_of(self.book, scheme_id) if scheme_id is not None else None
        if was is not None and not self.book.find(SchemeVersion, sha256=was.sha256):
            self._give_back(was)
        elif self.draft is not None and not self.draft.edited:
            self.draft = None
        elif self.draft is not None and self.scheme is not None and self._says(self.scheme, was):
            self._done_with(self.draft, self.scheme)
        in_force = self.scheme.text if self.scheme is not None else ""
        self._show(self.draft.text if self.draft is not None else in_force)

    @property
    def what_if(self) -> WhatIf | None:
        """A look that might be, under the scheme that is shown; made when it is first asked for."""
        if self._what_if is None and self.shown is not None:
            self._what_if = WhatIf(self.shown, self.say, self._graded_group())
            if self._look and not self.shown.look_faults(self._look):
                self._what_if.start_from(self._look)
        return self._what_if

    @cached_property
    def learning(self) -> SchemeLearning:
        """Rules proposed from what he said men owed."""
        from gradecut.desk.scheme_learning import SchemeLearning

        return SchemeLearning(self)

    @cached_property
    def met(self) -> SchemeMet:
        """Looks met on film that are answered badly."""
        from gradecut.desk.scheme_met import SchemeMet

        return SchemeMet(self)

    @cached_property
    def versions(self) -> SchemeVersions:
        """The versions the book keeps."""
        from gradecut.desk.scheme_versions import SchemeVersions

        return SchemeVersions(self)

    # ------------------------------------------------------------------ in words

    def title(self) -> str:
        """Name the scheme that is shown: "Harbor 1"."""
        if self.shown is None:
            return "No scheme yet"
        return named(self.shown) or "Scheme"

    def subtitle(self) -> str:
        """Say how much there is to it."""
        shown = self.shown
        if shown is None:
            return ""
        versions = self.book.count(SchemeVersion)
        parts = (
            counted(len(shown.rules), "rule"),
            f"{len(shown.positions)} men" if len(shown.positions) != 1 else "1 man",
            counted(len(shown.facts), "fact"),
            f"{counted(versions, 'version')} kept",
        )
        return " · ".join(parts)

    def draft_words(self) -> str:
        """Say how far the draft is from what is in force; empty where it is not."""
        draft = self.draft
        if draft is None or not draft.edited:
            return ""
        edits = f"{counted(draft.taken, 'edit')} " if draft.taken else ""
        told = f"{edits}not in force yet"
        if self.scheme is not None and draft.base != self.scheme.text:
            told += f"; begun on another scheme than {named(self.scheme)}"
        return told

    def welcome(self) -> None:
        """Tell once that a draft was found."""
        if self._found and self.draft is not None:
            self.say(f"Your draft is as you left it: {self.draft_words()}.")
        self._found = False

    @property
    def undoes(self) -> str:
        """What a step back in the draft would take back; empty where there is none."""
        return self.draft.undoes if self.draft is not None else ""

    def groups(self) -> tuple[str, ...]:
        """Return the groups of men, those who are graded first."""
        if self.shown is None:
            return ()
        graded = self._graded_group()
        named = [group for group in self.shown.groups if group]
        return tuple(sorted(named, key=lambda group: group != graded))

    # ------------------------------------------------------------------ the draft

    def edit(
        self,
        words: str,
        change: Callable[[str], str],
        bare: tuple[BareRow, ...] | None = None,
    ) -> bool:
        """Edit the draft, and store it; whether it was changed.

        Parameters
        ----------
        words : str
            What is done: "fill A for Keel".
        change : callable
            From text to text, raising a GradecutError; what it makes has to be a scheme.
        bare : tuple of BareRow or None
            The rows without a fit after it; None: as they are.
        """
        draft = self.draft or self._new_draft()
        try:
            text = change(draft.text)
            made = self.shown if text == draft.text else parse_scheme(text, _DRAFT)
        except SchemeError as error:
            return self._refuse(first_fault(error))
        except GradecutError as error:
            return self._refuse(str(error))
        self.refused = ""
        if not draft.take(text, words, bare):
            return False
        self.draft = draft
        self._store()
        self.say("")  # what was said of the text before
        self._show_scheme(made)
        return True

    def begin(self, words: str, text: str) -> bool:
        """Take a whole text as the draft, such as one made from answers; nothing is in force."""
        return self.edit(words, lambda _: text, ())

    def undo(self) -> bool:
        """Go a step of the draft back; False where there is none."""
        return self._walk(SchemeDraft.undo, "Taken back")

    def redo(self) -> bool:
        """Go a step of the draft forth; False where there is none."""
        return self._walk(SchemeDraft.redo, "Done again")

    @says
    def drop_draft(self) -> None:
        """Go back to what is in force; the edits are one step that can be taken back."""
        draft = self.draft
        if draft is None or not draft.edited:
            self.say("There is no edit to leave.")
            return
        base = self.scheme.text if self.scheme is not None else ""
        draft.take(base, "all edits left", ())
        self._store()
        self._show(base)
        self.say("Back to what is in force; Ctrl+Z brings your edits back.")

    @says
    def keep(self) -> None:
        """Put the draft in force as a version of its own; what it turns is told first."""
        draft = self.draft
        if draft is None or draft.text == draft.base:
            self.say("Nothing was edited: the scheme that is shown is in force.")
            return
        self.keeping.ask(with_next_version(draft.text, self.scheme), draft=draft.text)

    def came_in_force(self, of_file: str = "") -> None:
        """Show what came into force; the draft it was made from is done with.

        Parameters
        ----------
        of_file : str
            Its text where no draft was kept: taken back, there is no draft to give back.
        """
        self.checked = None
        self._from_files.add(of_file)
        self.refresh()
        self.checked_changed.emit()

    # ------------------------------------------------------------------ files

    @says
    def check_file(self, path: str | PathLike[str]) -> None:
        """Look at a scheme file and show every fault, or that it is sound."""
        self.checked = look_at_file(path)
        self.say(self.checked.verdict)
        self.checked_changed.emit()

    def put_away(self) -> None:
        """Show the grid again."""
        self.checked = None
        self.checked_changed.emit()

    def work_on_file(self) -> None:
        """Take the checked file as the draft; nothing is in force yet."""
        checked = self.checked
        if checked is None or checked.scheme is None:
            self.say("Only a sound file can be worked on.")
            return
        self.checked = None
        name = Path(checked.path).name
        if not self.begin(f"the file {name}", checked.text):
            self.say(f"{name} says what is shown already.")
        self.checked_changed.emit()

    @says
    def put_in_force(self) -> None:
        """Put the checked file in force; what it turns is told first."""
        if self.checked is None or self.checked.scheme is None:
            self.say("Only a sound file can be put in force.")
            return
        self.keeping.ask(self.checked.text)

    # ------------------------------------------------------------------ inside

    def _find_draft(self) -> SchemeDraft | None:
        """Find a draft that was left; one that is no scheme any more is put aside."""
        draft = read_draft(self._file)
        if draft is None or not (draft.edited or draft.steps):
            return None
        try:
            if draft.text:
                parse_scheme(draft.text, _DRAFT)
        except SchemeError:
            self._file.replace(self._file.with_name(f"{self._file.name}.old"))
            return None
        return draft

    def _new_draft(self) -> SchemeDraft:
        base = self.scheme.text if self.scheme is not None else ""
        return SchemeDraft(base=base, text=base)

    def _give_back(self, kept: Scheme) -> None:
        """Make what was taken out of force the draft again, as it was before it was kept."""
        base = self.scheme.text if self.scheme is not None else ""
        draft = self.draft
        if draft is None or not draft.edited:
            if kept.text in self._from_files:  # the file is where it was
                self.draft = None
                return
            draft = self._kept.get(kept.text)
            if draft is None:
                draft = SchemeDraft(base=base, text=base)
                draft.take(kept.text, f"what {named(kept) or 'the scheme'} held", ())
        draft.base = base
        self.draft = draft
        self._store()
        name = named(kept) or "The scheme"
        self.say(f"{name} is not in force any more; what it held is your draft again.")

    def _says(self, kept: Scheme, before: Scheme | None) -> bool:
        """Whether the draft says what came into force, but for the version counted on."""
        text = self.draft.text if self.draft is not None else ""
        return bool(text) and kept.text in (text, with_next_version(text, before))

    def _done_with(self, draft: SchemeDraft, kept: Scheme) -> None:
        """Put a draft away that is in force now; should that be taken back, it is there again."""
        del draft.steps[draft.taken :]
        self._kept[kept.text] = draft
        self.draft = None
        self._clear_file()

    def _refuse(self, sentence: str) -> bool:
        self.refused = sentence
        self.say(Refusal(sentence))
        return False

    def _walk(self, step: Callable[[SchemeDraft], str], told: str) -> bool:
        words = step(self.draft) if self.draft is not None else ""
        if self.draft is None or not words:
            return False
        self._store()
        self._show(self.draft.text)
        self.say(f"{told}: {words}.")
        return True

    def _store(self) -> None:
        if self.draft is not None and (refused := store_draft(self._file, self.draft)):
            self.say(Refusal(refused))

    def _show(self, text: str) -> None:
        self._show_scheme(parse_scheme(text, _DRAFT) if text else None)

    def _show_scheme(self, scheme: Scheme | None) -> None:
        self.shown = scheme
        if self._what_if is not None:
            self._look, self._what_if = self._what_if.look, None
        self.hand.read()
        self.audit.look_at(scheme)
        self.scheme_changed.emit()

    def _clear_file(self) -> None:
        if refused := store_draft(self._file, SchemeDraft(base="", text="")):
            self.say(Refusal(refused))

    def _graded_group(self) -> str:
        if self.shown is None:
            return ""
        told = book_info(self.book).graded_group
        if told in self.shown.groups and told:
            return told
        for group, men in self.shown.groups.items():
            if group and any(self.shown.positions[man].graded for man in men):
                return group
        return ""
