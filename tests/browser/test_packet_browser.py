"""A packet in a real browser: a player watches, answers, saves, and his answers reach the book."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from fractions import Fraction
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Locator, Page

from gradecut.book import Book
from gradecut.records import Grade, Rubric
from gradecut.reports import write_packet
from gradecut.workflows.answers import record_answers, said_owed
from gradecut.workflows.lines import rep_lines
from gradecut.workflows.packets import write_packets
from tests.browser.chromium import chromium
from tests.workflows.tiny_book import OKORIE, rep_of, tiny_book

pytestmark = pytest.mark.browser

PLAY_S = 2 + 1 + 2 + 1.5
"""A title card, a second before the snap, the stand at the snap, the second and a half after."""


@dataclass
class Open:
    """An open packet, with all the browser complained of."""

    page: Page
    complaints: list[str] = field(default_factory=list)

    @property
    def now(self) -> Locator:
        """The play that is shown."""
        return self.page.locator("section.rep.now")

    @property
    def film_s(self) -> float:
        """Where the film stands."""
        at: float = self.page.evaluate("document.querySelector('video').currentTime")
        return at

    def part(self, name: str) -> Locator:
        """Find a part of the play that is shown."""
        return self.now.locator(f"[data-part={name}]")

    def play(self, number: int) -> None:
        """Choose a play and wait until the film has moved."""
        self.page.locator("button.play").nth(number - 1).click()
        self.wait_until("!document.querySelector('video').seeking")

    def wait_until(self, said: str) -> None:
        """Wait until something holds; asked from outside, since the page's policy bars eval."""
        for _ in range(200):
            if self.page.evaluate(said):
                return
            self.page.wait_for_timeout(50)
        raise AssertionError(f"{said} never came true.")


@pytest.fixture(scope="module")
def book(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Book]:
    """Build the tiny book once."""
    with tiny_book(tmp_path_factory.mktemp("week")) as made:
        yield made


@pytest.fixture(scope="module")
def packet(book: Book, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Write one packet once."""
    folder = tmp_path_factory.mktemp("packets")
    return write_packets(book, folder, names=[OKORIE], size_px=(320, 180)).written[0]


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    """Start one browser for all tests."""
    with chromium() as started:
        yield started


def opened(browser: Browser, path: Path) -> Open:
    """Open a page from its folder, as a player would, in a fresh browser."""
    page = browser.new_context(viewport={"width": 1280, "height": 800}).new_page()
    shown = Open(page)
    page.on("console", lambda message: shown.complaints.append(message.text))
    page.on("pageerror", lambda error: shown.complaints.append(str(error)))
    page.goto(path.as_uri())
    if page.locator("video").count():
        shown.wait_until("document.querySelector('video').readyState >= 1")
    return shown


def test_a_play_chosen_is_the_play_shown(browser: Browser, packet: Path) -> None:
    """Choosing a play brings film and questions to it; the film stops at that play's end."""
    shown = opened(browser, packet)
    shown.play(2)
    assert shown.now.locator("h2").inner_text() == "Play 2"
    assert PLAY_S <= shown.film_s < PLAY_S + 1.5
    shown.part("next").click()
    shown.wait_until("!document.querySelector('video').seeking")
    assert shown.now.locator("h2").inner_text() == "Play 3"
    assert 2 * PLAY_S <= shown.film_s < 2 * PLAY_S + 1.5
    shown.part("back").click()
    shown.page.evaluate("document.querySelector('video').playbackRate = 4")
    shown.wait_until("document.querySelector('video').paused")
    shown.wait_until("!document.querySelector('video').seeking")
    assert 2 * PLAY_S - 1 < shown.film_s < 2 * PLAY_S
    assert shown.now.locator("h2").inner_text() == "Play 2"
    shown.page.evaluate("document.querySelector('video').play()")
    shown.wait_until("document.querySelector('section.rep.now h2').textContent === 'Play 3'")
    assert shown.complaints == []


def test_a_film_moved_by_hand_brings_its_questions(browser: Browser, packet: Path) -> None:
    """Whoever drags the film to a play is asked about that play."""
    shown = opened(browser, packet)
    shown.page.evaluate(f"document.querySelector('video').currentTime = {2 * PLAY_S + 1}")
    shown.wait_until("document.querySelector('section.rep.now h2').textContent === 'Play 3'")


def test_answers_reach_the_book_under_his_name(
    browser: Browser, book: Book, packet: Path, tmp_path: Path
) -> None:
    """Two plays answered and saved: two grades by him, and none of the coach's touched."""
    shown = opened(browser, packet)
    assert shown.page.locator("#save").is_disabled()
    shown.part("owed").select_option("fill A")
    shown.now.get_by_label("I missed it").check()
    assert shown.page.locator("#done").inner_text() == "0 of 3 answered"
    shown.part("miss").select_option("caught it at depth")
    shown.part("cause").select_option("eyes")
    shown.part("note").fill('=waited, "too" long')
    shown.play(3)
    shown.part("owed").select_option("hang A")
    shown.now.get_by_label("My job").check()
    assert shown.page.locator("#done").inner_text() == "2 of 3 answered"
    with shown.page.expect_download() as waiting:
        shown.page.locator("#save").click()
    saved = tmp_path / waiting.value.suggested_filename
    waiting.value.save_as(saved)
    assert saved.name == "tavin-okorie-answers.csv"
    assert "1 play is still open" in shown.page.locator("#said").inner_text()
    assert shown.complaints == []

    answers = record_answers(book, saved)
    assert answers.player.name == OKORIE
    first, third = answers.grades
    assert first.rep_id == rep_of(book, OKORIE, 1).id
    assert (first.did_name, first.fit_result, first.cause) == ("caught it at depth", "half", "eyes")
    assert first.note == 'Said he owed “fill A”. =waited, "too" long'
    assert (third.did_name, said_owed(third), third.fit_result) == ("hang A", "hang A", "wrong")
    assert {grade.author for grade in book.find(Grade)} == {OKORIE}
    assert all(line.grade is None for line in rep_lines(book))


def test_answers_are_kept_until_he_comes_back(browser: Browser, packet: Path) -> None:
    """A page that is opened again still holds what he has answered."""
    shown = opened(browser, packet)
    shown.part("owed").select_option("fill A")
    shown.now.get_by_label("I can’t tell").check()
    shown.page.reload()
    assert shown.page.locator("#done").inner_text() == "1 of 3 answered"
    assert shown.part("owed").input_value() == "fill A"


def test_a_browser_that_keeps_nothing_still_asks(browser: Browser, packet: Path) -> None:
    """Where a page from a folder may store nothing, answering and saving still work."""
    context = browser.new_context()
    context.add_init_script(
        "Object.defineProperty(window, 'localStorage', {get() { throw new Error('refused'); }})"
    )
    page = context.new_page()
    page.goto(packet.as_uri())
    shown = Open(page)
    shown.part("owed").select_option("fill A")
    shown.now.get_by_label("My job").check()
    with page.expect_download() as waiting:
        page.locator("#save").click()
    assert b'"fill A","right"' in Path(waiting.value.path()).read_bytes()


def test_the_film_inside_the_page_plays_too(
    browser: Browser, book: Book, packet: Path, tmp_path: Path
) -> None:
    """One file alone, as sent to a phone, seeks and shows like the folder."""
    lines = [line for line in rep_lines(book) if line.player.name == OKORIE]
    chapters = {line.rep.id: Fraction(at) * Fraction(PLAY_S) for at, line in enumerate(lines)}
    write_packet(
        tmp_path / "alone.html", lines, chapters=chapters,
        film=(packet.parent / "plays.mp4").read_bytes(),
        fits={"Keel": ("fill A",)}, misses={"fill A": ()}, rubric=Rubric(),
    )  # fmt: skip
    shown = opened(browser, tmp_path / "alone.html")
    shown.play(3)
    assert 2 * PLAY_S <= shown.film_s < 2 * PLAY_S + 1.5
    assert shown.complaints == []


def test_a_lost_film_is_told(browser: Browser, packet: Path, tmp_path: Path) -> None:
    """Away from its film the page says where the film has to lie."""
    alone = tmp_path / "packet.html"
    alone.write_bytes(packet.read_bytes())
    page = browser.new_context().new_page()
    page.goto(alone.as_uri())
    page.get_by_text("Keep plays.mp4 in the same folder as this page.").wait_for()
