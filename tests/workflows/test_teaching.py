"""Reels are built from a question or from flags, put in order, and rendered for whom they may."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import pytest

from gradecut.book import Book
from gradecut.errors import Cancelled, GradecutError, OutputError, RenderError
from gradecut.film import open_film
from gradecut.progress import CancelToken
from gradecut.records import Clip, FilmFile, Grade, Mark, Piece, Reel
from gradecut.reels import Freeze
from gradecut.workflows.counting import toggle_flag
from gradecut.workflows.judging import judge
from gradecut.workflows.line_ups import put_in
from gradecut.workflows.marking import add_mark
from gradecut.workflows.moments import mark_moment
from gradecut.workflows.passing import pass_clip
from gradecut.workflows.teaching import (
    best_angle,
    build_reel,
    change_piece,
    corrections,
    drop_piece,
    drop_reel,
    pieces_of,
    plan_reel,
    render_reel,
    reorder,
    withheld,
)
from tests.reels.numbered_film import number_on
from tests.workflows.small_week import (
    angle_of,
    clip_of,
    player_of,
    pts_of,
    rep_of,
    write_lines,
)

QUESTION = "Keel, right fits on zone to him"
SIZE_PX = (320, 180)


@pytest.fixture
def judged(book: Book) -> Book:
    """Give the week with snaps on the end film and every play let through."""
    for clip in book.find(Clip):
        angle = angle_of(book, clip.order)
        mark_moment(book, angle, "snap", pts_of(book, angle, 40))
        pass_clip(book, clip)
    return book


def plays_of(book: Book, reel: Reel) -> list[tuple[int, str]]:
    """Return play and man of each piece, in order."""
    orders = {clip.id: clip.order for clip in book.find(Clip)}
    return [(orders[one.clip_id], one.title.split()[0]) for one in pieces_of(book, reel)]


def test_a_reel_from_a_question(judged: Book) -> None:
    """Keel's two right fits where zone came to him, 2 s before to 3 s after, still at the snap."""
    reel = build_reel(judged, QUESTION)
    assert (reel.name, reel.question, reel.author) == (QUESTION, QUESTION, "J. Alder")
    assert plays_of(judged, reel) == [(1, "Keel"), (2, "Keel")]
    piece = pieces_of(judged, reel)[0]
    assert (piece.from_s, piece.to_s, piece.freezes[0].at_s) == (-2, 3, 0)
    assert (piece.title, piece.caption) == (
        "Keel 44 · inside zone right", "Owed fill A. Filled A: right.",
    )  # fmt: skip


def test_a_question_without_an_answer_says_how_it_was_understood(judged: Book) -> None:
    """No reel is made of nothing."""
    with pytest.raises(GradecutError, match="result: wrong"):
        build_reel(judged, "wrong on power")
    assert judged.count(Reel) == 0


def test_corrections_are_the_flagged_reps(judged: Book) -> None:
    """A flagged play brings its misses, one without a miss all its reps."""
    with pytest.raises(GradecutError, match="Nothing is flagged"):
        corrections(judged)
    judge(judged, rep_of(judged, 1, "Bow"), did="miss", name="got reached")
    toggle_flag(judged, clip_of(judged, 1))
    toggle_flag(judged, clip_of(judged, 2))
    toggle_flag(judged, clip_of(judged, 3), rep_of(judged, 3, "Keel"))
    assert plays_of(judged, corrections(judged)) == [
        (1, "Bow"), (2, "Bow"), (2, "Keel"), (2, "Port"), (3, "Keel"),
    ]  # fmt: skip
    toggle_flag(judged, clip_of(judged, 1), rep_of(judged, 1, "Keel"))
    assert plays_of(judged, corrections(judged))[:2] == [(1, "Bow"), (1, "Keel")]


def test_pieces_are_put_in_another_order(judged: Book) -> None:
    """Every piece once; undo brings the old order back."""
    reel = build_reel(judged, "Keel")
    ids = [piece.id for piece in pieces_of(judged, reel)]
    reorder(judged, reel, ids[::-1])
    assert [play for play, _ in plays_of(judged, reel)] == [4, 3, 2, 1]
    with pytest.raises(GradecutError, match="every piece"):
        reorder(judged, reel, ids[:2])
    judged.undo()
    assert [piece.id for piece in pieces_of(judged, reel)] == ids


def test_a_piece_is_changed_dropped_and_a_reel_thrown_away(judged: Book) -> None:
    """A piece that ends before it begins is refused."""
    reel = build_reel(judged, "Keel")
    piece = pieces_of(judged, reel)[0]
    assert change_piece(judged, piece, caption="Look.").caption == "Look."
    with pytest.raises(GradecutError, match="ends after it begins"):
        change_piece(judged, piece, to_s=Fraction(-3))
    drop_piece(judged, piece)
    assert len(pieces_of(judged, reel)) == 3
    drop_reel(judged, reel)
    assert (judged.count(Reel), judged.count(Piece)) == (0, 0)


def test_a_minor_without_consent_is_left_out_unless_for_the_staff(judged: Book) -> None:
    """Vandermoor's piece is not in the plan; his name is told."""
    reel = build_reel(judged, "power")
    assert [man.name for man in withheld(judged, reel)] == ["Joss Vandermoor"]
    titles = {step.title for step in plan_reel(judged, reel, size_px=SIZE_PX).steps}
    assert not any("Port" in title for title in titles)
    staff = plan_reel(judged, reel, size_px=SIZE_PX, for_staff=True)
    assert any("Port 38" in step.title for step in staff.steps)


def test_a_reel_of_a_minor_alone_is_refused(judged: Book, tmp_path: Path) -> None:
    """With the reason, and no file."""
    reel = build_reel(judged, "Vandermoor")
    with pytest.raises(RenderError, match="under 18 without consent"):
        render_reel(judged, reel, tmp_path / "r.mp4", size_px=SIZE_PX)
    assert list(tmp_path.glob("r.*")) == []


def test_a_reel_is_never_written_over_a_film_of_the_book(judged: Book) -> None:
    """The coach's own film stays."""
    reel = build_reel(judged, "Keel inside zone")
    film = Path(judged.find(FilmFile)[0].path)
    before = film.read_bytes()
    with pytest.raises(OutputError, match="this is a film of the book"):
        render_reel(judged, reel, film, size_px=SIZE_PX)
    assert film.read_bytes() == before


def test_the_angle_with_a_snap_and_marks_is_taught_from(judged: Book) -> None:
    """The end film has the snap; marks on a side film whose snap is known draw the eye there."""
    rep = rep_of(judged, 1, "Keel")
    side = angle_of(judged, 1, "side")
    pts = pts_of(judged, side, 50)
    add_mark(
        judged,
        Mark(
            angle_id=side.id, kind="ring", points=((5, 5),), from_pts=pts, to_pts=pts, rep_id=rep.id
        ),
    )
    chosen = best_angle(judged, rep)
    assert chosen is not None
    assert chosen.name == "end"
    mark_moment(judged, side, "snap", pts)
    chosen = best_angle(judged, rep)
    assert chosen is not None
    assert chosen.name == "side"


def test_a_rendered_reel_shows_the_planned_frames(judged: Book, tmp_path: Path) -> None:
    """Re-opened, its film steps show the film's own frames, and it stands still at the snap."""
    reel = build_reel(judged, "Keel inside zone")
    piece = pieces_of(judged, reel)[0]
    change_piece(
        judged, piece, title="", caption="",
        from_s=Fraction(-1), to_s=Fraction(1),
        freezes=(Freeze(at_s=Fraction(0), hold_s=Fraction(1)),),
    )  # fmt: skip
    out = tmp_path / "reel.mp4"
    planned = render_reel(judged, reel, out, size_px=SIZE_PX)
    with open_film(out) as film:
        assert film.frame_count == planned.frame_count == 90
        assert film.rate == 30
        shown = [number_on(film.frame(frame)) for frame in (0, 10, 29, 30, 45, 59, 60, 89)]
    assert shown == [10, 20, 39, 40, 40, 40, 40, 69]
    assert out.with_suffix(".vtt").read_text(encoding="utf-8").startswith("WEBVTT")


def test_rendering_that_is_stopped_or_refused_leaves_nothing(judged: Book, tmp_path: Path) -> None:
    """No film, no chapters."""
    reel = build_reel(judged, "Keel inside zone")
    cancel = CancelToken()
    cancel.cancel()
    with pytest.raises(Cancelled):
        render_reel(judged, reel, tmp_path / "r.mp4", size_px=SIZE_PX, cancel=cancel)
    wall = write_lines(tmp_path / "wall", "a file")
    with pytest.raises(OutputError):
        render_reel(judged, reel, wall / "r.mp4", size_px=SIZE_PX)
    assert list(tmp_path.glob("r.*")) == []


def test_a_man_taken_out_leaves_the_reels_too(judged: Book) -> None:
    """A piece of a man who was not in shows nobody's rep."""
    with judged.act("take the grades back") as act:
        act.drop_all(judged.find(Grade, rep_id=rep_of(judged, 1, "Keel").id))
    reel = build_reel(judged, "Keel inside zone")
    put_in(judged, clip_of(judged, 1), "Keel", player_of(judged, "Anders Pell"))
    assert pieces_of(judged, reel) == []
