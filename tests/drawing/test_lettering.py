from __future__ import annotations

from hypothesis import given, settings
from hypothesis import strategies as st

from gradecut.drawing import font_file, text_width_px, wrap_text


def test_the_font_comes_with_the_program() -> None:
    """The font file is there, whatever fonts the machine has."""
    assert font_file().is_file()
    assert font_file().suffix == ".ttf"


def test_width_grows_with_text_and_size() -> None:
    """More letters and larger letters are wider; nothing is as wide as nothing."""
    assert text_width_px("", 14) == 0
    assert text_width_px("Keel", 14) < text_width_px("Keel 52", 14)
    assert 1.9 < text_width_px("overlap D", 28) / text_width_px("overlap D", 14) < 2.1


@settings(deadline=None)
@given(
    st.lists(st.text(st.characters(codec="ascii", categories=["L", "N"]), min_size=1), min_size=1),
    st.floats(60, 400),
)
def test_wrapped_lines_fit_and_lose_no_word(words: list[str], width_px: float) -> None:
    """Every line fits its width, and words come back in order unless one was too long."""
    lines = wrap_text(" ".join(words), 14, width_px)
    assert all(text_width_px(line, 14) <= width_px for line in lines)
    if not any("…" in line for line in lines):
        assert " ".join(lines).split() == words


def test_text_beyond_the_last_line_ends_in_an_ellipsis() -> None:
    """A sentence cut short says so."""
    lines = wrap_text("Bow spills the kick-out so the ball bounces outside", 14, 120, most=2)
    assert len(lines) == 2
    assert lines[-1].endswith("…")
