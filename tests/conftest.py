"""What every test shares: no deadline on slow machines, and an index folder of its own."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from hypothesis import settings

settings.register_profile("gradecut", deadline=None)
settings.load_profile("gradecut")


@pytest.fixture(scope="session", autouse=True)
def index_folder(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    """Keep film indexes apart from those of the person at this machine."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("GRADECUT_INDEX_FOLDER", str(tmp_path_factory.mktemp("index")))
        yield
