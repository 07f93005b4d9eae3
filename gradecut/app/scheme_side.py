"""The side of the Scheme page: one of several views beside the grid, each with its key."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

from PyQt6.QtCore import pyqtSignal
from PyQt6.QtWidgets import (
    QButtonGroup,
    QHBoxLayout,
    QPushButton,
    QStackedWidget,
    QVBoxLayout,
    QWidget,
)

from gradecut.app.actions import Action
from gradecut.app.labels import button, line_across
from gradecut.app.scheme_chips import Flow
from gradecut.app.scheme_side_list import SideView

__all__ = ["SideViews"]


class SideViews(QWidget):
    """A stack of views with a name and a key each.

    Attributes
    ----------
    names : list of str
        In the order they were added.

    Signals
    -------
    shown : str
        A view is shown, maybe the same again.
    """

    shown = pyqtSignal(str)

    def __init__(self) -> None:
        super().__init__()
        self.names: list[str] = []
        self._keys: list[str] = []
        self._entered: list[Callable[[], object] | None] = []
        self._renewed: list[Callable[[], object] | None] = []
        self._buttons: list[QPushButton] = []
        self._group = QButtonGroup(self)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 14, 0, 0)
        column.setSpacing(0)
        head = QHBoxLayout()
        head.setContentsMargins(16, 0, 14, 10)
        self._head = Flow(gap_px=4)
        head.addLayout(self._head, 1)
        column.addLayout(head)
        column.addWidget(line_across())
        self.stack = QStackedWidget()
        column.addWidget(self.stack, 1)

    def add_view(
        self,
        name: str,
        key: str,
        view: QWidget,
        entered: Callable[[], object] | None = None,
        *,
        renewed: Callable[[], object] | None = None,
    ) -> None:
        """Add a view.

        Parameters
        ----------
        name : str
            A word or two for its button.
        key : str
            In Qt's portable words: "Alt+1".
        view : QWidget
        entered : callable or None
            Called whenever it is shown.
        renewed : callable or None
            Reads anew what it shows; called before it is shown, and by ``renew``.
        """
        made = button(name, "choice", tip=f"{name} ({key})")
        made.setCheckable(True)
        made.setChecked(not self.names)
        made.clicked.connect(partial(self._clicked, name))
        self._group.addButton(made)
        self._head.addWidget(made)
        self._buttons.append(made)
        self.names.append(name)
        self._keys.append(key)
        self._entered.append(entered)
        self._renewed.append(renewed)
        self.stack.addWidget(view)

    @property
    def name(self) -> str:
        """The view that is shown."""
        return self.names[self.stack.currentIndex()] if self.names else ""

    def view_with_keys(self) -> SideView | None:
        """Return the view whose list has the keys; None where none has."""
        view = self.stack.currentWidget()
        return view if isinstance(view, SideView) and view.list.hasFocus() else None

    def show_view(self, name: str) -> None:
        """Show a view."""
        at = self.names.index(name)
        self._buttons[at].setChecked(True)
        self.stack.setCurrentIndex(at)
        self.renew()
        entered = self._entered[at]
        if entered is not None:
            entered()
        self.shown.emit(name)

    def renew(self) -> None:
        """Read anew what the view that is shown shows; the keys stay where they are."""
        renewed = self._renewed[self.stack.currentIndex()] if self.names else None
        if renewed is not None:
            renewed()

    def tell(self, name: str, words: str, in_full: str = "") -> None:
        """Write something behind a view's name, such as how much is in it; in full on hover."""
        at = self.names.index(name)
        made = self._buttons[at]
        made.setText(f"{name} {words}".strip())
        made.setToolTip(": ".join(part for part in (f"{name} ({self._keys[at]})", in_full) if part))
        made.setAccessibleName(": ".join(part for part in (name, in_full) if part))

    def actions_of(self, group: str) -> list[Action]:
        """Return an action for each view."""
        return [
            Action(
                name=f"beside the grid: {name.lower()}",
                keys=(key,),
                group=group,
                run=partial(self.show_view, name),
            )
            for name, key in zip(self.names, self._keys, strict=True)
        ]

    def _clicked(self, name: str, _checked: bool = False) -> None:
        self.show_view(name)
