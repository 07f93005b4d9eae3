"""scheme learn: what is proposed is taken on request, and nothing is written for nothing."""

from __future__ import annotations

from pathlib import Path

from tests.cli.conftest import Run


def test_where_nothing_is_proposed_no_file_is_written(
    run: Run, book_path: Path, tmp_path: Path
) -> None:
    """Harbor's rules give all that was said, so there is nothing to accept."""
    out = tmp_path / "learned.toml"
    done = run("scheme", "learn", book_path, "--accept-all", "--out", out)
    assert done.exit_code == 1
    assert "Nothing to propose" in done.stdout
    assert done.stderr.endswith("is not written, as there is nothing to accept.\n")
    assert not out.exists()
