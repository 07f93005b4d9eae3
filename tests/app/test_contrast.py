"""Text against every ground it is painted on, by the formula of WCAG 2.2 (1.4.3, 1.4.11)."""

from __future__ import annotations

import pytest

from gradecut.app.film_plates import PLATE_OPACITY
from gradecut.app.plays_strip import tint
from gradecut.app.theme import DARK_THEME, LIGHT_THEME, Theme
from gradecut.drawing import ON_FILM, Colour, contrast

THEMES = pytest.mark.parametrize("theme", [DARK_THEME, LIGHT_THEME], ids=lambda theme: theme.name)


def poor(pairs: dict[str, tuple[Colour, Colour]], least: float) -> dict[str, float]:
    """Return the pairs below what is asked."""
    found = {name: round(contrast(*pair), 2) for name, pair in pairs.items()}
    return {name: value for name, value in found.items() if value < least}


@THEMES
def test_numbers_of_plays_are_read_on_their_boxes(theme: Theme) -> None:
    """Done, not all right, not sure and waiting: each number keeps 4.5:1 on its own ground."""
    drawn = theme.drawn
    right, did = tint(drawn.right, theme.ground), tint(drawn.did, theme.ground)
    pairs = {
        "done": (drawn.right_text, right),
        "wrong": (drawn.did_text, did),
        "unsure": (theme.ink, right),
        "waiting": (theme.quiet, theme.ground),
        "begun": (theme.quiet, theme.pressed),
        "no play": (theme.quiet, theme.raised),
    }
    assert poor(pairs, 4.5) == {}


@THEMES
def test_words_are_read_on_every_ground(theme: Theme) -> None:
    """Key caps, chosen chips, rows in hand, the bar below the film and what warns."""
    drawn = theme.drawn
    pairs = {
        f"{name} on {ground}": (ink, below)
        for name, ink in {
            "ink": theme.ink,
            "quiet": theme.quiet,
            "right": drawn.right_text,
            "did": drawn.did_text,
            "owed": drawn.owed_text,
            "accent": drawn.accent_text,
            "warn": theme.warn,
        }.items()
        for ground, below in {
            "page": theme.ground,
            "raised": theme.raised,
            "sunk": theme.sunk,
        }.items()
    }
    pairs |= {
        "ink on a live key": (theme.ink, theme.pressed),
        "quiet on a chip": (theme.quiet, theme.raised),
        "chosen chip": (theme.ink, theme.pressed),
        "accent button": (theme.on_accent, theme.accent),
    }
    assert poor(pairs, 4.5) == {}


@THEMES
def test_the_ring_of_the_focus_is_seen(theme: Theme) -> None:
    """The accent around what has the keys keeps 3:1 to page, field and chip."""
    pairs = {
        "page": (theme.accent, theme.ground),
        "field": (theme.accent, theme.raised),
        "pressed": (theme.accent, theme.pressed),
        "chosen": (theme.quiet, theme.ground),
    }
    assert poor(pairs, 3) == {}


def test_words_on_film_are_read_on_white_film() -> None:
    """A plate over pure white is the worst there is; its words still keep 4.5:1."""
    white = 255
    plate: Colour = (*(round(PLATE_OPACITY * one + (1 - PLATE_OPACITY) * white)
                       for one in ON_FILM.ground[:3]), 255)  # type: ignore[assignment]  # fmt: skip
    pairs = {"ink": (ON_FILM.ink, plate), "quiet": (ON_FILM.quiet, plate),
             "accent": (ON_FILM.accent, plate)}  # fmt: skip
    assert poor(pairs, 4.5) == {}
