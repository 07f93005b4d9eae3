from __future__ import annotations

import pytest

from gradecut.desk import Desk
from tests.desk.small_book import Posted

POWER_TO_HIM = "concept power or counter · run to him"


def test_a_look_met_without_a_rule_is_listed_with_its_plays(desk: Desk, posted: Posted) -> None:
    """Bow's rule on power taken away, the play it was met on is told; back, nothing is."""
    scheme = desk.scheme
    scheme.met.look_through()
    posted.until(lambda: not scheme.met.running)
    assert not scheme.met.rows
    assert scheme.met.verdict().startswith("Every look met is answered")
    row = next(row for row in scheme.hand.rows if row.words == POWER_TO_HIM)
    scheme.hand.take(row.key, "Bow")
    scheme.hand.clear()
    posted.until(lambda: not scheme.met.running)
    assert len(scheme.met.rows) == 1
    met = scheme.met.rows[0]
    assert met.name == "Bow: no rule"
    assert met.columns == (("met on", "play 2"),)
    assert met.look["concept"] == "power"
    assert scheme.met.verdict() == "1 look of your film answered badly."
    scheme.undo()
    posted.until(lambda: not scheme.met.running)
    assert not scheme.met.rows


def test_a_man_without_any_rule_has_a_side_all_the_same(desk: Desk, posted: Posted) -> None:
    """He is not told to have no side where the look gives him one."""
    scheme = desk.scheme
    men = [row for row in scheme.hand.rows if "Bow" in row.cells]
    for row in men:
        scheme.hand.take(row.key, "Bow")
        scheme.hand.clear()
    scheme.met.look_through()
    posted.until(lambda: not scheme.met.running)
    told = [row.words for row in scheme.met.rows if row.position == "Bow"]
    assert told
    assert not any("no side" in words for words in told)


def test_a_look_through_that_fails_says_so_and_can_be_run_again(
    desk: Desk, posted: Posted, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A fault leaves no "Looking through the film …" behind; the next look is as any other."""
    met = desk.scheme.met

    def fail(*_: object, **__: object) -> None:
        raise ZeroDivisionError("a fault of ours")

    with monkeypatch.context() as broken:
        broken.setattr("gradecut.workflows.film_audit.audit_film", fail)
        met.look_through()
        with pytest.raises(ZeroDivisionError):
            posted.until(lambda: False)
    assert not met.running
    assert met.verdict() == "It broke off, so nothing was found out; your edits are safe."
    met.look_through()
    posted.until(lambda: not met.running)
    assert met.verdict().startswith("Every look met is answered")
