"""What a scheme can't read of plays is told by name, with how many plays and reps it touches."""

from __future__ import annotations

from gradecut.book import Book
from gradecut.scheme import parse_scheme
from gradecut.scheme.editing import drop_man, rename_fact, rename_value
from gradecut.workflows.booking import book_info
from gradecut.workflows.lines import rep_lines
from gradecut.workflows.passing import pass_clip
from gradecut.workflows.reps_told import told_plays
from gradecut.workflows.scheme_changes import back_to, change_effects, keep_scheme
from gradecut.workflows.unread_looks import Unread, unread_by
from tests.workflows.small_week import HARBOR, OWED, clip_of

TEXT = HARBOR.read_text(encoding="utf-8")
BEFORE = parse_scheme(TEXT, "harbor.toml")


def unread(book: Book, text: str) -> tuple[Unread, ...]:
    """Hold the week against a text, beside Harbor."""
    return unread_by(parse_scheme(text, "the draft"), told_plays(book).values(), before=BEFORE)


def test_what_the_scheme_knows_is_not_told(book: Book) -> None:
    """Harbor reads all of its own week."""
    assert unread(book, TEXT) == ()


def test_a_fact_no_answer_hangs_on_is_told_as_harmless(book: Book) -> None:
    """The back, under another name: no answer of these four plays rests on it."""
    (one,) = unread(book, rename_fact(TEXT, name="back", new="tailback"))
    assert (one.kind, one.name, one.value, len(one.clips), one.reps) == ("fact", "back", None, 4, 0)
    assert one.message == (
        "“back” is no fact of this scheme, and 4 plays tell it: passed over; "
        "every rep there keeps its answer."
    )


def test_a_fact_that_answers_hang_on_is_told_with_its_reps(book: Book) -> None:
    """Where the run went: all twelve hang on it."""
    (one,) = unread(book, rename_fact(TEXT, name="run", new="way"))
    assert (one.kind, one.name, len(one.clips), one.reps) == ("fact", "run", 4, 12)
    assert one.message.endswith("passed over; 12 reps there have no answer, or another one.")


def test_a_value_is_told_with_its_fact(book: Book) -> None:
    """Power, under another name, was told of the fourth play."""
    text = rename_value(TEXT, fact="concept", value="power", new="gap pull")
    (one,) = unread(book, text)
    assert (one.kind, one.name, one.value) == ("value", "concept", "power")
    assert one.clips == (clip_of(book, 4).id,)
    assert 1 <= one.reps <= 3


def test_a_look_that_is_ruled_out_is_told(book: Book) -> None:
    """The week's second play, four attached on the left, is called impossible now."""
    text = TEXT + '\n[[impossible]]\nwhen = { "surface.left" = 4 }\n'
    (one,) = unread(book, text)
    assert (one.kind, one.clips, one.reps) == ("look", (clip_of(book, 2).id,), 3)
    assert one.message.startswith("1 play can't be read any more: ")


def test_a_man_who_is_gone_is_told(book: Book) -> None:
    """Port is no man of it any more; only his own reps are counted."""
    text = drop_man(TEXT, name="Port", with_uses=True)
    men = [one for one in unread(book, text) if one.kind == "man"]
    assert [(one.name, len(one.clips), one.reps) for one in men] == [("Port", 4, 4)]
    assert men[0].message == (
        "“Port” is no man of this scheme, and 4 plays have him: not graded any more."
    )


def test_the_answers_that_do_not_hang_on_it_stay(book: Book) -> None:
    """The surface's name is another one: nine reps are answered as before, three are open."""
    for play in range(1, 5):
        pass_clip(book, clip_of(book, play))
    text = rename_fact(TEXT, name="surface", new="edge")
    told = change_effects(book, parse_scheme(text, "the draft"))
    assert (len(told.turned), told.opened, told.unchanged) == (3, 3, 9)
    assert {one.reps for one in told.unread} == {3}
    keep_scheme(book, text, "week2.toml")
    owed = {(line.clip.order, line.rep.position): line.expected_fit for line in rep_lines(book)}
    assert {key for key, fit in owed.items() if fit is None} == {
        (one.play, one.position) for one in told.turned
    }
    assert all(fit in (OWED[key], None) for key, fit in owed.items())


def test_a_fact_that_comes_back_counts_again(book: Book) -> None:
    """Nothing of what was told is lost."""
    first = book_info(book).scheme_id
    assert first is not None
    keep_scheme(book, rename_fact(TEXT, name="run", new="way"), "week2.toml")
    assert {line.expected_fit for line in rep_lines(book)} == {None}
    back_to(book, first)
    owed = {(line.clip.order, line.rep.position): line.expected_fit for line in rep_lines(book)}
    assert owed == OWED
