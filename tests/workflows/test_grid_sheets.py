"""A coach's grid goes out as a sheet and comes back, and nothing changes that he did not change."""

from __future__ import annotations

import csv
import io
import tomllib
import zipfile
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, assume, given, settings
from openpyxl import Workbook, load_workbook

from gradecut.errors import InputError, OutputError
from gradecut.scheme import Scheme, load_scheme, parse_scheme
from gradecut.workflows.grid_sheets import read_grid, write_grid
from tests.cli.conftest import Run, run
from tests.scheme.invented_schemes import schemes, written
from tests.scheme.plain_reading import answer, completions

__all__ = ["run"]

PATH = Path(__file__).parents[2] / "gradecut/samples/week/harbor.toml"
HARBOR = load_scheme(PATH)
ODD_CUES = (
    "=HYPERLINK(1)", "'=1", "'tis", "-5", "@him", "+x", "\ttab", "two\nlines", "car\rriage",
    "_x0041_", " spaces ", 'a "quote", a comma; a semicolon', "\x01", "é ≥ 3",
)  # fmt: skip


def _rows(path: Path) -> list[list[str]]:
    return list(csv.reader(io.StringIO(path.read_text("utf-8-sig"), newline="")))


def _edited(tmp_path: Path, change: Callable[[list[dict[str, str]]], object]) -> Path:
    """Write Harbor's grid, let a coach change its lines, and give the sheet."""
    path = tmp_path / "grid.csv"
    write_grid(HARBOR, path)
    head, *rows = _rows(path)
    lines = [dict(zip(head, row, strict=True)) for row in rows]
    change(lines)
    with path.open("w", encoding="utf-8", newline="") as file:
        out = csv.DictWriter(file, list(lines[0]))
        out.writeheader()
        out.writerows(lines)
    return path


def _odd() -> Scheme:
    """Give Harbor with cues no sheet likes, names that look like formulas, and two tiers used."""
    text = PATH.read_text("utf-8").replace('"fill A"', '"=fill A"').replace("Keel", "+Keel")
    text = text.replace("[positions.+Keel]", '[positions."+Keel"]')
    for number, cue in enumerate(ODD_CUES):
        spelled = "".join(f"\\U{ord(sign):08X}" for sign in cue)
        text += f'\n[[rules]]\nid = "=W{number}"\nfor = ["Bow"]\ntier = "week"\nfit = "=fill A"\n'
        text += f'also = ["fill B", "hang A"]\ncue = "{spelled}"\n'
        text += f'when = {{ back = "to", wing = "to", "surface.to" = {number % 3 + 2} }}\n'
    return parse_scheme(text, "odd")


@pytest.mark.parametrize("ending", [".csv", ".xlsx"])
@pytest.mark.parametrize("scheme", [HARBOR, _odd()], ids=["Harbor", "odd"])
def test_a_sheet_that_nobody_touched_changes_nothing(
    scheme: Scheme, ending: str, tmp_path: Path
) -> None:
    """Out and in again: the scheme file is the same, letter for letter, ids and cues included."""
    path = tmp_path / f"grid{ending}"
    write_grid(scheme, path)
    assert read_grid(scheme, path) == scheme.text


@settings(max_examples=25, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(scheme=schemes())
def test_any_scheme_goes_through_a_sheet(scheme: dict[str, Any], tmp_path: Path) -> None:
    """The sheet alone says all rules: taken into a scheme without rules it gives every answer."""
    looks = completions(scheme, {})
    assume(looks)
    parsed = parse_scheme(written(scheme), "invented")
    bare = parse_scheme(written({**scheme, "rules": []}), "bare")
    for ending in (".csv", ".xlsx"):
        path = tmp_path / f"grid{ending}"
        write_grid(parsed, path)
        assert read_grid(parsed, path) == parsed.text
        after = tomllib.loads(read_grid(bare, path))
        assert {rule["id"] for rule in after["rules"]} == {rule["id"] for rule in scheme["rules"]}
        for look in looks:
            for man in scheme["positions"]:
                old, new = answer(scheme, man, look), answer(after, man, look)
                assert (old and (old["option"], old["also"], old["tier"])) == (
                    new and (new["option"], new["also"], new["tier"])
                )


def test_cells_stand_guarded_in_a_workbook(tmp_path: Path) -> None:
    """No cell is a formula; what looks like one begins with an apostrophe."""
    path = tmp_path / "grid.xlsx"
    write_grid(_odd(), path)
    cells = [cell for row in load_workbook(path)["grid"].iter_rows() for cell in row if cell.value]
    assert {cell.data_type for cell in cells} == {"s"}
    assert not [cell.value for cell in cells if str(cell.value).startswith(("=", "+", "-", "@"))]


def test_a_changed_cell_changes_its_rule(tmp_path: Path) -> None:
    """Another fit in Bow's cell: one line of the file differs, and the rule keeps its id."""

    def change(lines: list[dict[str, str]]) -> None:
        next(line for line in lines if line["Bow: rule"] == "R07")["Bow"] = "force D"

    text = read_grid(HARBOR, _edited(tmp_path, change))
    pairs = zip(HARBOR.text.splitlines(), text.splitlines(), strict=True)
    assert [pair for pair in pairs if pair[0] != pair[1]] == [
        ('fit = "spill D"', 'fit = "force D"')
    ]


def test_lines_come_go_and_change_their_look(tmp_path: Path) -> None:
    """A new line is a new rule, an emptied cell none, a new condition the same rule elsewhere."""

    def change(lines: list[dict[str, str]]) -> None:
        at = {line["Bow: rule"]: line for line in lines if line["Bow: rule"]}
        at["R06"]["Bow"] = ""
        at["R09"]["when"] = "concept trap"
        lines.append({**dict.fromkeys(lines[0], ""), "tier": "week", "when": "back to",
                      "Keel": "fill B", "Port": "fill B", "Keel: cue": "Go"})  # fmt: skip
        at["R11"]["Keel"] = at["R11"]["Port"] = "fill A"
        lines.reverse()

    scheme = parse_scheme(read_grid(HARBOR, _edited(tmp_path, change)), "after")
    rules = {rule.id: rule for rule in scheme.rules}
    assert "R06" not in rules
    assert rules["R09"].when[0][0].among == ("trap",)
    added = {name: rules[name] for name in rules.keys() - {rule.id for rule in HARBOR.rules}}
    assert {(rule.tier, rule.fit, frozenset(rule.men), rule.cue) for rule in added.values()} == {
        ("week", "fill B", frozenset({"Keel"}), "Go"),
        ("week", "fill B", frozenset({"Port"}), None),
        ("base", "fill A", frozenset({"Keel", "Port"}), None),
    }
    assert scheme.text.count("#") == HARBOR.text.count("#")


def test_one_man_of_a_shared_rule_is_split_off(tmp_path: Path) -> None:
    """Keel's cell on passes says something else: he leaves the rule, which keeps its id."""

    def change(lines: list[dict[str, str]]) -> None:
        next(line for line in lines if line["when"] == "concept pass")["Keel"] = "last man"

    scheme = parse_scheme(read_grid(HARBOR, _edited(tmp_path, change)), "after")
    rules = {rule.id: rule for rule in scheme.rules}
    assert "Keel" not in rules["F11"].men
    assert scheme.expect("Keel", {"concept": "pass"}).fit == "last man"
    assert scheme.expect("Bow", {"concept": "pass"}).rule == "F11"


def test_a_bare_grid_keeps_cues_and_ids(tmp_path: Path) -> None:
    """A sheet with tier, when and two men alone: other men stay, and so do cues and ids."""
    path = tmp_path / "grid.csv"
    write_grid(HARBOR, path)
    rows = [[row[0], row[1], row[3], row[2]] for row in _rows(path)]
    text = "\n".join(";".join(f'"{cell}"' for cell in row) for row in rows)
    path.write_text(text, encoding="utf-8")
    assert read_grid(HARBOR, path) == HARBOR.text


def _book(path: Path, *rows: list[object]) -> Path:
    book = Workbook()
    for row in rows:
        book.active.append(row)
    book.save(path)
    return path


HEAD = "tier,when,Keel\n"


@pytest.mark.parametrize(
    ("sheet", "line", "sentence"),
    [
        ("", 0, "is empty"),
        ("a,b,c\n", 1, "no column of a grid"),
        ("tier,Keel\nbase,fill A\n", 1, "the column “when” is missing"),
        ("tier,when\nbase,always\n", 1, "no column is a man's"),
        ("tier,when,Keel,Keel\n", 1, "there twice"),
        (HEAD + "bass,concept pass,fill A\n", 2, "did you mean “base”?"),
        (HEAD + "base,concept pass,fil A\n", 2, "did you mean “fill A”?"),
        (HEAD + "base,concept pss,fill A\n", 2, 'did you mean "pass"?'),
        (HEAD + "base,back left,fill A\n", 2, "write to or away"),
        (HEAD + "base,concept pass,fill A,more\n", 2, "more cells than there are columns"),
        (HEAD + "base,back to,fill A\nweek,back to,fill A\nbase,back to,hang A\n", 4, "twice"),
        (HEAD.strip() + ",Keel: rule\nbase,back to,fill A,A01\n", 2, "taken by an alignment"),
        (HEAD.strip() + ",Keel: also right\nbase,back to,fill A,fill B |\n", 2, "beside a bar"),
        (HEAD + 'base,"back to,fill A\n', 2, "check its quotes"),
        ("\0\0", 0, "is no text"),
    ],
)
def test_a_faulty_sheet_costs_a_sentence(
    sheet: str, line: int, sentence: str, tmp_path: Path
) -> None:
    """Each fault is told once with its line; nothing is taken over."""
    path = tmp_path / "grid.csv"
    path.write_text(sheet, encoding="utf-8")
    with pytest.raises(InputError) as refused:
        read_grid(HARBOR, path)
    assert [found for found, _ in refused.value.faults].count(line) >= 1
    assert any(sentence in said for _, said in refused.value.faults)


def test_hostile_workbooks_are_refused(tmp_path: Path) -> None:
    """A formula, a file that is no workbook, one that swells, another kind of file."""
    formula = _book(tmp_path / "f.xlsx", ["tier", "when", "Keel"], ["base", "back to", "=1+1"])
    broken = tmp_path / "b.xlsx"
    broken.write_bytes(b"PK\x03\x04 nonsense")
    swollen = tmp_path / "s.xlsx"
    with zipfile.ZipFile(swollen, "w", zipfile.ZIP_DEFLATED) as packed:
        for number in range(11):
            packed.writestr(f"xl/{number}.xml", bytes(10_000_000))
    other = tmp_path / "grid.ods"
    other.write_bytes(b"")
    for path, sentence in (
        (formula, "holds a formula"),
        (broken, "can't be read as a workbook"),
        (swollen, "far too big"),
        (other, "neither .csv nor .xlsx"),
        (tmp_path / "none.xlsx", "can't be read"),
        (tmp_path / "none.csv", "no such file"),
    ):
        with pytest.raises(InputError) as refused:
            read_grid(HARBOR, path)
        assert len(refused.value.faults) == 1
        assert sentence in refused.value.faults[0][1]


def test_what_no_sheet_can_hold_is_not_written(tmp_path: Path) -> None:
    """A cue too long for a cell, or another ending: refused, and no file is left."""
    for cue, sentence in (("Own " * 9_000, "too long for a cell"), ("_x000D_", "no sheet can")):
        scheme = parse_scheme(HARBOR.text.replace("Own the back door", cue), "odd")
        with pytest.raises(OutputError, match=sentence):
            write_grid(scheme, tmp_path / "grid.xlsx")
    with pytest.raises(OutputError, match=r"ends in \.csv"):
        write_grid(HARBOR, tmp_path / "grid.pdf")
    assert list(tmp_path.iterdir()) == []


def test_the_commands_write_and_take_a_sheet(run: Run, tmp_path: Path) -> None:
    """Scheme grid and scheme take, and a sheet with a fault: a sentence, exit 1, no file."""
    sheet, new = tmp_path / "grid.csv", tmp_path / "new.toml"
    assert "26 rows for Bow, Keel" in run("scheme", "grid", PATH, "--out", sheet).stdout
    sheet.write_text(sheet.read_text("utf-8-sig").replace("spill D", "force D"), "utf-8")
    done = run("scheme", "take", PATH, "--from", sheet, "--out", new)
    assert "1 rule changed, 0 rules added, 0 rules dropped" in done.stdout
    assert 'fit = "force D"' in new.read_text("utf-8")
    sheet.write_text(sheet.read_text("utf-8").replace("force D", "forse D"), "utf-8")
    again = run("scheme", "take", PATH, "--from", sheet, "--out", tmp_path / "no.toml")
    assert again.exit_code == 1
    assert "did you mean “force D”?" in again.stderr
    assert not (tmp_path / "no.toml").exists()


def test_a_sheet_of_only_its_head_takes_nothing(tmp_path: Path) -> None:
    """A sheet whose lines got lost does not drop every rule."""
    path = tmp_path / "grid.csv"
    write_grid(HARBOR, path)
    path.write_text(path.read_text("utf-8").splitlines()[0] + "\n", encoding="utf-8")
    with pytest.raises(InputError, match="no line below the names of the columns"):
        read_grid(HARBOR, path)
