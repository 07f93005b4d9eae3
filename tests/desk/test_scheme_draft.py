from __future__ import annotations

from pathlib import Path

from hypothesis import given
from hypothesis import strategies as st

from gradecut.desk.scheme_draft import (
    BareRow,
    SchemeDraft,
    draft_file,
    read_draft,
    store_draft,
)

ROW = BareRow(tier="base", when="run to", sided=True)


@given(st.lists(st.text(alphabet="ab\n", max_size=12), min_size=1, max_size=8))
def test_steps_back_and_forth_give_every_text_again(texts: list[str]) -> None:
    """However the text changed, each step back gives the one before, each forth the one after."""
    draft = SchemeDraft(base="", text="")
    seen = [""]
    for number, text in enumerate(texts):
        if draft.take(text, str(number)):
            seen.append(text)
    for text in reversed(seen[:-1]):
        assert draft.undo()
        assert draft.text == text
    assert not draft.undo()
    for text in seen[1:]:
        assert draft.redo()
        assert draft.text == text
    assert not draft.redo()


def test_a_draft_is_read_as_it_was_stored(tmp_path: Path) -> None:
    """Text, steps, and rows without a fit are there again; a step taken back can be done again."""
    draft = SchemeDraft(base="a", text="a")
    draft.take("ab", "one")
    draft.take("ab", "a row", (ROW,))
    draft.undo()
    path = draft_file(tmp_path / "book.gradecut")
    assert store_draft(path, draft) == ""
    again = read_draft(path)
    assert again == draft
    assert again is not None
    assert again.redo() == "a row"
    assert again.bare == (ROW,)


def test_an_edit_after_a_step_back_drops_what_was_taken_back() -> None:
    """There is one line of steps, not a tree."""
    draft = SchemeDraft(base="", text="")
    draft.take("a", "one")
    draft.undo()
    draft.take("b", "other")
    assert (draft.redoes, draft.undoes) == ("", "other")


def test_a_draft_without_steps_leaves_no_file(tmp_path: Path) -> None:
    """What was kept leaves nothing to be found next time."""
    path = tmp_path / "x.draft"
    draft = SchemeDraft(base="a", text="a")
    draft.take("b", "one")
    store_draft(path, draft)
    assert path.exists()
    assert store_draft(path, SchemeDraft(base="", text="")) == ""
    assert not path.exists()


def test_a_broken_draft_file_is_none(tmp_path: Path) -> None:
    """Half a file, or one of another form, is not taken for a draft."""
    path = tmp_path / "x.draft"
    assert read_draft(path) is None
    path.write_text("{")
    assert read_draft(path) is None
    path.write_text('{"form": 99}')
    assert read_draft(path) is None


def test_a_draft_that_can_not_be_stored_is_told(tmp_path: Path) -> None:
    """The coach hears that closing the window would lose it."""
    draft = SchemeDraft(base="a", text="a")
    draft.take("b", "one")
    (tmp_path / "file").write_text("")
    assert "closing the window would lose it" in store_draft(tmp_path / "file" / "x.draft", draft)
