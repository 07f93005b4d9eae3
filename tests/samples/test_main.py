from pathlib import Path

import pytest

from gradecut.samples.__main__ import main


def test_without_a_folder_it_says_what_to_name(capsys: pytest.CaptureFixture[str]) -> None:
    """Wrong use is exit 2 and one line."""
    assert main([]) == 2
    assert "Name one folder" in capsys.readouterr().err


def test_a_folder_that_is_a_file_is_one_sentence(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Where nothing can be written the work fails before anything is drawn."""
    taken = tmp_path / "taken"
    taken.write_text("here already", encoding="utf-8")
    assert main([str(taken)]) == 1
    assert "taken" in capsys.readouterr().err
