import csv

from gradecut.samples import clips_folder, week_folder


def test_the_sample_week_lies_in_the_package() -> None:
    """Roster and script are there, with the columns a coach's own sheets have."""
    with (week_folder() / "roster.csv").open(encoding="utf-8", newline="") as sheet:
        roster = list(csv.DictReader(sheet))
    assert len(roster) == 9
    assert {row["position"] for row in roster} == {"Keel", "Bow", "Port"}
    consent = {row["name"]: row["consent"] for row in roster if row["under_18"] == "yes"}
    assert consent == {"Joss Vandermoor": "no", "Anders Pell": "yes"}
    assert [row["name"] for row in roster if row["held_out"] == "yes"] == ["Micah Stroud-Vale"]


def test_no_cell_of_the_sample_week_looks_like_a_formula() -> None:
    """A spreadsheet that opens the sheets computes nothing (yard lines are 'own 30')."""
    for name in ("roster.csv", "script.csv"):
        with (week_folder() / name).open(encoding="utf-8", newline="") as sheet:
            for row in csv.reader(sheet):
                assert not [cell for cell in row if cell.startswith(("=", "+", "-", "@"))]


def test_twelve_end_views_and_four_side_views_are_there() -> None:
    """Four plays have both angles; the numbers are the order of the plays."""
    folder = clips_folder()
    assert [path.stem for path in sorted((folder / "end").glob("*.mp4"))] == [
        f"{order:02d}" for order in range(1, 13)
    ]
    assert [path.stem for path in sorted((folder / "side").glob("*.mp4"))] == [
        "01",
        "05",
        "06",
        "11",
    ]


def test_the_clips_with_their_truth_are_no_larger_than_25_megabytes() -> None:
    """They ship inside the package."""
    total = sum(path.stat().st_size for path in clips_folder().rglob("*") if path.is_file())
    assert total <= 25_000_000
