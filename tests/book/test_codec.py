"""Every record comes back from its row as it was."""

from __future__ import annotations

import dataclasses
import json
from collections.abc import Mapping
from fractions import Fraction
from types import NoneType, UnionType
from typing import Any, Literal, NewType, Union, get_args, get_origin, get_type_hints

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from gradecut.book.codec import codec_of
from gradecut.book.schema import TABLES, is_made_anew
from gradecut.errors import BookError
from gradecut.records import Clip, Fingerprint, Grade, Rep, StoredFilm
from tests.book.invented_rows import texts

LARGEST = 2**63 - 1
SCALARS: dict[object, st.SearchStrategy[Any]] = {
    str: texts,
    int: st.integers(-LARGEST, LARGEST),
    float: st.floats(allow_nan=False, allow_infinity=False),
    bool: st.booleans(),
    bytes: st.binary(max_size=20),
    NoneType: st.none(),
    Fraction: st.fractions(),
    Fingerprint: st.builds(
        Fingerprint, algorithm=st.sampled_from(["blake2b", "sha256"]), digest=texts
    ),
}


def values_of(hint: Any) -> st.SearchStrategy[Any]:
    """Make any value an annotated field may have."""
    parts, origin = get_args(hint), get_origin(hint)
    if isinstance(hint, NewType):
        found = values_of(hint.__supertype__)
    elif origin is Literal:
        found = st.sampled_from(parts)
    elif origin in (Union, UnionType):
        found = st.one_of(*map(values_of, parts))
    elif origin is tuple and parts[-1] is Ellipsis:
        found = st.lists(values_of(parts[0]), max_size=3).map(tuple)
    elif origin is tuple:
        found = st.tuples(*map(values_of, parts))
    elif origin is Mapping:
        found = st.dictionaries(texts, values_of(parts[1]), max_size=3)
    else:
        found = SCALARS[hint] if hint in SCALARS else records_of(hint)
    return found


def records_of(kind: type) -> st.SearchStrategy[Any]:
    """Make any record of a kind."""
    hints = get_type_hints(kind)
    return st.builds(
        kind, **{found.name: values_of(hints[found.name]) for found in dataclasses.fields(kind)}
    )


@pytest.mark.parametrize("kind", TABLES, ids=lambda kind: kind.__name__)
@settings(max_examples=40, deadline=None)
@given(data=st.data())
def test_comes_back_as_it_was(kind: type, data: st.DataObject) -> None:
    """Any record, through its row and through the journal's JSON, is the same record."""
    record = data.draw(records_of(kind))
    codec = codec_of(kind)
    row = codec.row_of(record)
    if not is_made_anew(codec.table.name):
        row = json.loads(json.dumps(row))
    found = codec.record_of(row[name] for name in codec.names)
    assert found == record
    assert repr(found) == repr(record) or kind is Grade  # a mapping's order is not kept


def test_names_the_field_it_refuses() -> None:
    """A wrong value is told by the record's and the field's name."""
    clip = Clip(session_id="s", order="3")  # type: ignore[arg-type]
    with pytest.raises(BookError, match="“order” of this clip can't be stored: '3' is not a whole"):
        codec_of(Clip).row_of(clip)


def test_names_the_fields_there_are() -> None:
    """Looking up by a field a rep has not names those it has."""
    with pytest.raises(BookError, match="A rep has no “number”; it has id, clip_id"):
        codec_of(Rep).stored("number", 3)


def test_keeps_nothing_else() -> None:
    """What is no record of a book is refused by name."""
    with pytest.raises(BookError, match="A book keeps no Fraction"):
        codec_of(Fraction)


def test_a_row_that_is_not_as_stored_is_one_refusal() -> None:
    """Whatever is wrong in it, the error is a book's, and names the field."""
    codec = codec_of(StoredFilm)
    row = dict.fromkeys(codec.names, "") | {"rate": "30/1", "fingerprint": "blake2b:00ff"}
    for wrong in ("1/0", "a/b", "", 5, None):
        with pytest.raises(BookError, match="of this film is not as a book keeps it"):
            codec.record_of({**row, "time_base": wrong}.values())
