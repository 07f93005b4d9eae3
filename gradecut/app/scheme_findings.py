"""What the audit found, each with the smallest look that shows it, drawn."""

from __future__ import annotations

from PyQt6.QtCore import pyqtSignal

from gradecut.app.labels import button
from gradecut.app.scheme_side_list import SideView
from gradecut.app.theme import Dress
from gradecut.desk.scheme_audit import AuditBeside, FindingRow
from gradecut.desk.scheme_beside import BesideRow

__all__ = ["FindingsView"]


class FindingsView(SideView):
    """Lists the findings; the one chosen is gone to.

    Signals
    -------
    asked : object
        A FindingRow to go to.
    """

    asked = pyqtSignal(object)

    def __init__(self, audit: AuditBeside, dress: Dress) -> None:
        super().__init__(dress, "Findings of the audit")
        self._audit = audit
        self.again = button("Check again", tip="Enter")
        self.again.clicked.connect(lambda _: audit.again())
        self.foot.addWidget(self.again)
        self.list.itemClicked.connect(lambda _: self.go())
        self.list.currentRowChanged.connect(lambda _: self._tell())
        audit.changed.connect(self.renew)
        self.renew()

    def renew(self) -> None:
        """Show what was found last."""
        self.list.show_rows([_row(finding) for finding in self._audit.rows])
        self._tell()

    def _tell(self) -> None:
        """Say how it stands, and what Enter does with the finding chosen."""
        audit, chosen = self._audit, self.list.row_in_hand()
        if audit.running:
            told = "An edit is being checked …"
        elif audit.rows:
            told = " · ".join((*_ways(chosen.key if chosen is not None else None), "F8 next"))
        else:
            told = ""
        self.tell(audit.verdict(), told)
        self.again.setVisible(audit.broke_off and not audit.running)

    def step(self, by: int) -> None:
        """Go to the next finding, or one before."""
        count = self.list.count()
        if count:
            at = self.list.currentRow()
            self.list.setCurrentRow((at + by) % count if at >= 0 else 0)
            self.go()

    def go(self) -> None:
        """Go to the chosen finding, or check again what broke off."""
        row = self.list.row_in_hand()
        if row is not None:
            self.asked.emit(row.key)
        elif self._audit.broke_off:
            self._audit.again()


def _ways(finding: object) -> tuple[str, ...]:
    if not isinstance(finding, FindingRow):
        return ()
    if finding.kind == "hole":
        return ("Enter opens a row for its look",)
    if finding.rules:
        return ("Enter goes to the row",)
    return ("Alt+2: who fits where on its look",) if finding.look else ()


def _row(finding: FindingRow) -> BesideRow:
    return BesideRow(
        key=finding,
        name=finding.name,
        sign="✗" if finding.serious else "△",
        serious=finding.serious,
        words=finding.words,
        look=finding.look,
        told_look=finding.told_look,
        position=finding.position or "",
    )
