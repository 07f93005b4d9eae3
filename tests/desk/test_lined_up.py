"""Saying how a man lined up, from the Film page: one key, then a number."""

from __future__ import annotations

from gradecut.desk.film_desk import FilmDesk
from gradecut.desk.men_drawn import alignment_line, lined_up_sign
from gradecut.records import Grade, LinedUp
from tests.desk.film_book import press


def test_a_key_asks_and_a_number_answers(film: FilmDesk) -> None:
    """Bow in hand: where he should line up is told, "too deep" kept at once and undone."""
    press(film, "1", "Alt+L")
    ask = film.hand.ask
    assert ask is not None
    assert ask.kind == "lined up"
    assert "yd deep, outside the" in ask.title
    assert [shown.answer.words for shown in ask.shown()] == [
        "right",
        "too deep",
        "too shallow",
        "too wide",
        "too tight",
        "wrong side",
        "can't tell",
    ]
    press(film, "2")
    (told,) = film.book.find(LinedUp)
    assert (told.verdict, told.off) == ("off", ("too deep",))
    assert film.book.find(Grade) == []
    film.book.undo()
    assert film.book.find(LinedUp) == []


def test_where_he_lines_up_is_told_before_and_after(film: FilmDesk) -> None:
    """Depth, landmark, side, tolerance and eyes, and in front of them how he did, once told."""
    asked = "1 yd deep, outside the tight end right, within 0.5 yd; eyes: tight end to back"

    def told() -> tuple[str, str]:
        man = film.hand.man
        assert man is not None
        return lined_up_sign(man), alignment_line(man)

    press(film, "1")
    assert told() == ("", f"Lines up {asked}")
    press(film, "Alt+L", "2")
    assert told() == ("✕", f"✕ Lined up too deep; asked {asked}")
    press(film, "Alt+L", "1")
    assert told() == ("✓", f"✓ Lined up right; asked {asked}")
    press(film, "Alt+L", "7")
    assert told() == ("?", f"? Can't tell how he lined up; asked {asked}")


def test_what_the_look_leaves_open_is_told(film: FilmDesk) -> None:
    """Keel's alignment hangs on the wing, which nobody told: the key says so, and asks nothing."""
    press(film, "2", "Alt+L")
    assert film.hand.ask is None or film.hand.ask.kind != "lined up"
    man = film.hand.man
    assert man is not None
    assert alignment_line(man) == ""
