"""The guide for a coach who writes his scheme by hand: what it shows is a scheme."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from gradecut.scheme import parse_scheme

GUIDE = Path(__file__).parents[2] / "docs" / "scheme-language.md"
RUN = '[facts.run]\nvalues = ["left", "right"]\nsided = true\n'


def _examples() -> list[str]:
    return re.findall(r"```toml\n(.*?)```", GUIDE.read_text(encoding="utf-8"), re.DOTALL)


def test_the_smallest_scheme_of_the_guide_answers() -> None:
    """The first example is a whole file, and says what a flip is."""
    scheme = parse_scheme(_examples()[0], "the guide")
    assert scheme.expect("Mike", {"run": "left"}).reason == (
        "Rule 1 asks for press, left side; had the run been right: chase."
    )


def test_the_examples_of_the_guide_are_one_scheme() -> None:
    """All sections shown, put together with the fact they take for granted, load."""
    scheme = parse_scheme(RUN + "".join(_examples()[1:]), "guide")
    assert [rule.id for rule in scheme.rules] == ["M07"]
    assert dict(scheme.facts["guard"].had)["stays"] == "had the guard not pulled"


@pytest.mark.parametrize(
    "when",
    [
        row.split("|")[1].strip().strip("`")
        for row in GUIDE.read_text(encoding="utf-8").splitlines()
        if row.startswith(("| `{", "| `["))
    ],
)
def test_every_condition_of_the_table_loads(when: str) -> None:
    """Each way to write a condition is read for a man with a side."""
    text = RUN + "".join(_examples()[1:])
    rule = f'[[rules]]\nid = "new"\nfor = ["Mike"]\nfit = "drop"\nwhen = {when}\n'
    assert len(parse_scheme(f"{text}\n{rule}", "guide").rules) == 2
