"""Fit sheets printed by a real browser: one page a man on both papers, nothing cut off."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from gradecut.samples import week_folder
from gradecut.scheme import Scheme, load_scheme, parse_scheme
from gradecut.workflows.fit_sheets import write_fit_sheet
from tests.browser.chromium import chromium

pytestmark = pytest.mark.browser

LOWEST_PT = 728
"""What 11 mm margins leave of Letter's 279.4 mm, the lower of the two papers."""


def busy_scheme(rules: int) -> Scheme:
    """Give one man so many rules, each with a cue, on as many looks."""
    plays = [f'"play {number}"' for number in range(rules)]
    text = '[scheme]\ntiers = ["base", "week"]\n[facts.concept]\nasks = "Which run?"\n'
    text += f"values = [{', '.join(plays)}]\n"
    text += '[positions.Keel]\nside = "right"\n'
    for gap in "ABCD":
        text += f'[fits."fill {gap}"]\njob = "fill"\ngap = "{gap}"\n'
        text += (
            'misses = [{ name = "ran past it" }, { name = "caught it deep", credit = "half" }]\n'
        )
    for number, play in enumerate(plays):
        tier = "week" if number % 5 == 0 else "base"
        text += f'[[rules]]\nid = "K{number}"\nfor = ["Keel"]\ntier = "{tier}"\n'
        text += f'when = {{ concept = {play} }}\nfit = "fill {"ABCD"[number % 4]}"\n'
        text += f'cue = "Downhill through the near hip, step {number}"\n'
    return parse_scheme(text, "busy.toml")


@pytest.mark.parametrize("which", ["Harbor", "forty rules"])
def test_one_page_a_man(which: str, tmp_path: Path) -> None:
    """Harbor's men, and a man of 40 rules, take a page each; no type below 7 points."""
    scheme = load_scheme(week_folder() / "harbor.toml") if which == "Harbor" else busy_scheme(40)
    men = list(scheme.positions)
    path = tmp_path / "sheet.html"
    write_fit_sheet(scheme, men, path)
    with chromium() as browser:
        page = browser.new_page()
        complaints: list[str] = []
        page.on("console", lambda message: complaints.append(message.text))
        page.goto(path.as_uri())
        for paper in ("Letter", "A4"):
            pages = len(re.findall(rb"/Type\s*/Page\b", page.pdf(format=paper)))
            assert pages == len(men), paper
        page.emulate_media(media="print")
        for man in page.locator(".man").all():
            box = man.bounding_box()
            assert box is not None
            assert box["height"] * 0.75 <= LOWEST_PT
        wide = page.evaluate(
            "[...document.querySelectorAll('.man *')].every("
            "one => one.scrollWidth <= one.clientWidth + 1 || one.clientWidth === 0)"
        )
        assert wide
        smallest = page.evaluate(
            "Math.min(...[...document.querySelectorAll('.man p')].map("
            "one => parseFloat(getComputedStyle(one).fontSize)))"
        )
        assert smallest * 0.75 >= 6.99
        assert complaints == []
