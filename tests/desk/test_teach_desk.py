from __future__ import annotations

from fractions import Fraction
from pathlib import Path

from gradecut.desk import Desk
from gradecut.film import open_film
from tests.desk.small_book import Posted


def build(desk: Desk, posted: Posted, question: str) -> None:
    """Build a reel and wait for it."""
    desk.teach.build(question)
    posted.until(lambda: desk.teach.reel is not None and desk.teach.reel.name == question)


def test_a_question_is_understood_before_the_reel_is_built(desk: Desk, posted: Posted) -> None:
    """While it is written, the page says what it means and how many reps answer."""
    read: list[bool] = []
    desk.teach.lines_changed.connect(lambda: read.append(True))
    assert desk.teach.understand("Keel") == "Reading the reps …"
    posted.until(lambda: bool(read))
    told = desk.teach.understand("Keel, missed fits on zone")
    assert told.endswith("2 reps")
    assert "position: Keel" in told
    assert "“zoe” is not understood" in desk.teach.understand("Keel on zoe")


def test_a_reel_is_built_reordered_and_taken_back(
    desk: Desk, posted: Posted, said: list[str]
) -> None:
    """A reel of two pieces changes places, and undo brings the old order back."""
    build(desk, posted, "Keel, missed fits on zone")
    assert said[-1] == "“Keel, missed fits on zone”: 2 pieces."
    first, second = (piece.id for piece in desk.teach.pieces)
    desk.teach.choose_piece(second)
    desk.teach.move(-1)
    assert [piece.id for piece in desk.teach.pieces] == [second, first]
    desk.undo()
    desk.teach.refresh()
    assert [piece.id for piece in desk.teach.pieces] == [first, second]


def test_flagged_reps_make_tomorrows_corrections(desk: Desk, posted: Posted) -> None:
    """The two flagged misses of Keel are the corrections."""
    desk.teach.build_corrections()
    posted.until(lambda: bool(desk.teach.pieces))
    assert len(desk.teach.pieces) == 2


def test_a_piece_is_changed_and_taken_out(desk: Desk, posted: Posted, said: list[str]) -> None:
    """Caption and stretch are stored at once; times that are none are refused in a sentence."""
    build(desk, posted, "Keel, missed fits on zone")
    desk.teach.change(caption="Eyes to the back.")
    desk.teach.change_times("-1", "1,5")
    piece = desk.teach.piece
    assert piece is not None
    assert (piece.caption, piece.from_s, piece.to_s) == (
        "Eyes to the back.",
        Fraction(-1),
        Fraction(3, 2),
    )
    desk.teach.change_times("soon", "3")
    assert "seconds from the snap" in said[-1]
    desk.teach.change_times("2", "1")
    assert "ends after it begins" in said[-1]
    desk.teach.drop()
    assert len(desk.teach.pieces) == 1


def test_the_preview_shows_card_then_film(desk: Desk, posted: Posted) -> None:
    """The plan's first frame is the title card; within the piece the film's frame comes."""
    build(desk, posted, "Keel, missed fits on zone")
    preview = desk.teach.preview
    posted.until(lambda: preview.frame_count > 0)
    assert preview.step is not None
    assert preview.step.kind == "card"
    preview.go(90)
    posted.until(lambda: preview.frame is not None)
    assert preview.frame is not None
    assert preview.frame.shape == (90, 160, 3)
    preview.go(10**6)
    assert preview.at == preview.frame_count - 1


def test_a_player_without_consent_is_named_and_left_out(
    desk: Desk, posted: Posted, said: list[str], tmp_path: Path
) -> None:
    """Port is under 18 without consent: he is named, and the film leaves him out."""
    build(desk, posted, "Keel Port on zone")
    assert [man.name for man in desk.teach.withheld_men()] == ["Cal Teague"]
    for piece in tuple(desk.teach.pieces):
        desk.teach.choose_piece(piece.id)
        desk.teach.change(title="", from_s=Fraction(-1, 5), to_s=Fraction(1, 5), freezes=())
    goal = tmp_path / "zone.mp4"
    desk.teach.render(str(goal))
    posted.until(lambda: any("Written" in sentence for sentence in said))
    whole = tmp_path / "staff.mp4"
    said.clear()
    desk.teach.render(str(whole), for_staff=True)
    posted.until(lambda: any("Written" in sentence for sentence in said))
    with open_film(goal) as shared, open_film(whole) as kept:
        assert shared.frame_count < kept.frame_count


def test_nothing_to_ask_is_said(desk: Desk, said: list[str]) -> None:
    """An empty question and a reel that is not there are sentences."""
    desk.teach.build("  ")
    assert said[-1].startswith("Ask for reps first")
    desk.teach.render("nowhere.mp4")
    assert said[-1] == "Build a reel first."
