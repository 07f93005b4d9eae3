from __future__ import annotations

import tomllib

from hypothesis import given
from hypothesis import strategies as st

from gradecut.samples import week_folder
from gradecut.scheme.editing._said import Unreadable, read_said
from gradecut.scheme.editing._spans import SpanMap

HARBOR = (week_folder() / "harbor.toml").read_text(encoding="utf-8")
LINES = HARBOR.split("\n")
ODD = (
    '"""', "'''", "[", "]", "x = [", 'x = """', "[[rules]]", "  [[rules]]", "[rules.when]",
    "[[rules.more]]", "[[duties]]", "rules = []", "# a note", "", "\t", "fit = 1", 'id = "R07"',
)  # fmt: skip
SPOTS = st.integers(0, len(LINES) - 1)
CHANGES = st.lists(
    st.one_of(
        st.tuples(st.just("drop"), SPOTS, st.integers(1, 9)),
        st.tuples(st.just("again"), SPOTS, SPOTS),
        st.tuples(st.just("odd"), SPOTS, st.integers(0, len(ODD) - 1)),
    ),
    min_size=1,
    max_size=3,
)


def changed(changes: list[tuple[str, int, int]]) -> str:
    """Change the lines of Harbor as no edit would."""
    lines = list(LINES)
    for what, at, other in changes:
        if what == "drop":
            del lines[at : at + other]
        elif what == "again":
            lines[at:at] = LINES[other : other + 7]
        else:
            lines.insert(at, ODD[other])
    return "\n".join(lines)


@given(CHANGES)
def test_a_text_read_from_its_neighbour_says_what_it_says_read_alone(
    changes: list[tuple[str, int, int]],
) -> None:
    """Tables that stood in the text before are not read anew; the reader of TOML agrees."""
    text = changed(changes)
    near = read_said(HARBOR)
    try:
        told: object = tomllib.loads(text)
    except tomllib.TOMLDecodeError:
        told = None
    try:
        said: object = read_said(text, near).data
    except Unreadable:
        said = None
    assert said == told


@given(CHANGES)
def test_what_stands_where_is_the_same_walked_from_a_neighbour(
    changes: list[tuple[str, int, int]],
) -> None:
    """Offsets and lines of all that stands in a text do not depend on what was known before."""
    text = changed(changes)
    alone, beside = SpanMap(text), SpanMap(text, read_said(HARBOR).layout.spans)
    assert beside.values == alone.values
    assert beside.words == alone.words
    assert beside.pairs == alone.pairs
    assert beside.heads == alone.heads
    assert beside.repeats == alone.repeats
    assert [beside.line(path) for path in alone.values] == [
        alone.line(path) for path in alone.values
    ]
