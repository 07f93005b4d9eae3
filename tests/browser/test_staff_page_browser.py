"""The staff's page printed by a real browser: both papers, nothing cut off, nothing fetched."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import cv2
import numpy as np
import pytest

from gradecut.records.rubric import Rubric
from gradecut.reports.men_standings import standings
from gradecut.reports.staff_page import FlaggedRep, StaffPeriod, Still, Unclear, write_staff_page
from gradecut.workflows.printing import print_page
from tests.browser.chromium import chromium
from tests.reports.test_staff_page import REP

pytestmark = pytest.mark.browser

LOW_PX = (279.4 - 25) / 25.4 * 96
"""What the margins leave of Letter's height, the lower of the two papers, at 96 dots an inch."""
WIDE_PX = (210 - 22) / 25.4 * 96
"""And of A4's width, the narrower one."""


def twelve_plays(path: Path) -> None:
    """Write a page of two periods with eight flagged reps, half of them with their own marks."""
    picture = np.full((619, 1100, 3), 90, np.uint8)
    jpeg = bytes(cv2.imencode(".jpg", picture)[1])
    still = Still(
        jpeg=jpeg, size_px=(1100, 619), says="1 s after his first step; nothing later is marked",
        place="frame 137 · snap +39 · +1.300 s · end",
    )  # fmt: skip
    long_note = "Ran flat with the first flow behind the guard; the back bent it into the gap. " * 3

    def rep(number: int) -> FlaggedRep:
        return replace(
            REP, play=f"Play {number}", miss=still, note=long_note,
            drawn=still if number % 2 else None, look="strength right · surface left 2 · back left",
        )  # fmt: skip

    men = standings([], Rubric())
    unclear = Unclear(kind="a look in dispute", says="Back: left (A), right (B).", plays="play 3")
    periods = [
        StaffPeriod(
            name=f"Inside run {half}", plays="plays 1 to 6", men=men,
            flagged=tuple(rep(4 * half + number) for number in range(4)), unclear=(unclear,) * 3,
        )
        for half in (1, 2)
    ]  # fmt: skip
    write_staff_page(path, periods, men[-1], rubric=Rubric(), title="Staff meeting: Tuesday")


def test_twelve_plays_print_on_both_papers(tmp_path: Path) -> None:
    """Eight reps on four pages at the most; no rep is higher than a page or wider than its room."""
    path = tmp_path / "staff.html"
    twelve_plays(path)
    with chromium() as browser:
        page = browser.new_page()
        told: list[str] = []
        page.on("console", lambda message: told.append(message.text))
        page.on("requestfailed", lambda request: told.append(request.url))
        page.goto(path.as_uri())
        for paper in ("Letter", "A4"):
            pages = len(re.findall(rb"/Type\s*/Page\b", page.pdf(format=paper)))
            assert 2 <= pages <= 4, paper
        page.set_viewport_size({"width": int(WIDE_PX), "height": 1000})
        page.emulate_media(media="print")
        reps = page.locator(".rep").all()
        assert len(reps) == 8
        for one in reps:
            box = one.bounding_box()
            assert box is not None
            assert box["height"] <= LOW_PX / 3
        fits = page.evaluate(
            "document.documentElement.scrollWidth <= window.innerWidth && "
            "[...document.querySelectorAll('.said, .said *, li *, td, th')].every("
            "one => one.scrollWidth <= one.clientWidth + 1 || one.clientWidth === 0)"
        )
        assert fits
        shown = page.evaluate(
            "[...document.images].every(one => one.complete && one.naturalWidth === 1100)"
        )
        assert shown
        smallest = page.evaluate(
            "Math.min(...[...document.querySelectorAll('p, figcaption, li, td, th')].map("
            "one => parseFloat(getComputedStyle(one).fontSize)))"
        )
        assert smallest * 0.75 >= 7.49
        assert told == []


def test_the_pdf_is_printed_beside_the_page(tmp_path: Path) -> None:
    """By this computer's own browser, on the paper asked for, without a window."""
    path = tmp_path / "staff.html"
    twelve_plays(path)
    for paper, box in (("A4", rb"594\.9\d* 841\.9\d*|595 842"), ("Letter", rb"612 792")):
        assert print_page(path, tmp_path / "staff.pdf", paper=paper)
        pdf = (tmp_path / "staff.pdf").read_bytes()
        assert re.search(rb"/MediaBox \[0 0 (" + box + rb")\]", pdf), paper
    assert sorted(one.name for one in tmp_path.iterdir()) == ["staff.html", "staff.pdf"]
