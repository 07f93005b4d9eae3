from __future__ import annotations

from pathlib import Path

import pytest

from gradecut.book import Book, open_book
from gradecut.desk import Desk
from gradecut.records import SchemeVersion
from gradecut.samples import week_folder
from gradecut.workflows.booking import new_book
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


def checked(desk: Desk, posted: Posted) -> None:
    """Wait until the newest edit was audited."""
    posted.until(lambda: not desk.scheme.audit.running)


def take(desk: Desk, words: str, man: str) -> None:
    """Take the cell of a man in hand, on the row with these looks."""
    row = next(row for row in desk.scheme.hand.rows if row.words == words)
    desk.scheme.hand.take(row.key, man)


POWER_TO_HIM = "concept power or counter · run to him"


def test_the_grid_has_a_row_for_each_look_and_a_column_for_each_man(desk: Desk) -> None:
    """Rules of several men with one condition share a row, told with to and away."""
    hand = desk.scheme.hand
    assert hand.men == ("Bow", "Keel", "Port")
    rows = {row.words: row for row in hand.rows}
    row = rows[POWER_TO_HIM]
    assert {man: cell.fit for man, cell in row.cells.items()} == {
        "Bow": "spill D",
        "Port": "overlap C",
    }
    assert hand.look(row) == {"strength": "right", "concept": "power", "run": "right"}
    hand.show_group("")
    assert len(hand.men) == 8


def test_an_edit_is_a_draft_and_nothing_is_in_force(desk: Desk, posted: Posted) -> None:
    """Choosing a fit changes the draft alone; the step back leaves the text as it was."""
    take(desk, POWER_TO_HIM, "Bow")
    assert desk.scheme.hand.set_fit("box D")
    assert desk.scheme.shown is not None
    assert desk.scheme.scheme is not None
    assert {rule.id: rule.fit for rule in desk.scheme.shown.rules}["R07"] == "box D"
    assert {rule.id: rule.fit for rule in desk.scheme.scheme.rules}["R07"] == "spill D"
    assert desk.scheme.draft_words() == "1 edit not in force yet"
    desk.scheme.in_hand = True
    desk.undo()
    assert desk.scheme.shown.text == desk.scheme.scheme.text
    desk.redo()
    assert desk.scheme.draft is not None
    assert desk.scheme.draft.undoes == "box D for Bow"
    checked(desk, posted)


def test_the_steps_back_are_the_books_again_on_another_page(desk: Desk, said: list[str]) -> None:
    """Ctrl+Z walks the draft only while the Scheme page is before the coach."""
    take(desk, POWER_TO_HIM, "Bow")
    desk.scheme.hand.set_fit("box D")
    desk.scheme.in_hand = False
    desk.undo()
    assert desk.scheme.draft_words() == "1 edit not in force yet"
    assert said[-1].startswith("Done: ")


def test_the_audit_follows_every_edit(desk: Desk, posted: Posted) -> None:
    """Taking a fit away makes a hole, told with its smallest look; giving it back mends it."""
    checked(desk, posted)
    sound = "Sound: one answer for every man on all 4,860 looks, and every duty is met."
    assert desk.scheme.audit.verdict() == sound
    take(desk, POWER_TO_HIM, "Bow")
    desk.scheme.hand.clear()
    checked(desk, posted)
    hole = desk.scheme.audit.rows[0]
    assert (hole.kind, hole.position, hole.serious) == ("hole", "Bow", True)
    assert hole.look["run"] == hole.look["strength"]
    assert hole.look["concept"] in ("power", "counter")
    desk.scheme.undo()
    checked(desk, posted)
    assert desk.scheme.audit.verdict().startswith("Sound")


def test_an_audit_that_fails_says_so_and_can_be_run_again(
    desk: Desk, posted: Posted, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A fault of the check leaves no "Being checked …" behind; the next check is as any other."""
    checked(desk, posted)
    audit = desk.scheme.audit

    def fail(*_: object, **__: object) -> None:
        raise ZeroDivisionError("a fault of ours")

    with monkeypatch.context() as broken:
        broken.setattr("gradecut.scheme.auditing.Auditor.audit", fail)
        take(desk, POWER_TO_HIM, "Bow")
        desk.scheme.hand.clear()
        with pytest.raises(ZeroDivisionError):
            posted.until(lambda: False)
    assert not audit.running
    assert audit.verdict() == "The check broke off, so nothing is proven; your edits are safe."
    assert audit.broke_off
    audit.again()
    checked(desk, posted)
    assert audit.rows[0].kind == "hole"
    assert not audit.broke_off


def test_a_row_for_a_hole_is_the_look_as_he_sees_it(desk: Desk, posted: Posted) -> None:
    """The row a finding opens speaks of to and away, and says nothing of his own side."""
    take(desk, POWER_TO_HIM, "Bow")
    desk.scheme.hand.clear()
    checked(desk, posted)
    hole = desk.scheme.audit.rows[0]
    assert desk.scheme.rows.add_look(hole.look, "Bow")
    row = desk.scheme.hand.row()
    assert row is not None
    assert row.when == {"concept": hole.look["concept"], "run": "to"}
    assert row.bare


def test_a_finding_is_gone_to_in_the_grid(desk: Desk, posted: Posted) -> None:
    """Two rules that contradict each other: the finding takes the cell of the first in hand."""
    assert desk.scheme.rows.add_row({"concept": "power"}, sided=True)
    desk.scheme.hand.set_fit("force D")
    checked(desk, posted)
    overlap = next(row for row in desk.scheme.audit.rows if row.kind == "overlap")
    desk.scheme.hand.show_group("front")
    assert desk.scheme.hand.go_to(overlap.rules, overlap.position)
    place = desk.scheme.hand.place
    assert place is not None
    assert place.man == "Bow"
    cell = desk.scheme.hand.row().cells["Bow"]  # type: ignore[union-attr]
    assert overlap in desk.scheme.audit.marks(cell.rule, "Bow")


def test_a_row_is_split_by_a_fact_and_joined_again(desk: Desk) -> None:
    """Both halves ask what the row asked; joined, the text asks what it asked before."""
    take(desk, POWER_TO_HIM, "Bow")
    count = len(desk.scheme.hand.rows)
    fact = next(one for one in desk.scheme.hand.asked_facts() if one.reference == "concept")
    assert desk.scheme.rows.split_row(fact, ["power"])
    rows = {row.words: row for row in desk.scheme.hand.rows}
    for words in ("concept power · run to him", "concept counter · run to him"):
        assert rows[words].cells["Bow"].fit == "spill D"
        assert rows[words].cells["Port"].fit == "overlap C"
    take(desk, "concept power · run to him", "Bow")
    assert desk.scheme.rows.join_next()
    assert len(desk.scheme.hand.rows) == count
    assert desk.scheme.hand.row().words == POWER_TO_HIM  # type: ignore[union-attr]


def test_rows_that_ask_different_things_are_not_joined(desk: Desk, said: list[str]) -> None:
    """Joining is refused with the reason, and changes nothing."""
    take(desk, POWER_TO_HIM, "Bow")
    assert not desk.scheme.rows.join_next()
    assert said[-1].startswith("No row below it in this tier differs in the values of one fact")
    assert desk.scheme.draft is None


def test_a_row_goes_to_another_tier(desk: Desk) -> None:
    """A row moved to a later tier stands beneath its heading, with its fits."""
    take(desk, POWER_TO_HIM, "Bow")
    assert desk.scheme.rows.move_to_tier("week")
    row = desk.scheme.hand.row()
    assert row is not None
    assert (row.tier, row.cells["Port"].fit) == ("week", "overlap C")


def test_a_row_without_a_fit_stays_until_it_has_one(desk: Desk) -> None:
    """Clearing a row's last fit leaves the row; the file knows it again with the next fit."""
    take(desk, "concept lead · run to him", "Port")
    for man in ("Bow", "Keel", "Port"):
        take(desk, "concept lead · run to him", man)
        desk.scheme.hand.clear()
    row = desk.scheme.hand.row()
    assert row is not None
    assert row.bare
    desk.scheme.hand.set_fit("box B")
    row = desk.scheme.hand.row()
    assert row is not None
    assert not row.bare


def test_a_new_row_stands_below_the_one_in_hand_and_stays_there(desk: Desk) -> None:
    """A row does not run away when it is added, filled or emptied."""
    desk.scheme.hand.go(3, 0)
    desk.scheme.rows.add_row({"concept": "power"}, sided=True)
    assert desk.scheme.hand.rows[4].words == "concept power"
    assert desk.scheme.hand.set_fit("box D")
    assert desk.scheme.hand.rows[4].words == "concept power"
    assert desk.scheme.hand.clear()
    assert desk.scheme.hand.rows[4].words == "concept power"
    assert desk.scheme.hand.rows[4].bare


def test_a_fit_that_can_not_be_is_refused_in_one_sentence(desk: Desk, said: list[str]) -> None:
    """An edit that would leave a faulty file is not made."""
    take(desk, POWER_TO_HIM, "Bow")
    assert not desk.scheme.hand.set_fit("fill Z")
    assert "fill Z" in said[-1]
    assert desk.scheme.draft is None


def test_the_draft_is_there_after_a_restart(desk: Desk, book: Book, posted: Posted) -> None:
    """What was edited before the window went away is there again, with its steps."""
    take(desk, POWER_TO_HIM, "Bow")
    desk.scheme.hand.set_fit("box D")
    path = book.path
    checked(desk, posted)
    desk.close()
    with open_book(path, author="Coach Alder") as again:
        told: list[str] = []
        other = Desk(again, post=posted)
        other.said.connect(told.append)
        assert other.scheme.draft_words() == "1 edit not in force yet"
        other.scheme.welcome()
        assert told == ["Your draft is as you left it: 1 edit not in force yet."]
        assert other.scheme.undo()
        assert other.scheme.draft_words() == ""
        posted.until(lambda: not other.scheme.audit.running)
        other.close()


def test_a_kept_draft_is_the_next_version_in_force(
    desk: Desk, posted: Posted, said: list[str]
) -> None:
    """Keeping counts the version on, tells what went stale, and leaves no draft behind."""
    take(desk, "concept inside zone, split zone, mid zone, zone read or RPO · run to him", "Keel")
    desk.scheme.hand.set_fit("box A")
    desk.scheme.keep()
    posted.until(lambda: desk.scheme.keeping.effects is not None)
    assert desk.scheme.title() == "Harbor 1"
    desk.scheme.keeping.keep()
    posted.until(lambda: desk.scheme.draft is None)
    assert said[-1] == "Harbor 2 is in force; 2 grades are stale now."
    assert desk.scheme.scheme is not None
    assert "# Harbor: the run defence" in desk.scheme.scheme.text
    assert desk.book.count(SchemeVersion) == 2
    assert not list(desk.book.path.parent.glob("*.draft"))
    checked(desk, posted)


def keep_it(desk: Desk, posted: Posted, number: int) -> None:
    """Keep the draft, whatever it turns, and wait until that many versions are in the book."""
    keeping = desk.scheme.keeping
    desk.scheme.keep()
    posted.until(lambda: keeping.effects is not None or desk.scheme.draft is None)
    if keeping.effects is not None:
        keeping.keep()
    posted.until(lambda: desk.scheme.draft is None)
    assert desk.book.count(SchemeVersion) == number


def test_a_keep_that_is_taken_back_is_the_draft_again(
    desk: Desk, posted: Posted, said: list[str]
) -> None:
    """Ctrl+Z on Keep gives the edits back with their steps; redo puts the same in force again."""
    scheme = desk.scheme
    scheme.in_hand = True
    take(desk, POWER_TO_HIM, "Bow")
    scheme.hand.set_fit("box D")
    keep_it(desk, posted, 2)
    desk.undo()
    scheme.refresh()
    assert scheme.draft_words() == "1 edit not in force yet"
    assert said[-1] == "Harbor 2 is not in force any more; what it held is your draft again."
    assert scheme.scheme is not None
    assert scheme.scheme.version == "1"
    assert scheme.hand.row().cells["Bow"].fit == "box D"  # type: ignore[union-attr]
    assert scheme.undoes == "box D for Bow"
    assert list(desk.book.path.parent.glob("*.draft"))
    desk.redo()
    scheme.refresh()
    assert scheme.draft is None
    assert scheme.title() == "Harbor 2"
    assert not list(desk.book.path.parent.glob("*.draft"))
    checked(desk, posted)


def test_a_redone_keep_leaves_newer_edits_alone(desk: Desk, posted: Posted) -> None:
    """A draft that went on since stays one when the version it came from is in force again."""
    scheme = desk.scheme
    scheme.in_hand = True
    take(desk, POWER_TO_HIM, "Bow")
    scheme.hand.set_fit("box D")
    keep_it(desk, posted, 2)
    desk.undo()
    scheme.refresh()
    take(desk, POWER_TO_HIM, "Port")
    scheme.hand.set_fit("box D")
    desk.redo()
    scheme.refresh()
    assert scheme.draft is not None
    assert scheme.draft.edited
    assert "2 versions kept" in scheme.subtitle()
    checked(desk, posted)


def test_a_first_keep_taken_back_is_there_after_a_restart(tmp_path: Path, posted: Posted) -> None:
    """With no version left, what was kept is the draft, now, after a restart, and after both."""
    text = (week_folder() / "harbor.toml").read_text()
    path = tmp_path / "bare.gradecut"
    with new_book(path, name="Bare", author="Coach Alder") as bare:
        desk = Desk(bare, post=posted)
        desk.scheme.begin("the answers", text)
        keep_it(desk, posted, 1)
        checked(desk, posted)
        desk.close()
    with open_book(path, author="Coach Alder") as again:
        desk = Desk(again, post=posted)
        assert desk.scheme.title() == "Harbor 1"
        desk.undo()
        desk.scheme.refresh()
        assert desk.scheme.scheme is None
        assert desk.scheme.subtitle().endswith("0 versions kept")
        assert desk.scheme.draft_words() == "1 edit not in force yet"
        checked(desk, posted)
        desk.close()
    with open_book(path, author="Coach Alder") as again:
        desk = Desk(again, post=posted)
        assert desk.scheme.title() == "Harbor 1"
        assert desk.scheme.draft_words() == "1 edit not in force yet"
        desk.redo()
        desk.scheme.refresh()
        assert desk.scheme.draft is None
        assert desk.scheme.subtitle().endswith("1 version kept")
        checked(desk, posted)
        desk.close()


def test_leaving_the_edits_can_be_taken_back(desk: Desk) -> None:
    """Going back to what is in force is itself a step that can be taken back."""
    take(desk, POWER_TO_HIM, "Bow")
    desk.scheme.hand.set_fit("box D")
    desk.scheme.drop_draft()
    assert desk.scheme.draft_words() == ""
    assert desk.scheme.undo()
    assert desk.scheme.draft_words() == "1 edit not in force yet"


def test_a_sound_file_can_be_worked_on(desk: Desk, tmp_path: Path) -> None:
    """A file taken into the grid is a draft, not in force."""
    path = tmp_path / "other.toml"
    text = (week_folder() / "harbor.toml").read_text().replace('version = "1"', 'version = "7"', 1)
    path.write_text(text)
    desk.scheme.check_file(path)
    desk.scheme.work_on_file()
    assert desk.scheme.title() == "Harbor 7"
    assert desk.scheme.scheme is not None
    assert desk.scheme.scheme.version == "1"


def test_a_first_scheme_is_begun_taken_back_and_kept(
    tmp_path: Path, posted: Posted, said: list[str]
) -> None:
    """A book without a scheme takes a whole text as its draft; it is in force once kept."""
    text = (week_folder() / "harbor.toml").read_text()
    with new_book(tmp_path / "bare.gradecut", name="Bare", author="Coach Alder") as bare:
        desk = Desk(bare, post=posted)
        desk.said.connect(said.append)
        assert desk.scheme.shown is None
        assert desk.scheme.begin("the answers", text)
        assert desk.scheme.title() == "Harbor 1"
        assert desk.scheme.undo()
        assert desk.scheme.shown is None
        assert desk.scheme.redo()
        desk.scheme.keep()
        posted.until(lambda: desk.scheme.draft is None)
        assert desk.scheme.scheme is not None
        assert said[-1] == "Harbor 1 is in force; no grade became stale."
        checked(desk, posted)
        desk.close()


def test_the_grid_goes_out_and_in_as_a_sheet(desk: Desk, tmp_path: Path, said: list[str]) -> None:
    """A sheet written and taken in again changes nothing; a cell changed there is an edit."""
    path = tmp_path / "grid.csv"
    desk.scheme.sheets.write_grid(path)
    desk.scheme.sheets.take_grid(path)
    assert said[-1] == "grid.csv says what is shown already."
    path.write_text(path.read_text().replace("squeeze D", "box D", 1))
    desk.scheme.sheets.take_grid(path)
    assert desk.scheme.draft_words() == "1 edit not in force yet"
    path.write_text("nonsense")
    desk.scheme.sheets.take_grid(path)
    assert "grid.csv" in said[-1]


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
    posted.until(lambda: desk.scheme.keeping.effects is not None)
    assert desk.scheme.title() == "Harbor 1"
    desk.scheme.keeping.keep()
    posted.until(lambda: desk.scheme.checked is None)
    assert said[-1] == "Harbor 2 is in force; 2 grades are stale now."
    assert desk.scheme.title() == "Harbor 2"
    desk.undo()
    desk.scheme.refresh()
    assert desk.scheme.title() == "Harbor 1"
