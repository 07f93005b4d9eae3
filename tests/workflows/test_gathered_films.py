"""Films are gathered from files and folders in order, and what can't be taken is told."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from gradecut.errors import Cancelled, FilmError, InputError
from gradecut.progress import CancelToken
from gradecut.workflows.gathered_films import gather_films
from tests.workflows.small_week import write_lines


def test_a_card_with_folders_gives_its_films(week_films: tuple[Path, Path], tmp_path: Path) -> None:
    """A folder without films of its own gives those below it, in the order of a person."""
    shutil.copytree(week_films[1], tmp_path / "card" / "DCIM" / "101")
    names = [path.name for path in gather_films([tmp_path / "card"]).films]
    assert names == ["1.mp4", "2.mp4", "3.mp4"]
    (tmp_path / "empty").mkdir()
    with pytest.raises(FilmError, match="the folder is empty"):
        gather_films([tmp_path / "empty"])


def test_what_is_no_film_is_told_beside_the_others(
    week_films: tuple[Path, Path], tmp_path: Path
) -> None:
    """It keeps its place in the order, with what is wrong; a film named twice comes once."""
    good = shutil.copy(week_films[0] / "play 1.mp4", tmp_path / "2.mp4")
    bad = write_lines(tmp_path / "1.mp4", "no film")
    found = gather_films([tmp_path, good])
    assert found.paths == (bad, good)
    assert found.films == (good,)
    assert list(found.faults) == [bad]


def test_where_none_can_be_taken_each_is_told(tmp_path: Path) -> None:
    """One bad film is its own fault; of several, each has a sentence."""
    write_lines(tmp_path / "1.mp4", "no film")
    with pytest.raises(FilmError, match=r"1\.mp4"):
        gather_films([tmp_path])
    write_lines(tmp_path / "2.mp4", "nor this")
    with pytest.raises(InputError) as refused:
        gather_films([tmp_path])
    assert [told.partition(":")[0] for _, told in refused.value.faults] == ["1.mp4", "2.mp4"]


def test_gathering_can_be_stopped(week_films: tuple[Path, Path], tmp_path: Path) -> None:
    """Before the first film is read."""
    shutil.copytree(week_films[1], tmp_path / "card")
    stop = CancelToken()
    stop.cancel()
    with pytest.raises(Cancelled):
        gather_films([tmp_path / "card"], cancel=stop)
