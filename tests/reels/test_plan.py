from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from itertools import pairwise
from pathlib import Path

import av
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from gradecut.records.marks import Mark
from gradecut.reels import Freeze, Piece, PieceSource, Plan, Reel, plan
from gradecut.timebase import Pts
from tests.reels.numbered_film import SIZE_PX, VARIABLE_TIMES_S, source_of

REEL = Reel(name="Tuesday")
SNAP_FREEZE = Freeze(at_s=Fraction(0), hold_s=Fraction(3, 2))


def piece(**other: object) -> Piece:
    """Make a piece of the one angle."""
    made = Piece(reel_id=REEL.id, order=1, clip_id="clip", angle_id="end")
    return replace(made, **other)  # type: ignore[arg-type]


def planned(source: PieceSource, *pieces: Piece, marks: tuple[Mark, ...] = ()) -> Plan:
    """Plan pieces of one film at 30 frames a second."""
    return plan(REEL, pieces, {"end": source}, marks, size_px=SIZE_PX)


def film_frames(made: Plan) -> list[int]:
    """Return the film frame of each running frame of a reel."""
    return [n for step in made.steps if step.kind == "film" for n in step.film_frames]


def test_a_piece_runs_from_two_seconds_before_the_snap_to_three_after(
    films: dict[str, Path],
) -> None:
    """At the film's own rate every frame is shown once: 60 before the snap and 90 from it on."""
    made = planned(source_of(films["thirty"], snap=80), piece())
    assert film_frames(made) == list(range(20, 170))
    assert made.frame_count == 150
    assert made.duration_s == 5


def test_at_twice_the_rate_every_other_frame_is_shown(films: dict[str, Path]) -> None:
    """60 to 30 keeps the snap's own frame and every second one around it."""
    made = planned(source_of(films["sixty"], snap=131), piece())
    assert film_frames(made) == list(range(131 - 120, 131 + 180, 2))


def test_frames_are_chosen_by_presentation_time(films: dict[str, Path]) -> None:
    """59.94 to 30: the frame on screen at each thirtieth of a second from the snap.

    Frame n begins at n x 1001 / 60000 s, so at t it is floor(t x 60000 / 1001): arithmetic
    by hand on the rate's definition, not on our own output.
    """
    snap = 131
    made = planned(source_of(films["fifty-nine"], snap=snap), piece())
    snap_s = Fraction(snap * 1001, 60000)
    wanted = [int((snap_s + Fraction(beat, 30)) * 60000 / 1001) for beat in range(-60, 90)]
    assert film_frames(made) == wanted
    assert len(set(wanted)) == 150


def test_a_varying_rate_is_followed_by_time(films: dict[str, Path]) -> None:
    """Where the film has 15 frames a second each is shown twice; none is shown early."""
    made = planned(source_of(films["variable"], snap=60), piece())
    wanted = [
        max(
            number
            for number, begins in enumerate(VARIABLE_TIMES_S)
            if begins <= 2 + Fraction(beat, 30)
        )
        for beat in range(-60, 90)
    ]
    assert film_frames(made) == wanted
    assert film_frames(made)[-6:] == [102, 102, 103, 103, 104, 104]


def test_a_clock_of_milliseconds_drops_no_frame(films: dict[str, Path], tmp_path: Path) -> None:
    """Film in a container that rounds times to 1 ms still shows each frame once, from any snap."""
    path = in_milliseconds(films["thirty"], tmp_path / "thirty.mkv")
    for snap in (80, 81, 82):
        made = planned(source_of(path, snap=snap), piece())
        assert film_frames(made) == list(range(snap - 60, snap + 90))


def in_milliseconds(path: Path, out: Path) -> Path:
    """Copy a film's packets into Matroska, whose clock ticks in milliseconds."""
    with av.open(str(path)) as given, av.open(str(out), "w") as taken:
        stream = taken.add_stream_from_template(given.streams.video[0])
        for packet in given.demux(video=0):
            if packet.dts is not None:
                packet.stream = stream
                taken.mux(packet)
    return out


def test_half_speed_shows_every_frame_twice(films: dict[str, Path]) -> None:
    """Slow film takes twice as long; the snap's frame still comes at the snap."""
    made = planned(
        source_of(films["thirty"], snap=80),
        piece(speed=Fraction(1, 2), from_s=Fraction(-1, 2), to_s=Fraction(1, 2)),
    )
    assert film_frames(made) == [n for n in range(65, 95) for _ in range(2)]


def test_a_piece_is_clipped_to_its_clip(films: dict[str, Path]) -> None:
    """Nothing of the play before or after is shown; the clip's last frame is."""
    made = planned(source_of(films["thirty"], snap=80, start=50, stop=99), piece())
    assert film_frames(made) == list(range(50, 100))


def test_the_film_stands_still_at_the_snap(films: dict[str, Path]) -> None:
    """A hold of 1.5 s is 45 frames of the snap's own frame, between the frames around it."""
    made = planned(source_of(films["sixty"], snap=131), piece(freezes=(SNAP_FREEZE,)))
    before, freeze, after = made.steps
    assert [step.kind for step in made.steps] == ["film", "freeze", "film"]
    assert freeze.film_frames == (131,) * 45
    assert (before.film_frames[-1], after.film_frames[0]) == (129, 131)
    assert made.frame_count == 150 + 45


def test_a_title_stands_two_seconds_and_none_stands_without(films: dict[str, Path]) -> None:
    """The card of a titled piece is 60 frames; an untitled piece begins at once."""
    source = source_of(films["thirty"], snap=80)
    made = planned(source, piece(title="Keel 52"), piece(order=2))
    assert [(step.kind, step.frame_count) for step in made.steps] == [
        ("card", 60), ("film", 150), ("film", 150),
    ]  # fmt: skip


def test_the_look_is_seen_before_the_caption(films: dict[str, Path]) -> None:
    """With a freeze the caption comes with it and stays; without one it is there at once."""
    source = source_of(films["thirty"], snap=80)
    held = planned(source, piece(freezes=(SNAP_FREEZE,), caption="Owed fill A."))
    assert [step.caption for step in held.steps] == ["", "Owed fill A.", "Owed fill A."]
    plain = planned(source, piece(caption="Owed fill A."))
    assert [step.caption for step in plain.steps] == ["Owed fill A."]


def mark_on(source: PieceSource, from_pts: int, to_pts: int, **other: object) -> Mark:
    """Make a ring on a stretch of film, in ticks from the snap."""
    assert source.snap_pts is not None
    made = Mark(
        angle_id="end", kind="ring", points=((200, 120),),
        from_pts=Pts(source.snap_pts + from_pts), to_pts=Pts(source.snap_pts + to_pts),
    )  # fmt: skip
    return replace(made, **other)  # type: ignore[arg-type]


def test_marks_of_one_frame_are_painted_while_it_stands_still(films: dict[str, Path]) -> None:
    """A mark on the snap's frame shows on the freeze and nowhere else."""
    source = source_of(films["thirty"], snap=80)
    mark = mark_on(source, 0, 0)
    made = planned(source, piece(freezes=(SNAP_FREEZE,), mark_ids=(mark.id,)), marks=(mark,))
    assert [step.mark_ids for step in made.steps] == [(), (mark.id,), ()]
    assert made.marks == {mark.id: mark}


def test_marks_that_last_are_painted_while_the_film_passes_them(films: dict[str, Path]) -> None:
    """A path drawn over ten frames shows on those ten, and on the freeze among them."""
    source = source_of(films["thirty"], snap=80)
    tick = (source.stop_pts - source.start_pts) // 179
    mark = mark_on(source, -4 * tick, 5 * tick)
    made = planned(source, piece(freezes=(SNAP_FREEZE,), mark_ids=(mark.id,)), marks=(mark,))
    shown = [
        number
        for step in made.steps
        if step.kind == "film" and step.mark_ids
        for number in step.film_frames
    ]
    assert shown == list(range(76, 86))
    assert [step.mark_ids for step in made.steps if step.kind == "freeze"] == [(mark.id,)]


def test_a_mark_between_two_freezes_goes_to_the_nearer(films: dict[str, Path]) -> None:
    """No mark of a piece is lost because its frame is not the one that stands still."""
    source = source_of(films["thirty"], snap=80)
    tick = (source.stop_pts - source.start_pts) // 179
    mark = mark_on(source, 25 * tick, 25 * tick)
    freezes = (SNAP_FREEZE, Freeze(at_s=Fraction(1), hold_s=Fraction(1)))
    made = planned(source, piece(freezes=freezes, mark_ids=(mark.id,)), marks=(mark,))
    assert [s.mark_ids for s in made.steps if s.kind == "freeze"] == [(), (mark.id,)]


def test_marks_that_cannot_be_painted_are_told(films: dict[str, Path]) -> None:
    """A mark that is gone, or belongs to the other camera, is named and not painted."""
    source = source_of(films["thirty"], snap=80)
    other = mark_on(source, 0, 0, angle_id="side")
    made = planned(source, piece(mark_ids=(other.id, "gone")), marks=(other,))
    assert made.marks == {}
    assert made.missing == (
        "Piece 1: a ring was drawn on another angle and is not painted.",
        "Piece 1: a mark of it is no longer in the book and is not painted.",
    )


def test_what_cannot_be_shown_is_told_and_the_rest_goes_on(
    films: dict[str, Path], tmp_path: Path
) -> None:
    """Each piece left out has its sentence; the others are planned as if alone."""
    good = source_of(films["thirty"], snap=80)
    bad = tmp_path / "notes.mp4"
    bad.write_text("not a film")
    sources = {
        "end": good,
        "no snap": replace(good, snap_pts=None),
        "no path": replace(good, path=None),
        "gone": replace(good, path=str(tmp_path / "gone.mp4"), name="gone.mp4"),
        "text": replace(good, path=str(bad), name="notes.mp4"),
    }
    pieces = [
        piece(order=number, angle_id=angle, title="Keel 52" if angle == "gone" else "")
        for number, angle in enumerate([*sources, "unheard of"])
    ]
    late = piece(order=9, from_s=Fraction(90), to_s=Fraction(95))
    made = plan(REEL, [*pieces, late], sources, (), size_px=SIZE_PX)
    assert made.frame_count == 150
    assert len(made.missing) == 6
    assert all(sentence.count("is left out: ") == 1 for sentence in made.missing)
    assert "no snap is marked" in made.missing[0]
    assert "was not found on this computer" in made.missing[1]
    assert made.missing[2].startswith("Piece 4 (“Keel 52”) is left out: the film “gone.mp4”")
    assert "“notes.mp4” can't be used" in made.missing[3]
    assert "not in the book" in made.missing[4]
    assert "nothing of it lies within its clip" in made.missing[5]


def test_pieces_are_shown_in_their_order(films: dict[str, Path]) -> None:
    """However they come, pieces are shown by their number."""
    source = source_of(films["thirty"], snap=80)
    late, early = piece(order=2), piece(order=1)
    made = planned(source, late, early)
    assert [step.piece_id for step in made.steps] == [early.id, late.id]


@pytest.mark.parametrize(
    ("rate", "size"), [(Fraction(0), (1280, 720)), (Fraction(30), (1280, 721))]
)
def test_a_reel_no_player_shows_is_refused(rate: Fraction, size: tuple[int, int]) -> None:
    """A rate of nothing and odd sides are refused before any work."""
    with pytest.raises(ValueError, match=r"rate|even"):
        plan(REEL, [], {}, [], rate=rate, size_px=size)


times = st.fractions(-4, 4, max_denominator=60)


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], deadline=None)
@given(data=st.data())
def test_every_plan_adds_up(films: dict[str, Path], data: st.DataObject) -> None:
    """Steps follow each other without a gap, stay in the clip, and never run backwards."""
    start = data.draw(st.integers(0, 170))
    stop = data.draw(st.integers(start, 179))
    snap = data.draw(st.integers(0, 179))
    from_s, to_s = sorted([data.draw(times), data.draw(times)])
    freezes = data.draw(
        st.lists(
            st.builds(Freeze, at_s=times, hold_s=st.fractions(0, 3, max_denominator=60)), max_size=3
        )
    )
    one = piece(
        from_s=from_s,
        to_s=to_s,
        freezes=tuple(freezes),
        title=data.draw(st.sampled_from(["", "Keel"])),
        speed=data.draw(st.sampled_from([Fraction(1, 4), Fraction(1), Fraction(2)])),
    )
    rate = data.draw(st.sampled_from([Fraction(25), Fraction(30), Fraction(30000, 1001)]))
    source = source_of(films["thirty"], snap=snap, start=start, stop=stop)
    made = plan(REEL, [one], {"end": source}, [], rate=rate, size_px=SIZE_PX)
    assert bool(made.steps) != bool(made.missing)
    assert made.frame_count == sum(step.frame_count for step in made.steps)
    for earlier, later in pairwise(made.steps):
        assert later.first_frame == earlier.first_frame + earlier.frame_count
    shown = [n for step in made.steps for n in step.film_frames]
    assert all(start <= n <= stop for n in shown)
    assert shown == sorted(shown)
    for step in made.steps:
        assert step.frame_count > 0
        assert step.kind == "card" or len(step.film_frames) == step.frame_count
    if made.steps:
        held = sum(step.frame_count for step in made.steps if step.kind == "freeze")
        assert held == sum(int(freeze.hold_s * rate + Fraction(1, 2)) for freeze in freezes)
