"""Where a window stands, so that the one opened in its stead stands there too."""

from __future__ import annotations

import json
from dataclasses import asdict, dataclass, fields, replace
from typing import TYPE_CHECKING, Any

from PyQt6.QtCore import QRect

from gradecut.app.film_page import FilmPage
from gradecut.errors import GradecutError

if TYPE_CHECKING:
    from gradecut.app.window import MainWindow

__all__ = ["AsItWas", "as_it_is", "read_as_it_was", "stand_as_it_was", "words_of"]


@dataclass(frozen=True, slots=True, kw_only=True)
class AsItWas:
    """What a coach has before him.

    Attributes
    ----------
    path, page : str
        The open book, and the page shown; empty without a book.
    clip_id, position, angle_id : str
        The play, the man in hand and the angle on stage; empty for none.
    frame : int
        On stage, from 0 in its film.
    asks_misses, loupe : bool
        It is asked how he missed; the loupe is shown.
    x_px, y_px, wide_px, high_px : int
        The window without its frame, in pixels of the screen; nothing where it is 0 wide.
    large : bool
        It was made as large as the screen lets it be.
    """

    path: str = ""
    page: str = ""
    clip_id: str = ""
    position: str = ""
    angle_id: str = ""
    frame: int = 0
    asks_misses: bool = False
    loupe: bool = False
    x_px: int = 0
    y_px: int = 0
    wide_px: int = 0
    high_px: int = 0
    large: bool = False


def as_it_is(window: MainWindow) -> AsItWas:
    """Tell where a window stands now."""
    scale, inner = window.devicePixelRatioF(), window.geometry()
    sides = (inner.x(), inner.y(), inner.width(), inner.height())
    x, y, wide, high = (round(side * scale) for side in sides)
    placed = AsItWas(x_px=x, y_px=y, wide_px=wide, high_px=high, large=window.isMaximized())
    if window.desk is None or window.pages is None:
        return placed
    film, page = window.desk.film, window.pages.pages.get("Film")
    return replace(
        placed,
        path=str(window.desk.book.path),
        page=window.pages.name,
        clip_id=film.clip.id if film.clip is not None else "",
        position=film.hand.position,
        angle_id=film.playhead.angle.id if film.playhead.angle is not None else "",
        frame=int(film.playhead.frame),
        asks_misses=film.hand.asks_misses,
        loupe=isinstance(page, FilmPage) and page.stage.loupe.on,
    )


def stand_as_it_was(window: MainWindow, told: AsItWas) -> None:
    """Let a window, its book open, stand as another did; what is gone since is passed over."""
    scale = window.devicePixelRatioF()
    if told.wide_px:
        sides = (told.x_px, told.y_px, told.wide_px, told.high_px)
        window.setGeometry(QRect(*(round(side / scale) for side in sides)))
    if told.large:
        window.showMaximized()
    if window.desk is None or window.pages is None:
        return
    film = window.desk.film
    if told.clip_id:
        try:
            film.open_rep(told.clip_id)
        except GradecutError:
            return
        state = film.state
        angles = state.timeline.angles if state is not None else ()
        for _ in angles:
            if film.playhead.angle is not None and film.playhead.angle.id != told.angle_id:
                film.other_angle()
        if state is not None and state.man(told.position) is not None:
            (film.hand.choose if told.asks_misses else film.hand.hold)(told.position)
        film.playhead.seek(told.frame)
    page = window.pages.page("Film")
    if told.loupe and isinstance(page, FilmPage) and not page.stage.loupe.on:
        page.stage.loupe.on = True
    if told.page:
        window.show_page(told.page)


def words_of(told: AsItWas) -> str:
    """Write it down."""
    return json.dumps(asdict(told))


def read_as_it_was(text: str) -> AsItWas:
    """Read what was written down; what can't be read is as nothing."""
    try:
        told: Any = json.loads(text)
    except ValueError:
        return AsItWas()
    if not isinstance(told, dict):
        return AsItWas()
    usual = AsItWas()
    known = {
        one.name: told[one.name]
        for one in fields(AsItWas)
        if type(told.get(one.name)) is type(getattr(usual, one.name))
    }
    return AsItWas(**known)
