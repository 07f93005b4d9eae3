from __future__ import annotations

from typing import Any

import pytest
from PyQt6.QtCore import Qt

from gradecut.app.scheme_chips import FactChips
from gradecut.desk.scheme_conditions import AskedFact

RUN = AskedFact(reference="run", name="run", asks="Which way?", values=("to", "away"))
MANY = AskedFact(
    reference="concept", name="concept", asks="", values=tuple(f"concept {n}" for n in range(20))
)


@pytest.mark.usefixtures("dress")
def test_pressed_values_are_told(qtbot: Any) -> None:
    """Pressing a value tells the fact with all that is pressed of it."""
    chips = FactChips([RUN, MANY])
    qtbot.addWidget(chips)
    told: list[object] = []
    chips.changed.connect(lambda fact, chosen: told.append((fact.reference, chosen)))
    chips.show_way({"run": {"not": "away"}})
    assert chips.chosen(RUN) == ["to"]
    qtbot.mouseClick(chips.buttons["run", "away"], Qt.MouseButton.LeftButton)
    assert told == [("run", ["to", "away"])]


@pytest.mark.usefixtures("dress")
def test_many_values_go_over_several_lines(qtbot: Any) -> None:
    """No value is pushed out of a narrow form."""
    chips = FactChips([MANY])
    qtbot.addWidget(chips)
    chips.resize(320, 10)
    chips.show()
    chips.resize(320, chips.heightForWidth(320) if chips.hasHeightForWidth() else 400)
    rights = [one.geometry().right() for one in chips.buttons.values()]
    inside = next(iter(chips.buttons.values())).parentWidget()
    assert inside is not None
    assert max(rights) <= inside.width()
    assert len({one.y() for one in chips.buttons.values()}) > 1
