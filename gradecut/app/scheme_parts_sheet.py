"""A sheet for one kind of part: what there is at the left, its lines at the right."""

from __future__ import annotations

from PyQt6.QtCore import Qt
from PyQt6.QtWidgets import (
    QComboBox,
    QDialog,
    QGridLayout,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QListWidget,
    QPlainTextEdit,
    QScrollArea,
    QVBoxLayout,
    QWidget,
)

from gradecut.app.choice_row import ChoiceRow
from gradecut.app.drop_down import DropDown
from gradecut.app.labels import button, line_down, words
from gradecut.app.page import Page
from gradecut.app.sheet_frame import closing
from gradecut.app.sheet_room import lay_over
from gradecut.desk.scheme_desk import SchemeDesk
from gradecut.desk.scheme_part_kinds import PART_KINDS
from gradecut.desk.scheme_part_lines import Saying
from gradecut.desk.scheme_parts import PartEntry, PartField

__all__ = ["PartsSheet"]

_SIZE_PX = (900, 640)
_LINES_PX = 92
_EITHER = ("yes", "no")


class PartsSheet(QDialog):
    """Adds, changes, renames and drops the parts of one kind; each is one edit of the draft.

    Parameters
    ----------
    page : Page
    desk : SchemeDesk
    kind : str
        A key of PART_KINDS.
    """

    def __init__(self, page: Page, desk: SchemeDesk, kind: str) -> None:
        super().__init__(page)
        self._desk = desk
        self._kind = PART_KINDS[kind]
        self._entries: list[PartEntry] = []
        self._entry: PartEntry | None = None
        self.fields: dict[str, QWidget] = {}
        self.hints: dict[str, QLabel] = {}
        self.setWindowTitle(self._kind.title)
        lay_over(self, _SIZE_PX)
        whole = QHBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.setSpacing(0)
        whole.addLayout(self._left_part())
        whole.addWidget(line_down())
        whole.addLayout(self._right_part(), 1)
        desk.scheme_changed.connect(self._show_entries)
        self.finished.connect(lambda _: desk.scheme_changed.disconnect(self._show_entries))
        self._show_entries()
        self.list.setCurrentRow(0 if self._entries else -1)
        if not self._entries:
            self.begin()

    # ------------------------------------------------------------------ making it

    def _left_part(self) -> QVBoxLayout:
        column = QVBoxLayout()
        column.setContentsMargins(22, 20, 14, 18)
        column.setSpacing(8)
        column.addWidget(words(self._kind.title, "title", 600))
        about = words(self._kind.about, "small", look="quiet", wrap=True)
        about.setFixedWidth(230)
        column.addWidget(about)
        self.list = QListWidget()
        self.list.setFixedWidth(236)
        self.list.setWordWrap(True)  # duties differ at the end of their names
        self.list.setResizeMode(QListWidget.ResizeMode.Adjust)
        self.list.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.list.setAccessibleName(self._kind.title)
        self.list.currentRowChanged.connect(self._choose)
        column.addWidget(self.list, 1)
        self.new = button(f"New {self._kind.one}", tip="Ctrl+Plus")
        self.new.setShortcut("Ctrl++")
        self.new.setAutoDefault(False)
        self.new.clicked.connect(self.begin)
        column.addWidget(self.new)
        return column

    def _right_part(self) -> QVBoxLayout:
        column = QVBoxLayout()
        column.setContentsMargins(22, 20, 18, 18)
        column.setSpacing(8)
        self.heading = words("", "head", 600, wrap=True)
        column.addWidget(self.heading)
        self._area = QScrollArea()
        self._area.setWidgetResizable(True)
        self._area.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self._area.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        column.addWidget(self._area, 1)
        self.refusal = words("", look="warn", wrap=True)
        column.addWidget(self.refusal)
        foot = QHBoxLayout()
        self.drop = button(f"Drop this {self._kind.one}", "plain")
        self.drop.clicked.connect(self.drop_entry)
        self.write = button("Write it", "accent", tip="Ctrl+Enter")
        self.write.setShortcut("Ctrl+Return")
        self.write.setDefault(True)
        self.write.clicked.connect(self.write_entry)
        self.drop.setAutoDefault(False)
        foot.addWidget(self.drop)
        foot.addStretch(1)
        foot.addWidget(closing(self))
        foot.addWidget(self.write)
        column.addLayout(foot)
        return column

    # ------------------------------------------------------------------ what can be done

    def begin(self) -> None:
        """Show empty lines for a new one."""
        self.list.blockSignals(True)
        self.list.setCurrentRow(-1)
        self.list.blockSignals(False)
        self._entry = None
        self._show_lines()
        first = next(iter(self.fields.values()), None)
        if first is not None:
            first.setFocus()

    def write_entry(self) -> None:
        """Write what stands in the lines into the draft."""
        scheme, entry = self._desk.shown, self._entry
        if scheme is None:
            return
        told = {key: _told_in(field) for key, field in self.fields.items()}
        said = Saying(told)
        name = told.get("name") or self._kind.one
        if entry is None:
            words_ = f"{self._kind.one} {name} added"
            done = self._desk.edit(words_, lambda text: self._kind.add(text, scheme, said))
        else:
            words_ = f"{self._kind.one} {name} changed"
            done = self._desk.edit(
                words_, lambda text: self._kind.change(text, scheme, entry, said)
            )
        self._tell(self._desk.refused)
        if done:
            self._go_to(told, new=entry is None)

    def drop_entry(self) -> None:
        """Drop the part that is shown."""
        scheme, entry = self._desk.shown, self._entry
        if scheme is None or entry is None:
            return
        at = self.list.currentRow()
        self._desk.edit(
            f"{self._kind.one} {entry.name} dropped",
            lambda text: self._kind.drop(text, scheme, entry),
        )
        self._tell(self._desk.refused)
        if not self._desk.refused and self._entries:
            self.list.setCurrentRow(min(at, len(self._entries) - 1))

    # ------------------------------------------------------------------ what is shown

    def _show_entries(self) -> None:
        scheme = self._desk.shown
        at = self.list.currentRow()
        self._entries = list(self._kind.entries(scheme)) if scheme is not None else []
        self.list.blockSignals(True)
        self.list.clear()
        self.list.addItems([entry.name for entry in self._entries])
        self.list.setCurrentRow(min(at, len(self._entries) - 1))
        self.list.blockSignals(False)

    def _go_to(self, told: dict[str, str], *, new: bool) -> None:
        """Show what was written; after a new one, lines for the next."""
        if new:
            self.begin()
            return
        names = [entry.told for entry in self._entries]
        found = [at for at, one in enumerate(names) if one == told]
        self.list.setCurrentRow(found[0] if found else self.list.currentRow())
        self._choose(self.list.currentRow())

    def _choose(self, row: int) -> None:
        if 0 <= row < len(self._entries):
            self._entry = self._entries[row]
            self._tell("")
            self._show_lines()

    def _show_lines(self) -> None:
        scheme, entry = self._desk.shown, self._entry
        self.heading.setText(entry.name if entry is not None else f"New {self._kind.one}")
        self.drop.setVisible(entry is not None)
        inside = QWidget()
        grid = QGridLayout(inside)
        grid.setContentsMargins(0, 0, 12, 0)
        grid.setHorizontalSpacing(14)
        grid.setVerticalSpacing(5)
        grid.setColumnStretch(1, 1)
        self.fields, self.hints = {}, {}
        for line in self._kind.fields(scheme) if scheme is not None else ():
            start = entry.told.get(line.key, "") if entry is not None else line.start
            field = _field(line, start)
            field.setAccessibleName(line.name)
            self.fields[line.key] = field
            at = grid.rowCount()
            label = words(line.name, look="quiet")
            label.setBuddy(field)
            grid.addWidget(label, at, 0, Qt.AlignmentFlag.AlignTop)
            label.setContentsMargins(0, 6, 0, 0)
            grid.addWidget(field, at, 1)
            if line.hint:
                hint = words(line.hint, "small", look="quiet", wrap=True)
                hint.setContentsMargins(2, 0, 0, 5)
                grid.addWidget(hint, at + 1, 1)
                self.hints[line.key] = hint
        grid.setRowStretch(grid.rowCount(), 1)
        self._area.setWidget(inside)
        either = self.fields.get("each_side")
        if isinstance(either, ChoiceRow):
            either.chosen.connect(lambda _: self._show_hints())
            self._show_hints()

    def _show_hints(self) -> None:
        """Give examples in the words that the switch asks for."""
        scheme = self._desk.shown
        each = _told_in(self.fields["each_side"]) == "yes"
        for line in self._kind.fields(scheme) if scheme is not None else ():
            if line.hint_each_side:
                self.hints[line.key].setText(line.hint_each_side if each else line.hint)

    def _tell(self, refused: str) -> None:
        self.refusal.setText(f"⚠  {refused}" if refused else "")


def _field(line: PartField, start: str) -> QWidget:
    if line.kind == "yes":
        either = ChoiceRow(_EITHER)
        either.choose(0 if start == "yes" else 1)
        return either
    if line.kind == "lines":
        several = QPlainTextEdit(start)
        several.setFixedHeight(_LINES_PX)
        several.setTabChangesFocus(True)
        several.setStyleSheet("QPlainTextEdit { border: 1px solid palette(mid); }")
        return several
    if line.kind == "choice" or line.choices:
        choice = DropDown()
        choice.setEditable(line.kind != "choice")
        choice.addItems(list(line.choices))
        if line.kind == "choice":
            choice.setCurrentIndex(max(choice.findText(start), 0))
        else:
            choice.setEditText(start)
        return choice
    return QLineEdit(start)


def _told_in(field: QWidget) -> str:
    if isinstance(field, ChoiceRow):
        return "" if field.place else "yes"
    if isinstance(field, QPlainTextEdit):
        return field.toPlainText()
    if isinstance(field, QComboBox):
        return field.currentText()
    return field.text() if isinstance(field, QLineEdit) else ""
