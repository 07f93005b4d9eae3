"""A book whose names are as long as real ones can be: men, sessions, periods, calls, notes."""

from __future__ import annotations

import shutil
from dataclasses import replace
from pathlib import Path

from gradecut.book import Book, open_book
from gradecut.records import Clip, Player, Rep, Session
from gradecut.workflows.adding import script_session
from gradecut.workflows.booking import book_info, scheme_in_force
from gradecut.workflows.handing_off import write_hand_off
from gradecut.workflows.judging import judge
from gradecut.workflows.looks import tell_facts
from gradecut.workflows.naming_men import put_in_unknown
from tests.motion.drawn_recording import Recording
from tests.motion.recorded_film import write_recording

BOOK = "Cedar Fork Township Herons, junior varsity defence"
GRADER, OTHER = "Coach Bartholomew Okonkwo-Rasmussen", "Coach Willoughby Castellanos-Drummond"
FURTHER = "Coach Montgomery Abernathy-Villanueva"
SCRIPT = "Cedar Fork scrimmage script, defence, second half.csv"
MEN = ("Maximilian Featherstone-Okonkwo", "Bartholomew Vandermeer-Lindqvist",
       "Christopher Abernathy-Rasmussen III")  # fmt: skip
SESSION = "Saturday scrimmage at the Cedar Fork stadium, second half"
PERIOD = "Inside run against the first unit"
CALL = "Harbor strong, three cloud, check the wing away"
NOTE = (
    "Eyes on the guard's hip, not on the back; he is late every time the ball goes away from him."
)


def write_long(path: Path) -> None:
    """Give a small book's men, session and plays long names, a second grader and an unknown man."""
    with open_book(path, author=GRADER) as book:
        with book.act("long names") as act:
            act.put(replace(book_info(book), name=BOOK))
            for man, name in zip(book.find(Player), MEN, strict=True):
                act.put(replace(man, name=name))
            act.put(*(replace(one, name=SESSION) for one in book.find(Session)))
            act.put(*(replace(one, period=PERIOD, call=CALL, note=NOTE) for one in book.find(Clip)))
        script_session(book, SESSION, long_script(path.with_name(SCRIPT)))
        put_in_unknown(book, book.find(Clip)[2], "Bow")
        for rep in book.find(Rep, position="Keel"):
            judge(book, rep, technique={}, effort=2, note=NOTE)
    with open_book(path, author=OTHER) as book:
        judge_otherwise(book)


def long_script(path: Path) -> Path:
    """Write a script of one play more than was filmed."""
    lines = [f"{number},{PERIOD},run,thud,\"{CALL}\",right,left,2,3,inside zone,right"
             for number in range(1, 5)]  # fmt: skip
    head = "number,period,kind,tempo,call,strength,back,surface.left,surface.right,concept,run"
    path.write_text("\n".join([head, *lines]) + "\n", encoding="utf-8")
    return path


def write_long_recording(folder: Path) -> Path:
    """Write a recording of two plays."""
    path = folder / "Cedar Fork scrimmage, second half, tower camera.mp4"
    made = Recording(
        seed=9, size_px=(160, 90), yard_px=2.7, plays=2, rate=10, between_s=(5, 7), play_s=(3, 4),
        set_s=(2, 4),
    )  # fmt: skip
    write_recording(path, made)
    return path


def long_hand_off(path: Path, folder: Path) -> Path:
    """Write what a further coach hands over of this book: a fact and men otherwise."""
    shutil.copy(path, folder / "other.gradecut")
    with open_book(folder / "other.gradecut", author=FURTHER) as book:
        judge_otherwise(book)
        return write_hand_off(book, folder / "further.hand").path


def judge_otherwise(book: Book) -> None:
    """Tell a fact and two men otherwise, as another coach."""
    scheme, clip = scheme_in_force(book), book.find(Clip)[0]
    assert scheme is not None
    tell_facts(book, scheme, clip, {"back": "behind"}, source="marked")
    for rep in book.find(Rep, clip_id=clip.id):
        judge(book, rep, did="cannot grade", name="hidden", note=NOTE)
