"""Films made once a run, and an index folder that belongs to the run."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from gradecut.film.index_store import FOLDER_VARIABLE, index_films
from tests.film.torture import FILMS, make_film


@pytest.fixture(scope="session", autouse=True)
def _own_index_folder(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    """Keep the run's indexes out of the person's own folder."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv(FOLDER_VARIABLE, str(tmp_path_factory.mktemp("index")))
        yield


@pytest.fixture(scope="session")
def shelf(tmp_path_factory: pytest.TempPathFactory, _own_index_folder: None) -> dict[str, Path]:
    """Make every torture film once, and read them all in one child process."""
    folder = tmp_path_factory.mktemp("films")
    films = {
        name: make_film(folder / f"{name}.{ending}", making)
        for name, (ending, making) in FILMS.items()
    }
    assert index_films(list(films.values())) == {}
    return films
