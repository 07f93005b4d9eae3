"""A fit sheet says of each look what he owes, the cue, and what goes wrong."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from gradecut.errors import LookError, OutputError
from gradecut.samples import week_folder
from gradecut.scheme import load_scheme, parse_scheme
from gradecut.workflows.fit_sheets import write_fit_sheet

HARBOR = week_folder() / "harbor.toml"
MILLRACE = Path(__file__).parents[1] / "scheme" / "data" / "millrace.toml"


def is_cross(points: str) -> bool:
    """Tell whether a line is one stroke of a lineman's cross: short, and at 45 degrees."""
    numbers = [float(one) for one in re.split(r"[ ,]+", points.strip())]
    if len(numbers) != 4:
        return False
    across, down = numbers[2] - numbers[0], numbers[3] - numbers[1]
    return 0 < across < 6 and abs(abs(across) - abs(down)) < 0.3


def test_keel_reads_his_job(tmp_path: Path) -> None:
    """His alignment, every rule of his, cue and misses are on it; no other man's rule is."""
    path = tmp_path / "keel.html"
    write_fit_sheet(load_scheme(HARBOR), "Keel", path)
    text = path.read_text(encoding="utf-8")
    assert "4.5 yd deep at A to the strength, within 1 yd; eyes: guard to back" in text
    assert "wing not to him" in text
    assert "Downhill through the near hip of the back" in text
    assert all(f">R{number}<" in text for number in range(14, 24))
    assert ">R13<" not in text
    assert "Harbor · version 1" in text
    assert "The head stays out of contact" in text
    assert text.count("<svg") == 10  # a pass has no run fit to draw
    assert "default-src 'none'" in text


def test_a_side_is_told_in_his_words(tmp_path: Path) -> None:
    """A man away from the strength, and one who lines up on either side, read theirs."""
    write_fit_sheet(load_scheme(HARBOR), "Port", tmp_path / "port.html")
    text = (tmp_path / "port.html").read_text(encoding="utf-8")
    assert "4.5 yd deep at B away from the strength, within 1 yd" in text
    write_fit_sheet(load_scheme(MILLRACE), "Flume", tmp_path / "flume.html")
    text = (tmp_path / "flume.html").read_text(encoding="utf-8")
    assert "6 yd deep at D on his side, within 1 yd" in text


def test_he_stands_at_his_alignment_behind_the_front(tmp_path: Path) -> None:
    """Scraping to C he still starts at A: his name stands right of the ball, not above his ring.

    Four linemen are drawn, each as two strokes of a cross.
    """
    path = tmp_path / "keel.html"
    write_fit_sheet(load_scheme(HARBOR), "Keel", path)
    card = path.read_text(encoding="utf-8").split(">R17<")[1].split("</svg>")[0]
    name_x = float(re.findall(r'<text x="([\d.]+)"[^>]*>Keel<', card)[-1])
    assert 125 < name_x < 145  # the picture's middle, the ball, is at 125
    shown = re.findall(r'<polyline points="([^"]+)"', card)
    assert sum(is_cross(points) for points in shown) == 8


def test_a_cue_stays_with_its_look(tmp_path: Path) -> None:
    """Where looks share a card, each has its own cue below it; tiers are named on the cards."""
    text = '[scheme]\ntiers = ["base", "week"]\n[facts.concept]\nvalues = ['
    text += ", ".join(f'"run {number}"' for number in range(40))
    text += ']\n[positions.Keel]\nside = "right"\n'
    for gap in "ABCD":
        text += f'[fits."fill {gap}"]\njob = "fill"\ngap = "{gap}"\n'
    for number in range(40):
        gap = "ABCD"[number % 4]
        text += f'[[rules]]\nid = "K{number}"\nfor = ["Keel"]\nfit = "fill {gap}"\n'
        text += f'tier = "{"week" if number > 30 else "base"}"\n'
        text += f'when = {{ concept = "run {number}" }}\ncue = "cue {number}"\n'
    path = tmp_path / "keel.html"
    write_fit_sheet(parse_scheme(text, "keel.toml"), "Keel", path)
    said = re.sub(r"<svg.*?</svg>|<style>.*?</style>", "", path.read_text(encoding="utf-8"))
    told = re.sub(r"<[^>]+>|\s+", " ", said)
    told = re.sub(r" +", " ", told)
    assert all(f"concept run {number} cue {number} " in told for number in range(40))
    assert said.count("<article") == 8
    assert "A later tier overrides an earlier one: base, week." in told


def test_an_unknown_man_is_refused(tmp_path: Path) -> None:
    """A slip in a man's name is told with the nearest one; no file is left."""
    with pytest.raises(LookError, match="Keel"):
        write_fit_sheet(load_scheme(HARBOR), "Kell", tmp_path / "sheet.html")
    assert list(tmp_path.iterdir()) == []


def test_more_than_a_page_holds_is_refused(tmp_path: Path) -> None:
    """Type never shrinks below what is readable: 200 rules of one man are told, not printed."""
    plays = [f'"a long name of a run number {number}"' for number in range(200)]
    text = f'[facts.concept]\nvalues = [{", ".join(plays)}]\n[positions.Keel]\nside = "right"\n'
    text += '[fits."fill A"]\njob = "fill"\ngap = "A"\n'
    for number, play in enumerate(plays):
        text += f'[[rules]]\nid = "{number}"\nfor = ["Keel"]\nfit = "fill A"\n'
        text += f'when = {{ concept = {play} }}\ncue = "a cue of its own for {number}"\n'
    with pytest.raises(OutputError, match="200 rules, more than one page holds at 7 points"):
        write_fit_sheet(parse_scheme(text, "busy.toml"), ["Keel"], tmp_path / "sheet.html")
    assert list(tmp_path.iterdir()) == []
