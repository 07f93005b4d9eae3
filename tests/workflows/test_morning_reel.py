"""The players' reel asks before it shows, gives nothing away, and shows whom it may."""

from __future__ import annotations

from pathlib import Path

import pytest

from gradecut.book import Book
from gradecut.errors import Cancelled, GradecutError, OutputError, RenderError
from gradecut.film import open_film
from gradecut.progress import CancelToken
from gradecut.records import Event, FactValue, FilmFile, Mark
from gradecut.reels import Plan, PlannedStep
from gradecut.workflows.counting import toggle_flag
from gradecut.workflows.judging import judge
from gradecut.workflows.moments import mark_moment
from gradecut.workflows.morning_reel import plan_morning_reel, write_morning_reel
from tests.reels.numbered_film import number_on
from tests.workflows.small_week import angle_of, clip_of, pts_of, rep_of

SIZE_PX = (320, 180)
SNAP, STEP, CONTACT = 60, 70, 100


@pytest.fixture
def flagged(book: Book) -> Book:
    """Give the week with Keel's miss on play 1 flagged: snap, first step and contact marked."""
    rep, angle = rep_of(book, 1, "Keel"), angle_of(book, 1)
    for kind, frame, whose in (("snap", SNAP, None), ("first step", STEP, rep),
                               ("contact", CONTACT, rep)):  # fmt: skip
        mark_moment(book, angle, kind, pts_of(book, angle, frame), whose)  # type: ignore[arg-type]
    judge(book, rep, did="miss", name="ran past it", cause="eyes")
    toggle_flag(book, clip_of(book, 1), rep)
    return book


def draw(book: Book, kind: str, first: int, last: int) -> None:
    """Draw a mark on Keel on play 1, from frame to frame."""
    angle = angle_of(book, 1)
    with book.act("draw") as act:
        act.put(
            Mark(
                angle_id=angle.id, kind=kind, points=((100, 100), (140, 120)),  # type: ignore[arg-type]
                from_pts=pts_of(book, angle, first), to_pts=pts_of(book, angle, last),
                rep_id=rep_of(book, 1, "Keel").id, text="late again", meaning="did",
            )
        )  # fmt: skip


def kinds_on(planned: Plan, step: PlannedStep) -> list[str]:
    """Return the kinds of marks that are painted on a step."""
    return [planned.marks[key].kind for key in step.mark_ids]


def stills_of(planned: Plan) -> list[PlannedStep]:
    """Return where it stands still."""
    return [step for step in planned.steps if step.kind == "freeze"]


def test_it_asks_at_his_first_step_and_answers_at_his_contact(flagged: Book) -> None:
    """From 2 s before the snap; the question alone, then the answer in words."""
    planned, left = plan_morning_reel(flagged, size_px=SIZE_PX)
    assert (left.sentences, planned.missing) == ((), ())
    assert [step.kind for step in planned.steps] == [
        "card", "card", "film", "freeze", "film", "freeze", "film",
    ]  # fmt: skip
    opening, card, before, asks, on, shows, after = planned.steps
    assert (opening.title, planned.name) == ("What do you owe?", "Tuesday · 1 rep")
    assert card.title == "Keel 44 · play 1"
    assert (before.film_frames[0], before.film_frames[-1]) == (0, STEP - 1)
    assert (asks.film_frames[0], asks.caption) == (STEP - 1, "Keel 44: what do you owe?")
    assert (on.film_frames[0], on.film_frames[-1]) == (STEP, CONTACT - 1)
    assert shows.film_frames[0] == CONTACT
    assert shows.caption == "Inside zone right. Owed fill A. Ran past it: eyes."
    assert after.film_frames[-1] == 149
    assert (before.caption, on.caption) == ("", "")


def test_the_question_shows_who_he_is_and_nothing_of_the_answer(flagged: Book) -> None:
    """His bracket with his name in the place of its words; arrow and ring wait for the answer."""
    draw(flagged, "bracket", SNAP, SNAP)
    draw(flagged, "arrow", CONTACT - 5, CONTACT + 5)
    planned, _ = plan_morning_reel(flagged, size_px=SIZE_PX)
    asks, shows = stills_of(planned)
    (bracket,) = (planned.marks[key] for key in asks.mark_ids)
    assert (bracket.kind, bracket.text, bracket.meaning) == ("bracket", "", "plain")
    assert planned.names[bracket.rep_id or ""] == "Keel 44"
    assert kinds_on(planned, shows) == ["arrow"]


def test_marks_drawn_at_the_snap_are_shown_on_their_own_frame(flagged: Book) -> None:
    """A camera that pans would leave them somewhere else at the miss; so it goes back to them."""
    draw(flagged, "ring", SNAP, SNAP)
    planned, _ = plan_morning_reel(flagged, size_px=SIZE_PX)
    asks, shows, drawn = stills_of(planned)
    assert [kinds_on(planned, step) for step in (asks, shows, drawn)] == [[], [], ["ring"]]
    assert drawn.film_frames[0] == SNAP
    assert planned.steps[-1] is drawn


def test_no_chapter_gives_an_answer_away(flagged: Book, tmp_path: Path) -> None:
    """One where he is asked, one where it is shown; the marks' frame belongs to that."""
    draw(flagged, "ring", SNAP, SNAP)
    done = write_morning_reel(flagged, tmp_path / "reel.mp4", size_px=SIZE_PX)
    told = done.chapters.read_text(encoding="utf-8").splitlines()
    assert [line for line in told if line[:1].isalpha()] == [
        "WEBVTT", "What do you owe?", "Keel 44 · play 1", "Keel 44 · play 1: shown",
    ]  # fmt: skip


def test_the_reel_shows_the_films_own_frames(flagged: Book, tmp_path: Path) -> None:
    """Re-opened: question on the frame before his step, answer on his contact."""
    done = write_morning_reel(flagged, tmp_path / "reel.mp4", size_px=SIZE_PX)
    planned, _ = plan_morning_reel(flagged, size_px=SIZE_PX)
    asks, shows = stills_of(planned)
    with open_film(done.path) as film:
        assert film.frame_count == planned.frame_count
        assert done.duration_s == planned.duration_s
        shown = [number_on(film.frame(step.first_frame + 9)) for step in (asks, shows)]
    assert shown == [STEP - 1, CONTACT]
    assert done.reps == 1


def test_without_a_snap_the_whole_play_is_shown(book: Book) -> None:
    """It asks before the middle and answers there: grading alone is enough."""
    toggle_flag(book, clip_of(book, 1), rep_of(book, 1, "Keel"))
    planned, _ = plan_morning_reel(book, size_px=SIZE_PX)
    asks, shows = stills_of(planned)
    assert planned.steps[2].film_frames[0] == 0
    assert asks.film_frames[0] < shows.film_frames[0] == 74
    assert shows.caption == "Inside zone right. Owed fill A."


def test_men_who_may_not_be_shown_are_left_out_and_named(flagged: Book) -> None:
    """Vandermoor is under 18 without consent; the staff alone may see him."""
    toggle_flag(flagged, clip_of(flagged, 4), rep_of(flagged, 4, "Port"))
    planned, left = plan_morning_reel(flagged, size_px=SIZE_PX)
    assert [man.name for man in left.withheld] == ["Joss Vandermoor"]
    assert not any("Port" in step.title for step in planned.steps)
    staff, nobody = plan_morning_reel(flagged, size_px=SIZE_PX, for_staff=True)
    assert nobody.withheld == ()
    assert any("Port 38" in step.title for step in staff.steps)


def test_what_can_not_be_asked_or_must_not_be_shown_is_told(flagged: Book) -> None:
    """Contact with the head, a fit that is not settled, and a play whose film is away."""
    for play, position in ((1, "Bow"), (2, "Keel"), (3, "Keel")):
        toggle_flag(flagged, clip_of(flagged, play), rep_of(flagged, play, position))
    angle = angle_of(flagged, 3)
    with flagged.act("make it hard") as act:
        act.put(Event(rep_id=rep_of(flagged, 1, "Bow").id, name="head contact"))
        act.drop_all(flagged.find(FactValue, clip_id=clip_of(flagged, 2).id))
        act.drop_all(flagged.find(FilmFile, film_id=angle.film_id))
        side = angle_of(flagged, 3, "side")
        act.drop_all(flagged.find(FilmFile, film_id=side.film_id))
    planned, left = plan_morning_reel(flagged, size_px=SIZE_PX)
    assert planned.name == "Tuesday · 1 rep"
    assert left.notes == (
        "Play 1, Bow 9: contact with the head; such a rep goes into no reel.",
        "Play 2, Keel 44: what he owed is not settled, so there is nothing to ask.",
        "Play 3, Keel 52: its film is not on this computer.",
    )


def test_nothing_to_show_is_refused_in_a_sentence(book: Book, tmp_path: Path) -> None:
    """Nothing flagged; or nobody who may be shown."""
    with pytest.raises(GradecutError, match="Nothing is flagged for tomorrow yet"):
        write_morning_reel(book, tmp_path / "reel.mp4")
    toggle_flag(book, clip_of(book, 4), rep_of(book, 4, "Port"))
    with pytest.raises(RenderError, match="under 18 without consent on file: Joss Vandermoor"):
        write_morning_reel(book, tmp_path / "reel.mp4")
    assert list(tmp_path.glob("reel*")) == []


def test_a_reel_that_is_stopped_or_refused_leaves_nothing(flagged: Book, tmp_path: Path) -> None:
    """No film, no chapters; and a film of the book stays."""
    stop = CancelToken()
    stop.cancel()
    with pytest.raises(Cancelled):
        write_morning_reel(flagged, tmp_path / "reel.mp4", size_px=SIZE_PX, cancel=stop)
    with pytest.raises(OutputError, match="film of the book"):
        write_morning_reel(flagged, flagged.find(FilmFile)[0].path)
    assert list(tmp_path.glob("reel*")) == []
