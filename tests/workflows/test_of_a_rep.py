"""No table that speaks of a rep is forgotten where reps are moved, hidden or taken away."""

from __future__ import annotations

from gradecut.book.schema import TABLES
from gradecut.workflows.of_a_rep import JUDGED, OF_A_PLAY, OF_A_REP


def test_every_table_that_names_a_rep_is_listed() -> None:
    """Held against the book's own tables, so that the next one is not left out."""
    assert {kind for kind, table in TABLES.items() if "rep_id" in table.columns} == set(OF_A_REP)


def test_what_judges_is_said_of_a_rep_and_what_is_of_a_play_names_it() -> None:
    """Each list holds what its name says."""
    assert set(JUDGED) < set(OF_A_REP)
    assert all("clip_id" in TABLES[kind].columns for kind in OF_A_PLAY)
