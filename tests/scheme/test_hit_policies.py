"""Unique, Any and Priority, as the OMG DMN standard names them.

Tables of our own, equivalent in shape to those of the OMG DMN Technology Compatibility Kit
(tests 0004, 0117 and 0118; evaluations and verdicts as in the reference brief, section D). A
completeness check in the sense of Calvanese et al. 2016, arXiv:1603.07466: every point of the
declared domain matches a rule.
"""

from __future__ import annotations

from itertools import product

from gradecut.scheme import Scheme, parse_scheme

HEAD = """
[scheme]
tiers = ["sit", "play"]
[facts.senior]
values = [true, false]
[facts.risk]
values = ["low", "medium", "high"]
[facts.fit_to_play]
values = [true, false]
[positions.Keel]
side = "none"
[fits.play]
job = "play"
[fits.sit]
job = "sit"
"""


def _table(*rules: tuple[str, str, str]) -> Scheme:
    text = HEAD
    for number, (when, fit, tier) in enumerate(rules, start=1):
        text += f'[[rules]]\nid = "{number}"\nfor = ["Keel"]\ntier = "{tier}"\n'
        text += f'when = {{ {when} }}\nfit = "{fit}"\n'
    return parse_scheme(text, "table")


def _answers(scheme: Scheme) -> dict[tuple[bool, str, bool], str | None]:
    return {
        cell: scheme.expect(
            "Keel", {"senior": cell[0], "risk": cell[1], "fit_to_play": cell[2]}
        ).fit
        for cell in product((True, False), ("low", "medium", "high"), (True, False))
    }


def test_unique_every_cell_has_exactly_one_rule() -> None:
    """As in DMN TCK 0004: complete, no overlap; Approved for (18, Medium, yes) alone of three."""
    answers = _answers(
        _table(
            ('senior = true, risk = ["low", "medium"], fit_to_play = true', "play", "sit"),
            ("senior = false", "sit", "sit"),
            ('senior = true, risk = "high"', "sit", "sit"),
            ('senior = true, risk = ["low", "medium"], fit_to_play = false', "sit", "sit"),
        )
    )
    assert None not in answers.values()
    assert answers[True, "medium", True] == "play"
    assert answers[False, "medium", True] == "sit"
    assert answers[True, "high", True] == "sit"


def test_any_rules_that_say_the_same_may_overlap() -> None:
    """As in DMN TCK 0117: two rules match and agree, so there is one answer, told by the first."""
    scheme = _table(
        ('senior = true, risk = ["low", "medium"], fit_to_play = true', "play", "sit"),
        ("senior = false", "sit", "sit"),
        ('risk = "high"', "sit", "sit"),
        ("fit_to_play = false", "sit", "sit"),
    )
    assert None not in _answers(scheme).values()
    said = scheme.expect("Keel", {"senior": False, "risk": "high", "fit_to_play": False})
    assert (said.rule, said.overrode) == ("2", ())


def test_priority_the_higher_output_wins_and_a_hole_stays_a_hole() -> None:
    """As in DMN TCK 0118: rules 2 and 3 overlap, the higher wins; one region has no rule."""
    scheme = _table(
        ('senior = true, risk = ["low", "medium"], fit_to_play = true', "play", "play"),
        ("senior = false", "sit", "sit"),
        ('risk = "high"', "play", "play"),
    )
    said = scheme.expect("Keel", {"senior": False, "risk": "high", "fit_to_play": True})
    assert (said.fit, said.rule, said.overrode) == ("play", "3", ("2",))
    holes = {cell for cell, fit in _answers(scheme).items() if fit is None}
    assert holes == {(True, "low", False), (True, "medium", False)}


def test_rules_of_one_tier_that_disagree_are_no_answer() -> None:
    """Unique is not Any: an overlap of different outputs is no answer, whatever their order."""
    scheme = _table(("senior = true", "play", "sit"), ('risk = "high"', "sit", "sit"))
    said = scheme.expect("Keel", {"senior": True, "risk": "high"})
    assert (said.fit, said.options) == (None, ((None, None),))
