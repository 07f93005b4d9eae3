"""What the board is of, as a sentence whose parts are touched to change them."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial

from PyQt6.QtWidgets import QHBoxLayout, QMenu, QPushButton, QWidget

from gradecut.app.labels import button, words
from gradecut.app.theme import font
from gradecut.desk.board_desk import BoardDesk
from gradecut.desk.board_words import way_words

__all__ = ["BoardTitle"]

_Entry = tuple[str, Callable[[], object]]
"""What a menu entry says and does."""


class BoardTitle(QWidget):
    """Reads "Right fits of linebackers by concept in all sessions"."""

    def __init__(self, board: BoardDesk) -> None:
        super().__init__()
        self._board = board
        row = QHBoxLayout(self)
        row.setContentsMargins(24, 0, 24, 0)
        row.setSpacing(7)
        self.group = self._choice(self.choose_group, "Whose fits")
        self.way = self._choice(self.choose_way, "What the columns show")
        self.sessions = self._choice(self.choose_sessions, "Which sessions")
        for part in ("Right fits of", self.group, "by", self.way, "in", self.sessions):
            row.addWidget(words(part, "title", 600) if isinstance(part, str) else part)
        row.addStretch(1)

    def renew(self) -> None:
        """Say what is shown now."""
        view = self._board.view
        if view is not None:
            _tell(self.group, self._board.choice.group)
            _tell(self.way, way_words(view.board.by))
            _tell(self.sessions, self._session_words())

    def choose_group(self) -> None:
        """Offer the groups."""
        choose = self._board.choose
        groups = self._board.groups()
        self._popup(self.group, [(group, partial(choose, group=group)) for group in groups])

    def choose_way(self) -> None:
        """Offer what the columns can be cut by."""
        choose = self._board.choose
        ways = self._board.ways()
        self._popup(self.way, [(way_words(way), partial(choose, by=way)) for way in ways])

    def choose_sessions(self) -> None:
        """Offer all sessions, and each."""
        choose = self._board.choose
        entries: list[_Entry] = [("all sessions", partial(choose, all_sessions=True))]
        entries += [
            (f"{one.name}  {one.day}".strip(), partial(choose, session_ids=(one.id,)))
            for one in self._board.sessions()
        ]
        self._popup(self.sessions, entries)

    def _choice(self, choose: Callable[[], None], name: str) -> QPushButton:
        made = button("", "words")
        made.setAccessibleName(name)
        made.setFont(font("title", 600))
        made.clicked.connect(partial(_run, choose))
        return made

    def _session_words(self) -> str:
        chosen = self._board.choice.session_ids
        if chosen is None:
            return "all sessions"
        names = [one.name for one in self._board.sessions() if one.id in chosen]
        return ", ".join(names) or "no session"

    def _popup(self, below: QPushButton, entries: Sequence[_Entry]) -> None:
        menu = QMenu(self)
        menu.aboutToHide.connect(menu.deleteLater)
        for text, run in entries:
            action = menu.addAction(text)
            if action is not None:
                action.triggered.connect(partial(_run, run))
        menu.popup(below.mapToGlobal(below.rect().bottomLeft()))


def _run(run: Callable[[], object], _checked: bool = False) -> None:
    run()


def _tell(choice: QPushButton, told: str) -> None:
    """Show what is chosen, and name it with what is asked."""
    choice.setText(told)
    asks = choice.accessibleName().partition(":")[0]
    choice.setAccessibleName(f"{asks}: {told}")
