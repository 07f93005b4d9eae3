"""A page becomes a PDF where a browser can print it; where none can, nothing is broken."""

from __future__ import annotations

import stat
import sys
from pathlib import Path

import pytest

from gradecut.errors import Cancelled
from gradecut.progress import CancelToken
from gradecut.workflows import printing
from gradecut.workflows.printing import print_page

PRINTS = """
from pathlib import Path
told = dict(word.split("=", 1) for word in sys.argv if "=" in word)
page = Path(sys.argv[-1].removeprefix("file://")).read_text()
Path(told["--print-to-pdf"]).write_text("%PDF-1.4 " + page)
"""


def browser(folder: Path, does: str) -> str:
    """Write a program that stands in for a browser."""
    path = folder / "browser"
    path.write_text(f"#!{sys.executable}\nimport sys, time\n{does}")
    path.chmod(path.stat().st_mode | stat.S_IXUSR)
    return str(path)


@pytest.fixture
def page(tmp_path: Path) -> Path:
    """Write a page."""
    path = tmp_path / "page.html"
    path.write_text("<html><head></head><body>fits</body></html>")
    return path


def test_the_page_is_printed_on_the_paper_asked_for(
    page: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The browser gets the page with its paper, and the page itself stays as it was."""
    monkeypatch.setattr(printing, "browser_here", lambda: browser(tmp_path, PRINTS))
    before = page.read_text()
    assert print_page(page, tmp_path / "page.pdf", paper="A4")
    assert "@page { size: A4; }" in (tmp_path / "page.pdf").read_text()
    assert page.read_text() == before


@pytest.mark.parametrize(
    "does", ["sys.exit(3)", "sys.exit(0)", PRINTS.replace("%PDF", "oops")],
    ids=["fails", "prints nothing", "prints no PDF"],
)  # fmt: skip
def test_a_browser_that_fails_leaves_the_old_pdf(
    does: str, page: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What was there before stays, and nothing is left lying about."""
    program = browser(tmp_path, does)
    monkeypatch.setattr(printing, "browser_here", lambda: program)
    pdf = tmp_path / "page.pdf"
    pdf.write_text("old")
    assert not print_page(page, pdf)
    assert pdf.read_text() == "old"
    assert sorted(one.name for one in tmp_path.iterdir()) == ["browser", "page.html", "page.pdf"]


def test_without_a_browser_there_is_no_pdf(
    page: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Nor where the program found can't be started."""
    monkeypatch.setattr(printing, "browser_here", lambda: None)
    assert not print_page(page, tmp_path / "page.pdf")
    monkeypatch.setattr(printing, "browser_here", lambda: str(tmp_path / "gone"))
    assert not print_page(page, tmp_path / "page.pdf")


def test_printing_can_be_stopped(
    page: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A browser that hangs is ended at once."""
    program = browser(tmp_path, "time.sleep(600)")
    monkeypatch.setattr(printing, "browser_here", lambda: program)
    stop = CancelToken()
    stop.cancel()
    with pytest.raises(Cancelled):
        print_page(page, tmp_path / "page.pdf", cancel=stop)
    monkeypatch.setattr(printing, "_PATIENCE_S", 0.2)
    assert not print_page(page, tmp_path / "page.pdf")


@pytest.mark.parametrize(
    ("setting", "paper"),
    [("en_US", "Letter"), ("es_MX", "Letter"), ("de_DE", "A4"), (None, "A4"), ("C", "A4")],
)
def test_the_usual_paper_is_that_of_the_country(
    setting: str | None, paper: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Letter in North America, A4 elsewhere (Unicode CLDR, paperSize; from memory)."""
    monkeypatch.setattr(printing.locale, "getlocale", lambda: (setting, "UTF-8"))
    assert printing.usual_paper() == paper
