from __future__ import annotations

from pathlib import Path

import pytest

from gradecut.errors import FilmError
from gradecut.film import film_files


def test_films_come_in_the_order_a_person_counts(tmp_path: Path) -> None:
    """Play 2 comes before play 10, whatever the case; other files are left out."""
    names = ["play 10.mp4", "play 2.MP4", "Play 1.mov", "play 2 end.mp4", "script.csv", ".x.mp4"]
    for name in names:
        (tmp_path / name).touch()
    (tmp_path / "older.mp4").mkdir()
    found = [path.name for path in film_files(tmp_path)]
    assert found == ["Play 1.mov", "play 2 end.mp4", "play 2.MP4", "play 10.mp4"]


def test_leading_noughts_and_digits_first(tmp_path: Path) -> None:
    """Camera names with noughts and names that begin with digits sort by number."""
    for name in ["C0010.MP4", "C0009.MP4", "11.mp4", "2.mp4"]:
        (tmp_path / name).touch()
    found = [path.name for path in film_files(tmp_path)]
    assert found == ["2.mp4", "11.mp4", "C0009.MP4", "C0010.MP4"]


def test_a_film_named_directly_is_taken(tmp_path: Path) -> None:
    """One file is one film, whatever its ending: opening it will tell."""
    path = tmp_path / "play.xyz"
    path.touch()
    assert film_files(path) == [path]


@pytest.mark.parametrize(
    ("files", "said"), [([], "folder is empty"), (["script.csv"], "no film in this folder")]
)
def test_a_folder_without_film_is_refused(tmp_path: Path, files: list[str], said: str) -> None:
    """A folder without film is one sentence with what to try."""
    for name in files:
        (tmp_path / name).touch()
    with pytest.raises(FilmError, match=said) as caught:
        film_files(tmp_path)
    assert "name the folder that holds the films" in caught.value.reason


def test_a_missing_folder_is_refused(tmp_path: Path) -> None:
    """A folder that isn't there is said not to be there."""
    with pytest.raises(FilmError, match="no such folder"):
        film_files(tmp_path / "gone")
    (tmp_path / "file").touch()
    with pytest.raises(FilmError, match="can't be looked into"):
        film_files(tmp_path / "file" / "below")
