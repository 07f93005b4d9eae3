from __future__ import annotations

from gradecut.desk import Desk
from gradecut.scheme.editing import set_fit


def test_a_row_for_every_look_reads_as_a_sentence(desk: Desk) -> None:
    """The cell is told "on every look", never "on always"."""
    hand, tier = desk.scheme.hand, desk.scheme.hand.tiers[0]
    assert desk.scheme.edit(
        "fill A for Keel",
        lambda text: set_fit(text, man="Keel", tier=tier, when={}, fit="fill A"),
    )
    row = next(row for row in hand.rows if row.words == "always")
    hand.take(row.key, "Keel")
    assert hand.cell_words().startswith("Keel on every look: fill A ")
    hand.take(row.key, "Bow")
    assert hand.cell_words() == f"Bow on every look: no fit asked in tier {tier}."
