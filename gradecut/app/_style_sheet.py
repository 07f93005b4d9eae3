"""The few rules that Qt's own style can't be told by palette and font."""

from __future__ import annotations

from string import Template
from typing import TYPE_CHECKING

from gradecut.drawing import Colour

if TYPE_CHECKING:
    from gradecut.app.theme import Theme

__all__ = ["style_sheet"]

_RULES = Template("""
QToolTip { background: $raised; color: $ink; border: 1px solid $hairline; padding: 4px 7px; }
QPushButton { background: $raised; border: 1px solid transparent; border-radius: 5px;
  padding: 5px 12px; }
QPushButton:hover { background: $pressed; }
QPushButton:focus { border-color: $accent; }
QPushButton:disabled { color: $quiet; background: transparent; border-color: $hairline; }
QPushButton[look="accent"] { background: $accent; color: $on_accent; }
QPushButton[look="accent"]:focus { border-color: $ink; }
QPushButton[look="accent"]:disabled { background: transparent; color: $quiet; }
QPushButton[look="plain"] { background: transparent; padding: 4px 8px; color: $quiet; }
QPushButton[look="plain"]:hover, QPushButton[look="plain"]:checked { color: $ink; }
QPushButton[look="plain"]:focus { border-color: $accent; }
QPushButton[look="row"] { background: transparent; border-radius: 5px; }
QPushButton[look="row"]:hover { background: $raised; }
QPushButton[look="row"]:focus { border-color: $accent; }
QPushButton[look="choice"] { padding: 3px 9px; color: $quiet; }
QPushButton[look="choice"]:checked { background: $pressed; color: $ink; border-color: $quiet; }
QPushButton[look="choice"]:focus { border-color: $accent; }
QPushButton[look="words"] { background: transparent; border: none; border-radius: 0px;
  border-bottom: 1px dotted $quiet; padding: 0px 0px 1px 0px; }
QPushButton[look="words"]:hover, QPushButton[look="words"]:focus
  { border-bottom: 1px solid $accent; }
QPushButton::menu-indicator { image: none; width: 0px; }
QLineEdit, QPlainTextEdit, QComboBox, QDateEdit, QSpinBox { background: $ground;
  border: 1px solid $hairline; border-radius: 5px; padding: 5px 8px;
  selection-background-color: $pressed; selection-color: $ink; }
QLineEdit:focus, QPlainTextEdit:focus, QComboBox:focus { border-color: $accent; }
QLineEdit:disabled, QComboBox:disabled, QDateEdit:disabled, QSpinBox:disabled
  { background: transparent; color: $quiet; border: 1px dashed $hairline; }
QComboBox { padding-left: 10px; }
QComboBox:editable { padding-left: 8px; }
QComboBox::drop-down { border: none; width: 24px; }
QComboBox QAbstractItemView { background: $raised; border: 1px solid $hairline; }
QMenu { background: $raised; border: 1px solid $hairline; border-radius: 8px; padding: 5px; }
QMenu::item { padding: 5px 22px 5px 12px; border-radius: 4px; }
QMenu::item:selected { background: $pressed; }
QMenu::item:disabled { color: $quiet; }
QMenu::separator { height: 1px; background: $hairline; margin: 5px 8px; }
QLabel[look="key"] { background: $raised; border-radius: 4px; padding: 1px 6px; }
QLabel[look="quiet"] { color: $quiet; }
QLabel[look="warn"] { color: $warn; }
QPushButton[look="key"] { padding: 0px; border-radius: 4px; }
QPushButton[look="plain"][place="book"] { color: $ink; }
QFrame[look="card"] { background: $ground; border-radius: 8px; }
QFrame[look="line"] { background: $hairline; border: none; }
QScrollArea, QAbstractScrollArea { border: none; background: $ground; }
QAbstractScrollArea::corner { background: $ground; border: none; }
QScrollBar:vertical { background: transparent; width: 9px; margin: 0px; }
QScrollBar:horizontal { background: transparent; height: 9px; margin: 0px; }
QScrollBar::handle { background: $pressed; border-radius: 4px; min-height: 28px; min-width: 28px; }
QScrollBar::add-line, QScrollBar::sub-line { width: 0px; height: 0px; }
QScrollBar::add-page, QScrollBar::sub-page { background: transparent; }
QProgressBar { background: $raised; border: none; border-radius: 3px; }
QProgressBar::chunk { background: $accent; border-radius: 3px; }
QListWidget, QTableWidget, QTreeWidget { background: $ground; outline: none;
  border: 1px solid transparent; border-radius: 6px; }
QListWidget:focus, QTableWidget:focus, QTreeWidget:focus { border-color: $accent; }
QListWidget[look="columns"]:focus { border-color: transparent; }
QScrollArea[look="scrolled"] { border: 1px solid transparent; border-radius: 6px; }
QScrollArea[look="scrolled"]:focus { border-color: $accent; }
QListWidget::item { padding: 7px 8px; border-radius: 5px; }
QListWidget::item:selected { background: $pressed; color: $ink; }
QListWidget::item:hover:!selected { background: $raised; }
QTableWidget::item { padding: 4px 8px; border-bottom: 1px solid $hairline; }
QTableWidget::item:selected { background: $raised; color: $ink; }
QHeaderView { background: $ground; }
QHeaderView::section { background: $ground; color: $quiet; border: none;
  border-bottom: 1px solid $hairline; padding: 6px 8px 6px 11px; }
QTableCornerButton::section { background: $ground; border: none; }
QSplitter::handle { background: $hairline; }
""")


def style_sheet(theme: Theme) -> str:
    """Return the style sheet of a theme."""
    return _RULES.substitute(
        ground=_hex(theme.ground),
        raised=_hex(theme.raised),
        pressed=_hex(theme.pressed),
        hairline=_hex(theme.hairline),
        ink=_hex(theme.ink),
        quiet=_hex(theme.quiet),
        accent=_hex(theme.accent),
        on_accent=_hex(theme.on_accent),
        warn=_hex(theme.warn),
    )


def _hex(colour: Colour) -> str:
    red, green, blue, _ = colour
    return f"#{red:02x}{green:02x}{blue:02x}"
