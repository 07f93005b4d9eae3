"""A play handed out by command carries its marks when asked."""

from __future__ import annotations

from pathlib import Path

import numpy as np

from gradecut.book import open_book
from gradecut.drawing import MARK_COLOURS
from gradecut.film import open_film
from gradecut.records import Angle, Clip, Mark
from gradecut.timebase import Frame
from gradecut.workflows.marking import add_mark
from tests.cli.conftest import Run


def yellow(path: Path) -> bool:
    """Tell whether the first frame of a film has a yellow mark."""
    with open_film(path) as film:
        frame = film.frame(Frame(0)).astype(int)
    near = np.abs(frame - MARK_COLOURS["yellow"][:3]).max(axis=2) < 60
    return bool(np.count_nonzero(near) > 20)


def test_a_play_is_written_with_its_marks_when_asked(
    run: Run, book_path: Path, tmp_path: Path
) -> None:
    """``--marks`` paints on what is drawn on that view; without it the film is bare."""
    with open_book(book_path, author="Coach Alder") as book:
        clip = book.find(Clip, order=1)[0]
        angle = next(one for one in book.find(Angle, clip_id=clip.id) if one.name == "end")
        add_mark(
            book,
            Mark(
                angle_id=angle.id, kind="lane", points=((20, 60), (120, 60), (120, 120), (20, 120)),
                from_pts=angle.start_pts, to_pts=angle.stop_pts, meaning="did", colour="yellow",
            ),
        )  # fmt: skip
    for option, seen in (("--no-marks", False), ("--marks", True)):
        out = tmp_path / f"play1{option}.mp4"
        done = run("clip", book_path, "--play", "1", "--angle", "end", "--out", out, option)
        assert done.exit_code == 0, done.output
        assert yellow(out) == seen
