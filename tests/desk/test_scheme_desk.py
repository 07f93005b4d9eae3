from __future__ import annotations

from pathlib import Path

from gradecut.desk import Desk
from gradecut.samples import week_folder
from tests.desk.small_book import Posted

FAULTY = """[facts.run]
values = ["left", "right"]
sided = true
[positions.Keel]
side = "left"
[fits."fill A"]
job = "fill"
gap = "A"
[[rules]]
id = "1"
for = ["Keel"]
when = { runn = "to" }
fit = "fill A"
[[rules]]
id = "1"
for = ["Keel"]
fit = "fill Q"
"""


def test_the_scheme_in_force_is_named_and_counted(desk: Desk) -> None:
    """The page tells which scheme grades and how much there is to it."""
    assert desk.scheme.title() == "Harbor 1"
    assert desk.scheme.subtitle().startswith("44 rules · 8 men · 6 facts")
    assert desk.scheme.groups()[0] == "linebackers"


def test_a_rule_reads_in_words(desk: Desk) -> None:
    """A rule's condition is told with to and away, not in the file's signs."""
    rows = {row.id: row for row in desk.scheme.rules("linebackers")}
    assert rows["R29"].when == "concept power or counter · run to him"
    assert rows["R29"].fit == "overlap C"
    assert rows["R29"].men == ("Port",)


def test_every_fault_of_a_file_is_shown_with_its_line(desk: Desk, tmp_path: Path) -> None:
    """A file with three faults shows all three; the scheme in force stays."""
    path = tmp_path / "week 3.toml"
    path.write_text(FAULTY)
    desk.scheme.check_file(path)
    checked = desk.scheme.checked
    assert checked is not None
    assert [line for line, _ in checked.faults] == [12, 15, 17]
    assert checked.verdict == "week 3.toml has 3 faults; nothing was changed."
    desk.scheme.put_in_force()
    assert desk.scheme.title() == "Harbor 1"


def test_a_file_that_is_not_there_is_told(desk: Desk, tmp_path: Path, said: list[str]) -> None:
    """A missing file is one fault, not an error."""
    desk.scheme.check_file(tmp_path / "none.toml")
    assert desk.scheme.checked is not None
    assert len(desk.scheme.checked.faults) == 1
    assert "none.toml has 1 fault" in said[-1]


def test_putting_a_file_in_force_says_how_many_grades_are_stale(
    desk: Desk, posted: Posted, tmp_path: Path, said: list[str]
) -> None:
    """When the new rules ask another fit of Keel, his graded reps of that run turn stale."""
    text = (week_folder() / "harbor.toml").read_text()
    path = tmp_path / "harbor 2.toml"
    changed = text.replace('fit = "fill A"', 'fit = "box A"', 1).replace(
        'version = "1"', 'version = "2"', 1
    )
    path.write_text(changed)
    desk.scheme.check_file(path)
    desk.scheme.put_in_force()
    posted.until(lambda: desk.scheme.checked is None)
    assert said[-1] == "Harbor 2 is in force; 2 grades are stale now."
    assert desk.scheme.title() == "Harbor 2"
    desk.undo()
    desk.scheme.refresh()
    assert desk.scheme.title() == "Harbor 1"
