"""scheme sheet: a page a man, each in a file of its own inside the folder asked for."""

from __future__ import annotations

from pathlib import Path

from gradecut.samples import week_folder
from tests.cli.conftest import Run

HARBOR = week_folder() / "harbor.toml"


def test_no_name_of_a_man_leads_out_of_the_folder(run: Run, tmp_path: Path) -> None:
    """Ways up and folders in a name become a plain file name, and no two men share a file."""
    text = HARBOR.read_text(encoding="utf-8")
    for was, now in (("Keel", "../../../evil"), ("Bow", "A/B"), ("Port", "A B")):
        text = text.replace(f"[positions.{was}]", f'[positions."{now}"]')
        text = text.replace(f'"{was}"', f'"{now}"')
    scheme = tmp_path / "odd.toml"
    scheme.write_text(text, encoding="utf-8")
    out = tmp_path / "a" / "b" / "sheets"
    done = run("scheme", "sheet", scheme, "--out", out)
    assert done.exit_code == 0, done.stderr
    made = {path.relative_to(tmp_path) for path in tmp_path.rglob("*") if path.is_file()}
    inside = {path.relative_to(tmp_path) for path in out.iterdir()}
    assert made == {Path("odd.toml")} | inside
    assert {"fit sheet evil.html", "fit sheet A B.html", "fit sheet A B-2.html"} <= {
        path.name for path in inside
    }
    assert sorted(done.stdout.splitlines()) == sorted(str(path) for path in out.iterdir())


def test_an_unknown_man_leaves_nothing(run: Run, tmp_path: Path) -> None:
    """Not even the sheets of the men named before him."""
    out = tmp_path / "sheets"
    refused = run("scheme", "sheet", HARBOR, "--man", "Keel", "--man", "Kell", "--out", out)
    assert (refused.exit_code, refused.stdout) == (1, "")
    assert "did you mean “Keel”?" in refused.stderr
    assert not out.exists()
