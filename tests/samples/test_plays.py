"""The sample plays against the invented reference week.

Reference: demo_script.csv and demo_expected_fits.csv of this project's reference brief (section
H, the invented Harbor scheme); the expected fits are copied to tests/data.
"""

import csv
from pathlib import Path

from gradecut.samples._fits import owed_by, taken_by
from gradecut.samples._plays import SIDE_ORDERS, load_plays

DATA = Path(__file__).parents[1] / "data"
POSITIONS = ("Keel", "Bow", "Port")


def test_the_twelve_plays_keep_their_script_numbers() -> None:
    """Eleven of the script's plays were skipped; order and script number are told apart."""
    assert [play.number for play in load_plays()] == [1, 2, 3, 4, 5, 6, 10, 11, 14, 15, 16, 20]
    assert [play.order for play in load_plays()] == list(range(1, 13))


def test_what_each_man_owes_equals_the_reference() -> None:
    """All 36 expected fits agree in job and gap with the invented reference scheme."""
    with (DATA / "demo_expected_fits.csv").open(encoding="utf-8", newline="") as sheet:
        expected = {
            (int(row["rep"]), row["position"]): f"{row['fit_role']} {row['fit_gap']}"
            for row in csv.DictReader(sheet)
        }
    for play in load_plays():
        for position in POSITIONS:
            assert owed_by(position, play).name == expected[play.number, position]


def test_the_reps_hold_right_wrong_late_and_ungradable_ones() -> None:
    """26 right, 8 wrong, two nobody can grade; one right man is late."""
    took = [taken_by(position, play) for play in load_plays() for position in POSITIONS]
    verdicts = [what.verdict for what in took]
    assert (verdicts.count("right"), verdicts.count("wrong")) == (26, 8)
    assert verdicts.count("cannot grade") == 2
    assert [what.verdict for what in took if what.late] == ["right"]
    for what in took:
        assert what.told.endswith(".")


def test_a_wrong_man_played_something_he_did_not_owe() -> None:
    """Right means the fit owed; wrong means another one, or none."""
    for play in load_plays():
        for position in POSITIONS:
            took, owed = taken_by(position, play), owed_by(position, play)
            if took.verdict == "right":
                assert took.fit == owed
            else:
                assert took.fit != owed


def test_the_film_is_of_several_kinds() -> None:
    """30 and 60 pictures a second, one clip of 59.94, one of variable rate; 5 to 8 seconds."""
    plays = load_plays()
    filmings = [play.filmed("end") for play in plays]
    filmings += [play.filmed("side") for play in plays if play.order in SIDE_ORDERS]
    assert {str(filming.rate) for filming in filmings} == {"30", "60", "60000/1001"}
    assert sum(filming.variable for filming in filmings) == 1
    for filming in filmings:
        assert filming.snap_s >= 2
        assert filming.stop_s - filming.snap_s >= 3
        assert 5 <= filming.stop_s <= 8
