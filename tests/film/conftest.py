"""Films made once a run, and an index folder that belongs to the run."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from gradecut.film.index_store import FOLDER_VARIABLE, index_films
from tests.film.torture import FILMS, make_film


@pytest.fixture(autouse=True)
def _own_index_folder(
    monkeypatch: pytest.MonkeyPatch, shelf: dict[str, Path], index_place: Path
) -> None:
    """Keep the run's indexes out of the person's own folder."""
    assert shelf
    monkeypatch.setenv(FOLDER_VARIABLE, str(index_place))


@pytest.fixture(scope="session")
def index_place(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Give the run's index folder."""
    return tmp_path_factory.mktemp("index")


@pytest.fixture(scope="session")
def shelf(tmp_path_factory: pytest.TempPathFactory, index_place: Path) -> dict[str, Path]:
    """Make every torture film once, and read them all in one child process."""
    folder = tmp_path_factory.mktemp("films")
    films = {
        name: make_film(folder / f"{name}.{ending}", making)
        for name, (ending, making) in FILMS.items()
    }
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv(FOLDER_VARIABLE, str(index_place))
        assert index_films(list(films.values())) == {}
    return films


@pytest.fixture
def film_path(shelf: dict[str, Path]) -> Callable[[str], Path]:
    """Find a torture film by its name."""
    return shelf.__getitem__
