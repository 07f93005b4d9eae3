"""How the window looks: colours for dark and light, one accent, type in Inter."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import Literal

from PyQt6.QtCore import QObject, pyqtSignal
from PyQt6.QtGui import QColor, QFont, QFontDatabase, QPalette
from PyQt6.QtWidgets import QApplication, QStyleFactory

from gradecut.app._style_sheet import style_sheet
from gradecut.drawing import DARK, LIGHT, Colour, Palette, font_file

__all__ = ["DARK_THEME", "LIGHT_THEME", "Dress", "Size", "Theme", "as_qcolor", "font", "load_type"]

Size = Literal["title", "head", "lead", "body", "small"]

_SIZES_PX: dict[Size, int] = {"title": 20, "head": 16, "lead": 14, "body": 13, "small": 12}


@dataclass(frozen=True, slots=True, kw_only=True)
class Theme:
    """Colours by what they are for.

    Attributes
    ----------
    name : "dark" or "light"
    drawn : Palette
        What display lists are drawn with on this theme's ground.
    ground, sunk, raised, pressed : Colour
        The page; what film lies in; fields, buttons and keys; the chosen one of several.
    hairline : Colour
        Between parts; carries no meaning.
    ink, quiet : Colour
        Text read first, and text that stands back; both at least 4.5:1 on page and fields.
    accent, on_accent : Colour
        What can be acted on now, and text on it.
    warn : Colour
        Text of what went wrong or points below the line; never alone, always with a sign.
    """

    name: Literal["dark", "light"]
    drawn: Palette
    ground: Colour
    sunk: Colour
    raised: Colour
    pressed: Colour
    hairline: Colour
    ink: Colour
    quiet: Colour
    accent: Colour
    on_accent: Colour
    warn: Colour


DARK_THEME = Theme(
    name="dark",
    drawn=DARK,
    ground=DARK.ground,
    sunk=(12, 14, 18, 255),
    raised=(31, 37, 46, 255),
    pressed=(49, 58, 71, 255),
    hairline=(38, 45, 55, 255),
    ink=DARK.ink,
    quiet=DARK.quiet,
    accent=(86, 180, 233, 255),
    on_accent=(12, 14, 18, 255),
    warn=DARK.did_text,
)

LIGHT_THEME = Theme(
    name="light",
    drawn=LIGHT,
    ground=LIGHT.ground,
    sunk=(231, 233, 235, 255),
    raised=(240, 242, 243, 255),
    pressed=(221, 226, 231, 255),
    hairline=(222, 225, 229, 255),
    ink=LIGHT.ink,
    quiet=LIGHT.quiet,
    accent=(0, 98, 156, 255),
    on_accent=(255, 255, 255, 255),
    warn=LIGHT.did_text,
)


def as_qcolor(colour: Colour) -> QColor:
    """Return a colour as Qt takes it."""
    return QColor(*colour)


def load_type() -> None:
    """Load Inter into Qt; call once, after the application is made."""
    QFontDatabase.addApplicationFont(str(font_file()))


def font(size: Size = "body", weight: int = 400) -> QFont:
    """Return Inter with numbers of equal width.

    The font is variable, and Qt reaches its weights through the axis only.
    """
    return QFont(_made_font(size, weight))


@cache
def _made_font(size: Size, weight: int) -> QFont:
    """Make a font once: its copies share what Qt has looked up for it."""
    made = QFont("Inter")
    made.setPixelSize(_SIZES_PX[size])
    made.setVariableAxis(QFont.Tag("wght"), weight)
    made.setFeature(QFont.Tag("tnum"), 1)
    made.setHintingPreference(QFont.HintingPreference.PreferNoHinting)
    return made


class Dress(QObject):
    """The theme the window wears now; painted widgets ask it whenever they paint.

    Signals
    -------
    changed
        After another theme was put on; drop pictures drawn for the one before.
    """

    changed = pyqtSignal()

    def __init__(self, theme: Theme = DARK_THEME) -> None:
        super().__init__()
        self.theme = theme

    def put_on(self, theme: Theme, app: QApplication) -> None:
        """Wear a theme: style, palette, type and the few rules of the style sheet.

        The palette is always our own, since a bare X display tells of no colour scheme.
        """
        self.theme = theme
        app.setStyle(QStyleFactory.create("Fusion"))
        app.setPalette(_palette(theme))
        app.setFont(font())
        app.setStyleSheet(style_sheet(theme))
        self.changed.emit()


def _palette(theme: Theme) -> QPalette:
    roles = QPalette.ColorRole
    palette = QPalette()
    for role, colour in {
        roles.Window: theme.ground,
        roles.Base: theme.ground,
        roles.AlternateBase: theme.raised,
        roles.Button: theme.raised,
        roles.WindowText: theme.ink,
        roles.Text: theme.ink,
        roles.ButtonText: theme.ink,
        roles.BrightText: theme.warn,
        roles.PlaceholderText: theme.quiet,
        roles.ToolTipBase: theme.raised,
        roles.ToolTipText: theme.ink,
        roles.Highlight: theme.pressed,
        roles.HighlightedText: theme.ink,
        roles.Accent: theme.accent,
        roles.Link: theme.accent,
        roles.LinkVisited: theme.accent,
        roles.Light: theme.raised,
        roles.Midlight: theme.raised,
        roles.Mid: theme.hairline,
        roles.Dark: theme.hairline,
        roles.Shadow: theme.sunk,
    }.items():
        palette.setColor(role, as_qcolor(colour))
    for role in (roles.WindowText, roles.Text, roles.ButtonText):
        palette.setColor(QPalette.ColorGroup.Disabled, role, as_qcolor(theme.quiet))
    return palette
