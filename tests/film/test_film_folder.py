from __future__ import annotations

from pathlib import Path

import pytest

from gradecut.errors import FilmError
from gradecut.film import film_files, find_films


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


def a_card(folder: Path, names: list[str]) -> Path:
    """Lay out a camera card."""
    for name in names:
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.touch()
    return folder


def test_a_card_is_walked_folder_by_folder(tmp_path: Path) -> None:
    """Nested folders of a card come in natural order; copies and stills of a camera do not."""
    card = a_card(
        tmp_path,
        [
            "DCIM/101MEDIA/DJI_0010.MP4",
            "DCIM/101MEDIA/DJI_0009.MP4",
            "DCIM/100MEDIA/GX010002.MP4",
            "DCIM/100MEDIA/GX010002.LRV",
            "DCIM/100MEDIA/GX010002.THM",
            "DCIM/100MEDIA/._GX010002.MP4",
            "DCIM/100MEDIA/IMG_1.JPG",
            ".Trashes/old.mp4",
            "PRIVATE/AVCHD/BDMV/STREAM/00001.MTS",
            "PRIVATE/AVCHD/BDMV/STREAM/00000.MTS",
            "PRIVATE/AVCHD/BDMV/INDEX.BDM",
            "PRIVATE/M4ROOT/CLIP/C0001.MP4",
            "PRIVATE/M4ROOT/SUB/C0001S03.MP4",
            "PRIVATE/M4ROOT/THMBNL/C0001T01.JPG",
            "kickoff.mov",
        ],
    )
    assert [str(path.relative_to(card)) for path in find_films(card)] == [
        "kickoff.mov",
        "DCIM/100MEDIA/GX010002.MP4",
        "DCIM/101MEDIA/DJI_0009.MP4",
        "DCIM/101MEDIA/DJI_0010.MP4",
        "PRIVATE/AVCHD/BDMV/STREAM/00000.MTS",
        "PRIVATE/AVCHD/BDMV/STREAM/00001.MTS",
        "PRIVATE/M4ROOT/CLIP/C0001.MP4",
    ]


def test_links_lead_nowhere(tmp_path: Path) -> None:
    """A link to a folder or file elsewhere is not followed, nor one that goes in a circle."""
    elsewhere = a_card(tmp_path / "elsewhere", ["secret.mp4"])
    card = a_card(tmp_path / "card", ["a/1.mp4"])
    (card / "link").symlink_to(elsewhere)
    (card / "film.mp4").symlink_to(elsewhere / "secret.mp4")
    (card / "a" / "round").symlink_to(card)
    assert find_films(card) == [card / "a" / "1.mp4"]


def test_a_bottomless_folder_is_bounded(tmp_path: Path) -> None:
    """Folders far too deep are not looked into."""
    deep = "/".join("d" for _ in range(40))
    card = a_card(tmp_path, [f"{deep}/1.mp4", "2.mp4"])
    assert find_films(card) == [card / "2.mp4"]


def test_a_card_without_film_is_refused(tmp_path: Path) -> None:
    """A card without film, or none at all, is one sentence."""
    with pytest.raises(FilmError, match="no film in this folder or below it"):
        find_films(a_card(tmp_path, ["DCIM/100/1.jpg"]))
    with pytest.raises(FilmError, match="no such folder"):
        find_films(tmp_path / "gone")
    with pytest.raises(FilmError, match="can't be looked into"):
        find_films(tmp_path / "DCIM" / "100" / "1.jpg")
