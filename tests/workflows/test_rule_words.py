from __future__ import annotations

import pytest

from gradecut.scheme import Entry
from gradecut.workflows.rule_words import rule_when


@pytest.mark.parametrize(
    ("entry", "told"),
    [
        (Entry(fact="run", among=("to",)), "run to him"),
        (Entry(fact="surface", where="to", least=3), "surface 3 or more to him"),
        (Entry(fact="surface", where="run", among=(2,)), "surface 2 where the run goes"),
        (Entry(fact="motion", among=(False,)), "no motion"),
        (Entry(fact="back", barred=("behind", "none")), "back not behind or none"),
        (Entry(fact="depth", least=1, most=4), "depth 1 to 4"),
    ],
)
def test_an_entry_reads_as_a_coach_would_say_it(entry: Entry, told: str) -> None:
    """Conditions of the scheme file are told in words."""
    assert rule_when(((entry,),)) == told


def test_a_rule_without_a_condition_is_for_every_look() -> None:
    """An empty condition reads as always; two ways are joined by or."""
    assert rule_when(((),)) == "always"
    one, other = Entry(fact="motion", among=(True,)), Entry(fact="wing", among=("to",))
    assert rule_when(((one,), (other,))) == "motion, or wing to him"
