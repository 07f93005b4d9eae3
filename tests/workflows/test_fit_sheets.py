"""A fit sheet says of each look what he owes, the cue, and what goes wrong."""

from __future__ import annotations

from pathlib import Path

import pytest

from gradecut.errors import LookError, OutputError
from gradecut.samples import week_folder
from gradecut.scheme import load_scheme, parse_scheme
from gradecut.workflows.fit_sheets import write_fit_sheet

HARBOR = week_folder() / "harbor.toml"


def test_keel_reads_his_job(tmp_path: Path) -> None:
    """His alignment, every rule of his, cue and misses are on it; no other man's rule is."""
    path = tmp_path / "keel.html"
    write_fit_sheet(load_scheme(HARBOR), "Keel", path)
    text = path.read_text(encoding="utf-8")
    assert "4.5 yd deep at A, within 1 yd; eyes: guard to back" in text
    assert "Downhill through the near hip of the back" in text
    assert all(f">R{number}<" in text for number in range(14, 24))
    assert ">R13<" not in text
    assert "Harbor · version 1" in text
    assert "The head stays out of contact" in text
    assert text.count("<svg") == 10  # a pass has no run fit to draw
    assert "default-src 'none'" in text


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
