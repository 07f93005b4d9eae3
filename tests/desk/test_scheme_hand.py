from __future__ import annotations

from gradecut.desk import Desk


def test_a_row_for_every_look_reads_as_a_sentence(desk: Desk) -> None:
    """The cell is told "on every look", never "on always"."""
    hand = desk.scheme.hand
    rows = [row for row in hand.rows if row.words == "always"]
    assert rows
    for row in rows:
        hand.take(row.key, hand.men[0])
        assert hand.cell_words().startswith(f"{hand.men[0]} on every look: ")
