"""One invented record of every kind, each naming the others as a real book would."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from hypothesis import strategies as st

from gradecut.records import (
    Actual,
    Angle,
    BookInfo,
    Clip,
    Event,
    FactValue,
    FilmFile,
    FilmIndex,
    Fingerprint,
    Flag,
    FrameTimes,
    Freeze,
    Grade,
    LinedUp,
    LineUp,
    Mark,
    MarkKey,
    Moment,
    Owed,
    Piece,
    Player,
    Reel,
    Rep,
    SchemeVersion,
    Script,
    Session,
    StoredFilm,
)
from gradecut.timebase import Pts

# Quotes, line ends, both directions of writing, letters beyond the first plane, spaces.
ODD = (
    "Kéel “64” — o'Hara\n\t; DROP TABLE reps; -- "
    "\u202e\u05e9\u05dc\u05d5\u05dd\u202c 日本 🏈 \u00a0 NA 007 =1+1"
)

texts = st.text(st.characters(exclude_categories=["Cs"], exclude_characters="\0"), max_size=20)


def film() -> StoredFilm:
    """Give a film at 29.97 frames a second."""
    return StoredFilm(
        name=ODD,
        fingerprint=Fingerprint(algorithm="blake2b", digest="00ff"),
        width=1280,
        height=720,
        rate=Fraction(30000, 1001),
        time_base=Fraction(1, 90000),
        frame_count=180,
        first_pts=Pts(-3003),
        duration_s=Fraction(180 * 1001, 30000),
        recorded_at="2026-10-06T19:30:05Z",
    )


def one_of_each() -> Iterator[object]:
    """Give one record of every kind, so ordered that each comes after those it names."""
    end, scheme = film(), SchemeVersion(sha256="ab" * 32, name="Harbor", text=ODD)
    varying = StoredFilm(
        name="variable",
        fingerprint=Fingerprint(algorithm="blake2b", digest="01"),
        width=1920,
        height=1080,
        rate=None,
        time_base=Fraction(1001, 30000),
        frame_count=1,
        first_pts=Pts(2**40),
        duration_s=Fraction(1, 3),
    )
    session = Session(name="Tuesday", kind="practice", day="2025-08-12", level="NFHS")
    keel = Player(name="Rory Keel", position="Mike", game_number="07", under_18=True)
    clip = Clip(session_id=session.id, order=1, script_number=None, note=ODD, yards_gained=-3)
    angle = Angle(
        clip_id=clip.id,
        film_id=end.id,
        name="end",
        start_pts=Pts(0),
        stop_pts=Pts(90090),
        scale=Fraction(1001, 1000),
        offset_s=Fraction(-7, 3),
    )
    rep = Rep(clip_id=clip.id, player_id=keel.id, position="mike", side="left")
    yield from (end, varying, scheme, session, keel, clip, angle, rep)
    yield Script(session_id=session.id, name="script.csv", text=ODD)
    yield FrameTimes(film_id=end.id, pts=(0, 33, 70, 96))
    yield FilmIndex(film_id=end.id, data=bytes(range(256)))
    yield FilmFile(film_id=end.id, computer="office", path="/films/wk 1/é.mp4")
    yield BookInfo(name="Herons", scheme_id=scheme.id)
    yield LineUp(clip_id=clip.id, position="mike", player_id=keel.id)
    for number, value in enumerate((1, True, "1", "true", 0, False, "", ODD)):
        yield FactValue(clip_id=clip.id, reference=f"fact {number}", value=value)
    snap = Moment(angle_id=angle.id, kind="snap", pts=Pts(3003))
    yield from (snap, Moment(angle_id=angle.id, kind="go", pts=Pts(9009), rep_id=rep.id))
    yield Owed(rep_id=rep.id, fit="fill A", side="right", reason=ODD, author="Coach Alder")
    yield Actual(rep_id=rep.id, did="miss", name="too wide", cause="eyes", source="marked")
    yield LinedUp(rep_id=rep.id, verdict="off", off=("too deep", "wrong side"), depth_yd=6.25)
    yield Event(rep_id=rep.id, name="loaf")
    yield Flag(clip_id=clip.id)
    first = Grade(
        rep_id=rep.id,
        author="Coach Alder",
        expected_fit="fill A",
        expected_also=("spill", "force"),
        scheme_id=scheme.id,
        fit_points=0.1,
        technique={"hands": 2, "eyes": 0},
        effort=None,
        cannot={"effort": "off the film"},
    )
    yield from (first, Grade(rep_id=rep.id, author="Coach Alder", supersedes=first.id))
    mark = Mark(
        angle_id=angle.id,
        kind="path",
        points=((0.1, 1e-9), (1279.5, 719.25)),
        from_pts=Pts(0),
        to_pts=Pts(3003),
        colour="sky",
        keys=(MarkKey(pts=Pts(0), by=(0.0, 0.0)), MarkKey(pts=Pts(3003), by=(12.5, -3.0))),
    )
    reel = Reel(name="ideal fits", question="Keel, right fits")
    yield from (mark, reel)
    yield Piece(
        reel_id=reel.id,
        order=1,
        clip_id=clip.id,
        angle_id=angle.id,
        speed=Fraction(1, 3),
        freezes=(Freeze(at_s=Fraction(0), hold_s=Fraction(3, 2)),),
        mark_ids=(mark.id,),
    )
