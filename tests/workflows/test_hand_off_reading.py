"""A file that is no whole hand-off is refused in one sentence, and nothing of it is stored."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from gradecut.book import Book
from gradecut.errors import InputError
from gradecut.records import Event, FactValue, Grade, Mark, Player, SchemeVersion
from gradecut.scheme import parse_scheme
from gradecut.workflows import _hand_off_reading as reading
from gradecut.workflows.booking import put_in_force
from gradecut.workflows.handing_off import write_hand_off
from gradecut.workflows.taking import read_hand_off, take_hand_off
from tests.workflows.two_books import INSIDE, OUTSIDE, content, grade_a_bit, make_book, state

Spoil = Callable[[dict[str, Any]], object]


@pytest.fixture(scope="module")
def whole(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Write one good hand-off."""
    folder = tmp_path_factory.mktemp("good")
    with make_book(folder / "a.gradecut", INSIDE) as book:
        grade_a_bit(book, "Keel")
        return write_hand_off(book, folder / "good.hand").path


def refused(path: Path) -> str:
    """Return the one sentence a file is refused with."""
    with pytest.raises(InputError) as caught:
        read_hand_off(path)
    said = str(caught.value)
    assert said.startswith(f"{path}: ")
    assert len(caught.value.faults) == 1
    assert "\n" not in said
    assert said.endswith(".")
    return said


def spoilt(whole: Path, tmp_path: Path, spoil: Spoil) -> Path:
    """Write the good file with something spoilt in it."""
    told = json.loads(whole.read_text("utf-8"))
    spoil(told)
    path = tmp_path / "bad.hand"
    path.write_text(json.dumps(told), "utf-8")
    return path


@pytest.mark.parametrize(
    ("raw", "said"),
    [
        (b"", "no whole hand-off"),
        (b"\xff\xfe\x00garbage", "no whole hand-off"),
        (b"[1, 2]", "no hand-off of a coach's grades"),
        (b'{"type": "FeatureCollection"}', "no hand-off of a coach's grades"),
        (b'{"kind": "gradecut hand-off", "x": NaN}', "no whole hand-off"),
        (b'{"kind": "gradecut hand-off", "version": true}', "no version"),
        (b'{"kind": "gradecut hand-off", "version": "1"}', "no version"),
        (b'{"kind": "gradecut hand-off", "version": 2}', "written by a newer gradecut"),
        (b'{"kind": "gradecut hand-off", "version": 1}', "does not say its “grader”"),
        (b"[" * 200_000, "no whole hand-off"),
        (b'{"kind": ' + b"9" * 6000 + b"}", "no whole hand-off"),
    ],
)
def test_other_files_are_refused(tmp_path: Path, raw: bytes, said: str) -> None:
    """Empty, other JSON, a newer version, nested without end: one sentence each."""
    path = tmp_path / "bad.hand"
    path.write_bytes(raw)
    assert said in refused(path)


def test_no_file_and_a_folder_are_refused(tmp_path: Path) -> None:
    """It says that it can't be read, and what to do."""
    assert "choose a hand-off that can be read" in refused(tmp_path / "gone.hand")
    assert "choose a hand-off that can be read" in refused(tmp_path)


def test_a_file_too_large_is_not_read(whole: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """It is refused by its size."""
    monkeypatch.setattr(reading, "LARGEST_FILE", 100)
    assert "larger than any hand-off" in refused(whole)


@settings(max_examples=15, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(share=st.floats(0, 0.999))
def test_a_file_cut_short_anywhere_is_refused(whole: Path, tmp_path: Path, share: float) -> None:
    """Wherever a copy broke off, nothing is taken for whole."""
    raw = whole.read_bytes()
    path = tmp_path / "short.hand"
    path.write_bytes(raw[: int(len(raw) * share)])
    assert "cut short" in refused(path)


def _set(table: str, **changes: object) -> Spoil:
    return lambda told: told["rows"][table][0].update(changes)


@pytest.mark.parametrize(
    ("spoil", "said"),
    [
        (lambda told: told.pop("rows"), "holds no rows"),
        (lambda told: told["rows"].update(acts=[]), "“acts”, which no hand-off carries"),
        (lambda told: told["rows"].update(book=[{}]), "“book”, which no hand-off carries"),
        (lambda told: told["rows"].update(grades={}), "holds no list of grades"),
        (lambda told: told["rows"]["grades"].append(5), "grade 5 in it is not written"),
        (lambda told: told["rows"]["grades"].append({}), "grade 5 in it is not written"),
        (_set("grades", effort="2"), "grade 1 in it is not written"),
        (_set("grades", fit_result="splendid"), "grade 1 in it is not written"),
        (_set("grades", technique="[1]"), "grade 1 in it is not written"),
        (_set("grades", shoe_size=12), "grade 1 in it is not written"),
        (_set("grades", id=""), "grade 1 in it is not written"),
        (_set("grades", id="x" * 65), "grade 1 in it is not written"),
        (_set("grades", note="a\0b"), "grade 1 in it is not written"),
        (_set("marks", points="[[1]]"), "mark 1 in it is not written"),
        (_set("marks", points="[[1000000000.0,1.0]]"), "can't be drawn"),
        (_set("marks", points="[]"), "can't be drawn"),
        (_set("marks", colour="mauve"), "can't be drawn"),
        (_set("marks", keys='[{"by":[1.0,1.0],"pts":9},{"by":[2.0,2.0],"pts":9}]'), "be drawn"),
        (_set("moments", pts=1.5), "moment 1 in it is not written"),
        (_set("moments", pts=2**70), "moment 1 in it is not written"),
        (_set("films", rate="30/0"), "film 1 in it is not written"),
        (_set("films", fingerprint="none"), "film 1 in it is not written"),
        (_set("facts", value="[]"), "fact 1 in it is not written"),
        (_set("grades", rep_id="nobody"), "names a rep that is not in it"),
        (_set("grades", scheme_id="none"), "names a scheme that is not in it"),
        (_set("grades", supersedes="none"), "names a grade that is not in it"),
        (_set("reps", clip_id="none"), "names a clip that is not in it"),
        (_set("reps", player_id="none"), "names a player that is not in it"),
        (_set("moments", angle_id="none"), "names an angle that is not in it"),
        (_set("grades", author="R. Boone"), "what others than J. Alder said"),
        (_set("facts", author="Tavin Okorie"), "what others than J. Alder said"),
        (_set("scheme_versions", text="nonsense ="), "not the one its grades were given by"),
        (_set("scheme_versions", sha256="00"), "not the one its grades were given by"),
        (lambda told: told.update(made_at="yesterday"), "who handed it over and when"),
        (lambda told: told.update(grader=" "), "who handed it over and when"),
        (lambda told: told.update(grader="a\nb"), "“grader”"),
        (_set("players", name="j.  ALDER"), "J. Alder is a player in it"),
        (lambda told: told.pop("changed_at"), "says not when"),
        (lambda told: told["changed_at"].update(films={}), "says not when"),
        (lambda told: told["dropped_at"].update(grades={"x": 5}), "says not when"),
        (lambda told: told["rows"]["events"].append(told["rows"]["events"][0]), "twice"),
        (lambda told: _round_chain(told["rows"]["grades"]), "can't take it of"),
        (lambda told: _other_play(told["rows"]), "of a man on another play"),
    ],
)  # fmt: skip
def test_rows_that_are_not_right_are_refused(
    whole: Path, tmp_path: Path, spoil: Spoil, said: str
) -> None:
    """Wrong types, rows naming what is not there, others' rows: one sentence, of the first."""
    assert said in refused(spoilt(whole, tmp_path, spoil))


def _round_chain(grades: list[dict[str, Any]]) -> None:
    by_rep: dict[str, list[dict[str, Any]]] = {}
    for grade in grades:
        by_rep.setdefault(grade["rep_id"], []).append(grade)
    first, second = next(found for found in by_rep.values() if len(found) > 1)
    first["supersedes"] = second["id"]


def _other_play(rows: dict[str, Any]) -> None:
    marked = rows["moments"][0]
    home = {rep["id"]: rep["clip_id"] for rep in rows["reps"]}
    other = next(rep for rep, clip in home.items() if clip != home[marked["rep_id"]])
    marked["rep_id"] = other


def test_a_good_file_is_read_whatever_its_layout(whole: Path, tmp_path: Path) -> None:
    """Spaces, a byte order mark and the order of its parts mean nothing."""
    told = json.loads(whole.read_text("utf-8"))
    path = tmp_path / "same.hand"
    turned = dict(reversed(told.items()))
    path.write_text(json.dumps(turned, indent=4), "utf-8-sig")
    assert read_hand_off(path).rows == read_hand_off(whole).rows


def _clash(book: Book, told: dict[str, Any]) -> None:
    """Let rows of the file have the ids of other coaches' rows, and of rows of other kinds."""
    rows = told["rows"]
    grade = book.find(Grade)[0]
    old = rows["grades"][0]["id"]
    for row in rows["grades"]:
        row["supersedes"] = grade.id if row["supersedes"] == old else row["supersedes"]
    rows["grades"][0]["id"] = grade.id
    rows["facts"][0]["id"] = book.find(FactValue, author=OUTSIDE)[0].id
    rows["marks"][0]["id"] = book.find(Mark)[0].id
    rows["events"][0]["id"] = grade.id
    rows["flags"][0]["id"] = book.find(Event)[0].id


def test_ids_that_are_taken_hurt_nobody(whole: Path, tmp_path: Path) -> None:
    """Rows with other rows' ids come in beside them, once; what stood there stays as it was."""
    with make_book(tmp_path / "b.gradecut", OUTSIDE) as book:
        grade_a_bit(book, "Bow")
        mine = content(book, OUTSIDE)
        path = spoilt(whole, tmp_path, lambda told: _clash(book, told))
        take_hand_off(book, read_hand_off(path))
        assert content(book, OUTSIDE) == mine
        for kind, count in ((Grade, 4), (Mark, 1), (Event, 1)):
            assert book.count(kind, author=INSIDE) == count
        chain = book.find(Grade, author=INSIDE)
        first = [grade for grade in chain if grade.supersedes]
        assert first[0].supersedes in {grade.id for grade in chain}
        before = state(book)
        assert take_hand_off(book, read_hand_off(path)).nothing
        assert state(book) == before


def test_a_scheme_with_another_schemes_id_leaves_that_as_it_is(whole: Path, tmp_path: Path) -> None:
    """Rules that came under an id taken here get one of their own."""
    with make_book(tmp_path / "b.gradecut", OUTSIDE) as book:
        ours = book.find(SchemeVersion)[0]
        put_in_force(book, parse_scheme(ours.text + "\n# ours\n", "Harbor"))
        mine = next(one for one in book.find(SchemeVersion) if one.id != ours.id)
        with book.act("leave only ours") as act:
            act.drop(SchemeVersion, ours.id)

        def clash(told: dict[str, Any]) -> None:
            rows = told["rows"]
            for grade in rows["grades"]:
                grade["scheme_id"] = mine.id
            rows["scheme_versions"][0]["id"] = mine.id

        path = spoilt(whole, tmp_path, clash)
        take_hand_off(book, read_hand_off(path))
        assert book.get(SchemeVersion, mine.id) == mine
        named = {grade.scheme_id for grade in book.find(Grade)}
        assert len(named) == 1
        assert mine.id not in named


def test_a_player_called_as_a_grader_is_not_put_in(whole: Path, tmp_path: Path) -> None:
    """He would turn the coach's own grades into a player's answers; it is told instead."""
    path = spoilt(whole, tmp_path, _set("players", name=OUTSIDE.upper()))
    with make_book(tmp_path / "b.gradecut", OUTSIDE) as book:
        grade_a_bit(book, "Bow")
        done = take_hand_off(book, read_hand_off(path))
        assert any("grades in this one" in sentence for sentence in done.left)
        assert book.count(Player, name=OUTSIDE.upper()) == 0


def test_a_refused_file_stores_nothing(whole: Path, tmp_path: Path) -> None:
    """The book's rows and its journal stay as they were."""
    with make_book(tmp_path / "b.gradecut", OUTSIDE) as book:
        before = state(book), len(book.history())
        with pytest.raises(InputError):
            take_hand_off(book, read_hand_off(spoilt(whole, tmp_path, _set("grades", effort="2"))))
        assert (state(book), len(book.history())) == before
