"""A play as the other coach has it: facts seen differently, men judged, and how far we agree."""

from __future__ import annotations

from collections.abc import Callable

from PyQt6.QtGui import QKeySequence, QShortcut
from PyQt6.QtWidgets import QDialog, QVBoxLayout

from gradecut.app.choice_row import ChoiceRow
from gradecut.app.columns_list import Cell, Column, ColumnsList, Row
from gradecut.app.labels import KeyHint, line_across, words
from gradecut.app.page import Page
from gradecut.app.sheet_frame import closing, footed, listed, whole_of
from gradecut.desk.beside import Beside, BesideRow
from gradecut.desk.colleagues import Colleagues

__all__ = ["BesideSheet"]

_WIDE_PX, _MOST_PX = 900, 640
_AROUND_PX, _ROW_PX, _FEWEST = 236, 32, 5
_FRAME_PX = 60


class BesideSheet(QDialog):
    """Lays two graders' words side by side; a disputed fact is settled here, by one key.

    Alt+U goes to the next play that differs; Esc or Alt+B closes.

    Parameters
    ----------
    page : Page
    colleagues : Colleagues
    read : callable
        Reads the play shown for a colleague's name; None where there is nothing to show.
    """

    def __init__(
        self,
        page: Page,
        colleagues: Colleagues,
        shown: Beside,
        read: Callable[[str], Beside | None],
    ) -> None:
        super().__init__(page)
        self._colleagues, self._read, self._shown = colleagues, read, shown
        room = page.size()
        high = _AROUND_PX + _ROW_PX * max(len(shown.rows), _FEWEST)
        self.resize(
            min(_WIDE_PX, room.width() - _FRAME_PX), min(high, _MOST_PX, room.height() - _FRAME_PX)
        )
        self._names = colleagues.graders()
        self.who = ChoiceRow(self._names)
        self.title = words("", "title", 600)
        self.told = words("", "lead", look="quiet")
        self.agreement = words("", look="quiet", wrap=True)
        self.list = ColumnsList(
            page.dress,
            (
                Column(head="", wide_px=14),
                Column(head="", wide_px=190),
                Column(head="you"),
                Column(head="the other coach"),
            ),
            "What you and the other coach say",
        )
        self.mine_stands = KeyHint("M", "mine stands")
        self.his_stands = KeyHint("H", "his stands")
        self._build()
        for keys, act in (
            ("M", self.keep_mine),
            ("H", self.take_his),
            ("Alt+U", self.go_on),
            ("Alt+B", self.reject),
        ):
            QShortcut(QKeySequence(keys), self, act)
        self.who.choose(self._names.index(shown.him))
        self.who.chosen.connect(lambda _: self.show_play())
        self.list.currentRowChanged.connect(lambda _: self._show_keys())
        self._show()
        self.list.setFocus()

    def keep_mine(self) -> None:
        """Settle the fact chosen as this grader told it."""
        row = self._row()
        if row is not None and row.my_value is not None:
            self._settle(row, row.my_value)

    def take_his(self) -> None:
        """Settle the fact chosen as the other coach told it."""
        row = self._row()
        if row is not None and row.his_value is not None:
            self._settle(row, row.his_value)

    def go_on(self) -> None:
        """Show the next play that differs."""
        self._colleagues.next_difference()
        self.show_play()

    def show_play(self) -> None:
        """Read the play shown again."""
        shown = self._read(self._names[max(self.who.place, 0)])
        if shown is None:
            self.reject()
            return
        self._shown = shown
        self._show()

    def _settle(self, row: BesideRow, value: str | int | bool) -> None:
        if self._colleagues.settle(self._shown.clip, row.reference, value):
            self.show_play()

    def _build(self) -> None:
        whole = whole_of(self)
        head = QVBoxLayout()
        head.setContentsMargins(24, 18, 24, 12)
        head.setSpacing(4)
        head.addWidget(self.title)
        head.addWidget(self.told)
        if len(self._names) > 1:
            head.addSpacing(4)
            head.addWidget(self.who)
        whole.addLayout(head)
        whole.addWidget(line_across())
        whole.addLayout(listed(self.list), 1)
        whole.addWidget(line_across())
        self.agreement.setContentsMargins(24, 10, 24, 0)
        whole.addWidget(self.agreement)
        on = KeyHint("Alt+U", "next play that differs")
        keys = (self.mine_stands, self.his_stands, on)
        whole.addLayout(footed(*keys, right=(closing(self),)))

    def _row(self) -> BesideRow | None:
        at = self.list.currentRow()
        return self._shown.rows[at] if 0 <= at < len(self._shown.rows) else None

    def _show(self) -> None:
        shown = self._shown
        self.title.setText(f"Play {shown.clip.order}, beside {shown.him}")
        self.setWindowTitle(self.title.text())
        self.told.setText(shown.told)
        self.agreement.setText("  ".join(shown.agreement))
        self.agreement.setAccessibleName("How far you agree in this session")
        self.list.columns = (*self.list.columns[:3], Column(head=shown.him))
        rows = [_set(row, shown) for row in shown.rows]
        nothing = f"Neither you nor {shown.him} has judged anybody on this play."
        self.list.show_rows(rows or [Row(across=Cell(nothing, "quiet"), words=nothing)])
        self._show_keys()

    def _show_keys(self) -> None:
        row = self._row()
        self.mine_stands.setVisible(row is not None and row.my_value is not None)
        self.his_stands.setVisible(row is not None and row.his_value is not None)


def _set(row: BesideRow, shown: Beside) -> Row:
    weight = 600 if row.differs else 400
    return Row(
        cells=(
            Cell("≠" if row.differs else "", "warn", 600),
            Cell(row.what, "ink", weight),
            Cell(row.mine, "ink"),
            Cell(row.his, "warn" if row.differs else "ink", weight),
        ),
        words=row.words(shown.me, shown.him),
    )
