"""The script beside the plays: what film confirmed, what it contradicts, and how it is moved."""

from __future__ import annotations

from PyQt6.QtCore import Qt
from PyQt6.QtGui import QKeyEvent
from PyQt6.QtWidgets import QDialog, QHBoxLayout, QVBoxLayout, QWidget

from gradecut.app.columns_list import Cell, Column, ColumnsList, Row
from gradecut.app.labels import KeyHint, button, line_across, words
from gradecut.app.page import Page
from gradecut.app.sheet_frame import closing, footed, listed, titled, whole_of
from gradecut.app.sheet_room import lay_over
from gradecut.desk.film_desk import FilmDesk
from gradecut.desk.script_beside import way_words
from gradecut.desk.script_rows import ScriptRow, ScriptSheetRows
from gradecut.workflows.script_drift import Drift

__all__ = ["ScriptSheet"]

_SIZE_PX = (1080, 680)
_WAYS: dict[int, int] = {Qt.Key.Key_Down: 1, Qt.Key.Key_Up: -1}
_KEYS = (
    ("Enter", "to this play"),
    ("Ctrl+↓", "this play is not on the script"),
    ("Ctrl+↑", "a line before it was not run"),
)


class ScriptSheet(QDialog):
    """Lists the plays with their lines; each way to move the script is one act.

    Parameters
    ----------
    page : Page
    film : FilmDesk
    rows : ScriptSheetRows
    """

    def __init__(self, page: Page, film: FilmDesk, rows: ScriptSheetRows) -> None:
        super().__init__(page)
        self._film, self._rows = film, rows
        self.setWindowTitle("The script beside the plays")
        lay_over(self, _SIZE_PX)
        self.list = ColumnsList(
            page.dress,
            (
                Column(head="play", wide_px=36, anchor="right"),
                Column(head="script", wide_px=40, anchor="right"),
                Column(head="what the script says", least_px=330),
                Column(head="", wide_px=14),
                Column(head="what film says", wide_px=330),
            ),
            "Plays and lines of the script",
        )
        self.drift = words("", "lead", 600, wrap=True)
        self.evidence = words("", "small", look="quiet", wrap=True)
        self.move_it = button("", "accent", tip="Ctrl+Enter")
        self.move_it.setAccessibleName("Move the script as it was found")
        self.found = QWidget()
        self._build()
        self.list.itemDoubleClicked.connect(lambda _: self.go())
        self._show()
        shown = film.clip.id if film.clip else ""
        at = next((n for n, row in enumerate(rows.rows) if row.clip_id == shown), 0)
        self.list.setCurrentRow(at)
        self.list.setFocus()

    def _build(self) -> None:
        whole = whole_of(self)
        head = titled("The script beside the plays", self._rows.title)
        head.setContentsMargins(24, 18, 24, 14)
        whole.addLayout(head)
        whole.addWidget(line_across())
        told = QHBoxLayout(self.found)
        told.setContentsMargins(24, 12, 24, 12)
        told.setSpacing(20)
        beside = QVBoxLayout()
        beside.setSpacing(4)
        beside.addWidget(self.drift)
        beside.addWidget(self.evidence)
        told.addLayout(beside, 1)
        self.move_it.setAutoDefault(False)
        self.move_it.clicked.connect(self.take_found)
        told.addWidget(self.move_it)
        whole.addWidget(self.found)
        self._found_line = line_across()
        whole.addWidget(self._found_line)
        whole.addLayout(listed(self.list), 1)
        whole.addWidget(line_across())
        self.move_key = KeyHint("Ctrl+Enter", "move it as proposed")
        keys = (KeyHint(key, does) for key, does in _KEYS)
        whole.addLayout(footed(*keys, self.move_key, right=(closing(self),)))

    def keyPressEvent(self, event: QKeyEvent | None) -> None:
        """Go to the play, or move the script."""
        if event is None:
            return
        held = bool(event.modifiers() & Qt.KeyboardModifier.ControlModifier)
        enter = event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter)
        if held and event.key() in _WAYS:
            self.shift(_WAYS[event.key()])
        elif enter:
            (self.take_found if held else self.go)()
        else:
            super().keyPressEvent(event)

    # ------------------------------------------------------------------ what can be done

    def go(self) -> None:
        """Show the play chosen on the Film page."""
        row = self._row_chosen()
        if row is not None and row.clip_id:
            self.accept()
            self._film.open_clip(row.clip_id)

    def shift(self, by: int) -> None:
        """Move the script along the plays from the play chosen on."""
        row = self._row_chosen()
        if row is not None and row.play is not None:
            self._film.script.move(self._rows, row.play, by)
            self._show()

    def take_found(self) -> None:
        """Move the script as it was proposed."""
        drift = self._rows.drift
        if drift is not None and drift.from_play is not None:
            self._film.script.move(self._rows, drift.from_play, drift.by)
            self._show()

    # ------------------------------------------------------------------ what is shown

    def _row_chosen(self) -> ScriptRow | None:
        at = self.list.currentRow()
        return self._rows.rows[at] if 0 <= at < len(self._rows.rows) else None

    def _show(self) -> None:
        self.list.show_rows([_row(row) for row in self._rows.rows])
        drift = self._rows.drift
        for part in (self.found, self._found_line, self.move_key):
            part.setVisible(drift is not None)
        if drift is None:
            return
        self.drift.setText(f"⚠  {drift.what}  {drift.sure.capitalize()}.")
        self.evidence.setText("\n".join(drift.evidence))
        self.move_it.setText(_does(drift))
        for part in (self.move_it, self.move_key):
            part.setVisible(drift.from_play is not None)


def _does(drift: Drift) -> str:
    return f"From play {drift.from_play} on, move it {way_words(drift.by)}"


def _row(row: ScriptRow) -> Row:
    """Set a row: what film confirmed stands in ink, the rest stands back until it did."""
    sure = row.confirmed > 0 and row.confirmed == row.told
    sign = "✗" if row.against else "✓" if sure else ""
    return Row(
        cells=(
            Cell("–" if row.play is None else str(row.play), "ink", 600),
            Cell("–" if row.number is None else str(row.number), "quiet"),
            Cell(row.says or "–", "ink" if sure else "quiet"),
            Cell(sign, "warn" if row.against else "ink", 600),
            Cell(row.seen, "warn" if row.against else "ink" if sure else "quiet"),
        ),
        words=row.words,
    )
